"""A block from a table of levels measured off paper."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np

from legtaper.geometry.curves import Array, Line, MonotoneCubic
from legtaper.leg.block import Block, level_numbers
from legtaper.model.levels import say_level
from legtaper.model.project import (
    EDGES,
    PANELS,
    BlockTable,
    Edge,
    PanelName,
    ProjectError,
    Unit,
    Wearer,
    panel_of,
    seam_of,
)

# Knee height over inside leg: women 0.5741, men 0.5774 (ANSUR II: Gordon et al. 2014,
# NATICK/TR-15/007).
KNEE_OF_INSIDE_LEG = 0.576
# The fullest calf lies about five eighths of the way from hem to knee (common practice).
_CALF_OF_KNEE = 5 / 8
_HEM = 'heights count from the finished hem, so this can only be "0", or left out'
_SAME_HEIGHT = 0.01
"""mm; a panel whose level lies nearer than this to the block's has no height of its own:
rounding."""


def block_from_table(table: BlockTable, unit: Unit, wearer: Wearer | None = None) -> Block:
    """Build the block. Raises `ProjectError` naming the level or edge that is missing or wrong.

    A knee, calf or thigh level that is not given is placed and marked as estimated. Where both
    hips were measured on the wearer, the leg hangs from the fuller of the two.
    """
    given = _checked_heights(table)
    heights, estimated = with_placed_levels(given, unit)
    own = panel_heights(table, given, heights)
    fullest = _fullest(given, table, wearer or Wearer())
    points = {
        edge: _points(table, edge, {**given, **own.get(panel_of(edge), {})}, fullest)
        for edge in EDGES
    }
    seams: dict[Edge, Line] = {edge: MonotoneCubic.through(*points[edge]) for edge in EDGES}
    numbers = level_numbers(given, {str(edge): pair for edge, pair in points.items()}, own)
    return Block(heights, seams, fullest, estimated, table.label, numbers, panel_heights=own)


def _checked_heights(table: BlockTable) -> dict[str, float]:
    heights = {"hem": 0.0} | {level: length.mm for level, length in table.height.items()}
    if "crotch" not in heights:
        raise ProjectError("block.height.crotch", "missing; measure up the grainline from the hem")
    if "hip" not in heights and "high_hip" not in heights:
        raise ProjectError("block.height.hip", "missing; the leg hangs from the fullest level")
    return checked_heights(heights)


def checked_heights(heights: dict[str, float]) -> dict[str, float]:
    """Return heights in mm in their order. Raises `ProjectError` where they can't be."""
    if heights["hem"] != 0:
        raise ProjectError("block.height.hem", _HEM)
    for low, high in _in_order(heights):
        if not heights[high] > heights[low]:
            names = f"the {say_level(high)} must be above the {say_level(low)}"
            raise ProjectError(f"block.height.{high}", f"{names}; levels go up from the hem")
    if len(set(heights.values())) < len(heights):
        ordered = sorted(heights, key=heights.__getitem__)
        one, twin = next((a, b) for a, b in pairwise(ordered) if heights[a] == heights[b])
        names = f"the {say_level(one)} and the {say_level(twin)}"
        raise ProjectError(f"block.height.{twin}", f"{names} have the same height; leave one out")
    return dict(sorted(heights.items(), key=lambda item: item[1]))


def panel_heights(
    table: BlockTable, given: Mapping[str, float], heights: Mapping[str, float]
) -> dict[PanelName, dict[str, float]]:
    """Return the levels that lie elsewhere on one panel, mm, by panel; equal ones are left out.

    `given` are the block's own heights, `heights` those and the placed ones. Raises
    `ProjectError` for a level that the block does not have, or one that would lie out of order.
    """
    found: dict[PanelName, dict[str, float]] = {}
    for name in PANELS:
        said = table.panel_height.get(name, {})
        for level, length in said.items():
            key = f"block.{name}.height.{level}"
            if level not in given:
                raise ProjectError(key, f"block.height.{level} is missing; give that height too")
            if level == "hem" and length.mm != 0:
                raise ProjectError(key, _HEM)
        own = {
            level: length.mm
            for level, length in said.items()
            if abs(length.mm - given[level]) > _SAME_HEIGHT
        }
        if own:
            found[name] = own
            _check_order(name, heights, {**heights, **own})
    return found


def _check_order(name: PanelName, heights: Mapping[str, float], own: Mapping[str, float]) -> None:
    """Refuse a panel on which a level would lie below one that it lies above on the block."""
    for low, high in pairwise(sorted(heights, key=heights.__getitem__)):
        if not own[high] > own[low]:
            moved = high if own[high] != heights[high] else low
            where = "above" if moved == high else "below"
            other = low if moved == high else high
            raise ProjectError(
                f"block.{name}.height.{moved}",
                f"must be {where} the {other}; where that moves with it on the {name}, give "
                f"block.{name}.height.{other} too",
            )


def _in_order(heights: dict[str, float]) -> list[tuple[str, str]]:
    known: list[str] = [
        name for name in ("hem", "calf", "knee", "thigh", "crotch", "hip") if name in heights
    ]
    pairs = list(pairwise(known))
    if "high_hip" in heights:
        pairs.append((known[-1], "high_hip"))
    return pairs


def with_placed_levels(
    given: dict[str, float], unit: Unit
) -> tuple[dict[str, float], frozenset[str]]:
    """Return the heights, mm, with calf, knee and thigh placed where they were not given.

    Beside them stands which ones were placed.
    """
    crotch = given["crotch"]
    below_crotch = 25.4 if unit == "in" else 25.0
    heights = dict(given)
    heights.setdefault("knee", min(KNEE_OF_INSIDE_LEG * crotch, heights.get("thigh", crotch) * 0.9))
    if "calf" in given and "knee" not in given:
        heights["knee"] = max(heights["knee"], (given["calf"] + given.get("thigh", crotch)) / 2)
    heights.setdefault("calf", _CALF_OF_KNEE * heights["knee"])
    if crotch - below_crotch > heights["knee"]:
        heights.setdefault("thigh", crotch - below_crotch)
    else:
        heights.setdefault("thigh", (crotch + heights["knee"]) / 2)
    estimated = frozenset(heights) - frozenset(given)
    return dict(sorted(heights.items(), key=lambda item: item[1])), estimated


def _fullest(given: dict[str, float], table: BlockTable, wearer: Wearer) -> str:
    if "high_hip" not in given:
        return "hip"
    if "hip" not in given:
        return "high_hip"
    if wearer.hip and wearer.high_hip:
        return "high_hip" if wearer.high_hip.mm > wearer.hip.mm else "hip"
    reaches = [table.reach.get("front_outseam", {}), table.reach.get("back_outseam", {})]
    if all("hip" in reach and "high_hip" in reach for reach in reaches):
        widths = {lv: sum(reach[lv].mm for reach in reaches) for lv in ("hip", "high_hip")}
        return max(("hip", "high_hip"), key=widths.__getitem__)
    return "hip"


def _points(
    table: BlockTable, edge: Edge, heights: dict[str, float], fullest: str
) -> tuple[Array, Array]:
    key = "block." + edge.replace("_", ".")
    reach = table.reach.get(edge, {})
    for level in reach:
        if level not in heights:
            missing = f"the height of the {say_level(level)} is missing (block.height.{level})"
            raise ProjectError(f"{key}.{level}", f"{missing}; give that, too")
    inseam = seam_of(edge) == "inseam"
    for level in ("hem", "crotch" if inseam else fullest):
        if level not in reach:
            raise ProjectError(f"{key}.{level}", "missing; measure from grainline to seam line")
    for level, length in reach.items():
        if inseam and heights[level] > heights["crotch"]:
            raise ProjectError(f"{key}.{level}", "an inseam ends at the crotch; leave this out")
        if not length.mm > 0:
            raise ProjectError(f"{key}.{level}", "the seam must be outside the grainline")
    ordered = sorted(reach, key=heights.__getitem__)
    return np.array([heights[lv] for lv in ordered]), np.array([reach[lv].mm for lv in ordered])
