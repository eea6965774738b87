"""The marking table: what a wearer with paper and ruler needs, rounded as her ruler is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from legtaper.geometry.seam import TruedSeam
from legtaper.model.lengths import round_to
from legtaper.model.project import EDGES, Edge, Unit, seam_of
from legtaper.pattern import Fit

DEFAULT_STEP: dict[Unit, str] = {"in": "1/8in", "cm": "1mm"}

Part = Literal["straight", "curve", "old seam"]


@dataclass(frozen=True, slots=True)
class Mark:
    """One point of a new seam, mm. `level` is empty at points that only lead the curve.

    height: above the hem; come_in: from the old line; from_grainline: of the new line; both
    rounded, with the exact values beside. part: "straight" as far as a ruler serves (in the
    style "follow": as far as the take-in runs evenly), then "curve", then "old seam".
    """

    edge: Edge
    level: str
    height: float
    come_in: float
    from_grainline: float
    part: Part
    exact_come_in: float
    exact_from_grainline: float


def marks(fit: Fit, step: str) -> tuple[Mark, ...]:
    """Return the marks of all four edges, each from the hem upwards. `step` as in `round_to`.

    Before the wash: the leg and the block's own line both larger by what the fabric shrinks.
    """
    fit = fit.grown
    return tuple(mark for edge in EDGES for mark in _edge_marks(fit, edge, step))


def _edge_marks(fit: Fit, edge: Edge, step: str) -> list[Mark]:
    seam = fit.taper.seams[edge]
    top = fit.block.blend_top(seam_of(edge))
    named = {y: level for level, y in fit.block.heights.items() if y <= top + 1e-9}
    found = []
    for y in sorted({*named, *_curve_heights(seam, step, named)}):
        come_in, reach = float(seam.take_in(y)), float(seam.at(y))
        found.append(
            Mark(
                edge,
                named.get(y, ""),
                y,
                round_to(come_in, step),
                round_to(reach, step),
                _part(seam, y),
                come_in,
                reach,
            )
        )
    return found


def _curve_heights(seam: TruedSeam, step: str, named: dict[float, str]) -> list[float]:
    """Return where the curve begins, its quarters and its end, at heights a ruler shows."""
    if seam.eased is None:
        return []
    heights = []
    for share in (1.0, 0.75, 0.5, 0.25, 0.0):
        y = round_to(seam.blend - share * seam.curve, step)
        if seam.start < y <= seam.blend + 1e-9 and all(abs(y - level) > 3 for level in named):
            heights.append(y)
    return heights


def _part(seam: TruedSeam, y: float) -> Part:
    if seam.eased is None or y >= seam.blend - 1e-9:
        return "old seam"
    half = seam.eased.lengths / 2
    corners = seam.eased.corners
    inside = (y > corners - half + 1e-9) & (y < corners + half - 1e-9)
    return "curve" if bool(np.any(inside)) else "straight"


def after_rounding(fit: Fit, step: str) -> dict[str, float]:
    """Return the width round the leg by level, mm, as the rounded marks give it."""
    fit = fit.grown
    return {
        level: math.fsum(round_to(float(fit.taper.reach(edge, y)), step) for edge in EDGES)
        for level, y in fit.block.heights.items()
        if y <= fit.block.crotch + 1e-9
    }
