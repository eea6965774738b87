"""Pure line functions: monotone cubic, polyline, eased corners, arc length, kinks, reflection.

A line here is a function of height: `at(y)` is a reach in mm at height `y` in mm, `slope(y)` its
derivative, and `knots` the heights where its formula changes. All three take and give numpy
arrays of any shape, so that whole seams are evaluated in one call.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Point = tuple[float, float]


def _gauss(count: int) -> tuple[Array, Array]:
    """Return nodes and weights of Gauss and Legendre on 0 to 1, after Golub and Welsch (1969).

    The nodes are the eigenvalues of a matrix of the polynomials' recurrence; both are made exactly
    symmetric. numpy.polynomial has a function for it, and takes ten times as long to load.
    """
    number = np.arange(1, count)
    beside = number / np.sqrt(4.0 * number**2 - 1)
    nodes, vectors = np.linalg.eigh(np.diag(beside, -1))
    weights = (vectors[0] ** 2 + vectors[0, ::-1] ** 2) / 2
    return (nodes - nodes[::-1] + 2) / 4, weights / weights.sum()


# Eight nodes integrate sqrt(1 + slope^2) of a gentle cubic piece far below 0.05 mm.
NODES, WEIGHTS = _gauss(8)


class Line(Protocol):
    """A reach as a function of height."""

    @property
    def knots(self) -> Array:
        """Ascending heights, mm, at which the formula changes; first and last are the ends."""

    def at(self, y: ArrayLike) -> Array:
        """Return the reach, mm, at each height of `y`."""

    def slope(self, y: ArrayLike) -> Array:
        """Return d reach / d height at each height of `y`."""


@dataclass(frozen=True, eq=False, slots=True)
class MonotoneCubic:
    """A piecewise cubic through points that never overshoots them.

    `coefficients` has a column for each piece, highest power first, in powers of `y - knots[i]`.
    """

    knots: Array
    coefficients: Array

    @classmethod
    def through(cls, heights: ArrayLike, reaches: ArrayLike) -> MonotoneCubic:
        """Fit the curve. `heights` (mm) ascend strictly; both have the same length, at least 2.

        The slopes are those of F. N. Fritsch and J. Butland (1984), with the one-sided
        three-point formula at the ends: what `scipy.interpolate.PchipInterpolator` computes.
        """
        x, v = np.asarray(heights, float), np.asarray(reaches, float)
        if len(x) != len(v) or len(x) < 2 or not (np.diff(x) > 0).all():
            raise ValueError("a curve needs two or more points at ascending heights")
        h, chord = np.diff(x), np.diff(v) / np.diff(x)
        slopes = _pchip_slopes(h, chord)
        cubic = (slopes[:-1] + slopes[1:] - 2 * chord) / h**2
        square = (3 * chord - 2 * slopes[:-1] - slopes[1:]) / h
        return cls(x, np.array([cubic, square, slopes[:-1], v[:-1]]))

    def _piece(self, y: ArrayLike) -> tuple[Array, Array]:
        y = np.asarray(y, float)
        index = self.knots[1:-1].searchsorted(y, side="right")
        return self.coefficients.take(index, 1), y - self.knots.take(index)

    def at(self, y: ArrayLike) -> Array:
        """Return the reach, mm, at each height of `y`."""
        (a, b, c, d), s = self._piece(y)
        result: Array = ((a * s + b) * s + c) * s + d
        return result

    def slope(self, y: ArrayLike) -> Array:
        """Return the derivative at each height of `y`."""
        (a, b, c, _), s = self._piece(y)
        result: Array = (3 * a * s + 2 * b) * s + c
        return result


def _pchip_slopes(h: Array, chord: Array) -> Array:
    """Return the slope at each of n points from n - 1 intervals and chord slopes."""
    if len(h) == 1:
        return np.array([chord[0], chord[0]])
    before, after = chord[:-1], chord[1:]
    weight_before, weight_after = h[:-1] + 2 * h[1:], 2 * h[:-1] + h[1:]
    inner = np.zeros(len(h) - 1)
    same = before * after > 0
    inner[same] = (weight_before + weight_after)[same] / (
        weight_before[same] / before[same] + weight_after[same] / after[same]
    )
    first = _end_slope(h[0], h[1], chord[0], chord[1])
    last = _end_slope(h[-1], h[-2], chord[-1], chord[-2])
    return np.concatenate([[first], inner, [last]])


def _end_slope(h0: float, h1: float, chord0: float, chord1: float) -> float:
    slope = ((2 * h0 + h1) * chord0 - h0 * chord1) / (h0 + h1)
    if slope * chord0 <= 0:
        return 0.0
    if chord0 * chord1 <= 0 and abs(slope) > abs(3 * chord0):
        return 3 * chord0
    return float(slope)


@dataclass(frozen=True, eq=False)
class Polyline:
    """Straight pieces through the points of an outline; `knots` ascend strictly, mm."""

    knots: Array
    reaches: Array

    @cached_property
    def rises(self) -> Array:
        """The slope of each piece: outlines have thousands, and one at a time is asked for."""
        result: Array = np.diff(self.reaches) / np.diff(self.knots)
        return result

    def at(self, y: ArrayLike) -> Array:
        """Return the reach, mm, at each height of `y`."""
        return np.asarray(np.interp(np.asarray(y, float), self.knots, self.reaches))

    def slope(self, y: ArrayLike) -> Array:
        """Return the slope of the piece that each height of `y` lies on."""
        index = self.knots[1:-1].searchsorted(np.asarray(y, float), side="right")
        result: Array = self.rises[index]
        return result


@dataclass(frozen=True, eq=False)
class CarriedOn:
    """A line that goes on below height 0 along its tangent there, down to `down_to` mm."""

    line: Line
    down_to: float

    @property
    def knots(self) -> Array:
        """Ascending heights where the formula changes."""
        own = self.line.knots
        return np.concatenate([[self.down_to, 0.0], own[own > 0]])

    def at(self, y: ArrayLike) -> Array:
        """Return the reach, mm, at each height of `y`."""
        y = np.asarray(y, float)
        below = np.minimum(y, 0.0)
        result: Array = self.line.at(np.maximum(y, 0.0)) + self.line.slope(1e-9) * below
        return result

    def slope(self, y: ArrayLike) -> Array:
        """Return the derivative at each height of `y`."""
        return self.line.slope(np.maximum(np.asarray(y, float), 1e-9))


@dataclass(frozen=True, eq=False)
class Grown:
    """A line that is larger by `across` and `along`: the shape of another one, not its size."""

    line: Line
    across: float
    along: float

    @property
    def knots(self) -> Array:
        """Ascending heights where the formula changes."""
        result: Array = self.line.knots * self.along
        return result

    def at(self, y: ArrayLike) -> Array:
        """Return the reach, mm, at each height of `y`."""
        result: Array = self.line.at(np.asarray(y, float) / self.along) * self.across
        return result

    def slope(self, y: ArrayLike) -> Array:
        """Return the derivative at each height of `y`."""
        steep = self.across / self.along
        result: Array = self.line.slope(np.asarray(y, float) / self.along) * steep
        return result


@dataclass(frozen=True, eq=False, slots=True)
class EasedLine:
    """A straight line that runs out to zero upwards over eased corners.

    `n(y) = sum of grades[k] * ramp(corners[k] - y)`, where the ramp is 0 above its corner, the
    distance below it, and over `lengths[k]` a parabola tangent to both. Sums of such ramps are
    straight lines through control points with every corner replaced by a parabola: the
    symmetrical vertical curve of highway design (AASHTO "Green Book", ch. 3; from memory).
    Corners may overlap and still meet without a kink.
    """

    corners: Array
    lengths: Array
    grades: Array

    @classmethod
    def through(
        cls, heights: ArrayLike, values: ArrayLike, corners: ArrayLike, lengths: ArrayLike
    ) -> EasedLine:
        """Choose the grades so that the line passes exactly through `values` at `heights`.

        As many points as corners, all in mm. Raises `ValueError` where no such line exists.
        """
        corners, lengths = np.asarray(corners, float), np.asarray(lengths, float)
        heights, values = np.asarray(heights, float), np.asarray(values, float)
        if len(corners) == 1 and (ramp := _ramp_at(float(corners[0] - heights[0]), *lengths)):
            return cls(corners, lengths, values / ramp)
        matrix = _ramp(corners - heights[:, None], lengths)
        try:
            grades = np.linalg.solve(matrix, values)
        except np.linalg.LinAlgError:
            raise ValueError("no eased line passes through these points") from None
        return cls(corners, lengths, grades)

    def grown(self, across: float, along: float = 1.0) -> EasedLine:
        """Return the line with every value times `across` and every height times `along`."""
        return EasedLine(self.corners * along, self.lengths * along, self.grades * across / along)

    @property
    def knots(self) -> Array:
        """Ascending heights where straight pieces and parabolas meet; some may repeat."""
        return np.sort(self.joints)

    @property
    def joints(self) -> Array:
        """The same heights in no order."""
        half = self.lengths / 2
        return np.concatenate([self.corners - half, self.corners + half])

    def at(self, y: ArrayLike) -> Array:
        """Return the value at each height of `y`."""
        y = np.asarray(y, float)
        if len(self.corners) == 1:  # as nearly always, and plain numbers take half the time
            corner, length, grade = self._only
            return np.asarray(_ramp(corner - y, length) * grade)
        result: Array = _ramp(self.corners - y[..., None], self.lengths) @ self.grades
        return result

    def slope(self, y: ArrayLike) -> Array:
        """Return the derivative at each height of `y`."""
        y = np.asarray(y, float)
        if len(self.corners) == 1:
            corner, length, grade = self._only
            return np.asarray(_share(corner - y, length) * -grade)
        result: Array = -(_share(self.corners - y[..., None], self.lengths) @ self.grades)
        return result

    @property
    def _only(self) -> tuple[float, float, float]:
        """The one corner, its length and its grade."""
        return float(self.corners[0]), float(self.lengths[0]), float(self.grades[0])


def eased_rows(
    y: Array, heights: Array, values: Array, corners: Array, lengths: Array
) -> tuple[Array, Array]:
    """Return the values at `y` and the grades of many eased lines, one row for each.

    All pass points at the same heights; `values`, `corners` and `lengths` have a row for each line,
    and `y` may have; all else as in `EasedLine.through`.
    """
    at_points = _ramp(corners[:, None, :] - heights[:, None], lengths[:, None, :])
    grades = np.asarray(np.linalg.solve(at_points, values[..., None])[..., 0], float)
    rows: Array = np.zeros(np.broadcast_shapes(corners[:, :1].shape, y.shape))
    for k in range(corners.shape[1]):
        corner, length = corners[:, k, None], lengths[:, k, None]
        rows = rows + grades[:, k, None] * _ramp(corner - y, length)
    return rows, grades


def _share(distance: Array, length: Array | float) -> Array:
    """Return how much of its full grade a ramp has: its slope, turned over."""
    reached: Array = np.asarray(distance + length / 2)
    reached /= length
    return np.minimum(np.maximum(reached, 0, out=reached), 1, out=reached)


def _ramp(distance: Array, length: Array | float) -> Array:
    half = length / 2
    eased: Array = np.asarray(distance + half)
    np.minimum(np.maximum(eased, 0, out=eased), length, out=eased)
    eased *= eased
    eased /= 2 * length
    eased += np.maximum(distance - half, 0)
    return eased


def _ramp_at(distance: float, length: float) -> float:
    """Return what `_ramp` does of one number, in a tenth of the time."""
    eased = min(max(distance + length / 2, 0.0), length)
    return float(eased * eased / (2 * length) + max(distance - length / 2, 0.0))


def foot(line: Line, side: int, slope: float, start: float = 0.0) -> float:
    """Return the height at which a line meets a hem that rises by `slope` to the right.

    `side` is 1 where the line runs to the right of the grainline, -1 to its left; the hem crosses
    that at `start`.
    """
    y = start
    if slope:
        for _ in range(40):  # each round leaves less than a fifth of the error
            y = start + slope * side * float(line.at(y))
    return y


def arc_length(line: Line, low: float, high: float) -> float:
    """Return the true length in mm of `line` between two heights, to better than 0.05 mm."""
    return float(_pieces(line, np.concatenate([_knots_from(line, low, high), [high]])).sum())


def _knots_from(line: Line, low: float, high: float) -> Array:
    """Return `low` and the knots between it and `high`."""
    knots = line.knots
    inner = knots[knots.searchsorted(low, "right") : knots.searchsorted(high)]
    return np.concatenate([[low], inner])


def _pieces(line: Line, ends: Array) -> Array:
    """Return the length of each piece of `line` from one of the ascending `ends` to the next."""
    spans = ends[1:] - ends[:-1]
    slopes = line.slope(ends[:-1, None] + spans[:, None] * NODES)
    result: Array = spans * (np.hypot(1, slopes) @ WEIGHTS)
    return result


def lengths_up_to(line: Line, low: float, heights: Sequence[float]) -> Array:
    """Return the true length in mm of `line` from `low` up to each of `heights`, as `arc_length`.

    `heights` may stand in any order, none of them below `low`.
    """
    wanted = np.asarray(heights, float)
    ends = np.concatenate([_knots_from(line, low, max(heights)), wanted])
    ends.sort()
    along = np.zeros(len(ends))
    _pieces(line, ends).cumsum(out=along[1:])
    result: Array = along[ends.searchsorted(wanted)]
    return result


def height_after(line: Line, low: float, length: float) -> float:
    """Return the height at which `line` is `length` mm long, measured along it from `low` up."""
    y, short = low, length
    floor, ceiling = low, low + length  # no line is shorter than it is high
    knots = _knots_from(line, low, ceiling)
    up_to_knot = np.concatenate([[0.0], _pieces(line, knots).cumsum()])
    for _ in range(60):
        step = short / math.hypot(1.0, float(line.slope(y)))
        if abs(step) < 1e-7:
            break
        # Newton's step, but never out of where the height must lie: a slope may turn steep.
        y = y + step if floor < y + step < ceiling else (floor + ceiling) / 2
        last = int(knots.searchsorted(y)) - 1
        short = length - float(up_to_knot[last]) - arc_length(line, float(knots[last]), y)
        floor, ceiling = (y, ceiling) if short > 0 else (floor, y)
    return y


KINK_HAIR = 1e-6  # mm; far below what a pencil shows, far above rounding


def kinks(line: Line, heights: Array) -> Array:
    """Return the change of direction, in degrees, across each of `heights`."""
    return bends(line.slope(around(heights)))


def around(heights: Array) -> Array:
    """Return two rows: a hair below and a hair above each of `heights`."""
    return np.array([heights - KINK_HAIR, heights + KINK_HAIR])


def bends(slopes: Array) -> Array:
    """Return the angle, degrees, from each slope of the first row to that of the second."""
    below, above = np.arctan(slopes)
    angles: Array = np.degrees(np.abs(above - below))
    return angles


def reflect(points: ArrayLike, start: Point, end: Point) -> Array:
    """Return `points` (n, 2) mirrored in the line through `start` and `end`."""
    origin, along = np.asarray(start, float), np.subtract(end, start)
    square = float(along @ along)
    if not square > 0 or not math.isfinite(square):
        raise ValueError("a mirror line needs two different points")
    offset = np.asarray(points, float) - origin
    projected = (offset @ along)[:, None] / square * along
    result: Array = origin + 2 * projected - offset
    return result
