from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sample

from legtaper.model.project import EDGES, ProjectError, seam_of
from legtaper.search.sweep import sweep

IN = 25.4
HERTZER: Any = sample.lengths(hem="5/8", knee="5/16")


def test_the_center_moves_and_the_width_stays() -> None:
    """G. F. Hertzer (1892): 5/8 in at the bottom and about half of it at the knee, for bow legs.

    1 in off each edge at the hem becomes 3/8 off the outseams and 1 5/8 off the inseams there, and
    every width around the leg stays what it was.
    """
    plain = sample.fitted(sample.design(take_in=sample.lengths(hem="1"))).taper
    moved = sample.fitted(sample.design(take_in=sample.lengths(hem="1"), shift=HERTZER)).taper
    for edge in EDGES:
        way = -1 if seam_of(edge) == "outseam" else 1
        for level, by in (("hem", 0.625), ("knee", 0.3125)):
            more = moved.taken(edge, level) - plain.taken(edge, level)
            assert more == pytest.approx(way * by * IN)
    assert moved.finished == pytest.approx(plain.finished)
    y = np.linspace(0, 762, 200)
    assert moved.circumference(y) == pytest.approx(plain.circumference(y))


@pytest.mark.parametrize("style", ["follow", "straight"])
def test_between_levels_it_runs_straight_and_out_at_the_lower_blend(style: Any) -> None:
    """Halfway from hem to knee 15/32 in; from 29 in, where the inseam blends, nothing."""
    taper = sample.fitted(sample.design(shift=HERTZER, style=style)).taper
    line = taper.seams["front_inseam"].shift
    assert line is not None
    assert float(line.at(8.5 * IN)) == pytest.approx(15 / 32 * IN, abs=0.05)
    assert line.at([29 * IN, 30 * IN, 38 * IN]) == pytest.approx([0, 0, 0])
    assert max(seam.kink for seam in taper.seams.values()) <= 0.1


def test_where_it_exceeds_the_take_in_the_seam_lies_outside_and_cautions() -> None:
    """1/4 in off and 5/8 moved: the outseam lies 3/8 in outside at the hem, as asked."""
    fitted = sample.fitted(sample.design(take_in=sample.lengths(hem="1/4"), shift=HERTZER))
    assert fitted.taper.seams["back_outseam"].outside == pytest.approx(0.375 * IN)
    (found,) = [one for one in fitted.findings if (one.id, one.where) == ("blend", "outseam")]
    assert found.status == "caution"
    assert "let out beyond the block by 3/8 in" in found.says


def test_a_shift_alone_moves_all_four_edges() -> None:
    """Nothing taken off, the center towards the inseam by 1/4 in at the hem."""
    shift: Any = {"hem": sample.length("-1/4")}
    fitted = sample.fitted(sample.design(take_in={}, shift=shift))
    for edge in EDGES:
        way = 1 if seam_of(edge) == "outseam" else -1
        assert fitted.taper.taken(edge, "hem") == pytest.approx(way * 0.25 * IN)
    assert fitted.taper.finished == pytest.approx(fitted.block.widths)


def test_balance_tells_it_as_asked() -> None:
    """What was asked for is no fault: balance passes and says where the center lies."""
    fitted = sample.fitted(sample.design(shift=HERTZER))
    for found in fitted.findings:
        if found.id == "balance":
            assert found.status == "pass"
            by = {"hem": "5/8 in", "knee": "5/16 in"}[found.where]
            assert f"{by} nearer the outseam there, as asked." in found.says


def test_an_unknown_level_is_refused() -> None:
    """A shift at a level that the block has not names the key."""
    with pytest.raises(ProjectError, match="no such level") as refused:
        sample.fitted(sample.design(shift=sample.lengths(shin="1/4")))
    assert refused.value.key == 'design "easy taper".shift.shin'


def test_a_sweep_keeps_the_shift() -> None:
    """Many hems at once have the center where one alone has it: the same lengths and findings."""
    fitted = sample.fitted(sample.design(shift=HERTZER, slit="auto"))
    takes = np.linspace(5, 40, 12)
    found = sweep(fitted, takes)
    for take, hem, failed in zip(takes, found.hem, found.first_to_fail, strict=True):
        asked = replace(fitted.design, take_in={"hem": sample.length(float(take))})
        alone = sample.fitted(asked)
        assert hem == pytest.approx(alone.taper.finished["hem"])
        fails = next((one.id for one in alone.findings if one.status == "fail"), "")
        assert failed == fails


@pytest.mark.parametrize(("end", "status"), [("37", "caution"), ("38", "pass"), ("31", "caution")])
def test_narrowing_that_crosses_a_pocket_is_told(end: str, status: str) -> None:
    """The outseam blends at 38 in: a pocket that ends lower is crossed, one that ends there not."""
    block = replace(sample.SAMPLE, pocket_end=sample.length(end))
    (found,) = [one for one in sample.fitted(block=block).findings if one.id == "pocket"]
    assert found.status == status


def test_without_a_pocket_nothing_is_said_of_one() -> None:
    """A block that names none, and a seam that stays as it is."""
    block = replace(sample.SAMPLE, pocket_end=sample.length("31"))
    still = sample.fitted(sample.design(take_in={}), block=block)
    for fitted in (sample.fitted(), still):
        assert not [one for one in fitted.findings if one.id == "pocket"]
