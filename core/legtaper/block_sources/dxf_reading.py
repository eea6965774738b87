"""Outlines from a DXF drawing: pieces by the layers of ASTM D6673, or plain closed polylines.

Layers of ASTM D6673: 1 cut boundary, 4 notches, 7 grainline, 8 internal lines, 14 sew line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any, Final, Literal

import numpy as np

from legtaper.block_sources.traced import (
    LARGEST,
    MOST_POINTS,
    Line,
    Traced,
    ask_about_size,
    count_points,
    joined,
    outlines,
    tidy,
)
from legtaper.block_sources.watched_text import WatchedText
from legtaper.files import dxf_library
from legtaper.geometry.curves import Array
from legtaper.model.cancel import Cancelled, Going, go_on, wanted
from legtaper.model.project import ProjectError
from legtaper.model.safe_text import clean

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

DrawingUnit = Literal["mm", "cm", "in", "ft", "m"]

MM: Final[dict[DrawingUnit, float]] = {
    "mm": 1.0, "cm": 10.0, "in": 25.4, "ft": 304.8, "m": 1000.0,
}  # fmt: skip
_HEADER: Final[dict[int, DrawingUnit]] = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}  # $INSUNITS
_CURVE: Final = 0.01  # mm by which the straight pieces may miss a curve
_JOIN: Final = 0.02  # mm: ends of lines and arcs this close are one point
_DEEPEST: Final = 8
_MOST_ENTITIES: Final = 20_000
_PART: Final = re.compile(r"^[ \t]*0[ \t]*\n[ \t]*(?!VERTEX|SEQEND)[A-Z0-9]*[A-Z]", re.MULTILINE)
_MOST_LINES: Final = 1_500_000  # of text; a vertex takes from 4 to 20 of them
_KINDS: Final = {"14": "panel", "1": "panel", "7": "grainline", "4": "notch", "8": ""}
_DASHED: Final = {"DASHED", "HIDDEN", "CENTER", "DOT", "DASHDOT", "PHANTOM", "DIVIDE", "BORDER"}


def read_dxf(data: bytes, unit: DrawingUnit | None = None) -> tuple[Traced, ...]:
    """Return the outlines of a drawing in mm, y up, largest first.

    A piece is called by the name of its block; where it has a sew line and a cut line, the cut
    line is called "NAME-cut". Left out, the unit is the file's own. Raises `ProjectError` in one
    line for what is no drawing, says no unit, or is made to do harm.
    """
    return read_with_unit(data, unit)[0]


def read_with_unit(
    data: bytes, unit: DrawingUnit | None = None, going: Going = wanted
) -> tuple[tuple[Traced, ...], DrawingUnit]:
    """Return the outlines as `read_dxf` does, and the unit they were read in.

    Raises `Cancelled` where `going` says no.
    """
    document = _document(data, going)
    unit = unit or _own_unit(document)
    if unit is None:
        raise ProjectError("unit", "the file does not say its unit; say mm, cm or in")
    if unit not in MM:
        raise ProjectError("unit", f"must be one of {', '.join(MM)}")
    try:
        lines = _all_lines(document, MM[unit], going)
    except (ProjectError, Cancelled):
        raise
    except Exception:  # whatever a parser says about broken entities
        raise ProjectError("", "the drawing can't be read; save it as DXF again") from None
    found = outlines(lines, going)
    if not found:
        ask_about_size(lines, unit, other_units(unit), going)
    return found, unit


def other_units(unit: DrawingUnit) -> list[tuple[str, float]]:
    """Return other units a file may have been drawn in, with the factor of each."""
    return [(other, mm / MM[unit]) for other, mm in MM.items() if other != unit]


def _document(data: bytes, going: Going) -> Document:
    if len(data) > LARGEST:
        raise ProjectError("", f"larger than {LARGEST // 1_000_000} MB; save only the two panels")
    if data[:22].startswith(b"AutoCAD Binary DXF"):
        raise ProjectError("", "this is binary DXF; save it as DXF text (ASCII)")
    if data.count(b"\n") > _MOST_LINES:
        count_points(MOST_POINTS + 1)
    if b"SECTION" not in data[:100_000] or b"\0" in data:
        raise ProjectError("", "this is no DXF drawing; save the outline as DXF")
    ezdxf = dxf_library.ezdxf()
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    for number, _ in enumerate(_PART.finditer(text)):  # before they are parsed, which takes longer
        _count_parts(number)
    try:
        document: Document = ezdxf.read(WatchedText(text, going))
    except Cancelled:
        raise
    except Exception:  # whatever a parser says about a broken file
        raise ProjectError("", "this is no DXF drawing that can be read; save it again") from None
    return document


def _count_parts(number: int) -> None:
    """Raise `ProjectError` where a drawing has more parts than a pattern needs."""
    if number > _MOST_ENTITIES:
        raise ProjectError("", f"has more than {_MOST_ENTITIES} parts; save only the two panels")


def _own_unit(document: Document) -> DrawingUnit | None:
    """Return the unit of the header, or of a text "Units: METRIC" as pieces of D6673 have it."""
    try:
        unit = _HEADER.get(int(document.header.get("$INSUNITS", 0)))
    except (TypeError, ValueError):
        unit = None
    if unit is not None:
        return unit
    spaces = [document.modelspace(), *document.blocks]
    for text in (text for space in spaces for text in space.query("TEXT")):
        found = re.search(r"units:\s*(metric|english)", str(text.dxf.get("text", "")), re.I)
        if found:
            return "mm" if found[1].lower() == "metric" else "in"
    return None


def _all_lines(document: Document, mm: float, going: Going) -> list[Line]:
    """Return the lines of every piece: of each block that is placed, or of the drawing itself."""
    counter = _Counter(going)
    lines: list[Line] = []
    loose: list[Any] = []
    for entity in document.modelspace():
        if entity.dxftype() == "INSERT":
            name = clean(str(entity.dxf.get("name", "")), 60)
            lines += _piece(name, counter.parts(entity, ()), mm, counter)
        else:
            loose.append(entity)
    if not lines and not loose:  # some programs define their pieces and place none
        for block in document.blocks:
            if not block.name.startswith("*"):
                lines += _piece(clean(block.name, 60), counter.flat(block, ()), mm, counter)
    return lines + _piece("", counter.flat(loose, ()), mm, counter)


class _Counter:
    """Takes insertions apart, and counts what comes out: a few nested ones can be millions."""

    def __init__(self, going: Going) -> None:
        self.going = going
        self.entities = 0
        self.points = 0

    def flat(self, entities: Iterable[Any], above: tuple[str, ...]) -> Iterator[Any]:
        for entity in entities:
            go_on(self.going)
            self.entities += 1
            _count_parts(self.entities)
            if entity.dxftype() == "INSERT":
                yield from self.parts(entity, above)
            else:
                yield entity

    def parts(self, insert: Any, above: tuple[str, ...]) -> Iterator[Any]:
        name = str(insert.dxf.get("name", ""))
        if name in above or len(above) >= _DEEPEST:
            raise ProjectError(
                clean(name, 40), "this block is placed inside itself; draw its lines"
            )
        if insert.mcount > 50:
            raise ProjectError(clean(name, 40), "this block is placed too often; save it once")
        for one in insert.multi_insert() if insert.mcount > 1 else [insert]:
            yield from self.flat(one.virtual_entities(), (*above, name))

    def count(self, points: int) -> None:
        self.points += points
        count_points(self.points)


def _piece(name: str, entities: Iterator[Any], mm: float, counter: _Counter) -> list[Line]:
    """Return the lines of one piece, with what its layers say they are."""
    drawn = [(entity, _layer(entity)) for entity in entities]
    standard = any(layer in ("1", "14") for _, layer in drawn)
    sewn = any(layer == "14" for _, layer in drawn)
    lines: list[Line] = []
    for entity, layer in drawn:
        go_on(counter.going)
        kind = _KINDS.get(layer, "mark") if standard else _plain_kind(layer)
        if standard and layer == "8" and str(entity.dxf.get("linetype", "")).upper() in _DASHED:
            continue  # a line to look at, such as a level
        names = tuple(one for one in (name, layer if not standard else "") if one)
        if layer == "1" and sewn:
            names = (f"{name}-cut",)
        for points, closed in _points(entity, mm, counter):
            if len(points) == 1:
                lines += [Line(np.vstack([points, points]), False, names, "notch")]
            else:
                lines.append(Line(points, closed, names, kind, layer))
    return joined(lines, _JOIN)


def _layer(entity: Any) -> str:
    return str(entity.dxf.get("layer", "0")).strip()


def _plain_kind(layer: str) -> str:
    if "grain" in layer.lower():
        return "grainline"
    return "notch" if "notch" in layer.lower() else ""


def _points(entity: Any, mm: float, counter: _Counter) -> Iterator[tuple[Array, bool]]:
    """Return the line of an entity as points in mm; nothing for what is no line."""
    from ezdxf import path

    kind = entity.dxftype()
    if kind == "POINT":
        at = entity.dxf.location
        yield _finite(mm * np.array([[at.x, at.y]])), False
        return
    if kind not in ("LWPOLYLINE", "POLYLINE", "LINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE"):
        return
    if kind == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
        return
    made = path.make_path(entity)
    _finite(mm * np.array([(one.x, one.y) for one in made.control_vertices()]))
    rows = []
    for vertex in made.flattening(max(_CURVE / mm, 1e-6)):
        rows.append((vertex.x, vertex.y))
        if len(rows) > MOST_POINTS:
            break
    counter.count(len(rows))
    if len(rows) > 1:
        closed = bool(made.is_closed or getattr(entity, "closed", False) or
                      getattr(entity, "is_closed", False))  # fmt: skip
        yield tidy(_finite(mm * np.array(rows)), closed)


def _finite(points: Array) -> Array:
    if not np.isfinite(points).all() or np.abs(points).max() > 1e6:
        raise ProjectError("", "holds a coordinate that is no usable number; draw it again")
    return points
