"""The lower edge: how it runs on across the seams, and whether it can fold up straight."""

from __future__ import annotations

import math
from collections.abc import Iterator

from legtaper.checks.base import Check, Finding, Leg, Status, edges_of
from legtaper.leg.block import HEM_BOW
from legtaper.leg.hem import MOST_SAG, hem_sag
from legtaper.model.project import SEAMS, Edge, SeamName
from legtaper.model.said_lengths import say_apart

_CORNER = 10.0
"""Degrees by which the two corners at a seam may miss a straight hem: common practice."""


def _hem_join(leg: Leg) -> Iterator[Finding]:
    """Add up the two corners at each seam, on the hem line as it will be cut."""
    shaped = leg.hem.style == "faced" and (
        leg.block.hem_bow > HEM_BOW or hem_sag(leg.taper) > MOST_SAG
    )
    for seam in SEAMS:
        total = 180.0 if shaped else 180 + sum(_lean(leg, edge) for edge in edges_of(seam))
        limit = 180 + math.copysign(_CORNER, total - 180)
        status: Status = "pass" if abs(total - 180) <= _CORNER else "caution"
        says = f"The hem runs on across the {seam}."
        if shaped:
            says = f"The shaped hem runs on across the {seam}."
        elif status == "caution":
            says = _cornered(leg, seam, total)
        yield Finding("hem-join", status, total, limit, seam, says)


def _cornered(leg: Leg, seam: SeamName, total: float) -> str:
    """Say the corner, and where the seam has to end for the hem to run on across it."""
    says = f"Straight hems make a corner of {total:.0f} degrees at the {seam}"
    if hem_sag(leg.taper) > MOST_SAG:
        return f"{says}: the hem has to curve to run on across it."
    half = sum(leg.taper.reaches[edge]["hem"] for edge in edges_of(seam)) / 2
    off = half * math.tan(math.radians(abs(total - 180) / 2)) / 2
    way = "lower" if total > 180 else "higher"
    return (
        f"{says}: draw the hem to end {leg.say_small(off)} {way} there, in a curve that runs out "
        "at the middle of each panel."
    )


def _lean(leg: Leg, edge: Edge) -> float:
    """Return by how many degrees the corner of an edge and its straight hem is above 90."""
    side, slope = leg.block.hem_of(edge)
    return math.degrees(math.atan(leg.taper.seams[edge].hem_slope) + math.atan(side * slope))


def _hem_sag(leg: Leg) -> Iterator[Finding]:
    off = hem_sag(leg.taper)
    said, most = leg.say_small(off), leg.say_small(MOST_SAG)
    if said == most and off > MOST_SAG:
        said, most = say_apart(off, MOST_SAG, leg.project.length_unit)
    status: Status = "pass"
    says = f"A straight hem is {said} off the true one, which runs straight across the seams."
    if off > MOST_SAG and leg.hem.style == "faced":
        says = f"The true hem curves by {said}; hem and facing are drawn to that curve."
    elif off > MOST_SAG:
        status = "caution"
        says = (
            f"A straight hem is {said} off the true one, which runs straight across the seams; "
            f"more than {most} does not fold up flat."
        )
    yield Finding("hem-sag", status, off, MOST_SAG, "hem", says)


def _hem_shape(leg: Leg) -> Iterator[Finding]:
    bow = leg.block.hem_bow
    if bow > HEM_BOW and leg.design.hem.style != "faced":
        says = (
            f"The hem of the block curves by {leg.say_small(bow)} and cannot fold flat, "
            "so it gets a facing of the leg's own shape."
        )
        yield Finding("hem-shape", "caution", bow, HEM_BOW, "hem", says)


def _turn_under(leg: Leg) -> Iterator[Finding]:
    """Say what was asked to be turned under where nothing is."""
    asked, style = leg.design.hem.turn_under, leg.hem.style
    if asked is not None and asked.mm and style != "double":
        says = (
            f"The turn-under of {leg.say(asked.mm)} is not used: the hem is {style}, and only a "
            "double one is turned under."
        )
        yield Finding("turn-under", "pass", 0.0, asked.mm, "hem", says)


CHECKS = (
    Check(
        "hem-join", "Hem across the seam", _hem_join, ("hem",), moves=("faced hem", "blend both")
    ),
    Check(
        "hem-sag",
        "Straight hem",
        _hem_sag,
        ("hem",),
        moves=("faced hem", "blend both"),
        one_place=True,
    ),
    Check("hem-shape", "Shape of the hem", _hem_shape, ("hem",), moves=("faced hem",)),
    Check("turn-under", "Turn under", _turn_under, ("hem",)),
)  # fmt: skip
