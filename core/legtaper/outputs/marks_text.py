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
    lines = [*heading(fit), *_before_the_wash(fit)]
    for seam in ("outseam", "inseam"):
        lines += ["", *table_lines(marks_table(fit, seam, step))]
    rows = tuple(
        (clean(level.replace("_", " "), 30), say_length(mm, unit, step), _exact(fit, level))
        for level, mm in reversed(tuple(after_rounding(fit, step).items()))
    )
    table = SheetTable("Round the leg", ("Level", "after rounding", "exact"), rows)
    return "\n".join([*lines, "", *table_lines(table)])


def _before_the_wash(fit: Fit) -> list[str]:
    """Say that the marks are larger than the leg will be, where the fabric shrinks."""
    if fit.grown is fit:
        return []
    across, along = (f"{100 * (factor - 1):.1f} %" for factor in fit.project.fabric.growth)
    return [
        f"Before the wash: every mark is {along} higher and {across} farther out than on the",
        "washed leg, and so is the old line that they come in from. Allowances do not grow.",
    ]


def _exact(fit: Fit, level: str) -> str:
    width = fit.grown.taper.finished[level]
    return say_exact(width, fit.project.length_unit)
