"""Type on PDF pages: the fonts that reportlab ships, and text reduced to what they can show.

Imports reportlab, so only `pdf.py` imports this, when it draws.
"""

from __future__ import annotations

import html
import math
import unicodedata
from functools import cache, lru_cache
from pathlib import Path

import reportlab
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from legtaper.model.safe_text import clean, to_ascii, unbroken
from legtaper.outputs.drawing import Label

REGULAR, BOLD = "legtaper-regular", "legtaper-bold"

# Embedded, so that every reader and every copy shop prints the same letters.
_FILES = {REGULAR: "Vera.ttf", BOLD: "VeraBd.ttf"}


@cache
def _glyphs() -> frozenset[int]:
    """Register both fonts once, and return the characters that both can show."""
    folder = Path(reportlab.__file__).parent / "fonts"
    known = []
    for name, file in _FILES.items():
        font = TTFont(name, str(folder / file))
        pdfmetrics.registerFont(font)
        known.append(frozenset(font.face.charToGlyph))
    return frozenset.intersection(*known)


@lru_cache(maxsize=2048)  # one title or page name stands on a sheet many times
def printable(text: str, at_most: int = 200) -> str:
    """Return one safe line that the fonts can show: accents go first, then "?" stands in."""
    glyphs = _glyphs()
    shown = ""
    for character in unicodedata.normalize("NFC", clean(text, at_most)):
        if ord(character) in glyphs:
            shown += character
            continue
        plain = to_ascii(character)
        # 2⅛ must not become 21/8.
        shown += f" {plain}" if "/" in plain and shown[-1:].isdigit() else plain
    return shown.strip()


def markup(text: str) -> str:
    """Return printable text as a paragraph takes it: its signs are no tags, lengths stay whole.

    With `html`, which paragraphs load themselves: `xml.sax.saxutils` loads all that opens URLs.
    """
    return html.escape(unbroken(text), quote=False)


@lru_cache(maxsize=2048)  # the rule and the names of neighbors stand on every page
def width(text: str, size: float, font: str = REGULAR) -> float:
    """Return the width of printable text, in the unit of `size`."""
    return float(pdfmetrics.stringWidth(text, font, size))


def write(canvas: Canvas, label: Label, font: str = REGULAR, room: float | None = None) -> None:
    """Write a label in the canvas's own unit, squeezed where it is wider than `room`."""
    text = printable(label.text)
    if not text:
        return
    wide = width(text, label.size, font)
    squeeze = 1.0 if room is None or wide <= room else room / wide
    shift = {"start": 0.0, "middle": wide / 2, "end": wide}[label.anchor] * squeeze
    # All within the text: to save and restore the page's state takes longer than the text itself.
    angle = math.radians(label.angle)
    along, across = math.cos(angle), math.sin(angle)
    x, y = label.at[0] - shift * along, label.at[1] - shift * across
    line = canvas.beginText(x, y)
    if label.angle:
        line.setTextTransform(along, across, -across, along, x, y)
    line.setFont(font, label.size)
    if squeeze != 1:
        line.setHorizScale(100 * squeeze)
    line.textOut(text)
    if squeeze != 1:
        line.setHorizScale(100)  # the page keeps it past the end of a text
    canvas.drawText(line)
