"""A drawing as a PDF at true size: a sheet in front, then one page for every part of the paper."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Any

import numpy as np

from legtaper.geometry.curves import Point
from legtaper.model.cancel import Cancelled
from legtaper.model.remembered import remembered
from legtaper.outputs.drawing import Drawing, Layer, Piece
from legtaper.outputs.front_sheet import Sheet
from legtaper.outputs.papers import Paper
from legtaper.outputs.pdf_lines import POINTS, draw_piece
from legtaper.outputs.printing import Look, PrintJob, Progress, corrected
from legtaper.outputs.tiles import Section, Tile, Tiling
from legtaper.outputs.whole_words import pages_of

_FORM = "drawing"


def render(
    drawing: Drawing,
    paper: Paper,
    sheet: Sheet,
    progress: Progress | None = None,
    job: PrintJob | None = None,
) -> bytes:
    """Return the PDF. Raises `PaperError` where the drawing does not fit, `Cancelled` if stopped.

    The same arguments always give the same bytes.
    """
    from legtaper.outputs.pdf_page import Pages, draw_tile, legend_place, squares

    how = job or PrintJob()
    tiling = pages_of(drawing, corrected(paper, how.correction))
    buffer = BytesIO()
    canvas = _open(buffer, drawing, how)
    for section in tiling.sections:
        _hold(canvas, _FORM + section.letter, section, how.look)
    scale = squares(tiling)
    pattern = tiling, scale[0]
    fronts = _fronts(canvas, drawing, pattern, (paper, sheet, how)) if how.fronts else []
    total, done = len(fronts) + len(tiling.tiles), 0
    for draw_front in fronts:
        draw_front()
        done = _finish(canvas, done, total, progress)
    layers = layers_of(drawing.pieces)
    pages = Pages(canvas, drawing.title, tiling, how.look, layers)
    legend = None if how.fronts else legend_place(tiling, scale, layers)  # else it is in front
    for part in tiling.tiles:
        measured = scale[1] if part is scale[0] else None
        draw_tile(pages, part, measured, legend[1] if legend and part is legend[0] else None)
        done = _finish(canvas, done, total, progress)
    canvas.save()
    return buffer.getvalue()


def count_fronts(drawing: Drawing, tiling: Tiling, on: Paper, sheet: Sheet) -> int:
    """Return how many pages stand in front of the pattern."""
    from legtaper.outputs.pdf_page import squares

    how = PrintJob()
    canvas = _open(BytesIO(), drawing, how)
    return len(_fronts(canvas, drawing, (tiling, squares(tiling)[0]), (on, sheet, how)))


def render_page(drawing: Drawing) -> bytes:
    """Return a drawing that is no pattern as one page of its own size, without a sheet."""
    buffer = BytesIO()
    canvas = _open(buffer, drawing, PrintJob())
    canvas.setPageSize((drawing.width * POINTS, drawing.height * POINTS))
    canvas.scale(POINTS, POINTS)
    for piece in drawing.pieces:
        draw_piece(canvas, piece)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _fronts(
    canvas: Any,
    drawing: Drawing,
    pattern: tuple[Tiling, Tile],
    on: tuple[Paper, Sheet, PrintJob],
) -> Sequence[Any]:
    """Return what draws each page in front: the sheet, and the rectangle to measure.

    They are set once: how many there are is counted first, and then they are drawn.
    """
    from functools import partial

    from legtaper.outputs import pdf_sheet
    from legtaper.outputs.pdf_page import draw_rectangle

    paper, sheet, how = on
    across, up = how.correction
    scale, page = _front_size(paper, how)

    def paginated() -> list[list[pdf_sheet.Placed]]:
        items = pdf_sheet.compose(sheet, drawing, pattern, pdf_sheet.column(page)[0])
        return pdf_sheet.paginate(canvas, items, page)

    found = remembered(pattern[0], ("fronts", sheet, page), paginated)

    def draw_text(number: int, parts: Any) -> None:
        canvas.setPageSize((page[0] * scale * across, page[1] * scale * up))
        canvas.scale(scale * across, scale * up)
        footer = sheet.footer, f"sheet {number} of {len(found)}"
        pdf_sheet.draw(canvas, parts, footer, page)

    front = paper if paper.tiled else Paper("a4", 210.0, 297.0)
    texts = [partial(draw_text, number, parts) for number, parts in enumerate(found, 1)]
    layers = layers_of(drawing.pieces)
    return [*texts, partial(draw_rectangle, canvas, corrected(front, how.correction), layers)]


def _front_size(paper: Paper, how: PrintJob) -> tuple[float, Point]:
    """Return the scale of the front sheet and its page in points before scaling.

    It is set for A4 or letter. On A3 the same sheet is enlarged, so that one job takes one paper;
    a large page or a roll gets an A4 sheet.
    """
    wide, tall = (paper.width, paper.height) if paper.tiled else (210.0, 297.0)
    wide, tall = wide / how.correction[0], tall / how.correction[1]
    scale = wide / 210.0 if wide > 250 else 1.0
    return scale, (wide / scale * POINTS, tall / scale * POINTS)


def _open(buffer: BytesIO, drawing: Drawing, how: PrintJob) -> Any:
    """Return a canvas whose properties say what the file is and that nothing may scale it."""
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    from legtaper.model.version import __version__
    from legtaper.outputs.pdf_text import REGULAR, printable

    rl_config.useA85 = 0  # text armor makes the file a quarter larger; the canvas has no option
    printable("")  # registers the fonts
    # The library reads this itself and ends where it is no number; the day is told it below.
    epoch = os.environ.pop("SOURCE_DATE_EPOCH", None)
    try:
        canvas = Canvas(buffer, pageCompression=1, invariant=1, initialFontName=REGULAR)
    finally:
        if epoch is not None:
            os.environ["SOURCE_DATE_EPOCH"] = epoch
    canvas.setTitle(printable(drawing.title))
    canvas.setAuthor("")
    canvas.setSubject(printable(how.subject))
    canvas.setCreator(f"legtaper {__version__}")
    canvas.setViewerPreference("PrintScaling", "None")
    if how.day is not None:
        day = f"D:{how.day:%Y%m%d}000000Z"
        canvas.setDateFormatter(lambda *_: day)
    return canvas


def _hold(canvas: Any, name: str, section: Section, look: Look) -> None:
    """Hold the pieces of a section once, in mm, as a form to be placed on each of its pages."""
    boxes = np.array([piece.extent for piece in section.pieces] or [(0.0, 0.0, 1.0, 1.0)])
    (x0, y0), (x1, y1) = boxes[:, :2].min(axis=0) - 5, boxes[:, 2:].max(axis=0) + 5
    canvas.beginForm(name, float(x0), float(y0), float(x1), float(y1))
    for piece in section.pieces:
        draw_piece(canvas, piece, look)
    canvas.endForm()


def _finish(canvas: Any, done: int, total: int, progress: Progress | None) -> int:
    """End a page and tell the caller. Raises `Cancelled` where the answer is False."""
    canvas.showPage()
    if progress is not None and not progress(done + 1, total):
        raise Cancelled
    return done + 1


def layers_of(pieces: Iterable[Piece]) -> frozenset[Layer]:
    """Return the layers that anything is drawn on."""
    return frozenset(stroke.layer for piece in pieces for stroke in piece.strokes)
