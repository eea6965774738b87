"""The inverse questions: how narrow, how much at most, how high may it blend."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from legtaper.checks.cutting import CUT_LINE, uncuttable
from legtaper.geometry.curves import Array
from legtaper.leg.taper import blend_range
from legtaper.model.lengths import from_mm
from legtaper.model.project import EDGES, SEAMS, ProjectError, SeamName
from legtaper.pattern import Fit, cut, fit_design
from legtaper.search.sweep import PAPER, sweep, widest_hem

_STEPS = 48
_FINER = 8
_AT_ONCE = 9
_CLOSE = 1e-4  # mm
_INSIDE = 1e-3  # mm; so far from where the paper ends there still is some


@dataclass(frozen=True, slots=True)
class Limits:
    """The answers, mm.

    narrowest_hem: around the leg, that the foot passes without a slit; `None` where the foot entry
    is neither known nor estimated. most_take_in: per edge at the hem, the design's other answers
    staying, before any finding fails; without_slit: the same for the hem opening alone, had the
    design no slit; first_to_fail: the one that does, `None` where only the
    paper ends. blend_range: lowest (the highest level asked for, itself not included) and highest.
    """

    narrowest_hem: float | None
    estimated: bool
    most_take_in: float
    without_slit: float | None
    first_to_fail: str | None
    blend_range: dict[SeamName, tuple[float, float] | None]


def limits(fitted: Fit) -> Limits:
    """Answer the inverse questions for a design."""
    foot = fitted.foot
    stretch = fitted.project.fabric.usable_stretch
    most, first = most_take_in(fitted)
    narrowest = None if foot is None else foot.mm / (1 + stretch)
    hem = widest_hem(fitted)
    return Limits(
        narrowest,
        bool(foot and foot.estimated_from),
        most,
        None if narrowest is None else max(0.0, (hem - narrowest) / 4),
        first,
        {seam: blend_range(fitted.taper, seam) for seam in SEAMS},
    )


def most_take_in(fitted: Fit) -> tuple[float, str | None]:
    """Return the most, mm, that can come off each edge at the hem, and the first finding to fail.

    At the returned take-in nothing fails; a hair more, and the named finding does. 0 where
    something fails already without any; no name where the paper ends first, at the grainline.
    """
    most, first = _most_by_checks(fitted)
    if not _crosses(fitted, most):
        return most, first
    low, high = 0.0, most  # what is narrower crosses the more
    if _crosses(fitted, low):
        return low, CUT_LINE.id
    while high - low > _CLOSE:
        middle = (low + high) / 2
        low, high = (low, middle) if _crosses(fitted, middle) else (middle, high)
    return low, CUT_LINE.id


def _crosses(fitted: Fit, take: float) -> bool:
    """Whether a cut line crosses itself with this take-in at the hem, the rest as designed."""
    design = fitted.design
    width = {level: length for level, length in design.width.items() if level != "hem"}
    take_in = {**design.take_in, "hem": from_mm(take, "cm")}
    tried = replace(design, width=width, take_in=take_in)
    try:
        return bool(uncuttable(cut(fit_design(fitted.project, tried, fitted.block)).narrowed))
    except ProjectError:  # at the end of the paper there is no leg left to cut
        return False


def _most_by_checks(fitted: Fit) -> tuple[float, str | None]:
    low, high = 0.0, min(fitted.block.reaches[edge]["hem"] for edge in EDGES)
    first, steps = "", _STEPS
    while high - low > _CLOSE:
        takes = np.linspace(low, high, steps + 1)
        at, first = _first_failing(fitted, takes)
        if not first:
            return high, None
        if at == 0:
            break
        low, high, steps = float(takes[at - 1]), float(takes[at]), _FINER
    return (max(0.0, low - _INSIDE), None) if first == PAPER else (low, first)


def _first_failing(fitted: Fit, takes: Array) -> tuple[int, str]:
    """Return the place of the first take-in that fails, and what does; "" where none."""
    for start in range(0, len(takes), _AT_ONCE):  # ruled seams that fail take long to find out
        failing = sweep(fitted, takes[start : start + _AT_ONCE]).first_to_fail
        at = int((failing != "").argmax())
        if failing[at]:
            return start + at, str(failing[at])
    return 0, ""
