"""Widths that can only have been measured flat, on one side of the leg."""

from __future__ import annotations

from legtaper.model.lengths import Length, from_mm
from legtaper.model.project import Project
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.questions.question import At

_FLAT = 0.55
"""A leg is hardly narrowed to this share of the block and less (common practice)."""
_GIRTHS = {"hem": "ankle", "calf": "calf", "knee": "knee", "thigh": "thigh"}
"""What of the body a leg must at least go around at each level."""


def only_flat(project: Project, at: At, around: Length) -> Length | None:
    """Return twice a width around the leg that is less than a leg needs, else nothing.

    Where the block has no room for twice as much, it was not measured flat either.
    """
    block = standing(project, at.cursor).block
    has = block.widths.get(at.level) if block else None
    girth: Length | None = getattr(project.wearer, _GIRTHS.get(at.level, ""), None)
    least = girth.mm if girth else _FLAT * has if has else 0.0
    if around.mm >= least or (has and 2 * around.mm > has + 0.05):
        return None
    return from_mm(2 * around.mm, project.length_unit)
