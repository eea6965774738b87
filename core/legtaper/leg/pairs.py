"""Front and back of a seam, as they are sewn together: how long each is, zone by zone."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from legtaper.geometry.curves import NODES, WEIGHTS
from legtaper.leg.block import Block
from legtaper.leg.taper import Stop, Taper
from legtaper.model.project import SEWN, Edge, PanelName, SeamName

SAME = 0.05
"""mm; front and back that differ by no more than this are equally long: rounding."""

_NO_LENGTH = 1e-3  # mm; a shorter zone is none: rounding


class Zone(NamedTuple):
    """One stretch of a sewn pair: true lengths in mm, from stop to stop on each panel."""

    start: Stop
    end: Stop
    front: float
    back: float

    @property
    def difference(self) -> float:
        """Back less front, mm."""
        return self.back - self.front


class SewnPair(NamedTuple):
    """Front and back of one seam, from the hem up.

    Below and above the knee: back less front, mm, on the new seams and (`block_...`) on the old.
    length_above: how long the shorter of the two old seams is above the knee, mm.
    """

    seam: SeamName
    zones: tuple[Zone, ...]
    below_knee: float
    above_knee: float
    block_below_knee: float
    block_above_knee: float
    length_above: float

    @property
    def difference(self) -> float:
        """Back less front of the whole new seam, mm."""
        return self.below_knee + self.above_knee

    @property
    def block_difference(self) -> float:
        """Back less front of the whole old seam, mm."""
        return self.block_below_knee + self.block_above_knee

    @property
    def longer(self) -> PanelName | None:
        """The longer panel of the new seam, or `None` where both are equally long."""
        if abs(self.difference) <= SAME:
            return None
        return "back" if self.difference > 0 else "front"


def sewn_pairs(tapered: Taper) -> tuple[SewnPair, ...]:
    """Return both sewn pairs of a leg, zones cut at knee and blend on each panel."""
    return tuple(_pair(tapered, seam) for seam in SEWN)


def _pair(tapered: Taper, seam: SeamName) -> SewnPair:
    block, (front, back) = tapered.block, SEWN[seam]
    along = [{"hem": 0.0, **tapered.lengths_to[edge]} for edge in (front, back)]
    stops = _stops(tapered, front)
    if any(one[low] > one[high] for one in along for low, high in pairwise(stops)):
        stops = "hem", "top"  # front and back have knee and blend in another order
    zones = tuple(
        Zone(low, high, *(one[high] - one[low] for one in along))
        for low, high in pairwise(stops)
        if any(one[high] - one[low] > _NO_LENGTH for one in along)
    )
    below, whole = (one[back] - one[front] for one in (_to_knee(tapered), tapered.lengths))
    own = _own_pair(block, seam)
    return own._replace(zones=zones, below_knee=below, above_knee=whole - below)


def own_pairs(block: Block) -> tuple[SewnPair, ...]:
    """Return both sewn pairs of a block as it is, without zones."""
    return tuple(_own_pair(block, seam) for seam in SEWN)


def _own_pair(block: Block, seam: SeamName) -> SewnPair:
    front, back = SEWN[seam]
    below, whole = (one[back] - one[front] for one in (block.knee_lengths, block.lengths))
    above = min(block.lengths[edge] - block.knee_lengths[edge] for edge in (front, back))
    return SewnPair(seam, (), below, whole - below, below, whole - below, above)


def _to_knee(tapered: Taper) -> Mapping[Edge, float]:
    return {edge: along["knee"] for edge, along in tapered.lengths_to.items()}


def _stops(tapered: Taper, edge: Edge) -> tuple[Stop, ...]:
    """Return where the zones of a seam begin and end; one that stays as it is has no blend."""
    if not tapered.seams[edge].changed:
        return "hem", "knee", "top"
    along = tapered.lengths_to[edge]
    if along["knee"] >= along["blend"]:
        return "hem", "blend", "top"
    return "hem", "knee", "blend", "top"


def lowering(block: Block) -> float:
    """Return by how much, mm, the back crotch point must come down for inseams of equal length.

    The back inseam is drawn again above the knee, as far out at each share of the way up as it was.
    0 where the back is not the longer one.
    """
    front, back = SEWN["inseam"]
    knee, top = block.knee_on("back"), block.seam_top(back)
    line = block.seams[back]
    wanted = block.lengths[front] - block.knee_lengths[back]
    ends = np.concatenate([[knee], line.knots[(line.knots > knee) & (line.knots < top)], [top]])
    spans = np.diff(ends)[:, None]
    slopes = line.slope(ends[:-1, None] + spans * NODES)

    def length(share: float) -> float:
        return float(np.sum(np.hypot(share, slopes) * spans * WEIGHTS))

    low, high = 0.5, 1.0
    if length(high) <= wanted:
        return 0.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (low, middle) if length(middle) > wanted else (middle, high)
    return (1 - low) * (top - knee)
