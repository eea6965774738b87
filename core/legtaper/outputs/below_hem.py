"""What a ruler marks below the hem and beside the slit: fold-up, turn under, slit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from legtaper.geometry.curves import Array
from legtaper.leg.block import OUTSEAM_SIDE
from legtaper.leg.panel import PAST_STOP, Panel
from legtaper.model.lengths import round_to
from legtaper.model.project import PANELS, Edge, PanelName
from legtaper.pattern import Fit, Pattern

What = Literal[
    "hem corner", "second fold", "cut edge", "hem curve", "facing top", "slit stop",
    "slit allowance ends",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class HemMark:
    """One point below or beside the hem. `edge` is the edge it belongs to, `None` on the grainline.

    height: above the block's hem, mm, as in the marks; from_grainline: mm; both rounded.
    beside: width of the allowance that begins or ends there, mm, or `None`.
    """

    panel: PanelName
    edge: Edge | None
    what: What
    height: float
    from_grainline: float
    beside: float | None = None


def below_hem(
    pattern: Pattern, fit: Fit, step: str, corners: Mapping[Edge, float]
) -> tuple[HemMark, ...]:
    """Return what is marked below the hem of the narrowed leg, panel by panel, hem line first.

    `fit` is the fit as it is marked, before the wash. `corners` are the hem's own marks, rounded:
    mm from the grainline by edge.
    """
    found: list[HemMark] = []
    for name, panel in pattern.narrowed.items():
        hem = _hem(name, panel, fit, step)
        found += [
            replace(mark, from_grainline=corners[mark.edge])
            if mark.edge is not None and mark.what == "hem corner"
            else mark
            for mark in hem
        ]
        found += _slit(panel, pattern, fit, step)
    return tuple(found)


def _hem(name: PanelName, panel: Panel, fit: Fit, step: str) -> Iterator[HemMark]:
    shape = panel.shape
    yield from _line(name, "hem corner", shape.folds[0], step)
    if shape.facing is not None:
        x, y = shape.folds[0].T
        depth, middle = fit.hem.depth, float(np.interp(0.0, x, y))
        if abs(middle - fit.block.start) > 0.5:  # no straight line, nor is the facing's top
            yield HemMark(name, None, "hem curve", round_to(middle, step), 0.0)
            yield HemMark(name, None, "facing top", round_to(middle + depth, step), 0.0)
        for one in _line(name, "facing top", shape.folds[0] + (0, depth), step):
            if one.edge is not None:
                y = one.height
                reach = float(fit.taper.reach(one.edge, y))
                yield HemMark(name, one.edge, "facing top", y, round_to(reach, step))
        return
    for fold in shape.folds[1:]:
        yield from _line(name, "second fold", fold, step)
    yield from _line(name, "cut edge", _lowest(shape.hem_below), step)


def _lowest(below: Array) -> Array:
    """Return the two corners of the cut edge: the widest gap between points beside each other."""
    at = int(np.abs(np.diff(below[:, 0])).argmax())
    return below[at : at + 2]


def _line(name: PanelName, what: What, line: Array, step: str) -> Iterator[HemMark]:
    """Yield both ends of a line across a panel, the inseam's first."""
    inseam, outseam = PANELS[name]
    for edge, side in ((inseam, -OUTSEAM_SIDE[name]), (outseam, OUTSEAM_SIDE[name])):
        x, y = max((line[0], line[-1]), key=lambda end, at=side: float(end[0]) * at)  # type: ignore[misc]  # a default binds the loop's own value
        yield HemMark(name, edge, what, round_to(float(y), step), round_to(abs(float(x)), step))


def _slit(panel: Panel, pattern: Pattern, fit: Fit, step: str) -> Iterator[HemMark]:
    if panel.slit is None:
        return
    name, outseam = panel.name, PANELS[panel.name][1]
    x, y = (float(value) for value in panel.slit[-1])
    wide = pattern.allowance["slit"]
    at = round_to(abs(x), step)
    yield HemMark(name, outseam, "slit stop", round_to(y, step), at, round_to(wide, step))
    ends = y + PAST_STOP
    reach = round_to(float(fit.taper.reach(outseam, ends)), step)
    usual = round_to(pattern.allowance["outseam"], step)
    yield HemMark(name, outseam, "slit allowance ends", round_to(ends, step), reach, usual)
