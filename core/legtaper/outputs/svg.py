"""Drawing -> SVG at true size: one user unit is 1 mm. The y axis is turned over here only."""

from __future__ import annotations

import math
import textwrap
from dataclasses import dataclass
from xml.etree import ElementTree as ET

import numpy as np

from legtaper.geometry.curves import Array
from legtaper.model.safe_text import clean
from legtaper.outputs.drawing import DASHES, WIDTHS, Drawing, Label, Piece, Stroke, scale_squares

INK = "black"
ARROW = (5.0, 1.5)
"""Length and half width of a grainline's arrow head, mm."""

_NOTE_SIZE, _NOTE_STEP, _NOTE_INDENT = 4.0, 6.0, 5.0  # mm
_WIDEST = 0.6  # of its size, a generous width for a character of any common font


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Turns heights over; `height` is that of the drawing, mm."""

    height: float

    def path(self, points: Array, *, closed: bool) -> str:
        """Return path data for a polyline."""
        pairs = [f"{_number(x)},{_number(self.height - y)}" for x, y in points]
        return f"M{' L'.join(pairs)}" + (" Z" if closed else "")


def render(drawing: Drawing) -> str:
    """Return the drawing as an SVG document, to be written as UTF-8.

    Every stroke is one `path` under its own id, in a group per piece. Notes stand in a strip
    below the sheet, which makes the picture that much taller. Raises `ValueError` where a
    coordinate is not a finite number.
    """
    notes = _note_lines(drawing)
    width, height = drawing.width, drawing.height + _NOTE_STEP * len(notes)
    root = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "width": f"{_number(width)}mm",
            "height": f"{_number(height)}mm",
            "viewBox": f"0 0 {_number(width)} {_number(height)}",
        },
    )
    ET.SubElement(root, "title").text = clean(drawing.title)
    sheet = _Sheet(drawing.height)
    squares = (scale_squares(drawing.squares_at),) if drawing.true_size else ()
    for piece in (*drawing.pieces, *squares):
        _add_piece(root, piece, sheet)
    if notes:
        group = ET.SubElement(root, "g", {"id": "notes"})
        for note in notes:
            _add_label(group, note, sheet)
    ET.indent(root, " ")
    # ElementTree's own declaration names the encoding of the machine; the bytes must not vary.
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ET.tostring(root, encoding="unicode")}\n'


def _note_lines(drawing: Drawing) -> list[Label]:
    """Return the notes, wrapped to the sheet, one label a line, downwards from its lower edge."""
    across = int((drawing.width - 2 * _NOTE_INDENT) / (_WIDEST * _NOTE_SIZE))
    texts = [t for note in drawing.notes for t in textwrap.wrap(clean(note), max(across, 10))]
    return [
        Label(text, (_NOTE_INDENT, -_NOTE_SIZE - _NOTE_STEP * row), _NOTE_SIZE)
        for row, text in enumerate(texts)
    ]


def _add_piece(root: ET.Element, piece: Piece, sheet: _Sheet) -> None:
    group = ET.SubElement(root, "g", {"id": f"piece-{clean(piece.name)}"})
    ET.SubElement(group, "title").text = clean(piece.title)
    for stroke in piece.strokes:
        _add_stroke(group, stroke, sheet)
        if stroke.layer == "grainline":
            _add_arrows(group, stroke, sheet)
    for label in piece.labels:
        _add_label(group, label, sheet)


def _add_stroke(group: ET.Element, stroke: Stroke, sheet: _Sheet) -> None:
    attributes = {
        "id": clean(stroke.id),
        "class": stroke.layer,
        "d": sheet.path(stroke.points, closed=stroke.closed),
        "fill": "none",
        "stroke": INK,
        "stroke-width": _number(WIDTHS.get(stroke.layer, 0.25)),
        "stroke-linejoin": "round",
    }
    if stroke.layer in DASHES:
        attributes["stroke-dasharray"] = " ".join(map(_number, DASHES[stroke.layer]))
    ET.SubElement(group, "path", attributes)


def _add_arrows(group: ET.Element, stroke: Stroke, sheet: _Sheet) -> None:
    """Add both arrow heads as a path of their own, so that the line keeps its true length."""
    ends = ((stroke.points[0], stroke.points[1]), (stroke.points[-1], stroke.points[-2]))
    heads = [sheet.path(_arrow_head(tip, inner), closed=True) for tip, inner in ends]
    attributes = {"id": f"{clean(stroke.id)}-arrows", "class": stroke.layer, "d": " ".join(heads)}
    ET.SubElement(group, "path", {**attributes, "fill": INK, "stroke": "none"})


def _arrow_head(tip: Array, inner: Array) -> Array:
    length, half = ARROW
    along = (inner - tip) / np.hypot(*(inner - tip))
    base, side = tip + length * along, half * np.array([-along[1], along[0]])
    return np.array([tip, base + side, base - side])


def _add_label(group: ET.Element, label: Label, sheet: _Sheet) -> None:
    x, y = _number(label.at[0]), _number(sheet.height - label.at[1])
    attributes = {
        "class": "text",
        "x": x,
        "y": y,
        "font-family": "sans-serif",
        "font-size": _number(label.size),
        "fill": INK,
    }
    if label.anchor != "start":
        attributes["text-anchor"] = label.anchor
    if label.angle:
        attributes["transform"] = f"rotate({_number(-label.angle)} {x} {y})"
    ET.SubElement(group, "text", attributes).text = clean(label.text)


def _number(value: float) -> str:
    """Return a length in mm to four decimals, without the zeros that say nothing."""
    if not math.isfinite(value):
        raise ValueError("the drawing has a coordinate that is not a finite number")
    short = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short
