"""Does the foot pass: the hem, and the slit that opens it."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from legtaper.checks.base import Check, Finding, Leg, Measured, Status
from legtaper.geometry.curves import Array


def _hem_margin(leg: Measured) -> Array:
    """Return how much higher the slit of the design is than the foot needs, mm."""
    needs = leg.passing()
    if leg.foot is None:
        return np.full(needs.shape, math.inf)
    has = leg.design.slit
    high = 0.0 if has == "none" else math.inf if has == "auto" else has.mm + 1e-6
    spare: Array = np.where(np.isnan(needs), -math.inf, high - needs)
    return spare


def _hem_opening(leg: Leg) -> Iterator[Finding]:
    hem = leg.taper.finished["hem"]
    opening = hem * (1 + leg.project.fabric.usable_stretch)
    if leg.foot is None:
        says = (
            "The foot entry is not known. Measure round the heel and over the instep, toes pointed."
        )
        yield Finding("hem-opening", "unknown", opening, None, "hem", says)
        return
    need = leg.say(leg.foot.mm)
    if leg.foot.estimated_from:
        need += f" (estimated from {leg.foot.estimated_from}; measure it to be sure)"
    opens = leg.say(opening) + (" stretched" if leg.project.fabric.stretches else "")
    status: Status = "pass"
    says = f"The hem opens to {opens}; the foot needs {need}."
    if _hem_margin(leg) < 0:
        status = "fail"
        says = f"The hem opens to {opens} but the foot needs {need}; {_slit_advice(leg)}."
    elif leg.slit.needed and leg.slit.height is not None:
        status = "caution"
        says = (
            f"The hem opens to {opens} and the foot needs {need}; "
            f"the slit of {leg.say(leg.slit.height)} lets it through."
        )
    guessed = bool(leg.foot.estimated_from)
    yield Finding("hem-opening", status, opening, leg.foot.mm, "hem", says, guessed)


def _slit_advice(leg: Leg) -> str:
    if leg.slit.lowest is None:
        return "no slit below the crotch would do, so take less off"
    return f"add a slit of {leg.say(leg.slit.lowest)} or take less off the hem"


def _slit_margin(leg: Measured) -> Array:
    """Return whether any height lets the foot through: nothing to spare, or all."""
    needs = leg.passing()
    if leg.foot is None:
        return np.full(needs.shape, math.inf)
    return np.where(np.isnan(needs), -math.inf, math.inf)


def _slit(leg: Leg) -> Iterator[Finding]:
    height = leg.slit.height if leg.slit.height is not None else leg.slit.lowest
    status, says = _slitted(leg, height)
    yield Finding("slit", status, height, leg.block.heights["calf"], "hem", says)


def _slitted(leg: Leg, height: float | None) -> tuple[Status, str]:
    slit, needs = leg.slit, leg.slit.lowest
    if leg.foot is None and slit.height is None:
        return "unknown", "Whether a slit is needed is not known without the foot entry."
    if _slit_margin(leg) < 0:
        return "fail", "The leg is too narrow for the foot all the way up; take less off."
    if height is not None and height > leg.block.heights["calf"]:
        return "caution", (
            f"The slit would reach {leg.say(height)}, above the calf; make an opening with a zip "
            "or buttons instead, or take less off."
        )
    if needs is not None and not slit.lets_foot_through:
        has = "there is none" if slit.height is None else f"it is {leg.say(slit.height)} high"
        return "caution", f"The foot needs a slit of {leg.say(needs)}; {has}."
    if slit.height is not None:
        return "pass", f"The slit is {leg.say(slit.height)} high, at the outseam."
    return "pass", "No slit is needed."


CHECKS = (
    Check(
        "hem-opening", "Hem opening", _hem_opening, ("foot", "narrowing"),
        "the foot does not pass", _hem_margin,
    ),
    Check("slit", "Slit", _slit, ("foot",), "slit not high enough", _slit_margin),
)  # fmt: skip
