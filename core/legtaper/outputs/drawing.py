"""A drawing: lines and labels of pattern pieces in mm, y up. What every output renders."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Literal

import numpy as np

from legtaper.geometry.curves import Array, Point

if TYPE_CHECKING:
    from shapely import STRtree

Layer = Literal[
    "block",  # the old stitching line: dashed, so that it differs from the new one without color
    "net",  # the new stitching line, solid
    "cut",  # the cutting line, solid and heavier
    "grainline",
    "crease",  # through the middle of a leg whose center was moved off the grainline
    "hem-fold",
    "level",  # crotch, knee and hip lines, thin
    "join",  # dashed top closing line, no seam
    "slit",
    "notch",
    "internal",  # darts and pleats of a traced piece
    "text",
]

DASHES: dict[Layer, tuple[float, ...]] = {
    "block": (6.0, 3.0),
    "join": (2.0, 2.0),
    "hem-fold": (8.0, 2.0, 2.0, 2.0),
    "crease": (12.0, 3.0),
    "level": (1.0, 2.0),
}
"""Dash and gap lengths in mm; a layer that is not named is solid."""

LINES: dict[Layer, str] = {
    "cut": "cut along this line",
    "net": "seam line: sew here",
    "hem-fold": "fold",
    "grainline": "grainline",
    "crease": "crease line: the moved middle of the leg",
    "slit": "slit, and the bar tack at its end",
    "notch": "notch: single on front and folds, double on back",
    "block": "old seam line, to compare",
    "level": "level line: calf, knee, thigh, crotch, hip",
    "join": "join to your own pattern: no seam",
    "internal": "dart or pleat",
}
"""What each line is, as a legend says it."""

SEEN: dict[Layer, str] = {
    "cut": "thick: cut",
    "net": "thin: seam",
    "hem-fold": "long-short dashes: fold",
    "level": "dotted: level",
    "block": "dashed: old seam",
    "join": "short dashes: no seam",
    "crease": "longest dashes: crease",
}
"""How to tell the lines by their look (`WIDTHS`, `DASHES`), in the few words that a piece has."""

WIDTHS: dict[Layer, float] = {"cut": 0.5, "net": 0.35, "block": 0.25, "level": 0.15, "join": 0.2}
"""Line widths in mm; a layer that is not named is 0.25."""


@dataclass(frozen=True, eq=False)
class Stroke:
    """One polyline: `points` is (n, 2) in mm. `id` is unique in a drawing, e.g. "front-net"."""

    id: str
    layer: Layer
    points: Array
    closed: bool = False

    @property
    def ring(self) -> Array:
        """The points as they are drawn: where it is closed, the first one again at the end."""
        return np.concatenate([self.points, self.points[:1]]) if self.closed else self.points

    def moved(self, dx: float, dy: float) -> Stroke:
        """Return the stroke shifted."""
        return replace(self, points=self.points + (dx, dy))

    def turned(self, quarters: int) -> Stroke:
        """Return the stroke after quarter turns counter-clockwise about (0, 0)."""
        return replace(self, points=turned_points(self.points, quarters))


_QUARTERS = ((1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0))


def turned_points(points: Array, quarters: int) -> Array:
    """Return points (n, 2) after quarter turns counter-clockwise about (0, 0)."""
    lying = points[:, ::-1] if quarters % 2 else points
    return lying * _QUARTERS[quarters % 4]


@dataclass(frozen=True)
class Label:
    """A line of text; `at` is its anchor on the baseline, `size` its height in mm.

    free: whether it says something of the whole piece, and so may stand anywhere on it.
    """

    text: str
    at: Point
    size: float = 5.0
    angle: float = 0.0  # degrees, counter-clockwise
    anchor: Literal["start", "middle", "end"] = "start"
    free: bool = False

    def moved(self, dx: float, dy: float) -> Label:
        """Return the label shifted."""
        return replace(self, at=(self.at[0] + dx, self.at[1] + dy))

    def turned(self, quarters: int) -> Label:
        """Return the label after quarter turns counter-clockwise about (0, 0)."""
        ((x, y),) = turned_points(np.array([self.at]), quarters).tolist()
        return replace(self, at=(x, y), angle=self.angle + 90.0 * (quarters % 4))


Box = tuple[float, float, float, float]
"""min x, min y, max x, max y, mm."""


@dataclass(frozen=True)
class Piece:
    """One pattern piece: `name` is safe for ids and DXF blocks, `title` is for people."""

    name: str
    title: str
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...] = ()
    quantity: int = 1

    def outline(self, stroke: Stroke) -> Stroke:
        """Return a cutting line closed; one without a top is closed along the dashed join.

        Any other line is returned as it is.
        """
        if stroke.layer != "cut" or stroke.closed:
            return stroke
        points = stroke.points
        for join in (other.points for other in self.strokes if other.layer == "join"):
            near, far = (np.hypot(*(end - points[-1])) for end in (join[0], join[-1]))
            points = np.concatenate([points, join if near < far else join[::-1]])
        return replace(stroke, points=points, closed=True)

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

    def turned(self, quarters: int) -> Piece:
        """Return the piece after quarter turns counter-clockwise about (0, 0)."""
        if not quarters % 4:
            return self
        strokes = tuple(stroke.turned(quarters) for stroke in self.strokes)
        return replace(
            self, strokes=strokes, labels=tuple(la.turned(quarters) for la in self.labels)
        )

    @cached_property
    def extent(self) -> Box:
        """The smallest box round strokes and labels."""
        boxes = np.array([self.box, *map(label_box, self.labels)])
        low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])


@dataclass(frozen=True)
class Drawing:
    """Pieces laid out on one sheet from (0, 0) to (`width`, `height`), y up, mm.

    scale_at: lower left corner of the two scale squares, 50 mm and 2 in, side by side; `None`
    has them placed where nothing is drawn.
    notes: short lines that stand on the sheet once (cautions, "invented example").
    true_size: whether it is a pattern, which gets scale squares to measure.
    size: which size it is, where it has a name; a pattern's is that of its design.
    """

    title: str
    pieces: tuple[Piece, ...]
    width: float
    height: float
    scale_at: Point | None
    notes: tuple[str, ...] = ()
    true_size: bool = True
    size: str = ""

    @cached_property
    def obstacles(self) -> STRtree:
        """What is drawn, as a tree to ask what is in the way."""
        return obstacles(self.pieces)

    @cached_property
    def squares_at(self) -> Point:
        """Where the scale squares stand; in the lower left corner where there is no room."""
        edge = 8.0
        within = edge, edge, self.width - edge, self.height - edge
        return self.scale_at or room_for(SCALE_BOX, self.obstacles, within) or (edge, edge)


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
    """Place pieces in a row, tops level."""
    placed: list[Piece] = []
    right, height = gap, 0.0
    queue = tuple(pieces)
    for piece in queue:
        height = max(height, piece.box[3] - piece.box[1])
    for piece in queue:
        x0, _, x1, y1 = piece.box
        placed.append(piece.moved(right - x0, gap + height - y1))
        right += x1 - x0 + gap
    return Drawing(title, tuple(placed), right, height + 2 * gap, None, notes)


_RUN = 8
"""Pieces of a line that a tree is made of: a whole seam would be in the way of every question."""


def obstacles(pieces: Iterable[Piece]) -> STRtree:
    """Return every line, and the box of every label, as a tree to ask what is in the way."""
    import shapely

    queue = tuple(pieces)
    rows = [stroke.ring for piece in queue for stroke in piece.strokes]
    boxes = np.array([label_box(label) for piece in queue for label in piece.labels]).reshape(-1, 4)
    runs = [row[i : i + _RUN + 1] for row in rows for i in range(0, max(1, len(row) - 1), _RUN)]
    owners = np.repeat(np.arange(len(runs)), [len(run) for run in runs])
    lines = shapely.linestrings(np.vstack(runs), indices=owners) if runs else []
    return shapely.STRtree([*lines, *shapely.box(*boxes.T)])


def room_for(size: Point, taken: STRtree, within: Box, margin: float = 3.0) -> Point | None:
    """Return the highest, then leftmost place for a box that nothing in `taken` crosses."""
    import shapely

    (wide, tall), (x0, y0, x1, y1) = size, within
    xs = np.arange(x0, x1 - wide + 1e-9, 5.0)
    if not len(xs):
        return None
    for y in np.arange(y1 - tall, y0 - 1e-9, -5.0):
        row = shapely.box(xs - margin, y - margin, xs + wide + margin, y + tall + margin)
        free = np.ones(len(xs), bool)
        free[taken.query(row, predicate="intersects")[0]] = False
        if free.any():
            return float(xs[free.argmax()]), float(y)
    return None


def label_box(label: Label) -> Box:
    """Return a generous box round a label: 0.6 of its size a character (any common font)."""
    length, size = 0.6 * label.size * len(label.text), label.size
    start = {"start": 0.0, "middle": -length / 2, "end": -length}[label.anchor]
    if not label.angle:  # as nearly all labels
        left, base = label.at[0] + start, label.at[1]
        return left, base - 0.3 * size, left + length, base + size
    cos, sin = math.cos(math.radians(label.angle)), math.sin(math.radians(label.angle))
    corners = [(x, y) for x in (start, start + length) for y in (-0.3 * size, size)]
    xs = [label.at[0] + x * cos - y * sin for x, y in corners]
    ys = [label.at[1] + x * sin + y * cos for x, y in corners]
    return min(xs), min(ys), max(xs), max(ys)
