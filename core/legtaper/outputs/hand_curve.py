"""What a hand draws through marks: how far a smooth curve through them misses the seam."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from legtaper.geometry.curves import Array, Line, MonotoneCubic

_LOOKED_AT = 17  # heights in each piece


def misses(heights: Sequence[float], seam: Line) -> Array:
    """Return for each piece between two marks how far off the seam a hand may draw it, mm.

    The farther of two curves through all marks: one that swings no farther than they do, as along
    a french curve, and a thin lath bent to pass them, which is the natural cubic spline
    (J. C. Holladay, Mathematical Tables and Other Aids to Computation 11, 1957). The heights
    ascend; at least 2.
    """
    x = np.array(heights, float)
    reach = seam.at(x)
    y = np.linspace(x[:-1], x[1:], _LOOKED_AT)
    true = seam.at(y.ravel()).reshape(y.shape)
    careful = MonotoneCubic.through(x, reach).at(y)
    drawn = np.array([careful, _lath(x, reach, y)])
    most: Array = np.abs(drawn - true).max(axis=(0, 1))
    return most


def _lath(x: Array, reach: Array, y: Array) -> Array:
    """Return the natural cubic spline through the marks; a column of `y` lies in each piece."""
    gap = np.diff(x)
    bend = np.zeros(len(x))  # its second derivative, none at either end
    if len(x) > 2:
        turn = np.diff(np.diff(reach) / gap)
        rows = np.diag((gap[:-1] + gap[1:]) / 3)
        rows += np.diag(gap[1:-1] / 6, 1) + np.diag(gap[1:-1] / 6, -1)
        bend[1:-1] = np.linalg.solve(rows, turn)
    up = (y - x[:-1]) / gap
    down = 1 - up
    chord = down * reach[:-1] + up * reach[1:]
    sag = (down**3 - down) * bend[:-1] + (up**3 - up) * bend[1:]
    spline: Array = chord + sag * gap**2 / 6
    return spline
