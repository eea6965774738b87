"""Lines and labels on a page of a PDF, in millimeters."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from legtaper.geometry.curves import Array
from legtaper.outputs.drawing import DASHES, WIDTHS, Piece, Stroke
from legtaper.outputs.printing import Look

POINTS = 72 / 25.4
"""Points in a millimeter: ISO 32000-1, 8.3.2."""

_LINE = 0.25  # mm, for layers that `WIDTHS` does not name
_HEAVIER: Mapping[Look, float] = {"plain": 1.0, "ink-saving": 0.6, "projector": 4.0}
_GRAY: Mapping[Look, float] = {"plain": 0.0, "ink-saving": 0.45, "projector": 0.0}
"""By how much lines are heavier, and the gray of all ink, 0 for black. Common practice: a projected
line is seen from 2 mm on."""


def draw_piece(canvas: Any, piece: Piece, look: Look = "plain") -> None:
    """Draw lines and labels of a piece where it lies."""
    from legtaper.outputs.pdf_text import write

    for stroke in piece.strokes:
        draw_stroke(canvas, stroke, look)
    canvas.setFillGray(_GRAY[look])
    for label in piece.labels:
        # Squeezed into the box that the layout kept free for it, however wide its letters are.
        write(canvas, label, room=0.6 * label.size * len(label.text))


def draw_stroke(canvas: Any, stroke: Stroke, look: Look = "plain") -> None:
    """Draw a line as its layer has it."""
    heavier = _HEAVIER[look]
    if stroke.layer == "hem-fold":  # the seam line runs along it: it would show as a solid line
        canvas.setStrokeGray(1)
        canvas.setLineWidth(2 * WIDTHS["net"] * heavier)
        canvas.setDash()
        draw_path(canvas, stroke.points, closed=stroke.closed)
    canvas.setStrokeGray(_GRAY[look])
    canvas.setLineWidth(WIDTHS.get(stroke.layer, _LINE) * heavier)
    dashes: Iterable[float] = DASHES.get(stroke.layer, ())
    canvas.setDash([dash * max(heavier / 2, 1) for dash in dashes])
    canvas.setLineJoin(1)
    draw_path(canvas, stroke.points, closed=stroke.closed)
    if stroke.layer == "grainline":
        canvas.setFillGray(_GRAY[look])
        for end, before in (stroke.points[[0, 1]], stroke.points[[-1, -2]]):
            _draw_arrow(canvas, end, end - before, filled=look == "plain")


def draw_path(canvas: Any, points: Array, *, closed: bool, filled: bool = False) -> None:
    """Draw a polyline with the pen as it is set."""
    code = _spelled(points)
    if closed:
        code.append("h")
    canvas.drawPath(_path(code), stroke=1, fill=int(filled))


def draw_lines(canvas: Any, lines: Iterable[Array]) -> None:
    """Draw polylines with the pen as it is set, all in one stroke."""
    canvas.drawPath(_path([code for points in lines for code in _spelled(points)]))


def _path(code: list[str]) -> Any:
    from reportlab.pdfgen.pathobject import PDFPathObject

    return PDFPathObject(code)


def _spelled(points: Array) -> list[str]:
    """Return the operators of a polyline: ISO 32000-1, 8.5.2. Ten times as fast as reportlab's."""
    return [
        f"{x:.4f} {y:.4f} {'l' if number else 'm'}" for number, (x, y) in enumerate(points.tolist())
    ]


def _draw_arrow(canvas: Any, tip: Array, direction: Array, *, filled: bool) -> None:
    """Draw a slim head, 5 mm long, with its tip at the end of the line."""
    length = float(np.hypot(*direction))
    if length == 0:
        return
    along = direction / length
    across = np.array([-along[1], along[0]])
    foot = tip - 5 * along
    corners = np.array([tip, foot + 1.5 * across, foot - 1.5 * across])
    draw_path(canvas, corners, closed=True, filled=filled)
