"""A hem facing as a piece: outline, grainline, notch, slit mark, and words at both ends."""

from __future__ import annotations

import numpy as np

from legtaper.geometry.curves import Array
from legtaper.leg.block import OUTSEAM_SIDE
from legtaper.leg.panel import Facing, Panel
from legtaper.outputs.drawing import Label, Piece, Stroke
from legtaper.outputs.piece_words import Place, Printing, facing_lines, piece_title

_NOTCH = 6.0  # mm long, and mm between the two of a double notch
_LARGEST = 4.0  # mm high, the words


def facing_piece(panel: Panel, facing: Facing, printing: Printing, place: Place, key: str) -> Piece:
    """Return the facing of a panel as a piece; `key` is how its ids begin."""
    x = _grain_at(facing)
    low, high = _heights(facing.net, x)
    grain = np.array([(x, low + 0.1 * (high - low)), (x, high - 0.1 * (high - low))])
    strokes = [
        Stroke(f"{key}-cut", "cut", facing.cut, closed=True),
        Stroke(f"{key}-net", "net", facing.net, closed=True),
        Stroke(f"{key}-grainline", "grainline", grain),
        *hem_notches(key, panel, facing),
    ]
    if panel.slit is not None:
        strokes.append(Stroke(f"{key}-slit", "slit", _slit_edge(panel.slit, facing.cut)))
    labels = _labels(panel, facing, printing, place)
    quantity = 1 if printing.side(place.leg) else 2
    return Piece(key, piece_title(printing, place), tuple(strokes), labels, quantity)


def hem_notches(key: str, panel: Panel, facing: Facing) -> list[Stroke]:
    """Return the notch at the middle of a faced hem, single in front and double at the back.

    The panel and its facing have it at the same place, so that the two meet.
    """
    at = (0.0,) if panel.name == "front" else (-_NOTCH / 2, _NOTCH / 2)
    return [
        Stroke(
            f"{key}-notch-hem-middle-{number}",
            "notch",
            np.array([(x, _lowest(facing.cut, x)), (x, _lowest(facing.cut, x) + _NOTCH)]),
        )
        for number, x in enumerate(at, 1)
    ]


def _grain_at(facing: Facing) -> float:
    """Return where the grainline stands: near an end, so that words have room beside it."""
    left, right = float(facing.net[:, 0].min()), float(facing.net[:, 0].max())
    return left + min(14.0, 0.15 * (right - left))


def _heights(ring: Array, x: float) -> tuple[float, float]:
    """Return between which heights a facing lies at `x`."""
    return _lowest(ring, x), -_lowest(ring * (1, -1), x)


def _lowest(ring: Array, x: float) -> float:
    """Return the lowest height at which a closed outline crosses the upright line at `x`."""
    closed = np.vstack([ring, ring[:1]])
    left = closed[:, 0] <= x
    crossed = np.flatnonzero(left[:-1] != left[1:])
    start, end = closed[crossed], closed[crossed + 1]
    share = (x - start[:, 0]) / (end[:, 0] - start[:, 0])
    return float((start[:, 1] + share * (end[:, 1] - start[:, 1])).min())


def _slit_edge(slit: Array, cut: Array) -> Array:
    """Return the outseam of the facing that the slit leaves open, up to the cut edge at most."""
    import shapely

    inside = shapely.LineString(slit).intersection(shapely.Polygon(cut))
    edge: Array = shapely.get_coordinates(inside)
    return edge


def _labels(panel: Panel, facing: Facing, printing: Printing, place: Place) -> tuple[Label, ...]:
    low, high = _heights(facing.net, 0.0)
    depth, middle = high - low, (low + high) / 2
    left, right = float(facing.net[:, 0].min()), float(facing.net[:, 0].max())
    start = _grain_at(facing)
    name, how = facing_lines(printing, place)
    size = min(_LARGEST, depth / 8, (right - start) / (0.6 * len(how) + 6))
    ends = ("outseam", "inseam") if OUTSEAM_SIDE[panel.name] < 0 else ("inseam", "outseam")
    center = (start + right) / 2 - size
    return (
        Label(name, (center, middle + 0.8 * size), size, anchor="middle"),
        Label(how, (center, middle - 1.2 * size), size, anchor="middle"),
        Label(ends[0], (left + 2.2 * size, middle), size, angle=90, anchor="middle"),
        Label(ends[1], (right - 1.4 * size, middle), size, angle=90, anchor="middle"),
    )
