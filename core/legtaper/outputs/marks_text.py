"""The marking table as text to read."""

from __future__ import annotations

from legtaper.model.lengths import say_exact, say_length
from legtaper.model.safe_text import clean
from legtaper.model.sheet_table import SheetTable
from legtaper.outputs.front_sheet import marks_table
from legtaper.outputs.marking_table import after_rounding
from legtaper.outputs.text_tables import heading, table_lines
from legtaper.pattern import Fit


def marks_text(fit: Fit, step: str) -> str:
    """Return the answer of `marks`: both seams, and the widths that the rounded marks give."""
    unit = fit.project.length_unit
    lines = heading(fit)
    for seam in ("outseam", "inseam"):
        lines += ["", *table_lines(marks_table(fit, seam, step))]
    rows = tuple(
        (clean(level.replace("_", " "), 30), say_length(mm, unit, step), _exact(fit, level))
        for level, mm in reversed(tuple(after_rounding(fit, step).items()))
    )
    table = SheetTable("Round the leg", ("Level", "after rounding", "exact"), rows)
    return "\n".join([*lines, "", *table_lines(table)])


def _exact(fit: Fit, level: str) -> str:
    width = fit.taper.finished[level]
    return say_exact(width, fit.project.length_unit)
