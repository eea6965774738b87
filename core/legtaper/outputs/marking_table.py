"""The marking table: what a wearer with paper and ruler needs, rounded as her ruler is.

One table, which the text, the CSV, the JSON and the sheets all show: the marks of the four edges,
what joins two marks, and what lies below and beside the hem.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from statistics import fmean
from typing import Literal, NamedTuple

import numpy as np

from legtaper.geometry.curves import Array, foot
from legtaper.geometry.seam import TruedSeam
from legtaper.model.lengths import RULER_STEP, round_to, say_length
from legtaper.model.project import EDGES, SEWN, Edge, panel_of
from legtaper.outputs.below_hem import HemMark, below_hem
from legtaper.outputs.hand_curve import Hand, misses
from legtaper.outputs.ruler_marks import Redrawn, spread
from legtaper.pattern import Fit, cut

DEFAULT_STEP = RULER_STEP

Part = Literal["straight", "curve", "old seam"]
By = Literal["ruler", "curve", "old seam"]

RULED = 0.5
"""mm; where a seam lies no farther than this off a straight line, a ruler joins its marks."""

_BY_HAND = 0.75  # mm; where a hand's curve through the marks may lie farther off, there are more
_MOST_LED = 12  # on a seam
_NEAR = 3.0  # mm; a point of the curve nearer than this to a level is that level
_CLOSE = 25.4  # mm; two marks so close may show a jog of a step that is none: common practice
_LEFT_OUT = ((), (0.25, 0.5, 0.75), (0.0, 0.25, 0.5, 0.75, 1.0))
"""Which shares of a curve are not marked close to a level: none, its quarters, all."""
_NOTHING = 0.1  # mm; where no more than this comes off, the old seam is followed
_MORE = 4  # marks of a seam that are added for what rounding does
_WORTH = 0.05  # mm nearer, for which another choice of marks is taken


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
    make its width to half a step; the marks between are rounded, left out or added so that the line
    redrawn by them stays near the seam. Before the wash: the leg and the block's own line both
    larger by what the fabric shrinks.
    """
    washed, fit = fit, fit.grown
    at_levels = _at_levels(fit, step)
    found: dict[Edge, tuple[Mark, ...]] = {}
    for edges in SEWN.values():
        found |= _seam_marks(fit, edges, step, at_levels)
    return MarkingTable(fit, washed, step, tuple(mark for edge in EDGES for mark in found[edge]))


def marks(fit: Fit, step: str) -> tuple[Mark, ...]:
    """Return the marks of all four edges, each from the hem upwards. `step` is one of `STEPS`."""
    return marking_table(fit, step).marks


def after_rounding(fit: Fit, step: str) -> Mapping[str, float]:
    """Return the width around the leg by level, mm, as the rounded marks give it."""
    return marking_table(fit, step).after_rounding


# --- what is marked -----------------------------------------------------------------------------

_AtLevels = Mapping[tuple[Edge, str], tuple[float, float]]
"""What comes in and where the line is, mm, both rounded, at each level around the leg."""


class _Marked(NamedTuple):
    """The marks of a seam's two edges, and where what is redrawn by them is farthest off.

    over: by how much more than it may be, mm; middles: the middles of that piece and of those
    beside it, heights in mm.
    """

    marks: dict[Edge, tuple[Mark, ...]]
    over: float
    middles: tuple[float, ...]


def _at_levels(fit: Fit, step: str) -> _AtLevels:
    """Round the four edges at each level to its width, also where no width was asked for.

    An edge may so be a step beside its nearest (1.2 mm at most by a sixteenth): in a line of a foot
    nobody sees that, while four edges rounded by themselves may add up to 3 mm of ease. What comes
    in where nothing does is 0: the table says there that the old seam is followed.
    """
    found: dict[tuple[Edge, str], tuple[float, float]] = {}
    for level in fit.taper.finished:
        at = {edge: y for edge in EDGES for y, name in _named(fit, edge).items() if name == level}
        seams = fit.taper.seams
        taken = {edge: float(seams[edge].take_in(y)) for edge, y in at.items()}
        come_in = spread(taken, step, [edge for edge, mm in taken.items() if abs(mm) < _NOTHING])
        reach = spread({edge: float(seams[edge].at(y)) for edge, y in at.items()}, step)
        found |= {(edge, level): (come_in[edge], reach[edge]) for edge in at}
    return found


def _seam_marks(
    fit: Fit, edges: Sequence[Edge], step: str, at_levels: _AtLevels
) -> dict[Edge, tuple[Mark, ...]]:
    """Return the marks of a seam's two edges, so many that a line redrawn by them is near enough.

    Those of a curve close to a level are left out where that is better, then more are added.
    """
    best: tuple[_Marked, _Choice, frozenset[float]] | None = None
    for left_out in _LEFT_OUT:
        own = {edge: _own_heights(fit, edge, step, left_out) for edge in edges}
        choice = _Choice(fit, step, at_levels, own)
        leading = _leading(choice.seams, step)
        tried = choice.marked(leading)
        if best is None or tried.over < best[0].over - _WORTH:
            best = tried, choice, leading
        if best[0].over <= 0:
            break
    assert best is not None
    found, choice, leading = best
    return choice.led(leading, found).marks


@dataclass(frozen=True)
class _Choice:
    """How the two edges of a seam may be marked: `own` has the heights that each of them needs."""

    fit: Fit
    step: str
    at_levels: _AtLevels
    own: Mapping[Edge, Collection[float]]

    @property
    def seams(self) -> dict[TruedSeam, Collection[float]]:
        """The two edges as they run, and the heights each of them needs."""
        return {self.fit.taper.seams[edge]: heights for edge, heights in self.own.items()}

    def led(self, leading: frozenset[float], found: _Marked) -> _Marked:
        """Add a mark at a time in or beside the piece that is farthest off, as long as that helps.

        What is not needed with them goes again.
        """
        before = leading
        while found.over > 0 and len(leading) < len(before) + _MORE:
            for middle in found.middles:
                more = leading | {round_to(middle, self.step)}
                tried = self.marked(more)
                if tried.over <= found.over - _WORTH:
                    found, leading = tried, more
                    break
            else:
                break
        for height in sorted(leading) if leading != before else ():
            fewer = leading - {height}
            without = self.marked(fewer)
            missed = _missed(self.seams, fewer, self.step)
            if without.over <= max(0.0, found.over) and missed is None:
                found, leading = without, fewer
        return found

    def marked(self, leading: Collection[float]) -> _Marked:
        """Return the marks with those that lead a curve, each rounded as it draws best."""
        marks: dict[Edge, tuple[Mark, ...]] = {}
        worst, middles = -math.inf, tuple[float, ...]()
        for edge, own in self.own.items():
            heights = _heights(self.fit.taper.seams[edge], own, leading)
            marks[edge], over = self._edge(edge, heights)
            if over.max() > worst:
                at = int(over.argmax())
                pieces = list(map(fmean, pairwise(heights)))
                worst, middles = float(over[at]), (pieces[at], *pieces[max(0, at - 1) : at + 2 : 2])
        return _Marked(marks, worst, middles)

    def _edge(self, edge: Edge, heights: Sequence[float]) -> tuple[tuple[Mark, ...], Array]:
        """Return the rounded marks of an edge, and by how much each piece is too far off, mm."""
        exact = tuple(_edge_marks(self.fit, edge, heights))
        hand = Hand.through(heights, self.fit.taper.seams[edge])
        settled = [bool(m.level) or m.part == "old seam" or _is_nothing(m) for m in exact]
        drawn = Redrawn(hand, [mark.up for mark in exact], settled, self.step)
        shown = [self.at_levels.get((edge, m.level)) or _alone(m, self.step) for m in exact]
        offs = drawn.round([-m.exact_come_in for m in exact], [-one[0] for one in shown])
        outs = drawn.round([m.exact_from_grainline for m in exact], [one[1] for one in shown])
        marks = tuple(
            replace(mark, come_in=0.0 - off, from_grainline=out)
            for mark, off, out in zip(exact, offs, outs, strict=True)
        )
        by_old = drawn.over(np.array([mark.exact_come_in - mark.come_in for mark in marks]))
        lines = [mark.from_grainline - mark.exact_from_grainline for mark in marks]
        return marks, np.maximum(by_old, drawn.over(np.array(lines)))


def _is_nothing(mark: Mark) -> bool:
    return abs(mark.exact_come_in) < _NOTHING


def _alone(mark: Mark, step: str) -> tuple[float, float]:
    return round_to(mark.exact_come_in, step), round_to(mark.exact_from_grainline, step)


# --- where the marks stand ---------------------------------------------------------------------


def _edge_marks(fit: Fit, edge: Edge, heights: Sequence[float]) -> Iterator[Mark]:
    """Yield the marks of an edge at these heights, with nothing rounded."""
    seam, named = fit.taper.seams[edge], _named(fit, edge)
    at = np.array(heights)
    come_ins, reaches = seam.take_in(at).tolist(), seam.at(at).tolist()
    ups: list[By | Literal[""]] = [*_joined_by(seam, at), ""]
    for y, come_in, reach, up in zip(heights, come_ins, reaches, ups, strict=True):
        yield Mark(edge, named.get(y, ""), y, come_in, reach, _part(seam, y), come_in, reach, up)


def _own_heights(fit: Fit, edge: Edge, step: str, left_out: Collection[float]) -> frozenset[float]:
    """Return where an edge is marked at least: its levels and its curve.

    left_out: the shares of a curve that are not, where they lie close to a level.
    """
    named = _named(fit, edge)
    return frozenset((*named, *_curve_heights(fit.taper.seams[edge], step, named, left_out)))


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


def _curve_heights(
    seam: TruedSeam, step: str, named: Mapping[float, str], left_out: Collection[float]
) -> list[float]:
    """Return where the curve begins, its quarters and its end, at heights a ruler shows."""
    heights = []
    for blend, curve in dict.fromkeys(_curves(seam)):
        for share in (1.0, 0.75, 0.5, 0.25, 0.0):
            y, near = round_to(blend - share * curve, step), _CLOSE if share in left_out else _NEAR
            if min(named) < y < max(named) and all(abs(y - level) > near for level in named):
                heights.append(y)
    return heights


def _curves(seam: TruedSeam) -> Iterator[tuple[float, float]]:
    """Yield where each curve into the old seam ends, and its length: the taper's, the shift's."""
    if seam.eased is not None:
        yield seam.blend, seam.curve
    if seam.shift is not None:
        curve = float(seam.shift.lengths[-1])
        yield float(seam.shift.corners[-1]) + curve / 2, curve


def _leading(own: Mapping[TruedSeam, Collection[float]], step: str) -> frozenset[float]:
    """Return the few more heights that a hand's curves need, alike on both edges of a seam."""
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
        heights = np.array(_heights(seam, fixed, leading))
        wide = np.diff(heights) > 3 * _NEAR
        off = np.where(wide & (np.array(_joined_by(seam, heights)) == "curve"),
                       misses(heights.tolist(), seam), 0.0)  # fmt: skip
        at = int(off.argmax())
        if off[at] > worst:
            worst, middle = float(off[at]), round_to(float(heights[at : at + 2].mean()), step)
    return middle


def _joined_by(seam: TruedSeam, heights: Array) -> list[By]:
    """Return what joins each of the marks of a seam to the next one up."""
    if not seam.changed:
        return ["old seam"] * (len(heights) - 1)
    y = np.linspace(heights[:-1], heights[1:], 33)
    reach = seam.at(y.ravel()).reshape(y.shape)
    off_ruler = np.abs(reach - np.linspace(reach[0], reach[-1], 33)).max(axis=0)
    taken = np.abs(seam.take_in(y.ravel())).reshape(y.shape).max(axis=0)
    is_old = (heights[:-1] >= seam.blend - _NEAR) | (taken < _NOTHING)
    found: list[By] = []
    for old, off in zip(is_old, off_ruler, strict=True):
        found.append("old seam" if old else "ruler" if off <= RULED else "curve")
    return found


def _part(seam: TruedSeam, y: float) -> Part:
    if not seam.changed or y >= seam.blend - 1e-9:
        return "old seam"
    inside = (np.abs(y - line.corners) < line.lengths / 2 - 1e-9 for line in seam.lines)
    return "curve" if any(map(np.any, inside)) else "straight"
