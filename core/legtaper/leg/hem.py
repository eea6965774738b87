"""The hem: a fold-up that mirrors the tapered leg, or a facing with the leg's own shape."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from legtaper.geometry.curves import Array, Point, reflect
from legtaper.geometry.sag import sag
from legtaper.leg.block import HEM_BOW, Block
from legtaper.leg.taper import Taper
from legtaper.model.lengths import say_length
from legtaper.model.project import PANELS, Design, Fabric, HemPlan, HemStyle, ProjectError, Unit

DEPTH = {"in": 38.1, "cm": 40.0}
TURN_UNDER = {"in": 6.35, "cm": 7.0}
"""mm: common practice, 1 1/2 in or 4 cm, and 1/4 in or 7 mm."""

MOST_SAG = 3.0
"""mm by which a straight hem may lie off the true one and still fold up flat: common practice."""

_THIN = 0.5  # mm; thinner fabric turns within its own thickness: common practice


class HemSize(NamedTuple):
    """The hem in mm: `turn_under` is 0 unless folded twice, `come_in` is per edge and fold."""

    style: HemStyle
    depth: float
    turn_under: float
    come_in: float


def planned_size(plan: HemPlan, unit: Unit) -> tuple[float, float]:
    """Return depth and turn-under of a plan, mm, with what is usual where it says nothing."""
    depth = plan.depth.mm if plan.depth else DEPTH[unit]
    if plan.style != "double":
        return depth, 0.0
    return depth, plan.turn_under.mm if plan.turn_under else min(TURN_UNDER[unit], depth)


def hem_size(block: Block, design: Design, fabric: Fabric, unit: Unit) -> HemSize:
    """Return the hem of a design with the defaults filled in.

    The inside of a fold in fabric of thickness w is shorter around the leg by 2*pi*w, so each of
    the four edges comes in by pi*w/2 (derived). Raises `ProjectError` for a hem that cannot be.
    """
    plan, key = design.hem, f'design "{design.name}".hem'
    depth, turn = planned_size(plan, unit)
    calf = block.slit_end - block.start
    if not 0 < depth <= calf:
        below = "below the calf, " if block.slit_end == block.heights.get("calf") else "within "
        raise ProjectError(
            f"{key}.depth", f"must be more than 0 and end {below}{say_length(calf, unit)}"
        )
    if plan.style == "double" and not 0 < turn <= depth:
        raise ProjectError(f"{key}.turn_under", "must be more than 0 and no deeper than the hem")
    # A curve cannot fold flat on itself.
    style = "faced" if block.hem_bow > HEM_BOW else plan.style
    turn = 0.0 if style == "faced" else turn
    thickness = fabric.thickness.mm if fabric.thickness else 0.0
    come_in = math.pi * thickness / 2 if thickness >= _THIN and style != "faced" else 0.0
    return HemSize(style, depth, turn, come_in)


@dataclass(frozen=True, eq=False)
class FoldUp:
    """The part of a panel below the fold: two edges (n, 2) running down from the hem line.

    folds: each fold as a pair of points, the hem line first. Lengths in mm.
    """

    left: Array
    right: Array
    folds: tuple[Array, ...]

    @property
    def cut_edge(self) -> float:
        """Width of the panel's lower cut edge, mm."""
        return float(np.hypot(*(self.right[-1] - self.left[-1])))


def fold_up(left: Array, right: Array, size: HemSize) -> FoldUp:
    """Mirror a leg in its hem line, and once more in the second fold of a double hem.

    `left` and `right` (n, 2) are the panel's edges from the hem upwards; their first points are
    the hem line, which may slant. Folded up again, the new edges lie on the old ones, but for
    what the turn of fabric comes in.
    """
    start, end = _point(left[0]), _point(right[0])
    folds = [np.array([start, end])]
    edges = [reflect(up_to(edge, start, end, size.depth), start, end) for edge in (left, right)]
    edges = _come_in(edges, start, end, size.come_in)
    if size.style == "double":
        low, high = _point(edges[0][-1]), _point(edges[1][-1])
        turned = [
            reflect(up_to(edge[::-1], low, high, size.turn_under), low, high) for edge in edges
        ]
        turned = _come_in(turned, low, high, size.come_in)
        folds.append(np.array([low, high]))
        edges = [np.vstack([edge, more[1:]]) for edge, more in zip(edges, turned, strict=True)]
    return FoldUp(edges[0], edges[1], tuple(folds))


def up_to(edge: Array, start: Point, end: Point, depth: float) -> Array:
    """Return the part of an edge that lies within `depth` mm of the line start-end.

    The edge begins on the line and moves away from it; the last point is cut in exactly.
    """
    along = np.subtract(end, start) / math.dist(start, end)
    far = np.abs((edge - start) @ np.array([-along[1], along[0]]))
    beyond = np.flatnonzero(far > depth)
    if not len(beyond):
        return edge
    i = int(beyond[0])
    share = (depth - far[i - 1]) / (far[i] - far[i - 1])
    return np.vstack([edge[:i], edge[i - 1] + share * (edge[i] - edge[i - 1])])


def _come_in(edges: list[Array], start: Point, end: Point, come_in: float) -> list[Array]:
    """Bring both edges in by `come_in` at their far end, running out to nothing at the fold."""
    if not come_in:
        return edges
    along = np.subtract(end, start) / math.dist(start, end)
    moved = []
    for edge, sign in zip(edges, (1.0, -1.0), strict=True):
        far = np.abs((edge - start) @ np.array([-along[1], along[0]]))
        moved.append(edge + sign * come_in * (far / far[-1])[:, None] * along)
    return moved


def _point(row: Array) -> Point:
    return float(row[0]), float(row[1])


def shaped_hem(left: Point, right: Point, rise: float) -> Array:
    """Return a hem curve from left to right that rises `rise` mm above its chord at the middle.

    It is the arc of the developed cone, as a row of points (n, 2). The hem of a leg that narrows
    towards it lies round an apex below, so it rises; negative, where the leg flares, it hangs.
    """
    chord, depth = math.dist(left, right), abs(rise)
    if depth < 1e-9:
        return np.array([left, right])
    radius = (chord**2 / 4 + depth**2) / (2 * depth)
    half = math.asin(min(1.0, chord / (2 * radius)))
    angles = np.linspace(-half, half, 25)
    height = math.copysign(1, rise) * (radius * np.cos(angles) - radius + depth)
    flat = np.column_stack([radius * np.sin(angles), height])
    turn = math.atan2(right[1] - left[1], right[0] - left[0])
    spin = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    middle = (np.asarray(left) + right) / 2
    result: Array = middle + flat @ spin
    result[0], result[-1] = left, right
    return result


def hem_sag(taper: Taper) -> float:
    """Return how far a straight hem lies off the true one, mm, on the panel where it is worst.

    A narrowing panel is part of a cone; laid flat its hem is an arc of radius width over taper.
    """
    worst = 0.0
    for edges in PANELS.values():
        width = sum(taper.reaches[edge]["hem"] for edge in edges)
        opening = abs(sum(taper.seams[edge].hem_slope for edge in edges))
        worst = max(worst, sag(width, opening))
    return worst
