"""Widths that can only have been measured flat, on one side of the leg."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.model.lengths import Length, from_mm
from legtaper.model.levels import say_level
from legtaper.model.project import Project
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.questions.question import At
from legtaper_wizard.flow.shapes import MEANT

_FLAT = 0.55
"""A leg is hardly narrowed to this share of the block and less (common practice)."""
_SLIP = 0.5
"""Less than this share of what a leg needs is a slip, even flat (common practice)."""
_GIRTHS = {"hem": "ankle", "calf": "calf", "knee": "knee", "thigh": "thigh"}
"""What of the body a leg must at least go around at each level."""


def flat_slip(project: Project, at: At, around: Length) -> Iterator[str]:
    """Ask about a width around the leg that is less than a leg needs."""
    less = f"Less than a leg needs at the {say_level(at.level)}."
    if doubled := only_flat(project, at, around):
        yield f"{less} Was it measured flat? Then it is {doubled.text} around."
    elif around.mm < _SLIP * _least(project, at):
        yield f"{less} {MEANT}"


def _least(project: Project, at: At) -> float:
    """Return the millimeters that a leg needs at a level, 0 where that is not known."""
    block = standing(project, at.cursor).block
    has = block.widths.get(at.level) if block else None
    girth: Length | None = getattr(project.wearer, _GIRTHS.get(at.level, ""), None)
    return girth.mm if girth else _FLAT * has if has else 0.0


def only_flat(project: Project, at: At, around: Length) -> Length | None:
    """Return twice a width around the leg that is less than a leg needs, else nothing.

    Where the block has no room for twice as much, or twice is too little, too, it was not
    measured flat either.
    """
    block = standing(project, at.cursor).block
    has = block.widths.get(at.level) if block else None
    least = _least(project, at)
    if not least / 2 <= around.mm < least or (has and 2 * around.mm > has + 0.05):
        return None
    return from_mm(2 * around.mm, project.length_unit)
