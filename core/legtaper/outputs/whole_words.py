"""Words on pieces that take several sheets: each whole on one of them, clear of the join marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from legtaper.geometry.curves import Array, Point
from legtaper.model.remembered import remembered
from legtaper.outputs.drawing import Drawing, Label, Piece, label_box, obstacles
from legtaper.outputs.papers import Paper
from legtaper.outputs.tiles import OVERLAP, Section, Tile, Tiling, tile

if TYPE_CHECKING:
    from shapely import Polygon, STRtree

JOIN_MARK = 3.0
"""From the middle of a join mark to its corners, mm."""

_CLEAR = 0.5  # mm between words and the frame of a sheet, or a join mark
_STEP = 5.0  # mm from one place that is tried to the next
_ALONG = 150.0  # mm that words beside a line may be moved along it
_AT_ONCE = 200  # ways that are looked at in one go
_FAR = 300.0  # mm that words that may stand anywhere may be moved


def join_marks(tiling: Tiling, part: Tile) -> list[Point]:
    """Return the middles of the marks on a sheet at which its neighbors are laid, mm."""
    x0, y0, x1, y1 = part.box
    half = OVERLAP / 2
    marks: set[Point] = set()
    for down, right in ((0, -1), (0, 1), (-1, 0), (1, 0)):
        other = tiling.beside(part, down, right)
        if other is not None:
            left, low = np.maximum(part.box, other.box)[:2].tolist()
            xs = (left + half,) if right else (x0 + half, x1 - half)
            ys = (low + half,) if down else (y0 + half, y1 - half)
            marks.update((round(x, 6), round(y, 6)) for x in xs for y in ys)
    return sorted(marks)


def pages_of(drawing: Drawing, paper: Paper) -> Tiling:
    """Spread the drawing over pages, as `tile` does, its words where they are read best.

    Found once for a drawing and a paper. Raises `PaperError`.
    """
    found = tile(drawing, paper)
    return remembered(found, "whole words", lambda: with_whole_words(found))


def with_whole_words(tiling: Tiling) -> Tiling:
    """Move words that no sheet shows whole and clear to where one does, if there is room.

    Those beside a line move along it; the words about a piece go anywhere on it, as one block.
    What stands twice and finds no room is left out where the other one is whole.
    """
    sections = (
        _whole(tiling, section) if len(section.tiles) > 1 else section
        for section in tiling.sections
    )
    return replace(tiling, sections=tuple(sections))


def is_whole(tiling: Tiling, section: Section, label: Label) -> bool:
    """Whether one sheet shows words to their ends, and no join mark lies on them there."""
    return bool(_sheets(tiling, section).show(np.array(label_box(label))))


class _Sheets(NamedTuple):
    """What n sheets show, mm: boxes (n, 4), and join marks (n, most, 2), short rows filled up."""

    boxes: Array
    marks: Array

    def show(self, boxes: Array) -> NDArray[np.bool_]:
        """Say of each box, in the last axis, whether a sheet shows it whole, clear of its marks."""
        low, high = boxes[..., None, :2], boxes[..., None, 2:]
        above, below = low >= self.boxes[:, :2] + _CLEAR, high <= self.boxes[:, 2:] - _CLEAR
        reach = JOIN_MARK + _CLEAR
        low, high = low[..., None, :] - reach, high[..., None, :] + reach
        struck = ((low < self.marks) & (self.marks < high)).all(axis=-1).any(axis=-1)
        shown = ((above & below).all(axis=-1) & ~struck).any(axis=-1)
        return np.asarray(shown)


def _sheets(tiling: Tiling, section: Section) -> _Sheets:
    marks = [join_marks(tiling, part) for part in section.tiles]
    filled = np.full((len(marks), max(map(len, marks)), 2), np.inf)
    for row, of_one in zip(filled, marks, strict=True):
        row[: len(of_one)] = np.reshape(of_one, (-1, 2))
    return _Sheets(np.array([part.box for part in section.tiles]), filled)


def _whole(tiling: Tiling, section: Section) -> Section:
    sheets = _sheets(tiling, section)
    pieces = list(section.pieces)
    lines: STRtree | None = None
    for number, piece in enumerate(pieces):
        whole = sheets.show(_boxes(piece.labels))
        block = _boxes([label for label in piece.labels if label.free])
        if whole.all() and (not len(block) or sheets.show(_around(block))):
            continue
        if lines is None:
            lines = obstacles(replace(other, labels=()) for other in pieces)
        place = _Place(sheets, lines, _inside(piece))
        pieces[number] = replace(piece, labels=_moved(piece.labels, place))
    return replace(section, pieces=tuple(pieces))


def _inside(piece: Piece) -> Polygon:
    """Return the paper inside the cutting line of a piece."""
    import shapely

    (ring, *_) = (piece.outline(stroke).points for stroke in piece.strokes if stroke.layer == "cut")
    return shapely.Polygon(ring)


class _Place:
    """Where words of a piece may stand: on one sheet, over no line, within its cutting line."""

    def __init__(self, sheets: _Sheets, lines: STRtree, inside: Polygon) -> None:
        """Take the sheets, all that is drawn but words, and the piece."""
        import shapely

        self.sheets, self.lines, self.inside = sheets, lines, inside
        shapely.prepare(inside)

    def first(
        self, boxes: Array, taken: Array, ways: Array, *, apart: bool = False
    ) -> Point | None:
        """Return the first of the ways, a row each, by which all the boxes come to stand free.

        On one sheet, or each whole on some sheet where they may be `apart`; over none that is
        taken.
        """
        seen = boxes if apart else _around(boxes)[None]
        for some in np.array_split(ways, max(1, len(ways) // _AT_ONCE)):
            way = np.hstack([some, some])[:, None]
            moved = boxes + way
            shown = np.flatnonzero(self.sheets.show(seen + way).all(axis=1))
            for at in shown[~_overlap(moved[shown], taken)].tolist():
                if self._holds(moved[at]):
                    return float(some[at, 0]), float(some[at, 1])
        return None

    def _holds(self, boxes: Array) -> bool:
        """Whether the piece has room for all boxes, and no line runs through any."""
        import shapely

        shapes = shapely.box(*boxes.T)
        return bool(shapely.contains(self.inside, shapes).all()) and not len(
            self.lines.query(shapes, predicate="intersects")[0]
        )


def _overlap(moved: Array, taken: Array) -> NDArray[np.bool_]:
    """Say of each row of boxes whether one of them lies over one of those taken."""
    x0, y0, x1, y1 = moved[..., None, :].transpose(3, 0, 1, 2)
    left, low, right, high = taken.T
    over = (x0 < right) & (left < x1) & (y0 < high) & (low < y1)
    found: NDArray[np.bool_] = over.any(axis=(1, 2))
    return found


def _around(boxes: Array) -> Array:
    """Return the smallest box round several."""
    return np.concatenate([boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)])


def _boxes(labels: Sequence[Label]) -> Array:
    return np.array([label_box(label) for label in labels]).reshape(-1, 4)


def _moved(labels: Sequence[Label], place: _Place) -> tuple[Label, ...]:
    """Return the labels of a piece with those that are cut moved, the free ones together."""
    found, boxes, sheets = list(labels), _boxes(labels), place.sheets
    cut = set(np.flatnonzero(~sheets.show(boxes)).tolist())
    free = [i for i, label in enumerate(labels) if label.free]
    groups = [free] if free and not sheets.show(_around(boxes[free])) else []
    groups += [[i] for i in sorted(cut - set(free))]
    for group in groups:
        moving, taken = boxes[group], np.delete(boxes, group, axis=0)
        ways = _anywhere() if group is free else _along(labels[group[0]].angle, _ALONG)
        way = place.first(moving, taken, ways)
        if way is None and group is free and not cut.isdisjoint(group):
            way = place.first(moving, taken, ways, apart=True)
        if way is not None:
            boxes[group] += (*way, *way)
            for i in group:
                found[i] = found[i].moved(*way)
        elif group is free:
            groups += [[i] for i in free if i in cut]
    shown = sheets.show(boxes).tolist()
    whole = {label.text for label, is_shown in zip(found, shown, strict=True) if is_shown}
    return tuple(
        label for label, is_shown in zip(found, shown, strict=True)
        if is_shown or label.text not in whole
    )  # fmt: skip


def _along(angle: float, most: float) -> Array:
    """Return the ways along a line of words, the shortest first: a row each."""
    turn, steps = np.radians(angle), np.arange(_STEP, most + 1, _STEP)
    ways = np.column_stack([steps, -steps]).ravel()
    return np.outer(ways, (np.cos(turn), np.sin(turn)))


@cache
def _anywhere() -> Array:
    """Return all ways in steps, the shortest first: a row each."""
    steps = np.arange(-_FAR, _FAR + 1, _STEP)
    ways = np.array(np.meshgrid(steps, steps)).reshape(2, -1).T
    found: Array = ways[np.argsort((ways**2).sum(axis=1), kind="stable")]
    return found
