"""The pictures of a drawing: small ones to choose from, a panel with its marks, and a close-up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

import numpy as np

from legtaper.block_sources.panel_outline import Proposal
from legtaper.block_sources.traced import Traced
from legtaper.geometry.curves import Array
from legtaper.outputs.terminal_plot import Trace, paint
from legtaper_wizard.flow.panel_marks import Mark
from legtaper_wizard.tui.layout.picture import Room
from legtaper_wizard.tui.layout.styled_text import Line

_CLOSE = 90.0  # mm that a close-up shows up and down from its middle
_SMALL = 0.022  # half the size of a mark, as a share of the panel's height
_HERE = 0.045


def thumbnail(outline: Traced, room: Room, chosen: bool) -> list[Line]:
    """Return an outline as the drawing has it; one that is chosen is drawn solid."""
    points = outline.points
    ring = np.vstack([points, points[:1]]) if outline.closed else points
    return _painted([Trace(ring, "new" if chosen else "old")], room)


def panel_picture(panel: Proposal, marks: Sequence[Mark], here: Mark, room: Room) -> list[Line]:
    """Return a panel with all its marks, the one that is moved larger and solid."""
    tall = float(np.ptp(np.array(panel.outline.points)[:, 1]))
    return _painted(_traces(panel, marks, here, tall), room)


def close_up(panel: Proposal, marks: Sequence[Mark], here: Mark, room: Room) -> list[Line]:
    """Return what lies round the mark that is moved."""
    x, y = here.spots[0]
    wide = _CLOSE * room.width / max(2 * room.height, 1)
    box = (x - wide, y - _CLOSE, x + wide, y + _CLOSE)
    return _painted(_traces(panel, marks, here, 3 * _CLOSE), room, box)


def _traces(panel: Proposal, marks: Sequence[Mark], here: Mark, tall: float) -> list[Trace]:
    points = np.array(panel.outline.points)
    traces = [Trace(np.vstack([points, points[:1]]), "old")]
    traces += [Trace(np.array(line), "thin") for line in panel.outline.lines]
    for mark in marks:
        moves = mark.id == here.id
        if mark.kind == "corner":
            traces.append(_cross(mark.spots[0], tall * (_HERE if moves else _SMALL), moves))
        elif len(mark.spots) > 1:
            both = mark.id == "grainline" and here.id == "lean"
            pattern = "new" if moves or both else "thin" if mark.kind == "line" else "fold"
            traces.append(Trace(mark.spots, pattern))  # type: ignore[arg-type]  # one of Pattern
    return traces


def _cross(at: Array, half: float, moves: bool) -> Trace:
    across, up = np.array([half, 0.0]), np.array([0.0, half])
    lines = np.array([at - across, at + across, at, at + up, at - up])
    return Trace(lines, "new" if moves else "other")


def _painted(
    traces: Sequence[Trace], room: Room, box: tuple[float, float, float, float] | None = None
) -> list[Line]:
    painted = paint(
        traces, width=room.width, height=room.height, ascii_only=room.ascii_only, box=box
    )
    return [cast(Line, tuple(line)) for line in painted]
