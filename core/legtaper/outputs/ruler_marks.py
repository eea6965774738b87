"""How marks are rounded to a ruler's steps, so that what a hand draws through them is the seam."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from legtaper.geometry.curves import Array
from legtaper.model.lengths import round_to, size_of
from legtaper.model.project import SEWN, Edge
from legtaper.outputs.hand_curve import Hand

REDRAWN = 1.0
"""mm; what is redrawn by rounded marks is to lie no farther off the seam (common practice)."""

_OF_A_STEP = 0.625  # by a coarse ruler it may lie so much of a step off (rounding, and a hair)

_HAIR = 0.1  # mm by which a piece may lie farther off than the mark of a level at its end
_SHARP = 6  # the power by which the farthest counts more than all the rest
_TURNS = 16


def spread(
    values: Mapping[Edge, float], step: str, still: Collection[Edge] = ()
) -> dict[Edge, float]:
    """Round values of four edges, mm, so that their sum is right to half a step.

    Each goes to a step beside it: those that are rounded up are chosen for the least error, and
    among equals so that front and back of a seam go alike. `still` ones are 0, whatever the sum.
    """
    size = size_of(step)
    counts = {edge: value / size for edge, value in values.items()}
    low = {edge: 0 if edge in still else math.floor(at + 1e-6) for edge, at in counts.items()}
    free = [edge for edge in low if edge not in still]
    up = math.floor(sum(counts.values()) - sum(low.values()) + 0.5)
    up = min(max(up, 0), len(free))
    chosen = min(combinations(free, up), key=lambda edges: _cost(counts, low, edges))
    return {edge: round_to((low[edge] + (edge in chosen)) * size, step) for edge in low}


def _cost(
    counts: Mapping[Edge, float], low: Mapping[Edge, int], up: Sequence[Edge]
) -> tuple[float, int]:
    error = sum((low[edge] + (edge in up) - count) ** 2 for edge, count in counts.items())
    unlike = sum((front in up) != (back in up) for front, back in SEWN.values())
    return round(error, 6), unlike


class Redrawn:
    """The drawing of one edge by its marks, of which those at levels are rounded already.

    up: what joins each mark to the next; fixed: which marks are at a level around the leg.
    """

    def __init__(self, hand: Hand, up: Sequence[str], fixed: Sequence[bool], step: str) -> None:
        """Take what is drawn, by what, and which of its marks have no choice."""
        self.hand, self.step = hand, step
        self.curved = np.array([by == "curve" for by in up[:-1]], bool)
        self.ruled = np.array([by == "ruler" for by in up[:-1]], bool)
        self.fixed = np.array(fixed, bool)
        lines, laths = hand.per_mark()
        own = hand.curves()
        self._moves = _rows(lines, laths, lines, curved=self.curved, ruled=self.ruled)
        ruled = hand.ruled(np.zeros(len(hand.heights)))
        self._off = _rows(own[0], own[1], ruled, curved=self.curved, ruled=self.ruled)

    def round(self, exact: Sequence[float], at_levels: Sequence[float]) -> list[float]:
        """Return the rounded distances of all marks, mm, chosen to draw the seam best.

        exact: the distances; at_levels: those of fixed marks rounded, anything for the rest. Each
        goes to a step beside it. What the french curve does is taken for what straight lines do.
        """
        size = size_of(self.step)
        near = [round_to(mm, self.step) for mm in exact]
        shown = np.where(self.fixed, at_levels, near)
        off = shown - np.array(exact)
        free = np.flatnonzero(~self.fixed)
        tries = [(mark, way * size) for mark in free for way in (-1, 1)]
        drawn = self._off + self._moves @ off
        for _ in range(_TURNS if tries and len(drawn) else 0):
            allowed = [(m, mm) for m, mm in tries if abs(off[m] + mm) < size - 1e-6]
            if not allowed:
                break
            marks, by = (np.array(column) for column in zip(*allowed, strict=True))
            moved = drawn[:, None] + self._moves[:, marks] * by
            bad = (np.abs(moved) ** _SHARP).sum(axis=0)
            best = int(bad.argmin())
            if bad[best] >= (np.abs(drawn) ** _SHARP).sum() * (1 - 1e-9):
                break
            off[marks[best]] += by[best]
            drawn = moved[:, best]
        return [round_to(mm, self.step) for mm in np.array(exact) + off]

    def over(self, off: Array) -> Array:
        """Return by how much each piece lies farther off than it may, mm; below 0 it does not.

        off: how far each mark is off, mm. A mark that a width needs takes its pieces along.
        """
        at_ends = np.abs(np.where(self.fixed, off, 0.0))
        least = max(REDRAWN, _OF_A_STEP * size_of(self.step))
        allowed = np.maximum(least, np.maximum(at_ends[:-1], at_ends[1:]) + _HAIR)
        over: Array = self.hand.worst(off, self.curved, self.ruled) - allowed
        return over


def _rows(
    careful: Array, lath: Array, line: Array,
    *, curved: NDArray[np.bool_], ruled: NDArray[np.bool_],
) -> Array:  # fmt: skip
    """Return a row for each height that is looked at: of curved pieces both curves, else lines."""
    marks = careful.shape[2:]
    parts = (careful[:, curved], lath[:, curved], line[:, ruled])
    return np.concatenate([part.reshape(-1, *marks) for part in parts])
