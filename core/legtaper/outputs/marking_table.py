"""The marking table: what a wearer with paper and ruler needs, rounded as her ruler is.

One table, which the text, the CSV, the JSON and the sheets all show: the marks of the four edges,
what joins two marks, and what lies below and beside the hem.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, pairwise
from typing import Literal

import numpy as np

from legtaper.geometry.curves import foot
from legtaper.geometry.seam import TruedSeam
from legtaper.model.lengths import RULER_STEP, STEPS, factor, round_to, say_length
from legtaper.model.project import EDGES, SEWN, Edge, panel_of, seam_of
from legtaper.outputs.below_hem import HemMark, below_hem
from legtaper.outputs.hand_curve import misses
from legtaper.pattern import Fit, cut

DEFAULT_STEP = RULER_STEP

Part = Literal["straight", "curve", "old seam"]
By = Literal["ruler", "curve", "old seam"]

RULED = 0.5
"""mm; where a seam lies no farther than this off a straight line, a ruler joins its marks."""

_BY_HAND = 0.75  # mm; where a hand's curve through the marks may lie farther off, there are more
_MOST_LED = 12  # on a seam
_NEAR = 3.0  # mm; a point of the curve nearer than this to a level is that level


@dataclass(frozen=True, slots=True)
class Mark:
    """One point of a new seam, mm. `level` is empty at points that only lead a curve.

    height: above the hem; come_in: from the old line; from_grainline: of the new line; both
    rounded, with the exact values beside. part: whether the point lies on a straight part of what
    comes off, on a curve of it, or on the old seam. up: what joins it to the next mark above, ""
    at the top of a seam.
    """

    edge: Edge
    level: str
    height: float
    come_in: float
    from_grainline: float
    part: Part
    exact_come_in: float
    exact_from_grainline: float
    up: By | Literal[""] = ""


@dataclass(frozen=True, slots=True)
class Join:
    """What joins two marks of an edge, whose heights are `start` and `end`, mm."""

    edge: Edge
    start: float
    end: float
    by: By


@dataclass(frozen=True)
class MarkingTable:
    """All marks of a fit, rounded to `step` (one of `STEPS`).

    fit: as it is marked, before the wash; washed: as it was asked for.
    """

    fit: Fit
    washed: Fit
    step: str
    marks: tuple[Mark, ...]

    @property
    def unit(self) -> str:
        """What its numbers count: inches, or mm."""
        return "mm" if self.step == "1mm" else "inches"

    def bare(self, mm: float) -> str:
        """Return a length of the table as its ruler reads it, without the unit: "5 11/16"."""
        return say_length(mm, self.fit.project.length_unit, self.step).rpartition(" ")[0]

    @cached_property
    def pieces(self) -> tuple[Join, ...]:
        """What joins each mark to the next one above it, edge by edge."""
        return tuple(
            Join(low.edge, low.height, high.height, low.up)
            for low, high in pairwise(self.marks)
            if low.edge == high.edge and low.up
        )

    @cached_property
    def below_hem(self) -> tuple[HemMark, ...]:
        """What is marked below the hem and beside the slit."""
        corners = {mark.edge: mark.from_grainline for mark in self.marks if mark.level == "hem"}
        return below_hem(cut(self.washed), self.fit, self.step, corners)

    @property
    def after_rounding(self) -> Mapping[str, float]:
        """Width around the leg by level, mm, as the distances from the grainline give it."""
        return self._sums({id(mark): mark.from_grainline for mark in self.marks})

    @property
    def after_coming_in(self) -> Mapping[str, float]:
        """Width around the leg by level, mm, as coming in from the old line gives it."""
        old = {id(m): m.exact_from_grainline + m.exact_come_in for m in self.marks}
        return self._sums({id(mark): old[id(mark)] - mark.come_in for mark in self.marks})

    def _sums(self, reach: Mapping[int, float]) -> dict[str, float]:
        return {
            level: math.fsum(reach[id(mark)] for mark in self.marks if mark.level == level)
            for level in self.fit.taper.finished
        }


def marking_table(fit: Fit, step: str) -> MarkingTable:
    """Return the table of a fit. `step` is one of `STEPS`.

    At each level around the leg the rounding is spread over the four edges, so that both columns
    make its width to half a step. Before the wash: the leg and the block's own line both larger by
    what the fabric shrinks.
    """
    washed, fit = fit, fit.grown
    leading = {seam: _leading(fit, edges, step) for seam, edges in SEWN.items()}
    exact = [
        mark for edge in EDGES for mark in _edge_marks(fit, edge, step, leading[seam_of(edge)])
    ]
    return MarkingTable(fit, washed, step, tuple(_rounded(exact, fit, step)))


def marks(fit: Fit, step: str) -> tuple[Mark, ...]:
    """Return the marks of all four edges, each from the hem upwards. `step` is one of `STEPS`."""
    return marking_table(fit, step).marks


def after_rounding(fit: Fit, step: str) -> Mapping[str, float]:
    """Return the width around the leg by level, mm, as the rounded marks give it."""
    return marking_table(fit, step).after_rounding


# --- where the marks stand ---------------------------------------------------------------------


def _edge_marks(fit: Fit, edge: Edge, step: str, leading: Collection[float]) -> Iterator[Mark]:
    """Yield the marks of an edge from the hem upwards, with nothing rounded but their heights."""
    seam, named = fit.taper.seams[edge], _named(fit, edge)
    heights = _heights(seam, _own_heights(fit, edge, step), leading)
    for y, above in zip(heights, [*heights[1:], None], strict=True):
        come_in, reach = float(seam.take_in(y)), float(seam.at(y))
        up: By | Literal[""] = "" if above is None else _joined_by(seam, y, above)
        yield Mark(edge, named.get(y, ""), y, come_in, reach, _part(seam, y), come_in, reach, up)


def _own_heights(fit: Fit, edge: Edge, step: str) -> frozenset[float]:
    """Return where an edge is marked at least: its levels and its curve."""
    named = _named(fit, edge)
    return frozenset((*named, *_curve_heights(fit.taper.seams[edge], step, named)))


def _heights(seam: TruedSeam, own: Collection[float], leading: Collection[float]) -> list[float]:
    """Return the heights of all marks of an edge, with those that lead its curves."""
    more = {
        y
        for y in leading
        if min(own) < y < seam.blend and all(abs(y - height) > _NEAR for height in own)
    }
    return sorted(more.union(own))


def _named(fit: Fit, edge: Edge) -> dict[float, str]:
    """Return the heights of the levels on an edge; the hem where the seam meets its hem line."""
    block, panel = fit.block, panel_of(edge)
    levels = [level for level in block.reaches[edge] if level != "hem"]
    named = {block.height_on(panel, level): level for level in levels}
    low = foot(fit.taper.seams[edge], *block.hem_of(edge), block.start) or 0.0
    return {low: "hem"} | {y: level for y, level in named.items() if y > low}


def _curve_heights(seam: TruedSeam, step: str, named: Mapping[float, str]) -> list[float]:
    """Return where the curve begins, its quarters and its end, at heights a ruler shows."""
    heights = []
    for blend, curve in dict.fromkeys(_curves(seam)):
        for share in (1.0, 0.75, 0.5, 0.25, 0.0):
            y = round_to(blend - share * curve, step)
            if min(named) < y <= blend + 1e-9 and all(abs(y - level) > _NEAR for level in named):
                heights.append(y)
    return heights


def _curves(seam: TruedSeam) -> Iterator[tuple[float, float]]:
    """Yield where each curve into the old seam ends, and its length: the taper's, the shift's."""
    if seam.eased is not None:
        yield seam.blend, seam.curve
    if seam.shift is not None:
        curve = float(seam.shift.lengths[-1])
        yield float(seam.shift.corners[-1]) + curve / 2, curve


def _leading(fit: Fit, edges: Sequence[Edge], step: str) -> frozenset[float]:
    """Return the few more heights that a hand's curves need, alike on both edges of a seam."""
    own = {fit.taper.seams[edge]: _own_heights(fit, edge, step) for edge in edges}
    found = frozenset[float]()
    while len(found) < _MOST_LED:
        more = _missed(own, found, step)
        if more is None or more in found:  # one too near a mark of its own does not count there
            break
        found |= {more}
    for height in sorted(found):
        if _missed(own, found - {height}, step) is None:
            found -= {height}
    return found


def _missed(
    own: Mapping[TruedSeam, Collection[float]], leading: Collection[float], step: str
) -> float | None:
    """Return the middle of the curve that a hand would miss most; nothing where none is missed."""
    worst, middle = _BY_HAND, None
    for seam, fixed in own.items():
        heights = _heights(seam, fixed, leading)
        for (low, high), off in zip(pairwise(heights), misses(heights, seam), strict=True):
            if off > worst and high - low > 3 * _NEAR and _joined_by(seam, low, high) == "curve":
                worst, middle = float(off), round_to((low + high) / 2, step)
    return middle


def _off_ruler(seam: TruedSeam, low: float, high: float) -> float:
    """Return how far a seam lies off the straight line between two of its points, mm."""
    y = np.linspace(low, high, 33)
    reach = seam.at(y)
    return float(np.abs(reach - np.linspace(reach[0], reach[-1], 33)).max())


def _joined_by(seam: TruedSeam, low: float, high: float) -> By:
    if not seam.changed or low >= seam.blend - _NEAR:
        return "old seam"
    return "ruler" if _off_ruler(seam, low, high) <= RULED else "curve"


def _part(seam: TruedSeam, y: float) -> Part:
    if not seam.changed or y >= seam.blend - 1e-9:
        return "old seam"
    inside = (np.abs(y - line.corners) < line.lengths / 2 - 1e-9 for line in seam.lines)
    return "curve" if any(map(np.any, inside)) else "straight"


# --- rounding ------------------------------------------------------------------------------------


def _rounded(exact: Sequence[Mark], fit: Fit, step: str) -> Iterator[Mark]:
    """Yield the marks rounded: level by level together, and each alone between them."""
    together: dict[str, dict[Edge, Mark]] = {}
    for mark in exact:
        if mark.level in fit.taper.finished:
            together.setdefault(mark.level, {})[mark.edge] = mark
    come_in = {level: _spread({e: m.come_in for e, m in row.items()}, step)
               for level, row in together.items()}  # fmt: skip
    reach = {level: _spread({e: m.from_grainline for e, m in row.items()}, step)
             for level, row in together.items()}  # fmt: skip
    for mark in exact:
        if mark.level in together:
            off, out = come_in[mark.level][mark.edge], reach[mark.level][mark.edge]
        else:
            off, out = round_to(mark.come_in, step), round_to(mark.from_grainline, step)
        yield replace(mark, come_in=off, from_grainline=out)


def _spread(values: Mapping[Edge, float], step: str) -> dict[Edge, float]:
    """Round values of four edges, mm, so that their sum is right to half a step.

    Each goes to a step beside it: those that are rounded up are chosen for the least error, and
    among equals so that front and back of a seam go alike.
    """
    parts, unit = STEPS[step]
    size = factor(unit) / parts
    counts = {edge: value / size for edge, value in values.items()}
    low = {edge: math.floor(count + 1e-6) for edge, count in counts.items()}
    up = math.floor(sum(counts.values()) - sum(low.values()) + 0.5)
    chosen = min(combinations(low, up), key=lambda edges: _cost(counts, low, edges))
    return {edge: round_to((low[edge] + (edge in chosen)) * size, step) for edge in low}


def _cost(
    counts: Mapping[Edge, float], low: Mapping[Edge, int], up: Sequence[Edge]
) -> tuple[float, int]:
    error = sum((low[edge] + (edge in up) - count) ** 2 for edge, count in counts.items())
    unlike = sum((front in up) != (back in up) for front, back in SEWN.values())
    return round(error, 6), unlike
