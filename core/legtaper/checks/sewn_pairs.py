"""Seams that are sewn together: inseam and outseam of a panel, front and back of a seam."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from legtaper.checks.base import Check, Finding, Leg, Measured, Status, edges_of, least
from legtaper.geometry.curves import Array
from legtaper.model.project import EDGES, PANELS, SEAMS, Edge, SeamName

_PASSES, _CAUTIONS = 1.5, 3.0  # mm

_ALIKE: Mapping[str, float] = {"hem": 2.0, "knee": 3.0}
"""mm by which what comes off two edges may differ and still be called alike."""

_UNLIKE = 6.35  # mm, 1/4 in

_NOTHING = 0.05  # mm

_BESIDE: tuple[tuple[Edge, Edge], ...] = (
    *PANELS.values(),
    ("front_inseam", "back_inseam"),
    ("front_outseam", "back_outseam"),
)


def _balance(leg: Leg) -> Iterator[Finding]:
    """Compare what comes off: inseam with outseam of a panel, front with back of a seam.

    Knee and bottom lie equally far each side of the center line: G. F. Hertzer, Garment Cutting in
    the Twentieth Century (1892). The bounds are common practice.
    """
    for level, alike in _ALIKE.items():
        taken = {edge: leg.taper.taken(edge, level) for edge in EDGES}
        one, other = max(_BESIDE, key=lambda pair: abs(taken[pair[0]] - taken[pair[1]]))
        apart = abs(taken[one] - taken[other])
        status: Status = "pass" if apart <= _UNLIKE + 1e-9 else "caution"
        says = f"All four edges change alike at the {level}, so the crease stays in the middle."
        if apart > alike + 1e-9:
            edges = " and ".join(_off(leg, edge, taken[edge]) for edge in (one, other))
            says = f"The edges change unalike at the {level}: {edges}."
        yield Finding("balance", status, apart, _UNLIKE, level, says)


def _off(leg: Leg, edge: Edge, taken: float) -> str:
    said = leg.say_small(abs(taken)) if abs(taken) >= _NOTHING else "nothing"
    word = "added to" if taken <= -_NOTHING else "off"
    return f"{said} {word} the {edge.replace('_', ' ')}"


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
    Check(
        "balance", "Balance", _balance, ("narrowing", "blend"),
        moves=("width knee", "even out", "blend both", "style"),
    ),
    Check(
        "sewn-pair", "Front and back sewn together", _sewn_pair, ("blend",),
        "front and back sew unevenly", _pair_margin,
        moves=(
            "blend outseam", "blend inseam", "blend both", "curve outseam", "curve inseam",
            "width knee", "style",
        ),
    ),
)  # fmt: skip
