"""The upper part of a drafted block: hip curve, waist, darts and crotch seam, so it can be sewn.

Plain straight drafting by common practice; like the leg it is a start that wants fitting.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from legtaper.block_sources.drafted import Draft
from legtaper.block_sources.measured import block_from_table
from legtaper.geometry.curves import Array, Line
from legtaper.leg.block import OUTSEAM_SIDE, Block
from legtaper.model.project import PANELS, BlockTable, CornerRole, Lengths, PanelName, PanelOutline

_STEP = 5.0  # mm of height between the points of a seam
_MOST_AT_SIDE = 22.0  # mm that the hip curve may take off; darts take the rest


@dataclass(frozen=True, slots=True)
class _Shape:
    """What front and back do not share, mm: the center's lean and rise, the dart's length."""

    lean: float
    rise: float
    dart: float


_SHAPES: dict[PanelName, _Shape] = {
    "front": _Shape(10.0, 0.0, 90.0),
    "back": _Shape(15.0, 20.0, 130.0),
}


def whole_table(draft: Draft) -> BlockTable:
    """Return the drafted block as two whole pieces, up to the waist.

    The draft must know the waist (`Draft.reaches_waist`). Half of hip and waist girth with ease
    lies on the two panels together, darts closed.
    """
    block = block_from_table(draft.table, draft.unit)
    panels = {name: _panel(name, block, draft) for name in PANELS}
    height = {
        level: length
        for level, length in draft.table.height.items()
        if level not in ("hem", "crotch", "hip")
    }
    # The lower crotch point is the block's own, so the thigh of that panel is, too.
    own = draft.table.panel_height.get("back", {})
    front: dict[PanelName, Lengths] = {"front": {"thigh": height["thigh"]}} if own else {}
    height |= {level: length for level, length in own.items() if level == "thigh"}
    return replace(draft.table, height=height, reach={}, outline=panels, panel_height=front)


def _panel(name: PanelName, block: Block, draft: Draft) -> PanelOutline:
    """Draw a panel with u running from the outseam (negative) to the inseam (positive)."""
    inseam, outseam = PANELS[name]
    shape = _SHAPES[name]
    inner = _seam(block.seams[inseam], block.seam_top(inseam))[::-1]
    outer = _seam(block.seams[outseam], block.top) * (-1, 1)
    hip_half = _half(draft, "hip", name)
    center = hip_half + outer[-1, 0]  # where the center seam stands at the hip
    waist = block.heights["crotch"] + draft.number("rise")
    middle = np.array([center - shape.lean, waist + shape.rise])
    spare = hip_half - shape.lean - _half(draft, "waist", name)
    at_side = min(spare, _MOST_AT_SIDE)
    dart = max(0.0, spare - at_side)
    side = np.array([outer[-1, 0] + at_side, waist])
    curve = _hip_curve(outer[-1], side)
    seat = _crotch_seam(inner[0], np.array([center, block.top]), middle)
    ring = np.vstack([inner, outer, curve[1:], middle, seat[1:-1]])
    hip = len(inner) + len(outer) - 1
    corners: dict[CornerRole, int] = {
        "crotch": 0,
        "hem_inseam": len(inner) - 1,
        "hem_outseam": len(inner),
        "hip": hip,
        "waist_outseam": hip + len(curve) - 1,
        "waist_center": hip + len(curve),
    }
    lines = [_dart(side, middle, dart, shape.dart)] if dart > 2 else []
    knee = block.heights["knee"]
    notches = np.array([(-float(block.reach(outseam, knee)), knee), (center, block.top)])
    flip = (-OUTSEAM_SIDE[name], 1)
    return PanelOutline(
        _plain(ring * flip),
        corners,
        tuple(_plain(line * flip) for line in lines),
        _plain(notches * flip),
    )


def _half(draft: Draft, girth: str, name: PanelName) -> float:
    """Return a panel's share of half a girth with its ease."""
    quarter = (draft.number(girth) + draft.number(f"ease_{girth}")) / 4
    return quarter + (1 if name == "back" else -1) * draft.number("back_wider") / 4


def _seam(seam: Line, top: float) -> Array:
    y = np.unique(np.append(np.linspace(0, top, int(top / _STEP) + 2), seam.knots))
    return np.column_stack([seam.at(y), y])


def _hip_curve(hip: Array, waist: Array) -> Array:
    """Return the outseam from hip to waist: upright at the hip, then in towards the waist."""
    t = np.linspace(0, 1, 21)[:, None]
    over = np.array([hip[0], hip[1] + 0.5 * (waist[1] - hip[1])])
    result: Array = (1 - t) ** 2 * hip + 2 * t * (1 - t) * over + t**2 * waist
    return result


def _crotch_seam(point: Array, center: Array, waist: Array) -> Array:
    """Return the center seam from the waist down, then round to the crotch point."""
    down = (center - waist) / np.hypot(*(center - waist))
    turn = center + down * 0.55 * (center[1] - point[1])
    level = np.array([point[0] + 0.6 * (center[0] - point[0]), point[1] + 1.0])
    t = np.linspace(0, 1, 31)[:, None]
    curve = (1 - t) ** 3 * center + 3 * t * (1 - t) ** 2 * turn
    curve += 3 * t**2 * (1 - t) * level + t**3 * point
    return np.vstack([waist, curve])


def _dart(side: Array, middle: Array, width: float, length: float) -> Array:
    """Return both legs of a dart that stands square to the waist, at its middle."""
    along = (middle - side) / np.hypot(*(middle - side))
    down = np.array([along[1], -along[0]])
    at = (side + middle) / 2
    return np.array([at - along * width / 2, at + down * length, at + along * width / 2])


def _plain(points: Array) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in points.round(3) + 0.0)
