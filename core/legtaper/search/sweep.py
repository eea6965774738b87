"""Many take-ins at the hem of one design at once, and which of them work.

As long as the corners of its line stay where they are, a new seam is a straight-line function of
the take-in at the hem. So the seams of thousands of variants are weighted means of two seams that
were trued the usual way, and what they are asked is array arithmetic.

Where does a variant lie between two? Where a hem alone was asked for, the one corner stays where it
is. Where a ruled seam chose another curve at one end the range is halved, and what is left of it is
done one at a time, as is a design with marks above the hem: corners there change with the turn.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from legtaper.checks.ease import RAISED, raised_height
from legtaper.checks.registry import CHECKS
from legtaper.geometry.curves import KINK_HAIR, NODES, WEIGHTS, Array
from legtaper.geometry.seam import (
    KINK_TOLERANCE,
    MORE_TOLERANCE,
    OUTSIDE_TOLERANCE,
    ROUNDING,
    SAMPLES,
    TIGHTEST_TURN,
    TruedSeam,
)
from legtaper.leg.block import Block
from legtaper.leg.taper import Taper, taper
from legtaper.leg.widths import extras_at
from legtaper.model.lengths import Length
from legtaper.model.project import EDGES, Design, Edge, ProjectError, panel_of, seam_of
from legtaper.pattern import Fit, fit_design

PAPER = "paper"
"""What ends the take-ins where no finding does: at the grainline, or where no seam can be made."""

Names = NDArray[np.str_]

EASE_LEVELS = ("calf", "knee", "thigh")
_WIDTHS = (*EASE_LEVELS, RAISED)
_FEW = 4
_CHUNK = 512  # rows; the numbers of so many stay in the processor's cache
_GRID = 128


@dataclass(frozen=True, eq=False)
class Sweep:
    """One row for each take-in; mm. NaN all along a row that the paper ends.

    hem: finished circumference at the hem. finished: the same at calf, knee and thigh, and at what
    comes over the calf with the knee up, by the name of `ease.RAISED`. slit: the
    lowest slit that lets the foot through, 0 where none is needed, NaN where none will do or the
    foot entry is unknown. first_to_fail: id of the first finding that fails, "" where none does.
    """

    take_in: Array
    hem: Array
    finished: Mapping[str, Array]
    slit: Array
    first_to_fail: Names


def at_hem(design: Design, take: float) -> Design:
    """Return the design with `take` mm off each edge at the hem, its other answers as they are."""
    width = {level: length for level, length in design.width.items() if level != "hem"}
    return replace(
        design, width=width, take_in={**design.take_in, "hem": Length(take, f"{take} mm")}
    )


def widest_hem(fitted: Fit) -> float:
    """Return the circumference at the hem with no more off than what one seam or panel gives."""
    return fitted.block.widths["hem"] - 2 * extras_at(fitted.design, "hem")


def sweep(fitted: Fit, takes: ArrayLike) -> Sweep:
    """Evaluate a design with each of `takes` (mm, one dimension, none negative) at the hem.

    Everything agrees with `pattern.fit_design` of one variant at a time. Fast where the style is
    "follow"; ruled seams with a curve of their own for each take-in go one at a time.
    """
    wanted, rows = np.unique(np.asarray(takes, float), return_inverse=True)
    done = joined(list(_all_parts(fitted, wanted)))
    return _picked(done, rows)


def is_quick(fitted: Fit) -> bool:
    """Return whether hundreds of take-ins of a design cost hardly more than a few.

    Corners at marks above the hem are as long as the turn there wants, so that each take-in has its
    own; and ruled seams have curves of their own.
    """
    lines = (seam.eased for seam in fitted.taper.seams.values() if seam.eased is not None)
    return fitted.design.style == "follow" and all(len(line.corners) == 1 for line in lines)


def _all_parts(fitted: Fit, takes: Array) -> Iterator[Sweep]:
    """Yield the parts of a sweep, ascending: nothing off, what the paper gives, and the rest."""
    hem = next(asked for asked in fitted.taper.asked if asked.level == "hem")
    paper = min(fitted.block.reaches[edge]["hem"] - hem.added(edge) for edge in EDGES)
    least, most = np.searchsorted(takes, [ROUNDING, paper])
    yield from (_one(fitted, float(take)) for take in takes[:least])
    yield from _parts(fitted, takes[least:most])
    yield _nothing(takes[max(least, most) :])


def _parts(fitted: Fit, takes: Array) -> Iterator[Sweep]:
    if len(takes) <= _FEW:
        yield from (_one(fitted, float(take)) for take in takes)
        return
    try:
        low, high = (_tapered(fitted, float(takes[i])) for i in (0, -1))
    except ProjectError:
        alike = False
    else:
        alike = _alike(low, high, fitted.design)
    if alike:
        yield _Between(fitted, low, high, takes).rows()
    else:
        middle = len(takes) // 2
        yield from _parts(fitted, takes[:middle])
        yield from _parts(fitted, takes[middle:])


def _tapered(fitted: Fit, take: float) -> Taper:
    return taper(fitted.block, at_hem(fitted.design, take), fitted.project.length_unit)


def _alike(low: Taper, high: Taper, design: Design) -> bool:
    """Return whether all seams between two are weighted means of the two."""
    plain = [asked for asked in low.asked if asked.take_in is not None]
    if len(plain) > 1 and len(plain) < len(low.asked):
        return False  # what an extra alone is added to may have moved its own corners
    heights = [asked.height for asked in low.asked]
    for edge in EDGES:
        a, b = low.seams[edge], high.seams[edge]
        if a.eased is None and b.eased is None:
            continue
        if a.eased is None or b.eased is None or len(a.eased.corners) > 1:
            return False  # a corner at a mark is as long as the turn there wants
        ruled = design.style == "straight" and seam_of(edge) not in design.curve
        if ruled and not (a.longest and b.longest):
            return False
        if not np.array_equal(a.knots, b.knots):
            return False
        lets_out = [bool(seam.take_in(heights).min() < 0) for seam in (a, b)]
        if lets_out[0] != lets_out[1]:
            return False
    return True


def _one(fitted: Fit, take: float) -> Sweep:
    """Return the row of one variant, made and checked the usual way."""
    try:
        tried = fit_design(fitted.project, at_hem(fitted.design, take), fitted.block)
    except ProjectError:
        return _nothing(np.array([take]))
    finished = tried.taper.finished
    failed = next((found.id for found in tried.findings if found.status == "fail"), "")
    lowest = tried.slit.lowest
    return Sweep(
        np.array([take]),
        np.array([finished["hem"]]),
        {level: np.array([finished.get(level, math.nan)]) for level in EASE_LEVELS}
        | {RAISED: np.atleast_1d(_raised(fitted, tried.taper))},
        np.array([math.nan if lowest is None else lowest]),
        np.array([failed]),
    )


def _raised(fitted: Fit, leg: Taper) -> Array:
    """Return the width around a leg, mm, of what comes over the calf with the knee up, or NaN."""
    at = raised_height(leg.block, fitted.project.length_unit)
    return np.asarray(math.nan if at is None else leg.circumference(at))


def _nothing(takes: Array) -> Sweep:
    none = np.full(len(takes), math.nan)
    return Sweep(takes, none, dict.fromkeys(_WIDTHS, none), none, np.full(len(takes), PAPER))


def joined(parts: list[Sweep]) -> Sweep:
    """Return the rows of several sweeps, one after the other."""
    return Sweep(
        np.concatenate([part.take_in for part in parts]),
        np.concatenate([part.hem for part in parts]),
        {level: np.concatenate([part.finished[level] for part in parts]) for level in _WIDTHS},
        np.concatenate([part.slit for part in parts]),
        np.concatenate([part.first_to_fail for part in parts]),
    )


def _picked(done: Sweep, rows: NDArray[np.intp]) -> Sweep:
    finished = {level: widths[rows] for level, widths in done.finished.items()}
    return Sweep(
        done.take_in[rows], done.hem[rows], finished, done.slit[rows], done.first_to_fail[rows]
    )


@dataclass(frozen=True, eq=False)
class _Pair:
    """The seams of one edge at both ends of a range; weight 0 is the first, 1 the second."""

    a: TruedSeam
    b: TruedSeam

    def at(self, y: Array, weights: Array) -> Array:
        """Return the reach at heights that broadcast with the weights."""
        first = self.a.at(y)
        return first + weights * (self.b.at(y) - first)

    def lengths(self, block: Block, edge: Edge, top: float, weights: Array) -> Array:
        """Return the true length, mm, from the hem to the height `top` at each weight."""
        low = self._feet(*block.hem_of(edge), weights)
        start = float(low.max())
        knots = self.a.knots
        inner = knots[(knots > start) & (knots < top)]
        total = self._arcs(np.concatenate([[start], inner, [top]]), weights)
        if low.min() < start:  # a slanting hem: each variant begins at a height of its own
            inner = knots[(knots > low.min()) & (knots < start)]
            ends = np.maximum(low[:, None], np.append(inner, start))
            total += self._arcs(np.hstack([low[:, None], ends]), weights)
        return total

    def _feet(self, side: int, slope: float, weights: Array) -> Array:
        """Return the height at which each seam meets the hem: `curves.foot` for many."""
        start = self.a.start
        y = np.full(len(weights) if slope else 1, start)
        for _ in range(40 if slope else 0):
            before, y = y, start + slope * side * self.at(y, weights)
            if float(np.abs(y - before).max()) < 1e-10:
                break
        return y

    def _arcs(self, ends: Array, weights: Array) -> Array:
        """Return the length between the first and the last of `ends` (m), or of its rows (n, m)."""
        spans = np.diff(ends)
        y = ends[..., :-1, None] + spans[..., None] * NODES
        first = self.a.slope(y)
        more = self.b.slope(y) - first
        parts = spans[..., None] * WEIGHTS
        shape = (*y.shape[:-2], -1)
        first, more, parts = first.reshape(shape), more.reshape(shape), parts.reshape(shape)
        total = np.empty(len(weights))
        for at in range(0, len(weights), _CHUNK):
            rows = slice(at, at + _CHUNK)
            own = first.ndim > 1
            slopes = weights[rows, None] * (more[rows] if own else more)
            slopes += first[rows] if own else first
            np.multiply(slopes, slopes, out=slopes)
            slopes += 1
            np.sqrt(slopes, out=slopes)
            share = parts[rows] if own else parts
            total[rows] = (slopes * share).sum(axis=1) if own else slopes @ share
        return total

    def kink(self, weights: Array) -> Array:
        """Return the sharpest corner in degrees that the old seam had not, 0 where far below any.

        An angle grows by no more than the slope does; few corners come near the tolerance.
        """
        found = np.zeros(len(weights))
        if self.a.eased is None:
            return found
        around = self.a.knots[1:-1] + np.array([[-KINK_HAIR], [KINK_HAIR]])
        first, last, old = (line.slope(around) for line in (self.a, self.b, self.a.old))
        turns = np.maximum(np.abs(np.diff(first, axis=0)), np.abs(np.diff(last, axis=0)))[0]
        for k in np.flatnonzero(turns > math.radians(KINK_TOLERANCE)):
            below, above = (
                np.arctan(first[i, k] + weights * (last[i, k] - first[i, k])) for i in (0, 1)
            )
            had = abs(math.atan(old[1, k]) - math.atan(old[0, k]))
            found = np.maximum(found, np.degrees(np.abs(above - below) - had))
        return found

    def turn_radius(self, weights: Array) -> Array:
        """Return what `TruedSeam.turn_radius` is, infinite where far from too tight."""
        a, b = self.a.eased, self.b.eased
        steepest = 0.0 if a is None or b is None else max(abs(a.grades[-1]), abs(b.grades[-1]))
        if self.a.curve > TIGHTEST_TURN * steepest:
            return np.full(len(weights), math.inf)
        y = np.linspace(self.a.blend - self.a.curve, self.a.blend - 1e-9, 17)
        first, last = self.a.slope(y), self.b.slope(y)
        new = np.abs(np.diff(np.arctan(first + weights[:, None] * (last - first)), axis=1))
        old = np.abs(np.diff(np.arctan(self.a.old.slope(y))))
        along = np.hypot(np.diff(y), np.diff(self.at(y, weights[:, None]), axis=1))
        result: Array = (along / np.maximum(new - old, 1e-12)).min(axis=1)
        return result

    def _taken(self, weights: Array) -> Array:
        """Return what comes off, a row for each weight: from the hem up to the blend."""
        y = np.linspace(self.a.start, self.a.blend, SAMPLES)
        first, last = self.a.take_in(y), self.b.take_in(y)
        return first + weights[:, None] * (last - first)

    def outside(self, weights: Array) -> Array:
        """Return how far a seam lies outside the old one, mm."""
        if self.a.eased is None:
            return np.zeros(len(weights))
        result: Array = np.maximum(0.0, -self._taken(weights).min(axis=1))
        return result

    def excess(self, weights: Array) -> Array:
        """Return what `TruedSeam.excess` is, the hem being its only mark."""
        if self.a.eased is None:
            return np.full(len(weights), -OUTSIDE_TOLERANCE)
        if self.a.shift is not None:
            return _Pair(replace(self.a, shift=None), replace(self.b, shift=None)).excess(weights)
        taken = self._taken(weights)
        asked = taken[:, 0]
        outside = np.minimum(0, asked) - taken.min(axis=1) - OUTSIDE_TOLERANCE
        more = taken.max(axis=1) - np.maximum(0, asked) - MORE_TOLERANCE
        result: Array = np.maximum(outside, more)
        return result


class _Between:
    """All variants between two tapers that are alike; measured as the checks ask for it."""

    def __init__(self, fitted: Fit, low: Taper, high: Taper, takes: Array) -> None:
        self.project, self.design, self.block = fitted.project, fitted.design, fitted.block
        self.fitted, self.foot = fitted, fitted.foot
        self.low, self.high, self.takes = low, high, takes
        self.weights = (takes - takes[0]) / (takes[-1] - takes[0])
        self.pairs = {edge: _Pair(low.seams[edge], high.seams[edge]) for edge in EDGES}

    def width(self, level: str) -> Array:
        """Return the width around the leg at a level."""
        first, last = self.low.finished[level], self.high.finished[level]
        result: Array = first + self.weights * (last - first)
        return result

    def kink(self, edge: Edge) -> Array:
        """Return the sharpest new corner of a seam, degrees."""
        return self.pairs[edge].kink(self.weights)

    def outside(self, edge: Edge) -> Array:
        """Return how far a seam lies outside the old one, mm."""
        return self.pairs[edge].outside(self.weights)

    @property
    def shortest_slit(self) -> float:
        """The slit that the sewn-down hem leaves open, mm."""
        return self.fitted.slit.shortest

    def excess(self, edge: Edge) -> Array:
        """Return how far a seam lies outside, or takes more, than what is admissible, mm."""
        return self.pairs[edge].excess(self.weights)

    def turn_radius(self, edge: Edge) -> Array:
        """Return the tightest radius of the turn that a curve adds, mm."""
        return self.pairs[edge].turn_radius(self.weights)

    def blend(self, edge: Edge) -> float:
        """Return the height at which a seam becomes the old one, alike for all."""
        return self.low.seams[edge].blend

    def length(self, edge: Edge) -> Array:
        """Return the true length of a seam, mm."""
        return self._along(edge, self.block.seam_top(edge))

    def knee_length(self, edge: Edge) -> Array:
        """Return the true length of a seam from the hem to its panel's knee level, mm."""
        return self._along(edge, self.block.knee_on(panel_of(edge)))

    def _along(self, edge: Edge, top: float) -> Array:
        return self.pairs[edge].lengths(self.block, edge, top, self.weights)

    def passing(self) -> Array:
        """Return what `foot.passing_height` finds for each variant; NaN where it finds nothing."""
        return self._passing

    @cached_property
    def _passing(self) -> Array:
        hem = self.width("hem")
        if self.foot is None:
            return np.full(len(hem), math.nan)
        opening = self.foot.mm / (1 + self.project.fabric.usable_stretch)
        found = np.zeros(len(hem))
        narrow = np.flatnonzero(hem < opening - 1e-9)
        y = np.linspace(self.block.start, self.block.crotch, _GRID**2 + 1)
        first = self.low.circumference(y) - opening
        more = self.high.circumference(y) - opening - first
        for at in range(0, len(narrow), _CHUNK):
            rows = narrow[at : at + _CHUNK]
            found[rows] = _first_crossing(y, first, more, self.weights[rows]) - self.block.start
        return found

    def rows(self) -> Sweep:
        """Return the part of the sweep."""
        none = np.full(len(self.weights), math.nan)
        finished = {
            level: self.width(level) if level in self.block.heights else none
            for level in EASE_LEVELS
        }
        low, high = (_raised(self.fitted, leg) for leg in (self.low, self.high))
        finished[RAISED] = low + self.weights * (high - low)
        fails = {check.id: check.margin(self) < 0 for check in CHECKS if check.margin}
        failed = np.array([np.broadcast_to(one, self.weights.shape) for one in fails.values()])
        first = np.where(failed.any(axis=0), failed.argmax(axis=0) + 1, 0)
        names = np.array(["", *fails])
        return Sweep(self.takes, self.width("hem"), finished, self.passing(), names[first])


def _first_crossing(y: Array, first: Array, more: Array, weights: Array) -> Array:
    """Return the lowest height where `first + weight * more` is not negative, for each weight.

    Like `foot.passing_height`: a coarse row of heights, then a finer one between two of them,
    and last a straight line between two heights that lie less than 0.1 mm apart.
    """
    coarse = slice(None, None, _GRID)
    wide = weights[:, None] * more[coarse] + first[coarse] >= 0
    none = ~wide.any(axis=1)
    high = wide.argmax(axis=1) * _GRID
    low = high - _GRID
    for _ in range(_GRID.bit_length() - 1):
        middle = (low + high) // 2
        enough = first[middle] + weights * more[middle] >= 0
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    below, above = (first[i] + weights * more[i] for i in (low, high))
    found: Array = y[low] + (y[high] - y[low]) * below / (below - above)
    found[none] = math.nan
    return found
