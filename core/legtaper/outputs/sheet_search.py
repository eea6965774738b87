"""The fewest sheets that a shape takes: the grid of sheets is slid under it until no fewer do."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legtaper.geometry.curves import Array, Point

STEP = 2.0
"""About how far, mm, the grid is slid from one try to the next."""

_TRIES = 24  # offsets that are looked at closely, of those that promise the same number

_Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Grid:
    """Sheets under a shape: `corner` is the lower left of column 0, row 0, mm; rows run upwards.

    cells: (row, column) of the sheets that are needed. pitch: from one sheet to the next, mm.
    """

    corner: Point
    room: Point
    pitch: Point
    cells: tuple[tuple[int, int], ...]

    def box(self, row: int, column: int) -> tuple[float, float, float, float]:
        """Return the part of the plane that a sheet shows, mm."""
        x, y = self.corner[0] + column * self.pitch[0], self.corner[1] + row * self.pitch[1]
        return x, y, x + self.room[0], y + self.room[1]


@dataclass(frozen=True)
class _Axis:
    """One direction in cells of the raster: `page` long, `shared` of them with each neighbor."""

    size: float
    page: int
    shared: int
    count: int

    @property
    def pitch(self) -> int:
        return self.page - self.shared

    @property
    def sheets(self) -> int:
        return (self.count - 1) // self.pitch + 2


def _axis(length: float, room: float, overlap: float) -> _Axis:
    page = max(math.floor(room / STEP), 8)
    size = room / page
    return _Axis(size, page, math.ceil(overlap / size - 1e-9), int(length / size) + 1)


def fewest(points: Array, room: Point, overlap: float) -> Grid:
    """Return the grid that shows every point on the fewest sheets of `room` mm.

    `points` lie densely (1 mm apart or less) on every line that has to be shown. Neighbors share
    `overlap` mm or a little more; what lies in such a strip needs one of them only.
    """
    low = points.min(axis=0)
    spread = points.max(axis=0) - low
    across, up = (_axis(float(spread[i]), room[i], overlap) for i in (0, 1))
    places = ((points - low) / (across.size, up.size)).astype(np.int64)
    raster = np.zeros((up.count + 1, across.count + 1), np.int32)
    raster[places[:, 1] + 1, places[:, 0] + 1] = 1
    ys, xs = np.nonzero(raster[1:, 1:])
    forced = _forced(
        raster.cumsum(axis=0, dtype=np.int32).cumsum(axis=1, dtype=np.int32), up, across
    )
    cells, shift_y, shift_x = _closest(forced, (ys, xs), up, across)
    corner = (
        float(low[0]) + (shift_x - across.pitch) * across.size,
        float(low[1]) + (shift_y - up.pitch) * up.size,
    )
    return Grid(corner, room, (across.pitch * across.size, up.pitch * up.size), cells)


def _forced(sums: NDArray[np.int32], up: _Axis, across: _Axis) -> NDArray[np.int32]:
    """Return for every shift how many sheets hold what no other does: never more than are needed.

    Shift (0, 0) lays sheet (0, 0) one pitch below and to the left of the shape.
    """
    count = np.zeros((up.pitch, across.pitch), np.int32)
    columns = [_inner(across, column) for column in range(across.sheets)]
    for row in range(up.sheets):
        low, high = _inner(up, row)
        band = sums[high] - sums[low]
        for left, right in columns:
            count += band[:, right] > band[:, left]
    return count


def _inner(axis: _Axis, sheet: int) -> tuple[_Ints, _Ints]:
    """Return where the part of a sheet that no neighbor shows begins and ends, for every shift."""
    start = np.arange(axis.pitch) + (sheet - 1) * axis.pitch
    low, high = start + axis.shared, start + axis.pitch
    return np.clip(low, 0, axis.count), np.clip(high, 0, axis.count)


def _closest(
    forced: NDArray[np.int32], occupied: tuple[_Ints, _Ints], up: _Axis, across: _Axis
) -> tuple[tuple[tuple[int, int], ...], int, int]:
    """Return the sheets of the best shift, and the shift; looked at in order of promise."""
    best: tuple[tuple[tuple[int, int], ...], int, int] | None = None
    for level in range(int(forced.min()), int(forced.max()) + 1):
        if best is not None and level >= len(best[0]):
            break
        shifts = np.argwhere(forced == level)
        fewest_here: list[tuple[tuple[tuple[int, int], ...], int, int]] = []
        for shift_y, shift_x in shifts[:: max(1, len(shifts) // _TRIES)].tolist():
            cells = _covering(occupied, (shift_y, shift_x), up, across)
            least = len(fewest_here[0][0]) if fewest_here else len(best[0]) if best else math.inf
            if len(cells) < least:
                fewest_here = [(cells, shift_y, shift_x)]
            elif fewest_here and len(cells) == least:
                fewest_here.append((cells, shift_y, shift_x))
        if fewest_here:  # from the middle of those that are as good: lines keep off the frame
            best = fewest_here[len(fewest_here) // 2]
    if best is None:
        raise ValueError("there is nothing to lay on sheets")
    return best


def _covering(
    occupied: tuple[_Ints, _Ints], shift: tuple[int, int], up: _Axis, across: _Axis
) -> tuple[tuple[int, int], ...]:
    """Return sheets that show every occupied place: those that must, then the most useful."""
    ys, xs = (
        at + axis.pitch - by for at, axis, by in zip(occupied, (up, across), shift, strict=True)
    )
    rows, columns = ys // up.pitch, xs // across.pitch
    low, left = ys % up.pitch < up.shared, xs % across.pitch < across.shared
    wide = across.sheets + 2
    own = (rows + 1) * wide + columns + 1
    shown = np.zeros((up.sheets + 3) * wide, bool)
    shown[own[~(low | left)]] = True
    others = [own, own - np.where(left, 1, 0), own - np.where(low, wide, 0)]
    others.append(others[2] - np.where(left, 1, 0))
    open_ones = ~np.any([shown[other] for other in others], axis=0)
    while open_ones.any():
        gains = np.bincount(np.concatenate([other[open_ones] for other in others]))
        shown[gains.argmax()] = True
        open_ones &= ~np.any([shown[other] for other in others], axis=0)
    found = np.flatnonzero(shown).tolist()
    return tuple((place // wide - 1, place % wide - 1) for place in found)
