"""Which pattern files are wanted, where, and writing them one after the other."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal, cast

from legtaper.model.lengths import STEPS
from legtaper.model.project import Design, Project, ProjectError
from legtaper.model.safe_text import clean
from legtaper.outputs.formats import FORMATS, LEGS, Format, Need, Options, format_of, needed
from legtaper.outputs.papers import PaperError, paper, paper_words
from legtaper.outputs.printing import LOOKS, TRUE, WORDS, read_measured
from legtaper_wizard.flow.settings import change_settings, measured_key, settings
from legtaper_wizard.flow.shapes import Choices
from legtaper_wizard.flow.steps import AnswerError, Field

if TYPE_CHECKING:
    from legtaper.model.project import Side
    from legtaper.outputs.piece_words import LegChoice
    from legtaper.outputs.printing import Correction, Look, Words
    from legtaper.pattern import Fit, Pattern

Going = Callable[[int, int], bool]
"""Called with pages done and pages in all; says whether to go on."""


Answers = Mapping[str, str]
"""What is answered, by the key of its question; what is left out has its usual answer."""


@dataclass(frozen=True, slots=True)
class Order:
    """The files to write, and how. keeps: settings that were said with it, by their keys."""

    files: tuple[Path, ...]
    options: Options
    keeps: Mapping[str, str] = field(default_factory=dict)

    @property
    def there(self) -> tuple[Path, ...]:
        """Return those files that exist already."""
        return tuple(file for file in self.files if file.exists())

    def prints_test(self, written: Sequence[Path]) -> bool:
        """Whether both legs are in one of the files that were written: the test is printed."""
        drawn = any("leg" in format_of(file).needs for file in written)
        return self.options.leg == "both" and drawn


@dataclass(frozen=True, slots=True)
class Part:
    """One question of the form. need: of a format, without which it is not asked; "" asks always.

    detail: whether it is behind the usual questions, and has its usual answer unless it is asked.
    """

    field: Field
    need: Need | Literal[""] = ""
    detail: bool = False

    @property
    def key(self) -> str:
        """Return by what the answer is named."""
        return self.field.key


def _what_choices() -> Choices:
    return (("all", "everything"), *((row.name, row.title) for row in FORMATS.values()))


def order_parts() -> tuple[Part, ...]:
    """Return the questions before anything is written, the usual ones first."""
    legs = tuple((leg, words) for leg, (words, _) in LEGS.items())
    steps = tuple((step, f"to {_SPOKEN.sub(' ', step)}") for step in STEPS)
    what = Field("what", "What", "choice", "Everything, or one kind of file.", _what_choices())
    both = "The muslin test needs both: one of each."
    return (
        Part(what),
        Part(Field("leg", "Leg", "choice", both, legs), "leg"),
        Part(Field("paper", "Paper", "text", f"Of the PDF: {paper_words()}."), "paper"),
        Part(Field("folder", "Folder", "text", "Where the files go. The folder must exist.")),
        Part(Field("name", "Name", "text", "How the names of the files begin.")),
        Part(Field("narrowed", "Narrowed leg", "choice", "Of both legs, the one that is narrowed.",
                   _SIDES), "leg", detail=True),
        Part(Field("look", "Look", "choice", "How lines in the PDF look.", tuple(LOOKS.items())),
             "printing", detail=True),
        Part(Field("sheets", "Sheets in front", "choice", "Of the PDF: the sheets that say how to "
                   "print, cut and sew.", _FRONTS), "printing", detail=True),
        Part(Field("measured", "Rectangle", "text", "What the test rectangle of 150 x 250 mm "
                   "measures on your print, such as 147.6mm x 246mm; kept for this paper.",
                   if_skipped="it counts as true, or as you measured it before"),
             "printing", detail=True),
        Part(Field("words", "Words", "choice", "In SVG and DXF, for a cutter.",
                   tuple(WORDS.items())), "words", detail=True),
        Part(Field("round", "Round marks", "choice", "What the marking table is rounded to.",
                   steps), "step", detail=True),
    )  # fmt: skip


_SPOKEN = re.compile(r"(?<=\d)(?=[a-z])")  # 1/8in is said as 1/8 in
_SIDES: Choices = (("right", "right"), ("left", "left"))
_FRONTS: Choices = (("yes", "with the sheets in front"), ("no", "the pattern alone"))


def order_fields() -> tuple[Field, ...]:
    """Return the questions as fields, in their order."""
    return tuple(part.field for part in order_parts())


def named(texts: Sequence[str]) -> dict[str, str]:
    """Return answers by name that were given in the order of the questions."""
    return dict(zip((part.key for part in order_parts()), texts, strict=False))


def matters(part: Part, answers: Answers) -> bool:
    """Whether a question makes a difference, given what else is answered."""
    if part.key == "narrowed" and answers.get("leg") != "both":
        return False
    if not part.need:
        return True
    names = _names(answers.get("what", ""))
    return part.need in needed([name for name in names if name in FORMATS] or FORMATS)


def usual_order(
    project: Project, design: Design, folder: Path, *, test: bool = False, block: bool = False
) -> dict[str, str]:
    """Return what is meant where nothing else is said: to print, and both legs for a test.

    The name is one that no file has yet, so that nothing is written over on the usual way.
    block: the block as it is is wanted, without any design.
    """
    leg: LegChoice = "unaltered" if block else "both" if test else "narrowed"
    kept, unit = settings(), project.length_unit
    return {
        "what": "pdf",
        "leg": leg,
        "paper": kept.paper_for(unit),
        "folder": str(folder),
        "name": proposed_name(project, design, folder, leg),
        "narrowed": "right",
        "look": "plain",
        "sheets": "yes",
        "measured": "",
        "words": "text",
        "round": kept.step_for(unit),
    }


def proposed_name(project: Project, design: Design, folder: Path, leg: str) -> str:
    """Return how the names of the files begin where nothing else is said, by what is written."""
    name = {"unaltered": "block", "both": f"{design.name} test"}.get(leg, design.name)
    return _free(folder, stem(f"{project.name} {name}"), _kinds("pdf"))


def with_name(
    project: Project, design: Design, before: tuple[str, ...], now: tuple[str, ...]
) -> tuple[str, ...]:
    """Return answers as they are now; a name that was proposed for those before follows the leg."""
    old, new = named(before), named(now)

    def proposed(said: Answers) -> str:
        return proposed_name(project, design, Path(said["folder"]), said["leg"])

    if is_proposed(new["name"], proposed(old)):
        new["name"] = proposed(new)
    return tuple(new.values())


def read_part(field: Field, text: str) -> str:
    """Say what an answer is understood as where it is seen at once. Raises `AnswerError`."""
    if field.key == "paper":
        _check_paper(text)
    elif field.key == "measured":
        _measured(text, "")
    return dict(field.choices).get(text, text)


def _free(folder: Path, name: str, kinds: Sequence[Format]) -> str:
    """Return a name that no file of these kinds has: with a number behind it where one has."""
    names = (name, *(f"{name}-{number}" for number in range(2, 1000)))
    return next(
        (
            one
            for one in names
            if not any((folder / f"{one}{row.ending}").exists() for row in kinds)
        ),
        name,
    )


def is_proposed(name: str, free: str) -> bool:
    """Whether a name is the one that is proposed, whichever number makes it a free one."""
    return _NUMBER.sub("", name) == _NUMBER.sub("", free)


_NUMBER = re.compile(r"-\d{1,3}$")


def sheets_said(project: Project, fit: Fit, answers: Answers) -> str:
    """Return how many sheets the leg and the paper take, in lines, or what is wrong.

    "" where nothing is printed. May take a second.
    """
    from legtaper.outputs.sheet_count import count_lines
    from legtaper.pattern import cut
    from legtaper_wizard.flow.printed import fit_of_leg

    try:
        order = order_of(answers)
        if not any("paper" in format_of(file).needs for file in order.files):
            return ""
        pattern = cut(fit_of_leg(project, fit, order.options.leg))
        return "\n".join(count_lines(pattern, order.options))
    except (AnswerError, PaperError, ProjectError) as error:
        return f"{str(error).removesuffix('.')}."


SHEETS_DEPEND_ON = ("what", "leg", "paper")
"""What makes another number of sheets."""


def stem(text: str) -> str:
    """Return a name of a file, without suffix, made of a name that a person gave."""
    letters = "".join(c if c.isalnum() else "-" for c in text.lower())
    return "-".join(part for part in letters.split("-") if part)[:60] or "pattern"


def order_of(answers: Answers) -> Order:
    """Return what was ordered. Raises `AnswerError` with the key of the question."""
    rows = _kinds(answers.get("what", ""))
    chosen = answers.get("paper") or "a4"
    if any("paper" in row.needs for row in rows):
        _check_paper(chosen)
    stem_path = _stem_path(answers)
    said = {part.key: _choice(part.field, answers) for part in order_parts()}
    correction, keeps = _measured(answers.get("measured", "").strip(), chosen)
    options = Options(
        leg=cast("LegChoice", said["leg"]),
        paper=chosen,
        step=answers.get("round") or settings().step,
        narrowed=cast("Side", said["narrowed"]),
        correction=correction,
        fronts=said["sheets"] == "yes",
        look=cast("Look", said["look"]),
        words=cast("Words", said["words"]),
    )
    files = tuple(stem_path.with_name(f"{stem_path.name}{row.ending}") for row in rows)
    return Order(files, options, keeps)


def _check_paper(name: str) -> None:
    try:
        paper(name)
    except PaperError as error:
        raise AnswerError("paper", str(error)) from None


def _measured(typed: str, paper_name: str) -> tuple[Correction, Mapping[str, str]]:
    """Return the correction for a printer's error, and the setting that keeps it where it is new.

    Raises `AnswerError`.
    """
    if not typed:
        return settings().correction_for(paper_name), {}
    try:
        correction = read_measured(typed)
    except PaperError as error:
        raise AnswerError("measured", str(error)) from None
    return correction, {measured_key(paper_name): "" if correction == TRUE else typed}


def _stem_path(answers: Answers) -> Path:
    """Return folder and how the names begin. Raises `AnswerError`."""
    place, name = Path(answers.get("folder") or ".").expanduser(), answers.get("name", "")
    if not place.is_dir():
        raise AnswerError("folder", f"{clean(str(place), 100)}: there is no such folder")
    if not os.access(place, os.W_OK):
        raise AnswerError("folder", f"{clean(str(place), 100)}: writing there is not allowed")
    if not name or Path(name).name != name or name.startswith("."):
        raise AnswerError("name", "give a name without a folder, such as easy-taper")
    return place / name


def _choice(field: Field, answers: Answers) -> str:
    """Return which of the choices is meant, the first where none is said. Raises `AnswerError`."""
    known, said = dict(field.choices), answers.get(field.key, "")
    if field.key == "what" or not known or said in known:
        return said
    if said:
        labels = "; ".join(known.values())
        raise AnswerError(field.key, f'"{clean(said, 30)}" is none of these: {labels}')
    return next(iter(known))


def _names(what: str) -> list[str]:
    said = re.split(r"[\s,;+&]+", what.lower())
    return [name for name in said if name not in ("", "and")]


def _kinds(what: str) -> tuple[Format, ...]:
    """Return the rows that are wanted: all, or those named, with blanks or commas between."""
    names = _names(what)
    if names in ([], ["all"]):
        return tuple(FORMATS.values())
    for name in names:
        if name not in FORMATS:
            raise AnswerError("what", f"{clean(name, 30)} is not one of {', '.join(FORMATS)}")
    return tuple(row for row in FORMATS.values() if row.name in names)


def are_kinds(what: str) -> bool:
    """Whether a text names kinds of files and nothing else."""
    return set(_names(what)) <= {"all", *FORMATS}


def carry_out(pattern: Pattern, order: Order, going: Going) -> Iterator[str]:
    """Write the files, yielding before each that it is begun and after it what was written.

    What is there already is written over: ask first. What was measured is kept. Raises
    `StoreError`, `PaperError`, or `legtaper.model.cancel.Cancelled` where `going` says no.
    """
    from legtaper.outputs.sheet_count import count_lines
    from legtaper_wizard.flow.writing import today, write_pattern_file

    if order.keeps:
        change_settings(order.keeps)
    options = replace(order.options, progress=going, on=today())
    for file in order.files:
        if "paper" in format_of(file).needs:
            yield f"{file.name}: {' '.join(count_lines(pattern, options))}"
        yield f"Writing {file.name} ..."
        if not going(0, 0):
            from legtaper.model.cancel import Cancelled

            raise Cancelled
        yield write_pattern_file(pattern, file, options, force=True)
