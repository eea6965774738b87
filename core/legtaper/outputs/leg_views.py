"""Fit -> the lines of a picture on the terminal: both panels, or both legs from the front."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from legtaper.geometry.curves import Array, Line, foot
from legtaper.leg.block import OUTSEAM_SIDE, Block
from legtaper.leg.slit import slit_stops
from legtaper.model.levels import say_level
from legtaper.model.project import PANELS, Edge, PanelName, Unit
from legtaper.model.said_lengths import say_around
from legtaper.outputs.terminal_plot import Pattern, Tag, Trace
from legtaper.pattern import Fit

_POINTS = 121
_BOTH: tuple[PanelName, ...] = ("front", "back")
_GAP = 40.0  # mm between the two panels
_TICK = 18.0  # mm that a mark reaches to each side of a seam
_INSET = 12.0  # mm between a slit and its seam, so that the two can be told apart
_OVERLAID: tuple[Pattern, Pattern, Pattern] = ("old", "other", "new")

View = tuple[list[Trace], list[Tag]]


class Parts(NamedTuple):
    """What a picture of the panels shows: which of them, their top, and where the seams blend."""

    panels: tuple[PanelName, ...] = _BOTH
    top: bool = True
    blends: bool = False


ALL_OF_IT = Parts()


def panels_view(block: Block, unit: Unit, fit: Fit | None = None, parts: Parts = ALL_OF_IT) -> View:
    """Return front and back panel side by side: the old line, and the new one where there is one.

    The tags name the levels with the width around the leg that the picture ends with.
    """
    traces: list[Trace] = []
    for name, at in panel_places(block, parts.panels).items():
        drawn = [Trace(panel_outline(name, block, block.seams), "old")]
        if parts.top:
            drawn += _top_of_own(name, block)
        if fit is not None:
            drawn.append(Trace(panel_outline(name, block, dict(fit.taper.seams)), "new"))
            drawn += _crease(name, fit) + _slit(name, fit)
            drawn += _blends(name, fit) if parts.blends else []
        traces += [Trace(trace.points + (at, 0), trace.pattern) for trace in drawn]
    return traces, width_tags(block, unit, fit)


def overlay_view(
    block: Block, outlines: Sequence[Mapping[Edge, Line]], panels: tuple[PanelName, ...] = _BOTH
) -> View:
    """Return up to three outlines laid over each other, front and back panel side by side.

    The last is solid, the first dotted, and one between them dashed. The tags name the levels.
    """
    block = block.whole or block
    places = panel_places(block, panels)
    traces = [
        Trace(panel_outline(name, block, seams) + (at, 0), pattern)
        for seams, pattern in zip(outlines, overlay_patterns(len(outlines)), strict=True)
        for name, at in places.items()
    ]
    names = [
        Tag(say_level(level), y) for level, y in block.heights.items() if y <= block.top + 1e-6
    ]
    return traces, names


def overlay_patterns(count: int) -> tuple[Pattern, ...]:
    """Return by which pattern each of up to three outlines is told apart."""
    first, _, last = _OVERLAID
    return _OVERLAID if count > 2 else (first, last) if count > 1 else (last,)


def front_view(fit: Fit) -> View:
    """Return the two legs from the front, to scale: one as the block, one narrowed.

    A leg is seen as wide as it lies flat: half its circumference, split at the crease.
    """
    block = fit.block
    middle = _seen(block.seams, "inseam", np.array([block.crotch]))[0]
    traces = []
    for side, seams, pattern in ((-1, block.seams, "old"), (1, dict(fit.taper.seams), "new")):
        y_in = np.linspace(block.start, block.crotch, _POINTS)
        y_out = np.linspace(block.start, block.top, _POINTS)
        inner = np.column_stack([middle - _seen(seams, "inseam", y_in), y_in])
        outer = np.column_stack([middle + _seen(seams, "outseam", y_out), y_out])
        leg = np.vstack([inner[::-1], outer]) * (side, 1)
        traces.append(Trace(leg, "old" if pattern == "old" else "new"))
    return traces, width_tags(block, fit.project.length_unit, fit)


def _seen(seams: Mapping[Edge, Line], seam: str, y: Array) -> Array:
    front, back = (edge for pair in PANELS.values() for edge in pair if edge.endswith(seam))
    return (seams[front].at(y) + seams[back].at(y)) / 2


def panel_outline(name: PanelName, block: Block, seams: Mapping[Edge, Line]) -> Array:
    """Return a panel's line from the crotch point around the hem to the hip, (n, 2) in mm."""
    (inseam, outseam), side = PANELS[name], OUTSEAM_SIDE[name]
    start = getattr(seams[inseam], "start", block.start)  # a new seam knows where its leg ends
    y_in = np.linspace(start, block.seam_top(inseam), _POINTS)
    y_out = np.linspace(start, block.top, _POINTS)
    inner = np.column_stack([-side * seams[inseam].at(y_in), y_in])
    outer = np.column_stack([side * seams[outseam].at(y_out), y_out])
    return np.vstack([inner[::-1], outer])


def panel_places(block: Block, panels: Sequence[PanelName] = _BOTH) -> dict[PanelName, float]:
    """Return how far to the right each panel stands, so that the crotch points do not touch."""
    reach = sum(float(block.reach(pair[0], block.crotch)) for pair in PANELS.values())
    return {name: number * (reach + _GAP) for number, name in enumerate(panels)}


def width_tags(block: Block, unit: Unit, fit: Fit | None) -> list[Tag]:
    """Name the levels, with the width around the leg up to the crotch: the fit's or the block's."""
    widths = block.widths if fit is None else fit.taper.finished
    tags = []
    for level, y in block.heights.items():
        if y > block.top + 1e-6:
            continue
        name = say_level(level)
        round_leg = say_around(widths[level], unit) if level in widths else ""
        tags.append(Tag(f"{name:<6} {round_leg}".rstrip(), y))
    return tags


def _top_of_own(name: PanelName, block: Block) -> list[Trace]:
    """Return waist, crotch seam, darts and lines of a panel that was traced whole."""
    rest = block.rests.get(name)
    if rest is None or not rest.whole:
        return []
    outseam = block.seams[PANELS[name][1]]
    y = np.linspace(block.top, float(outseam.knots[-1]), 30)
    hip = np.column_stack([OUTSEAM_SIDE[name] * outseam.at(y), y])
    top = np.vstack([hip, rest.waist, rest.crotch])
    return [Trace(top, "old"), *(Trace(line, "old") for line in rest.lines)]


def _crease(name: PanelName, fit: Fit) -> list[Trace]:
    """Return the crease line where the leg's center was moved."""
    crease = fit.taper.crease(name)
    return [] if crease is None else [Trace(crease, "other")]


def _slit(name: PanelName, fit: Fit) -> list[Trace]:
    """Return the slit: along the outseam, with a tick across its end."""
    stop = slit_stops(fit.block, fit.taper.seams, fit.slit.height).get(name)
    if stop is None:
        return []
    side, outseam = OUTSEAM_SIDE[name], PANELS[name][1]
    low = foot(fit.taper.seams[outseam], side, fit.block.hem_slope(name), fit.block.start)
    y = np.linspace(low, stop, 25)
    line = np.column_stack([side * (fit.taper.reach(outseam, y) - _INSET), y])
    return [Trace(np.vstack([line, line[-1] + (side * 2 * _TICK, 0)]), "fold")]


def _blends(name: PanelName, fit: Fit) -> list[Trace]:
    """Return a mark across each seam where the new line runs into the old one."""
    side, (inseam, outseam) = OUTSEAM_SIDE[name], PANELS[name]
    marks = []
    for edge, sign in ((inseam, -side), (outseam, side)):
        seam = fit.taper.seams[edge]
        x = sign * float(seam.at(seam.blend))
        marks.append(Trace(np.array([(x - _TICK, seam.blend), (x + _TICK, seam.blend)]), "fold"))
    return marks
