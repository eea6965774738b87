"""Invented blocks and designs that many tests build on, as typed values; no real person's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from legtaper.block_sources.measured import block_from_table
from legtaper.leg.block import Block
from legtaper.model.lengths import Length, parse_length
from legtaper.model.project import (
    BlockTable,
    BlockTest,
    Design,
    Fabric,
    HemPlan,
    Pinch,
    Project,
    Wearer,
)
from legtaper.pattern import Fit, fit

INCH = 25.4

HEIGHTS = {
    "hem": "0 in", "calf": "10 1/2 in", "knee": "17 in", "thigh": "29 in", "crotch": "30 in",
    "hip": "38 in",
}  # fmt: skip
REACHES: dict[str, dict[str, str]] = {
    "front_outseam": {"hem": "4 1/4", "knee": "4 3/4", "crotch": "5 3/4", "hip": "6"},
    "front_inseam": {"hem": "4 1/4", "knee": "4 3/4", "crotch": "7"},
    "back_outseam": {"hem": "4 3/4", "knee": "5 1/4", "crotch": "6 3/8", "hip": "6 3/4"},
    "back_inseam": {"hem": "4 3/4", "knee": "5 3/8", "crotch": "8 3/4"},
}


def length(said: str | float) -> Length:
    """Return a length from what a person types in inches, or from millimeters as a number."""
    return parse_length(said, "in", signed=True) if isinstance(said, str) else Length(said, "")


def lengths(**by_level: str | float) -> dict[str, Length]:
    """Return lengths by level, each as `length` reads it."""
    return {level: length(said) for level, said in by_level.items()}


def table(
    heights: Mapping[str, str | float] = HEIGHTS,
    reaches: Mapping[str, Mapping[str, str | float]] = REACHES,
) -> BlockTable:
    """Return a measured table; left out, the sample block's."""
    reach: Any = {edge: lengths(**by_level) for edge, by_level in reaches.items()}
    return BlockTable("Sample block", lengths(**heights), reach)


SAMPLE = table()


def block(measured: BlockTable = SAMPLE) -> Block:
    """Return the block of a table; left out, the sample block."""
    return block_from_table(measured, "in")


def design(name: str = "easy taper", **parts: Any) -> Design:
    """Return a design. Left out, 5/8 in comes off each edge at the hem."""
    return Design(name, **{"take_in": lengths(hem="5/8"), **parts})


def wide(**by_level: str | float) -> Design:
    """Return a design that asks for finished circumferences."""
    return design(take_in={}, width=lengths(**by_level))


def hem(style: str = "single", **sizes: str | float) -> HemPlan:
    """Return a hem plan of that style."""
    plan: Any = {"style": style, **lengths(**sizes)}
    return HemPlan(**plan)


def wearer(**girths: str | float) -> Wearer:
    """Return a wearer with these measurements and no others."""
    measured: Any = lengths(**girths)
    return Wearer(**measured)


WEARER = wearer(
    height="66", waist="34", high_hip="39", hip="41", thigh="24", knee="15 1/2",
    knee_bent="16 3/8", calf="14 3/4", ankle="9", foot_entry="12 3/4",
)  # fmt: skip


def project(*designs: Design, **parts: Any) -> Project:
    """Return the sample project with these designs (left out: the easy taper) and parts."""
    given = designs or (design(),)
    whole = Project("Courier trousers", wearer=WEARER, designs=given)
    return replace(whole, **{"block": SAMPLE, **parts})


def fitted(*designs: Design, **parts: Any) -> Fit:
    """Return the fit of the last design on the sample project."""
    return fit(project(*designs, **parts))


def block_test(verdict: Any = "hangs clean", fingerprint: str | None = None) -> BlockTest:
    """Return a block test; left out, of the sample block as it is."""
    return BlockTest(
        verdict, fingerprint=block().fingerprint if fingerprint is None else fingerprint
    )


def knit(percent: float) -> Fabric:
    """Return a knit that stretches by that many percent crosswise."""
    return Fabric("jersey", "knit", percent)


def pinch(level: str, seam: Any, depth: str) -> Pinch:
    """Return a pinch of that depth, read as `length` reads it."""
    return Pinch(level, seam, length(depth))
