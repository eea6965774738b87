"""Outlines from an SVG drawing at true size: units, viewBox, transforms, groups, `use`, curves."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final
from xml.etree import ElementTree as ET

import numpy as np

from legtaper.block_sources.svg_safety import harmless
from legtaper.block_sources.traced import (
    MOST_STRAIGHT,
    Line,
    Traced,
    ask_about_size,
    count_points,
    joined,
    outlines,
    tidy,
)
from legtaper.block_sources.watched_text import WatchedText
from legtaper.geometry.curves import Array
from legtaper.model.cancel import Cancelled, Going, go_on, wanted
from legtaper.model.project import ProjectError

PX_PER_INCH: Final = 96.0
"""CSS: 1 px is 1/96 in. Older drawing programs count 72 or 90."""

SCALES: Final = (96.0, 72.0, 90.0, 25.4, 2.54, 300.0, 150.0)
"""px to the inch to think of where a size is unlikely; with 25.4 a px is a millimeter."""

_JOIN = 0.02  # mm: ends of open lines this close are one point
_CURVE = 0.01  # mm by which the straight pieces may miss a curve
# What this program itself draws besides the outline, by its classes: made again for each pattern.
_OWN: Final = {"level", "hem-fold", "join", "slit"}


def read_svg(
    data: bytes, px_per_inch: float = PX_PER_INCH, going: Going = wanted
) -> tuple[Traced, ...]:
    """Return the outlines of a drawing in mm, y up, largest first.

    Lengths with a unit are taken as they are; plain numbers and px count `px_per_inch`. Raises
    `ProjectError` in one line for what is no drawing, or one that is made to do harm; `Cancelled`
    where `going` says no.
    """
    if not (math.isfinite(px_per_inch) and 1 <= px_per_inch <= 10_000):
        raise ProjectError("px-per-inch", "must be a number such as 96 or 72")
    tree = harmless(data)
    labels = _named(tree)
    lines: list[Line] = []
    points = 0
    for shape in _shapes(tree, px_per_inch, going):
        go_on(going)
        for line in _lines(shape, labels):
            points += len(line.points)
            count_points(points, MOST_STRAIGHT)
            lines.append(line)
    lines = joined([line for line in lines if len(line.points) > 1], _JOIN)
    found = outlines(lines, going)
    if not found:
        ask_about_size(lines, f"px at {px_per_inch:g}", other_scales(px_per_inch), going)
    return found


def other_scales(px_per_inch: float) -> list[tuple[str, float]]:
    """Return other scales a file may have been drawn in, with the factor of each."""
    return [(f"px at {other:g}", px_per_inch / other) for other in SCALES if other != px_per_inch]


def _named(tree: ET.Element) -> dict[str, str]:
    """Give every element without an id one, in the order of the file; return id -> label."""
    labels, number = {}, 0
    taken = {element.get("id") for element in tree.iter()}
    for element in tree.iter():
        if not element.get("id"):
            number += 1
            while f"{element.tag}-{number}" in taken:
                number += 1
            element.set("id", f"{element.tag}-{number}")
        if element.get("data-label"):
            labels[element.get("id", "")] = element.get("data-label", "")
    return labels


Shape = tuple[Any, tuple[str, ...], float]
"""An svgelements path, the ids on the way to it, its own first, and mm for each of its units."""


def _shapes(tree: ET.Element, px_per_inch: float, going: Going) -> Iterator[Shape]:
    import svgelements as svg

    tree.set("xmlns", "http://www.w3.org/2000/svg")
    text = ET.tostring(tree, encoding="unicode")
    try:
        root = svg.SVG.parse(WatchedText(text, going), ppi=px_per_inch, reify=False)
    except Cancelled:
        raise
    except Exception:  # whatever a parser says about a broken drawing
        raise ProjectError("", "the drawing can't be read; save it as SVG again") from None

    def walk(element: Any, above: tuple[str, ...]) -> Iterator[Shape]:
        names = (element.id, *above) if element.id else above
        if isinstance(element, svg.Group | svg.SVG | svg.Use):
            for child in element:
                yield from walk(child, names)
        elif isinstance(element, svg.Shape):
            yield element, names, 25.4 / px_per_inch

    for child in root:
        yield from walk(child, ())


def _lines(shape: Shape, labels: dict[str, str]) -> Iterator[Line]:
    import svgelements as svg

    element, ids, mm = shape
    names = tuple(name for one in ids for name in (one, labels.get(one, "")) if name)
    kind = _kind(ids[0] if ids else "", str(element.values.get("class", "")))
    try:
        # Bent first and moved afterwards: a skewed arc is no arc that the library knows.
        path, matrix = svg.Path(*element.segments(transformed=False)), element.transform
        for part in path.as_subpaths():
            points, closed = _points(svg.Path(part), mm * _matrix(matrix))
            if len(points):
                points, closed = tidy(points, closed)
                yield Line(points, closed, names, kind)
    except ProjectError:
        raise
    except Exception:  # whatever a parser says about a broken path
        name = ids[0] if ids else ""
        raise ProjectError(name, "this path can't be read; draw it again") from None


def _kind(name: str, classes: str) -> str:
    if name.endswith("-arrows") or name.endswith("-hem-below") or _OWN & set(classes.split()):
        return "mark"
    if "block" in classes.split():
        return "panel"
    if "notch" in classes.split():
        return "notch"
    return "grainline" if "grain" in name.lower() or "grainline" in classes.split() else ""


def _matrix(matrix: Any) -> Array:
    """Return a transform (2, 3) that turns y over, in the units of the matrix."""
    rows = [(matrix.a, matrix.c, matrix.e), (-matrix.b, -matrix.d, -matrix.f)]
    return np.array(rows, float)


def _points(path: Any, transform: Array) -> tuple[Array, bool]:
    """Return a subpath as points in mm, y up, curves in straight pieces."""
    import svgelements as svg

    rows: list[Array] = []
    closed, count = False, 0
    for segment in path:
        if isinstance(segment, svg.Move):
            continue
        closed = closed or isinstance(segment, svg.Close)
        pieces = segment.as_cubic_curves() if isinstance(segment, svg.Arc) else [segment]
        for piece in pieces:
            controls = [(p.x, p.y, 1.0) for p in _controls(piece) if p is not None]
            if len(controls) >= 2:
                with np.errstate(all="ignore"):  # what is no number is refused there
                    rows.append(_flattened(np.array(controls, float) @ transform.T))
                count += len(rows[-1])
                count_points(count, MOST_STRAIGHT)
    if not rows:
        return np.empty((0, 2)), False
    return np.vstack([rows[0][:1], *(row[1:] for row in rows)]), closed


def _controls(piece: Any) -> list[Any]:
    parts = (piece.start, *(getattr(piece, n, None) for n in ("control", "control1", "control2")))
    return [*parts, piece.end]


def _flattened(controls: Array) -> Array:
    """Return a Bezier curve (n controls) as points that miss it by no more than a hair."""
    if len(controls) == 2:
        return controls
    if not np.isfinite(controls).all():
        raise ValueError("a coordinate is not a number")
    bend = np.abs(np.diff(controls, 2, axis=0)).max()
    degree = len(controls) - 1
    steps = min(500, 1 + math.ceil(math.sqrt(degree * (degree - 1) * bend / (8 * _CURVE))))
    t = np.linspace(0, 1, steps + 1)[:, None]
    curve: Array = np.zeros((steps + 1, 2))
    for i, control in enumerate(controls):
        curve += math.comb(degree, i) * t**i * (1 - t) ** (degree - i) * control
    return curve
