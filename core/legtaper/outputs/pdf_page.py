"""The pages of a pattern in a PDF, in mm: the drawing, clipped, with frame, joins, label and rule.

The page with the test rectangle is here too. Imports reportlab, so only `pdf.py` imports this,
when it draws.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from legtaper.geometry.curves import Array, Point
from legtaper.model.remembered import remembered
from legtaper.outputs.drawing import (
    LINES,
    SCALE_BOX,
    SCALE_IN,
    Box,
    Label,
    Layer,
    Piece,
    Stroke,
    label_box,
    obstacles,
    room_for,
    scale_squares,
)
from legtaper.outputs.papers import LABEL_STRIP, Paper
from legtaper.outputs.pdf_lines import POINTS, draw_lines, draw_piece, draw_stroke
from legtaper.outputs.pdf_text import BOLD, printable, width, write
from legtaper.outputs.printing import TEST_RECTANGLE, Look
from legtaper.outputs.tiles import OVERLAP, Section, Tile, Tiling
from legtaper.outputs.whole_words import JOIN_MARK, join_marks

RULE_MM, RULE_IN = 100.0, 4 * 25.4
"""Lengths of the rule that stands under every page, mm."""

_ROW = 5.5  # mm from one line of the legend to the next
_BEYOND = 0.6  # mm that lines show past the frame, so that one on the frame keeps its width
_GRID = 50.0  # mm between the lines of the grid of a projected pattern


@dataclass(frozen=True)
class Pages:
    """What every page of a pattern is drawn with."""

    canvas: Any
    title: str
    tiling: Tiling
    look: Look
    layers: frozenset[Layer]


def squares(tiling: Tiling) -> tuple[Tile, Piece]:
    """Return the first page that has room for the scale squares, and the squares in their place.

    They stand side by side or, where a narrow panel leaves no room for that, one above the
    other. Where no page has room they lie on the first over lines, which stay to be seen, but not
    over words; at worst in the lower left corner. They can be measured everywhere.
    """
    return remembered(tiling, "squares", lambda: _squares(tiling))


def _squares(tiling: Tiling) -> tuple[Tile, Piece]:
    for part in tiling.tiles:
        taken, within = tiling.section(part).obstacles, _inside(tiling, part, 0.5)
        spot = room_for(SCALE_BOX, taken, within)
        if spot is not None:
            return part, scale_squares(spot)
        spot = room_for((SCALE_IN, 2 * SCALE_BOX[1]), taken, within)
        if spot is not None:
            return part, _stacked(scale_squares(spot))
    section, first = tiling.sections[0], tiling.tiles[0]
    within = _inside(tiling, first, 0.5)
    words = [replace(piece, strokes=()) for piece in section.pieces]
    spot = room_for(SCALE_BOX, obstacles(words), within, margin=0.5)
    return first, scale_squares(spot or within[:2])


def _inside(tiling: Tiling, part: Tile, edge: float) -> Box:
    """Return the part of a page that no other covers, `edge` mm inside one that lies alone."""
    inset = OVERLAP + 2 if len(tiling.section(part).tiles) > 1 else edge
    x0, y0, x1, y1 = part.box
    return x0 + inset, y0 + inset, x1 - inset, y1 - inset


def _stacked(both: Piece) -> Piece:
    """Move the second square and its label above the first."""
    (millimeters, inches), (first, second, *rest) = both.strokes, both.labels
    step = millimeters.points[0, 0] - inches.points[0, 0], SCALE_BOX[1]
    labels = (first, second.moved(*step), *rest)
    return replace(both, strokes=(millimeters, inches.moved(*step)), labels=labels)


def legend_place(
    tiling: Tiling, scale: tuple[Tile, Piece], layers: Collection[Layer]
) -> tuple[Tile, Point]:
    """Return the page with room for a legend beside lines, words and squares, and its upper left.

    Where no page has room it stands over the lines of the last one: better read than missing.
    """
    wide, tall = legend_room(layers)
    for part in tiling.tiles:
        section = tiling.section(part)
        beside = scale[1:] if part is scale[0] else ()
        taken = obstacles((*section.pieces, *beside)) if beside else section.obstacles
        spot = room_for((wide, tall), taken, _inside(tiling, part, 2.0))
        if spot is not None:
            return part, (spot[0], spot[1] + tall)
    last = tiling.tiles[-1]
    return last, (last.box[0] + 2, last.box[1] + 2 + tall)


def draw_tile(pages: Pages, part: Tile, scale: Piece | None, legend: Point | None = None) -> None:
    """Draw one page of the pattern: the drawing, clipped, with frame, marks, label and rule.

    legend: the upper left corner of the legend, on the page that has it.
    """
    canvas, section = pages.canvas, pages.tiling.section(part)
    _open_page(canvas, pages.tiling.paper)
    canvas.saveState()
    _place(canvas, pages.tiling, part)
    x0, y0, x1, y1 = part.box
    if pages.look == "projector":
        _draw_grid(canvas, part.box)
    _draw_joins(pages, section, part)
    canvas.saveState()
    window = canvas.beginPath()
    window.rect(x0 - _BEYOND, y0 - _BEYOND, x1 - x0 + 2 * _BEYOND, y1 - y0 + 2 * _BEYOND)
    canvas.clipPath(window, stroke=0, fill=0)
    canvas.doForm(f"drawing{section.letter}")
    if scale is not None:
        draw_piece(canvas, scale)
    if legend is not None:
        draw_legend(canvas, legend, pages.layers)
    canvas.restoreState()
    canvas.setStrokeGray(0.5)
    canvas.setLineWidth(0.15)
    canvas.setDash()
    canvas.rect(x0, y0, x1 - x0, y1 - y0)
    canvas.restoreState()
    _label_page(pages, section, part)


def _open_page(canvas: Any, paper: Paper) -> None:
    """Begin a page of the paper's own size, drawn in lengths that come out true in print."""
    across, up = (POINTS * by for by in paper.correction)
    canvas.setPageSize((paper.width * across, paper.height * up))
    canvas.scale(across, up)


def _place(canvas: Any, tiling: Tiling, part: Tile) -> None:
    """Move the canvas so that a section's coordinates fall where they belong on this page."""
    paper = tiling.paper
    x0, y0, x1, y1 = part.box
    left = (paper.width - (x1 - x0)) / 2
    bottom = paper.margin + LABEL_STRIP + (paper.room[1] - (y1 - y0)) / 2
    canvas.translate(left - x0, bottom - y0)


def _draw_grid(canvas: Any, box: Box) -> None:
    """Draw thin lines every 50 mm, to be laid on the squares of a cutting mat."""
    x0, y0, x1, y1 = box
    canvas.setStrokeGray(0.7)
    canvas.setLineWidth(0.3)
    canvas.setDash()
    for x in np.arange(np.ceil(x0 / _GRID) * _GRID, x1, _GRID).tolist():
        canvas.line(x, y0, x, y1)
    for y in np.arange(np.ceil(y0 / _GRID) * _GRID, y1, _GRID).tolist():
        canvas.line(x0, y, x1, y)


def _label_page(pages: Pages, section: Section, part: Tile) -> None:
    """Write under the drawing which page this is, of what, and how to print it; and the rule."""
    canvas, tiling = pages.canvas, pages.tiling
    left, right = tiling.paper.margin, tiling.paper.width - tiling.paper.margin
    upper, lower = tiling.paper.margin + 5.0, tiling.paper.margin
    several = len(section.tiles) > 1
    place = f"{part.name}   row {part.row}, column {part.column}" if several else part.name
    page = f"pattern page {tiling.number(part)} of {len(tiling.tiles)}"
    how = "print at 100 %, no fitting to page"
    if pages.look == "projector":
        how += "; grid 50 mm"
    canvas.setFillGray(0)
    write(canvas, Label(place, (left, upper), 3.2), BOLD)
    about = f"{section.title}; {pages.title}" if section.title else pages.title
    room = right - left - width(place, 3.2, BOLD) - 6
    write(canvas, Label(printable(about, 120), (right, upper), 3.0, anchor="end"), room=room)
    draw_rule(canvas, (left, lower + 1.8))
    room = right - left - RULE_IN - 14
    write(canvas, Label(page, (right, lower + 2.4), 2.3, anchor="end"), room=room)
    write(canvas, Label(how, (right, lower - 0.5), 2.3, anchor="end"), room=room)


def draw_rule(canvas: Any, at: Point) -> None:
    """Draw a rule of 100 mm, its ticks upwards, and one of 4 in, downwards, from the same start."""
    x, y = at
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.2)
    canvas.setDash()
    lines: list[tuple[Point, Point]] = [((0, 0), (RULE_IN, 0))]
    lines += [((10 * n, 0), (10 * n, 1.8 if n % 5 == 0 else 1.0)) for n in range(11)]
    lines += [((25.4 * n, 0), (25.4 * n, -1.6)) for n in range(5)]
    draw_lines(canvas, np.array(lines) + at)
    write(canvas, Label("100 mm", (x + RULE_IN + 1, y + 0.3), 2.2))
    write(canvas, Label("4 in", (x + RULE_IN + 1, y - 2.1), 2.2))


# --- the test rectangle ---------------------------------------------------------------------


_MEASURE = (
    "Print this page first, at 100 %, with no fitting to page.",
    "Measure the rectangle along its edges: 150 mm (5 29/32 in) wide, 250 mm (9 27/32 in) high.",
    "Off by 0.5 mm or more? Tell legtaper what you measured, where it writes the files:",
    "at Rectangle, or as export --measured 147.6mmx246mm. Then print this page again.",
)


def draw_rectangle(canvas: Any, paper: Paper, layers: Collection[Layer]) -> None:
    """Draw a page with the test rectangle, how it is measured, and what each line is."""
    wide, tall = TEST_RECTANGLE
    _open_page(canvas, paper)
    left, bottom = (paper.width - wide) / 2, (paper.height - tall) / 2
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.25)
    canvas.setDash()
    canvas.rect(left, bottom, wide, tall)
    x, y = left + 8, bottom + tall - 14
    canvas.setFillGray(0)
    write(canvas, Label("Test rectangle, 150 x 250 mm", (x, y), 5.0), BOLD)
    for number, text in enumerate(_MEASURE, 1):
        write(canvas, Label(text, (x, y - 3 - 6 * number), 3.0), room=wide - 16)
    draw_legend(canvas, (x, y - 44), layers, 1.6)
    draw_rule(canvas, (x, bottom + 8))


def legend_room(layers: Collection[Layer]) -> Point:
    """Return the width and height of a legend on a page of the pattern, mm."""
    return 100.0, _ROW * (1 + sum(layer in layers for layer in LINES))


def draw_legend(canvas: Any, top: Point, layers: Collection[Layer], size: float = 1.0) -> None:
    """Draw what each line is, downwards from the upper left corner `top`."""
    x, y = top[0], top[1] - _ROW * size
    write(canvas, Label("The lines", (x, y), 2.5 * size), BOLD)
    for layer, words in LINES.items():
        if layer in layers:
            y -= _ROW * size
            for points in _sample(layer, (x, y + 1), size):
                draw_stroke(canvas, Stroke("", layer, points))
            canvas.setFillGray(0)
            write(canvas, Label(words, (x + 32 * size, y), 2.0 * size), room=58 * size)


def _sample(layer: Layer, at: Point, size: float) -> list[Array]:
    """Return how a line looks on a piece: notches as their ticks, a slit with its bar tack."""
    x, y = at
    ends = [(0.0, 0.0), (28.0, 0.0)]
    lines = [ends]
    if layer == "notch":
        lines = [[(left, -1.2), (left, 1.2)] for left in (4.0, 12.0, 14.0)]
    if layer == "slit":
        lines = [[(4.0, 0.0), (20.0, 0.0)], [(20.0, -1.2), (20.0, 1.2)]]
    return [np.array(line) * size + (x, y) for line in lines]


# --- where pages meet -----------------------------------------------------------------------


def _draw_joins(pages: Pages, section: Section, part: Tile) -> None:
    """Mark the strips shared with the neighbors, name them, and set a diamond at each corner."""
    canvas = pages.canvas
    for down, right in ((0, -1), (0, 1), (-1, 0), (1, 0)):
        other = pages.tiling.beside(part, down, right)
        if other is None:
            continue
        strip = _shared(part.box, other.box)
        under = down + right > 0  # the later page is the one that is cut and lies on top
        if under:
            _draw_strip(canvas, strip, upright=right > 0)
        _name_neighbor(canvas, section, strip, (other, under))
    if marks := join_marks(pages.tiling, part):
        _draw_marks(canvas, marks)


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


def _name_neighbor(canvas: Any, section: Section, strip: Box, neighbor: tuple[Tile, bool]) -> None:
    """Write in the strip which page joins there, where no line runs through the words."""
    other, under = neighbor
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
    spot = room_for((right - left, high - low), section.obstacles, within, margin=0.5)
    x, y = spot or within[:2]
    canvas.setFillGray(0.35)
    write(canvas, replace(label, at=(x - left, y - low)))


def _draw_marks(canvas: Any, marks: Sequence[Point]) -> None:
    """Draw diamonds with a cross; both pages show them at the same places of the drawing."""
    canvas.setStrokeGray(0.35)
    canvas.setLineWidth(0.2)
    canvas.setDash()
    around = [(-1, 0), (0, -1), (1, 0), (0, 1), (-1, 0), (1, 0)]
    lines = [JOIN_MARK * np.array(line) for line in (around, [(0, -1), (0, 1)])]
    draw_lines(canvas, [line + at for at in marks for line in lines])
