"""Outlines as a drawing file has them: closed lines in mm, y up, with what lies inside them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from legtaper.geometry.curves import Array, Point
from legtaper.model.cancel import Going, go_on, wanted
from legtaper.model.lengths import say_length
from legtaper.model.project import ProjectError, Unit
from legtaper.model.safe_text import clean

LARGEST = 8_000_000
"""Bytes. A traced pattern is some thousand; far more is a picture or something else."""

MOST_POINTS = 50_000
"""In all lines of a file. A traced leg has some hundred."""

MOST_STRAIGHT = 4 * MOST_POINTS
"""The same, once curves have become straight pieces."""

_FLAT = 0.01  # mm by which a straight piece may miss a curve: a tenth of a pencil line
_GAP = 0.5  # mm: ends closer than this were meant to meet
_SAME_NOTCH = 10.0  # mm: common practice
_WIDEST_ALLOWANCE = 40.0  # mm: common practice
_LONGEST_MARK = 20.0  # mm: common practice
_MOST_OUTLINES = 60
_LONGEST_ROUND = 15_000.0  # mm; more than thrice the way round the largest panel is all jags
_LEAST_AREA = 10_000.0  # mm2; anything smaller than 10 x 10 cm is no panel of a leg
_LEG = (450.0, 1700.0)  # mm; a child's leg to a tall person's whole piece: common practice
_LIKELY = (600.0, 1400.0)  # mm; a leg of another length is asked about: common practice


@dataclass(frozen=True, eq=False)
class Traced:
    """One line of a drawing that may be a panel.

    points: (n, 2) in mm, y up, the first not repeated at the end; closed: whether it closes.
    names: every name by which the file knows it: its own and those of its groups.
    lines: what is drawn inside it, darts and pleats; notches: where marks touch its edge.
    grainline: its two ends, where one is drawn. layer: of a DXF.
    """

    id: str
    points: Array
    closed: bool
    names: frozenset[str] = frozenset()
    lines: tuple[Array, ...] = ()
    notches: tuple[Point, ...] = ()
    grainline: Array | None = None
    layer: str = ""

    @property
    def area(self) -> float:
        """The area inside the line, mm2, closed by a straight line where it is open."""
        x, y = self.points.T
        return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the box round it, as the drawing lies, mm."""
        wide, high = np.ptp(self.points, axis=0)
        return float(wide), float(high)

    @property
    def longest(self) -> float:
        """The longer side of the box round it, mm."""
        return float(np.ptp(self.points, axis=0).max())


@dataclass(frozen=True, eq=False)
class Line:
    """Any line of a drawing, before it is known what it is."""

    points: Array
    closed: bool
    names: tuple[str, ...] = ()
    kind: str = ""
    """What the file says it is: "panel", "grainline", "notch", "mark" (of no use here), or ""."""
    layer: str = ""
    """Where the file has it, as a DXF says."""


def outlines(lines: Sequence[Line], going: Going = wanted) -> tuple[Traced, ...]:
    """Return every line that may be a panel, largest first, each with what is drawn inside it.

    Raises `ProjectError` where there are more of them than any pattern has, and `Cancelled` where
    `going` says no.
    """
    panels = []
    for line in lines:
        go_on(going)
        panels.append(line.kind in ("", "panel") and _may_be_panel(line))
    big = [line for line, panel in zip(lines, panels, strict=True) if panel]
    if len(big) > _MOST_OUTLINES:
        raise ProjectError("", f"has more than {_MOST_OUTLINES} outlines; save only the two panels")
    rest = _Rest([line for line, panel in zip(lines, panels, strict=True) if not panel])
    found = []
    for number, line in enumerate(big, 1):
        go_on(going)
        found.append(_with_inner(line, rest, number))
    found.sort(key=lambda one: -one.area)
    seen: dict[str, int] = {}
    for number, one in enumerate(found):
        seen[one.id] = seen.get(one.id, 0) + 1
        if seen[one.id] > 1:
            found[number] = replace(one, id=f"{one.id}-{seen[one.id]}")
    return tuple(found)


def ask_about_size(
    lines: Sequence[Line],
    said: str,
    others: Sequence[tuple[str, float]],
    going: Going = wanted,
) -> None:
    """Ask about the unit of a drawing that holds no panel as read, but one in another unit.

    `said` and `others` as for `check_size`. Raises `ProjectError` with the question; where no
    unit makes a leg, nothing is said.
    """
    for name, k in others:
        bigger = [replace(line, points=line.points * k) for line in lines if len(line.points) > 2]
        longest = [
            one.longest
            for one in outlines(bigger, going)
            if _LIKELY[0] <= one.longest <= _LIKELY[1]
        ]
        if longest:
            now, then = max(longest) / k, max(longest)
            raise ProjectError(
                "unit", f"read with {said} its largest outline is {now:.0f} mm long: is it drawn "
                f"in {name}? That would make it {then:.0f} mm")  # fmt: skip


def joined(lines: Sequence[Line], near: float) -> list[Line]:
    """Return lines with open ones put together where their ends meet within `near` mm.

    Put together are lines of one kind; the whole has the names of its first piece. Three ends at
    one place are left apart.
    """
    closed = [line for line in lines if line.closed or line.kind not in ("", "panel")]
    made: list[Line] = []
    for kind in ("", "panel"):
        made += _merged([line for line in lines if not line.closed and line.kind == kind], near)
    return closed + made


def _merged(lines: Sequence[Line], near: float) -> list[Line]:
    import shapely

    ends = []
    for line in lines:
        points = line.points.copy()
        points[[0, -1]] = (points[[0, -1]] / near).round() * near
        ends.append(points)
    whole = [n for n, points in enumerate(ends)
             if len(points) > 2 or np.hypot(*(points[-1] - points[0])) > 0]  # fmt: skip
    if not whole:
        return []
    first = {frozenset(map(tuple, ends[n][:2].tolist())): n for n in reversed(whole)}
    merged = shapely.line_merge(shapely.MultiLineString([ends[n] for n in whole]))
    made = []
    for part in getattr(merged, "geoms", [merged]):
        points = shapely.get_coordinates(part)
        if len(points) < 2:
            continue
        places = list(map(tuple, points.tolist()))
        pairs = (frozenset(pair) for pair in pairwise(places))
        number = min((first[pair] for pair in pairs if pair in first), default=whole[0])
        points, closed = tidy(points, False)
        made.append(replace(lines[number], points=points, closed=closed))
    return made


def _may_be_panel(line: Line) -> bool:
    import shapely

    return float(shapely.MultiPoint(line.points).convex_hull.area) >= _LEAST_AREA


class _Rest:
    """The lines that are no panels, kept so that those near an outline are found at once."""

    def __init__(self, lines: Sequence[Line]) -> None:
        import shapely

        self.lines = lines
        self.drawn = [
            shapely.LineString(np.vstack([line.points, line.points[:1]])) for line in lines
        ]
        self.tree = shapely.STRtree(self.drawn)

    def inside(self, outline: Any) -> list[Line]:
        """Return the lines that lie within an outline, in the order of the file."""
        return [self.lines[i] for i in sorted(self.tree.query(outline, predicate="covers"))]

    def marks(self, edge: Any) -> list[Any]:
        """Return short lines across an edge, and whatever is called a notch close to it."""
        near = sorted(self.tree.query(edge, predicate="dwithin", distance=_WIDEST_ALLOWANCE))
        return [
            self.drawn[i]
            for i in near
            if self.lines[i].kind == "notch"
            or (
                not self.lines[i].kind
                and self.drawn[i].length <= 2 * _LONGEST_MARK
                and self.drawn[i].distance(edge) <= 1.0
            )
        ]


def _with_inner(line: Line, rest: _Rest, number: int) -> Traced:
    import shapely

    name = next((name for name in line.names if name), f"outline-{number}")
    edge = shapely.LineString([*line.points, *line.points[: int(line.closed)]])
    names = frozenset({*line.names, name})
    if edge.length > _LONGEST_ROUND:  # no panel: refused as soon as someone means it
        return Traced(name, line.points, line.closed, names, layer=line.layer)
    notches: list[Point] = []
    marks = rest.marks(edge)
    for mark in marks:
        x, y = shapely.get_coordinates(shapely.shortest_line(edge, mark))[0]
        # A double notch is one place; one on the cut line belongs to the sew line beside it.
        if all(math.dist((x, y), known) > _SAME_NOTCH for known in notches):
            notches.append((float(x), float(y)))
    within = rest.inside(shapely.Polygon(line.points).buffer(1.0))
    grain = [one.points[[0, -1]] for one in within if one.kind == "grainline"]
    inner = [
        np.vstack([one.points, one.points[:1]]) if one.closed else one.points
        for one in within
        if not one.kind and not _is_mark(one, marks)
    ]
    return Traced(
        name,
        line.points,
        line.closed,
        names,
        tuple(inner),
        tuple(notches),
        grain[-1] if grain else _grain_by_place(line.points, inner),
        line.layer,
    )


def _grain_by_place(outline: Array, inner: Sequence[Array]) -> Array | None:
    """Return the one straight line that runs along the leg, from its place and direction.

    Along the leg: a fifth of its length and more, within 10 degrees of the longer side of the
    narrowest box round the outline. Where several do, none is taken for it.
    """
    import shapely

    box = shapely.get_coordinates(shapely.Polygon(outline).minimum_rotated_rectangle)
    sides = np.diff(box[:3], axis=0)
    along = sides[np.argmax(np.hypot(*sides.T))]
    length = float(np.hypot(*along))
    found = []
    for line in inner:
        across = line[-1] - line[0]
        size = float(np.hypot(*across))
        if len(line) == 2 and size >= length / 5:
            turn = abs(float(across @ along)) / (size * length)
            found += [line] if turn >= math.cos(math.radians(10)) else []
    return found[0] if len(found) == 1 else None


def _is_mark(line: Line, marks: Sequence[Any]) -> bool:
    first = tuple(line.points[0])
    return any(first == mark.coords[0] for mark in marks)


def tidy(points: Array, closed: bool) -> tuple[Array, bool]:
    """Return a line without repeated points and needless ones, and whether it closes.

    Ends that nearly meet are closed. Raises `ValueError` for what is no finite number.
    """
    import shapely

    if not np.isfinite(points).all() or np.abs(points).max(initial=0) > 1e6:
        raise ValueError("a coordinate is not a usable number")
    apart = np.hypot(*np.diff(points, axis=0).T) > 1e-6
    points = points[np.concatenate([[True], apart])]
    if len(points) > 3 and np.hypot(*(points[0] - points[-1])) <= _GAP:
        closed, points = True, points[:-1]
    if len(points) > 3:
        ring = np.vstack([points, points[:1]]) if closed else points
        points = shapely.get_coordinates(
            shapely.LineString(ring).simplify(_FLAT / 2, preserve_topology=False)
        )
        points = points[:-1] if closed else points
    return points, closed


def count_points(number: int, most: int = MOST_POINTS) -> None:
    """Refuse a drawing of too many points. Raises `ProjectError`."""
    if number > most:
        raise ProjectError(
            "", f"has more than {most} points; simplify the outlines in the drawing program"
        )


def named(found: Sequence[Traced], name: str, role: str) -> Traced:
    """Return the outline of that name; of several in a group, the largest.

    `role` is "front" or "back", for the error. Raises `ProjectError`.
    """
    if not found:
        raise ProjectError(
            role, "the drawing has no closed outline of the size of a leg; trace the edge in one"
        )
    fits = [one for one in found if name in (one.id, *one.names)]
    if not fits:
        known = ", ".join(clean(one.id, 30) for one in found[:8])
        raise ProjectError(
            role, f'there is no outline "{clean(name, 40)}"; the drawing has {known}'
        )
    exact = [one for one in fits if one.id == name]
    return (exact or fits)[0]


def check_outline(traced: Traced, role: str) -> None:
    """Refuse an outline that crosses itself, or is all jags. Raises `ProjectError`."""
    import shapely

    ring = shapely.Polygon(traced.points)
    if ring.length > _LONGEST_ROUND:
        raise ProjectError(role, "the outline is all jags; simplify it in the drawing program")
    if ring.is_valid and shapely.LineString(traced.points).is_simple:
        return
    import re

    place = re.search(r"\[(-?[\d.]+) (-?[\d.]+)\]", shapely.is_valid_reason(ring))
    at = f", {abs(float(place[2])):.0f} mm from the origin's height" if place else ""
    raise ProjectError(role, f"the outline crosses itself{at}; part the lines in the drawing")


def check_size(
    traced: Traced, role: str, unit: Unit, said: str, others: Sequence[tuple[str, float]]
) -> None:
    """Ask about a leg of an unlikely length. Raises `ProjectError` with the question.

    `said` is the scale that was used, `others` are (scale, factor by which it changes the size).
    """
    longest = traced.longest
    if _LEG[0] <= longest <= _LEG[1]:
        return
    length = say_length(longest, unit)
    likely = [(name, k) for name, k in others if _LIKELY[0] <= longest * k <= _LIKELY[1]]
    question = f"this leg would be {length} long: "
    if likely:
        names = " or ".join(name for name, _ in likely)
        says = say_length(longest * likely[0][1], unit)
        question += f"does the file use {said} or {names}? That would make it {says}"
    else:
        question += f"is it drawn at true size? The file was read with {said}"
    raise ProjectError(role, question)
