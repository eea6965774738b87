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

BESIDE = 0.5
"""Shown on either side of a line, mm: its whole width, also where it is the outermost one."""

_TRIES = 12  # offsets that are looked at closely, of those that promise the same number

_Ints = NDArray[np.integer]
_Bools = NDArray[np.bool_]

Cost = tuple[float, int]
"""How many sheets a grid takes, and how many of them show nothing: the less, the better."""

ANY: Cost = math.inf, 0
"""More than any grid costs."""


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

    @property
    def alone(self) -> int:
        """Cells of a sheet that no neighbor shows."""
        return self.pitch - self.shared

    def cells(self, places: Array, first: float) -> _Ints:
        """Return the cell of each place, mm, in a raster that begins a pitch before the first."""
        return ((places - first) / self.size).astype(np.intp) + self.pitch

    @property
    def around(self) -> int:
        """Cells with room before and behind the shape for every sheet at every shift."""
        return (self.sheets + 1) * self.pitch


def _axis(length: float, room: float, overlap: float) -> _Axis:
    page = max(math.floor(room / STEP), 8)
    size = room / page
    return _Axis(size, page, math.ceil(overlap / size - 1e-9), int(length / size) + 1)


@dataclass(frozen=True)
class Search:
    """Every shift of the grid under a shape, before any is looked at closely.

    left, bottom: of the shape, mm. places: the occupied cells of the raster, all in one line, row
    by row, a pitch before and behind the shape. forced: for each shift, up and across, how many
    sheets it takes at least.
    """

    room: Point
    left: float
    bottom: float
    up: _Axis
    across: _Axis
    places: _Ints
    forced: _Ints

    @property
    def least(self) -> int:
        """How many sheets are taken at least, whatever the shift."""
        return int(self.forced.min())

    def fewest(self, below: Cost = ANY) -> Grid | None:
        """Return the grid that shows the shape on the fewest sheets, all joined by their edges.

        Nothing where none is found that costs less than `below`.
        """
        if (self.least, 0) >= below:
            return None
        up, across = self.up, self.across
        occupied = np.divmod(self.places, across.around)
        found = _closest(self.forced, occupied, (up, across), below)
        if found is None:
            return None
        shown, joining, (shift_y, shift_x) = found
        corner = (
            self.left + (shift_x - across.pitch) * across.size,
            self.bottom + (shift_y - up.pitch) * up.size,
        )
        pitch = across.pitch * across.size, up.pitch * up.size
        return Grid(corner, self.room, pitch, shown, joining)


def search(points: Array, room: Point, overlap: float) -> Search:
    """Return what is to be searched for the fewest sheets of `room` mm that show every point.

    `points`, a row of x and a row of y, lie densely (1 mm apart or less) on every line that has to
    be shown. Neighbors share `overlap` mm or a little more; what lies in such a strip needs one of
    them only.
    """
    xs, ys = points
    left, bottom = float(xs.min()) - BESIDE, float(ys.min()) - BESIDE
    across = _axis(float(xs.max()) + BESIDE - left, room[0], overlap)
    up = _axis(float(ys.max()) + BESIDE - bottom, room[1], overlap)
    cells = np.zeros(up.around * across.around, bool)
    for side in (-BESIDE, BESIDE):
        cells[up.cells(ys, bottom) * across.around + across.cells(xs + side, left)] = True
        cells[up.cells(ys + side, bottom) * across.around + across.cells(xs, left)] = True
    places = np.flatnonzero(cells)
    return Search(room, left, bottom, up, across, places, _forced(cells, up, across))


def _forced(cells: _Bools, up: _Axis, across: _Axis) -> _Ints:
    """Return for every shift how many sheets hold what no other does: never more than are needed.

    Shift (0, 0) lays sheet (0, 0) one pitch below and to the left of the shape. Writes to `cells`.
    """
    wide = across.around
    spare = np.empty_like(cells)
    held = _any_of(*_any_of(cells, spare, up.alone, wide), across.alone, 1)[0]
    # From the corner of the first such part; what a row runs over into lies behind the last shift.
    held = held[up.shared * wide + across.shared :][: up.sheets * up.pitch * wide]
    grid = held.reshape(-1, wide).view(np.uint8)
    # Small numbers are added the fastest.
    count = np.zeros((up.pitch, across.pitch), np.min_scalar_type(up.sheets * across.sheets))
    for row in range(0, up.sheets * up.pitch, up.pitch):
        for column in range(0, across.sheets * across.pitch, across.pitch):
            count += grid[row : row + up.pitch, column : column + across.pitch]
    return count


def _any_of(cells: _Bools, spare: _Bools, count: int, stride: int) -> tuple[_Bools, _Bools]:
    """Return for every place whether any of `count` from there on, `stride` apart, is occupied.

    What is known of so many places tells of twice as many: few steps, however many places. Both
    arrays are written to in turn, and the other one is returned, too: fresh memory for each step
    would take longer than the step.
    """
    known = 1
    while known < count:
        more = min(known, count - known)
        left = len(cells) - more * stride
        np.logical_or(cells[:left], cells[-left:], out=spare[:left])
        cells, spare = spare[:left], cells
        known += more
    return cells, spare


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
    ys, xs = occupied[0] - shift[0], occupied[1] - shift[1]
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
