"""One new seam: from take-ins at asked levels, a blend height and a curve, into the old seam.

Style "follow" takes an eased line off the old seam, so the new one keeps its character. Style
"straight" makes the new seam itself the eased line, which a yardstick can mark, where that stays
inside the old seam. In both a ruler laid from mark to mark tells the truth up to the highest level
asked for, and the curve into the old seam lies above that (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from legtaper.geometry.curves import (
    Array,
    EasedLine,
    Grown,
    Line,
    arc_length,
    around,
    bends,
    eased_rows,
)
from legtaper.geometry.mark_corners import Marks, following_corners, ruled_corners
from legtaper.model.project import Style

OUTSIDE_TOLERANCE = 0.3
"""mm by which a straight seam may lie outside the old one: less than a pencil line."""

MORE_TOLERANCE = 0.5
"""mm by which more than the largest asked take-in may come off above the marks."""

KINK_TOLERANCE = 0.1  # degrees

ROUNDING = 1e-6
"""mm; a take-in that is smaller is none, and only what arithmetic or a spelling left over."""

SAMPLES = 81
"""How many heights from hem to blend are looked at for where a ruled seam lies outside."""

OFF_RULER = 1.0
"""mm; where a corner eased round its mark swings wider than this, a ruler no longer tells it."""

TIGHTEST_TURN = 25.0
"""mm; a curve that turns on a smaller radius than this cannot be sewn flat (common practice)."""

CURVE_SHARE = 0.9
"""How much of the way from the highest mark to the blend a curve may take."""

_HAIR = 0.01  # mm
_TRIED = 120  # curves tried for the longest that fits
_TRIED_SHARES = 24  # curves tried for whether any fits: some of those, so that one is found again

Flags = NDArray[np.bool_]
Controls = Sequence[tuple[float, float]]
"""Ascending (height, take-in) in mm, the hem first."""


@dataclass(frozen=True, eq=False)
class TruedSeam:
    """A new seam. Above `blend` it is the old one; from `blend - curve` to `blend` it curves.

    `eased` is what is taken off (style "follow"), or what turns the tangent at the blend into the
    new seam (style "straight"); `None` where nothing changes. `controls` are the marks that it
    passes, without those at the top where nothing comes off; `start` is the height of the hem.
    `shift` is what comes off besides, negative where it is added, as the leg's center was moved.
    """

    old: Line
    blend: float
    curve: float
    style: Style
    eased: EasedLine | None
    controls: tuple[tuple[float, float], ...] = ()
    start: float = 0.0
    shift: EasedLine | None = None

    @property
    def lines(self) -> tuple[EasedLine, ...]:
        """The eased lines that make it another line than the old seam."""
        return tuple(line for line in (self.eased, self.shift) if line is not None)

    @property
    def changed(self) -> bool:
        """Whether it is another line than the old seam."""
        return bool(self.lines)

    def grown(self, across: float, along: float) -> TruedSeam:
        """Return the seam larger by `across` and `along`, and all it is made of with it."""
        lines = (self.eased, self.shift)
        eased, shift = (line and line.grown(across, along) for line in lines)
        return TruedSeam(
            Grown(self.old, across, along),
            self.blend * along, self.curve * along, self.style, eased,
            tuple((height * along, take * across) for height, take in self.controls),
            self.start * along, shift,
        )  # fmt: skip

    @cached_property
    def knots(self) -> Array:
        """Ascending heights where the formula of the new seam changes; some may repeat."""
        old = self.old.knots
        if not self.lines:
            return old
        own = np.concatenate([*(line.joints for line in self.lines), [self.blend]])
        knots = np.concatenate([old, own[(own > self.start) & (own < old[-1])]])
        knots.sort()
        return knots

    def at(self, y: ArrayLike) -> Array:
        """Return the reach from the grainline, mm, at each height of `y`."""
        y = np.asarray(y, float)
        return self.at_from(y, self.old.at(y))

    def at_from(self, y: Array, old: Array) -> Array:
        """Return the same where the old seam's reach at `y` is known to be `old`."""
        own = self._own_at(y, old)
        return own if self.shift is None else own - self.shift.at(y)

    def _own_at(self, y: Array, old: Array) -> Array:
        if self.eased is None:
            return old
        if self.style == "follow":
            return old - self.eased.at(y)
        return np.where(y < self.blend, _tangent(self.old, self.blend, y) + self.eased.at(y), old)

    def slope(self, y: ArrayLike) -> Array:
        """Return the derivative at each height of `y`."""
        y = np.asarray(y, float)
        return self._slope_from(y, self.old.slope(y))

    def _slope_from(self, y: Array, old: Array) -> Array:
        """Return the derivative where the old seam has the derivative `old`."""
        own = self._own_slope(y, old)
        return own if self.shift is None else own - self.shift.slope(y)

    def _own_slope(self, y: Array, old: Array) -> Array:
        if self.eased is None:
            return old
        if self.style == "follow":
            return old - self.eased.slope(y)
        ruled = self.old.slope(self.blend - 1e-9) + self.eased.slope(y)
        return np.where(y < self.blend, ruled, old)

    def take_in(self, y: ArrayLike) -> Array:
        """Return how far the new seam lies inside the old one, mm; negative is let out."""
        return self.old.at(y) - self.at(y)

    @property
    def most_taken(self) -> float:
        """A bound of what comes off anywhere, mm; infinite where only a look at it would tell."""
        if not self.changed:
            return 0.0
        if self.shift is not None or self.eased is None or self.style != "follow":
            return math.inf
        # A sum of ramps, none of which grows upwards: most comes off at the hem.
        return self.controls[0][1] if self.eased.grades.min() >= 0 else math.inf

    @cached_property
    def length(self) -> float:
        """The true length, mm, from the hem to the top of the old seam."""
        return arc_length(self, self.start, float(self.old.knots[-1]))

    @cached_property
    def hem_slope(self) -> float:
        """Slope at the hem: how much the panel gains on this side for each mm of height."""
        return float(self._joints[0, -1])

    @property
    def last(self) -> float:
        """Height of the highest mark at which something comes off, mm."""
        return self.controls[-1][0] if self.controls else self.start

    @cached_property
    def outside(self) -> float:
        """The most, mm, that the new seam lies outside the old one; 0 where nowhere."""
        if self.shift is not None:
            knots = self.knots[(self.knots >= self.start) & (self.knots <= self.blend)]
            y = np.concatenate([[self.start], knots, np.linspace(self.start, self.blend, 161)])
            return max(0.0, -float(self.take_in(y).min()))
        if self.eased is None:
            return 0.0
        if self.style == "follow":
            if self.eased.grades.min() >= 0:  # a sum of ramps, and no ramp is below 0
                return 0.0
            return max(0.0, -_lowest(self.eased, self.start, self.blend))
        y = np.linspace(self.start, self.blend, SAMPLES)
        return max(0.0, -float(self.take_in(y).min()))

    @cached_property
    def more(self) -> float:
        """How much more, mm, comes off above the highest mark than at any mark; 0 where none."""
        if self.eased is None:
            return 0.0
        y = np.linspace(self.last, self.blend, SAMPLES)
        most = max(0.0, *(take for _, take in self.controls))
        return max(0.0, float(self.take_in(y).max()) - most)

    @property
    def excess(self) -> float:
        """How far, mm, it lies outside or takes more than what was asked allows; else below 0."""
        if self.shift is not None:
            return replace(self, shift=None).excess
        asked = max(0.0, *(-take for _, take in self.controls)) if self.controls else 0.0
        return max(self.outside - asked - OUTSIDE_TOLERANCE, self.more - MORE_TOLERANCE)

    @property
    def admissible(self) -> bool:
        """Whether it lies nowhere farther outside the old seam, and nowhere deeper, than asked."""
        return self.excess <= 0

    @property
    def off_ruler(self) -> tuple[tuple[float, float], ...]:
        """(height, mm) of each mark whose corner swings more than `OFF_RULER` off a ruled line."""
        if self.eased is None or len(self.controls) < 2:
            return ()
        swings = np.abs(self.eased.grades * self.eased.lengths)[:-1] / 8
        heights = [height for height, _ in self.controls[1:]]
        return tuple(
            (float(height), float(swing))
            for height, swing in zip(heights, swings, strict=True)
            if swing > OFF_RULER
        )

    @cached_property
    def turn_radius(self) -> float:
        """The tightest radius, mm, of the turn that the curve adds to what the old seam turns.

        Measured over sixteenths of the curve as length along the seam for each radian; infinite
        where it is nowhere near `TIGHTEST_TURN`.
        """
        if self.eased is None or self.curve > 4 * TIGHTEST_TURN * abs(float(self.eased.grades[-1])):
            return math.inf
        y = np.linspace(self.blend - self.curve, self.blend - 1e-9, 17)
        new, old = (np.abs(np.diff(np.arctan(line.slope(y)))) for line in (self, self.old))
        along = np.hypot(np.diff(y), np.diff(self.at(y)))
        return float((along / np.maximum(new - old, 1e-12)).min())

    @property
    def longest(self) -> bool:
        """Whether its curve is the longest admissible one, which a ruled seam tries first."""
        return self.curve == longest_curve(self.start, self.last, self.blend)

    @cached_property
    def kink(self) -> float:
        """The sharpest new corner in degrees: what the old seam had does not count."""
        if not self.changed:
            return 0.0
        new, old = bends(self._joints[:, :-1].reshape(2, 2, -1).swapaxes(0, 1))
        return max(0.0, float((new - old).max(initial=0.0)))

    @cached_property
    def _joints(self) -> Array:
        """Slopes of the new seam and of the old: below its inner knots, above them, at the hem."""
        y = np.concatenate([*around(self.knots[1:-1]), [self.start]])
        old = self.old.slope(y)
        return np.array([self._slope_from(y, old), old])


def true_seam(
    old: Line, controls: Controls, blend: float, curve: float | None, style: Style
) -> TruedSeam:
    """Return the new seam, trued into the old one at `blend`, over `curve` mm (`None`: chosen).

    Where the highest control takes nothing off, the seam blends there instead, and a curve that
    would reach a mark is shortened. Widths at the controls come out exact. The caller keeps `blend`
    above the last control; a straight seam that is not admissible is returned as it is, for
    `outside` and `more` to tell.
    """
    kept, blend = kept_controls(controls, blend)
    if not kept:
        return TruedSeam(old, blend, 0.0, style, None, start=controls[0][0])
    if curve is not None:
        curve = min(curve, longest_curve(kept[0][0], kept[-1][0], blend))
    elif style == "straight":
        curve = longest_straight_curve(old, kept, blend)
    if curve is None:
        curve = default_curve(kept[-1][0], blend)
    return _eased_seam(old, kept, blend, curve, style)


def kept_controls(controls: Controls, blend: float) -> tuple[Controls, float]:
    """Return the controls up to the highest that takes something off, and the blend with them.

    Where a higher control keeps its edge, the seam blends there.
    """
    kept = list(controls)
    while kept and abs(kept[-1][1]) < ROUNDING:
        blend = min(blend, kept.pop()[0])
    return kept, blend


def default_curve(last: float, blend: float) -> float:
    """Return half the way from the highest asked level to the blend."""
    return (blend - last) / 2


def longest_curve(first: float, last: float, blend: float) -> float:
    """Return the longest curve below `blend` that reaches no mark, mm.

    `first` is the hem and `last` the highest asked level; from a hem alone it may go all the way.
    """
    return blend - first if last <= first else CURVE_SHARE * (blend - last)


def longest_straight_curve(old: Line, controls: Controls, blend: float) -> float | None:
    """Return the longest curve with which a ruled seam is admissible, mm, or `None`."""
    most = longest_curve(controls[0][0], controls[-1][0], blend)
    tried = np.linspace(most, most / _TRIED, _TRIED)
    fits = _ruled_fits(old, controls, np.full(_TRIED, blend), tried)
    first = int(fits.argmax())
    if not fits[first] or first == 0:
        return most if fits[0] else None
    # Between the last curve that is too long and the first that fits, to 0.05 mm.
    tried = np.linspace(tried[first - 1], tried[first], int(most / _TRIED / 0.05) + 2)
    fits = _ruled_fits(old, controls, np.full(len(tried), blend), tried)
    return float(tried[fits.argmax()])


def ruled_blends(old: Line, controls: Controls, blends: Array, curve: float | None = None) -> Flags:
    """Return at which of `blends` (all above the last control) a ruled seam is admissible.

    With the curve that was asked for, shortened where it must be, or with any; one that turns more
    tightly than `TIGHTEST_TURN` is not.
    """
    first, last = controls[0][0], controls[-1][0]
    most = np.array([longest_curve(first, last, float(blend)) for blend in blends])
    if curve is not None:
        return _ruled_fits(old, controls, blends, np.minimum(curve, most), TIGHTEST_TURN)
    shares = np.linspace(1, 1 / _TRIED_SHARES, _TRIED_SHARES)
    curves = (most[:, None] * shares).ravel()
    blends = np.repeat(blends, _TRIED_SHARES)
    fits = _ruled_fits(old, controls, blends, curves, TIGHTEST_TURN)
    found: Flags = np.logical_or.reduce(fits.reshape(len(most), _TRIED_SHARES), axis=1)
    return found


def _ruled_fits(
    old: Line, controls: Controls, blends: Array, curves: Array, radius: float = 0.0
) -> Flags:
    """Return for each pair of blend and curve whether a ruled seam is admissible with it.

    It turns on a radius of at least `radius` mm into the old seam. Looked at on the same heights
    for all, so a hair within the tolerances.
    """
    heights, takes = np.array(controls, float).T
    slopes = old.slope(blends - 1e-9)[:, None]
    start = old.at(blends)[:, None] - slopes * blends[:, None]
    values = old.at(heights) - takes - start - slopes * heights
    tops = float(old.slope(heights[-1])) - slopes[:, 0]
    corners, lengths = ruled_corners(Marks(heights, values, blends, curves), tops, takes[-1:])
    y = np.linspace(heights[0], blends.max(), SAMPLES)
    eased, grades = eased_rows(y, heights, values, corners, lengths)
    taken = np.where(y <= blends[:, None], old.at(y) - start - slopes * y - eased, 0.0)
    inside = taken.min(axis=1) >= min(0.0, takes.min()) - OUTSIDE_TOLERANCE + _HAIR
    above = taken[:, y >= heights[-1]].max(axis=1)
    asked = above <= max(0.0, takes.max()) + MORE_TOLERANCE - _HAIR
    wide = curves >= radius * np.abs(grades[:, -1])
    fits: Flags = np.logical_and.reduce([inside, asked, wide])
    return fits


def straight_blends(
    olds: Sequence[Line], controls: Sequence[Controls], wanted: float, top: float
) -> Iterator[float]:
    """Yield the blends up to `top` at which a ruled seam fits all of `olds`, nearest first.

    Each seam with its own marks and its own longest curve; `wanted` is tried first.
    """
    low = max(own[-1][0] for own in controls)
    heights = np.array([wanted, *(low + (top - low) * np.linspace(1 / 48, 1, 48))])
    pairs = zip(olds, controls, strict=True)
    fits: Flags = np.all([ruled_blends(old, own, heights) for old, own in pairs], axis=0)
    found = heights[fits]
    yield from found[np.argsort(np.abs(found - wanted), kind="stable")].tolist()


def _eased_seam(
    old: Line, controls: Controls, blend: float, curve: float, style: Style
) -> TruedSeam:
    heights, takes = np.array(controls, float).T
    blends, curves = np.array([blend]), np.array([curve])
    ruled, values = style == "straight", takes
    if ruled:
        values = old.at(heights) - takes - _tangent(old, blend, heights)
    corners, lengths = blends - curves / 2, curves
    if len(heights) > 1:
        marks = Marks(heights, values[None], blends, curves)
        if ruled:
            tops = old.slope(heights[-1:]) - old.slope(blends - 1e-9)
            found = ruled_corners(marks, tops, takes[-1:])
        else:
            found = following_corners(marks)
        (corners,), (lengths,) = found
    eased = EasedLine.through(heights, values, corners, lengths)
    return TruedSeam(old, blend, curve, style, eased, tuple(controls), float(heights[0]))


def _tangent(old: Line, blend: ArrayLike, y: Array) -> Array:
    """Return the reach at `y` of the straight line that touches the old seam at the blend."""
    blend = np.asarray(blend, float)
    result: Array = old.at(blend) + old.slope(blend - 1e-9) * (y - blend)
    return result


def _lowest(eased: EasedLine, first: float, blend: float) -> float:
    """Return the least value from hem to blend, looked for 16 times in each piece of the line."""
    ends = np.concatenate([[first], np.clip(eased.knots, first, blend), [blend]])
    return float(eased.at(np.linspace(ends[:-1], ends[1:], 17)).min())
