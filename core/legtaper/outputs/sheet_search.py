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

_WORD = 64  # bits that the processor looks at in one step

_TRIES = 12  # offsets that are looked at closely, of those that promise the same number

_Ints = NDArray[np.integer]
_Words = NDArray[np.uint64]
_WORDS = np.dtype("<u8")  # the first bit is the lowest of the first byte, on every machine

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

    @property
    def around(self) -> int:
        """Cells with room before and behind the shape for every sheet at every shift."""
        return (self.sheets + 1) * self.pitch

    def cells(self, places: Array, first: float) -> list[_Ints]:
        """Return the cells of places, mm: of what lies a little before, there, and behind."""
        return [
            ((places + beside - first) / self.size).astype(np.intp)
            for beside in (-BESIDE, 0.0, BESIDE)
        ]


def _axis(length: float, room: float, overlap: float) -> _Axis:
    page = max(math.floor(room / STEP), 8)
    size = room / page
    return _Axis(size, page, math.ceil(overlap / size - 1e-9), int(length / size) + 1)


@dataclass(frozen=True)
class Search:
    """Every shift of the grid under a shape, before any is looked at closely.

    left, bottom: of the shape, mm. bits: its raster, a bit a cell, a row of words for each row.
    forced: for each shift, up and across, how many sheets it takes at least.
    """

    room: Point
    left: float
    bottom: float
    up: _Axis
    across: _Axis
    bits: _Words
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
        ys, xs = _unpacked(self.bits).nonzero()
        occupied = ys + up.pitch, xs + across.pitch
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
    wide = _words(across.count) * _WORD
    below, at_height, above = (row * wide for row in up.cells(ys, bottom))
    before, at_width, behind = across.cells(xs, left)
    cells = np.zeros(up.count * wide, bool)
    for beside in (below + at_width, above + at_width, at_height + before, at_height + behind):
        cells[beside] = True
    bits = np.packbits(cells, bitorder="little").view(_WORDS).reshape(up.count, -1)
    return Search(room, left, bottom, up, across, bits, _forced(bits, up, across))


def _words(count: int) -> int:
    """Return how many words so many bits take."""
    return -(-count // _WORD)


def _unpacked(bits: _Words) -> _Ints:
    """Return rows of words as rows of 0 and 1."""
    return np.unpackbits(bits.view(np.uint8), axis=1, bitorder="little")


def _forced(bits: _Words, up: _Axis, across: _Axis) -> _Ints:
    """Return for every shift how many sheets hold what no other does: never more than are needed.

    Shift (0, 0) lays sheet (0, 0) one pitch below and to the left of the shape.
    """
    before = _words(across.pitch)
    first = before * _WORD - across.pitch  # the bit in a row where sheet 0 lies at shift 0
    rows = np.zeros((len(bits), _words(first + across.around)), _WORDS)
    rows[:, before : before + bits.shape[1]] = bits
    wide = rows.shape[1]
    # What a row runs over into lies behind the last shift.
    held = _any_of(rows.ravel(), across.alone, 1)
    around = np.zeros(up.around * wide, _WORDS)
    around[up.pitch * wide :][: len(held)] = held
    held = _any_of(around, up.alone, wide * _WORD)[up.shared * wide :]
    # Small numbers are added the fastest, and words that stay in the processor's cache.
    small = np.min_scalar_type(up.sheets * across.sheets)
    ups = np.zeros((up.pitch, wide * _WORD), small)
    for sheet in held[: up.sheets * up.pitch * wide].reshape(up.sheets, up.pitch, wide):
        ups += _unpacked(sheet)
    ups = ups[:, first + across.shared :][:, : across.sheets * across.pitch]
    count: _Ints = ups.reshape(up.pitch, across.sheets, across.pitch).sum(axis=1, dtype=small)
    return count


def _any_of(bits: _Words, count: int, stride: int) -> _Words:
    """Return for every bit whether any of `count` from there on, `stride` apart, is set.

    What is known of so many tells of twice as many: few steps, however many they are.
    """
    known = 1
    while known < count:
        more = min(known, count - known)
        later = _from(bits, more * stride)
        bits = bits[: len(later)]
        bits |= later
        known += more
    return bits


def _from(bits: _Words, first: int) -> _Words:
    """Return the bits from the one numbered `first` on."""
    whole, odd = divmod(first, _WORD)
    if not odd:
        return bits[whole:]
    later: _Words = bits[whole:] >> np.uint64(odd)
    later[:-1] |= bits[whole + 1 :] << np.uint64(_WORD - odd)
    return later


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
