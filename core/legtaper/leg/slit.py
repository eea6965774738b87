"""Where a slit stops: what a drawing of the leg shows before anything is cut."""

from __future__ import annotations

from collections.abc import Mapping

from legtaper.geometry.curves import Line, arc_length, foot, height_after
from legtaper.leg.block import OUTSEAM_SIDE, Block
from legtaper.model.project import PANELS, Edge, PanelName

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
    lines = {name: seams[outseam] for name, (_, outseam) in PANELS.items()}
    lows = {
        name: foot(line, OUTSEAM_SIDE[name], block.hem_slope(name), block.start)
        for name, line in lines.items()
    }
    lengths = [arc_length(lines[name], low, low + height) for name, low in lows.items()]
    if max(lengths) - min(lengths) < _HAIR:
        return {name: low + height for name, low in lows.items()}
    long = sum(lengths) / len(lengths)
    return {name: height_after(lines[name], low, long) for name, low in lows.items()}
