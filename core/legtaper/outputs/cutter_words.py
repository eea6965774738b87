"""The words of a pattern for a machine that cuts: left out, or as outlines in place of letters.

Letters are those of the font that the PDF embeds; fontTools reads their outlines, and both it and
the font are loaded when outlines are asked for.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from legtaper.geometry.curves import Array, Point
from legtaper.model.safe_text import clean, to_ascii
from legtaper.outputs.drawing import Label, Piece, Stroke
from legtaper.outputs.printing import Words

_BENDS = 4  # straight lines to a curve of a letter


def worded(pieces: Iterable[Piece], words: Words) -> tuple[Piece, ...]:
    """Return the pieces with their words as they are wanted."""
    if words == "text":
        return tuple(pieces)
    return tuple(
        replace(
            piece,
            labels=(),
            strokes=(*piece.strokes, *(_letters(piece) if words == "outlines" else ())),
        )
        for piece in pieces
    )


def _letters(piece: Piece) -> Iterator[Stroke]:
    number = 0
    for label in piece.labels:
        for outline in outlines(label):
            number += 1
            yield Stroke(f"{piece.name}-letter-{number}", "text", outline, closed=True)


def outlines(label: Label) -> list[Array]:
    """Return the closed outlines of a label's letters where it stands, mm."""
    font = _font()
    names, widths = font.getBestCmap(), font["hmtx"]
    text = clean(label.text)
    glyphs = [names.get(ord(letter)) or names.get(ord((to_ascii(letter) or "?")[0]), ".notdef")
              for letter in text]  # fmt: skip
    scale = label.size / font["head"].unitsPerEm
    length = sum(widths[glyph][0] for glyph in glyphs) * scale
    x = {"start": 0.0, "middle": -length / 2, "end": -length}[label.anchor]
    cos, sin = math.cos(math.radians(label.angle)), math.sin(math.radians(label.angle))
    turn = np.array([(cos, sin), (-sin, cos)])
    found = []
    for glyph in glyphs:
        found += [(np.array(ring) * scale + (x, 0.0)) @ turn + label.at for ring in _rings(glyph)]
        x += widths[glyph][0] * scale
    return found


@cache
def _font() -> Any:
    import reportlab
    from fontTools.ttLib import TTFont

    return TTFont(Path(reportlab.__file__).parent / "fonts" / "Vera.ttf")


@cache
def _rings(glyph: str) -> tuple[tuple[Point, ...], ...]:
    """Return a glyph's contours in units of the font, their curves as short straight lines."""
    from fontTools.pens.basePen import decomposeQuadraticSegment
    from fontTools.pens.recordingPen import DecomposingRecordingPen

    glyphs = _font().getGlyphSet()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[glyph].draw(pen)
    rings: list[list[Point]] = []
    for name, points in pen.value:
        if name == "moveTo":
            rings.append([points[0]])
        elif name == "lineTo":
            rings[-1].append(points[0])
        elif name == "qCurveTo":
            for bend, end in decomposeQuadraticSegment(points):
                rings[-1] += _bent(rings[-1][-1], bend, end)
    return tuple(tuple(ring) for ring in rings if len(ring) > 2)


def _bent(start: Point, bend: Point, end: Point) -> list[Point]:
    """Return points along a parabola after its start."""
    t = np.linspace(0, 1, _BENDS + 1)[1:, None]
    points = (1 - t) ** 2 * np.array(start) + 2 * t * (1 - t) * bend + t * t * np.array(end)
    return [(x, y) for x, y in points.tolist()]
