"""One panel as it is cut: net outline, fold-up, cut line, slit, facing and notches, in mm.

x runs across the panel with the grainline at 0, y up from the finished hem. The outseam of the
front lies at the left and that of the back at the right, so that inseams face each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from legtaper.allowance import Width, mitre, offset_edge, to_line
from legtaper.block import Block
from legtaper.checks import sag
from legtaper.curves import Array, Line, Point
from legtaper.hem import HemSize, fold_up, shaped_hem
from legtaper.project import PANELS, Edge, PanelName, SeamName

STEP = 5.0
"""Heights between the points of an outline, mm: a chord then misses a seam by under 0.01 mm."""

OUTSEAM_SIDE: Mapping[PanelName, int] = {"front": -1, "back": 1}


@dataclass(frozen=True, eq=False)
class Notch:
    """A place where front and back must meet: on the net line, `outward` a unit vector."""

    at: Point
    outward: Point
    allowance: float
    level: str


@dataclass(frozen=True, eq=False)
class Facing:
    """A separate piece with the leg's own shape, for a hem that cannot fold flat."""

    net: Array
    cut: Array


@dataclass(frozen=True, eq=False)
class Shape:
    """The outline of a panel with its hem. Rows of points (n, 2), from top left round to top right.

    net: the finished leg down to the hem line; hem_below: the fold-up under it, empty where the
    hem is faced; folds: the hem line and, folded twice, the second; cut: what the scissors follow;
    cut_edge: width of the lowest edge, mm.
    """

    net: Array
    hem_below: Array
    folds: tuple[Array, ...]
    cut: Array
    cut_edge: float
    facing: Facing | None = None


@dataclass(frozen=True, eq=False)
class Panel:
    """One panel.

    join: from crotch point to hip point, the top that is no seam; slit: from the hem up to where
    it stops, or `None`.
    """

    name: PanelName
    shape: Shape
    join: Array
    notches: tuple[Notch, ...]
    slit: Array | None


@dataclass(frozen=True)
class Cutting:
    """What the outlines are made with: the hem, allowances by edge in mm, slit height, notches."""

    hem: HemSize
    allowance: Width
    slit: float | None
    notches: Mapping[SeamName, Mapping[str, float]]


@dataclass(frozen=True, eq=False)
class _Sides:
    """The two edges of a panel from the hem upwards, as seen, and the cut lines beside them."""

    left: Array
    right: Array
    cut_left: Array
    cut_right: Array

    @property
    def hem_ends(self) -> tuple[Point, Point]:
        return (float(self.left[0, 0]), 0.0), (float(self.right[0, 0]), 0.0)


def cut_panel(name: PanelName, block: Block, seams: Mapping[Edge, Line], cutting: Cutting) -> Panel:
    """Draw one panel of the given seams, hem, allowances and notches."""
    inseam, outseam = PANELS[name]
    side = OUTSEAM_SIDE[name]
    inner = _edge(seams[inseam], block.crotch, -side, cutting.hem)
    outer = _edge(seams[outseam], block.top, side, cutting.hem)
    beside_inner = _mitred(offset_edge(inner, cutting.allowance["inseam"], -side), inner, outer)
    beside_outer = _mitred(_beside_slit(outer, side, cutting), outer, inner)
    if side > 0:
        sides = _Sides(inner, outer, beside_inner, beside_outer)
    else:
        sides = _Sides(outer, inner, beside_outer, beside_inner)
    slit = None
    if cutting.slit is not None:
        stop = side * float(seams[outseam].at(cutting.slit)), cutting.slit
        slit = np.vstack([outer[outer[:, 1] < cutting.slit], stop])
    notches = (
        *_notches(seams[inseam], -side, "inseam", cutting),
        *_notches(seams[outseam], side, "outseam", cutting),
    )
    join = np.array([inner[-1], outer[-1]])
    if cutting.hem.style == "faced":
        opening = sum(float(seams[edge].slope(0.0)) for edge in PANELS[name])
        shape = _faced(sides, cutting, opening)
    else:
        shape = _folded(sides, cutting.hem)
    return Panel(name, shape, join, notches, slit)


def _folded(sides: _Sides, hem: HemSize) -> Shape:
    """Return a panel with its fold-up; the cutting line is mirrored in the same folds."""
    below = fold_up(sides.left, sides.right, hem)
    ends = sides.hem_ends
    cut_left, cut_right = to_line(sides.cut_left, *ends), to_line(sides.cut_right, *ends)
    beside = fold_up(cut_left, cut_right, hem)
    return Shape(
        net=np.vstack([sides.left[::-1], sides.right]),
        hem_below=np.vstack([below.left, below.right[::-1]]),
        folds=below.folds,
        cut=np.vstack([cut_left[::-1], beside.left[1:], beside.right[:0:-1], cut_right]),
        cut_edge=below.cut_edge,
    )


def _faced(sides: _Sides, cutting: Cutting, opening: float) -> Shape:
    """Return a panel whose hem follows the true curve where it must, with a facing to match.

    `opening` is how much wider the panel gets for each mm of height at the hem.
    """
    low_left, low_right = sides.hem_ends
    off = sag(low_right[0] - low_left[0], abs(opening))
    rise = math.copysign(off, opening) if off > 3 else 0.0  # else a straight hem serves
    curve = shaped_hem(low_left, low_right, rise)
    lower = offset_edge(curve, cutting.allowance["inseam"], 1)
    level = float(lower[0, 1])
    ends = (low_left[0], level), (low_right[0], level)
    cut_left, cut_right = to_line(sides.cut_left, *ends), to_line(sides.cut_right, *ends)
    inner = lower[(lower[:, 0] > cut_left[0, 0]) & (lower[:, 0] < cut_right[0, 0])]
    top = _facing_top(sides, curve, cutting.hem.depth)
    corners = [[(np.interp(top[0, 1], cut[:, 1], cut[:, 0]), top[0, 1])]
               for cut in (cut_left, cut_right)]  # fmt: skip
    facing = Facing(
        _ring(sides.left, sides.right, curve, top),
        _ring(cut_left, cut_right, inner, np.vstack([corners[0], top, corners[1]])),
    )
    return Shape(
        net=np.vstack([sides.left[:0:-1], curve, sides.right[1:]]),
        hem_below=np.empty((0, 2)),
        folds=(curve,),
        cut=np.vstack([cut_left[::-1], inner, cut_right]),
        cut_edge=float(np.hypot(*np.diff(curve, axis=0).T).sum()),
        facing=facing,
    )


def _facing_top(sides: _Sides, lower: Array, depth: float) -> Array:
    """Return the upper edge of a facing, which has no allowance: the hem's curve `depth` up."""
    left, right = (np.interp(depth, side[:, 1], side[:, 0]) for side in (sides.left, sides.right))
    share = (lower[:, 0] - lower[0, 0]) / (lower[-1, 0] - lower[0, 0])
    return np.column_stack([left + share * (right - left), lower[:, 1] - lower[0, 1] + depth])


def _ring(left: Array, right: Array, lower: Array, top: Array) -> Array:
    """Return the outline of a facing: the leg's own sides between its lower and its upper edge."""
    low_left, low_right = left[left[:, 1] < top[0, 1]], right[right[:, 1] < top[-1, 1]]
    return np.vstack([low_left[::-1], lower, low_right, top[::-1]])


def _edge(seam: Line, top: float, side: int, hem: HemSize) -> Array:
    """Return a seam as points upwards from the hem, dense enough and with every knot."""
    knots = seam.knots[(seam.knots > 0) & (seam.knots < top)]
    even = np.linspace(0, top, int(top / STEP) + 2)
    y = np.unique(np.concatenate([even, knots, [hem.depth, hem.depth - hem.turn_under]]))
    return np.column_stack([side * seam.at(y), y])


def _beside_slit(edge: Array, side: int, cutting: Cutting) -> Array:
    """Return the cut line beside an outseam, wider beside the slit."""
    width, beside_slit = cutting.allowance["outseam"], cutting.allowance["slit"]
    stop = cutting.slit
    if stop is None or abs(width - beside_slit) < 0.1:  # less of a step could not be cut
        return offset_edge(edge, width, side)
    crossing = np.array([[np.interp(stop, edge[:, 1], edge[:, 0]), stop]])
    # Points nearer than 1 mm are left out: beside so short a piece the offset would loop.
    lower = np.vstack([edge[:1], edge[1:][edge[1:, 1] < stop - 1], crossing])
    upper = np.vstack([crossing, edge[edge[:, 1] > stop + 1]])
    beside = offset_edge(lower, beside_slit, side)
    return np.vstack([beside, offset_edge(upper, width, side)])


def _mitred(cut: Array, edge: Array, opposite: Array) -> Array:
    """Carry a cut line on to the closing line at the top, which has no allowance."""
    corner, other = edge[-1], opposite[-1]
    width = float(np.hypot(*(cut[-1] - corner)))
    if width <= 1e-9:
        return cut
    return mitre(cut, (corner[0], corner[1]), (other[0], other[1]), width)


def _notches(seam: Line, side: int, name: SeamName, cutting: Cutting) -> Iterator[Notch]:
    for level, y in cutting.notches[name].items():
        slope = float(seam.slope(y - 1e-6))
        length = float(np.hypot(1, slope))
        at = side * float(seam.at(y)), y
        yield Notch(at, (side / length, -slope / length), cutting.allowance[name], level)
