"""What mends a design, in lines: each finding, and below it the numbered changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from legtaper_wizard.flow.shapes import KINDS, SIGNS

if TYPE_CHECKING:
    from legtaper.remedies.mend import Mending

NOTHING = "Nothing fails, and nothing is a warning: there is nothing to mend."


def mend_lines(mendings: Sequence[Mending]) -> list[str]:
    """Return each finding with what mends it, or why nothing does."""
    if not mendings:
        return [NOTHING]
    lines: list[str] = []
    for one in mendings:
        lines.append(f"{SIGNS[KINDS[one.finding.status]]:<9} {one.finding.says}")
        lines += [f"   {mend.number:>2}  {mend.says}" for mend in one.mends]
        lines += [f"       {one.why_not}"] if one.why_not else []
        lines.append("")
    return lines[:-1]
