"""taper(block, design): the four new seams of one design."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import islice
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike

from legtaper.geometry.curves import Array
from legtaper.geometry.seam import (
    TruedSeam,
    longest_curve,
    ruled_blends,
    straight_blends,
    true_seam,
)
from legtaper.leg.block import (
    OUTSEAM_SIDE,
    Block,
    reach_around,
    widths_at_levels,
)
from legtaper.leg.widths import AskedLevel, asked_levels
from legtaper.model.lengths import Length, parse_length, say_length
from legtaper.model.project import (
    EDGES,
    SEAMS,
    SEWN,
    Design,
    Edge,
    PanelName,
    ProjectError,
    SeamName,
    Style,
    Unit,
    panel_of,
    seam_of,
)
from legtaper.model.said_lengths import fine_step, say_bound

Stop = Literal["hem", "knee", "blend", "top"]
"""Where a seam is measured along: a level, or where the new seam becomes the old one."""

BELOW_CROTCH: Mapping[Unit, float] = {"in": 25.4, "cm": 25.0}
"""An inseam blends this far below the crotch point unless told, mm: common practice."""

_SHORTEST_LEG = 50.0  # mm from the crotch point down: common practice
_STEPS = 48
"""How many blends are tried for the range of a ruled seam."""


@dataclass(frozen=True, eq=False)
class Taper:
    """One design on one block: what was asked, and the four new seams.

    curves: the lengths of the curves that were asked for, mm, which the seams may have shortened.
    shifts: by how much the center of the leg was moved towards the outseam at a level, mm.
    """

    block: Block
    asked: tuple[AskedLevel, ...]
    seams: Mapping[Edge, TruedSeam]
    style: Style
    curves: Mapping[SeamName, float] = field(default_factory=dict)
    shifts: Mapping[str, float] = field(default_factory=dict)

    def reach(self, edge: Edge, y: ArrayLike) -> Array:
        """Return the reach of a new seam, mm, at each height of `y`."""
        return self.seams[edge].at(y)

    def take_in(self, edge: Edge, y: ArrayLike) -> Array:
        """Return what came off at an edge, mm, at each height of `y`."""
        return self.seams[edge].take_in(y)

    def circumference(self, y: ArrayLike) -> Array:
        """Return the finished width around the leg, mm, at each height of `y` up to the crotch."""
        return reach_around(self.seams, y)

    @cached_property
    def reaches(self) -> Mapping[Edge, Mapping[str, float]]:
        """Reach of every new seam, mm, at the levels it has."""
        found: dict[Edge, Mapping[str, float]] = {}
        for edge, old in self.block.reach_rows.items():
            levels, heights = self.block.levels_on[edge]
            row = self.seams[edge].at_from(heights, old)  # which runs as high as the old one
            found[edge] = dict(zip(levels, row.tolist(), strict=True))
        return found

    @cached_property
    def finished(self) -> Mapping[str, float]:
        """Finished width around the leg, mm, at every level up to the crotch."""
        return widths_at_levels(self.block, self.reaches)

    @cached_property
    def lengths(self) -> Mapping[Edge, float]:
        """True length of every new seam, mm, from the hem to the top of the old one."""
        return {edge: along["top"] for edge, along in self.lengths_to.items()}

    @cached_property
    def lengths_to(self) -> Mapping[Edge, Mapping[Stop, float]]:
        """True length of every new seam, mm, from the hem up to knee, blend and top."""
        found: dict[Edge, dict[Stop, float]] = {}
        for edge, seam in self.seams.items():
            knee, top = self.block.knee_on(panel_of(edge)), self.block.seam_top(edge)
            blend = min(max(seam.blend, self.block.start), top)
            lengths = self.block.lengths_along(edge, seam, (knee, blend, top))
            found[edge] = dict(zip(("knee", "blend", "top"), lengths, strict=True))
        return found

    def taken(self, edge: Edge, level: str) -> float:
        """Return what came off an edge at a level, mm."""
        return self.block.reaches[edge][level] - self.reaches[edge][level]

    def edges(self, seam: SeamName) -> tuple[TruedSeam, TruedSeam]:
        """Return the front and the back of a seam."""
        front, back = SEWN[seam]
        return self.seams[front], self.seams[back]

    def last_asked(self, seam: SeamName) -> float:
        """Return the height of the highest level at which this seam was asked to change, mm."""
        return max(_last_height(self.asked, seam), *self._shift_heights)

    def grown(self, across: float, along: float) -> Taper:
        """Return the taper larger by `across` and `along`: what is cut before the wash."""
        return Taper(
            self.block.grown(across, along),
            tuple(asked.grown(across, along) for asked in self.asked),
            {edge: seam.grown(across, along) for edge, seam in self.seams.items()},
            self.style,
            {seam: mm * along for seam, mm in self.curves.items()},
            {level: mm * across for level, mm in self.shifts.items()},
        )

    @property
    def _shift_heights(self) -> list[float]:
        return [self.block.start, *(self.block.heights[level] for level in self.shifts)]

    def shifted(self, edge: Edge, level: str) -> float:
        """Return what came off an edge at a level, mm, as the center of the leg was moved."""
        line = self.seams[edge].shift
        y = self.block.height_on(panel_of(edge), level)
        return 0.0 if line is None else float(line.at(y))

    def crease(self, name: PanelName) -> Array | None:
        """Return the crease line of a panel where the leg's center was moved, else `None`.

        Points (x, y) in mm, the outseam on its side of the grainline: through the moved centers,
        up to where the grainline is the middle of the leg again.
        """
        line = self.seams["front_inseam"].shift
        if line is None:
            return None
        start, end = self.block.start, float(line.knots[-1])
        y = np.unique(
            np.concatenate([np.linspace(start, end, _STEPS), np.clip(line.knots, start, end)])
        )
        return np.column_stack([OUTSEAM_SIDE[name] * line.at(y), y])

    def roomed(self, edge: Edge, level: str) -> float:
        """Return what an edge was asked to keep at a level, mm, as room on the back panel alone."""
        rooms = [asked.room for asked in self.asked if asked.level == level]
        return rooms[0] / 2 if rooms and panel_of(edge) == "back" else 0.0

    def shortened(self, seam: SeamName) -> tuple[float, float] | None:
        """Return the curve that was asked for and the one there is room for, mm, where shorter."""
        asked, found = self.curves.get(seam), min(one.curve for one in self.edges(seam))
        if asked is None or not found or asked <= found + 1e-6:
            return None
        return asked, found


def taper(block: Block, design: Design, unit: Unit) -> Taper:
    """Make the four new seams of a design. Raises `ProjectError` naming what cannot be."""
    block = block.ended(_leg_end(block, design, unit))
    asked = asked_levels(block, design)
    shifts = {at: mm.mm for at, mm in design.shift.items() if mm.mm and at in block.heights}
    shifted = max((block.heights[level] for level in shifts), default=block.start)
    seams: dict[Edge, TruedSeam] = {}
    for edge in EDGES:
        seam = seam_of(edge)
        last = max(_last_height(asked, seam), shifted)
        blend = blend_height(block, design, seam, last, unit)
        curve = _curve(design, seam)
        own = {a.level: block.height_on(panel_of(edge), a.level) for a in asked}
        plain = [(own[a.level], a.take_in + a.added(edge)) for a in asked if a.take_in is not None]
        trued = true_seam(block.seams[edge], plain, blend, curve, design.style)
        pinched = [a for a in asked if a.take_in is None and a.added(edge)]
        if pinched:
            # Where only an extra is asked, it is added to what the line takes off there anyway.
            added = [
                (own[a.level], float(trued.take_in(own[a.level])) + a.added(edge)) for a in pinched
            ]
            controls = sorted(plain + added)
            trued = true_seam(block.seams[edge], controls, blend, curve, design.style)
        seams[edge] = trued
    if shifts:
        last = max(shifted, *(_last_height(asked, seam) for seam in SEAMS))
        blend = min(blend_height(block, design, seam, last, unit) for seam in SEAMS)
        seams = _moved(block, seams, shifts, blend)
    curves = {seam: length.mm for seam, length in design.curve.items()}
    result = Taper(block, asked, seams, design.style, curves, shifts)
    _check_reaches(result, design)
    return result


def _leg_end(block: Block, design: Design, unit: Unit) -> float:
    """Return where a design ends the leg, mm above the block's hem. Raises `ProjectError`."""
    asked = design.hem.height
    if asked is None or not asked.mm:
        return 0.0
    crotch = (block.whole or block).crotch
    low, high = -crotch / 2, crotch - _SHORTEST_LEG
    if not low <= asked.mm <= high:
        raise ProjectError(
            f'design "{design.name}".hem.height',
            f"{asked.text} is out of range; a leg ends from {say_length(low, unit)} (longer than "
            f"the block) to {say_length(high, unit)} above the block's hem",
        )
    return asked.mm


def _moved(
    block: Block, seams: Mapping[Edge, TruedSeam], shifts: Mapping[str, float], blend: float
) -> dict[Edge, TruedSeam]:
    """Return the seams with the center of the leg moved: outseams out, inseams in by as much.

    Between levels in straight lines, running out to nothing at `blend`, as a take-in would.
    """
    marks = {block.start: 0.0} | {block.heights[level]: mm for level, mm in shifts.items()}
    line = true_seam(seams["front_outseam"].old, sorted(marks.items()), blend, None, "follow")
    assert line.eased is not None  # a shift is never 0
    found = {}
    for edge, seam in seams.items():
        moved = line.eased.grown(-1.0 if seam_of(edge) == "outseam" else 1.0)
        own = seam if seam.eased else replace(seam, blend=line.blend, curve=line.curve)
        found[edge] = replace(own, shift=moved)
    return found


def _last_height(asked: tuple[AskedLevel, ...], seam: SeamName) -> float:
    """Return the highest asked level at which this seam changes: the hem where none above it."""
    changed = [a.height for a in asked if any(map(a.changes, SEWN[seam]))]
    return max(changed, default=asked[0].height)


def blend_height(block: Block, design: Design, seam: SeamName, last: float, unit: Unit) -> float:
    """Return where a seam blends, mm: as asked, or at the usual height.

    `last` is the highest asked level. Raises `ProjectError` where the blend is out of range.
    """
    top = block.blend_top(seam)
    if last >= top:
        raise _no_room(block, design, seam, last, unit)
    asked = design.blend.get(seam)
    if asked is None:
        usual = top if seam == "outseam" else top - BELOW_CROTCH[unit]
        return max(usual, (last + top) / 2)
    # A blend above the fullest level is a finding (hang), as long as the block was measured there.
    highest = min(float(block.seams[edge].knots[-1]) for edge in EDGES if seam_of(edge) == seam)
    if not last < asked.mm <= highest + 1e-6:
        low, high = (
            say_bound(last, unit, "at least"),
            say_bound(highest, unit, "at most", fine_step(unit)),
        )
        raise ProjectError(
            f'design "{design.name}".blend.{seam}',
            f"{asked.text} is out of range; right is above {low}, the highest level asked for, "
            f"and up to {high}",
        )
    return min(asked.mm, highest)


def _no_room(block: Block, design: Design, seam: SeamName, last: float, unit: Unit) -> ProjectError:
    level = next(name for name, height in block.heights.items() if height == last)
    part = "width" if level in design.width else "take_in"
    if level in design.extra.get(seam, {}):
        part = f"extra.{seam}"
    elif level in design.back_room:
        part = "back_room"
    return ProjectError(
        f'design "{design.name}".{part}.{level}',
        f"an {seam} is the old one from {say_length(block.blend_top(seam), unit)} up; "
        "ask for a change at a lower level",
    )


def _curve(design: Design, seam: SeamName) -> float | None:
    asked = design.curve.get(seam)
    if asked is not None and asked.mm <= 0:
        raise ProjectError(
            f'design "{design.name}".blend.{seam}_curve', f"{asked.text} must be more than 0"
        )
    return asked.mm if asked else None


def _check_reaches(result: Taper, design: Design) -> None:
    """Refuse a seam that would cross the grainline: there would be no panel left."""
    for edge in EDGES:
        trued = result.seams[edge]
        if trued.most_taken < result.block.least_reach[edge]:
            continue
        y = np.linspace(trued.start, max(trued.blend, trued.start), 31)
        reaches = trued.at(y)
        if reaches.min() <= 0:
            at = float(y[reaches.argmin()])
            level = min(result.asked, key=lambda a: abs(a.height - at)).level
            part = "width" if level in design.width else "take_in"
            raise ProjectError(
                f'design "{design.name}".{part}.{level}',
                f"takes more off the {edge.replace('_', ' ')} than the block has there",
            )


def curve_range(tapered: Taper, seam: SeamName) -> tuple[float, float]:
    """Return how long the curve of a seam may be, mm: more than the first, up to the second."""
    one = tapered.edges(seam)[0]
    return 0.0, longest_curve(one.start, one.last, one.blend)


def blend_range(tapered: Taper, seam: SeamName) -> tuple[float, float] | None:
    """Return between which heights a seam may blend, mm; `None` where a ruled seam never fits.

    Above the first, which is the highest level asked for, up to the second: the highest a seam may
    blend, or a level above that where nothing comes off. A ruled seam may blend from the one to the
    other, its curve as asked for or else its own: the run of heights nearest to where it blends.
    """
    low, top = tapered.last_asked(seam), _highest_blend(tapered, seam)
    if tapered.style == "follow" or all(one.eased is None for one in tapered.edges(seam)):
        return low, top
    heights = low + (top - low) * np.linspace(1 / _STEPS, 1, _STEPS)
    fits = np.ones(_STEPS, bool)
    for one in tapered.edges(seam):
        fits &= ruled_blends(one.old, one.controls, heights, tapered.curves.get(seam))
    if not fits.any():
        return None
    off = np.where(fits, np.abs(heights - tapered.edges(seam)[0].blend), np.inf)
    first = last = int(off.argmin())
    while first > 0 and fits[first - 1]:
        first -= 1
    while last < _STEPS - 1 and fits[last + 1]:
        last += 1
    return float(heights[first]), float(heights[last])


def _highest_blend(tapered: Taper, seam: SeamName) -> float:
    """Return the top of a seam, or a level below it that keeps its edge above all that do not."""
    low = tapered.last_asked(seam)
    kept = [asked.height for asked in tapered.asked if asked.height > low]
    return min([tapered.block.blend_top(seam), *kept])


def nearest_ruled_blend(
    tapered: Taper, design: Design, seam: SeamName, unit: Unit
) -> Length | None:
    """Return the blend nearest to the present one at which a ruled seam fits, or `None`.

    It is rounded as a person would say it, and fits as rounded, with the curve left open.
    """
    pair = tapered.edges(seam)
    if not all(one.controls for one in pair):
        return None
    olds, controls = [one.old for one in pair], [one.controls for one in pair]
    curve = {name: length for name, length in design.curve.items() if name != seam}
    top = _highest_blend(tapered, seam)
    wanted = min(pair[0].blend, top)
    for height in islice(straight_blends(olds, controls, wanted, top), 8):
        blend = parse_length(say_length(height, unit), unit)
        tried = replace(design, blend={**design.blend, seam: blend}, curve=curve)
        try:
            ruled = taper(tapered.block, tried, unit)
        except ProjectError:
            continue
        if all(one.admissible for one in ruled.edges(seam)):
            return blend
    return None


def widths_by_style(
    block: Block, design: Design, unit: Unit, levels: Sequence[str] = ("knee", "thigh")
) -> dict[Style, dict[str, float]]:
    """Return the finished width around the leg, mm, that each style leaves at some levels.

    A style in which the design cannot be made on this block is left out.
    """
    found: dict[Style, dict[str, float]] = {}
    for style in get_args(Style):
        try:
            finished = taper(block, replace(design, style=style), unit).finished
        except ProjectError:
            continue
        found[style] = {level: finished[level] for level in levels if level in finished}
    return found
