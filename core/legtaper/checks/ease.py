"""Ease: how much wider the leg is than the body in it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

import numpy as np

from legtaper.checks.base import Check, Finding, Leg, Measured, Status
from legtaper.geometry.curves import Array
from legtaper.geometry.seam import Flags
from legtaper.leg.block import Block
from legtaper.leg.children import say_who, usual_girth
from legtaper.model.levels import ABOVE_HEM
from legtaper.model.project import Project, Unit
from legtaper.model.said_lengths import say_apart

EASE_MINIMUM: Mapping[Unit, float] = {"in": 25.4, "cm": 25.0}
"""mm at thigh, knee and calf in firm fabric; half in a stretch woven one; a knit needs none
(both common practice).

Nebraska Extension EC73-455 (1973), "Pants Measurement Chart": 1 to 2 in; New Mexico State
C-209: thigh 1 to 2 in, knee at least 1 in.
"""

BENT_MINIMUM: Mapping[Unit, float] = {"in": 12.7, "cm": 13.0}
"""mm over the bent knee in firm fabric: common practice."""

_CLOSE_KNIT = 25.0
"""Percent: a knit that stretches so much may be sewn smaller than the body: common practice."""

RIDES_UP: Mapping[Unit, float] = {"in": 50.8, "cm": 50.0}
"""mm by which a trouser leg comes up the calf as the knee is bent well: common practice."""

_HALF = 0.5
"""The share of the usable stretch that may be taken up standing: common practice."""

_SAME = 0.05  # mm; rounding

BENT, RAISED = "bent knee", "calf with the knee up"
"""What is looked at besides the levels: the knee bent, and the calf as the leg rides up."""

_FOUND_AS = {BENT: "ease-knee-bent", RAISED: "ease-calf-up"}


def finding_of(place: str) -> str:
    """Return the id of the finding that speaks of a place that `close_places` names."""
    return _FOUND_AS.get(place, f"ease-{place}")


def eased_at(finding: Finding) -> str:
    """Return what a finding of this module measures the ease of: a level, or what `BENT` names."""
    return next((place for place, known in _FOUND_AS.items() if known == finding.id), finding.where)


def _spare(leg: Measured, girth: str, level: str) -> Array:
    """Return how much larger the leg is than the body once the fabric has stretched, mm."""
    body = getattr(leg.project.wearer, girth)
    if level not in leg.block.heights:  # the leg ends above it
        return np.full(leg.width("hem").shape, math.inf)
    width = leg.width(level)
    if body is None:
        return np.full(width.shape, math.inf)
    spare: Array = width * (1 + leg.project.fabric.usable_stretch) - body.mm + 1e-9
    return spare


def _margin(girth: str, level: str) -> Callable[[Measured], Array]:
    return lambda leg: _spare(leg, girth, level)


def _at(level: str) -> Callable[[Leg], Iterator[Finding]]:
    return lambda leg: _ease(leg, level)


def least_ease(project: Project, girth: float | None) -> float:
    """Return the ease, mm, that the fabric needs around a girth at thigh, knee or calf.

    Negative in a knit that may be sewn smaller than the body; no girth: as in one that may not.
    """
    fabric, firm = project.fabric, EASE_MINIMUM[project.length_unit]
    if fabric.kind == "knit":
        close = girth is not None and _may_be_smaller(project)
        return girth / (1 + fabric.usable_stretch) - girth if girth and close else 0.0
    return firm / 2 if fabric.stretches else firm


def raised_height(block: Block, unit: Unit) -> float | None:
    """Return the height, mm, of what comes over the calf as the knee goes up, if it has a calf."""
    calf = block.heights.get("calf")
    return None if calf is None else max(block.start, calf - RIDES_UP[unit])


def close_places(project: Project, width: Mapping[str, Array]) -> dict[str, Flags]:
    """Say of many legs where each has less ease than the fabric needs, standing or the knee bent.

    width: around the legs, mm, at calf, knee, thigh and what `RAISED` names; NaN where there is
    none. A place that was not measured on the body is left out.
    """
    wearer, found = project.wearer, dict[str, Flags]()
    for level in ABOVE_HEM:
        girth = getattr(wearer, level)
        if girth is not None and level in width:
            found[level] = width[level] - girth.mm < least_ease(project, girth.mm) - 1e-9
    if wearer.knee_bent is not None:
        found[BENT] = width["knee"] - wearer.knee_bent.mm < _least_bent(project) - 1e-9
    if wearer.calf is not None:
        standing, raised = width["calf"] - wearer.calf.mm, width[RAISED] - wearer.calf.mm
        found[RAISED] = _presses(project, standing, width["calf"]) | _catches(project, raised)
    return found


def _may_be_smaller(project: Project) -> bool:
    fabric = project.fabric
    return fabric.kind == "knit" and fabric.stretch_percent >= _CLOSE_KNIT


def _presses(project: Project, standing: Array, width: Array) -> Flags:
    """Say where the fabric is stretched over the calf standing by more than it may be."""
    taut = (standing < -_SAME) & project.fabric.stretches
    flags: Flags = taut & (-standing > _HALF * project.fabric.usable_stretch * width)
    return flags


def _catches(project: Project, raised: Array) -> Flags:
    """Say where what comes over the calf has too little room there.

    Never in a knit that may be sewn smaller than the body: it is meant to give there, and a wider
    leg of it cannot hold where a narrower one, stretched already standing, does not.
    """
    flags: Flags = (raised < _least_raised(project) - 1e-9) & (not _may_be_smaller(project))
    return flags


def _least_bent(project: Project) -> float:
    return 0.0 if project.fabric.stretches else BENT_MINIMUM[project.length_unit]


def _least_raised(project: Project) -> float:
    gives = project.fabric.stretches or project.fabric.kind == "knit"
    return 0.0 if gives else BENT_MINIMUM[project.length_unit]


def _ease(leg: Leg, level: str) -> Iterator[Finding]:
    if level not in leg.block.heights:
        return
    girth = getattr(leg.project.wearer, level)
    least = least_ease(leg.project, girth.mm if girth else None)
    if girth is None:
        says = f"Ease at the {level} is unknown: the wearer's {level} was not measured."
        if usual := usual_girth(leg.project.wearer, level):
            who, left = say_who(leg.project.wearer), leg.taper.finished[level] - usual
            by = f"leaves {leg.say(left)}" if left >= 0 else f"is {leg.say_small(-left)} too much"
            says += f" Of {who}, half have {leg.say(usual)} or more, which {by} here:"
            says += " an estimate, measure it first."
        yield Finding(f"ease-{level}", "unknown", None, least, level, says)
        return
    ease = leg.taper.finished[level] - girth.mm
    status: Status = "pass" if ease >= least - 1e-9 else "caution"
    if _spare(leg, level, level) < 0:
        status = "fail"
    says = _eased(leg, level, ease, least)
    if status != "pass":
        says += _block_says(leg, level, girth.mm, least)
    placed = level in leg.block.estimated
    if placed:
        says += f" The {level} level was not given and is placed at a usual height."
    yield Finding(f"ease-{level}", status, ease, least, level, says, placed)


def _eased(leg: Leg, level: str, ease: float, least: float) -> str:
    """Say the ease at a level, beside the least that its fabric needs."""
    fabric, spare = leg.project.fabric, float(_spare(leg, level, level))
    if spare < 0:
        stretched = " stretched" if fabric.stretches else ""
        return (
            f"The {level} is {leg.say_small(-spare)} larger than the trouser leg{stretched} there."
        )
    if ease < -_SAME:
        less = leg.say_small(-ease)
        says = f"The trouser leg is {less} smaller than the {level}: the fabric has to stretch."
        if fabric.kind == "knit" and fabric.stretch_percent < _CLOSE_KNIT:
            says += f" It stretches {fabric.stretch_percent:g} %; a close leg needs 25 % or more."
        return says
    has, needs = say_apart(ease, max(0.0, least), leg.project.length_unit, around=True)
    says = f"Ease at the {level} is {has}"
    if fabric.kind == "knit":
        return f"{says}; a knit needs none."
    kind = "stretch fabric" if fabric.stretches else "firm fabric"
    return f"{says}; {kind} needs at least {needs}."


def _block_says(leg: Leg, level: str, girth: float, least: float) -> str:
    """Say where the block itself has less than `least` of ease: narrowing is not the cause."""
    own = float(leg.block.circumference(leg.block.heights[level]))
    if own - leg.taper.finished[level] < _SAME:
        return " The block has no more there; narrowing is not the cause."
    if own - girth >= least:
        return ""
    if own < girth:
        return f" The block itself is {leg.say_small(girth - own)} smaller than the {level} there."
    return f" The block itself has only {leg.say_around(own - girth)} of ease there."


def _ankle(leg: Leg) -> Iterator[Finding]:
    """Say where a hem would not close around the ankle, slit or no slit: common practice."""
    ankle, hem = leg.project.wearer.ankle, leg.taper.finished["hem"]
    if ankle and _spare(leg, "ankle", "hem") < 0:
        has, needs = say_apart(hem, ankle.mm, leg.project.length_unit, around=True)
        says = f"The hem is {has} around and the ankle {needs}, so it does not close."
        yield Finding("ease-ankle", "fail", hem - ankle.mm, 0.0, "hem", says)


def _bent_knee(leg: Leg) -> Iterator[Finding]:
    bent, unit = leg.project.wearer.knee_bent, leg.project.length_unit
    least = _least_bent(leg.project)
    if "knee" not in leg.block.heights:
        return
    if bent is None:
        says = "The bent knee was not measured; it is larger than the knee standing."
        yield Finding("ease-knee-bent", "unknown", None, least, "knee", says)
        return
    ease, spare = leg.taper.finished["knee"] - bent.mm, float(_spare(leg, "knee_bent", "knee"))
    has, needs = say_apart(ease, least, unit, around=True)
    status: Status = "pass"
    says = f"The bent knee has {has} of ease."
    if spare < 0:
        status = "fail"
        says = f"The bent knee is {leg.say_small(-spare)} larger than the trouser leg; it binds."
    elif ease < least - 1e-9:
        status = "caution"
        says = f"The bent knee has {has} of ease; firm fabric needs at least {needs}."
        if leg.project.fabric.stretches:
            says = f"The bent knee stretches the fabric by {leg.say_small(-ease)} around the leg."
    if status != "pass":
        says += _block_says(leg, "knee", bent.mm, least)
    yield Finding("ease-knee-bent", status, ease, least, "knee", says)


def _calf_with_the_knee_up(leg: Leg) -> Iterator[Finding]:
    """Say where the leg would catch at the calf as the knee goes up, or press on it.

    The leg rides up then, so what lay lower comes over the calf. Where it is close already, it
    presses about twice as hard at 60 degrees of bend as standing (a model of compression garments,
    held to measured legs: Textile Research Journal, 2020, doi 10.1177/0040517520902275).
    """
    girth, unit = leg.project.wearer.calf, leg.project.length_unit
    at = raised_height(leg.block, unit)
    if girth is None or at is None:
        return
    width = leg.width("calf")
    standing = float(width) - girth.mm
    if _presses(leg.project, np.asarray(standing), width):
        says = (
            "The leg presses on the calf already standing; with the knee up it presses about "
            "twice as hard."
        )
        yield Finding("ease-calf-up", "caution", standing, 0.0, "calf", says)
        return
    ease, least = float(leg.taper.circumference(at)) - girth.mm, _least_raised(leg.project)
    if not _catches(leg.project, np.asarray(ease)):
        return
    has, needs = say_apart(ease, least, unit, around=True)
    over = f"has {has} of ease over the calf, and firm fabric needs at least {needs}"
    if ease < 0:
        over = f"is {leg.say_small(-ease)} smaller than the calf"
    by = leg.say(leg.block.heights["calf"] - at)
    says = (
        f"With the knee up the leg rides up by about {by}; what lies {leg.say(at)} above the hem "
        f"then {over}. It catches there and stays up."
    )
    yield Finding("ease-calf-up", "caution", ease, least, "calf", says)


_BLENDS = ("blend outseam", "blend inseam", "blend both", "curve outseam", "curve inseam", "style")

CHECKS = (
    *(
        Check(
            f"ease-{level}", f"Ease at the {level}", _at(level), ("narrowing", "blend"),
            f"too close at the {level}", _margin(level, level),
            one_place=True,
            moves=(
                *(["room at the back"] if level == "calf" else []), f"width {level}", *_BLENDS,
                "width knee", "wider hem",
            ),
        )
        for level in ABOVE_HEM
    ),
    Check(
        "ease-calf-up", "Ease with the knee up", _calf_with_the_knee_up, ("narrowing",),
        moves=("room at the back", "width calf", "width knee", "wider hem"), one_place=True,
    ),
    Check(
        "ease-ankle", "Ease at the ankle", _ankle, ("narrowing", "foot"),
        "too close at the ankle", _margin("ankle", "hem"), moves=("wider hem",),
        one_place=True,
    ),
    Check(
        "ease-knee-bent", "Ease at the bent knee", _bent_knee, ("narrowing", "blend"),
        "too close at a bent knee", _margin("knee_bent", "knee"),
        moves=("width knee", *_BLENDS, "wider hem"), one_place=True,
    ),
)  # fmt: skip
