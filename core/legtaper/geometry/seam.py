"""One new seam: from take-ins at asked levels, a blend height and a curve, into the old seam.

Style "follow" takes an eased line off the old seam, so the new one keeps its character. Style
"straight" makes the new seam itself the eased line, which a yardstick can mark, where that stays
inside the old seam.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from legtaper.geometry.curves import Array, EasedLine, Line, arc_length, eased_rows, kinks
from legtaper.model.project import Style

OUTSIDE_TOLERANCE = 0.3
"""mm by which a straight seam may lie outside the old one: less than a pencil line."""

KINK_TOLERANCE = 0.1  # degrees

ROUNDING = 1e-6
"""mm; a take-in that is smaller is none, and only what arithmetic or a spelling left over."""

SAMPLES = 81
"""How many heights from hem to blend are looked at for where a ruled seam lies outside."""

Controls = Sequence[tuple[float, float]]
"""Ascending (height, take-in) in mm, the hem first."""


@dataclass(frozen=True, eq=False)
class TruedSeam:
    """A new seam. Above `blend` it is the old one; from `blend - curve` to `blend` it curves.

    `eased` is what is taken off (style "follow"), or what turns the tangent at the blend into the
    new seam (style "straight"); `None` where nothing changes.
    """

    old: Line
    blend: float
    curve: float
    style: Style
    eased: EasedLine | None

    @cached_property
    def knots(self) -> Array:
        """Ascending heights where the formula of the new seam changes; some may repeat."""
        old = self.old.knots
        if self.eased is None:
            return old
        own = self.eased.knots
        own = own[(own > 0) & (own < old[-1])]
        return np.sort(np.concatenate([old, own, [self.blend]]))

    def at(self, y: ArrayLike) -> Array:
        """Return the reach from the grainline, mm, at each height of `y`."""
        y = np.asarray(y, float)
        old = self.old.at(y)
        if self.eased is None:
            return old
        if self.style == "follow":
            return old - self.eased.at(y)
        return np.where(y < self.blend, _tangent(self.old, self.blend, y) + self.eased.at(y), old)

    def slope(self, y: ArrayLike) -> Array:
        """Return the derivative at each height of `y`."""
        y = np.asarray(y, float)
        old = self.old.slope(y)
        if self.eased is None:
            return old
        if self.style == "follow":
            return old - self.eased.slope(y)
        ruled = self.old.slope(self.blend - 1e-9) + self.eased.slope(y)
        return np.where(y < self.blend, ruled, old)

    def take_in(self, y: ArrayLike) -> Array:
        """Return how far the new seam lies inside the old one, mm; negative is let out."""
        return self.old.at(y) - self.at(y)

    @cached_property
    def length(self) -> float:
        """The true length, mm, from the hem to the top of the old seam."""
        return arc_length(self, 0.0, float(self.old.knots[-1]))

    @cached_property
    def hem_slope(self) -> float:
        """Slope at the hem: how much the panel gains on this side for each mm of height."""
        return float(self.slope(0.0))

    @cached_property
    def outside(self) -> float:
        """The most, mm, that the new seam lies outside the old one; 0 where nowhere."""
        if self.eased is None:
            return 0.0
        if self.style == "follow":
            if self.eased.grades.min() >= 0:  # a sum of ramps, and no ramp is below 0
                return 0.0
            return max(0.0, -_lowest(self.eased, self.blend))
        return max(0.0, -float(self.take_in(np.linspace(0, self.blend, SAMPLES)).min()))

    @property
    def first_choice(self) -> bool:
        """Whether its corners are those tried first: none was tightened to stay inside."""
        if self.eased is None:
            return True
        heights = np.append(0.0, self.eased.corners[:-1])
        usual = _corner_lengths(heights, self.blend, self.curve)
        return np.array_equal(self.eased.lengths[:-1], usual)

    @property
    def longest(self) -> bool:
        """Whether its curve is the longest admissible one, which a ruled seam tries first."""
        last = 0.0 if self.eased is None or len(self.eased.corners) < 2 else self.eased.corners[-2]
        return self.curve == longest_curve(float(last), self.blend)

    @cached_property
    def kink(self) -> float:
        """The sharpest new corner in degrees: what the old seam had does not count."""
        if self.eased is None:
            return 0.0
        inner = self.knots[1:-1]
        own = kinks(self, inner) - kinks(self.old, inner)
        return max(0.0, float(own.max(initial=0.0)))


def true_seam(
    old: Line, controls: Controls, blend: float, curve: float | None, style: Style
) -> TruedSeam:
    """Return the new seam, trued into the old one at `blend`, over `curve` mm (`None`: chosen).

    Where the highest control takes nothing off, the seam blends there instead. Widths at the
    controls come out exact. The caller keeps `blend` above the last control and `curve` within
    `longest_curve`; a straight seam that leaves the old one is returned as it is, for `outside`
    to tell.
    """
    kept = list(controls)
    while kept and abs(kept[-1][1]) < ROUNDING:
        blend = min(blend, kept.pop()[0])
    if not kept:
        return TruedSeam(old, blend, 0.0, style, None)
    if curve is not None:
        curve = min(curve, longest_curve(kept[-1][0], blend))
    elif style == "straight":
        curve = longest_straight_curve(old, kept, blend)
    if curve is None:
        curve = default_curve(kept[-1][0], blend)
    return _eased_seam(old, kept, blend, curve, style)


def default_curve(last: float, blend: float) -> float:
    """Return half the way from the highest asked level to the blend."""
    return (blend - last) / 2


def longest_curve(last: float, blend: float) -> float:
    """Return the longest admissible curve below `blend`, the highest asked level being `last`."""
    return min(blend, 2 * (blend - last))


def longest_straight_curve(old: Line, controls: Controls, blend: float) -> float | None:
    """Return the longest curve with which a ruled seam stays inside the old one, or `None`."""
    most = longest_curve(controls[-1][0], blend)
    tried = np.linspace(most, most / 120, 120)
    fits = _ruled_outside(old, controls, blend, tried) <= OUTSIDE_TOLERANCE
    first = int(fits.argmax())
    if not fits[first] or first == 0:
        return most if fits[0] else None
    # Between the last curve that is too long and the first that fits, to 0.05 mm.
    tried = np.linspace(tried[first - 1], tried[first], int(most / 120 / 0.05) + 2)
    fits = _ruled_outside(old, controls, blend, tried) <= OUTSIDE_TOLERANCE
    return float(tried[fits.argmax()])


def _ruled_outside(old: Line, controls: Controls, blend: float, curves: Array) -> Array:
    """Return how far, mm, a ruled seam would lie outside the old one with each of `curves`."""
    heights = np.array([height for height, _ in controls])
    takes = np.array([take for _, take in controls])
    y = np.linspace(0, blend, SAMPLES)
    rows = len(curves), 1
    corners = np.hstack([np.tile(heights[1:], rows), blend - curves[:, None] / 2])
    rounding = [_corner_lengths(heights, blend, float(curve)) for curve in curves]
    values = old.at(heights) - takes - _tangent(old, blend, heights)
    lengths = np.hstack([np.array(rounding), curves[:, None]])
    eased = eased_rows(y, heights, values, corners, lengths)
    outside: Array = (eased - (old.at(y) - _tangent(old, blend, y))).max(axis=1)
    return outside


def straight_blends(
    olds: Sequence[Line], controls: Controls, wanted: float, top: float
) -> Iterator[float]:
    """Yield the blends up to `top` at which a ruled seam fits all of `olds`, nearest first.

    Each seam with its own longest curve; `wanted` is tried first.
    """
    low = controls[-1][0]
    heights = [wanted, *(low + (top - low) * np.linspace(1 / 48, 1, 48))]
    for blend in sorted(heights, key=lambda height: abs(height - wanted)):
        if all(longest_straight_curve(old, controls, float(blend)) is not None for old in olds):
            yield float(blend)


def _eased_seam(
    old: Line, controls: Controls, blend: float, curve: float, style: Style
) -> TruedSeam:
    heights = np.array([height for height, _ in controls])
    takes = np.array([take for _, take in controls])
    corners = np.append(heights[1:], blend - curve / 2)
    rounding = _corner_lengths(heights, blend, curve)
    if style == "straight":
        values = old.at(heights) - takes - _tangent(old, blend, heights)
        eased = EasedLine.through(heights, values, corners, np.append(rounding, curve))
        return TruedSeam(old, blend, curve, style, eased)
    eased = EasedLine.through(heights, takes, corners, np.append(rounding, curve))
    # Where the take-in dips between two asked levels, a wide corner could swing outside the old
    # seam; a tighter one does not.
    inside = len(rounding) > 0 and takes.min() >= 0
    while inside and rounding.max() > 0.5 and _lowest(eased, blend) < -0.02:
        rounding = np.where(rounding > 0.5, rounding / 2, rounding)
        eased = EasedLine.through(heights, takes, corners, np.append(rounding, curve))
    return TruedSeam(old, blend, curve, style, eased)


def _tangent(old: Line, blend: float, y: Array) -> Array:
    """Return the reach at `y` of the straight line that touches the old seam at the blend."""
    return old.at(blend) + old.slope(blend - 1e-9) * (y - blend)


def _lowest(eased: EasedLine, blend: float) -> float:
    """Return the least value from hem to blend, looked for 16 times in each piece of the line."""
    ends = np.concatenate([[0.0], np.clip(eased.knots, 0.0, blend), [blend]])
    return float(eased.at(np.linspace(ends[:-1], ends[1:], 17)).min())


def _corner_lengths(heights: Array, blend: float, curve: float) -> Array:
    """Return the length of the corner at every asked level but the hem: the longest with room."""
    if len(heights) == 1:
        return np.empty(0)
    gaps = np.diff(heights)
    free = 2 * (blend - curve - heights[-1])
    least = min(gaps[-1], blend - heights[-1]) / 4
    room: Array = np.minimum(gaps, np.append(gaps[1:], max(free, least)))
    return room
