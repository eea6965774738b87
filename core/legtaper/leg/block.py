"""The unaltered block: four seams as functions of height, and the levels they are named by."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from legtaper.geometry.curves import Array, Line, Point, arc_length, foot
from legtaper.model.project import EDGES, Edge, PanelName, SeamName, seam_of


@dataclass(frozen=True, eq=False)
class PanelRest:
    """What a traced panel has besides its two seams, as rows of points (n, 2) in mm.

    x runs from the grainline, outseam of the front at the left and of the back at the right.
    hem: from the inseam to the outseam; waist: from the outseam to the center; crotch: from
    there to the crotch point. The last two are empty where the leg alone was traced.
    """

    hem: Array
    waist: Array
    crotch: Array
    lines: tuple[Array, ...] = ()
    notches: tuple[Point, ...] = ()

    @property
    def slope(self) -> float:
        """Rise of the hem line from corner to corner, for each mm to the right."""
        (x0, y0), (x1, y1) = self.hem[0], self.hem[-1]
        return float((y1 - y0) / (x1 - x0))

    @cached_property
    def bow(self) -> float:
        """How far the hem lies off the straight line between its corners, mm."""
        along = self.hem[-1] - self.hem[0]
        off = np.abs((self.hem - self.hem[0]) @ np.array([-along[1], along[0]]))
        return float(off.max() / np.hypot(*along))

    @property
    def whole(self) -> bool:
        """Whether the piece was traced up to the waist."""
        return len(self.waist) > 1


OUTSEAM_SIDE: Mapping[PanelName, int] = {"front": -1, "back": 1}
"""On which side of the grainline the outseam lies: inseams face each other."""

HEM_BOW = 0.5
"""mm by which a traced hem may lie off a straight line and still fold flat."""


@dataclass(frozen=True)
class Block:
    """Net stitching lines of one leg. `y` runs up the grainline from the finished hem, mm.

    heights: every level that is named or placed, ascending, hem = 0.
    seams: reach from the grainline as a function of `y`, inseams up to the crotch point.
    measured: the heights at which each seam was given, for the fingerprint.
    fullest: name of the level that the leg hangs from.
    estimated: levels that were placed by the method and not measured.
    rests: what lies beyond the seams, of panels that were traced.
    """

    heights: Mapping[str, float]
    seams: Mapping[Edge, Line]
    fullest: str
    estimated: frozenset[str] = frozenset()
    label: str = ""
    _numbers: tuple[tuple[str, float, float], ...] = field(default=(), repr=False)
    rests: Mapping[PanelName, PanelRest] = field(default_factory=dict)

    @property
    def crotch(self) -> float:
        """Height of the crotch point, mm: the end of both inseams."""
        return self.heights["crotch"]

    @property
    def top(self) -> float:
        """Height of the fullest level, mm: the highest place an outseam may blend to."""
        return self.heights[self.fullest]

    def blend_top(self, seam: SeamName) -> float:
        """Return the highest admissible blend of a seam, mm above the hem."""
        return self.top if seam == "outseam" else self.crotch

    def reach(self, edge: Edge, y: ArrayLike) -> Array:
        """Return the reach of one old seam, mm, at each height of `y`."""
        return self.seams[edge].at(y)

    def circumference(self, y: ArrayLike) -> Array:
        """Return the width round the leg, mm, at each height of `y` up to the crotch."""
        total = self.seams[EDGES[0]].at(y)
        for edge in EDGES[1:]:
            total = total + self.seams[edge].at(y)
        return total

    def edges_at(self, y: float) -> tuple[Edge, ...]:
        """Return the seam edges that exist at height `y`: above the crotch only the outseams."""
        if y <= self.crotch:
            return EDGES
        return tuple(edge for edge in EDGES if seam_of(edge) == "outseam")

    def hem_slope(self, name: PanelName) -> float:
        """Return how the hem line of a panel rises for each mm to the right; 0 where level."""
        rest = self.rests.get(name)
        return 0.0 if rest is None else rest.slope

    @property
    def hem_bow(self) -> float:
        """How far a traced hem lies off a straight line, mm; more than `HEM_BOW` is a curve."""
        return max((rest.bow for rest in self.rests.values()), default=0.0)

    @cached_property
    def reaches(self) -> Mapping[Edge, Mapping[str, float]]:
        """Reach of every seam, mm, at the levels it has."""
        return reaches_at_levels(self, self.seams)

    @cached_property
    def lengths(self) -> Mapping[Edge, float]:
        """True length of every seam, mm, from the hem to its top."""
        return {edge: self.length_of(edge, seam) for edge, seam in self.seams.items()}

    def hem_of(self, edge: Edge) -> tuple[int, float]:
        """Return the side of the grainline that an edge lies on, and the slope of its hem."""
        name: PanelName = "front" if edge.startswith("front") else "back"
        side = OUTSEAM_SIDE[name] if seam_of(edge) == "outseam" else -OUTSEAM_SIDE[name]
        return side, self.hem_slope(name)

    def length_of(self, edge: Edge, seam: Line) -> float:
        """Return the true length, mm, of a seam that takes the place of the block's own."""
        low = foot(seam, *self.hem_of(edge))
        return arc_length(seam, low, float(self.seams[edge].knots[-1]))

    @cached_property
    def fingerprint(self) -> str:
        """A short hash of the block's numbers; the same numbers in other words or units match."""
        text = ";".join(f"{name}:{y:.6f}:{reach:.6f}" for name, y, reach in sorted(self._numbers))
        return hashlib.sha256(text.encode()).hexdigest()[:16]


def reaches_at_levels(
    block: Block, seams: Mapping[Edge, Line]
) -> Mapping[Edge, Mapping[str, float]]:
    """Return the reach of each seam, mm, at every level of the block that the seam has."""
    found: dict[Edge, dict[str, float]] = {}
    for edge, seam in seams.items():
        top = min(block.blend_top(seam_of(edge)), float(seam.knots[-1])) + 1e-9
        levels = [level for level, y in block.heights.items() if y <= top]
        reaches = seam.at([block.heights[level] for level in levels])
        found[edge] = dict(zip(levels, reaches.tolist(), strict=True))
    return found


def level_numbers(
    heights: Mapping[str, float], seams: Mapping[str, tuple[Array, Array]]
) -> tuple[tuple[str, float, float], ...]:
    """Return what a fingerprint is taken of: every height, and every point of every seam."""
    levels = [(f"height {name}", y, 0.0) for name, y in heights.items()]
    points = [
        (edge, float(y), float(reach))
        for edge, (ys, reaches) in seams.items()
        for y, reach in zip(np.asarray(ys), np.asarray(reaches), strict=True)
    ]
    return tuple(levels + points)
