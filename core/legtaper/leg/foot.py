"""Does the foot pass: foot entry, measured or estimated, and the slit that makes room for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple, get_args

from legtaper.leg.children import ChildLeg, legs_like
from legtaper.model.project import Design, ProjectError, Sex, Unit, Wearer
from legtaper.model.said_lengths import bound
from legtaper.model.sentences import listed

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.leg.taper import Taper

# Heel-ankle circumference in cm from ankle girth and stature, or from foot length, with the
# residual s: regressions over ANSUR II (Gordon et al. 2014, NATICK/TR-15/007), women and men.
# (intercept, ankle, stature, s) and (intercept, foot length, s).
_FROM_ANKLE = {"f": (2.015, 0.4820, 0.1143, 0.950), "m": (1.225, 0.6329, 0.1060, 0.937)}
_FROM_FOOT = {"f": (6.690, 0.9883, 0.913), "m": (7.049, 1.0067, 1.011)}
_ONE_SIDED_95 = 1.645  # standard deviations, of the normal distribution

_ANKLE = (
    76.2  # mm, 3 in: how high above the hem of a block the ankle is taken to be: common practice
)

FOUND = 1e-3
"""mm to which a height at which the foot passes is found: rounding."""

_ABOVE_HEM: Mapping[Unit, float] = {"in": 25.4, "cm": 25.0}
"""mm of a slit that stay open above the sewn-down hem: common practice."""


def shortest_slit(hem_depth: float, unit: Unit) -> float:
    """Return the height, mm, below which a sewn-down hem of that depth would close a slit."""
    return hem_depth + _ABOVE_HEM[unit]


class FootEntry(NamedTuple):
    """What goes through the hem, mm; `estimated_from` is empty where it was measured.

    Around the heel and over the instep, but for a hem higher up, where `what` may be larger.
    of_child: whether it is estimated for a child, on whom it was not measured.
    """

    mm: float
    estimated_from: str = ""
    what: str = "foot"
    of_child: bool = False

    @property
    def caution(self) -> str:
        """What an estimate is worth, in a sentence; nothing where it was measured."""
        if self.of_child:
            return "This estimate was not measured on children: measure it first."
        return "An estimate never replaces a measurement." if self.estimated_from else ""


def foot_entry(wearer: Wearer) -> FootEntry | None:
    """Return what the hem must let through, or `None` where neither measured nor estimable.

    An estimate is the upper 95 % bound, and where no sex is said the larger of women's and men's,
    so that it errs towards a wider hem. It never replaces a measurement.
    """
    if wearer.foot_entry:
        return FootEntry(wearer.foot_entry.mm)
    if legs := legs_like(wearer):
        return _childs_foot(wearer, legs)
    sexes = (wearer.sex,) if wearer.sex else get_args(Sex)
    if wearer.ankle and wearer.height:
        ankle, height = wearer.ankle.mm, wearer.height.mm
        return FootEntry(max(foot_bounds(sex, ankle, height) for sex in sexes), "ankle and height")
    if wearer.foot_length:
        long = wearer.foot_length.mm
        return FootEntry(max(foot_bounds(sex, foot_length=long) for sex in sexes), "foot length")
    return None


def _childs_foot(wearer: Wearer, legs: Sequence[ChildLeg]) -> FootEntry:
    """Return the foot entry of a child: by ankle and height, and by the foot, the larger.

    By adults' regressions of that sex; what was not measured is the median of the age. The two
    part by 9 to 19 mm from 2 to 11 years and agree within 12 mm from 12 years up.
    """
    known = {key: getattr(wearer, key) for key in ("ankle", "height", "foot_length")}
    bounds = []
    for leg in legs:
        ankle, height, long = (
            measured.mm if measured else getattr(leg, key) for key, measured in known.items()
        )
        bounds += [foot_bounds(leg.sex, ankle, height), foot_bounds(leg.sex, foot_length=long)]
    used = [key.replace("_", " ") for key, measured in known.items() if measured]
    words = used if len(used) == len(known) else ["age", *used]
    return FootEntry(max(bounds), listed(words), of_child=True)


def foot_bounds(
    sex: str, ankle: float = 0.0, height: float = 0.0, foot_length: float | None = None
) -> float:
    """Return a foot entry, mm, that 95 of 100 adults of a sex ("f" or "m") do not exceed.

    From the foot's length, or else from the ankle and the height, mm.
    """
    if foot_length is not None:
        start, slope, residual = _FROM_FOOT[sex]
        return 10 * (start + _ONE_SIDED_95 * residual) + slope * foot_length
    start, of_ankle, of_height, residual = _FROM_ANKLE[sex]
    return 10 * (start + _ONE_SIDED_95 * residual) + of_ankle * ankle + of_height * height


def hem_need(wearer: Wearer, block: Block) -> FootEntry | None:
    """Return what must pass the hem where the leg ends, or `None` where that is not known.

    The largest girth at or below the hem in every position worn. Above the ankle that is the leg
    there, from the ankle (3 in up) to the calf in a straight line; from the calf up the calf, which
    is more than the foot for 99.9 % of women and 98.3 % of men (ANSUR II); from the knee up the
    bent knee too.
    """
    foot = foot_entry(wearer)
    heights, end = (block.whole or block).heights, block.start
    if foot is None or end <= _ANKLE:
        return foot
    needs = [foot]
    ankle, calf = wearer.ankle, wearer.calf
    if ankle and calf and end < heights["calf"]:
        share = (end - _ANKLE) / (heights["calf"] - _ANKLE)
        needs.append(FootEntry(ankle.mm + share * (calf.mm - ankle.mm), what="leg at the hem"))
    if calf and end >= heights["calf"]:
        needs.append(FootEntry(calf.mm, what="calf"))
    knee = wearer.knee_bent or wearer.knee
    if knee and end >= heights["knee"]:
        needs.append(FootEntry(knee.mm, what="bent knee" if wearer.knee_bent else "knee"))
    return max(needs, key=lambda need: need.mm)


def unknown_at_hem(wearer: Wearer, block: Block) -> str:
    """Return which girth at the hem, where the leg ends, was not measured; "" where all were."""
    heights, end = (block.whole or block).heights, block.start
    if end <= _ANKLE:
        return ""
    if wearer.calf is None:
        return "calf"
    if end < heights["calf"]:
        return "" if wearer.ankle else "ankle"
    return "bent knee" if end >= heights["knee"] and wearer.knee_bent is None else ""


class SlitPlan(NamedTuple):
    """Whether the hem needs a slit for this foot, and the slit that the design has.

    All heights are above the leg's own end. lowest: where it is wide enough, mm; `None` where
    nowhere below the crotch or where the foot entry is unknown. height: of the slit to sew;
    `None`: none. shortest: what the sewn-down hem leaves open, mm. least: the lowest that lets the
    foot through and that the hem does not close, up to the next mark of a ruler; `None` where none
    is needed or none is enough.
    """

    needed: bool
    lowest: float | None
    height: float | None
    shortest: float = 0.0
    least: float | None = None

    @property
    def lets_foot_through(self) -> bool:
        """Whether the foot passes with what the design has."""
        if self.lowest is None:
            return False
        return not self.needed or (self.height is not None and self.height >= self.lowest - FOUND)


def plan_slit(
    taper: Taper, design: Design, opening: float | None, shortest: float, unit: Unit
) -> SlitPlan:
    """Return the slit of a design; `opening` is what the foot needs of the fabric at rest, mm.

    One that is left to the program is as high as the foot needs, never below `shortest`, mm, and
    ends at a mark of a ruler, so that it is the same wherever it is said, marked and typed.
    Raises `ProjectError` for a slit that does not end between the hem and the crotch point.
    """
    lowest = None if opening is None else passing_height(taper, opening)
    needed = opening is not None and lowest != 0
    least = bound(max(lowest, shortest), unit, "at least") if needed and lowest else None
    plan = SlitPlan(needed, lowest, None, shortest, least)
    if design.slit == "none":
        return plan
    if design.slit == "auto":
        return plan._replace(height=least)
    if not 0 < design.slit.mm <= taper.block.crotch - taper.block.start:
        raise ProjectError(
            f'design "{design.name}".slit.height',
            f"{design.slit.text} is out of range; a slit is more than 0 and ends below the crotch",
        )
    return plan._replace(height=design.slit.mm)


def passing_height(taper: Taper, opening: float) -> float | None:
    """Return how far above its end, mm, the leg is at least `opening` round, or `None`."""
    import numpy as np

    start = taper.block.start
    low, high = start, taper.block.crotch
    if taper.finished["hem"] >= opening - 1e-9:
        return 0.0
    for _ in range(4):  # each pass narrows the bracket to a 128th: 1 m to a ten-thousandth of a mm
        y = np.linspace(low, high, 129)
        wide = taper.circumference(y) >= opening
        if not wide.any():
            return None
        first = int(wide.argmax())
        low, high = float(y[first - 1]), float(y[first])
    return high - start
