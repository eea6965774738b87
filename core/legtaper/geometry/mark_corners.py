"""The corner at each mark of a seam: where it lies, and over what length it is eased.

A ruler laid from mark to mark is to tell the truth, so a corner swings off the ruled line by less
than a pencil line (common practice), and nowhere outside the old seam.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from legtaper.geometry.curves import Array

_EASED = 3.5
"""mm; a corner of this over the change of grade lies an eighth of it, 0.44 mm, off the ruler."""
_LEAST_CORNER = 20.0  # mm, where there is room
_CORNER_SHARE = 0.45
_INSIDE = 0.02  # mm by which a corner may swing outside the old seam


@dataclass(frozen=True, eq=False)
class Marks:
    """Lines through marks at the same `heights` (n), a row of `values` (rows, n) for each.

    Each runs out to 0 at the corner in the middle of its own of `curves` (rows), which ends at its
    own of `blends`.
    """

    heights: Array
    values: Array
    blends: Array
    curves: Array

    @cached_property
    def corner(self) -> Array:
        """Where each last curve has its corner, a column."""
        return (self.blends - self.curves / 2)[:, None]

    @cached_property
    def grades(self) -> Array:
        """The grades of the lines from mark to mark and on to the last corner, as rows."""
        rows = len(self.blends), 1
        y = np.hstack([np.tile(self.heights, rows), self.corner])
        grades: Array = np.diff(np.hstack([self.values, np.zeros(rows)])) / np.diff(y)
        return grades

    @cached_property
    def gaps(self) -> Array:
        """The ways from mark to mark and on to where the last curve begins, as rows."""
        rows = len(self.blends), 1
        last = (self.blends - self.curves - self.heights[-1])[:, None]
        return np.hstack([np.tile(np.diff(self.heights), rows), last])

    def corners(self, lengths: Array, shifts: Array) -> tuple[Array, Array]:
        """Return places and lengths of all corners; the highest mark's is shifted up."""
        places = np.tile(self.heights[1:], (len(self.blends), 1))
        places[:, -1:] += shifts[:, None]
        return np.hstack([places, self.corner]), np.hstack([lengths, self.curves[:, None]])


def following_corners(marks: Marks) -> tuple[Array, Array]:
    """Return where the corners of what comes off lie, and how long they are."""
    if len(marks.heights) == 1:
        return marks.corner, marks.curves[:, None]
    grades, takes = marks.grades, marks.values
    lengths = _mark_lengths(grades, marks.gaps)
    inside = np.minimum(lengths, _inside_lengths(grades, takes))
    lengths = np.where(takes.min(axis=1, keepdims=True) >= 0, inside, lengths)
    below, turns = grades[:, -2], grades[:, -1] - grades[:, -2]
    return marks.corners(lengths, _above_mark(lengths[:, -1], below, turns, takes[:, -1]))


def ruled_corners(marks: Marks, tops: Array, take: Array) -> tuple[Array, Array]:
    """Return the same of a ruled seam less the tangent at its blend.

    `tops` are the slopes of the old seam less that tangent at the highest mark, `take` is taken in
    there.
    """
    if len(marks.heights) == 1:
        return marks.corner, marks.curves[:, None]
    grades = marks.grades
    lengths = _mark_lengths(grades, marks.gaps)
    below, turns = tops - grades[:, -2], grades[:, -2] - grades[:, -1]
    return marks.corners(lengths, _above_mark(lengths[:, -1], below, turns, take))


def _mark_lengths(grades: Array, gaps: Array) -> Array:
    """Return the length of the corner at every mark but the hem, a row for each seam.

    `grades` are those of the lines from mark to mark and to the last curve's corner, `gaps` the
    ways from mark to mark and to where that curve begins.
    """
    room = np.minimum(gaps[:, :-1], gaps[:, 1:])
    turns = np.maximum(np.abs(np.diff(grades)), 1e-9)
    least = np.minimum(_LEAST_CORNER, 2 * _CORNER_SHARE * room)
    lengths: Array = np.maximum(np.minimum(_EASED / turns, _CORNER_SHARE * room), least)
    return lengths


def _inside_lengths(grades: Array, takes: Array) -> Array:
    """Return how long each mark's corner may be so that the take-in falls nowhere below 0.

    A corner that sags passes its mark and dips lower beside it, by L * d * r^2 / 2, where d is the
    change of grade and r how far from the middle of the corner its lowest point lies, in L.
    """
    turns = np.diff(grades)
    with np.errstate(divide="ignore", invalid="ignore"):
        off = np.clip((grades[:, :-1] + grades[:, 1:]) / (2 * turns), -0.5, 0.5)
        most = 2 * (takes[:, 1:] + _INSIDE) / (turns * off**2)
    result: Array = np.where((turns > 0) & (off != 0), most, np.inf)
    return result


def _above_mark(lengths: Array, below: Array, turns: Array, take: Array) -> Array:
    """Return how far above the highest mark its corner lies, so that a ruler will do up to there.

    `lengths` are of that corner, `below` is how the take-in grows below it, `turns` how that
    changes, `take` the take-in at the mark. The corner begins at the mark, so that the line below
    is true, unless the take-in would grow by more than an eighth of `_EASED` above it, or fall
    below 0: then it lies nearer, or at its mark.
    """
    size = np.maximum(np.abs(turns), 1e-9)
    swing = np.sqrt(_EASED / 4 * lengths / size)
    inside = np.clip(lengths * below / size - swing, 0.0, np.minimum(swing, lengths / 2))
    sags = np.where(take + below * lengths / 2 >= 0, 0.0, lengths / 2)
    result: Array = lengths / 2 - np.where(turns > 0, sags, inside)
    return result
