"""The unaltered block: four seams as functions of height, and the levels they are named by."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from legtaper.curves import Array, Line, arc_length
from legtaper.project import EDGES, Edge, SeamName, seam_of


@dataclass(frozen=True)
class Block:
    """Net stitching lines of one leg. `y` runs up the grainline from the finished hem, mm.

    heights: every level that is named or placed, ascending, hem = 0.
    seams: reach from the grainline as a function of `y`, inseams up to the crotch point.
    measured: the heights at which each seam was given, for the fingerprint.
    fullest: name of the level that the leg hangs from.
    estimated: levels that were placed by the method and not measured.
    """

    heights: Mapping[str, float]
    seams: Mapping[Edge, Line]
    fullest: str
    estimated: frozenset[str] = frozenset()
    label: str = ""
    _numbers: tuple[tuple[str, float, float], ...] = field(default=(), repr=False)

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

    @cached_property
    def reaches(self) -> Mapping[Edge, Mapping[str, float]]:
        """Reach of every seam, mm, at the levels it has."""
        return reaches_at_levels(self, self.seams)

    @cached_property
    def lengths(self) -> Mapping[Edge, float]:
        """True length of every seam, mm, from the hem to its top."""
        return {
            edge: arc_length(seam, 0.0, float(seam.knots[-1])) for edge, seam in self.seams.items()
        }

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
