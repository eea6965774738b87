"""Cut lines: allowances outside the finished net line, mitred, and mirrored where the hem folds."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import numpy as np

from legtaper.geometry.curves import Array, Point
from legtaper.model.project import Allowance, AllowanceEdge, ProjectError, Unit

LARGEST = 101.6
"""mm; no allowance is wider than 4 in: common practice."""
SEAM = {"in": 15.875, "cm": 15.0}
"""Common practice: 5/8 in, or 1.5 cm."""

SLIT = {"in": 25.4, "cm": 25.0}
"""What folds back beside a slit: common practice, 1 in or 2.5 cm."""

TEST = {"in": 25.4, "cm": 25.0}
"""Along the outseams of a muslin, which are let out in it: common practice, 1 in or 2.5 cm."""

_MITRE_LIMIT = 4.0
"""A mitre longer than this many allowances is cut square instead."""

_DENSE = 2000
"""Points on an edge; 1 m of seam has one every half a millimeter then."""

Width = Mapping[AllowanceEdge, float]


def allowance_widths(allowance: Allowance, unit: Unit) -> dict[AllowanceEdge, float]:
    """Return the allowance of every edge, mm, with the defaults filled in."""
    seam = allowance.seam.mm if allowance.seam else SEAM[unit]
    usual: dict[AllowanceEdge, float] = {
        "outseam": seam,
        "inseam": seam,
        "waist": seam,
        "crotch": seam,
        "slit": max(seam, SLIT[unit]),
    }
    given = {edge: length.mm for edge, length in allowance.edges.items()}
    for edge, mm in (("seam", seam), *given.items()):
        _refuse_wide(edge, mm)
    return usual | given


def muslin_widths(allowance: Allowance, unit: Unit) -> dict[AllowanceEdge, float]:
    """Return the allowances of a muslin, mm: wide along the outseams, else as for the garment.

    Unless a width is given, it is never less than the garment's own.
    """
    widths = allowance_widths(allowance, unit)
    wide = allowance.test.mm if allowance.test else max(TEST[unit], widths["outseam"])
    _refuse_wide("test", wide)
    return {**widths, "outseam": wide, "slit": max(widths["slit"], wide)}


def _refuse_wide(edge: str, mm: float) -> None:
    if mm > LARGEST:
        raise ProjectError(f"allowance.{edge}", "above 4 in (10.1 cm) is no allowance")


def offset_edge(edge: Array, width: float, outward: int) -> Array:
    """Return the cut line beside one edge (n, 2): parallel, `width` mm to the side `outward`.

    `outward` is +1 for the right-hand side of an edge that runs upwards, -1 for the left.
    Raises `ProjectError` where the edge turns so tightly that nothing is left beside it.
    """
    import shapely

    if width < 0.01:  # less could not be cut
        return edge
    line = thinned(edge, closed=False).offset_curve(-outward * width, join_style="mitre")
    result: Array = shapely.get_coordinates(line)
    if len(result) < 2:
        raise ProjectError("allowance", "this outline has no room for it; smooth it, or give less")
    return result


def thinned(points: Array, *, closed: bool) -> Any:
    """Return points (n, 2) as a shapely line or polygon, without those that say nothing.

    Only where there are more of them than any curve needs: what lies beside a line takes shapely
    more than in proportion to its points. A thousandth of a mm is far below what can be cut.
    """
    import shapely

    shape = shapely.Polygon(points) if closed else shapely.LineString(points)
    return shape.simplify(0.001, preserve_topology=False) if len(points) > _DENSE else shape


def to_line(edge: Array, start: Point, end: Point) -> Array:
    """Return a cut line cut off, or carried on along its end, to begin on the line start-end."""
    along = np.subtract(end, start)
    across = np.array([-along[1], along[0]]) / np.hypot(*along)
    far = (edge - start) @ across
    above = np.flatnonzero(far > 1e-9)
    if not len(above):
        return edge
    i = max(int(above[0]), 1)  # the piece from i - 1 to i crosses the line, or is carried on to it
    share = far[i - 1] / (far[i - 1] - far[i])
    first = edge[i - 1] + share * (edge[i] - edge[i - 1])
    return np.vstack([first, edge[i:]])


def mitre(edge: Array, corner: Point, other: Point, width: float) -> Array:
    """Return a cut line with its end carried on to the line through `corner` and `other`.

    `corner` is the net corner the cut line passes by at `width` mm. Where the two run so nearly
    alike that the mitre would be long, the end stays square.
    """
    tip, back = edge[-1], edge[-2]
    direction, along = tip - back, np.subtract(other, corner)
    cross = direction[0] * along[1] - direction[1] * along[0]
    if abs(cross) > 1e-9 * np.hypot(*direction) * np.hypot(*along):
        gap = np.subtract(corner, tip)
        share = (gap[0] * along[1] - gap[1] * along[0]) / cross
        meet = tip + share * direction
        if np.hypot(*(meet - corner)) <= _MITRE_LIMIT * width:
            if share >= 0:
                return np.vstack([edge, meet])
            return _cut_back(edge, corner, along)
    return np.vstack([edge, corner])


def _cut_back(edge: Array, corner: Point, along: Array) -> Array:
    """Cut an edge off where it first crosses the line from `corner` along `along`."""
    side = (edge - corner) @ np.array([-along[1], along[0]])
    crossed = np.flatnonzero(np.sign(side[1:]) != np.sign(side[:-1]))
    if not len(crossed):
        return np.vstack([edge, corner])
    i = int(crossed[-1])
    share = side[i] / (side[i] - side[i + 1])
    return np.vstack([edge[: i + 1], edge[i] + share * (edge[i + 1] - edge[i])])


def crosses_itself(outline: Array) -> bool:
    """Whether a closed outline (n, 2) crosses itself, so that it could not be cut."""
    import shapely

    return not shapely.LinearRing(outline).is_simple


def crossing(outline: Array) -> Point:
    """Return a place where an outline that crosses itself does so."""
    import shapely

    reason = shapely.is_valid_reason(shapely.Polygon(outline))
    place = re.search(r"\[(\S+) (\S+)\]", reason)
    # An outline that only runs back on itself has no such place; it does so at its lowest point.
    x, y = map(float, place.groups()) if place else outline[np.argmin(outline[:, 1])].tolist()
    return x, y
