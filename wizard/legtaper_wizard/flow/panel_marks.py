"""What is proposed on a panel of a drawing: corners, grainline and levels, and how each moves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal, cast

import numpy as np

from legtaper.block_sources.drawing_file import Imported
from legtaper.block_sources.imported import block_from_outline
from legtaper.block_sources.panel_outline import Asked, Proposal
from legtaper.geometry.curves import Array, Point
from legtaper.leg.block import Block
from legtaper.model.lengths import say_length
from legtaper.model.project import PANELS, CornerRole, PanelName, Unit
from legtaper_wizard.flow.import_flow import Sheet

_ROLES: Mapping[CornerRole, str] = {
    "crotch": "Crotch point",
    "hem_inseam": "Hem, inseam",
    "hem_outseam": "Hem, outseam",
    "waist_outseam": "Waist, outseam",
    "waist_center": "Waist, center",
}
_LINES = {"grainline": "Grainline", "lean": "Grainline's top"}
_LEVELS = ("hip", "thigh", "knee", "calf")
STEPS: Mapping[Unit, tuple[float, float]] = {"in": (6.35, 3.175), "cm": (5.0, 1.0)}
"""mm of a usual and a fine step."""


PLACED = ", placed"
"""Behind where a level is that no drawing has: it stands by common proportions."""


@dataclass(frozen=True, eq=False)
class Mark:
    """Something proposed that can be moved. `spots` show it, in mm of the panel.

    words: where it is. kind: a corner goes along the outline, a line sideways, a level up.
    """

    id: str
    label: str
    words: str
    kind: Literal["corner", "line", "level"]
    spots: Array


def marks_of(sheet: Sheet, found: Imported, name: PanelName) -> tuple[Mark, ...]:
    """Return all that can be moved on a panel, in order."""
    panel, block = found.panels[name], block_from_outline(found.table, sheet.unit)
    roles = list(_ROLES)
    whole = "waist_outseam" in panel.outline.corners
    roles = roles if whole else [*roles[:3], "hip"]
    marks = [_corner(sheet, panel, role) for role in roles]
    top = max(y for _, y in panel.outline.points)
    laid = sheet.asked.get(name, Asked()).grainline
    ends = np.array([(0.0, 0.0), (0.0, top)])
    marks.append(Mark("grainline", _LINES["grainline"], "moved" if laid else "", "line", ends))
    marks.append(Mark("lean", _LINES["lean"], "", "line", ends[1:]))
    for level in _LEVELS:
        if level != "hip" or whole:
            marks.append(_level(sheet, block, name, level))
    return tuple(marks)


def _corner(sheet: Sheet, panel: Proposal, role: CornerRole) -> Mark:
    spot = np.array([panel.outline.points[panel.outline.corners[role]]])
    label = _ROLES.get(role, "Hip, the top")
    return Mark(role, label, _up(float(spot[0, 1]), sheet.unit), "corner", spot)


def _up(mm: float, unit: Unit) -> str:
    return say_length(mm if abs(mm) > 0.05 else 0.0, unit)


def _level(sheet: Sheet, block: Block, name: PanelName, level: str) -> Mark:
    y, crotch = block.height_on(name, level), block.height_on(name, "crotch")
    inseam, outseam = PANELS[name]
    side = -1 if name == "front" else 1
    inner = -side * float(block.reach(inseam, min(y, crotch)))
    spots = np.array(
        [(side * float(block.reach(outseam, y)), y), (inner if y <= crotch else 0.0, y)]
    )
    said = _up(y, sheet.unit) + (PLACED if level in block.estimated else "")
    return Mark(level, f"{level.capitalize()} level", said, "level", spots)


def moved(sheet: Sheet, found: Imported, name: PanelName, mark: Mark, mm: float) -> Sheet:
    """Return the sheet with something moved by so many mm. Raises `AnswerError` where it can't."""
    asked, panel = sheet.asked.get(name, Asked()), found.panels[name]
    if mark.id in _LEVELS and mark.kind == "level":
        changed = _level_moved(sheet, float(mark.spots[0, 1]) + mm, mark.id)
    elif mark.kind == "line":
        both = 1.0 if mark.id == "grainline" else 0.0
        top = max(y for _, y in panel.outline.points)
        ends = _in_drawing(panel, np.array([(both * mm, 0.0), (mm, top)]))
        line = (_point(ends[0]), _point(ends[1]))
        changed = _with(sheet, name, replace(asked, grainline=line))
    else:
        role = cast("CornerRole", mark.id)
        at = _along(panel, role, mm)
        changed = _with(sheet, name, replace(asked, corners={**asked.corners, role: at}))
    changed.proposed()
    return changed


def put_back(sheet: Sheet, name: PanelName, mark: Mark) -> Sheet:
    """Return the sheet with something where it was proposed."""
    asked = sheet.asked.get(name, Asked())
    if mark.kind == "level" and mark.id != "hip":
        return replace(sheet, height={k: mm for k, mm in sheet.height.items() if k != mark.id})
    if mark.kind == "level":
        return replace(sheet, asked={n: replace(one, hip=None) for n, one in sheet.asked.items()})
    if mark.kind == "line":
        return _with(sheet, name, replace(asked, grainline=None))
    corners = {role: at for role, at in asked.corners.items() if role != mark.id}
    return _with(sheet, name, replace(asked, corners=corners))


def _with(sheet: Sheet, name: PanelName, asked: Asked) -> Sheet:
    return replace(sheet, asked={**sheet.asked, name: asked})


def _level_moved(sheet: Sheet, y: float, level: str) -> Sheet:
    """Move a level; the hip of front and back is one and the same."""
    if level != "hip":
        return replace(sheet, height={**sheet.height, level: round(y, 1)})
    both = {n: replace(sheet.asked.get(n, Asked()), hip=round(y, 1)) for n in PANELS}
    return replace(sheet, asked=both)


def _point(at: Array) -> Point:
    return float(at[0]), float(at[1])


def _in_drawing(panel: Proposal, spots: Array) -> Array:
    """Return places of the panel where the drawing has them."""
    own = np.column_stack([np.array(panel.outline.points), np.ones(len(panel.drawn))])
    frame: Any = np.linalg.lstsq(own, panel.drawn, rcond=None)[0]
    result: Array = np.column_stack([spots, np.ones(len(spots))]) @ frame
    return result


def _along(panel: Proposal, role: CornerRole, mm: float) -> Point:
    """Return the place so many mm along the outline from a corner, at one of its points if near."""
    number = panel.outline.corners[role]
    ring = np.roll(panel.drawn, -number, axis=0)
    closed = np.vstack([ring, ring[:1]])
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    at = mm % run[-1]
    nearest = int(np.argmin(np.abs(run - at)))
    if abs(run[nearest] - at) <= abs(mm) / 2 and 0 < nearest < len(ring):
        return panel.stepped(role, nearest)
    return float(np.interp(at, run, closed[:, 0])), float(np.interp(at, run, closed[:, 1]))


# --- what wants a second look ----------------------------------------------------------------


def doubts(sheet: Sheet, found: Imported) -> tuple[str, ...]:
    """Return what is odd about a block and may be another choice that was meant."""
    block = block_from_outline(found.table, sheet.unit)
    wide = {
        name: sum(float(block.reach(edge, block.heights["knee"])) for edge in edges)
        for name, edges in PANELS.items()
    }
    if wide["back"] < wide["front"]:
        return ("The back is narrower than the front; usually it is wider. Are they exchanged?",)
    return ()
