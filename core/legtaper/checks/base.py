"""What a check is, what it finds, and the leg it looks at.

A check says all about itself. Where it can fail, `margin` gives how much there is to spare: the
fit of one design, the sweep of thousands and the limits ask that same function, of a leg whose
measures are single numbers or arrays with one number for each variant.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import reduce
from typing import TYPE_CHECKING, Literal, Protocol

import numpy as np

from legtaper.geometry.curves import Array
from legtaper.leg.block import Block
from legtaper.leg.foot import FootEntry, SlitPlan
from legtaper.leg.hem import HemSize
from legtaper.leg.taper import Taper
from legtaper.model.lengths import say_length
from legtaper.model.project import SEWN, Design, Edge, PanelName, Project, SeamName
from legtaper.model.said_lengths import say_around, say_small

if TYPE_CHECKING:  # what is cut is loaded where something is
    from legtaper.leg.panel import Panel

    Pieces = Mapping[PanelName, Panel]
    """The panels of a leg, cut."""

Status = Literal["pass", "caution", "fail", "unknown"]


@dataclass(frozen=True, slots=True)
class Finding:
    """What one check found. `value` and `limit` are mm, degrees, percent or a ratio.

    `where` is a level or an edge.
    """

    id: str
    status: Status
    value: float | None
    limit: float | None
    where: str
    says: str
    estimated: bool = False


class Measured(Protocol):
    """The measures that a margin may ask for, in mm: of one leg, or of many variants at once."""

    @property
    def project(self) -> Project:
        """The project that all variants share."""

    @property
    def design(self) -> Design:
        """The design, but for what comes off at the hem."""

    @property
    def block(self) -> Block:
        """The block that all variants share."""

    @property
    def foot(self) -> FootEntry | None:
        """What the hem must let through."""

    def width(self, level: str) -> Array:
        """Return the finished width around the leg at a level."""

    def kink(self, edge: Edge) -> Array:
        """Return the sharpest new corner of a seam in degrees; what is tolerated may count as 0."""

    def outside(self, edge: Edge) -> Array:
        """Return how far a seam lies outside the old one."""

    def excess(self, edge: Edge) -> Array:
        """Return how far a seam lies outside, or takes more, than what is admissible; or less."""

    def turn_radius(self, edge: Edge) -> Array:
        """Return the tightest radius of the turn that a curve adds; infinite far from too tight."""

    def blend(self, edge: Edge) -> float:
        """Return the height at which a seam becomes the old one."""

    def length(self, edge: Edge) -> Array:
        """Return the true length of a seam from hem to top."""

    def knee_length(self, edge: Edge) -> Array:
        """Return the true length of a seam from the hem to its panel's knee level."""

    def passing(self) -> Array:
        """Return the lowest height at which the foot passes, NaN where none or not known."""

    @property
    def shortest_slit(self) -> float:
        """The slit that the sewn-down hem leaves open."""


@dataclass(frozen=True, eq=False)
class Leg:
    """The leg of one design: everything that a check may look at.

    panels: what `cut` makes of it; `None` where only the seams are judged.
    """

    project: Project
    design: Design
    taper: Taper
    foot: FootEntry | None
    slit: SlitPlan
    hem: HemSize
    panels: Pieces | None = None

    @property
    def block(self) -> Block:
        """The block that the leg is made from."""
        return self.taper.block

    def width(self, level: str) -> Array:
        """Return the finished width around the leg at a level, mm."""
        return np.asarray(self.taper.finished[level])

    def kink(self, edge: Edge) -> Array:
        """Return the sharpest new corner of a seam, degrees."""
        return np.asarray(self.taper.seams[edge].kink)

    def outside(self, edge: Edge) -> Array:
        """Return how far a seam lies outside the old one, mm."""
        return np.asarray(self.taper.seams[edge].outside)

    def excess(self, edge: Edge) -> Array:
        """Return how far a seam lies outside, or takes more, than what is admissible, mm."""
        return np.asarray(self.taper.seams[edge].excess)

    def turn_radius(self, edge: Edge) -> Array:
        """Return the tightest radius of the turn that a curve adds, mm."""
        return np.asarray(self.taper.seams[edge].turn_radius)

    def blend(self, edge: Edge) -> float:
        """Return the height at which a seam becomes the old one, mm."""
        return self.taper.seams[edge].blend

    def length(self, edge: Edge) -> Array:
        """Return the true length of a seam, mm."""
        return np.asarray(self.taper.lengths[edge])

    def knee_length(self, edge: Edge) -> Array:
        """Return the true length of a seam from the hem to its panel's knee level, mm."""
        return np.asarray(self.taper.lengths_to[edge]["knee"])

    def passing(self) -> Array:
        """Return the lowest height at which the foot passes, mm; NaN where none or not known."""
        lowest = self.slit.lowest
        return np.asarray(np.nan if lowest is None else lowest)

    @property
    def shortest_slit(self) -> float:
        """The slit that the sewn-down hem leaves open, mm."""
        return self.slit.shortest

    def say(self, mm: float) -> str:
        """Say a length in the project's unit."""
        return say_length(mm, self.project.length_unit)

    def say_around(self, mm: float) -> str:
        """Say a width around the leg in the project's unit."""
        return say_around(mm, self.project.length_unit)

    def say_small(self, mm: float) -> str:
        """Say a small length in the project's unit."""
        return say_small(mm, self.project.length_unit)


@dataclass(frozen=True, eq=False)
class Check:
    """One check.

    name: what it is called. says: what it finds on a leg, a finding for each place. steps: the
    steps of the job that show it and can mend it, the one where it is mended first. fails_as: what
    it means that it fails, in a few words. margin: how much there is to spare, negative where it
    fails; `None` where it never does. cut: whether it looks at the panels, cut. moves: which moves
    of `remedies` can touch it, those that give up least first. one_place: whether it looks at one
    place alone, which then need not be said beside its name.
    """

    id: str
    name: str
    says: Callable[[Leg], Iterator[Finding]]
    steps: tuple[str, ...] = ()
    fails_as: str = ""
    margin: Callable[[Measured], Array] | None = None
    cut: bool = False
    moves: tuple[str, ...] = ()
    one_place: bool = False


def edges_of(seam: SeamName) -> tuple[Edge, ...]:
    """Return the edge of the front and that of the back."""
    return SEWN[seam]


def least(margins: list[Array]) -> Array:
    """Return the smallest of several margins, for each variant."""
    return reduce(np.minimum, margins)  # in a fifth of the time that broadcasting them takes
