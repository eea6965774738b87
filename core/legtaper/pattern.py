"""The whole job on one page: from a project to the pattern of one leg."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from legtaper.block_sources.imported import block_from_outline
from legtaper.block_sources.measured import block_from_table
from legtaper.checks.base import Finding, Leg
from legtaper.checks.registry import look
from legtaper.geometry.curves import Line
from legtaper.geometry.offset import (
    Width,
    allowance_widths,
    muslin_widths,
)
from legtaper.leg.block import Block
from legtaper.leg.foot import FootEntry, SlitPlan, hem_need, plan_slit, shortest_slit
from legtaper.leg.hem import HemSize, hem_size
from legtaper.leg.slit import slit_stops
from legtaper.leg.taper import Taper, taper
from legtaper.model.project import SEWN, Design, Edge, PanelName, Project, SeamName

if TYPE_CHECKING:
    from legtaper.checks.base import Pieces

AS_IT_IS = Design(name="")
"""Asks for nothing: the block without any narrowing. No design of a file is without a name."""


@dataclass(frozen=True, eq=False)
class Fit:
    """A design on a block, trued and judged: everything but the cutting."""

    project: Project
    design: Design
    block: Block
    taper: Taper
    foot: FootEntry | None
    slit: SlitPlan
    hem: HemSize
    findings: tuple[Finding, ...]

    @property
    def leg(self) -> Leg:
        """The leg as the checks look at it."""
        return Leg(self.project, self.design, self.taper, self.foot, self.slit, self.hem)

    @property
    def failed(self) -> bool:
        """Whether any finding failed."""
        return any(finding.status == "fail" for finding in self.findings)

    @cached_property
    def grown(self) -> Fit:
        """The fit as it is marked and cut before the wash: larger by what the fabric shrinks.

        Itself where that does not shrink. What it found is what the washed leg is.
        """
        across, along = self.project.fabric.growth
        if across == along == 1:
            return self
        taper = self.taper.grown(across, along)
        slit, hem = self.slit, self.hem
        high = None if slit.height is None else slit.height * along
        return replace(
            self,
            block=taper.block,
            taper=taper,
            slit=slit._replace(height=high, shortest=slit.shortest * along),
            hem=hem._replace(depth=hem.depth * along, turn_under=hem.turn_under * along),
        )

    @property
    def is_the_block(self) -> bool:
        """Whether nothing is asked for: the block as it is."""
        return not self.design.name


@dataclass(frozen=True, eq=False)
class Pattern:
    """A fit, cut: the narrowed leg and the leg as the block has it, each as front and back.

    muslin: whether it is cut for a test, from fabric that was not and will not be washed.
    """

    fit: Fit
    allowance: Width
    muslin: bool = False

    @property
    def drawn(self) -> Fit:
        """The fit as it is cut: grown by what the fabric will shrink, but for a muslin."""
        return self.fit if self.muslin else self.fit.grown

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every finding of the fit, and those that only the cut lines can show."""
        return (*self.fit.findings, *self._uncut)

    @property
    def failed(self) -> bool:
        """Whether any finding failed."""
        return any(finding.status == "fail" for finding in self.findings)

    @cached_property
    def _uncut(self) -> tuple[Finding, ...]:
        return look(replace(self.fit.leg, panels=self.narrowed))

    @cached_property
    def for_test(self) -> Pattern:
        """The same pattern with the allowances of a muslin, wide along the outseams."""
        project = self.fit.project
        wide = muslin_widths(project.allowance, project.length_unit)
        return replace(self, allowance=wide, muslin=True)

    @cached_property
    def narrowed(self) -> Pieces:
        """The new leg, with hem, slit, allowances and notches."""
        drawn = self.drawn
        block, seams = drawn.block, drawn.taper.seams
        blends = {seam: seams[front].blend for seam, (front, _) in SEWN.items()}
        slit = slit_stops(block, seams, drawn.slit.height)
        return self._leg(block, seams, drawn.hem, blends, slit)

    @cached_property
    def unaltered(self) -> Pieces:
        """The leg as the block has it, hemmed alike, for the muslin test."""
        block = self.fit.block
        return self._leg(block, block.seams, self.fit.hem, {}, {})

    def _leg(
        self,
        block: Block,
        seams: Mapping[Edge, Line],
        hem: HemSize,
        blends: Mapping[SeamName, float],
        slit: Mapping[PanelName, float],
    ) -> Pieces:
        # A fit needs none of it, so that the wizard draws its first leg 5 ms sooner.
        from legtaper.leg.notches import notch_heights
        from legtaper.leg.panel import Cutting, cut_panel

        cutting = Cutting(hem, self.allowance, slit, notch_heights(block, seams, blends))
        return {name: cut_panel(name, block, seams, cutting) for name in ("front", "back")}


def block_of(project: Project) -> Block:
    """Return the project's block. Raises `ProjectError` naming what is missing."""
    if project.block.outline:
        return block_from_outline(project.block, project.length_unit, project.wearer)
    return block_from_table(project.block, project.length_unit, project.wearer)


def fit(project: Project, design_name: str | None = None) -> Fit:
    """Take in, true and check one design (the last where none is named)."""
    return fit_design(project, project.design(design_name), block_of(project))


def fit_design(project: Project, design: Design, block: Block) -> Fit:
    """Take in, true and check a design on a block that is built already."""
    unit, fabric = project.length_unit, project.fabric
    tapered = taper(block, design, unit)
    block = tapered.block
    foot = hem_need(project.wearer, block)
    hem = hem_size(block, design, fabric, unit)
    shortest = shortest_slit(hem.depth, unit)
    opening = foot.mm / (1 + fabric.usable_stretch) if foot else None
    slit = plan_slit(tapered, design, opening, shortest, unit)
    findings = look(Leg(project, design, tapered, foot, slit, hem))
    return Fit(project, design, block, tapered, foot, slit, hem, findings)


def build(project: Project, design_name: str | None = None) -> Pattern:
    """Make the pattern of one design: fit it, then cut both legs with hem and allowances."""
    return cut(fit(project, design_name))


def unaltered(project: Project) -> Pattern:
    """Make the pattern of the block as it is, which needs no design. Raises `ProjectError`."""
    return cut(fit_design(project, AS_IT_IS, block_of(project)))


def cut(fitted: Fit) -> Pattern:
    """Add hem, allowances and notches to a fit."""
    return Pattern(fitted, allowance_widths(fitted.project.allowance, fitted.project.length_unit))
