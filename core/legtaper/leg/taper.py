"""taper(block, design): the four new seams of one design."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice

import numpy as np
from numpy.typing import ArrayLike

from legtaper.geometry.curves import Array
from legtaper.geometry.seam import (
    OUTSIDE_TOLERANCE,
    ROUNDING,
    TruedSeam,
    longest_curve,
    straight_blends,
    true_seam,
)
from legtaper.leg.block import Block, reaches_at_levels, widths_at_levels
from legtaper.leg.widths import AskedLevel, asked_levels
from legtaper.model.lengths import Length, parse_length, say_length
from legtaper.model.project import (
    EDGES,
    Design,
    Edge,
    ProjectError,
    SeamName,
    Style,
    Unit,
    panel_of,
    seam_of,
)

BELOW_CROTCH: Mapping[Unit, float] = {"in": 25.4, "cm": 25.0}
"""An inseam blends this far below the crotch point unless told, mm."""


@dataclass(frozen=True)
class Taper:
    """One design on one block: what was asked, and the four new seams."""

    block: Block
    asked: tuple[AskedLevel, ...]
    seams: Mapping[Edge, TruedSeam]
    style: Style

    def reach(self, edge: Edge, y: ArrayLike) -> Array:
        """Return the reach of a new seam, mm, at each height of `y`."""
        return self.seams[edge].at(y)

    def take_in(self, edge: Edge, y: ArrayLike) -> Array:
        """Return what came off at an edge, mm, at each height of `y`."""
        return self.seams[edge].take_in(y)

    def circumference(self, y: ArrayLike) -> Array:
        """Return the finished width round the leg, mm, at each height of `y` up to the crotch."""
        total = self.seams[EDGES[0]].at(y)
        for edge in EDGES[1:]:
            total = total + self.seams[edge].at(y)
        return total

    @cached_property
    def reaches(self) -> Mapping[Edge, Mapping[str, float]]:
        """Reach of every new seam, mm, at the levels it has."""
        return reaches_at_levels(self.block, self.seams)

    @cached_property
    def finished(self) -> Mapping[str, float]:
        """Finished width round the leg, mm, at every level up to the crotch."""
        return widths_at_levels(self.block, self.reaches)

    @cached_property
    def lengths(self) -> Mapping[Edge, float]:
        """True length of every new seam, mm, from the hem to the top of the old one."""
        return {edge: self.block.length_of(edge, seam) for edge, seam in self.seams.items()}

    def taken(self, edge: Edge, level: str) -> float:
        """Return what came off an edge at a level, mm."""
        return self.block.reaches[edge][level] - self.reaches[edge][level]

    def last_asked(self, seam: SeamName) -> float:
        """Return the height of the highest level at which this seam was asked for, mm."""
        heights = [0.0]
        heights += [a.height for a in self.asked if a.take_in is not None or a.extra.get(seam)]
        return max(heights)


def taper(block: Block, design: Design, unit: Unit) -> Taper:
    """Make the four new seams of a design. Raises `ProjectError` naming what cannot be."""
    asked = asked_levels(block, design)
    seams: dict[Edge, TruedSeam] = {}
    for edge in EDGES:
        seam = seam_of(edge)
        last = _last_height(asked, seam)
        blend = blend_height(block, design, seam, last, unit)
        curve = _curve(design, seam, last, blend, unit)
        own = {a.level: block.height_on(panel_of(edge), a.level) for a in asked}
        plain = [
            (own[a.level], a.take_in + a.extra.get(seam, 0.0))
            for a in asked
            if a.take_in is not None
        ]
        trued = true_seam(block.seams[edge], plain, blend, curve, design.style)
        pinched = [a for a in asked if a.take_in is None and a.extra.get(seam)]
        if pinched:
            # Where only an extra is asked, it is added to what the line takes off there anyway.
            added = [
                (own[a.level], float(trued.take_in(own[a.level])) + a.extra[seam]) for a in pinched
            ]
            controls = sorted(plain + added)
            trued = true_seam(block.seams[edge], controls, blend, curve, design.style)
        seams[edge] = trued
    result = Taper(block, asked, seams, design.style)
    _check_reaches(result, design)
    _check_curves(result, design, unit)
    return result


def _last_height(asked: tuple[AskedLevel, ...], seam: SeamName) -> float:
    """Return the highest asked level at which this seam changes: 0 where none above the hem."""
    changed = [
        a.height
        for a in asked
        if abs((a.take_in or 0.0) + a.extra.get(seam, 0.0)) >= ROUNDING
        or (a.take_in is None and a.extra.get(seam))
    ]
    return max(changed, default=0.0)


def blend_height(block: Block, design: Design, seam: SeamName, last: float, unit: Unit) -> float:
    """Return where a seam blends, mm: as asked, or the method's default.

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
        low, high = say_length(last, unit), say_length(highest, unit)
        raise ProjectError(
            f'design "{design.name}".blend.{seam}',
            f"{asked.text} is out of range; it must lie above {low}, the highest level asked for, "
            f"and at most {high} above the hem",
        )
    return min(asked.mm, highest)


def _no_room(block: Block, design: Design, seam: SeamName, last: float, unit: Unit) -> ProjectError:
    level = next(name for name, height in block.heights.items() if height == last)
    part = "width" if level in design.width else "take_in"
    if level in design.extra.get(seam, {}):
        part = f"extra.{seam}"
    return ProjectError(
        f'design "{design.name}".{part}.{level}',
        f"an {seam} is the old one from {say_length(block.blend_top(seam), unit)} up; "
        "ask for a change at a lower level",
    )


def _curve(design: Design, seam: SeamName, last: float, blend: float, unit: Unit) -> float | None:
    asked = design.curve.get(seam)
    if asked is None:
        return None
    most = longest_curve(last, blend)
    if not 0 < asked.mm <= most + 1e-6:
        raise ProjectError(
            f'design "{design.name}".blend.{seam}_curve',
            f"{asked.text} is out of range; with this blend it is more than 0 and at most "
            f"{say_length(most, unit)}",
        )
    return min(asked.mm, most)


def _check_reaches(result: Taper, design: Design) -> None:
    """Refuse a seam that would cross the grainline: there would be no panel left."""
    for edge in EDGES:
        trued = result.seams[edge]
        y = np.linspace(0, trued.blend, 31)
        reaches = trued.at(y)
        if reaches.min() <= 0:
            at = float(y[reaches.argmin()])
            level = min(result.asked, key=lambda a: abs(a.height - at)).level
            part = "width" if level in design.width else "take_in"
            raise ProjectError(
                f'design "{design.name}".{part}.{level}',
                f"takes more off the {edge.replace('_', ' ')} than the block has there",
            )


def _check_curves(result: Taper, design: Design, unit: Unit) -> None:
    """Refuse an asked curve so long that it swings a seam out of the old one lower down."""
    for edge, trued in result.seams.items():
        seam = seam_of(edge)
        if seam not in design.curve or design.style != "follow" or trued.outside <= 0.05:
            continue
        if min(float(trued.take_in(a.height)) for a in result.asked) > -1e-9:
            sure = trued.blend - _last_height(result.asked, seam)
            raise ProjectError(
                f'design "{design.name}".blend.{seam}_curve',
                f"{design.curve[seam].text} is too long for these levels: the seam would leave the "
                f"old one below; {say_length(sure, unit)} is sure to fit",
            )


def nearest_ruled_blend(
    tapered: Taper, design: Design, seam: SeamName, unit: Unit
) -> Length | None:
    """Return the blend nearest to the present one at which a ruled seam fits, or `None`.

    It is rounded as a person would say it, and fits as rounded, with the curve left open.
    """
    edges = [edge for edge in EDGES if seam_of(edge) == seam]
    top = tapered.block.blend_top(seam)
    controls = [
        (a.height, float(tapered.take_in(edges[0], a.height)))
        for a in tapered.asked
        if a.take_in is not None or a.extra.get(seam)
    ]
    while len(controls) > 1 and abs(controls[-1][1]) < 1e-9:
        top = controls.pop()[0]  # the seam blends there at the latest
    olds = [tapered.block.seams[edge] for edge in edges]
    curve = {name: length for name, length in design.curve.items() if name != seam}
    wanted = min(tapered.seams[edges[0]].blend, top)
    for height in islice(straight_blends(olds, controls, wanted, top), 8):
        blend = parse_length(say_length(height, unit), unit)
        tried = replace(design, blend={**design.blend, seam: blend}, curve=curve)
        try:
            ruled = taper(tapered.block, tried, unit)
        except ProjectError:
            continue
        if all(ruled.seams[edge].outside <= OUTSIDE_TOLERANCE for edge in edges):
            return blend
    return None
