"""From a traced outline to a panel: its corners, its grainline and its levels, as proposals.

Whatever is proposed here can be said otherwise in `Asked`; then only the rest is proposed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from legtaper.block_sources.corners import find_corners, insert_point, nearest_point
from legtaper.block_sources.traced import Traced, check_outline
from legtaper.geometry.curves import Array, Point
from legtaper.leg.block import OUTSEAM_SIDE
from legtaper.model.project import (
    AllowanceEdge,
    CornerRole,
    PanelName,
    PanelOutline,
    ProjectError,
)
from legtaper.model.sentences import listed

Ends = tuple[Point, Point]
Up = Literal["top", "bottom", "left", "right"]

_EDGE_NAMES: Mapping[tuple[CornerRole, CornerRole], AllowanceEdge] = {
    ("crotch", "hem_inseam"): "inseam",
    ("hem_outseam", "waist_outseam"): "outseam",
    ("hem_outseam", "hip"): "outseam",
    ("waist_outseam", "waist_center"): "waist",
    ("waist_center", "crotch"): "crotch",
}
_TURNS: Mapping[Up, float] = {"top": 0.0, "bottom": 180.0, "left": -90.0, "right": 90.0}
_KNEE = 0.576  # knee height over crotch height: ANSUR II
_SQUARE = 0.3  # mm by which a hem's ends may lie apart in height and still be level


@dataclass(frozen=True)
class Asked:
    """What a person says about an outline; what is left out is proposed.

    up: which way the waist lies in the drawing. seam, hem: allowances in mm that the outline
    includes, to be taken off; edges: those of single edges that differ. grainline: two points of
    the drawing. corners: points of the drawing, in mm and y up, near the corners meant. hip:
    height of the fullest level, mm.
    """

    up: Up | None = None
    seam: float = 0.0
    hem: float | None = None
    grainline: Ends | None = None
    corners: Mapping[CornerRole, Point] = field(default_factory=dict)
    hip: float | None = None
    edges: Mapping[AllowanceEdge, float] = field(default_factory=dict)

    def allowance(self, start: CornerRole, end: CornerRole) -> float:
        """Return the allowance, mm, of the edge between two corners."""
        if (start, end) == ("hem_inseam", "hem_outseam"):
            return self.seam if self.hem is None else self.hem
        return self.edges.get(_EDGE_NAMES.get((start, end), "slit"), self.seam)

    @property
    def includes_any(self) -> bool:
        """Whether the outline includes allowances at all."""
        return any(width > 0 for width in (self.seam, self.hem or 0.0, *self.edges.values()))


@dataclass(frozen=True, eq=False)
class Proposal:
    """A panel as it was read: what will be stored, and the same places in the drawing.

    outline: net, in mm, grainline at x = 0, y up from the hem; see `PanelOutline`.
    drawn: the same points where the drawing has them, for showing and for `Asked.corners`.
    says: what was done and what was guessed, one plain sentence each.
    """

    panel: PanelName
    outline: PanelOutline
    drawn: Array
    says: tuple[str, ...]

    def height(self, role: CornerRole) -> float:
        """Return the height of a corner above the hem, mm."""
        return self.outline.points[self.outline.corners[role]][1]

    def corner(self, role: CornerRole) -> Point:
        """Return where the drawing has a corner, mm."""
        x, y = self.drawn[self.outline.corners[role]]
        return float(x), float(y)

    def stepped(self, role: CornerRole, steps: int) -> Point:
        """Return the drawing's point that lies `steps` points further along the outline."""
        number = (self.outline.corners[role] + steps) % len(self.drawn)
        return float(self.drawn[number][0]), float(self.drawn[number][1])


def propose(traced: Traced, panel: PanelName, asked: Asked | None = None) -> Proposal:
    """Find the corners, the grainline and the hip of a panel. Raises `ProjectError`.

    The ring that is stored begins at the crotch point and runs down the inseam, along the hem
    and up the outseam; then over the waist and back along the crotch seam, where it has them.
    """
    asked = asked or Asked()
    check_outline(traced, panel)
    if asked.grainline is not None and math.dist(*asked.grainline) < 1:
        raise ProjectError(f"{panel}.grainline", "must run from the hem up to the waist")
    upright = _Frame.turned(_turn(traced.points, asked))
    ring = upright.to(traced.points)
    near = {role: upright.to(np.array([at]))[0] for role, at in asked.corners.items()}
    ring, corners = _in_order(*find_corners(ring, traced.closed, near, panel))
    ring, corners = _net(ring, corners, asked, near, panel)
    drawn_grain = None if traced.grainline is None else _ends(traced.grainline)
    frame = _grain_frame(ring, corners, asked.grainline or drawn_grain, upright, panel)
    points = frame.to(upright.back(ring))
    side = _side(points, corners)
    flip = -1.0 if side != OUTSEAM_SIDE[panel] else 1.0
    points = points * (flip, 1.0)
    points, corners = _in_order(points, corners)
    points, corners = _with_hip(points, corners, asked)
    drawn = frame.back(points * (flip, 1.0))
    says = tuple(_says(traced, asked, corners, points, flip))

    def moved(line: Array) -> tuple[Point, ...]:
        return _plain(frame.to(line) * (flip, 1.0))

    outline = PanelOutline(
        _plain(points),
        corners,
        tuple(moved(line) for line in traced.lines),
        moved(_on_edge(np.array(traced.notches).reshape(-1, 2), upright.back(ring))),
    )
    return Proposal(panel, outline, drawn, says)


def propose_pair(
    front: Traced, back: Traced, asked: Mapping[PanelName, Asked]
) -> dict[PanelName, Proposal]:
    """Propose both panels with the hip at the same height. Raises `ProjectError`.

    Where it was not asked for, it is half way between the two that were found.
    """
    traced: dict[PanelName, Traced] = {"front": front, "back": back}
    found = {name: propose(one, name, asked.get(name)) for name, one in traced.items()}
    heights = {name: proposal.height("hip") for name, proposal in found.items()}
    y = round(sum(heights.values()) / 2, 1)
    for name, one in traced.items():
        said = asked.get(name, Asked())
        whole = "waist_outseam" in found[name].outline.corners
        if whole and said.hip is None and "hip" not in said.corners and heights[name] != y:
            found[name] = propose(one, name, replace(said, hip=y))
    return found


def _ends(line: Array) -> Ends:
    (x0, y0), (x1, y1) = line.tolist()
    return (x0, y0), (x1, y1)


def _plain(points: Array) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in points.round(4) + 0.0)


@dataclass(frozen=True, eq=False)
class _Frame:
    """A turn about a point: `to` takes the drawing's points into it, `back` out of it again."""

    origin: Array
    spin: Array

    @classmethod
    def turned(cls, degrees: float, origin: Array | None = None) -> _Frame:
        cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        return cls(np.zeros(2) if origin is None else origin, np.array([[cos, sin], [-sin, cos]]))

    def to(self, points: Array) -> Array:
        return (points - self.origin) @ self.spin

    def back(self, points: Array) -> Array:
        return points @ self.spin.T + self.origin


def _on_edge(notches: Array, ring: Array) -> Array:
    """Return notches moved to the net line, which may lie inside the line they were drawn on."""
    import shapely

    edge = shapely.LinearRing(ring)
    at = shapely.line_locate_point(edge, shapely.points(notches))
    moved: Array = shapely.get_coordinates(shapely.line_interpolate_point(edge, at))
    return moved.reshape(-1, 2)


def _turn(points: Array, asked: Asked) -> float:
    """Return by how many degrees, counterclockwise, the drawing is turned to stand upright."""
    if asked.grainline is not None:
        (x0, y0), (x1, y1) = asked.grainline
        turn = 90 - math.degrees(math.atan2(y1 - y0, x1 - x0))
        return turn if asked.up is None else turn + 180 * (_differs(turn, _TURNS[asked.up]))
    if asked.up is not None:
        return _TURNS[asked.up]
    import shapely

    box = shapely.get_coordinates(shapely.Polygon(points).minimum_rotated_rectangle)
    sides = np.diff(box[:3], axis=0)
    along = sides[np.argmax(np.hypot(*sides.T))]
    turn = 90 - math.degrees(math.atan2(along[1], along[0]))
    heights, widths = _profile(_Frame.turned(turn).to(points))
    upside_down = heights[np.argmax(widths)] < 0.5  # the widest place is at the crotch
    return turn + 180.0 * bool(upside_down)


def _differs(turn: float, wanted: float) -> bool:
    return math.cos(math.radians(turn - wanted)) < 0


def _profile(points: Array) -> tuple[Array, Array]:
    """Return heights as shares from 0 to 1, and how wide the outline is there."""
    import shapely

    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    shares = np.linspace(0.03, 0.97, 48)
    ys = y0 + shares * (y1 - y0)
    cuts = [shapely.LineString([(x0 - 1, y), (x1 + 1, y)]) for y in ys]
    return shares, shapely.length(shapely.intersection(shapely.Polygon(points), cuts))


def _net(
    ring: Array,
    corners: dict[CornerRole, int],
    asked: Asked,
    near: Mapping[CornerRole, Array],
    panel: PanelName,
) -> tuple[Array, dict[CornerRole, int]]:
    """Take off the allowances that the outline includes; the corners are found again."""
    if not asked.includes_any:
        return ring, corners
    import shapely

    whole = "waist_outseam" in corners
    net = shapely.Polygon(ring)
    for start, end in _edges(corners):
        width = asked.allowance(start, end)
        if width <= 0 or (start, end) == ("hip", "crotch"):  # the top that is no seam has none
            continue
        edge = shapely.LineString(_between(ring, corners[start], corners[end]))
        strip = edge.buffer(width, cap_style="square", join_style="mitre", mitre_limit=10)
        net = net.difference(strip)
    parts = getattr(net, "geoms", [net])
    net = max(parts, key=lambda part: part.area)
    if net.is_empty or net.area < 0.4 * shapely.Polygon(ring).area or net.interiors:
        raise ProjectError(panel, "the allowances are more than the outline has; give them smaller")
    smaller = shapely.get_coordinates(shapely.remove_repeated_points(net.exterior, 0.01))[:-1]
    if shapely.Polygon(ring).exterior.is_ccw != net.exterior.is_ccw:
        smaller = smaller[::-1]
    moved = {role: smaller[nearest_point(smaller, ring[number])] for role, number in corners.items()
             if role in near}  # fmt: skip
    return find_corners(smaller, whole, moved, panel)


def _edges(corners: Mapping[CornerRole, int]) -> list[tuple[CornerRole, CornerRole]]:
    whole: list[CornerRole] = ["crotch", "hem_inseam", "hem_outseam"]
    whole += ["waist_outseam", "waist_center"] if "waist_outseam" in corners else ["hip"]
    return list(zip(whole, [*whole[1:], whole[0]], strict=True))


def _between(ring: Array, start: int, end: int) -> Array:
    """Return the points of a ring from one to another, in its own direction."""
    if end >= start:
        return ring[start : end + 1]
    return np.vstack([ring[start:], ring[: end + 1]])


def _grain_frame(
    ring: Array,
    corners: dict[CornerRole, int],
    given: Ends | None,
    upright: _Frame,
    panel: PanelName,
) -> _Frame:
    """Return the frame with the grainline as its y axis and the hem line crossing it at 0."""
    a, b = ring[corners["hem_inseam"]], ring[corners["hem_outseam"]]
    if given is not None:
        low, high = upright.to(np.asarray(given, float))
        if low[1] > high[1]:
            low, high = high, low
    else:
        low = (a + b) / 2
        knee = low[1] + _KNEE * (ring[corners["crotch"]][1] - low[1])
        xs = _crossings(ring, knee)
        high = np.array([(min(xs) + max(xs)) / 2, knee])
    along = high - low
    # Where the hem line from corner to corner crosses the grainline.
    base = b - a
    if abs(_cross(along, base)) < 0.1 * math.hypot(*along) * math.hypot(*base) + 1.0:
        raise ProjectError(f"{panel}.grainline", "must run from the hem up to the waist")
    share = _cross(a - low, base) / _cross(along, base)
    origin = low + share * along
    lean = 90 - math.degrees(math.atan2(along[1], along[0]))
    inner = _Frame.turned(lean, origin)
    return _Frame(upright.back(origin[None])[0], upright.spin @ inner.spin)


def _cross(a: Array, b: Array) -> float:
    return float(a[0] * b[1] - a[1] * b[0])


def _crossings(ring: Array, y: float) -> list[float]:
    """Return the x at which a ring crosses height `y`."""
    low, high = ring, np.roll(ring, -1, axis=0)
    crossed = (low[:, 1] <= y) != (high[:, 1] <= y)
    low, high = low[crossed], high[crossed]
    xs = low[:, 0] + (y - low[:, 1]) / (high[:, 1] - low[:, 1]) * (high[:, 0] - low[:, 0])
    return [float(x) for x in xs]


def _side(points: Array, corners: Mapping[CornerRole, int]) -> int:
    """Return on which side of the grainline the outseam lies: -1 left, 1 right."""
    return 1 if points[corners["hem_outseam"]][0] > points[corners["hem_inseam"]][0] else -1


def _in_order(
    points: Array, corners: Mapping[CornerRole, int]
) -> tuple[Array, dict[CornerRole, int]]:
    """Begin the ring at the crotch point and run it down the inseam first."""
    count = len(points)
    start = corners["crotch"]
    order = (np.arange(count) + start) % count
    numbers = {role: (number - start) % count for role, number in corners.items()}
    if numbers["hem_inseam"] > numbers["hem_outseam"]:
        order = (start - np.arange(count)) % count
        numbers = {role: (start - number) % count for role, number in corners.items()}
    return points[order], numbers


def _with_hip(
    points: Array, corners: dict[CornerRole, int], asked: Asked
) -> tuple[Array, dict[CornerRole, int]]:
    """Mark the fullest place of the outseam, where the leg hangs from.

    Proposed is where the outseam is furthest out between the crotch and a hand below the waist;
    where it just goes on outwards, a third of the way from the crotch to the waist.
    """
    if "waist_outseam" not in corners and asked.hip is not None:
        raise ProjectError("hip", "the drawing ends at the hip; leave its height out")
    if "hip" in corners:
        return points, corners
    outseam = points[corners["hem_outseam"] : corners["waist_outseam"] + 1]
    crotch, waist = points[corners["crotch"]][1], outseam[-1][1]
    y = asked.hip
    if y is None:
        y = _fullest(outseam, crotch, waist)
    if not crotch < y <= waist:
        raise ProjectError("hip", "the fullest level must be above the crotch and below the waist")
    at = np.array([np.interp(y, *_rising(outseam)), y])
    longer, number = insert_point(points, at)
    grown = len(longer) - len(points)
    shifted = {role: one + grown * (one >= number) for role, one in corners.items()}
    return longer, shifted | {"hip": number}


def _rising(line: Array) -> tuple[Array, Array]:
    keep = np.concatenate([[True], line[1:, 1] > np.maximum.accumulate(line[:, 1])[:-1]])
    return line[keep, 1], line[keep, 0]


def _fullest(outseam: Array, crotch: float, waist: float) -> float:
    y, x = _rising(outseam)
    low, high = crotch + 0.1 * (waist - crotch), waist - 0.3 * (waist - crotch)
    heights = np.linspace(low, high, 60)
    reaches = np.abs(np.interp(heights, y, x))
    best = int(np.argmax(reaches))
    if best in (0, len(heights) - 1):
        return float(crotch + (waist - crotch) / 3)
    return float(round(heights[best], 1))


def _says(
    traced: Traced, asked: Asked, corners: Mapping[CornerRole, int], points: Array, flip: float
) -> Sequence[str]:
    says = []
    says.append(_allowances_told(asked))
    if asked.grainline is None and traced.grainline is None:
        says.append("The grainline was laid through the middle of hem and knee.")
    if asked.grainline is None and traced.grainline is not None:
        says.append("The grainline is the line along the leg that is drawn in it.")
    if flip < 0:
        says.append("The panel was turned over, so that both are as this program draws them.")
    if "waist_outseam" not in corners:
        says.append("The drawing has the leg only: crotch point and hip are its top.")
    slant = abs(points[corners["hem_inseam"]][1] - points[corners["hem_outseam"]][1])
    if slant > _SQUARE:
        says.append(f"The hem slants by {slant:.0f} mm; the fold-up is mirrored in the slant.")
    return says


def _allowances_told(asked: Asked) -> str:
    """Say what was taken off, or that the line was taken for the seam line."""
    if not asked.includes_any:
        return "The outline was taken for the seam line; no allowance was taken off."
    parts = [f"{asked.seam:g} mm of allowance along the seams"] if asked.seam > 0 else []
    parts += [f"{width:g} mm at the {edge}" for edge, width in asked.edges.items()]
    hem = asked.allowance("hem_inseam", "hem_outseam")
    parts += [f"{hem:g} mm at the hem"] if hem > 0 and asked.hem is not None else []
    return f"Taken off: {listed(parts)}."
