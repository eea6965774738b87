"""Every check, in the order of the job."""

from __future__ import annotations

from typing import Final

from legtaper.checks import (
    asked_widths,
    cutting,
    ease,
    hem_edge,
    opening,
    proportion,
    recovery,
    seams,
    sewn_pairs,
    tested_block,
)
from legtaper.checks.base import Check, Finding, Leg
from legtaper.model.levels import say_level

CHECKS: Final[tuple[Check, ...]] = (
    *tested_block.CHECKS,
    *asked_widths.CHECKS,
    *seams.CHECKS,
    *opening.CHECKS,
    *ease.CHECKS,
    *recovery.CHECKS,
    *sewn_pairs.CHECKS,
    *hem_edge.CHECKS,
    *proportion.CHECKS,
    *cutting.CHECKS,
)

_BY_ID: Final = {check.id: check for check in CHECKS}


def look(leg: Leg) -> tuple[Finding, ...]:
    """Return what the checks find on a leg: those of the seams, or of the panels once cut."""
    cut = leg.panels is not None
    return tuple(found for check in CHECKS if check.cut == cut for found in check.says(leg))


def check_of(finding_id: str) -> Check:
    """Return the check that a finding came from. Raises `KeyError` for another id."""
    return _BY_ID[finding_id]


def checks_on(step: str) -> tuple[Check, ...]:
    """Return the checks that a step of the job shows and can mend."""
    return tuple(check for check in CHECKS if step in check.steps)


def fails_as(finding_id: str) -> str:
    """Say in a few words what it means that a finding fails."""
    check = _BY_ID.get(finding_id)
    return (check and check.fails_as) or finding_id.replace("-", " ")


def name_of(finding_id: str, where: str) -> str:
    """Return what a check is called, and the seam or level where that is not in its name."""
    check = _BY_ID.get(finding_id)
    name = check.name if check else finding_id.replace("-", " ")
    place = say_level(where)
    only_one = check is not None and check.one_place
    return name if only_one or place in name else f"{name}, {place}"
