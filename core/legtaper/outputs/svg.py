"""Drawing -> SVG at true size: one user unit is 1 mm. The y axis is turned over here only."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal
from xml.etree import ElementTree as ET

import numpy as np

from legtaper.geometry.curves import Array
from legtaper.model.safe_text import clean, wrapped
from legtaper.outputs.cutter_words import worded
from legtaper.outputs.drawing import (
    DASHES,
    WIDTHS,
    Drawing,
    Label,
    Layer,
    Piece,
    Stroke,
    scale_squares,
)
from legtaper.outputs.printing import Words

Purpose = Literal["cut", "stitch", "fold", "mark", "text"]

COLORS: dict[Purpose, str] = {
    "cut": "#000000",
    "stitch": "#0000ff",
    "fold": "#008000",
    "mark": "#c00000",
    "text": "#606060",
}
"""What a line is for, and its color, so that a cutter can take one and leave the rest."""

PURPOSES: dict[Layer, Purpose] = {
    "cut": "cut",
    "net": "stitch",
    "hem-fold": "fold",
    "text": "text",
    **dict.fromkeys(
        ("slit", "notch", "grainline", "crease", "level", "block", "join", "internal"), "mark"
    ),
}
"""The purpose of every layer."""

_TEXT = {"font-family": "sans-serif", "fill": COLORS["text"], "stroke": "none"}

ARROW = (5.0, 1.5)
"""Length and half width of a grainline's arrow head, mm."""

_NOTE_SIZE, _NOTE_STEP, _NOTE_INDENT = 4.0, 6.0, 5.0  # mm
_NOT_FINITE = "the drawing has a coordinate that is not a finite number"
_NO_DIGIT = 0.00005  # mm, which shows in no fourth decimal
_WIDEST = 0.6  # of its size, a generous width for a character of any common font


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Turns heights over; `height` is that of the drawing, mm."""

    height: float

    def path(self, points: Array, *, closed: bool) -> str:
        """Return path data for a polyline."""
        numbers = np.asarray(points, float) * (1, -1) + (0, self.height)
        if not np.isfinite(numbers).all():
            raise ValueError(_NOT_FINITE)
        numbers[np.abs(numbers) < _NO_DIGIT] = 0  # which may be -0
        pairs = [f"{_short(x)},{_short(y)}" for x, y in numbers.tolist()]
        return f"M{' L'.join(pairs)}" + (" Z" if closed else "")


def render(drawing: Drawing, words: Words = "text") -> str:
    """Return the drawing as an SVG document, to be written as UTF-8.

    Every stroke is one `path` under its own id, in a group per purpose in a group per piece.
    Notes stand in a strip below the sheet, which makes the picture that much taller; where
    `words` are not text, there are none. Raises `ValueError` where a
    coordinate is not a finite number.
    """
    notes = _note_lines(drawing) if words == "text" else []
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
    for piece in worded((*drawing.pieces, *squares), words):
        _add_piece(root, piece, sheet)
    if notes:
        group = ET.SubElement(root, "g", {"id": "notes", "class": "text", **_TEXT})
        for note in notes:
            _add_label(group, note, sheet)
    ET.indent(root, " ")
    # ElementTree's own declaration names the encoding of the machine; the bytes must not vary.
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ET.tostring(root, encoding="unicode")}\n'


def _note_lines(drawing: Drawing) -> list[Label]:
    """Return the notes, wrapped to the sheet, one label a line, downwards from its lower edge."""
    across = int((drawing.width - 2 * _NOTE_INDENT) / (_WIDEST * _NOTE_SIZE))
    texts = [t for note in drawing.notes for t in wrapped(clean(note), max(across, 10))]
    return [
        Label(text, (_NOTE_INDENT, -_NOTE_SIZE - _NOTE_STEP * row), _NOTE_SIZE)
        for row, text in enumerate(texts)
    ]


def _add_piece(root: ET.Element, piece: Piece, sheet: _Sheet) -> None:
    group = ET.SubElement(root, "g", {"id": f"piece-{clean(piece.name)}"})
    ET.SubElement(group, "title").text = clean(piece.title)
    for purpose, color in COLORS.items():
        strokes = [stroke for stroke in piece.strokes if PURPOSES[stroke.layer] == purpose]
        labels = piece.labels if purpose == "text" else ()
        if not strokes and not labels:
            continue
        inner = ET.SubElement(group, "g", {"class": purpose, "fill": "none", "stroke": color,
                                           "stroke-linejoin": "round"})  # fmt: skip
        for stroke in strokes:
            _add_stroke(inner, piece.outline(stroke), sheet)
            if stroke.layer == "grainline":
                _add_arrows(inner, stroke, sheet)
        if labels:
            inner.attrib.update(_TEXT)
        for label in labels:
            _add_label(inner, label, sheet)


def _add_stroke(group: ET.Element, stroke: Stroke, sheet: _Sheet) -> None:
    attributes = {
        "id": clean(stroke.id),
        "class": stroke.layer,
        "d": sheet.path(stroke.points, closed=stroke.closed),
        "stroke-width": _number(WIDTHS.get(stroke.layer, 0.25)),
    }
    if stroke.layer in DASHES:
        attributes["stroke-dasharray"] = " ".join(map(_number, DASHES[stroke.layer]))
    ET.SubElement(group, "path", attributes)


def _add_arrows(group: ET.Element, stroke: Stroke, sheet: _Sheet) -> None:
    """Add both arrow heads as a path of their own, so that the line keeps its true length."""
    ends = ((stroke.points[0], stroke.points[1]), (stroke.points[-1], stroke.points[-2]))
    heads = [sheet.path(_arrow_head(tip, inner), closed=True) for tip, inner in ends]
    attributes = {"id": f"{clean(stroke.id)}-arrows", "class": stroke.layer, "d": " ".join(heads)}
    ET.SubElement(group, "path", {**attributes, "fill": COLORS["mark"], "stroke": "none"})


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
        "font-size": _number(label.size),
    }
    if label.anchor != "start":
        attributes["text-anchor"] = label.anchor
    if label.angle:
        attributes["transform"] = f"rotate({_number(-label.angle)} {x} {y})"
    ET.SubElement(group, "text", attributes).text = clean(label.text)


def _number(value: float) -> str:
    """Return a length in mm to four decimals, without the zeros that say nothing."""
    if not math.isfinite(value):
        raise ValueError(_NOT_FINITE)
    return _short(0.0 if abs(value) < _NO_DIGIT else value)


def _short(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")
