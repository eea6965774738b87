"""The plan of how the pages of a pattern are taped together, and the words beside it.

Imports reportlab, so only `pdf_sheet.py` imports this. Everything here is in points.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from reportlab.lib import colors
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Table

from legtaper.geometry.curves import Array, Point
from legtaper.outputs.drawing import Label
from legtaper.outputs.pdf_lines import draw_path
from legtaper.outputs.pdf_text import BOLD, REGULAR, markup, width, write
from legtaper.outputs.tiles import NEEDED, Section, Tile, Tiling

_GREY = colors.Color(0.35, 0.35, 0.35)
_PALE = colors.Color(0.75, 0.75, 0.75)
_LEAD = ParagraphStyle("lead", fontName=REGULAR, fontSize=8.5, leading=12, spaceAfter=4)
_STEP = ParagraphStyle("step", _LEAD, leftIndent=5 * mm, bulletFontName=REGULAR, bulletFontSize=8.5)
_BESIDE = 40.0  # mm of pattern between two sections of the plan
_LEGIBLE, _LEAST = 6.0, 5.0  # points of the names on it: wanted, and where a page is narrow


def assembly(tiling: Tiling, measured: Tile, wide: float) -> Table:
    """Return the plan at the left and how to use it at the right; `measured` has the squares."""
    plan = Plan(tiling)
    what, *steps = directions(tiling, measured)
    lines = [Paragraph(markup(what), _LEAD)]
    lines += [Paragraph(step, _STEP, bulletText=f"{n}.") for n, step in enumerate(steps, 1)]
    left = plan.width + 8 * mm
    whole = (0, 0), (-1, -1)
    style: list[tuple[Any, ...]] = [("FONT", *whole, REGULAR), ("VALIGN", *whole, "TOP")]
    style += [(f"{side}PADDING", *whole, 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    return Table([[plan, lines]], [left, wide - left], style=style)


def directions(tiling: Tiling, measured: Tile) -> list[str]:
    """Return what is printed, and then the steps in the order in which they are followed."""
    paper = tiling.paper
    at_size = "Print at 100 %, the test rectangle first."
    measure = "Measure the squares{}: 50 mm and 2 in."
    if len(tiling.tiles) == 1:
        size = (round(side * by) for side, by in
                zip((paper.width, paper.height), paper.correction, strict=True))  # fmt: skip
        return [
            f"One page, {' x '.join(map(str, size))} mm.",
            at_size,
            measure.format(""),
        ]
    what = f"{_plural(len(tiling.tiles), 'page')} of {paper.title}."
    if tiling.blank:
        what += " Crossed places have no page."
    if tiling.bridges:
        empty = [tile.name for tile in tiling.bridges]
        what += f" Empty pages join the others: {' and '.join(empty)}."
    steps = [
        what,
        at_size,
        measure.format(f" on page {measured.name}"),
    ]
    if any(len(section.tiles) > 1 for section in tiling.sections):
        steps += [
            "Cut a frame where its page says so, lay it on the strip of the page named, diamond on "
            "diamond, and tape.",
        ]
    return steps


def _plural(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


class Plan(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A small picture of every section under the grid of its pages, in as few rows as are legible.

    smallest: the size of the smallest name on it, points.
    """

    _most = 84 * mm, 92 * mm

    def __init__(self, tiling: Tiling) -> None:
        super().__init__()
        self.tiling = tiling
        count = len(tiling.sections)
        best = 0.0, count
        for across in sorted({math.ceil(count / rows) for rows in range(1, count + 1)})[::-1]:
            self._arrange(across)
            best = max(best, (min(self.smallest, _LEGIBLE), across))
        self._arrange(best[1])

    def _arrange(self, across: int) -> None:
        """Place so many sections beside each other, and the rest below them."""
        self.corners: list[Array] = []
        places, widest, bottom = [], 0.0, 0.0
        for first in range(0, len(self.tiling.sections), across):
            right, tall = 0.0, 0.0
            for section in self.tiling.sections[first : first + across]:
                boxes = np.array([place.box for place in (*section.tiles, *section.blank)])
                low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
                places.append((np.array([low[0], high[1]]), right, bottom))
                right += float(high[0] - low[0]) + _BESIDE
                tall = max(tall, float(high[1] - low[1]))
            widest, bottom = max(widest, right - _BESIDE), bottom + tall + _BESIDE
        size = widest, bottom - _BESIDE
        self.corners = [upper_left - (right, size[1] - down) for upper_left, right, down in places]
        self.shrink: float = min(most / side for most, side in zip(self._most, size, strict=True))
        self.width, self.height = (float(side * self.shrink) for side in size)

    @property
    def smallest(self) -> float:
        """The size of the smallest name, points."""
        return min(self._size(tile) for tile in self.tiling.tiles)

    def _size(self, tile: Tile) -> float:
        """Return the size of a name that fits its page of the plan, points."""
        wide = float(tile.box[2] - tile.box[0]) * self.shrink
        fits = 0.9 * wide / max(float(width(tile.name, 1.0, BOLD)), 1.0)
        return max(_LEAST, min(7.5, fits))

    def wrap(self, *_available: float) -> tuple[float, float]:
        """Return the size in points, whatever room there is."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw pieces, grid and names."""
        self.canv.setLineJoin(1)
        for section, corner in zip(self.tiling.sections, self.corners, strict=True):
            self._section(section, corner)

    def _section(self, section: Section, corner: Array) -> None:
        self.canv.setLineWidth(0.5)
        self.canv.setStrokeColor(colors.black)
        for piece in section.pieces:
            for stroke in piece.strokes:
                if stroke.layer in NEEDED or stroke.layer == "join":
                    self._line((stroke.points - corner) * self.shrink, stroke.closed)
        self.canv.setLineWidth(0.35)
        for tile in section.blank:
            self._box(tile, corner, crossed=True)
        for tile in section.tiles:
            self._box(tile, corner, crossed=False)
        if len(self.tiling.tiles) > 1:
            for tile in section.tiles:
                self._name(tile, corner)

    def _line(self, points: Array, closed: bool) -> None:
        """Draw a line with no more points than show at this size."""
        some = points[:: max(1, len(points) // 60)]
        draw_path(self.canv, np.vstack([some, points[-1:]]), closed=closed)

    def _corners(self, tile: Tile, corner: Array) -> tuple[Point, Point]:
        low, high = (np.reshape(tile.box, (2, 2)) - corner) * self.shrink
        return (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))

    def _box(self, tile: Tile, corner: Array, *, crossed: bool) -> None:
        (x0, y0), (x1, y1) = self._corners(tile, corner)
        self.canv.setStrokeColor(_PALE if crossed else _GREY)
        self.canv.rect(x0, y0, x1 - x0, y1 - y0)
        if crossed:
            self.canv.line(x0, y0, x1, y1)
            self.canv.line(x0, y1, x1, y0)

    def _name(self, tile: Tile, corner: Array) -> None:
        """Write the name on a white ground in the middle, where a line may run behind it."""
        (x0, y0), (x1, y1) = self._corners(tile, corner)
        size = self._size(tile)
        x, y, wide = (x0 + x1) / 2, (y0 + y1) / 2, width(tile.name, size, BOLD) + 2
        self.canv.setFillColor(colors.white)
        self.canv.rect(x - wide / 2, y - 0.4 * size, wide, 1.3 * size, stroke=0, fill=1)
        self.canv.setFillColor(colors.black)
        write(self.canv, Label(tile.name, (x, y), size, anchor="middle"), BOLD)
