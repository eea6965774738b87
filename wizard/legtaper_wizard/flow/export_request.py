"""Which pattern files are wanted, where, and writing them one after the other."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from legtaper.model.project import Design, Project
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.steps import AnswerError, Field

if TYPE_CHECKING:
    from legtaper.pattern import Pattern

Going = Callable[[int, int], bool]
"""Called with pages done and pages in all; says whether to go on."""

_WHAT = (
    ("all", "everything"),
    ("pdf", "PDF, to print"),
    ("svg", "SVG"),
    ("dxf", "DXF"),
    ("marks", "marking table"),
)
_LEGS = (("narrowed", "narrowed"), ("unaltered", "as the block"), ("both", "both, for the muslin"))
_ENDINGS = {"pdf": ".pdf", "svg": ".svg", "dxf": ".dxf", "marks": "-marks.txt"}


@dataclass(frozen=True, slots=True)
class Order:
    """The files to write, and how."""

    files: tuple[Path, ...]
    paper: str
    leg: str

    @property
    def there(self) -> tuple[Path, ...]:
        """Return those files that exist already."""
        return tuple(file for file in self.files if file.exists())


def order_fields() -> tuple[Field, ...]:
    """Return the questions before anything is written."""
    return (
        Field("what", "What", "choice", "Everything, or one kind of file.", _WHAT),
        Field("leg", "Leg", "choice", "The muslin test wants both: one of each.", _LEGS),
        Field("paper", "Paper", "text", "Of the PDF: a4, letter, a3, a0, or roll:36 in."),
        Field("folder", "Folder", "text", "Where the files go. It has to be there."),
        Field("name", "Name", "text", "How the names of the files begin."),
    )


def usual_order(
    project: Project, design: Design, folder: Path, *, test: bool = False
) -> tuple[str, ...]:
    """Return what is meant where nothing else is said; a test wants both legs, to print."""
    name = _stem(f"{project.name} {design.name}{' test' if test else ''}")
    what, leg = ("pdf", "both") if test else ("all", "narrowed")
    return (what, leg, settings().paper_for(project.length_unit), str(folder), name)


def _stem(text: str) -> str:
    letters = "".join(c if c.isalnum() else "-" for c in text.lower())
    return "-".join(part for part in letters.split("-") if part)[:60] or "pattern"


def order_of(answers: tuple[str, ...]) -> Order:
    """Return what was ordered. Raises `AnswerError` with the key of the question."""
    from legtaper.outputs.tiles import PaperError, paper

    what, leg, paper_name, folder, name = answers
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
    kinds = _ENDINGS if what in ("all", "") else {what: _ENDINGS[what]}
    files = tuple(place / f"{name}{ending}" for ending in kinds.values())
    return Order(files, paper_name or "a4", leg or "narrowed")


def carry_out(pattern: Pattern, order: Order, going: Going) -> Iterator[str]:
    """Write the files, yielding before each that it is begun and after it what was written.

    What is there already is written over: ask first. Raises `StoreError`, `PaperError`, or
    `legtaper.outputs.pdf.Cancelled` where `going` says no.
    """
    from legtaper.files.atomic_write import shown_path, write_output
    from legtaper.outputs.marking_table import DEFAULT_STEP
    from legtaper_wizard.flow.words import marks_text
    from legtaper_wizard.flow.writing import write_pattern_file

    for file in order.files:
        yield f"Writing {file.name} ..."
        if not going(0, 0):
            from legtaper.outputs.pdf import Cancelled

            raise Cancelled
        if file.suffix == ".txt":
            step = DEFAULT_STEP[pattern.fit.project.length_unit]
            write_output(file, f"{marks_text(pattern.fit, step)}\n".encode(), force=True)
            yield f"Wrote {shown_path(file)}, the marking table."
        else:
            yield write_pattern_file(
                pattern, file, paper=order.paper, leg=order.leg, force=True, progress=going
            )
