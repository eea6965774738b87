"""Every file that a pattern can be written as, one row each: what the front ends offer and render.

To add an output: a module with a function from `Pattern` and `Options` to bytes, and a row in
`FORMATS`. The commands, the wizard and the line prompts offer what stands there. A renderer's
libraries are imported where it renders, so that a front end may list the rows at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import PurePath
from typing import TYPE_CHECKING, Literal

from legtaper.model.remembered import remembered
from legtaper.outputs.printing import TRUE, Correction, Look, PrintJob, Progress, Words

if TYPE_CHECKING:
    from legtaper.model.project import Side
    from legtaper.outputs.drawing import Drawing
    from legtaper.outputs.front_sheet import Sheet
    from legtaper.outputs.piece_words import LegChoice, Printing
    from legtaper.outputs.tiles import Tiling
    from legtaper.pattern import Pattern

Need = Literal["leg", "paper", "step", "printing", "words"]
"""What a row asks of `Options`; what is not needed is not asked for."""

_COLUMNS = 80  # of an outline as text

LEGS: Mapping[LegChoice, tuple[str, str]] = {
    "narrowed": ("narrowed", "the narrowed leg"),
    "unaltered": ("as the block", "the unaltered leg"),
    "both": ("both, for the muslin", "the narrowed and the unaltered leg"),
}
"""Each leg as a choice, and as a part of a sentence."""


@dataclass(frozen=True)
class Options:
    """What is wanted of a file. paper: as `papers.paper` reads it. on: the day on the sheets.

    step: what the marks are rounded to; `None` is the usual one of the project's unit. narrowed:
    of both legs, which is the narrowed one. correction: for the error of a printer. fronts: with
    the sheets in front of the pattern. look: how lines are printed. words: text in a file for a
    cutter as text, as outlines, or none.
    """

    leg: LegChoice = "narrowed"
    paper: str = "a4"
    on: date | None = None
    step: str | None = None
    progress: Progress | None = None
    narrowed: Side = "right"
    correction: Correction = TRUE
    fronts: bool = True
    look: Look = "plain"
    words: Words = "text"


@dataclass(frozen=True)
class Format:
    """One kind of file.

    name: what it is asked for by. ending: what a name that is made up gets. suffixes: the endings
    by which a file that is named is known. title: in a list to choose from. needs: of `Options`.
    render: pattern, options and the suffix of the file -> its bytes; raises `PaperError` for a
    paper that is unknown or too small. as_text: whether `formats.render` gives it as text.
    """

    name: str
    ending: str
    suffixes: tuple[str, ...]
    title: str
    needs: frozenset[Need]
    render: Callable[[Pattern, Options, str], bytes]
    as_text: bool = True

    def words(self, options: Options) -> str:
        """Return what such a file holds, as a part of a sentence."""
        if "leg" not in self.needs:
            return self.title
        said = f"{LEGS[options.leg][1]} at true size"
        if "printing" in self.needs and options.correction != TRUE:
            across, up = (100 * (by - 1) for by in options.correction)
            said += (
                f", drawn {across:+.2f} % across and {up:+.2f} % up for your printer's error; "
                "print the test rectangle again to see that it measures true"
            )
        return said


def drawn(pattern: Pattern, options: Options) -> Drawing:
    """Return the drawing that the files with a leg in them hold, the same one at every call."""
    from legtaper.outputs.pattern_drawing import draw_pattern

    printing = _printing(options)
    return remembered(pattern, ("drawing", printing), lambda: draw_pattern(pattern, printing))


def fronts_of(pattern: Pattern, options: Options, tiling: Tiling) -> int:
    """Return how many pages a PDF has in front of its pattern, whose pages are `tiling`."""
    if not options.fronts:
        return 0
    from legtaper.outputs import pdf
    from legtaper.outputs.papers import paper

    sheet = _sheet(pattern, options)
    return pdf.count_fronts(drawn(pattern, options), tiling, paper(options.paper), sheet)


def _sheet(pattern: Pattern, options: Options) -> Sheet:
    from legtaper.outputs.front_sheet import pattern_sheet

    printing = _printing(options)
    return remembered(pattern, ("sheet", printing), lambda: pattern_sheet(pattern, printing))


def _printing(options: Options) -> Printing:
    from legtaper.outputs.piece_words import Printing

    return Printing(options.leg, options.on, options.narrowed)


def _pdf(pattern: Pattern, options: Options, _: str = "") -> bytes:
    from legtaper.outputs import pdf
    from legtaper.outputs.papers import paper

    on = paper(options.paper)
    subject = f"Design: {pattern.fit.design.name}"
    job = PrintJob(options.correction, options.fronts, options.look, subject, options.on)
    sheet = _sheet(pattern, options)
    return pdf.render(drawn(pattern, options), on, sheet, options.progress, job)


def _svg(pattern: Pattern, options: Options, _: str = "") -> bytes:
    from legtaper.outputs import svg

    return svg.render(drawn(pattern, options), options.words).encode()


def _dxf(pattern: Pattern, options: Options, _: str = "") -> bytes:
    from legtaper.outputs import dxf

    return dxf.render(drawn(pattern, options), options.words)


def _marks(pattern: Pattern, options: Options, suffix: str = "") -> bytes:
    from legtaper.outputs.csv_report import marks_csv
    from legtaper.outputs.marking_table import DEFAULT_STEP
    from legtaper.outputs.marks_text import marks_text

    step = options.step or DEFAULT_STEP[pattern.fit.project.length_unit]
    if suffix == ".csv":
        return marks_csv([(pattern.fit, step)]).encode()
    return f"{marks_text(pattern.fit, step)}\n".encode()


_ROWS = (
    Format(
        "pdf", ".pdf", (".pdf",), "PDF, to print",
        frozenset({"leg", "paper", "printing"}), _pdf, as_text=False,
    ),
    Format("svg", ".svg", (".svg",), "SVG", frozenset({"leg", "words"}), _svg),
    Format("dxf", ".dxf", (".dxf",), "DXF", frozenset({"leg", "words"}), _dxf, as_text=False),
    Format(
        "marks", "-marks.txt", (".txt", ".csv"), "the marking table", frozenset({"step"}), _marks
    ),
)  # fmt: skip
FORMATS: Mapping[str, Format] = {row.name: row for row in _ROWS}
"""The rows by name, in the order in which they are offered."""


def format_of(out: PurePath) -> Format:
    """Return the row that a file's name asks for. Raises `ValueError` naming the suffixes."""
    for row in FORMATS.values():
        if out.suffix.lower() in row.suffixes:
            return row
    if any(out.name.lower() in row.suffixes for row in FORMATS.values()):
        raise ValueError(f"put a name before the ending, as in leg{out.name}")
    raise ValueError(f"the name of the file must end in {suffix_words()}")


def suffix_words() -> str:
    """Return every suffix of `FORMATS` in order, as a text says them."""
    *others, last = (suffix for row in FORMATS.values() for suffix in row.suffixes)
    return f"{', '.join(others)} or {last}"


def needed(names: Iterable[str]) -> frozenset[Need]:
    """Return what any of the rows named needs."""
    return frozenset(need for name in names for need in FORMATS[name].needs)


def render(pattern: Pattern, name: str, options: Options | None = None) -> bytes | str:
    """Return a pattern as a row of `FORMATS` has it, or as "text": its outline for a terminal.

    Text or bytes, as its row says. Raises `ValueError` for a name that is not known.
    """
    if name == "text":
        return _outline(pattern)
    if name not in FORMATS:
        raise ValueError(f"no output is named {name[:30]}; there are {', '.join(FORMATS)} and text")
    row = FORMATS[name]
    data = row.render(pattern, options or Options(), "")
    return data.decode() if row.as_text else data


def _outline(pattern: Pattern) -> str:
    from legtaper.outputs import terminal_plot
    from legtaper.outputs.leg_views import panels_view

    fit = pattern.fit
    traces, tags = panels_view(fit.block, fit.project.length_unit, fit)
    return "\n".join(terminal_plot.render(traces, width=_COLUMNS, tags=tags))
