"""What a hand draws through marks: how far a smooth curve, or a ruler, misses the seam."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legtaper.geometry.curves import Array, Line, MonotoneCubic

_LOOKED_AT = 17  # heights in each piece


def misses(heights: Sequence[float], seam: Line) -> Array:
    """Return for each piece between two marks how far off the seam a hand may draw it, mm.

    The farther of two curves through all marks: one that swings no farther than they do, as along
    a french curve, and a thin lath bent to pass them, which is the natural cubic spline
    (J. C. Holladay, Mathematical Tables and Other Aids to Computation 11, 1957). The heights
    ascend; at least 2.
    """
    most: Array = np.abs(Hand.through(heights, seam).curves()).max(axis=(0, 1))
    return most


@dataclass(frozen=True)
class Hand:
    """Marks of a seam at `heights`, mm, and where between them the drawing is looked at.

    y, true: heights and reaches of the seam there; a column for each piece between two marks.
    reach: the seam's own at the marks.
    """

    heights: Array
    reach: Array
    y: Array
    true: Array

    @classmethod
    def through(cls, heights: Sequence[float], seam: Line) -> Hand:
        """Return the hand that draws a seam by marks at these heights, which ascend."""
        x = np.array(heights, float)
        y = np.linspace(x[:-1], x[1:], _LOOKED_AT)
        return cls(x, seam.at(x), y, seam.at(y.ravel()).reshape(y.shape))

    def curves(self, off: Array | None = None) -> Array:
        """Return how far the french curve and the lath lie off the seam, mm: [which, y, piece].

        off: how far each mark is off, mm; none where left out.
        """
        reach = self.reach if off is None else self.reach + off
        careful = MonotoneCubic.through(self.heights, reach).at(self.y)
        return np.array([careful, _lath(self.heights, reach, self.y)]) - self.true

    def ruled(self, off: Array) -> Array:
        """Return how far straight lines from mark to mark lie off the seam, mm: [y, piece]."""
        return _chord(self.heights, self.reach + off, self.y) - self.true

    def worst(self, off: Array, curved: NDArray[np.bool_], ruled: NDArray[np.bool_]) -> Array:
        """Return how far off each piece is drawn, mm; `curved` and `ruled` say by what, if any."""
        curve = np.abs(self.curves(off)).max(axis=(0, 1))
        line = np.abs(self.ruled(off)).max(axis=0)
        found: Array = np.where(curved, curve, np.where(ruled, line, 0.0))
        return found

    def per_mark(self) -> tuple[Array, Array]:
        """Return what 1 mm at each mark moves, the line ruled and the lath: [y, piece, mark]."""
        each, y = np.eye(len(self.heights)), self.y[..., None]
        return _chord(self.heights, each, y), _lath(self.heights, each, y)


def _chord(x: Array, reach: Array, y: Array) -> Array:
    """Return the straight lines from mark to mark; a column of `y` lies in each piece.

    reach may have a column for each of several lines, and `y` then a last axis of 1.
    """
    x = x.reshape(-1, *[1] * (reach.ndim - 1))
    up = (y - x[:-1]) / np.diff(x, axis=0)
    line: Array = (1 - up) * reach[:-1] + up * reach[1:]
    return line


def _lath(x: Array, reach: Array, y: Array) -> Array:
    """Return the natural cubic spline through the marks, as `_chord` does."""
    gap, wide = np.diff(x), np.diff(x).reshape(-1, *[1] * (reach.ndim - 1))
    bend = np.zeros_like(reach)  # its second derivative, none at either end
    if len(x) > 2:
        turn = np.diff(np.diff(reach, axis=0) / wide, axis=0)
        rows = np.diag((gap[:-1] + gap[1:]) / 3)
        rows += np.diag(gap[1:-1] / 6, 1) + np.diag(gap[1:-1] / 6, -1)
        bend[1:-1] = np.linalg.solve(rows, turn)
    up = (y - x[:-1].reshape(wide.shape)) / wide
    down = 1 - up
    sag = (down**3 - down) * bend[:-1] + (up**3 - up) * bend[1:]
    spline: Array = _chord(x, reach, y) + sag * wide**2 / 6
    return spline
