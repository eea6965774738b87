"""Fit -> the lines of a picture on the terminal: both panels, or both legs from the front."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from legtaper.geometry.curves import Array, Line
from legtaper.leg.block import OUTSEAM_SIDE, Block
from legtaper.model.lengths import say_length
from legtaper.model.project import PANELS, Edge, PanelName, Unit
from legtaper.outputs.terminal_plot import Pattern, Tag, Trace
from legtaper.pattern import Fit

_POINTS = 121
_GAP = 40.0  # mm between the two panels
_OVERLAID: tuple[Pattern, Pattern, Pattern] = ("old", "other", "new")

View = tuple[list[Trace], list[Tag]]


def panels_view(block: Block, unit: Unit, fit: Fit | None = None) -> View:
    """Return front and back panel side by side: the old line, and the new one where there is one.

    The tags name the levels with the width round the leg that the picture ends with.
    """
    shift = _panel_shift(block)
    traces = [Trace(panel + (shift[name], 0), "old") for name, panel in _panels(block, block.seams)]
    for name, rest in block.rests.items():
        if rest.whole:
            outseam = block.seams[PANELS[name][1]]
            y = np.linspace(block.top, float(outseam.knots[-1]), 30)
            hip = np.column_stack([OUTSEAM_SIDE[name] * outseam.at(y), y])
            top = np.vstack([hip, rest.waist, rest.crotch])
            lines = [Trace(line + (shift[name], 0), "old") for line in rest.lines]
            traces += [Trace(top + (shift[name], 0), "old"), *lines]
    if fit is not None:
        seams = dict(fit.taper.seams)
        for name, panel in _panels(block, seams):
            traces.append(Trace(panel + (shift[name], 0), "new"))
        traces += _slits(fit, shift)
    return traces, _tags(block, unit, fit)


def overlay_view(block: Block, outlines: Sequence[Mapping[Edge, Line]]) -> View:
    """Return up to three outlines laid over each other, front and back panel side by side.

    The last is solid, the first dotted, and one between them dashed. The tags name the levels.
    """
    shift = _panel_shift(block)
    traces = [
        Trace(panel + (shift[name], 0), pattern)
        for seams, pattern in zip(outlines, overlay_patterns(len(outlines)), strict=True)
        for name, panel in _panels(block, seams)
    ]
    names = [
        Tag(level.replace("_", " "), y)
        for level, y in block.heights.items()
        if y <= block.top + 1e-6
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
        y_in, y_out = np.linspace(0, block.crotch, _POINTS), np.linspace(0, block.top, _POINTS)
        inner = np.column_stack([middle - _seen(seams, "inseam", y_in), y_in])
        outer = np.column_stack([middle + _seen(seams, "outseam", y_out), y_out])
        leg = np.vstack([inner[::-1], outer]) * (side, 1)
        traces.append(Trace(leg, "old" if pattern == "old" else "new"))
    return traces, _tags(block, fit.project.length_unit, fit)


def _seen(seams: Mapping[Edge, Line], seam: str, y: Array) -> Array:
    front, back = (edge for pair in PANELS.values() for edge in pair if edge.endswith(seam))
    return (seams[front].at(y) + seams[back].at(y)) / 2


def _panels(block: Block, seams: Mapping[Edge, Line]) -> list[tuple[PanelName, Array]]:
    panels: list[tuple[PanelName, Array]] = []
    for name, (inseam, outseam) in PANELS.items():
        side = OUTSEAM_SIDE[name]
        y_in, y_out = np.linspace(0, block.crotch, _POINTS), np.linspace(0, block.top, _POINTS)
        inner = np.column_stack([-side * seams[inseam].at(y_in), y_in])
        outer = np.column_stack([side * seams[outseam].at(y_out), y_out])
        panels.append((name, np.vstack([inner[::-1], outer])))
    return panels


def _panel_shift(block: Block) -> dict[PanelName, float]:
    """Return how far the back panel stands to the right, so that the crotch points do not touch."""
    reach = sum(float(block.reach(pair[0], block.crotch)) for pair in PANELS.values())
    return {"front": 0.0, "back": reach + _GAP}


def _slits(fit: Fit, shift: Mapping[PanelName, float]) -> list[Trace]:
    if fit.slit.height is None:
        return []
    y = fit.slit.height
    traces = []
    for name, (_, outseam) in PANELS.items():
        side = OUTSEAM_SIDE[name]
        tip = side * float(fit.taper.reach(outseam, y))
        tick = np.array([(tip, y), (tip - side * 25, y)]) + (shift[name], 0)
        traces.append(Trace(tick, "fold"))
    return traces


def _tags(block: Block, unit: Unit, fit: Fit | None) -> list[Tag]:
    tags = []
    width = block if fit is None else fit.taper
    for level, y in block.heights.items():
        if y > block.top + 1e-6:
            continue
        name = level.replace("_", " ")
        round_leg = say_length(float(width.circumference(y)), unit) if y <= block.crotch else ""
        tags.append(Tag(f"{name:<6} {round_leg}".rstrip(), y))
    return tags
