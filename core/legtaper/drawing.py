"""A drawing: lines and labels of pattern pieces in mm, y up. What every output renders."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np

from legtaper.curves import Array, Point

Layer = Literal[
    "block",  # the old stitching line: dashed, so that it differs from the new one without color
    "net",  # the new stitching line, solid
    "cut",  # the cutting line, solid and heavier
    "grainline",
    "hem-fold",
    "level",  # crotch, knee and hip lines, thin
    "join",  # dashed top closing line, no seam
    "slit",
    "notch",
    "text",
]

DASHES: dict[Layer, tuple[float, ...]] = {
    "block": (6.0, 3.0),
    "join": (2.0, 2.0),
    "hem-fold": (8.0, 2.0, 2.0, 2.0),
    "level": (1.0, 2.0),
}
"""Dash and gap lengths in mm; a layer that is not named is solid."""

WIDTHS: dict[Layer, float] = {"cut": 0.5, "net": 0.35, "block": 0.25, "level": 0.15, "join": 0.2}
"""Line widths in mm; a layer that is not named is 0.25."""


@dataclass(frozen=True, eq=False)
class Stroke:
    """One polyline: `points` is (n, 2) in mm. `id` is unique in a drawing, e.g. "front-net"."""

    id: str
    layer: Layer
    points: Array
    closed: bool = False

    def moved(self, dx: float, dy: float) -> Stroke:
        """Return the stroke shifted."""
        return replace(self, points=self.points + (dx, dy))


@dataclass(frozen=True)
class Label:
    """A line of text; `at` is its anchor on the baseline, `size` its height in mm."""

    text: str
    at: Point
    size: float = 5.0
    angle: float = 0.0  # degrees, counter-clockwise
    anchor: Literal["start", "middle", "end"] = "start"

    def moved(self, dx: float, dy: float) -> Label:
        """Return the label shifted."""
        return replace(self, at=(self.at[0] + dx, self.at[1] + dy))


Box = tuple[float, float, float, float]
"""min x, min y, max x, max y, mm."""


@dataclass(frozen=True)
class Piece:
    """One pattern piece: `name` is safe for ids and DXF blocks, `title` is for people."""

    name: str
    title: str
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...] = ()

    @cached_property
    def box(self) -> Box:
        """The smallest box round the strokes."""
        points = np.concatenate([stroke.points for stroke in self.strokes])
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        return float(x0), float(y0), float(x1), float(y1)

    def moved(self, dx: float, dy: float) -> Piece:
        """Return the piece shifted."""
        strokes = tuple(stroke.moved(dx, dy) for stroke in self.strokes)
        return replace(self, strokes=strokes, labels=tuple(la.moved(dx, dy) for la in self.labels))


@dataclass(frozen=True)
class Drawing:
    """Pieces laid out on one sheet from (0, 0) to (`width`, `height`), y up, mm.

    scale_at: lower left corner of the two scale squares, 50 mm and 2 in, side by side.
    notes: short lines that stand on the sheet once (cautions, "invented example").
    """

    title: str
    pieces: tuple[Piece, ...]
    width: float
    height: float
    scale_at: Point
    notes: tuple[str, ...] = ()


SCALE_MM = 50.0
SCALE_IN = 50.8
SCALE_GAP = 10.0
SCALE_BOX = (SCALE_MM + SCALE_GAP + SCALE_IN, SCALE_IN + 6.0)
"""Width and height that the two scale squares and their labels take."""


def scale_squares(at: Point) -> Piece:
    """Return the two squares with their labels, lower left corner at `at`."""
    x, y = at
    right = x + SCALE_MM + SCALE_GAP
    return Piece(
        "scale-square",
        "Scale squares",
        (
            Stroke("scale-square", "net", _square(x, y, SCALE_MM), closed=True),
            Stroke("scale-square-inch", "net", _square(right, y, SCALE_IN), closed=True),
        ),
        (
            Label("50 mm", (x + SCALE_MM / 2, y + SCALE_MM / 2), 4, anchor="middle"),
            Label("2 in", (right + SCALE_IN / 2, y + SCALE_IN / 2), 4, anchor="middle"),
            Label("measure before you cut", (x, y + SCALE_IN + 2), 3),
        ),
    )


def _square(x: float, y: float, side: float) -> Array:
    return np.array([(x, y), (x + side, y), (x + side, y + side), (x, y + side)])


def lay_out(
    title: str, pieces: Iterable[Piece], *, gap: float = 15.0, notes: tuple[str, ...] = ()
) -> Drawing:
    """Place pieces in a row, tops level, and find room for the scale squares."""
    placed: list[Piece] = []
    right, height = gap, 0.0
    queue = tuple(pieces)
    for piece in queue:
        height = max(height, piece.box[3] - piece.box[1])
    for piece in queue:
        x0, _, x1, y1 = piece.box
        placed.append(piece.moved(right - x0, gap + height - y1))
        right += x1 - x0 + gap
    width, full = right, height + 2 * gap
    spot = room_for(SCALE_BOX, placed, (gap / 2, gap / 2, width - gap / 2, full - gap / 2))
    return Drawing(title, tuple(placed), width, full, spot or (gap, gap), notes)


def room_for(
    size: Point, pieces: Iterable[Piece], within: Box, margin: float = 3.0
) -> Point | None:
    """Return the highest, then leftmost place for a box that no line or label crosses."""
    import shapely  # noqa: PLC0415  only a sheet needs it, a recompute does not

    lines = [
        shapely.LinearRing(stroke.points) if stroke.closed else shapely.LineString(stroke.points)
        for piece in pieces
        for stroke in piece.strokes
    ]
    lines += [shapely.box(*label_box(label)) for piece in pieces for label in piece.labels]
    tree = shapely.STRtree(lines)
    (wide, tall), (x0, y0, x1, y1) = size, within
    for y in np.arange(y1 - tall, y0 - 1e-9, -5.0):
        for x in np.arange(x0, x1 - wide + 1e-9, 5.0):
            spot = shapely.box(x - margin, y - margin, x + wide + margin, y + tall + margin)
            if not len(tree.query(spot, predicate="intersects")):
                return float(x), float(y)
    return None


def label_box(label: Label) -> Box:
    """Return a generous box round a label: 0.6 of its size a character (any common font)."""
    length, size = 0.6 * label.size * len(label.text), label.size
    start = {"start": 0.0, "middle": -length / 2, "end": -length}[label.anchor]
    corners = np.array([(start, -0.3 * size), (start + length, size)])
    corners = np.array([(x, y) for x in corners[:, 0] for y in corners[:, 1]])
    turn = np.radians(label.angle)
    spun = corners @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    (a, b), (c, d) = spun.min(axis=0) + label.at, spun.max(axis=0) + label.at
    return float(a), float(b), float(c), float(d)
