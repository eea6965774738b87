"""One panel as it is cut: net outline, fold-up, cut line, slit, facing and notches, in mm.

x runs across the panel with the grainline at 0, y up from the finished hem. The outseam of the
front lies at the left and that of the back at the right, so that inseams face each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from legtaper.geometry.curves import Array, Line, Point, foot
from legtaper.geometry.offset import Width, mitre, offset_edge, to_line
from legtaper.geometry.sag import sag
from legtaper.leg.block import HEM_BOW, OUTSEAM_SIDE, Block, PanelRest
from legtaper.leg.hem import MOST_SAG, HemSize, fold_up, shaped_hem
from legtaper.leg.notches import Heights
from legtaper.leg.waist_and_crotch import (
    Notch,
    Top,
    close_top,
    lines_inside,
    own_hem,
    own_notches,
    seam_notch,
    top_notches,
)
from legtaper.model.project import PANELS, Edge, PanelName, seam_of

PAST_STOP = 12.7
"""mm, 1/2 in, by which the wide allowance of a slit runs past its stop: common practice."""

_APART = 0.2  # mm; rounding: a point left out so near lies under 0.01 mm off the chord

STEP = 5.0
"""Heights between the points of an outline, mm: a chord then misses a seam by under 0.01 mm."""


@dataclass(frozen=True, eq=False)
class Facing:
    """A separate piece with the leg's own shape, for a hem that cannot fold flat."""

    net: Array
    cut: Array


@dataclass(frozen=True, eq=False)
class Shape:
    """The outline of a panel with its hem. Rows of points (n, 2), from top left round to top right.

    net: the finished leg down to the hem line, closed where the piece reaches the waist;
    hem_below: the fold-up under it, empty where the hem is faced; folds: the hem line and, folded
    twice, the second; cut: what the scissors follow; cut_edge: width of the lowest edge, mm.
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

    join: from crotch point to hip point, the top that is no seam, or `None` where the piece is
    whole; slit: from the hem up to where it stops, or `None`; lines: darts and pleats.
    """

    name: PanelName
    shape: Shape
    join: Array | None
    notches: tuple[Notch, ...]
    slit: Array | None
    lines: tuple[Array, ...] = ()


class Cutting(NamedTuple):
    """What the outlines are made with: the hem, allowances by edge in mm, slit stops, notches."""

    hem: HemSize
    allowance: Width
    slit: Mapping[PanelName, float]
    notches: Heights


@dataclass(frozen=True, eq=False)
class _Sides:
    """The two edges of a panel from the hem upwards, as seen, and the cut lines beside them."""

    left: Array
    right: Array
    cut_left: Array
    cut_right: Array

    @property
    def hem_ends(self) -> tuple[Point, Point]:
        (x0, y0), (x1, y1) = self.left[0], self.right[0]
        return (float(x0), float(y0)), (float(x1), float(y1))


def cut_panel(name: PanelName, block: Block, seams: Mapping[Edge, Line], cutting: Cutting) -> Panel:
    """Draw one panel of the given seams, hem, allowances and notches."""
    inseam, outseam = PANELS[name]
    side, slope, rest = OUTSEAM_SIDE[name], block.hem_slope(name), block.rests.get(name)
    stop = cutting.slit.get(name)
    ends = tuple(
        (foot(seams[edge], where, slope, block.start), block.seam_top(edge))
        for edge, where in ((inseam, -side), (outseam, side))
    )
    inner = _edge(seams[inseam], ends[0], -side, cutting.hem)
    outer = _edge(seams[outseam], ends[1], side, cutting.hem)
    beside_inner = offset_edge(inner, cutting.allowance["inseam"], -side)
    beside_outer = _beside_slit(outer, side, cutting, stop)
    closing: Top | None = None
    if rest is not None and rest.whole:
        closing = close_top(rest, beside_outer, beside_inner, side, cutting.allowance)
        beside_outer, beside_inner = closing.outer, closing.inner
    else:
        beside_inner = _mitred(beside_inner, inner, outer)
        beside_outer = _mitred(beside_outer, outer, inner)
    if side > 0:
        sides = _Sides(inner, outer, beside_inner, beside_outer)
    else:
        sides = _Sides(outer, inner, beside_outer, beside_inner)
    if cutting.hem.style == "faced":
        opening = sum(float(seams[edge].slope(block.start)) for edge in PANELS[name])
        shape = _faced(sides, cutting, _hem_curve(sides, opening, rest, side))
    else:
        shape = _folded(sides, cutting.hem)
    if closing is not None:
        shape = _closed(shape, closing, side)
    return Panel(
        name,
        shape,
        None if closing is not None else np.array([inner[-1], outer[-1]]),
        tuple(_notches(name, block, seams, cutting)),
        _slit(seams[outseam], outer, side, stop),
        () if rest is None else lines_inside(rest, shape.net),
    )


def _slit(outseam: Line, outer: Array, side: int, stop: float | None) -> Array | None:
    if stop is None:
        return None
    return np.vstack([outer[outer[:, 1] < stop], (side * float(outseam.at(stop)), stop)])


def _closed(shape: Shape, top: Top, side: int) -> Shape:
    """Return the outline of a whole piece, closed by its waist and its crotch seam."""
    net, cut = (top.net, top.cut) if side > 0 else (top.net[::-1], top.cut[::-1])
    return replace(
        shape,
        net=np.vstack([shape.net, net[1:-1], shape.net[:1]]),
        cut=np.vstack([shape.cut, cut, shape.cut[:1]]),
    )


def _hem_curve(sides: _Sides, opening: float, rest: PanelRest | None, side: int) -> Array:
    """Return the hem of a faced panel: as it was traced, or else the true one of the leg.

    `opening` is how much wider the panel gets for each mm of height at the hem.
    """
    left, right = sides.hem_ends
    if rest is not None and rest.bow > HEM_BOW:
        return own_hem(rest, left, right, side)
    off = sag(math.dist(left, right), abs(opening))
    rise = math.copysign(off, opening) if off > MOST_SAG else 0.0
    return shaped_hem(left, right, rise)


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


def _faced(sides: _Sides, cutting: Cutting, curve: Array) -> Shape:
    """Return a panel whose hem follows a curve, from left to right, with a facing to match."""
    lower = offset_edge(curve, cutting.allowance["inseam"], 1)
    ends = (float(lower[0, 0]), float(lower[0, 1])), (float(lower[-1, 0]), float(lower[-1, 1]))
    cut_left, cut_right = to_line(sides.cut_left, *ends), to_line(sides.cut_right, *ends)
    inner = lower[(lower[:, 0] > cut_left[0, 0]) & (lower[:, 0] < cut_right[0, 0])]
    top = _facing_top(sides, curve, cutting.hem.depth)
    corners = [[(np.interp(y, cut[:, 1], cut[:, 0]), y)]
               for cut, y in ((cut_left, top[0, 1]), (cut_right, top[-1, 1]))]  # fmt: skip
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
    left, right = (
        np.interp(side[0, 1] + depth, side[:, 1], side[:, 0]) for side in (sides.left, sides.right)
    )
    share = (lower[:, 0] - lower[0, 0]) / (lower[-1, 0] - lower[0, 0])
    return np.column_stack([left + share * (right - left), lower[:, 1] + depth])


def _ring(left: Array, right: Array, lower: Array, top: Array) -> Array:
    """Return the outline of a facing: the leg's own sides between its lower and its upper edge."""
    low_left, low_right = left[left[:, 1] < top[0, 1]], right[right[:, 1] < top[-1, 1]]
    return np.vstack([low_left[::-1], lower, low_right, top[::-1]])


def _edge(seam: Line, ends: tuple[float, float], side: int, hem: HemSize) -> Array:
    """Return a seam as points upwards from the hem line, dense enough and with every knot."""
    start, top = ends
    extra = np.array([hem.depth, hem.depth - hem.turn_under]) + start
    knots = np.concatenate([seam.knots, extra])
    even = np.linspace(start, top, int((top - start) / STEP) + 2)
    y = np.sort(np.concatenate([even, knots[(knots > start) & (knots < top)]]))
    y = y[np.concatenate([[True], np.diff(y) > 1e-7])]  # twins would have no direction
    return np.column_stack([side * seam.at(y), y])


def _beside_slit(edge: Array, side: int, cutting: Cutting, slit: float | None) -> Array:
    """Return the cut line beside an outseam, wider beside the slit and a little past its stop."""
    width, beside_slit = cutting.allowance["outseam"], cutting.allowance["slit"]
    stop = None if slit is None else slit + PAST_STOP
    if stop is None or stop <= edge[0, 1] + 0.01 or abs(width - beside_slit) < 0.1:
        return offset_edge(edge, width, side)
    # Points nearer to it are left out: beside a very short piece the offset would loop.
    above = edge[edge[:, 1] > stop + _APART]
    if not len(above):  # the slit is as long as the piece
        return offset_edge(edge, beside_slit, side)
    crossing = np.array([[np.interp(stop, edge[:, 1], edge[:, 0]), stop]])
    lower = np.vstack([edge[:1], edge[1:][edge[1:, 1] < stop - _APART], crossing])
    upper = np.vstack([crossing, above])
    beside = offset_edge(lower, beside_slit, side)
    return np.vstack([beside, offset_edge(upper, width, side)])


def _mitred(cut: Array, edge: Array, opposite: Array) -> Array:
    """Carry a cut line on to the closing line at the top, which has no allowance."""
    corner, other = edge[-1], opposite[-1]
    width = float(np.hypot(*(cut[-1] - corner)))
    if width <= 1e-9:
        return cut
    return mitre(cut, (corner[0], corner[1]), (other[0], other[1]), width)


def _notches(
    name: PanelName, block: Block, seams: Mapping[Edge, Line], cutting: Cutting
) -> Iterator[Notch]:
    side, pair = OUTSEAM_SIDE[name], PANELS[name]
    for edge, where in zip(pair, (-side, side), strict=True):
        seam = seam_of(edge)
        for label, y in cutting.notches[edge].items():
            yield seam_notch(seams[edge], where, y, cutting.allowance[seam], (label, seam))
    if name in block.rests:
        rest, old = block.rests[name], (block.seams[pair[0]], block.seams[pair[1]])
        yield from top_notches(rest, own_notches(rest, old, side)[1], cutting.allowance, side)
