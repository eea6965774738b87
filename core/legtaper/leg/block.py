"""The unaltered block: four seams as functions of height, and the levels they are named by."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from legtaper.geometry.curves import Array, CarriedOn, Grown, Line, Point, foot, lengths_up_to
from legtaper.model.project import EDGES, SEWN, Edge, PanelName, SeamName, panel_of, seam_of


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

    def grown(self, size: Array) -> PanelRest:
        """Return it with every point times `size`, across and along."""
        return PanelRest(
            self.hem * size, self.waist * size, self.crotch * size,
            tuple(line * size for line in self.lines),
            tuple((x * float(size[0]), y * float(size[1])) for x, y in self.notches),
        )  # fmt: skip

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

_NEAR_CALF = 100.0  # mm: common practice
HEM_BOW = 0.5
"""mm by which a traced hem may lie off a straight line and still fold flat: common practice."""


@dataclass(frozen=True, eq=False)
class Block:
    """Net seam lines of one leg. `y` runs up the grainline from the finished hem, mm.

    heights: every level that is named or placed, ascending; the hem lies at 0, or where a design
    ends the leg. below: levels that lie below that end. whole: the block that was ended so.
    panel_heights: what a panel has in their place, where its level lies elsewhere.
    seams: reach from the grainline as a function of `y`, inseams up to the crotch point.
    measured: the heights at which each seam was given, for the fingerprint.
    fullest: name of the level that the leg hangs from.
    estimated: levels that were placed at a usual height and not measured.
    rests: what lies beyond the seams, of panels that were traced.
    """

    heights: Mapping[str, float]
    seams: Mapping[Edge, Line]
    fullest: str
    estimated: frozenset[str] = frozenset()
    label: str = ""
    _numbers: tuple[tuple[str, float, float], ...] = field(default=(), repr=False)
    rests: Mapping[PanelName, PanelRest] = field(default_factory=dict)
    panel_heights: Mapping[PanelName, Mapping[str, float]] = field(default_factory=dict)
    below: frozenset[str] = frozenset()
    whole: Block | None = field(default=None, repr=False)

    @property
    def start(self) -> float:
        """Height at which the leg ends, mm above the hem of the block as it was measured."""
        return self.heights["hem"]

    @property
    def slit_end(self) -> float:
        """Height of the calf, mm, which no hem and no slit goes above.

        Of a leg that ends near the calf or above it, half of the way to the crotch point.
        """
        calf = self.heights.get("calf", self.start)
        if calf - self.start >= _NEAR_CALF or not self.start:
            return calf
        return (self.start + self.crotch) / 2

    def ended(self, height: float) -> Block:
        """Return the block with its leg ended at `height`, mm above its own hem.

        What lies below is no level any more; a longer leg goes on along the seams' tangents.
        """
        block = self.whole or self
        if not height:
            return block
        left = {level: y for level, y in block.heights.items() if y > height + 1 and level != "hem"}
        gone = frozenset(block.heights) - set(left) - {"hem"}
        seams: Mapping[Edge, Line] = block.seams
        if height < 0:
            seams = {edge: CarriedOn(seam, height) for edge, seam in seams.items()}
        own = {
            panel: {level: y for level, y in heights.items() if level in left}
            for panel, heights in block.panel_heights.items()
        }
        rests = {
            panel: replace(rest, hem=rest.hem[[0, -1]] + (0.0, height))
            for panel, rest in block.rests.items()
        }
        return replace(
            block, heights={"hem": height, **left}, seams=seams, panel_heights=own, rests=rests,
            below=gone, whole=block,
        )  # fmt: skip

    def grown(self, across: float, along: float) -> Block:
        """Return the block larger by `across` and `along`: the pattern of it before the wash."""
        size = np.array([across, along])

        def all_up(heights: Mapping[str, float]) -> Mapping[str, float]:
            return {level: y * along for level, y in heights.items()}

        return replace(
            self,
            heights=all_up(self.heights),
            panel_heights={panel: all_up(own) for panel, own in self.panel_heights.items()},
            seams={edge: Grown(seam, across, along) for edge, seam in self.seams.items()},
            rests={panel: rest.grown(size) for panel, rest in self.rests.items()},
            whole=None if self.whole is None else self.whole.grown(across, along),
        )

    def height_on(self, panel: PanelName, level: str) -> float:
        """Return the height, mm, of a level on one panel."""
        return self.panel_heights.get(panel, {}).get(level, self.heights[level])

    def knee_on(self, panel: PanelName) -> float:
        """Return the height, mm, of the knee on one panel; where the leg ends above it, the end."""
        return self.height_on(panel, "knee") if "knee" in self.heights else self.start

    def apart(self, level: str) -> bool:
        """Whether front and back have a level at heights of their own."""
        return self.height_on("front", level) != self.height_on("back", level)

    @cached_property
    def crotch(self) -> float:
        """Height of the lower crotch point, mm: up to here there is a leg to go round."""
        return min(self.height_on("front", "crotch"), self.height_on("back", "crotch"))

    @cached_property
    def top(self) -> float:
        """Height of the fullest level, mm: the highest place an outseam may blend to."""
        return min(self.height_on("front", self.fullest), self.height_on("back", self.fullest))

    def blend_top(self, seam: SeamName) -> float:
        """Return the highest admissible blend of a seam, mm above the hem."""
        return self.top if seam == "outseam" else self.crotch

    def seam_top(self, edge: Edge) -> float:
        """Return where a seam ends as it is drawn, mm: at the hip, crotch point or waist."""
        if seam_of(edge) == "inseam":
            return self.height_on(panel_of(edge), "crotch")
        rest = self.rests.get(panel_of(edge))
        if rest is not None and rest.whole:
            return float(self.seams[edge].knots[-1])
        return self.height_on(panel_of(edge), self.fullest)

    @property
    def hem_name(self) -> str:
        """What all heights count from: the leg may end above or below the block's own hem."""
        return "block's hem" if self.start else "hem"

    def goes_round(self, level: str) -> bool:
        """Whether there is a leg to go round at a level: not above the crotch."""
        return self.heights[level] <= self.heights["crotch"]

    def reach(self, edge: Edge, y: ArrayLike) -> Array:
        """Return the reach of one old seam, mm, at each height of `y`."""
        return self.seams[edge].at(y)

    def circumference(self, y: ArrayLike) -> Array:
        """Return the width around the leg, mm, at each height of `y` up to the crotch."""
        return reach_around(self.seams, y)

    @cached_property
    def widths(self) -> Mapping[str, float]:
        """Width around the leg, mm, at every level up to the crotch."""
        return widths_at_levels(self, self.reaches)

    def edges_at(self, level: str) -> tuple[Edge, ...]:
        """Return the seam edges that exist at a level: above the crotch only the outseams."""
        return EDGES if self.goes_round(level) else SEWN["outseam"]

    def hem_slope(self, name: PanelName) -> float:
        """Return how the hem line of a panel rises for each mm to the right; 0 where level."""
        rest = self.rests.get(name)
        return 0.0 if rest is None else rest.slope

    @property
    def hem_bow(self) -> float:
        """How far a traced hem lies off a straight line, mm; more than `HEM_BOW` is a curve."""
        return max((rest.bow for rest in self.rests.values()), default=0.0)

    @cached_property
    def least_reach(self) -> Mapping[Edge, float]:
        """The smallest reach of each seam, mm: at a knot, as no line swings out between two."""
        return {edge: float(seam.at(seam.knots).min()) for edge, seam in self.seams.items()}

    @cached_property
    def levels_on(self) -> Mapping[Edge, tuple[tuple[str, ...], Array]]:
        """The levels that each seam has, and their heights on its panel, mm."""
        found: dict[Edge, tuple[tuple[str, ...], Array]] = {}
        for edge in EDGES:
            panel = panel_of(edge)
            last = "crotch" if seam_of(edge) == "inseam" else self.fullest
            top = min(self.height_on(panel, last), float(self.seams[edge].knots[-1])) + 1e-9
            own = {level: self.height_on(panel, level) for level in self.heights}
            levels = tuple(level for level, y in own.items() if y <= top)
            found[edge] = levels, np.array([own[level] for level in levels])
        return found

    @cached_property
    def reaches(self) -> Mapping[Edge, Mapping[str, float]]:
        """Reach of every seam, mm, at the levels it has."""
        return {
            edge: dict(zip(self.levels_on[edge][0], row.tolist(), strict=True))
            for edge, row in self.reach_rows.items()
        }

    @cached_property
    def reach_rows(self) -> Mapping[Edge, Array]:
        """The same as a row for each seam, in the order of `levels_on`."""
        return {edge: seam.at(self.levels_on[edge][1]) for edge, seam in self.seams.items()}

    @cached_property
    def lengths(self) -> Mapping[Edge, float]:
        """True length of every seam, mm, from the hem to its top."""
        return {edge: along[1] for edge, along in self._knee_and_top.items()}

    @cached_property
    def knee_lengths(self) -> Mapping[Edge, float]:
        """True length of every seam, mm, from the hem to its panel's knee level."""
        return {edge: along[0] for edge, along in self._knee_and_top.items()}

    @cached_property
    def _knee_and_top(self) -> Mapping[Edge, tuple[float, ...]]:
        found: dict[Edge, tuple[float, ...]] = {}
        for edge, seam in self.seams.items():
            stops = self.knee_on(panel_of(edge)), self.seam_top(edge)
            found[edge] = self.lengths_along(edge, seam, stops)
        return found

    def hem_of(self, edge: Edge) -> tuple[int, float]:
        """Return the side of the grainline that an edge lies on, and the slope of its hem."""
        name: PanelName = "front" if edge.startswith("front") else "back"
        side = OUTSEAM_SIDE[name] if seam_of(edge) == "outseam" else -OUTSEAM_SIDE[name]
        return side, self.hem_slope(name)

    def lengths_along(self, edge: Edge, seam: Line, heights: Sequence[float]) -> tuple[float, ...]:
        """Return the true length, mm, from the hem line up to each height.

        `seam` may take the place of the block's own `edge`.
        """
        low = foot(seam, *self.hem_of(edge), self.start)
        return tuple(lengths_up_to(seam, low, heights).tolist())

    @cached_property
    def fingerprint(self) -> str:
        """A short hash of the block's numbers; the same numbers in other words or units match."""
        text = ";".join(f"{name}:{y:.6f}:{reach:.6f}" for name, y, reach in sorted(self._numbers))
        return hashlib.sha256(text.encode()).hexdigest()[:16]


def reach_around(seams: Mapping[Edge, Line], y: ArrayLike) -> Array:
    """Return the four reaches together, mm, at each height of `y`."""
    total = seams[EDGES[0]].at(y)
    for edge in EDGES[1:]:
        total = total + seams[edge].at(y)
    return total


def widths_at_levels(
    block: Block, reaches: Mapping[Edge, Mapping[str, float]]
) -> Mapping[str, float]:
    """Return the width around the leg, mm, at every level up to the crotch."""
    levels = [level for level in block.heights if block.goes_round(level)]
    return {level: sum(reaches[edge][level] for edge in EDGES) for level in levels}


def level_numbers(
    heights: Mapping[str, float],
    seams: Mapping[str, tuple[Array, Array]],
    panel_heights: Mapping[PanelName, Mapping[str, float]] | None = None,
) -> tuple[tuple[str, float, float], ...]:
    """Return what a fingerprint is taken of: every height, and every point of every seam."""
    levels = [(f"height {name}", y, 0.0) for name, y in heights.items()]
    for panel, own in (panel_heights or {}).items():
        levels += [(f"height {panel} {name}", y, 0.0) for name, y in own.items()]
    points = [
        (edge, float(y), float(reach))
        for edge, (ys, reaches) in seams.items()
        for y, reach in zip(np.asarray(ys), np.asarray(reaches), strict=True)
    ]
    return tuple(levels + points)
