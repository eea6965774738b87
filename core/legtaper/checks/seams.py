"""The new seams themselves: where they run into the old ones, and how."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from legtaper.checks.base import Check, Finding, Leg, Measured, Status, edges_of, least
from legtaper.geometry.curves import Array
from legtaper.geometry.seam import KINK_TOLERANCE, OUTSIDE_TOLERANCE
from legtaper.model.lengths import say_apart
from legtaper.model.project import SEAMS, Edge, SeamName

_TURN = 10.0
_SHORT = 50.8
"""A turn of more than 10 degrees within 5 cm (2 in) is hard to sew flat: common practice."""


def _kink_spare(leg: Measured, seam: SeamName) -> Array:
    """Return how many degrees a seam may bend more."""
    return least([KINK_TOLERANCE - leg.kink(edge) for edge in edges_of(seam)])


def _ruled_spare(leg: Measured, seam: SeamName) -> Array:
    """Return how far, mm, a ruled seam may still leave the old one."""
    return least([OUTSIDE_TOLERANCE - leg.outside(edge) for edge in edges_of(seam)])


def _blend_margin(leg: Measured) -> Array:
    margins = [_kink_spare(leg, seam) for seam in SEAMS]
    if leg.design.style == "straight":
        margins += [_ruled_spare(leg, seam) for seam in SEAMS]
    return least(margins)


def _blend(leg: Leg) -> Iterator[Finding]:
    for seam in SEAMS:
        trued = leg.taper.seams[_farthest_out(leg, seam)]
        status, says = _blended(leg, seam)
        yield Finding("blend", status, trued.blend, leg.block.blend_top(seam), seam, says)


def _farthest_out(leg: Leg, seam: SeamName) -> Edge:
    return max(edges_of(seam), key=lambda edge: leg.taper.seams[edge].outside)


def _blended(leg: Leg, seam: SeamName) -> tuple[Status, str]:
    trued = leg.taper.seams[_farthest_out(leg, seam)]
    if trued.eased is None:
        return "pass", f"The {seam} stays as it is."
    if fault := _fault(leg, seam):
        return "fail", fault
    if _ruled_spare(leg, seam) < 0:
        return "caution", (
            f"The {seam} is let out beyond the block by {leg.say_small(trued.outside)}; the paper "
            "and the fabric must allow it."
        )
    if turn := _sharp_turn(leg, seam):
        return "caution", (
            f"The {seam} turns {turn:.0f} degrees within {leg.say(trued.curve)}, which is hard to "
            "sew flat."
        )
    return "pass", f"The {seam} runs into the old seam at {leg.say(trued.blend)} without a kink."


def _fault(leg: Leg, seam: SeamName) -> str:
    """Say why a seam cannot be sewn or ruled, or nothing."""
    if _kink_spare(leg, seam) < 0:
        kink = KINK_TOLERANCE - float(_kink_spare(leg, seam))
        return f"The {seam} would bend by {kink:.1f} degrees at one spot."
    if leg.design.style == "straight" and _ruled_spare(leg, seam) < 0:
        worst = _farthest_out(leg, seam)
        out = leg.say_small(leg.taper.seams[worst].outside)
        return f"A ruled {worst.replace('_', ' ')} would lie outside the old seam by {out}."
    return ""


def _sharp_turn(leg: Leg, seam: SeamName) -> float:
    """Return the turn in degrees where a short curve would make an edge that shows, else 0."""
    turns = [0.0]
    for edge in edges_of(seam):
        trued = leg.taper.seams[edge]
        if trued.eased is None or trued.curve > _SHORT:
            continue
        below, above = trued.blend - trued.curve, trued.blend
        change = trued.slope(below) - trued.slope(above - 1e-9)
        own = trued.old.slope(below) - trued.old.slope(above - 1e-9)
        turns.append(abs(math.degrees(math.atan(float(change - own)))))
    return max(turns) if max(turns) > _TURN else 0.0


def _hang_margin(leg: Measured) -> Array:
    highest = max(leg.blend(edge) for edge in edges_of("outseam"))
    return np.asarray(leg.block.top + 1e-6 - highest)


def _hang(leg: Leg) -> Iterator[Finding]:
    blend = max(leg.blend(edge) for edge in edges_of("outseam"))
    top, level = leg.block.top, leg.block.fullest.replace("_", " ")
    status: Status = "pass"
    says = f"The outseam blends no higher than the {level}, so the trousers hang as they did."
    if _hang_margin(leg) < 0:
        blends, hangs = say_apart(blend, top, leg.project.length_unit)
        status = "fail"
        says = (
            f"The outseam blends at {blends}, above the {level} at {hangs}, where the trousers "
            "hang from."
        )
    yield Finding("hang", status, blend, top, "outseam", says)


CHECKS = (
    Check("blend", "Blend", _blend, ("blend",), "the seams make a corner", _blend_margin),
    Check("hang", "Hang", _hang, ("blend",), "would hang otherwise", _hang_margin),
)
