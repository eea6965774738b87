"""How a drawing is spread over sheets that are taped together afterwards."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

import numpy as np

from legtaper.model.lengths import say_length
from legtaper.outputs.drawing import Box, Drawing, label_box
from legtaper.outputs.papers import LABEL_STRIP, Paper, PaperError

_EDGE = 2.0  # mm of white round the outermost line of a tiled drawing
_MOST_SHEETS = 300  # nobody tapes more; a drawing this large is a slip of the pen
_LONGEST_PAGE = 5080.0  # mm; 14,400 units of 1/72 in: ISO 32000-1, Annex C


@dataclass(frozen=True)
class Tile:
    """One page: `box` is the part of the drawing on it, mm. Row 1, column 1 is the top left."""

    row: int
    column: int
    box: Box

    @property
    def name(self) -> str:
        """Row and column in short, "1-2"."""
        return f"{self.row}-{self.column}"


@dataclass(frozen=True)
class Tiling:
    """The pages of a drawing.

    paper: as it is used, turned where that saves sheets, a roll cut to its length.
    tiles: what is printed, row by row. blank: the places in the grid where nothing is drawn.
    turned: the drawing lies on its page a quarter turn counter-clockwise.
    """

    paper: Paper
    tiles: tuple[Tile, ...]
    rows: int
    columns: int
    overlap: float
    blank: tuple[Tile, ...] = ()
    turned: bool = False

    def beside(self, tile: Tile, down: int, right: int) -> Tile | None:
        """Return the printed tile so many rows below and columns to the right, if there is one."""
        return self._by_place.get((tile.row + down, tile.column + right))

    def number(self, tile: Tile) -> int:
        """Return which page of the pattern a tile is, counted from 1."""
        return self._numbers[tile.row, tile.column]

    @cached_property
    def _by_place(self) -> dict[tuple[int, int], Tile]:
        return {(tile.row, tile.column): tile for tile in self.tiles}

    @cached_property
    def _numbers(self) -> dict[tuple[int, int], int]:
        return {place: number for number, place in enumerate(self._by_place, 1)}


def tile(drawing: Drawing, paper: Paper, overlap: float = 10.0) -> Tiling:
    """Spread the drawing over pages; neighbors share `overlap` mm. Raises `PaperError`."""
    if not paper.is_sheet:
        return _on_roll(drawing, paper)
    if not paper.tiled:
        whole = _on_one_sheet(drawing, paper)
        if whole is not None:
            return whole
        paper = replace(paper, tiled=True)  # larger than the sheet: taped together, like the rest
    if not 0 <= overlap <= min(paper.room) / 3:
        most = say_length(min(paper.room) / 3, "cm")
        raise PaperError(f"an overlap of {overlap:g} mm can't be taped; use 1 cm, at most {most}")
    around = extent(drawing)
    pages = [
        page
        for page in (paper, paper.turned())
        if math.prod(_grid_size(around, page, overlap)) <= _MOST_SHEETS
    ]
    laid = [_grid(drawing, around, page, overlap) for page in pages or [paper]]
    return min(laid, key=lambda tiling: len(tiling.tiles))


def extent(drawing: Drawing) -> Box:
    """Return the smallest box round every line and label, mm; the whole sheet if there are none."""
    boxes = [piece.box for piece in drawing.pieces if piece.strokes]
    boxes += [label_box(label) for piece in drawing.pieces for label in piece.labels]
    if not boxes:
        return 0.0, 0.0, drawing.width, drawing.height
    (x0, y0), (x1, y1) = np.min(boxes, axis=0)[:2], np.max(boxes, axis=0)[2:]
    return float(x0), float(y0), float(x1), float(y1)


# --- sheets that are taped together ---------------------------------------------------------


def _grid(drawing: Drawing, around: Box, paper: Paper, overlap: float) -> Tiling:
    """Lay the grid from the top left corner of what is drawn, the box `around` it."""
    x0, y0, x1, y1 = around
    wide, tall = paper.room
    rows, columns = _grid_size(around, paper, overlap)
    if rows * columns > _MOST_SHEETS:
        raise PaperError(
            f"{_size(x1 - x0, y1 - y0)} of drawing takes {rows * columns} sheets of {paper.title}; "
            "check the measurements, or use larger paper such as a0 or roll:91cm"
        )
    left, top = x0 - _EDGE, y1 + _EDGE
    places = []
    for row, column in product(range(rows), range(columns)):
        x, y = left + column * (wide - overlap), top - row * (tall - overlap)
        places.append(Tile(row + 1, column + 1, (x, y - tall, x + wide, y)))
    used = _drawn_on(drawing, places)
    used[0] |= not any(used)
    tiles = tuple(place for place, has in zip(places, used, strict=True) if has)
    blank = tuple(place for place, has in zip(places, used, strict=True) if not has)
    return Tiling(paper, tiles, rows, columns, overlap, blank)


def _grid_size(around: Box, paper: Paper, overlap: float) -> tuple[int, int]:
    """Return how many rows and columns of sheets cover a box."""
    x0, y0, x1, y1 = around
    wide, tall = paper.room
    return (
        _count(y1 - y0 + 2 * _EDGE, tall, overlap),
        _count(x1 - x0 + 2 * _EDGE, wide, overlap),
    )


def _count(length: float, page: float, overlap: float) -> int:
    """Return how many pages cover a length. A hair over is rounding, not another page."""
    return max(1, math.ceil((length - overlap) / (page - overlap) - 1e-9))


def _drawn_on(drawing: Drawing, places: list[Tile]) -> list[bool]:
    """Say for each place whether a line or a label touches it."""
    import shapely

    boxes = shapely.box(*np.array([place.box for place in places]).T)
    touched = set(drawing.obstacles.query(boxes, predicate="intersects")[0].tolist())
    return [number in touched for number in range(len(places))]


# --- one page -------------------------------------------------------------------------------


def _on_one_sheet(drawing: Drawing, paper: Paper) -> Tiling | None:
    for page in (paper, paper.turned()):
        wide, tall = page.room
        if drawing.width <= wide and drawing.height <= tall:
            return _whole(drawing, page)
    return None


def _on_roll(drawing: Drawing, paper: Paper) -> Tiling:
    """Cut the roll to length; turn the drawing only where it is too wide as it stands."""
    room = paper.room[0]
    turned = drawing.width > room
    across, along = drawing.width, drawing.height
    if turned:
        across, along = along, across
    if across > room:
        raise PaperError(
            f"the drawing is {_size(drawing.width, drawing.height)} and {paper.title} has room for "
            f"{say_length(room, 'cm')} across; use {_roll_that_fits(drawing, paper.margin)}"
            "or a4, letter or a3, in sheets"
        )
    length = along + 2 * paper.margin + LABEL_STRIP
    if length > _LONGEST_PAGE:
        raise PaperError(
            f"the drawing takes {say_length(length, 'cm')} of {paper.title}, and a PDF page can't "
            f"pass {say_length(_LONGEST_PAGE, 'cm')}; use a4, letter or a3, in sheets"
        )
    return replace(_whole(drawing, replace(paper, height=length)), turned=turned)


def _whole(drawing: Drawing, page: Paper) -> Tiling:
    whole = Tile(1, 1, (0.0, 0.0, drawing.width, drawing.height))
    return Tiling(page, (whole,), 1, 1, 0.0)


def _roll_that_fits(drawing: Drawing, margin: float) -> str:
    """Name the narrowest roll, whole cm, that holds the drawing; "" where no page is that long."""
    across = sorted((drawing.width, drawing.height))
    if across[1] + 2 * margin + LABEL_STRIP > _LONGEST_PAGE:
        return ""
    return f"roll:{math.ceil((across[0] + 2 * margin) / 10)}cm or wider, "


def _size(width: float, height: float) -> str:
    return f"{say_length(width, 'cm')} by {say_length(height, 'cm')}"
