"""Seams that are sewn together: inseam and outseam of a panel, front and back of a seam."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from legtaper.checks.base import Check, Finding, Leg, Measured, Status, edges_of, least
from legtaper.geometry.curves import Array
from legtaper.model.project import PANELS, SEAMS, SeamName

_PASSES, _CAUTIONS = 1.5, 3.0  # mm


def _balance(leg: Leg) -> Iterator[Finding]:
    for level, limit in (("hem", 2.0), ("knee", 6.0)):
        apart = max(
            abs(leg.taper.taken(inseam, level) - leg.taper.taken(outseam, level))
            for inseam, outseam in PANELS.values()
        )
        status: Status = "pass"
        says = f"Inseam and outseam change alike at the {level}; the crease line stays centered."
        if apart > limit + 1e-9:
            status = "caution"
            cure = (
                "ask for a width at the knee, which takes the same off every edge there"
                if level == "knee"
                else "even it out over the four edges, or see in the muslin how the crease hangs"
            )
            says = f"Inseam and outseam change unalike at the {level}, by {leg.say(apart)}; {cure}."
        yield Finding("balance", status, apart, limit, level, says)


def _apart(leg: Measured, seam: SeamName) -> Array:
    """Return how much more front and back of a seam differ in length than in the block, mm."""
    front, back = edges_of(seam)
    own = leg.block.lengths[front] - leg.block.lengths[back]
    result: Array = np.abs(leg.length(front) - leg.length(back) - own)
    return result


def _pair_margin(leg: Measured) -> Array:
    return least([_CAUTIONS - _apart(leg, seam) for seam in SEAMS])


def _sewn_pair(leg: Leg) -> Iterator[Finding]:
    for seam in SEAMS:
        apart = float(_apart(leg, seam))
        status: Status = "pass"
        says = (
            f"Front and back {seam} still sew together, {leg.say_small(apart)} from the block's "
            "own match."
        )
        if apart > _PASSES:
            status = "caution" if apart <= _CAUTIONS else "fail"
            says = (
                f"Front and back {seam} differ by {leg.say_small(apart)} more than in the block; "
                f"ease it in above the knee, or choose another blend for the {seam}: try lower."
            )
        limit = _CAUTIONS if status == "fail" else _PASSES
        yield Finding("sewn-pair", status, apart, limit, seam, says)


CHECKS = (
    Check("balance", "Balance", _balance, ("narrowing", "blend")),
    Check(
        "sewn-pair", "Front and back sewn together", _sewn_pair, ("blend",),
        "front and back sew unevenly", _pair_margin,
    ),
)  # fmt: skip
