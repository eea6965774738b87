"""The muslin round that is worked on: its answers, in and out, and the designs it offers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any, cast

from legtaper.model.lengths import Length, from_mm
from legtaper.model.project import (
    CHECKLIST,
    Design,
    NoDesignError,
    Pinch,
    Project,
    ProjectError,
    Round,
    SeamName,
    Trial,
)
from legtaper_wizard.flow.derived_state import ById, chosen_design, standing
from legtaper_wizard.flow.shapes import AnswerError, Cursor

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.pattern import Fit

TRIALS: Mapping[str, Trial] = dict(
    zip(("stand", "sit", "climb", "bend", "foot"), CHECKLIST, strict=True)
)
"""The checklist by the words that its keys have."""


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


def is_stale(project: Project, at: Cursor) -> bool:
    """Whether the round that is worked on was sewn on another block than this."""
    one, block = round_at(project, at), standing(project, at).block
    return bool(one and block and one.fingerprint and one.fingerprint != block.fingerprint)


def is_done(project: Project, at: Cursor) -> bool:
    """Whether the last verdict on the design that is worked on is "done"."""
    one = round_at(project, at)
    return one is not None and one.verdict == "done"


def pinchable(block: Block, seam: SeamName) -> tuple[str, ...]:
    """Return the levels at which a seam can be pinched, from the hem upwards."""
    top = block.blend_top(seam)
    return tuple(level for level, y in block.heights.items() if y < top - 1e-6)


# --- answers ---------------------------------------------------------------------------------


def get_round(project: Project, rest: list[str], at: Cursor) -> object:
    """Return what is answered about the round, `None` where nothing is."""
    one = round_at(project, at)
    if one is None:
        return None
    if rest[0] == "printed":
        return one.printed if is_waiting(project, at) and not is_stale(project, at) else None
    if rest[0] == "trial":
        trial = TRIALS[rest[1]]
        return "trouble" if trial in one.trouble else "well" if trial in one.seen else None
    if rest[0] == "pinch":
        return _depth(project, one, rest)
    return getattr(one, rest[0])


def _depth(project: Project, one: Round, rest: list[str]) -> Length | None:
    """Return the depth pinched at a place; what a file has there more than once adds up."""
    found = [pinch.depth for pinch in one.pinches if [pinch.edge, pinch.level] == rest[1:]]
    if len(found) < 2:
        return found[0] if found else None
    return from_mm(sum(depth.mm for depth in found), project.length_unit)


def put_round(project: Project, rest: list[str], new: Any, at: Cursor) -> Project:
    """Return the project with an answer about the round, whose design is then the current one.

    Raises `AnswerError` where there is no round yet, or a pinch cannot be there.
    """
    from legtaper.muslin.log import accept, change_round, make_current, mark_printed

    key = "round." + ".".join(rest)
    block, design = standing(project, at).block, chosen_design(project, at)
    if block is None or design is None:
        raise AnswerError(key, NoDesignError().problem)
    number, one = number_at(project, at), round_at(project, at)
    if rest[0] == "printed":
        printed = mark_printed(project, block, design, new) if new else project
        return make_current(printed, design.name) if new else project
    if number is None or one is None:
        raise AnswerError(key, "no round is begun; say first that its test is printed")
    try:
        changed = change_round(project, number, _changed(project, block, one, (rest, new)))
        if rest[0] == "verdict" and new == "done":
            return accept(changed, number)
    except ProjectError as error:
        raise AnswerError(key, error.problem) from None
    return make_current(changed, design.name)


def _changed(project: Project, block: Block, one: Round, said: tuple[list[str], Any]) -> Round:
    rest, new = said
    if rest[0] == "trial":
        trial = TRIALS[rest[1]]
        seen = {*one.seen} - {trial} | ({trial} if new == "well" else set())
        trouble = {*one.trouble} - {trial} | ({trial} if new == "trouble" else set())
        return replace(
            one,
            seen=tuple(each for each in CHECKLIST if each in seen),
            trouble=tuple(each for each in CHECKLIST if each in trouble),
        )
    if rest[0] == "pinch":
        return _pinched(project, block, one, (rest, new))
    if rest[0] == "notes":
        return replace(one, notes=new or "")
    return replace(one, date=new) if rest[0] == "date" else replace(one, verdict=new)


def _pinched(project: Project, block: Block, one: Round, said: tuple[list[str], Any]) -> Round:
    """Return the round with a pinch in the place of what was pinched there before."""
    from legtaper.muslin.next_design import check_pinches

    (_, seam, level), depth = said
    kept = [pinch for pinch in one.pinches if (pinch.edge, pinch.level) != (seam, level)]
    if depth is None:
        return replace(one, pinches=tuple(kept))
    new = Pinch(level, cast(SeamName, seam), depth)
    check_pinches(block, replace(one, pinches=(new,)), project.length_unit)
    places = [i for i, p in enumerate(one.pinches) if (p.edge, p.level) == (seam, level)]
    kept.insert(places[0] if places else len(kept), new)
    return replace(one, pinches=tuple(kept))


# --- what comes next -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Offer:
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
    return _offer(ById(project), number)


@lru_cache(maxsize=4)
def _offer(key: ById, number: int) -> Offer:
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
