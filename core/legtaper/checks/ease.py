"""Ease: how much wider the leg is than the body in it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np

from legtaper.checks.base import Check, Finding, Leg, Measured, Status
from legtaper.geometry.curves import Array

EASE_MINIMUM = 25.4
"""mm at thigh, knee and calf; halved for stretch cloth.

Nebraska Extension EC73-455 (1973), "Pants Measurement Chart": 1 to 2 in; New Mexico State
C-209: thigh 1 to 2 in, knee at least 1 in.
"""


def _spare(leg: Measured, girth: str, level: str) -> Array:
    """Return how much larger the leg is than the body once the cloth has stretched, mm."""
    body, width = getattr(leg.project.wearer, girth), leg.width(level)
    if body is None:
        return np.full(width.shape, math.inf)
    spare: Array = width * (1 + leg.project.fabric.usable_stretch) - body.mm + 1e-9
    return spare


def _margin(girth: str, level: str) -> Callable[[Measured], Array]:
    return lambda leg: _spare(leg, girth, level)


def _at(level: str) -> Callable[[Leg], Iterator[Finding]]:
    return lambda leg: _ease(leg, level)


def _ease(leg: Leg, level: str) -> Iterator[Finding]:
    minimum = EASE_MINIMUM / 2 if leg.project.fabric.stretches else EASE_MINIMUM
    girth = getattr(leg.project.wearer, level)
    if girth is None:
        says = f"Ease at the {level} is not known: the wearer's {level} was not measured."
        yield Finding(f"ease-{level}", "unknown", None, minimum, level, says)
        return
    ease = leg.taper.finished[level] - girth.mm
    usual = f"{leg.say(minimum)} to {leg.say(2 * minimum)}"
    spare = float(_spare(leg, level, level))
    status: Status = "pass"
    says = f"Ease at the {level} is {leg.say(ease)}; the usual is {usual}."
    if spare < 0:
        status = "fail"
        says = f"The {level} is {leg.say_small(-spare)} larger than the leg there; take less off."
    elif ease < minimum - 1e-9:
        status = "caution"
        says += " Sit and climb in the muslin."
    placed = level in leg.block.estimated
    if placed:
        says += f" The {level} level was not given and is placed at a usual height."
    yield Finding(f"ease-{level}", status, ease, minimum, level, says, placed)


def _ankle(leg: Leg) -> Iterator[Finding]:
    """Say where a hem would not close round the ankle, slit or no slit: common practice."""
    ankle, hem = leg.project.wearer.ankle, leg.taper.finished["hem"]
    if ankle and _spare(leg, "ankle", "hem") < 0:
        says = (
            f"The hem is {leg.say(hem)} round and the ankle {leg.say(ankle.mm)}, so it would not "
            "close; take less off."
        )
        yield Finding("ease-ankle", "fail", hem - ankle.mm, 0.0, "hem", says)


def _bent_knee(leg: Leg) -> Iterator[Finding]:
    bent = leg.project.wearer.knee_bent
    if bent is None:
        says = "Measure the knee bent, too: it is larger than the knee standing."
        yield Finding("ease-knee-bent", "unknown", None, 0.0, "knee", says)
        return
    ease = leg.taper.finished["knee"] - bent.mm
    status: Status = "pass"
    says = f"The bent knee has {leg.say(ease)} of ease."
    if _spare(leg, "knee_bent", "knee") < 0:
        status = "fail"
        says = f"The bent knee is {leg.say(-ease)} larger than the leg; it would bind."
    elif ease < -1e-9:
        status, says = "caution", "The bent knee needs the cloth's stretch; sit in the muslin."
    yield Finding("ease-knee-bent", status, ease, 0.0, "knee", says)


CHECKS = (
    *(
        Check(
            f"ease-{level}", f"Ease at the {level}", _at(level), ("narrowing", "blend"),
            f"too close at the {level}", _margin(level, level),
        )
        for level in ("thigh", "knee", "calf")
    ),
    Check(
        "ease-ankle", "Ease at the ankle", _ankle, ("narrowing", "foot"),
        "too close at the ankle", _margin("ankle", "hem"),
    ),
    Check(
        "ease-knee-bent", "Ease at the bent knee", _bent_knee, ("narrowing", "blend"),
        "too close at a bent knee", _margin("knee_bent", "knee"),
    ),
)  # fmt: skip
