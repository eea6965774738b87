"""Which pattern files are wanted, where, and writing them one after the other."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, cast

from legtaper.model.project import Design, Project
from legtaper.model.safe_text import clean
from legtaper.outputs.formats import FORMATS, LEGS, Format, Options, format_of
from legtaper.outputs.papers import PaperError, paper, paper_words
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.steps import AnswerError, Field

if TYPE_CHECKING:
    from legtaper.model.project import Side
    from legtaper.outputs.piece_words import LegChoice
    from legtaper.pattern import Pattern

Going = Callable[[int, int], bool]
"""Called with pages done and pages in all; says whether to go on."""


BOTH_LEFT = "both-left"
"""Both legs, of which the left one is narrowed; of "both" it is the right one."""


@dataclass(frozen=True, slots=True)
class Order:
    """The files to write, and how."""

    files: tuple[Path, ...]
    options: Options

    @property
    def there(self) -> tuple[Path, ...]:
        """Return those files that exist already."""
        return tuple(file for file in self.files if file.exists())


def order_fields() -> tuple[Field, ...]:
    """Return the questions before anything is written."""
    what = (("all", "everything"), *((row.name, row.title) for row in FORMATS.values()))
    return (
        Field("what", "What", "choice", "Everything, or one kind of file.", what),
        Field("leg", "Leg", "choice", "The muslin test needs both: one of each.", _leg_choices()),
        Field("paper", "Paper", "text", f"Of the PDF: {paper_words()}."),
        Field("folder", "Folder", "text", "Where the files go. It has to be there."),
        Field("name", "Name", "text", "How the names of the files begin."),
    )


def _leg_choices() -> tuple[tuple[str, str], ...]:
    one = ((leg, words) for leg, (words, _) in LEGS.items() if leg != "both")
    return (*one, ("both", "both, right narrowed"), (BOTH_LEFT, "both, left narrowed"))


def usual_order(
    project: Project, design: Design, folder: Path, *, test: bool = False, block: bool = False
) -> tuple[str, ...]:
    """Return what is meant where nothing else is said; a test wants both legs, to print.

    block: the block as it is is wanted, without any design.
    """
    what, leg, name = "all", "narrowed", design.name
    if block:
        what, leg, name = "pdf", "unaltered", "block"
    elif test:
        what, leg, name = "pdf", "both", f"{design.name} test"
    on = settings().paper_for(project.length_unit)
    return (what, leg, on, str(folder), stem(f"{project.name} {name}"))


def sheets_said(pattern: Pattern, answers: tuple[str, ...]) -> str:
    """Return how many sheets the paper that is answered takes, or what is wrong with it."""
    from legtaper.outputs.sheet_count import count_words

    try:
        return f"{count_words(pattern, order_of(answers).options)}."
    except (AnswerError, PaperError) as error:
        return f"{str(error).removesuffix('.')}."


def stem(text: str) -> str:
    """Return a name of a file, without suffix, made of a name that a person gave."""
    letters = "".join(c if c.isalnum() else "-" for c in text.lower())
    return "-".join(part for part in letters.split("-") if part)[:60] or "pattern"


def order_of(answers: tuple[str, ...]) -> Order:
    """Return what was ordered. Raises `AnswerError` with the key of the question."""
    what, leg, paper_name, folder, name = answers
    rows = _kinds(what)
    if any("paper" in row.needs for row in rows):
        try:
            paper(paper_name or "a4")
        except PaperError as error:
            raise AnswerError("paper", str(error)) from None
    place = Path(folder or ".").expanduser()
    if not place.is_dir():
        raise AnswerError("folder", f"{clean(str(place), 100)}: there is no such folder")
    if not os.access(place, os.W_OK):
        raise AnswerError("folder", f"{clean(str(place), 100)}: writing there is not allowed")
    if not name or Path(name).name != name or name.startswith("."):
        raise AnswerError("name", "give a name without a folder, such as easy-taper")
    files = tuple(place / f"{name}{row.ending}" for row in rows)
    side: Side = "right"
    if leg == BOTH_LEFT:
        leg, side = "both", "left"
    if leg and leg not in LEGS:
        named = "; ".join(label for _, label in _leg_choices())
        raise AnswerError("leg", f'"{clean(leg, 30)}" is none of these: {named}')
    chosen = paper_name or "a4"
    correction, step = settings().correction_for(chosen), settings().step
    which = cast("LegChoice", leg or "narrowed")
    return Order(files, Options(which, chosen, step=step, correction=correction, narrowed=side))


def _kinds(what: str) -> tuple[Format, ...]:
    """Return the rows that are wanted: all, or those named, with blanks or commas between."""
    names = what.replace(",", " ").lower().split()
    if names in ([], ["all"]):
        return tuple(FORMATS.values())
    for name in names:
        if name not in FORMATS:
            raise AnswerError("what", f"{clean(name, 30)} is not one of {', '.join(FORMATS)}")
    return tuple(row for row in FORMATS.values() if row.name in names)


def carry_out(pattern: Pattern, order: Order, going: Going) -> Iterator[str]:
    """Write the files, yielding before each that it is begun and after it what was written.

    What is there already is written over: ask first. Raises `StoreError`, `PaperError`, or
    `legtaper.outputs.pdf.Cancelled` where `going` says no.
    """
    from legtaper.outputs.sheet_count import count_words
    from legtaper_wizard.flow.writing import write_pattern_file

    options = replace(order.options, progress=going)
    for file in order.files:
        if "paper" in format_of(file).needs:
            yield f"{file.name}: {count_words(pattern, options)}."
        yield f"Writing {file.name} ..."
        if not going(0, 0):
            from legtaper.outputs.pdf import Cancelled

            raise Cancelled
        yield write_pattern_file(pattern, file, options, force=True)
