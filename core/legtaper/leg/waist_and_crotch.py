"""What a traced piece has above and beside its seams: waist, crotch seam, darts, notches."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from legtaper.geometry.curves import Array, Line, Point
from legtaper.geometry.offset import Width, offset_edge, thinned
from legtaper.leg.block import PanelRest
from legtaper.model.project import AllowanceEdge, SeamName

_ON_EDGE = 3.0  # mm by which a notch may miss the edge it belongs to: common practice
_LONGEST_MITRE = 60.0  # mm from the net corner: common practice


@dataclass(frozen=True, eq=False)
class Notch:
    """A place where two edges must meet: on the net line, `outward` a unit vector.

    level: its name, or "blend", or "own-1" and so on for those of a traced block's drawing.
    """

    at: Point
    outward: Point
    allowance: float
    level: str
    edge: AllowanceEdge


@dataclass(frozen=True, eq=False)
class Top:
    """The upper edge of a whole piece, from the outseam to the crotch point.

    outer, inner: the cut lines beside outseam and inseam, upwards, ended where the top meets them.
    """

    net: Array
    cut: Array
    outer: Array
    inner: Array


def close_top(rest: PanelRest, outer: Array, inner: Array, side: int, allowance: Width) -> Top:
    """Join the cut lines beside outseam and inseam (upwards) over the waist and the crotch seam.

    `side` is where the outseam lies, 1 for the right.
    """
    waist = offset_edge(rest.waist, allowance["waist"], side)
    crotch = offset_edge(rest.crotch, allowance["crotch"], side)
    outer, waist = meet(outer, waist, rest.waist[0])
    waist, crotch = meet(waist, crotch, rest.crotch[0])
    crotch, downwards = meet(crotch, inner[::-1], rest.crotch[-1])
    net = np.vstack([rest.waist, rest.crotch[1:]])
    return Top(net, np.vstack([waist, crotch]), outer, downwards[::-1])


def meet(first: Array, second: Array, corner: Array) -> tuple[Array, Array]:
    """Return two cut lines, the second after the first, so that they meet beside a net corner.

    Where they cross they are cut off there; else both are carried on straight to a mitre. Where
    that would be long, a short straight piece joins them.
    """
    import shapely

    crossing = shapely.LineString(first).intersection(shapely.LineString(second))
    spots = shapely.get_coordinates(crossing)
    if len(spots):
        spot = spots[np.argmin(np.hypot(*(spots - corner).T))]
        return _up_to(first, spot), _up_to(second[::-1], spot)[::-1]
    ahead, back = first[-1] - first[-2], second[0] - second[1]
    cross = ahead[0] * back[1] - ahead[1] * back[0]
    if abs(cross) <= 1e-6 * np.hypot(*ahead) * np.hypot(*back):
        return first, second
    gap = second[0] - first[-1]
    on = (gap[0] * back[1] - gap[1] * back[0]) / cross
    spot = first[-1] + on * ahead
    over = (spot - second[0]) @ back
    if on < 0 or over < 0 or np.hypot(*(spot - corner)) > _LONGEST_MITRE:
        return first, second
    return np.vstack([first, spot]), np.vstack([spot, second])


def _up_to(line: Array, spot: Array) -> Array:
    """Return a line cut off at a point on it."""
    ends = np.diff(line, axis=0)
    square = np.maximum((ends * ends).sum(axis=1), 1e-12)
    share = np.clip(((spot - line[:-1]) * ends).sum(axis=1) / square, 0, 1)
    off = np.hypot(*(line[:-1] + share[:, None] * ends - spot).T)
    piece = int(np.argmin(off))
    return np.vstack([line[: piece + 1], spot])


def own_notches(
    rest: PanelRest, seams: tuple[Line, Line], outseam: int
) -> tuple[Mapping[SeamName, list[float]], list[Point]]:
    """Return the notches of a drawing: by seam the heights of those on it, and the other places.

    `seams` are the old inseam and outseam; `outseam` is 1 where the outseam lies at the right.
    """
    on_seams: dict[SeamName, list[float]] = {"inseam": [], "outseam": []}
    above: list[Point] = []
    for x, y in rest.notches:
        off: dict[SeamName, float] = {
            "inseam": abs(-outseam * float(seams[0].at(y)) - x),
            "outseam": abs(outseam * float(seams[1].at(y)) - x),
        }
        seam = min(off, key=off.__getitem__)
        top = float(seams[0 if seam == "inseam" else 1].knots[-1])
        if _far_from_top(rest, (x, y)) < min(off[seam], _ON_EDGE):
            above.append((x, y))
        elif off[seam] <= _ON_EDGE and y <= top:
            on_seams[seam].append(y)
    return on_seams, above


def _far_from_top(rest: PanelRest, at: Point) -> float:
    if not rest.whole:
        return math.inf
    return min(_beside(line, np.array(at), 1)[0] for line in (rest.waist, rest.crotch))


def top_notches(
    rest: PanelRest, places: Sequence[Point], width: Width, outseam: int
) -> Iterator[Notch]:
    """Return the notches of a drawing on the waist and the crotch seam, where they were."""
    edges: tuple[AllowanceEdge, AllowanceEdge] = "waist", "crotch"
    for number, place in enumerate(places, 1):
        found = []
        for edge, line in zip(edges, (rest.waist, rest.crotch), strict=True):
            far, spot, out = _beside(line, np.array(place), outseam)
            found.append((far, Notch(spot, out, width[edge], f"own-{number}", edge)))
        yield min(found, key=lambda one: one[0])[1]


def seam_notch(
    seam: Line, side: int, y: float, allowance: float, named: tuple[str, SeamName]
) -> Notch:
    """Return a notch at a height of a seam; `named` is its name and the seam it stands on."""
    slope = float(seam.slope(y - 1e-6))
    length = float(np.hypot(1, slope))
    return Notch((side * float(seam.at(y)), y), (side / length, -slope / length), allowance, *named)


def _beside(line: Array, at: Array, outward: int) -> tuple[float, Point, Point]:
    """Return how far a point is from a line, the place on it, and which way is out there."""
    ends = np.diff(line, axis=0)
    square = np.maximum((ends * ends).sum(axis=1), 1e-12)
    share = np.clip(((at - line[:-1]) * ends).sum(axis=1) / square, 0, 1)
    spots = line[:-1] + share[:, None] * ends
    far = np.hypot(*(spots - at).T)
    piece = int(np.argmin(far))
    along = ends[piece] / np.hypot(*ends[piece])
    spot = spots[piece]
    out = (outward * float(along[1]), -outward * float(along[0]))
    return float(far[piece]), (float(spot[0]), float(spot[1])), out


def lines_inside(rest: PanelRest, net: Array) -> tuple[Array, ...]:
    """Return the darts and pleats of a drawing, as far as they lie on the narrowed piece."""
    import shapely

    piece = thinned(net, closed=True).buffer(0.5)
    found: list[Array] = []
    for line in rest.lines:
        kept = shapely.LineString(line).intersection(piece)
        parts = [part for part in getattr(kept, "geoms", [kept]) if part.length > 1.0]
        found += [shapely.get_coordinates(part) for part in parts]
    return tuple(found)


def own_hem(rest: PanelRest, left: Point, right: Point, outseam: int) -> Array:
    """Return the curve of a traced hem, fitted between the new corners from left to right."""
    hem = rest.hem if outseam > 0 else rest.hem[::-1]
    old = hem[-1] - hem[0]
    square = float(old @ old)
    share = ((hem - hem[0]) @ old) / square
    off = ((hem - hem[0]) @ np.array([-old[1], old[0]])) / np.sqrt(square)
    new = np.subtract(right, left)
    across = np.array([-new[1], new[0]]) / np.hypot(*new)
    result: Array = np.asarray(left) + share[:, None] * new + off[:, None] * across
    return result
