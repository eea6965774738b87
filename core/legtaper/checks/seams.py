"""The new seams themselves: where they run into the old ones, and how."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from legtaper.checks.base import Check, Finding, Leg, Measured, Status, edges_of, least
from legtaper.geometry.curves import Array
from legtaper.geometry.seam import KINK_TOLERANCE, OUTSIDE_TOLERANCE, TIGHTEST_TURN
from legtaper.model.levels import say_level
from legtaper.model.project import SEAMS, SeamName
from legtaper.model.said_lengths import say_apart, say_up_to

_TURN = 10.0  # degrees: common practice, as below
_CROTCH_CURVE = 100.0
"""mm below the crotch point in which the crotch curve runs out: common practice."""
_SHORT = 50.8
"""A turn of more than 10 degrees within 5 cm (2 in) is hard to sew flat: common practice."""


def _kink_spare(leg: Measured, seam: SeamName) -> Array:
    """Return how many degrees a seam may bend more."""
    return least([KINK_TOLERANCE - leg.kink(edge) for edge in edges_of(seam)])


def _ruled_spare(leg: Measured, seam: SeamName) -> Array:
    """Return how far, mm, a ruled seam may still leave the old one, or take more than asked."""
    return least([-leg.excess(edge) for edge in edges_of(seam)])


def _turn_spare(leg: Measured) -> Array:
    """Return how much tighter, mm, the inseams may still turn into the crotch curve.

    What blends lower turns into a seam that lies flat, and only cautions.
    """
    low = leg.block.crotch - _CROTCH_CURVE
    turns = [leg.turn_radius(edge) for edge in edges_of("inseam") if leg.blend(edge) >= low]
    return least([np.asarray(math.inf), *turns]) - TIGHTEST_TURN


def _blend_margin(leg: Measured) -> Array:
    margins = [*(_kink_spare(leg, seam) for seam in SEAMS), _turn_spare(leg)]
    if leg.design.style == "straight":
        margins += [_ruled_spare(leg, seam) for seam in SEAMS]
    return least(margins)


def _blend(leg: Leg) -> Iterator[Finding]:
    for seam in SEAMS:
        trued = max(leg.taper.edges(seam), key=lambda one: one.outside)
        status, says = _blended(leg, seam)
        yield Finding("blend", status, trued.blend, leg.block.blend_top(seam), seam, says)


def _blended(leg: Leg, seam: SeamName) -> tuple[Status, str]:
    edges = leg.taper.edges(seam)
    if not any(one.changed for one in edges):
        return "pass", f"The {seam} stays as it is."
    if fault := _fault(leg, seam):
        return "fail", fault
    if caution := _blend_cautions(leg, seam):
        return "caution", caution
    unit = leg.project.length_unit
    height = say_up_to(edges[0].blend, leg.block.blend_top(seam), unit)
    return "pass", f"The {seam} runs into the old seam at {height} without a kink."


def _blend_cautions(leg: Leg, seam: SeamName) -> str:
    """Say what she must know of a seam that can be sewn, or nothing."""
    edges = leg.taper.edges(seam)
    outside = max(one.outside for one in edges)
    if outside > OUTSIDE_TOLERANCE:
        says = f"The {seam} is let out beyond the block by {leg.say_small(outside)}"
        return f"{says}; the paper and the fabric must allow it."
    if shorter := leg.taper.shortened(seam):
        asked, found = (leg.say(mm) for mm in shorter)
        says = f"The {seam} was to curve over {asked}, which reaches past the highest mark"
        return f"{says}; it curves over {found} instead."
    if turn := _sharp_turn(leg, seam):
        over = leg.say(edges[0].curve)
        return f"The {seam} turns {turn:.0f} degrees within {over}, which is hard to sew flat."
    if off := [one for edge in edges for one in edge.off_ruler]:
        height, swing = max(off, key=lambda one: one[1])
        level = min(leg.taper.asked, key=lambda asked: abs(asked.height - height)).level
        says = f"The {seam} turns so much at the {level} that it is {leg.say_small(swing)}"
        return f"{says} off a ruled line beside it."
    return ""


def _fault(leg: Leg, seam: SeamName) -> str:
    """Say why a seam cannot be sewn or ruled, or nothing."""
    if _kink_spare(leg, seam) < 0:
        kink = KINK_TOLERANCE - float(_kink_spare(leg, seam))
        return f"The {seam} would bend by {kink:.1f} degrees at one spot."
    if seam == "inseam" and _turn_spare(leg) < 0:
        radius = leg.say_small(float(_turn_spare(leg)) + TIGHTEST_TURN)
        least = leg.say_small(TIGHTEST_TURN)
        says = f"The inseam would turn on a radius of {radius} into the crotch curve"
        return f"{says}; under {least} it is no seam."
    if leg.design.style == "straight" and _ruled_spare(leg, seam) < 0:
        edges = {edge: leg.taper.seams[edge] for edge in edges_of(seam)}
        edge, trued = max(edges.items(), key=lambda one: one[1].excess)
        says = f"A ruled {edge.replace('_', ' ')} would"
        if trued.outside > OUTSIDE_TOLERANCE:
            return f"{says} be outside the old seam by {leg.say_small(trued.outside)}."
        return f"{says} take off {leg.say_small(trued.more)} more higher up than was asked for."
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
    top, level = leg.block.top, say_level(leg.block.fullest)
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


def _pocket(leg: Leg) -> Iterator[Finding]:
    """Say where the narrowing reaches up past the lower end of a side pocket or zipper."""
    end = leg.project.block.pocket_end
    edges = leg.taper.edges("outseam")
    if end is None or not any(one.changed for one in edges):
        return
    blend = max(one.blend for one in edges)
    ends, blends = leg.say(end.mm), leg.say(blend)
    status: Status = "pass"
    says = (
        f"The outseam blends at {blends} and the side pocket or zipper ends at {ends}, so the "
        "narrowing does not reach it."
    )
    if blend > end.mm + 1e-6:
        status = "caution"
        says = (
            f"The outseam blends at {blends} and the side pocket or zipper ends at {ends}, so the "
            "narrowing runs across it."
        )
    yield Finding("pocket", status, blend, end.mm, "outseam", says)


CHECKS = (
    Check("pocket", "Pocket or zipper", _pocket, ("blend",), moves=("below the pocket",),
          one_place=True),
    Check(
        "blend", "Blend", _blend, ("blend",), "the seams make a corner", _blend_margin,
        moves=(
            "blend outseam", "blend inseam", "blend both", "curve outseam", "curve inseam", "style",
            "even out", "width knee", "width left open",
        ),
    ),
    Check(
        "hang", "Hang", _hang, ("blend",), "would hang otherwise", _hang_margin,
        moves=("usual blend", "blend outseam"), one_place=True,
    ),
)  # fmt: skip
