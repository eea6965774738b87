"""The inverse questions: how narrow, how much at most, how high may it blend."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from legtaper.lengths import from_mm
from legtaper.pattern import Fit, cut, fit_design
from legtaper.project import EDGES, SEAMS, Edge, ProjectError, SeamName, seam_of
from legtaper.truing import longest_straight_curve

_STEPS = 48
_PAPER = "paper"


@dataclass(frozen=True, slots=True)
class Limits:
    """The answers, mm.

    narrowest_hem: round the leg, that the foot passes without a slit; `None` where the foot entry
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
    hem = float(fitted.block.circumference(0.0))
    return Limits(
        narrowest,
        bool(foot and foot.estimated_from),
        most,
        None if narrowest is None else max(0.0, (hem - narrowest) / 4),
        first,
        {seam: blend_range(fitted, seam) for seam in SEAMS},
    )


def most_take_in(fitted: Fit) -> tuple[float, str | None]:
    """Return the most, mm, that can come off each edge at the hem, and the first finding to fail.

    At the returned take-in nothing fails; a hair more, and the named finding does. 0 where
    something fails already without any; no name where the paper ends first, at the grainline.
    """
    paper = min(float(fitted.block.reach(edge, 0.0)) for edge in EDGES)
    low, first = 0.0, _first_failure(fitted, 0.0)
    if first:
        return 0.0, first
    high = low
    for high in np.linspace(0, paper, _STEPS + 1)[1:].tolist():
        first = _first_failure(fitted, high)
        if first:
            break
        low = high
    while first and high - low > 1e-4:
        middle = (low + high) / 2
        found = _first_failure(fitted, middle)
        if found:
            high, first = middle, found
        else:
            low = middle
    return low, None if first == _PAPER else first


def _first_failure(fitted: Fit, take: float) -> str | None:
    """Return the first finding that fails with this take-in at the hem, the rest as designed."""
    design = fitted.design
    width = {level: length for level, length in design.width.items() if level != "hem"}
    take_in = {**design.take_in, "hem": from_mm(take, "cm")}
    try:
        tried = fit_design(
            fitted.project, replace(design, width=width, take_in=take_in), fitted.block
        )
        first = next((found.id for found in tried.findings if found.status == "fail"), None)
        return first or next((f.id for f in cut(tried).findings if f.status == "fail"), None)
    except ProjectError:
        return _PAPER


def blend_range(fitted: Fit, seam: SeamName) -> tuple[float, float] | None:
    """Return the lowest and highest admissible blend, mm; `None` where a ruled seam never fits."""
    low, top = fitted.taper.last_asked(seam), fitted.block.blend_top(seam)
    if fitted.design.style == "follow":
        return low, top
    heights = low + (top - low) * np.linspace(1 / _STEPS, 1, _STEPS)
    fitting = [y for y in heights if all(_fits(fitted, e, y) for e in EDGES if seam_of(e) == seam)]
    return (float(min(fitting)), float(max(fitting))) if fitting else None


def _fits(fitted: Fit, edge: Edge, blend: float) -> bool:
    seam = fitted.taper.seams[edge]
    controls = [(a.height, a.take_in) for a in fitted.taper.asked if a.take_in is not None]
    return longest_straight_curve(seam.old, controls, float(blend)) is not None
