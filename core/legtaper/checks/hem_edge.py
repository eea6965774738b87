"""The lower edge: how it runs on across the seams, and whether it can fold up straight."""

from __future__ import annotations

import math
from collections.abc import Iterator

from legtaper.checks.base import Check, Finding, Leg, Status, edges_of
from legtaper.leg.block import HEM_BOW, Block
from legtaper.leg.hem import hem_sag
from legtaper.model.project import SEAMS, Edge


def _hem_join(leg: Leg) -> Iterator[Finding]:
    for seam in SEAMS:
        edges = edges_of(seam)
        leans = [math.degrees(math.atan(leg.taper.seams[edge].hem_slope)) for edge in edges]
        leans += [_hem_lean(leg.block, edge) for edge in edges]
        total = 180 + sum(leans)
        status: Status = "pass"
        says = f"The hem runs on across the {seam}."
        if abs(total - 180) > 6:
            status = "caution"
            says = (
                f"The hem would make a corner at the {seam} ({total:.0f} degrees); "
                "true the hem line across the seam before you cut."
            )
        yield Finding("hem-join", status, total, 186.0 if total >= 180 else 174.0, seam, says)


def _hem_lean(block: Block, edge: Edge) -> float:
    """Return by how many degrees a slanting hem line widens the corner at an edge."""
    side, slope = block.hem_of(edge)
    return math.degrees(math.atan(side * slope))


def _hem_sag(leg: Leg) -> Iterator[Finding]:
    off = hem_sag(leg.taper)
    status: Status = "pass"
    says = f"A straight hem is {leg.say_small(off)} off the true one, which nobody sees."
    if off > 3:
        status = "caution"
        says = (
            f"A straight hem is {leg.say_small(off)} off the true one; shape the hem and face it."
        )
        if leg.design.hem.style == "faced":
            says = f"The true hem curves by {leg.say_small(off)}; shape hem and facing alike."
    yield Finding("hem-sag", status, off, 3.0, "hem", says)


def _hem_shape(leg: Leg) -> Iterator[Finding]:
    bow = leg.block.hem_bow
    if bow > HEM_BOW and leg.design.hem.style != "faced":
        says = (
            f"The hem of the block curves by {leg.say_small(bow)} and cannot fold flat, "
            "so it gets a facing of the leg's own shape."
        )
        yield Finding("hem-shape", "caution", bow, HEM_BOW, "hem", says)


CHECKS = (
    Check("hem-join", "Hem across the seam", _hem_join, ("hem",)),
    Check("hem-sag", "Straight hem", _hem_sag, ("hem",)),
    Check("hem-shape", "Shape of the hem", _hem_shape, ("hem",)),
)
