"""The marking table as text to read."""

from __future__ import annotations

from legtaper.model.safe_text import wrapped
from legtaper.outputs.marks_tables import marks_tables
from legtaper.outputs.text_tables import PAGE, heading, table_lines
from legtaper.pattern import Fit


def marks_text(fit: Fit, step: str) -> str:
    """Return the answer of `marks`: both seams, below the hem, and the widths that they make."""
    lines = [*heading(fit), *_before_the_wash(fit)]
    for table in marks_tables(fit, step):
        lines += ["", *table_lines(table)]
    return "\n".join(lines)


def _before_the_wash(fit: Fit) -> list[str]:
    """Say that the marks are larger than the leg will be, where the fabric shrinks."""
    if fit.grown is fit:
        return []
    grown = fit.project.fabric.grown_in_words("higher", "farther out")
    says = (
        f"Before the wash: every mark is {grown} than on the washed leg, and so is the old line "
        "that they come in from. Allowances do not grow."
    )
    return wrapped(says, PAGE - 2)
