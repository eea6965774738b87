"""How a drawing is spread over the fewest sheets, which are taped together afterwards."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from legtaper.geometry.curves import Array, Point
from legtaper.model.lengths import say_length
from legtaper.model.remembered import remembered
from legtaper.outputs.drawing import SCALE_BOX, Box, Drawing, Layer, Piece, obstacles, room_for
from legtaper.outputs.packing import Spot, on_sheets, on_strip
from legtaper.outputs.papers import LABEL_STRIP, Paper, PaperError
from legtaper.outputs.sheet_search import ANY, Cost, Grid, Search, search

if TYPE_CHECKING:
    from shapely import STRtree

OVERLAP = 10.0
"""How much neighbors share at least, mm."""

NEEDED: frozenset[Layer] = frozenset(
    ("cut", "net", "grainline", "crease", "hem-fold", "slit", "notch", "internal")
)
"""The layers that one cuts, sews or marks on: a sheet that shows none of them is left out."""

_EDGE = 2.0  # mm of white round the outermost line
_GAP = 15.0  # mm between pieces that share a page
_DENSE = 1.0  # mm; what lies between two points shows past the frame: `pdf_page` clips there
_ABOVE_MARK = 3.0  # mm of line that are kept above the highest mark of a leg without its top
_MOST_SHEETS = 300  # nobody tapes more; a drawing this large is a slip of the pen
_LONGEST_PAGE = 5080.0  # mm; 14,400 units of 1/72 in: ISO 32000-1, Annex C


@dataclass(frozen=True)
class Tile:
    """One page: `box` is the part of its section on it, mm. Row 1, column 1 is the top left.

    section: the letter of its section; "" where there is only one.
    """

    row: int
    column: int
    box: Box
    section: str = ""

    @property
    def name(self) -> str:
        """Section, row and column in short, "A1-2"."""
        return f"{self.section}{self.row}-{self.column}"


@dataclass(frozen=True)
class Section:
    """Pieces that lie on one grid of sheets, moved and turned as they lie there.

    tiles: what is printed, row by row. blank: the places in the grid that nothing needs.
    bridges: those of `tiles` that show nothing to cut, sew or mark and join others by their edges.
    """

    letter: str
    pieces: tuple[Piece, ...]
    tiles: tuple[Tile, ...]
    blank: tuple[Tile, ...] = ()
    bridges: tuple[Tile, ...] = ()

    @property
    def title(self) -> str:
        """What lies on it, for people."""
        names, legs = zip(*(piece.title.partition(", ")[::2] for piece in self.pieces), strict=True)
        if len(set(legs)) > 1 or not legs[0]:
            return " and ".join(piece.title for piece in self.pieces)
        return f"{', '.join(names[:-1])}{' and ' if names[1:] else ''}{names[-1]}, {legs[0]}"

    @property
    def rows(self) -> int:
        """How many rows the grid has."""
        return max(tile.row for tile in (*self.tiles, *self.blank))

    @property
    def columns(self) -> int:
        """How many columns the grid has."""
        return max(tile.column for tile in (*self.tiles, *self.blank))

    @cached_property
    def obstacles(self) -> STRtree:
        """What is drawn, as a tree to ask what is in the way."""
        return obstacles(self.pieces)

    @cached_property
    def occupied(self) -> STRtree:
        """The same, and all the paper inside a cutting line: no piece is cut out of another."""
        import shapely

        inside = [
            shapely.Polygon(piece.outline(stroke).points)
            for piece in self.pieces
            for stroke in piece.strokes
            if stroke.layer == "cut" and len(stroke.points) > 2
        ]
        return shapely.STRtree([*self.obstacles.geometries, *inside])


@dataclass(frozen=True)
class Tiling:
    """The pages of a drawing. `paper` is as it is used: turned, or a roll cut to its length."""

    paper: Paper
    sections: tuple[Section, ...]

    @cached_property
    def tiles(self) -> tuple[Tile, ...]:
        """Every page that is printed, in order."""
        return tuple(tile for section in self.sections for tile in section.tiles)

    @cached_property
    def blank(self) -> tuple[Tile, ...]:
        """The places that nothing needs."""
        return tuple(tile for section in self.sections for tile in section.blank)

    @cached_property
    def bridges(self) -> tuple[Tile, ...]:
        """The pages without a line to cut, sew or mark, which join others by their edges."""
        return tuple(tile for section in self.sections for tile in section.bridges)

    def section(self, tile: Tile) -> Section:
        """Return the section that a page belongs to."""
        return next(section for section in self.sections if section.letter == tile.section)

    def beside(self, tile: Tile, down: int, right: int) -> Tile | None:
        """Return the printed tile so many rows below and columns to the right, if there is one."""
        return self._by_place.get((tile.section, tile.row + down, tile.column + right))

    def number(self, tile: Tile) -> int:
        """Return which page of the pattern a tile is, counted from 1."""
        return self._numbers[tile.section, tile.row, tile.column]

    @cached_property
    def _by_place(self) -> dict[tuple[str, int, int], Tile]:
        return {(tile.section, tile.row, tile.column): tile for tile in self.tiles}

    @cached_property
    def _numbers(self) -> dict[tuple[str, int, int], int]:
        return {place: number for number, place in enumerate(self._by_place, 1)}


def tile(drawing: Drawing, paper: Paper, overlap: float = OVERLAP) -> Tiling:
    """Spread the drawing over pages; neighbors share `overlap` mm. Raises `PaperError`.

    Each piece lies where it takes the fewest sheets, turned or not; pieces that fit one sheet
    share it, with each other or with a larger piece that leaves room. A drawing is searched once
    for a paper: what it takes is counted first, and then printed.
    """
    key = "tiling", paper, overlap
    return remembered(drawing, key, lambda: _spread(drawing, paper, overlap))


def _spread(drawing: Drawing, paper: Paper, overlap: float) -> Tiling:
    pieces = [piece for piece in drawing.pieces if piece.strokes]
    if not paper.is_sheet:
        return _on_roll(pieces, paper)
    if not 0 <= overlap <= min(paper.room) / 3:
        most = say_length(min(paper.room) / 3, "cm")
        raise PaperError(f"an overlap of {overlap:g} mm can't be taped; use 1 cm, at most {most}")
    if not pieces:
        whole = Tile(1, 1, (0.0, 0.0, *paper.room))
        return Tiling(paper, (Section("", (), (whole,)),))
    _refuse_absurd(pieces, paper)
    outlines = [_Outline(piece) for piece in pieces]
    ways = [_on(page, outlines, overlap) for page in (paper, paper.turned())]
    laid: list[Tiling] = []
    for way in sorted(ways, key=lambda way: way.least):
        if not laid or (way.least, 0) <= _cost(laid[0]):  # else it takes more, however it is laid
            laid.append(_laid(way))
    return min(laid, key=lambda tiling: (*_cost(tiling), tiling.paper != paper))


def _cost(tiling: Tiling) -> Cost:
    return len(tiling.tiles), len(tiling.bridges)


def _refuse_absurd(pieces: Sequence[Piece], paper: Paper) -> None:
    """Refuse, before any search, a drawing whose pieces span more sheets than anybody tapes."""
    wide, tall = (side - OVERLAP for side in paper.room)
    spans = [
        min(
            _count(across, wide) * _count(up, tall),
            _count(across, tall) * _count(up, wide),
        )
        for across, up in map(_size, pieces)
    ]
    if sum(spans) > _MOST_SHEETS:
        raise _too_many(pieces, sum(spans), paper)


def _count(length: float, pitch: float) -> int:
    return max(1, math.ceil((length + 2 * _EDGE - OVERLAP) / pitch - 1e-9))


def _too_many(pieces: Sequence[Piece], count: int, paper: Paper) -> PaperError:
    largest = max((_size(piece) for piece in pieces), key=math.prod)
    return PaperError(
        f"{_said(*largest)} of drawing takes {count} sheets of {paper.title}; "
        "check the measurements, or use larger paper such as a0 or roll:91cm"
    )


# --- sheets ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Outline:
    """A piece, and what sheets have to show of it: found once for all the ways to lay it."""

    piece: Piece

    @cached_property
    def points(self) -> Array:
        """Points along all that is needed: a row of x and a row of y."""
        return np.ascontiguousarray(needed_points(self.piece).T)


@dataclass(frozen=True)
class _Large:
    """A piece that takes several sheets, upright and turned a quarter."""

    piece: Piece
    upright: Search
    turned: Search

    def gridded(self) -> Section:
        """Lay it on a grid of its own, turned where that takes fewer sheets.

        First as it takes fewer at least: mostly nothing is left to look for in the other way.
        """
        found: tuple[int, Grid] | None = None
        below = ANY
        ways = enumerate((self.upright, self.turned))
        for quarters, way in sorted(ways, key=lambda way: way[1].least):
            sheets, bare = below
            as_good = quarters == 0  # of two that cost the same, upright
            grid = way.fewest((sheets, bare + as_good))
            if grid is not None:
                found, below = (quarters, grid), grid.cost
        if found is None:
            raise ValueError("there is nothing to lay on sheets")
        quarters, grid = found
        return _section((self.piece.turned(quarters),), grid)


@dataclass(frozen=True)
class _Way:
    """All the pieces on one page, upright or turned: those with a grid of their own, and others."""

    page: Paper
    large: tuple[_Large, ...]
    small: tuple[Piece, ...]

    @property
    def least(self) -> int:
        """How many sheets are taken at least."""
        return sum(min(piece.upright.least, piece.turned.least) for piece in self.large)


def _on(page: Paper, outlines: Sequence[_Outline], overlap: float) -> _Way:
    """Say for each piece what it takes at least of this page, which is found without a search."""
    small = tuple(one.piece for one in outlines if _fits(one.piece, page.room))
    large = []
    for one in outlines:
        if one.piece in small:
            continue
        x, y = one.points
        ways = (search(points, page.room, overlap) for points in (one.points, np.array((-y, x))))
        large.append(_Large(one.piece, *ways))
    return _Way(page, tuple(large), small)


def _laid(way: _Way) -> Tiling:
    """Give each large piece a grid of its own, and put the small ones where there is room."""
    small = list(way.small)
    sections = [piece.gridded() for piece in way.large]
    for piece in sorted(small, key=lambda piece: -math.prod(_size(piece))):
        for number in _own_first(sections, piece):
            shared = _sharing(sections[number], piece)
            if shared is not None:
                sections[number] = shared
                small.remove(piece)
                break
    sections += _packed(small, way.page)
    return Tiling(way.page, _lettered(sections))


def _own_first(sections: Sequence[Section], facing: Piece) -> list[int]:
    """Return the places of the sections, that of a facing's own panel first.

    The name of a facing begins as that of its panel.
    """
    theirs = [not any(facing.name.startswith(piece.name) for piece in section.pieces)
              for section in sections]  # fmt: skip
    return sorted(range(len(sections)), key=theirs.__getitem__)


def _lettered(sections: Sequence[Section]) -> tuple[Section, ...]:
    """Name the sections A, B, C ..., where there are several."""
    if len(sections) == 1:
        return tuple(sections)
    found = []
    for number, section in enumerate(sections):
        letter = _letter(number)
        groups = (tuple(replace(tile, section=letter) for tile in tiles)
                  for tiles in (section.tiles, section.blank, section.bridges))  # fmt: skip
        found.append(Section(letter, section.pieces, *groups))
    return tuple(found)


def _letter(number: int) -> str:
    return (_letter(number // 26 - 1) if number >= 26 else "") + chr(ord("A") + number % 26)


def _fits(piece: Piece, room: Point) -> bool:
    across, up = (side + 2 * _EDGE for side in _size(piece))
    wide, tall = room
    return (across <= wide and up <= tall) or (up <= wide and across <= tall)


def _section(pieces: tuple[Piece, ...], grid: Grid) -> Section:
    """Count rows from the top and columns from the left, as the sheets are taped."""
    rows, columns = zip(*grid.cells, strict=True)
    top, left = max(rows), min(columns)
    tiles: list[Tile] = []
    blank: list[Tile] = []
    joining: list[Tile] = []
    for row in range(top, min(rows) - 1, -1):
        for column in range(left, max(columns) + 1):
            part = Tile(top - row + 1, column - left + 1, grid.box(row, column))
            (tiles if (row, column) in grid.cells else blank).append(part)
            joining += [part] * ((row, column) in grid.bridges)
    return Section("", pieces, tuple(tiles), tuple(blank), tuple(joining))


def needed_points(piece: Piece) -> Array:
    """Return points along every line that is cut, sewn or marked on, at most 1 mm apart.

    A leg without its own top is not needed further up than just above its highest mark.
    """
    needed = [stroke for stroke in piece.strokes if stroke.layer in NEEDED]
    points = _along([stroke.ring for stroke in needed or piece.strokes])
    if any(stroke.layer == "join" for stroke in piece.strokes):
        marks = [stroke.points[:, 1].max() for stroke in piece.strokes
                 if stroke.layer in ("level", "notch")]  # fmt: skip
        if marks:
            points = points[points[:, 1] <= max(marks) + _ABOVE_MARK]
    return points


def _along(lines: Sequence[Array]) -> Array:
    """Return points along lines (n, 2), all of them looked at together, and all their corners."""
    corners, sizes = np.concatenate(lines), np.array([len(line) for line in lines])
    last = sizes.cumsum() - 1
    first = last - sizes + 1
    run = np.zeros(len(corners))
    steps = np.hypot(*np.diff(corners, axis=0).T)
    steps[last[:-1]] = 0.0  # nothing is drawn from one line to the next
    steps.cumsum(out=run[1:])
    lengths = run[last] - run[first]
    counts = (lengths / _DENSE).astype(int) + 2
    ends = counts.cumsum()
    number = np.arange(ends[-1]) - np.repeat(ends - counts, counts)
    at = number * np.repeat(lengths / (counts - 1), counts) + np.repeat(run[first], counts)
    at[ends - 1] = run[last]
    return np.concatenate(
        [np.column_stack([np.interp(at, run, side) for side in corners.T]), corners]
    )


# --- pieces that share ----------------------------------------------------------------------


def _sharing(section: Section, piece: Piece) -> Section | None:
    """Put a small piece on a printed sheet with room for it; nothing where there is none."""
    for turned in (0, 1):
        lying = piece.turned(turned)
        across, up = _size(lying)
        for part in section.tiles:
            x0, y0, x1, y1 = part.box
            inset = OVERLAP + _EDGE
            within = x0 + inset, y0 + inset, x1 - inset, y1 - inset
            spot = room_for((across, up), section.occupied, within, margin=_EDGE)
            if spot is not None:
                moved = _moved_to(lying, spot)
                used = tuple(tile for tile in section.bridges if tile != part)
                return replace(section, pieces=(*section.pieces, moved), bridges=used)
    return None


def _packed(pieces: Sequence[Piece], page: Paper) -> list[Section]:
    """Put pieces that fit one sheet on as few as they need."""
    if not pieces:
        return []
    wide, tall = (side - 2 * _EDGE for side in page.room)
    sheets = on_sheets([_size(piece) for piece in pieces], (wide, tall), _GAP)
    return [_one_page(pieces, spots) for spots in sheets]


def _one_page(pieces: Sequence[Piece], spots: Iterable[Spot]) -> Section:
    placed = tuple(_moved_to(pieces[spot.index].turned(spot.turned), (spot.x, spot.y))
                   for spot in spots)  # fmt: skip
    boxes = np.array([piece.extent for piece in placed])
    (x0, y0), (x1, y1) = boxes[:, :2].min(axis=0) - _EDGE, boxes[:, 2:].max(axis=0) + _EDGE
    box = float(x0), float(y0), float(x1), float(y1)
    return Section("", placed, (Tile(1, 1, box),))


def _moved_to(piece: Piece, at: Point) -> Piece:
    return piece.moved(at[0] - piece.extent[0], at[1] - piece.extent[1])


def _size(piece: Piece) -> Point:
    x0, y0, x1, y1 = piece.extent
    return x1 - x0, y1 - y0


# --- rolls ----------------------------------------------------------------------------------


def _on_roll(pieces: Sequence[Piece], paper: Paper) -> Tiling:
    """Lay pieces beside and behind each other, turned where that is shorter; cut the roll there."""
    room = paper.room[0]
    if not pieces:
        page = paper._replace(height=SCALE_BOX[1] + 2 * paper.margin + LABEL_STRIP)
        return Tiling(page, (Section("", (), (Tile(1, 1, (0.0, 0.0, *page.room)),)),))
    found = on_strip([_size(piece) for piece in pieces], room - 2 * _EDGE, _GAP)
    if found is None:
        widest = max(pieces, key=lambda piece: min(_size(piece)))
        least = math.ceil((min(_size(widest)) + 2 * (paper.margin + _EDGE)) / 10)
        raise PaperError(
            f"{widest.title} is {_said(*_size(widest))} and {paper.title} has room for "
            f"{say_length(room, 'cm')} across; use roll:{least}cm or wider, or a4, letter or a3, "
            "in sheets"
        )
    section = _with_squares(_one_page(pieces, found[0]), room)
    _, y0, _, y1 = section.tiles[0].box
    length = y1 - y0 + 2 * paper.margin + LABEL_STRIP
    if length > _LONGEST_PAGE:
        raise PaperError(
            f"the drawing takes {say_length(length, 'cm')} of {paper.title}, and a PDF page can't "
            f"pass {say_length(_LONGEST_PAGE, 'cm')}; use a4, letter or a3, in sheets"
        )
    return Tiling(paper._replace(height=length), (section,))


def _with_squares(section: Section, room: float) -> Section:
    """Widen the page as far as the roll goes; lengthen it where the scale squares find no room."""
    (part,) = section.tiles
    x0, y0, x1, y1 = part.box
    box = x0, y0, max(x1, min(x0 + SCALE_BOX[0] + 2 * _EDGE, x0 + room)), y1
    if room_for(SCALE_BOX, section.obstacles, box) is None:
        box = box[0], y0 - SCALE_BOX[1] - 2 * _EDGE, *box[2:]
    return replace(section, tiles=(replace(part, box=box),))


def _said(width: float, height: float) -> str:
    return f"{say_length(width, 'cm')} by {say_length(height, 'cm')}"
