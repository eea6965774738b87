"""Where a slit stops: what a drawing of the leg shows before anything is cut."""

from __future__ import annotations

from collections.abc import Mapping
from statistics import fmean

from legtaper.geometry.curves import Line, arc_length, foot, height_after
from legtaper.leg.block import OUTSEAM_SIDE, Block
from legtaper.model.lengths import RULER_STEP, size_of
from legtaper.model.project import PANELS, Edge, PanelName, Unit
from legtaper.model.said_lengths import say_fine

_HAIR = 0.05  # mm; seams that differ by less meet (common practice)


def slit_stops(
    block: Block, seams: Mapping[Edge, Line], height: float | None
) -> dict[PanelName, float]:
    """Return where the slit of each panel stops, in mm up the grainline; empty without one.

    `height` counts from the outseam's own hem corner, which a slanted hem has higher or lower than
    at the grainline. Both are equally long along the seam, so that they meet when it is sewn.
    """
    if height is None:
        return {}
    lines, lows = _from_corners(block, seams)
    lengths = _lengths(lines, lows, height)
    if max(lengths) - min(lengths) < _HAIR:
        return {name: low + height for name, low in lows.items()}
    long = sum(lengths) / len(lengths)
    return {name: height_after(lines[name], low, long) for name, low in lows.items()}


def slit_length(block: Block, seams: Mapping[Edge, Line], height: float) -> float:
    """Return how long a slit of that height is along the outseam, mm, as it is sewn."""
    return fmean(_lengths(*_from_corners(block, seams), height))


def longer_along(block: Block, seams: Mapping[Edge, Line], height: float, unit: Unit) -> str | None:
    """Say how long a slit is along the outseam, where a ruler shows that it is more than high."""
    long = slit_length(block, seams, height)
    if long - height < size_of(RULER_STEP[unit]):
        return None
    return say_fine(long, unit)


def _from_corners(
    block: Block, seams: Mapping[Edge, Line]
) -> tuple[dict[PanelName, Line], dict[PanelName, float]]:
    """Return the outseam of each panel, and the height of its hem corner."""
    lines = {name: seams[outseam] for name, (_, outseam) in PANELS.items()}
    lows = {
        name: foot(line, OUTSEAM_SIDE[name], block.hem_slope(name), block.start)
        for name, line in lines.items()
    }
    return lines, lows


def _lengths(
    lines: Mapping[PanelName, Line], lows: Mapping[PanelName, float], height: float
) -> list[float]:
    return [arc_length(lines[name], low, low + height) for name, low in lows.items()]
