"""Lines of a drawing as text for a terminal: braille dots, or plain ASCII where it must be.

A grid of dots is filled by walking along each line; the dots of a cell then become one character.
Lines differ by their pattern, not only by a color that a front end may add.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from legtaper.geometry.curves import Array
from legtaper.model.safe_text import ELLIPSIS, clean, columns, fit, to_ascii

if TYPE_CHECKING:
    from legtaper.outputs.drawing import Box

Pattern = Literal["new", "old", "other", "thin", "fold"]

Run = tuple[str, str]
"""A stretch of one line of text, and its pattern; "" for blanks and tags."""


@dataclass(frozen=True, eq=False)
class Trace:
    """One line to draw; `points` is (n, 2) in mm, y up."""

    points: Array
    pattern: Pattern


class Tag(NamedTuple):
    """A short text that stands at the left, in the row of height `y` (mm)."""

    text: str
    y: float


# From the least to the most important: the later one shows where two lines cross.
_RANKS: tuple[Pattern, ...] = ("thin", "fold", "old", "other", "new")
_NAMES = ("", *_RANKS)
_ASCII = np.array([ord(c) for c in " :-.o#"])

_DASHES: dict[Pattern, tuple[bool, ...]] = {
    "old": (True, False),
    "other": (True, True, True, True, False, True, False),
    "fold": (True, True, True, False, False),
    "thin": (True, False, False, False),
}
"""Which dots of a braille line show, over and over along it; a new line shows all of them."""

# Bit values of the eight dots of a braille character, by row and column (Unicode, block 2800).
_BITS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
_BLANK = 0x2800

_TALLEST = 3  # rows per column of a picture that chooses its own height
_ONE_DOT = 0.9  # how much of itself a single row of dots can show
_SMALLEST = 1.0  # mm; a box without any size is shown as if it had this

_Ints = NDArray[np.intp]


class _Grid(NamedTuple):
    """How millimeters become dots: `dots = (x, y) * scale + shift`, row 0 at the top."""

    rows: int
    columns: int
    per_cell: tuple[int, int]  # dots down and across
    scale: Array
    shift: Array

    @property
    def shape(self) -> tuple[int, int]:
        """Dots down and across."""
        return self.rows * self.per_cell[0], self.columns * self.per_cell[1]

    def row_of(self, y: float) -> int:
        """Return the row of text that height `y` falls into; it may lie outside the picture."""
        dot = math.floor(float(y * self.scale[1] + self.shift[1]) + 0.5)
        return dot // self.per_cell[0]


def render(  # noqa: PLR0913  every option is a property of the terminal or of the picture
    traces: Sequence[Trace],
    *,
    width: int,
    height: int | None = None,
    ascii_only: bool = False,
    tags: Sequence[Tag] = (),
    box: Box | None = None,
    aspect: float = 2.0,
) -> list[str]:
    """Return the picture as lines of at most `width` columns without trailing blanks.

    The arguments are those of `paint`.
    """
    painted = paint(
        traces,
        width=width,
        height=height,
        ascii_only=ascii_only,
        tags=tags,
        box=box,
        aspect=aspect,
    )
    return ["".join(text for text, _ in line).rstrip() for line in painted]


def paint(  # noqa: PLR0913  see render
    traces: Sequence[Trace],
    *,
    width: int,
    height: int | None = None,
    ascii_only: bool = False,
    tags: Sequence[Tag] = (),
    box: Box | None = None,
    aspect: float = 2.0,
) -> list[list[Run]]:
    """Return the picture as lines of runs that a front end may color.

    It is to scale both ways and stands in the middle of the room it has. With `height` there
    are exactly that many lines; without, as many as the proportions ask for. `box` is the part
    that is shown, all of the traces unless told; `aspect` is how much taller than wide a cell
    of the terminal is. Tags stand in a margin as wide as the longest of them and two blanks,
    at most half of `width`; tags outside the box are left out, and so are the last of more
    tags than lines. Raises `ValueError` where a number is not finite or there is no room.
    """
    _refuse(traces, tags, box, (width, height, aspect))
    texts = [(to_ascii if ascii_only else str)(clean(tag.text)) for tag in tags]
    margin = min(max(map(columns, texts), default=-2) + 2, width // 2)
    whole = box or _box_of(traces, tags)
    shown = [Tag(t, tag.y) for t, tag in zip(texts, tags, strict=True) if _within(tag.y, whole)]
    cell = (1, 1) if ascii_only else (4, 2)
    least = len(shown) if height is None else 0
    grid = _fit(whole, (height, width - margin), cell, (aspect, least))
    dots = _draw(traces, grid, solid=ascii_only)
    codes, ranks = _cells(dots, cell)
    side = _place(shown, grid)
    more = "..." if ascii_only else ELLIPSIS
    return [
        _line(fit(side.get(row, ""), max(margin - 2, 0), more), margin, codes[row], ranks[row])
        for row in range(grid.rows)
    ]


def _refuse(
    traces: Sequence[Trace],
    tags: Sequence[Tag],
    box: Box | None,
    room: tuple[int, int | None, float],
) -> None:
    width, height, aspect = room
    if width < 1 or (height is not None and height < 1) or not 0 < aspect < math.inf:
        raise ValueError("a picture needs a width, a height and an aspect above zero")
    numbers = [*(trace.points for trace in traces), [tag.y for tag in tags], box or ()]
    if not all(np.isfinite(values).all() for values in numbers):
        raise ValueError("a picture can only show points that are finite numbers")
    if box and (box[0] > box[2] or box[1] > box[3]):
        raise ValueError("a box is min x, min y, max x, max y")


def _box_of(traces: Sequence[Trace], tags: Sequence[Tag]) -> Box:
    """Return the box round all traces, or round the tags where nothing is drawn."""
    points = [trace.points for trace in traces if len(trace.points)]
    every = np.concatenate(points) if points else np.array([(0.0, tag.y) for tag in tags])
    if not len(every):
        return 0.0, 0.0, 0.0, 0.0
    (x0, y0), (x1, y1) = every.min(axis=0), every.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def _within(y: float, box: Box) -> bool:
    hair = 1e-6 * max(box[3] - box[1], _SMALLEST)  # a level may be computed twice
    return box[1] - hair <= y <= box[3] + hair


def _fit(
    box: Box, room: tuple[int | None, int], cell: tuple[int, int], limits: tuple[float, int]
) -> _Grid:
    """Return the largest grid for `box`, to scale, in the middle of `room` (rows, columns).

    limits: the aspect of a cell, and the fewest rows when their number is free.
    """
    (rows, across), (down, side), (aspect, least) = room, cell, limits
    size = np.array([box[2] - box[0], box[3] - box[1]])
    dot = np.array([1 / side, aspect / down])  # size of a dot; the unit is the width of a cell
    most = max(_TALLEST * across, least, 1) if rows is None else rows
    last = np.array([across * side - 1, most * down - 1])  # the box spans from dot 0 to here
    span = np.maximum(last, _ONE_DOT) * dot
    per_mm = float((span / np.maximum(size, _SMALLEST)).min()) / dot
    if rows is None:
        taken = math.floor(size[1] * per_mm[1] + 1e-6) + 1
        rows = max(math.ceil(taken / down), least)
        last[1] = rows * down - 1
    scale = per_mm * (1, -1)
    shift = (last - size * per_mm) / 2 - np.array([box[0], box[3]]) * scale
    return _Grid(rows, across, cell, scale, shift)


def _draw(traces: Sequence[Trace], grid: _Grid, *, solid: bool) -> NDArray[np.int8]:
    """Return the grid of dots: 0 is blank, else 1 + the rank of the line that shows there."""
    high, wide = grid.shape
    canvas = np.zeros((high, wide), np.int8)
    for trace in sorted(traces, key=lambda trace: _RANKS.index(trace.pattern)):
        if not len(trace.points):
            continue
        dots = _walk(trace.points * grid.scale + grid.shift, grid.shape)
        if not solid and trace.pattern in _DASHES:
            dash = np.array(_DASHES[trace.pattern])
            dots = dots[dash[np.arange(len(dots)) % len(dash)]]
        x, y = dots.T
        seen = (x >= 0) & (x < wide) & (y >= 0) & (y < high)
        canvas[y[seen], x[seen]] = 1 + _RANKS.index(trace.pattern)
    return canvas


def _walk(points: Array, shape: tuple[int, int]) -> _Ints:
    """Return the dots of a polyline in their order, (n, 2), none of them doubled.

    A steep piece gives the dot nearest to it in every row, a flat one in every column, so that
    the same piece gives the same dots wherever its line began. The place in this row of dots is
    the distance along the line, which carries the dashes evenly across the corners.
    """
    start, step = points[:-1], np.diff(points, axis=0)
    steep = np.abs(step[:, 1]) > np.abs(step[:, 0])
    piece, axis = np.arange(len(step)), steep.astype(np.intp)
    begin, go = start[piece, axis], step[piece, axis]
    # Rows and columns outside the picture are left out here: a line may run very far out of it.
    low = np.ceil(np.minimum(begin, begin + go)).clip(min=0)
    high = np.floor(np.maximum(begin, begin + go)).clip(max=np.array(shape[::-1])[axis] - 1)
    count = np.where(go == 0, 0, (high - low + 1).clip(min=0)).astype(np.intp)
    of = piece.repeat(count)
    rank = np.arange(len(of)) - (count.cumsum() - count)[of]
    share = (low[of] + rank - begin[of]) / go[of]
    bends = np.flatnonzero(steep[1:] != steep[:-1]) + 1  # else a dot is missing between the two
    ends = [points[:1], start[of] + share[:, None] * step[of], points[bends], points[-1:]]
    order = np.concatenate([[0], of + share, bends, [len(step)]]).argsort(kind="stable")
    # The hair settles halves the same way for two lines that differ by rounding only.
    dots = np.floor(np.concatenate(ends)[order] + (0.5 + 1e-6)).astype(np.intp)
    fresh = np.ones(len(dots), bool)
    fresh[1:] = (dots[1:] != dots[:-1]).any(axis=1)
    return dots[fresh]


def _cells(dots: NDArray[np.int8], cell: tuple[int, int]) -> tuple[_Ints, NDArray[np.int8]]:
    """Return per cell the code of its character and the highest rank in it."""
    down, side = cell
    split = dots.reshape(dots.shape[0] // down, down, dots.shape[1] // side, side)
    ranks = split.max(axis=(1, 3))
    if cell == (1, 1):
        return _ASCII[ranks], ranks
    bits = ((split > 0) * _BITS[:, None, :]).sum(axis=(1, 3))
    return np.where(bits > 0, _BLANK + bits, ord(" ")), ranks


def _place(tags: Sequence[Tag], grid: _Grid) -> dict[int, str]:
    """Return row -> text, top down in order of height; a tag moves by rows to find its own."""
    placed: dict[int, str] = {}
    row = -1
    kept = sorted(tags[: grid.rows], key=lambda tag: -tag.y)
    for still, tag in zip(range(len(kept), 0, -1), kept, strict=True):
        row = max(grid.row_of(tag.y), row + 1)
        # Each tag leaves one row below it for every tag that is still to come.
        placed[min(row, grid.rows - still)] = tag.text
    return placed


def _line(text: str, margin: int, codes: _Ints, ranks: NDArray[np.int8]) -> list[Run]:
    """Return the runs of one row, without blanks at its end."""
    inked = np.flatnonzero(ranks)
    if not len(inked):
        return [(text, "")] if text else []
    end = int(inked[-1]) + 1
    characters = codes[:end].astype("<u4").tobytes().decode("utf-32-le")
    turns = [0, *(np.flatnonzero(np.diff(ranks[:end])) + 1).tolist(), end]
    runs = [(characters[start:stop], _NAMES[ranks[start]]) for start, stop in pairwise(turns)]
    gutter = text + " " * (margin - columns(text))
    return [(gutter, ""), *runs] if gutter else runs
