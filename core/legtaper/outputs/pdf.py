"""A drawing as a PDF at true size: a sheet in front, then one page for every part of the paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from typing import Any

import numpy as np

from legtaper.geometry.curves import Array, Point
from legtaper.outputs.drawing import (
    DASHES,
    SCALE_BOX,
    SCALE_IN,
    WIDTHS,
    Box,
    Drawing,
    Label,
    Piece,
    Stroke,
    label_box,
    room_for,
    scale_squares,
)
from legtaper.outputs.front_sheet import Sheet
from legtaper.outputs.papers import LABEL_STRIP, Paper
from legtaper.outputs.tiles import Tile, Tiling, extent, tile

POINTS = 72 / 25.4
"""Points in a millimetre: ISO 32000-1, 8.3.2."""

Progress = Callable[[int, int], bool]
"""Told how many pages are done and how many there are; returns False to stop."""

_LINE = 0.25  # mm, for layers that `WIDTHS` does not name
_MARK = 3.0  # mm from the middle of a registration mark to its corners
_FORM = "drawing"


class Cancelled(Exception):  # noqa: N818  nothing went wrong
    """The caller asked to stop."""


def render(drawing: Drawing, paper: Paper, sheet: Sheet, progress: Progress | None = None) -> bytes:
    """Return the PDF. Raises `PaperError` where the drawing does not fit, `Cancelled` if stopped.

    The same arguments always give the same bytes.
    """
    from legtaper.outputs import pdf_sheet

    tiling = tile(drawing, paper)
    buffer = BytesIO()
    canvas = _open(buffer, drawing)
    scale, page = _front_size(paper)
    items = pdf_sheet.compose(sheet, drawing, tiling, pdf_sheet.column(page)[0])
    fronts = pdf_sheet.paginate(canvas, items, page)
    total, done = len(fronts) + len(tiling.tiles), 0
    for number, parts in enumerate(fronts, 1):
        canvas.setPageSize((page[0] * scale, page[1] * scale))
        canvas.scale(scale, scale)
        footer = sheet.footer, f"sheet {number} of {len(fronts)}"
        pdf_sheet.draw(canvas, parts, footer, page)
        done = _finish(canvas, done, total, progress)
    squares = _squares(drawing, tiling)
    for part in tiling.tiles:
        extra = squares if part is tiling.tiles[0] else None
        _draw_tile(canvas, drawing, tiling, part, extra)
        done = _finish(canvas, done, total, progress)
    canvas.save()
    return buffer.getvalue()


def render_page(drawing: Drawing) -> bytes:
    """Return a drawing that is no pattern as one page of its own size, without a sheet."""
    buffer = BytesIO()
    canvas = _open(buffer, drawing)
    canvas.setPageSize((drawing.width * POINTS, drawing.height * POINTS))
    canvas.scale(POINTS, POINTS)
    canvas.doForm(_FORM)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _front_size(paper: Paper) -> tuple[float, Point]:
    """Return the scale of the front sheet and its page in points before scaling.

    It is set for A4 or letter. On A3 the same sheet is enlarged, so that one job takes one paper;
    a large page or a roll gets an A4 sheet.
    """
    wide, tall = (paper.width, paper.height) if paper.tiled else (210.0, 297.0)
    scale = wide / 210.0 if wide > 250 else 1.0
    return scale, (wide / scale * POINTS, tall / scale * POINTS)


def _open(buffer: BytesIO, drawing: Drawing) -> Any:
    """Return a canvas that holds the drawing once, in mm, as a form to be placed on each page."""
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    from legtaper.outputs.pdf_text import printable

    rl_config.useA85 = 0  # text armor makes the file a quarter larger; the canvas has no option
    canvas = Canvas(buffer, pageCompression=1, invariant=1)
    canvas.setTitle(printable(drawing.title))
    canvas.setCreator("legtaper")
    canvas.setViewerPreference("PrintScaling", "None")
    x0, y0, x1, y1 = extent(drawing)
    canvas.beginForm(_FORM, min(x0, 0.0) - 5, min(y0, 0.0) - 5, x1 + 5, y1 + 5)
    for piece in drawing.pieces:
        _draw_piece(canvas, piece)
    canvas.endForm()
    return canvas


def _finish(canvas: Any, done: int, total: int, progress: Progress | None) -> int:
    """End a page and tell the caller. Raises `Cancelled` where the answer is False."""
    canvas.showPage()
    if progress is not None and not progress(done + 1, total):
        raise Cancelled
    return done + 1


# --- lines and labels, in mm ----------------------------------------------------------------


def _draw_piece(canvas: Any, piece: Piece) -> None:
    from legtaper.outputs.pdf_text import write

    for stroke in piece.strokes:
        _draw_stroke(canvas, stroke)
    canvas.setFillGray(0)
    for label in piece.labels:
        # Squeezed into the box that the layout kept free for it, however wide its letters are.
        write(canvas, label, room=0.6 * label.size * len(label.text))


def _draw_stroke(canvas: Any, stroke: Stroke) -> None:
    canvas.setStrokeGray(0)
    canvas.setLineWidth(WIDTHS.get(stroke.layer, _LINE))
    canvas.setDash(list(DASHES.get(stroke.layer, ())))
    canvas.setLineJoin(1)
    _draw_path(canvas, stroke.points, closed=stroke.closed)
    if stroke.layer == "grainline":
        for end, before in (stroke.points[[0, 1]], stroke.points[[-1, -2]]):
            _draw_arrow(canvas, end, end - before)


def _draw_path(canvas: Any, points: Array, *, closed: bool, filled: bool = False) -> None:
    path = canvas.beginPath()
    first, *others = points.tolist()  # floats of Python's own, which reportlab spells faster
    path.moveTo(*first)
    for x, y in others:
        path.lineTo(x, y)
    if closed:
        path.close()
    canvas.drawPath(path, stroke=1, fill=int(filled))


def _draw_arrow(canvas: Any, tip: Array, direction: Array) -> None:
    """Draw a slim solid head, 5 mm long, with its tip at the end of the line."""
    length = float(np.hypot(*direction))
    if length == 0:
        return
    along = direction / length
    across = np.array([-along[1], along[0]])
    foot = tip - 5 * along
    canvas.setFillGray(0)
    corners = np.array([tip, foot + 1.5 * across, foot - 1.5 * across])
    _draw_path(canvas, corners, closed=True, filled=True)


# --- pattern pages, in mm -------------------------------------------------------------------


def _squares(drawing: Drawing, tiling: Tiling) -> Piece:
    """Return the scale squares in the drawing's own place, or inside the first tile.

    There they stand side by side or, where a narrow panel leaves no room for that, one above the
    other. Where there is no room at all they take the lower left corner, over the lines: they can
    still be measured, and no line of the pattern is hidden.
    """
    if not tiling.paper.tiled:
        return scale_squares(drawing.squares_at)
    x0, y0, x1, y1 = tiling.tiles[0].box
    inset = tiling.overlap + 2
    within = x0 + inset, y0 + inset, x1 - inset, y1 - inset
    spot = room_for(SCALE_BOX, drawing.obstacles, within)
    if spot is None:
        upright = room_for((SCALE_IN, 2 * SCALE_BOX[1]), drawing.obstacles, within)
        if upright is not None:
            return _stacked(scale_squares(upright))
    return scale_squares(spot or within[:2])


def _stacked(squares: Piece) -> Piece:
    """Move the second square and its label above the first."""
    (millimetres, inches), (first, second, *rest) = squares.strokes, squares.labels
    step = millimetres.points[0, 0] - inches.points[0, 0], SCALE_BOX[1]
    labels = (first, second.moved(*step), *rest)
    return replace(squares, strokes=(millimetres, inches.moved(*step)), labels=labels)


def _draw_tile(
    canvas: Any, drawing: Drawing, tiling: Tiling, part: Tile, squares: Piece | None
) -> None:
    """Draw one page of the pattern: the drawing, clipped, with frame, marks and label."""
    paper = tiling.paper
    canvas.setPageSize((paper.width * POINTS, paper.height * POINTS))
    canvas.scale(POINTS, POINTS)
    canvas.saveState()
    _place(canvas, tiling, part)
    x0, y0, x1, y1 = part.box
    _draw_joins(canvas, drawing, tiling, part)
    canvas.saveState()
    window = canvas.beginPath()
    window.rect(x0, y0, x1 - x0, y1 - y0)
    canvas.clipPath(window, stroke=0, fill=0)
    canvas.doForm(_FORM)
    if squares is not None:
        _draw_piece(canvas, squares)
    canvas.restoreState()
    canvas.setStrokeGray(0.5)
    canvas.setLineWidth(0.15)
    canvas.setDash()
    canvas.rect(x0, y0, x1 - x0, y1 - y0)
    canvas.restoreState()
    _label_page(canvas, drawing, tiling, part)


def _place(canvas: Any, tiling: Tiling, part: Tile) -> None:
    """Move the canvas so that drawing coordinates fall where they belong on this page."""
    paper = tiling.paper
    x0, y0, x1, y1 = part.box
    wide, tall = (y1 - y0, x1 - x0) if tiling.turned else (x1 - x0, y1 - y0)
    left = (paper.width - wide) / 2
    bottom = paper.margin + LABEL_STRIP + (paper.room[1] - tall) / 2
    if tiling.turned:
        canvas.translate(left + wide, bottom)
        canvas.rotate(90)
    else:
        canvas.translate(left, bottom)
    canvas.translate(-x0, -y0)


def _label_page(canvas: Any, drawing: Drawing, tiling: Tiling, part: Tile) -> None:
    """Write under the drawing which page this is, of what, and how to print it."""
    from legtaper.outputs.pdf_text import BOLD, printable, width, write

    paper = tiling.paper
    left, right = paper.margin, paper.width - paper.margin
    upper, lower = paper.margin + 3.8, paper.margin + 0.4
    count = len(tiling.tiles)
    place = (
        f"{part.name}   row {part.row}, column {part.column}" if paper.tiled else "whole pattern"
    )
    page = f"pattern page {tiling.number(part)} of {count}"
    how = "print at 100 %, no fitting to page"
    canvas.setFillGray(0)
    write(canvas, Label(place, (left, upper), 3.4), BOLD)
    write(canvas, Label(how, (left, lower), 2.4))
    write(canvas, Label(page, (right, lower), 2.4, anchor="end"))
    room = right - left - width(place, 3.4, BOLD) - 8
    write(canvas, Label(printable(drawing.title, 80), (right, upper), 3.0, anchor="end"), room=room)


# --- where pages meet -----------------------------------------------------------------------


def _draw_joins(canvas: Any, drawing: Drawing, tiling: Tiling, part: Tile) -> None:
    """Mark the strips shared with the neighbors, name them, and set a diamond at each corner."""
    x0, y0, x1, y1 = part.box
    half = tiling.overlap / 2
    marks: set[Point] = set()
    for down, right in ((0, -1), (0, 1), (-1, 0), (1, 0)):
        other = tiling.beside(part, down, right)
        if other is None:
            continue
        strip = _shared(part.box, other.box)
        under = down + right > 0  # the later page is the one that is cut and lies on top
        if under:
            _draw_strip(canvas, strip, upright=right > 0)
        _name_neighbor(canvas, drawing, strip, other, under=under)
        xs = (strip[0] + half,) if right else (x0 + half, x1 - half)
        ys = (strip[1] + half,) if down else (y0 + half, y1 - half)
        marks.update((round(x, 6), round(y, 6)) for x in xs for y in ys)
    for mark in sorted(marks):
        _draw_mark(canvas, mark)


def _shared(one: Box, other: Box) -> Box:
    low, high = np.maximum(one, other)[:2], np.minimum(one, other)[2:]
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _draw_strip(canvas: Any, strip: Box, *, upright: bool) -> None:
    """Draw the inner edge of a strip: the cut frame of the neighbor comes to lie on it."""
    x0, y0, x1, y1 = strip
    canvas.setStrokeGray(0.5)
    canvas.setLineWidth(0.15)
    canvas.setDash([1.0, 1.5])
    if upright:
        canvas.line(x0, y0, x0, y1)
    else:
        canvas.line(x0, y1, x1, y1)


def _name_neighbor(canvas: Any, drawing: Drawing, strip: Box, other: Tile, *, under: bool) -> None:
    """Write in the strip which page joins there, where no line runs through the words."""
    from legtaper.outputs.pdf_text import write

    text = (
        f"{other.name} lies on this strip" if under else f"cut along the frame, lay on {other.name}"
    )
    label = Label(text, (0.0, 0.0), 2.4)
    x0, y0, x1, y1 = strip
    upright = y1 - y0 > x1 - x0
    if upright:
        label = replace(label, angle=90.0)
    left, low, right, high = label_box(label)
    across, along = (3.5, 14.0) if upright else (14.0, 3.5)  # clear of the diamonds
    within = x0 + across, y0 + along, x1 - 2.0, y1 - 2.0
    spot = room_for((right - left, high - low), drawing.obstacles, within, margin=0.5)
    x, y = spot or within[:2]
    canvas.setFillGray(0.35)
    write(canvas, replace(label, at=(x - left, y - low)))


def _draw_mark(canvas: Any, at: Point) -> None:
    """Draw a diamond with a cross; both pages show it at the same place of the drawing."""
    x, y = at
    canvas.setStrokeGray(0.35)
    canvas.setLineWidth(0.2)
    canvas.setDash()
    corners = [(x - _MARK, y), (x, y - _MARK), (x + _MARK, y), (x, y + _MARK)]
    _draw_path(canvas, np.array(corners), closed=True)
    canvas.line(x - _MARK, y, x + _MARK, y)
    canvas.line(x, y - _MARK, x, y + _MARK)
