"""The fewest sheets that a shape takes: the grid of sheets is slid under it until no fewer do."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legtaper.geometry.curves import Array, Point
from legtaper.outputs.islands import Cell, bridges

STEP = 2.0
"""About how far, mm, the grid is slid from one try to the next."""

_TRIES = 12  # offsets that are looked at closely, of those that promise the same number

_BLOCK = 4  # shifts on a side of those that are bounded together

_Ints = NDArray[np.int64]

Cost = tuple[float, int]
"""How many sheets a grid takes, and how many of them show nothing: the less, the better."""

_ANY: Cost = math.inf, 0


@dataclass(frozen=True)
class Grid:
    """Sheets under a shape: `corner` is the lower left of column 0, row 0, mm; rows run upwards.

    cells: (row, column) of the sheets that are printed; bridges: those of them that show nothing
    and join the others by their edges. pitch: from one sheet to the next, mm.
    """

    corner: Point
    room: Point
    pitch: Point
    cells: tuple[Cell, ...]
    bridges: tuple[Cell, ...] = ()

    @property
    def cost(self) -> Cost:
        """How many sheets are printed, and how many of them show nothing."""
        return len(self.cells), len(self.bridges)

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


def fewest(points: Array, room: Point, overlap: float, below: Cost = _ANY) -> Grid | None:
    """Return the grid that shows every point on the fewest sheets of `room` mm.

    `points` lie densely (1 mm apart or less) on every line that has to be shown. Neighbors share
    `overlap` mm or a little more; what lies in such a strip needs one of them only. All are joined
    by their edges. Nothing where no grid is found that costs less than `below`.
    """
    xs, ys = (np.ascontiguousarray(points[:, i]) for i in (0, 1))
    left, bottom = float(xs.min()), float(ys.min())
    across = _axis(float(xs.max()) - left, room[0], overlap)
    up = _axis(float(ys.max()) - bottom, room[1], overlap)
    wide = across.count + 1
    cells = ((ys - bottom) / up.size).astype(np.int64) * wide
    cells += ((xs - left) / across.size).astype(np.int64)
    raster = np.zeros((up.count + 1) * wide, bool)
    raster[cells + wide + 1] = True  # behind a row and a column of nothing
    sums = raster.reshape(-1, wide).cumsum(axis=1, dtype=np.int32)
    np.add.accumulate(sums, axis=0, out=sums)  # in place, as a large raster waits for its memory
    if (int(_forced(sums, up, across, _BLOCK).min()), 0) >= below:
        return None
    occupied = np.divmod(np.flatnonzero(raster) - wide - 1, wide)
    found = _closest(_forced(sums, up, across, 1), occupied, (up, across), below)
    if found is None:
        return None
    shown, joining, (shift_y, shift_x) = found
    corner = (
        left + (shift_x - across.pitch) * across.size,
        bottom + (shift_y - up.pitch) * up.size,
    )
    return Grid(corner, room, (across.pitch * across.size, up.pitch * up.size), shown, joining)


def _forced(sums: NDArray[np.int32], up: _Axis, across: _Axis, block: int) -> _Ints:
    """Return for every shift how many sheets hold what no other does: never more than are needed.

    Shift (0, 0) lays sheet (0, 0) one pitch below and to the left of the shape. With a `block`
    above 1 only every so many shifts are counted, each for all of the block behind it.
    """
    low, high = _inner(up, block)
    left, right = _inner(across, block)
    bands = sums[high] - sums[low]  # (sheet, shift, place across)
    count = np.zeros((low.shape[1], left.shape[1]), np.int64)
    for band in bands:
        for column in range(across.sheets):
            count += band[:, right[column]] > band[:, left[column]]
    return count


def _inner(axis: _Axis, block: int) -> tuple[_Ints, _Ints]:
    """Return where the part of each sheet (a row) that no neighbor shows begins and ends.

    A column is a shift, or a block of them: then it is the part that all of it have in common.
    """
    first = np.arange(-1, axis.sheets - 1)[:, None] * axis.pitch
    start = first + np.arange(0, axis.pitch, block)
    low = np.clip(start + axis.shared + block - 1, 0, axis.count)
    return low, np.maximum(np.clip(start + axis.pitch, 0, axis.count), low)


_Found = tuple[tuple[Cell, ...], tuple[Cell, ...], tuple[int, int]]
"""Sheets by row and column, those that only join others, and the shift of the grid."""


def _closest(
    forced: _Ints, occupied: tuple[_Ints, _Ints], axes: tuple[_Axis, _Axis],
    below: Cost,
) -> _Found | None:  # fmt: skip
    """Return the best shift that costs less than `below`, looked at in order of promise."""
    best: _Found | None = None
    for level in range(int(forced.min()), int(forced.max()) + 1):
        if (level, 0) >= below:
            break
        shifts = np.argwhere(forced == level)
        for shift_y, shift_x in _from_the_middle(shifts):
            cells = _covering(occupied, (shift_y, shift_x), *axes)
            if (len(cells), 0) >= below:
                continue
            joining = bridges(cells)
            if (cost := (len(cells) + len(joining), len(joining))) < below:
                best, below = ((*cells, *joining), joining, (shift_y, shift_x)), cost
            if below <= (level, 0):
                break  # no shift that promises as much can do better
    return best


def _from_the_middle(shifts: _Ints) -> list[list[int]]:
    """Return some of the shifts, the middle one first: there lines keep off the frame."""
    few = shifts[:: max(1, len(shifts) // _TRIES)]
    order = np.argsort(abs(np.arange(len(few)) - len(few) // 2), kind="stable")
    return [[int(y), int(x)] for y, x in few[order]]


def _covering(
    occupied: tuple[_Ints, _Ints], shift: tuple[int, int], up: _Axis, across: _Axis
) -> tuple[Cell, ...]:
    """Return sheets that show every occupied place: those that must, then the most useful."""
    ys, xs = occupied[0] + up.pitch - shift[0], occupied[1] + across.pitch - shift[1]
    rows, columns = ys // up.pitch, xs // across.pitch
    low, left = ys - rows * up.pitch < up.shared, xs - columns * across.pitch < across.shared
    wide = across.sheets + 2
    # Places that the same sheets show are one kind: few are left of thousands.
    kinds = np.bincount((((rows + 1) * wide + columns + 1) * 2 + low) * 2 + left)
    kind = np.flatnonzero(kinds)
    own, under, before = kind // 4, (kind // 2) % 2, kind % 2
    shown = np.zeros((up.sheets + 3) * wide, bool)
    shown[own[(under + before) == 0]] = True
    others = np.array([own, own - before, own - under * wide, own - before - under * wide])
    open_ones = ~shown[others].any(axis=0)
    while open_ones.any():
        weights = np.tile(kinds[kind[open_ones]], len(others))
        gains = np.bincount(others[:, open_ones].ravel(), weights)
        shown[gains.argmax()] = True
        open_ones &= ~shown[others].any(axis=0)
    found = np.flatnonzero(shown).tolist()
    return tuple((place // wide - 1, place % wide - 1) for place in found)
