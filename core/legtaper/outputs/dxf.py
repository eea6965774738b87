"""Drawing -> DXF in millimeters: one block per piece, layers by ASTM D6673."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

import numpy as np

from legtaper.files import dxf_library
from legtaper.geometry.curves import Array
from legtaper.model.safe_text import clean
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

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.base import BaseLayout
    from ezdxf.layouts.blocklayout import BlockLayout

# R2010 is the oldest common version whose text is UTF-8 throughout.
VERSION = "R2010"

ASTM: dict[Layer, str] = {
    "cut": "1",
    "notch": "4",
    "grainline": "7",
    "block": "8",  # for comparison only: dashed, so nobody sews along it
    "hem-fold": "8",
    "crease": "8",
    "level": "8",
    "internal": "8",
    "join": "8",
    "slit": "8",
    "net": "14",
    "text": "15",
}
"""Our layers -> layer names of ASTM D6673: 1 cut boundary, 4 notches, 7 grainline,
8 internal lines, 14 sew line, 15 annotation text."""

LINETYPES: dict[Layer, str] = {
    "block": "DASHED",
    "join": "HIDDEN",
    "hem-fold": "CENTER",
    "crease": "PHANTOM",
    "level": "DOT",
}
"""The usual CAD names; their dashes are those of `drawing.DASHES`."""

_NOTE_SIZE, _NOTE_STEP, _NOTE_INDENT = 4.0, 6.0, 5.0  # mm


def render(drawing: Drawing, words: Words = "text") -> bytes:
    """Return the drawing as a DXF file; the same drawing always gives the same bytes.

    Each piece carries its name, size, quantity and unit as text. Notes stand below the sheet on
    layer 15; where `words` are not text, there are none. Raises `ValueError` where a coordinate
    is not a finite number.
    """
    ezdxf = dxf_library.ezdxf()
    with _fixed_dates():
        document: Document = ezdxf.new(VERSION)
        _prepare(document, drawing)
        squares = scale_squares(drawing.squares_at)
        for piece in worded((*drawing.pieces, squares), words):
            about = _about(piece, drawing) if piece.name != squares.name else ()
            _add_piece(document, piece, about)
        for row, note in enumerate(drawing.notes if words == "text" else ()):
            at = (_NOTE_INDENT, -_NOTE_SIZE - _NOTE_STEP * row)
            _add_label(document.modelspace(), Label(note, at, _NOTE_SIZE))
        _sort_classes(document)
        stream = io.StringIO()
        document.write(stream)
        return document.encode(stream.getvalue())


@contextmanager
def _fixed_dates() -> Iterator[None]:
    """Have ezdxf write a fixed date and id. The option is the library's own, so put it back."""
    options = dxf_library.ezdxf().options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _sort_classes(document: Document) -> None:
    """Fix the order of the CLASS records: ezdxf takes it from a set, so it follows the hashes."""
    document.classes.add_required_classes(document.dxfversion)
    document.classes.classes = dict(sorted(document.classes.classes.items()))


def _prepare(document: Document, drawing: Drawing) -> None:
    """Set the units, what a viewer shows first, the layers and the line types."""
    from ezdxf import units

    document.units = units.MM
    document.header["$MEASUREMENT"] = 1
    size = (drawing.width, drawing.height)
    low, high = (0, -_NOTE_STEP * len(drawing.notes), 0), (*size, 0)
    document.modelspace().reset_extents(low, high)
    # ezdxf copies the extents to the header, but not where a corner is the origin.
    document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high
    document.set_modelspace_vport(height=size[1], center=(size[0] / 2, size[1] / 2))
    for name in sorted(set(ASTM.values()), key=int):
        document.layers.add(name)
    for layer, name in LINETYPES.items():
        # DXF wants the length of the whole repeat, then dashes positive and gaps negative.
        steps = [-step if index % 2 else step for index, step in enumerate(DASHES[layer])]
        document.linetypes.add(name, [sum(DASHES[layer]), *steps])


def _about(piece: Piece, drawing: Drawing) -> tuple[str, ...]:
    """Return what a program for cutting reads of a piece: fields of ASTM D6673, from memory."""
    return (
        "Units: METRIC",
        f"Quantity: {piece.quantity}",
        f"Size: {drawing.size or 'made to measure'}",
        f"Piece Name: {piece.title}",
    )


def _add_piece(document: Document, piece: Piece, about: Sequence[str]) -> None:
    """Add the piece as a block whose origin is its lower left corner, and place it once."""
    from ezdxf.enums import InsertUnits

    if not all(np.isfinite(stroke.points).all() for stroke in piece.strokes):
        raise ValueError("the drawing has a coordinate that is not a finite number")
    left, bottom = piece.box[:2]
    block = document.blocks.new(piece.name)
    block.units = InsertUnits.Millimeters
    for stroke in piece.strokes:
        _add_stroke(block, piece.outline(stroke).moved(-left, -bottom))
    for label in piece.labels:
        _add_label(block, label.moved(-left, -bottom))
    for row, text in enumerate(about):
        at = piece.box[2] - left + 5.0, 5.0 + _NOTE_STEP * row
        _add_label(block, Label(text, at, _NOTE_SIZE))
    document.modelspace().add_blockref(piece.name, (left, bottom))


def _add_stroke(block: BlockLayout, stroke: Stroke) -> None:
    attributes = {
        "layer": ASTM[stroke.layer],
        "linetype": LINETYPES.get(stroke.layer, "Continuous"),
        "lineweight": round(100 * WIDTHS.get(stroke.layer, 0.25)),  # hundredths of a mm
    }
    points = _once(stroke.points.round(4), closed=stroke.closed).tolist()
    block.add_lwpolyline(points, close=stroke.closed, dxfattribs=attributes)


def _once(points: Array, *, closed: bool) -> Array:
    """Return points without any that repeats the one before it, the first of a ring included."""
    kept = points[np.concatenate([[True], (np.diff(points, axis=0) != 0).any(axis=1)])]
    if closed and len(kept) > 2 and (kept[0] == kept[-1]).all():
        kept = kept[:-1]
    return kept if len(kept) > 1 else points[:2]


def _add_label(layout: BaseLayout, label: Label) -> None:
    from ezdxf.enums import TextEntityAlignment as Align

    align = {"start": Align.LEFT, "middle": Align.CENTER, "end": Align.RIGHT}[label.anchor]
    text = layout.add_text(
        clean(label.text),
        height=label.size,
        rotation=label.angle,
        dxfattribs={"layer": ASTM["text"]},
    )
    text.set_placement(label.at, align=align)
