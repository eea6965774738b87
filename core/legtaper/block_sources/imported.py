"""A block from two traced panels: the seams are the outline's own points."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from legtaper.block_sources.measured import (
    checked_heights,
    panel_heights,
    with_placed_levels,
)
from legtaper.geometry.curves import Array, Line, Polyline
from legtaper.leg.block import OUTSEAM_SIDE, Block, PanelRest, level_numbers
from legtaper.model.lengths import Length
from legtaper.model.project import (
    PANELS,
    BlockTable,
    CornerRole,
    Edge,
    PanelName,
    PanelOutline,
    ProjectError,
    Unit,
    Wearer,
)

_BELOW = 80.0  # mm by which a seam is carried on below the hem, for a hem line that slants
_FOOT = 20.0  # mm of a seam above the hem that give its direction there
_SHORTEST = 150.0  # mm from hem to crotch point
_STEEPEST = 0.4  # rise of a hem line over its width
_SAME_CROTCH = 0.05  # mm; nearer than this both crotch points are at one height
_APART = 5.0  # mm by which front and back may differ in the height of the hip


def block_from_outline(table: BlockTable, unit: Unit, wearer: Wearer | None = None) -> Block:
    """Build the block of two outlines. Raises `ProjectError` naming the panel and what is wrong.

    Levels besides hem, crotch and hip come from the table's heights, or are placed.
    """
    panels = {name: _Panel(name, _outline(table, name)) for name in PANELS}
    crotch = min(panel.height("crotch") for panel in panels.values())
    hips = [panel.height("hip") for panel in panels.values()]
    if max(hips) - min(hips) > _APART:
        raise ProjectError(
            "block.outline.back",
            f"its hip is {max(hips) - min(hips):.0f} mm off the front's; move one of the two",
        )
    given = {"hem": 0.0, "crotch": crotch, "hip": min(hips)}
    for level, length in table.height.items():
        known = given.get(level, length.mm)
        if abs(known - length.mm) > 1.0:
            raise ProjectError(
                f"block.height.{level}", f"the outline has it at {known:.1f} mm; leave this out"
            )
        given.setdefault(level, length.mm)
    given = checked_heights(given)
    heights, estimated = with_placed_levels(given, unit)
    own = _panel_heights(table, panels, given, heights)
    seams: dict[Edge, Line] = {}
    for name, (inseam, outseam) in PANELS.items():
        seams[inseam], seams[outseam] = panels[name].inseam, panels[name].outseam
    numbers = level_numbers(given, {name: _columns(panel) for name, panel in panels.items()})
    rests = {name: panel.rest for name, panel in panels.items()}
    fullest = _fullest(given, seams, wearer or Wearer())
    return Block(heights, seams, fullest, estimated, table.label, numbers, rests, own)


def _panel_heights(
    table: BlockTable,
    panels: Mapping[PanelName, _Panel],
    given: Mapping[str, float],
    heights: Mapping[str, float],
) -> dict[PanelName, dict[str, float]]:
    """Return the levels that lie elsewhere on one panel: the higher crotch point as traced."""
    own = panel_heights(table, given, heights)
    for name, panel in panels.items():
        crotch = panel.height("crotch")
        told = own.get(name, {}).get("crotch", crotch)
        if abs(told - crotch) > 1.0:
            raise ProjectError(
                f"block.{name}.height.crotch",
                f"the outline has it at {crotch:.1f} mm; leave this out",
            )
        if abs(crotch - given["crotch"]) > _SAME_CROTCH:
            own[name] = {**own.get(name, {}), "crotch": crotch}
    return own


def _fullest(given: Mapping[str, float], seams: Mapping[Edge, Line], wearer: Wearer) -> str:
    """Return the level that the leg hangs from: the fuller hip, as far up as both seams go."""
    if "high_hip" not in given or wearer.hip is None or wearer.high_hip is None:
        return "hip"
    top = min(float(seams[outseam].knots[-1]) for _, outseam in PANELS.values())
    return "high_hip" if wearer.high_hip.mm > wearer.hip.mm and given["high_hip"] <= top else "hip"


def _columns(panel: _Panel) -> tuple[Array, Array]:
    x, y = panel.points.T
    return y, x


def _outline(table: BlockTable, name: PanelName) -> PanelOutline:
    if name not in table.outline:
        raise ProjectError(f"block.outline.{name}", "missing; trace both panels")
    return table.outline[name]


class _Panel:
    """One traced panel, checked, and taken apart at its corners."""

    def __init__(self, name: PanelName, outline: PanelOutline) -> None:
        self.key, self.side = f"block.outline.{name}", OUTSEAM_SIDE[name]
        self.points = np.array(outline.points, float).reshape(-1, 2)
        self.corners = outline.corners
        self._check(outline)
        self.inseam = self._seam(self.part("crotch", "hem_inseam")[::-1], -self.side, "inseam")
        self.whole = "waist_outseam" in self.corners
        top: CornerRole = "waist_outseam" if self.whole else "hip"
        self.outseam = self._seam(self.part("hem_outseam", top), self.side, "outseam")
        empty = np.empty((0, 2))
        self.rest = PanelRest(
            hem=self.part("hem_inseam", "hem_outseam"),
            waist=self.part("waist_outseam", "waist_center") if self.whole else empty,
            crotch=self.part("waist_center", "crotch") if self.whole else empty,
            lines=tuple(np.array(line, float) for line in outline.lines if len(line) > 1),
            notches=outline.notches,
        )
        if abs(self.rest.hem[-1, 0] - self.rest.hem[0, 0]) < 20 or abs(self.rest.slope) > _STEEPEST:
            raise ProjectError(self.key, "its hem is too steep or too short; move its corners")

    def height(self, role: CornerRole) -> float:
        return float(self.points[self.corners[role]][1])

    def part(self, start: CornerRole, end: CornerRole) -> Array:
        """Return the points from one corner to another, along the ring."""
        first, last = self.corners[start], self.corners[end]
        if last < first:  # only the way back to the crotch point passes the end of the list
            return np.vstack([self.points[first:], self.points[: last + 1]])
        return self.points[first : last + 1]

    def _check(self, outline: PanelOutline) -> None:
        roles: list[CornerRole] = ["crotch", "hem_inseam", "hem_outseam", "hip"]
        if "waist_outseam" in self.corners or "waist_center" in self.corners:
            roles += ["waist_outseam", "waist_center"]
        missing = next((role for role in roles if role not in self.corners), None)
        if missing is not None:
            raise ProjectError(f"{self.key}.corners.{missing}", "missing; say which point it is")
        numbers = [self.corners[role] for role in roles]
        if numbers != sorted(set(numbers)):
            raise ProjectError(f"{self.key}.corners", f"must come in the order {', '.join(roles)}")
        if max(numbers) >= len(outline.points):
            raise ProjectError(f"{self.key}.corners", "name a point that is not there")
        if not self.height("crotch") > self.height("hem_inseam") + _SHORTEST:
            raise ProjectError(
                f"{self.key}.corners.crotch", "must be well above the hem; points count in mm"
            )

    def _seam(self, line: Array, side: int, name: str) -> Polyline:
        """Return a seam upwards as a function of height, carried on a little below the hem."""
        rising = np.concatenate([[True], line[1:, 1] > np.maximum.accumulate(line[:, 1])[:-1]])
        if np.maximum.accumulate(line[:, 1])[-1] > line[-1, 1] + 0.5 or (
            (np.maximum.accumulate(line[:, 1]) - line[:, 1]).max() > 0.5
        ):
            raise ProjectError(self.key, f"its {name} turns down again on the way up")
        y, reach = line[rising, 1], side * line[rising, 0]
        keep = np.concatenate([[True], np.diff(y) > 1e-6])
        y, reach = y[keep], reach[keep]
        if len(y) < 2:
            raise ProjectError(self.key, f"its {name} has no length")
        if not reach.min() > 0:
            raise ProjectError(self.key, f"its {name} must be outside the grainline all the way")
        foot = min(y[0] + _FOOT, y[-1])
        slope = (np.interp(foot, y, reach) - reach[0]) / (foot - y[0])
        low = min(0.0, y[0]) - _BELOW
        return Polyline(np.append(low, y), np.append(reach[0] + slope * (low - y[0]), reach))


def outline_table(
    panels: Mapping[PanelName, PanelOutline],
    label: str = "",
    height: Mapping[str, Length] | None = None,
) -> BlockTable:
    """Return the table of an imported block; `height` holds levels between hem and crotch."""
    return BlockTable(label, dict(height or {}), {}, dict(panels))
