"""The muslin round that is worked on, and the designs it offers."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from legtaper.model.project import Design, Project, Round, SeamName
from legtaper_wizard.flow.derived_state import Known, chosen_design, standing
from legtaper_wizard.flow.shapes import Cursor

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.muslin.advice import Tried
    from legtaper.pattern import Fit


def number_at(project: Project, at: Cursor) -> int | None:
    """Return the number of the last round of the design that is worked on."""
    design = chosen_design(project, at)
    if design is None or not project.rounds:
        return None
    from legtaper.muslin.log import last_of

    return last_of(project, design.name)


def round_at(project: Project, at: Cursor) -> Round | None:
    """Return the last round of the design that is worked on."""
    number = number_at(project, at)
    return project.rounds[number - 1] if number else None


def is_waiting(project: Project, at: Cursor) -> bool:
    """Whether a test of the design is printed and not tried on yet."""
    from legtaper.muslin.log import is_tried

    one = round_at(project, at)
    return one is not None and not is_tried(one)


def changed_at(project: Project, at: Cursor) -> str:
    """Return what has changed since the round that is worked on: "block", "design", or ""."""
    one = round_at(project, at)
    if one is None:
        return ""
    from legtaper.muslin.log import changed_since

    return changed_since(project, one, standing(project, at).block)


def is_done(project: Project, at: Cursor) -> bool:
    """Whether the last verdict on the design that is worked on is "done", and it is as it was."""
    one = round_at(project, at)
    return one is not None and one.verdict == "done" and changed_at(project, at) != "design"


def pinchable(block: Block, seam: SeamName) -> tuple[str, ...]:
    """Return the levels at which a seam can be pinched, from the hem upwards."""
    top = block.blend_top(seam)
    return tuple(level for level, y in block.heights.items() if y < top - 1e-6)


# --- what comes next -------------------------------------------------------------------------


class Offer(NamedTuple):
    """The next designs that a round offers, each as a fit, and the one that was sewn.

    even: with the pinches evened out over the four edges. pinched: as they were pinched; `None`
    where that is the same. problem: why there is none.
    """

    sewn: Fit | None = None
    even: Fit | None = None
    pinched: Fit | None = None
    problem: str = ""


def offer(project: Project, at: Cursor) -> Offer:
    """Return what the round that is worked on offers. Never raises."""
    number = number_at(project, at)
    if number is None or standing(project, at).fit is None or is_waiting(project, at):
        return Offer()
    return _offer(Known(project), number)


@lru_cache(maxsize=4)
def _offer(key: Known, number: int) -> Offer:
    from legtaper.muslin.log import with_next
    from legtaper.muslin.next_design import depths
    from legtaper.pattern import fit_design

    project = key.project
    one = project.rounds[number - 1]
    found = standing(project, Cursor(one.design))
    if found.block is None or found.fit is None:
        return Offer()
    try:
        even, pinched = next_designs(project, found.block, number)
        fit = fit_design(with_next(project, even), even, found.block)
        other = None
        if pinched != even and depths(one):
            other = fit_design(with_next(project, pinched), pinched, found.block)
    except ValueError as error:
        return Offer(found.fit, problem=getattr(error, "problem", str(error)))
    return Offer(found.fit, fit, other)


def next_designs(project: Project, block: Block, number: int) -> tuple[Design, Design]:
    """Return the design that follows a round, evened out, and as pinched. Raises `ProjectError`."""
    from legtaper.muslin.next_design import even_out, next_design

    pinched = next_design(project, block, number)
    levels = {pinch.level for pinch in project.rounds[number - 1].pinches}
    return even_out(project, block, pinched, levels), pinched


def tried_cures(project: Project, at: Cursor) -> tuple[Tried, ...]:
    """Return the cures of the signs of the round that is worked on, tried. Never raises."""
    number, one = number_at(project, at), round_at(project, at)
    if number is None or one is None or not one.signs:
        return ()
    return _cures(Known(project), number)


@lru_cache(maxsize=4)
def _cures(key: Known, number: int) -> tuple[Tried, ...]:
    from legtaper.muslin.advice import try_cures

    project = key.project
    block = standing(project, Cursor(project.rounds[number - 1].design)).block
    try:
        return try_cures(project, block, number) if block else ()
    except ValueError:  # what was sewn cannot be built any more; its own step says why
        return ()
