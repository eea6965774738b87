"""Does the foot pass: the hem, and the slit that opens it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np

from legtaper.checks.base import Check, Finding, Leg, Measured, Status
from legtaper.geometry.curves import Array
from legtaper.leg.foot import FOUND, FootEntry, unknown_at_hem
from legtaper.leg.slit import longer_along
from legtaper.model.project import Project, Unit
from legtaper.model.said_lengths import bound, fine_step, say_apart, say_bound

_TUG: Mapping[Unit, float] = {"in": 6.35, "cm": 6.0}
"""mm; with less to spare a foot goes through firm fabric with a tug: common practice."""

_FASTENED: Mapping[Unit, float] = {"in": 101.6, "cm": 100.0}
"""mm; a slit above this gapes without a fastener: common practice."""

_DEEPER = 25.4
"""mm; a fold-up that much deeper than the slit holds all of it: common practice."""


def easy_opening(project: Project, foot: FootEntry) -> float:
    """Return what the hem must open to, mm, for the foot to go through without a tug."""
    return foot.mm + (0.0 if project.fabric.stretches else _TUG[project.length_unit])


def _hem_margin(leg: Measured) -> Array:
    """Return how much higher the slit of the design is than the foot needs, mm."""
    needs = leg.passing()
    if leg.foot is None:
        return np.full(needs.shape, math.inf)
    has = leg.design.slit
    high = 0.0 if has == "none" else math.inf if has == "auto" else has.mm + FOUND
    spare: Array = np.where(np.isnan(needs), -math.inf, high - needs)
    return spare


def _hem_opening(leg: Leg) -> Iterator[Finding]:
    hem = leg.taper.finished["hem"]
    opening = hem * (1 + leg.project.fabric.usable_stretch)
    if leg.foot is None:
        says = (
            "The foot entry is unknown. Measure around the heel and over the instep, toes pointed."
        )
        yield Finding("hem-opening", "unknown", opening, None, "hem", says)
        return
    status, says = _opened(leg, opening, leg.foot)
    unknown = unknown_at_hem(leg.project.wearer, leg.block)
    if unknown and status != "fail":
        status = "unknown"
        says += f" So high up the {unknown} must pass as well; it was not measured."
    guessed = bool(leg.foot.estimated_from)
    if guessed:
        says += f" The foot is estimated from {leg.foot.estimated_from}"
        says += f". {leg.foot.caution}" if leg.foot.of_child else "; measure it to be sure."
    yield Finding("hem-opening", status, opening, leg.foot.mm, "hem", says, guessed)


def _opened(leg: Leg, opening: float, foot: FootEntry) -> tuple[Status, str]:
    unit, stretches = leg.project.length_unit, leg.project.fabric.stretches
    opens, least = say_apart(opening, foot.mm, unit, around=True)
    if opening >= bound(foot.mm, unit, "at least", fine_step(unit)):  # as `limits` says it
        least = say_bound(foot.mm, unit, "at least", fine_step(unit))
    opens += " stretched" if stretches else ""
    needs = f"the {foot.what} needs {least}"
    if _hem_margin(leg) < 0:
        lacks = leg.say_small(foot.mm - opening)
        return "fail", f"The hem opens to {opens} and {needs}: {lacks} too little."
    if leg.slit.needed and leg.slit.height is not None:
        return "caution", (
            f"The hem opens to {opens} and {needs}; "
            f"the slit of {leg.say(leg.slit.height)} lets it through."
        )
    if opening < easy_opening(leg.project, foot) - 1e-9:
        if leg.slit.height is not None:
            says = f"{needs}; through the slit of {leg.say(leg.slit.height)} it goes easily"
            return "pass", f"The hem opens to {opens} and {says}."
        return "caution", f"The hem opens to {opens} and {needs}: it goes over with a tug."
    return "pass", f"The hem opens to {opens}; {needs}."


def _slit_margin(leg: Measured) -> Array:
    """Return how far, mm, the slit ends below the calf; minus all where no height is enough."""
    needs, has = leg.passing(), leg.design.slit
    calf = leg.block.slit_end - leg.block.start + 1e-6
    if has == "none" or (has == "auto" and leg.foot is None):
        spare = np.full(needs.shape, math.inf)
    elif has == "auto":
        spare = np.where(needs > 0, calf - np.maximum(needs, leg.shortest_slit), math.inf)
    else:
        spare = np.full(needs.shape, calf - has.mm)
    nowhere = np.isnan(needs) & (leg.foot is not None)
    result: Array = np.where(nowhere, -math.inf, spare)
    return result


def _slit(leg: Leg) -> Iterator[Finding]:
    height = leg.slit.height if leg.slit.height is not None else leg.slit.lowest
    status, says = _slitted(leg, leg.slit.height)
    yield Finding("slit", status, height, leg.block.slit_end - leg.block.start, "hem", says)


def _slitted(leg: Leg, height: float | None) -> tuple[Status, str]:
    needs = leg.slit.least
    if leg.foot is None and height is None:
        return "unknown", "Whether a slit is needed is unknown without the foot entry."
    if leg.foot is not None and leg.slit.lowest is None:
        return "fail", "The leg is too narrow for the foot all the way up to the crotch."
    if needs is not None and not leg.slit.lets_foot_through:
        who = f"The {leg.foot.what if leg.foot else 'foot'}"
        if height is None:
            least = say_bound(needs, leg.project.length_unit, "at least")
            return "caution", f"{who} needs a slit of {least}; there is none."
        least, has = say_apart(needs, height, leg.project.length_unit)
        return "caution", f"{who} needs a slit of {least}; it is {has} high."
    if height is None:
        return "pass", "No slit is needed."
    return _sewn_slit(leg, height)


def _sewn_slit(leg: Leg, height: float) -> tuple[Status, str]:
    """Judge a slit that is high enough for the foot."""
    depth, said = leg.hem.depth, leg.say(height)
    along = longer_along(leg.block, leg.taper.seams, height, leg.project.length_unit)
    beside = f" ({along} along the seam)" if along else ""
    if _slit_margin(leg) < 0:
        return "fail", (
            f"The slit reaches {said}, above the calf: that is no slit but an opening, with a "
            "zipper or buttons."
        )
    if height < leg.slit.shortest - 1e-6 and depth < height + _DEEPER - 1e-6:
        leaves = "closes it"
        if height > depth:
            leaves = f"leaves only {leg.say_small(height - depth)} of it open"
        return "caution", (
            f"The slit is {said} high and the hem {leg.say(depth)} deep; sewn down, the hem "
            f"{leaves}."
        )
    if height > _FASTENED[leg.project.length_unit] + 1e-6:
        return "caution", (
            f"The slit is {said} high, at the outseam{beside}; so high it gapes without a fastener."
        )
    return "pass", f"The slit is {said} high, at the outseam{beside}."


CHECKS = (
    Check(
        "hem-opening", "Hem opening", _hem_opening, ("foot", "narrowing"),
        "the foot does not pass", _hem_margin, moves=("wider hem", "slit"),
        one_place=True,
    ),
    Check(
        "slit", "Slit", _slit, ("foot", "narrowing"), "the slit ends above the calf", _slit_margin,
        moves=("wider hem", "slit", "width calf", "shallower hem"), one_place=True,
    ),
)  # fmt: skip
