"""Front and back of a seam as they are sewn: true lengths, zone by zone, and what is said of it."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import blocks
import numpy as np
import pytest
import sample
from hypothesis import given, settings

from legtaper.checks.base import Finding
from legtaper.leg.pairs import SewnPair, lowering, sewn_pairs
from legtaper.leg.taper import Taper
from legtaper.model.lengths import from_mm
from legtaper.model.project import SEWN, BlockTable, Design, Edge, SeamName
from legtaper.outputs.json_report import check_report
from legtaper.pattern import Fit, build

IN = 25.4


def leaning(back_crotch: float) -> BlockTable:
    """Return upright seams 150 mm out, but a back inseam that runs straight out to the crotch."""
    reaches: dict[str, dict[str, float]] = {
        edge: {"hem": 150.0, ("crotch" if edge.endswith("inseam") else "hip"): 150.0}
        for pair in SEWN.values()
        for edge in pair
    }
    reaches["back_inseam"]["crotch"] = back_crotch
    return sample.table({"knee": 400.0, "crotch": 760.0, "hip": 960.0}, reaches)


def long_backed() -> BlockTable:
    """Return the sample block with a back crotch point 3/4 in further out."""
    inseam = {**sample.REACHES["back_inseam"], "crotch": "9 1/2"}
    return sample.table(reaches={**sample.REACHES, "back_inseam": inseam})


def pair_of(fitted: Fit, seam: SeamName = "inseam") -> SewnPair:
    """Return one sewn pair of a fit."""
    return next(pair for pair in sewn_pairs(fitted.taper) if pair.seam == seam)


def finding(fitted: Fit, seam: SeamName = "inseam") -> Finding:
    """Return what is found on one sewn pair."""
    return next(f for f in fitted.findings if f.id == "sewn-pair" and f.where == seam)


def walked(taper: Taper, edge: Edge, low: float, high: float, old: bool = False) -> float:
    """Return the length of a seam by a fine polyline, mm."""
    line: Any = taper.block.seams[edge] if old else taper.seams[edge]
    knots = line.knots
    y = np.unique(np.concatenate([np.arange(low, high, 0.5), knots, [high]]))
    y = y[(y >= low) & (y <= high)]
    return float(np.hypot(np.diff(y), np.diff(line.at(y))).sum())


def back_less_front(
    taper: Taper, seam: SeamName, zone: tuple[str, str], old: bool = False
) -> float:
    """Return back less front of a zone by fine polylines, mm."""
    lengths = []
    for edge in SEWN[seam]:
        name = "front" if edge.startswith("front") else "back"
        stops = {
            "hem": 0.0, "knee": taper.block.height_on(name, "knee"),
            "blend": taper.seams[edge].blend, "top": taper.block.seam_top(edge),
        }  # fmt: skip
        lengths.append(walked(taper, edge, stops[zone[0]], stops[zone[1]], old))
    return lengths[1] - lengths[0]


@settings(max_examples=25)
@given(blocks.tapers())
def test_zones_are_measured_truly_and_add_up(made: tuple[BlockTable, Design]) -> None:
    """On any leg each zone is what fine polylines say, and the sum is the whole."""
    table, design = made
    fitted = sample.fitted(design, block=table)
    for pair in sewn_pairs(fitted.taper):
        for zone in pair.zones:
            measured = back_less_front(fitted.taper, pair.seam, (zone.start, zone.end))
            assert zone.difference == pytest.approx(measured, abs=0.02)
        assert sum(zone.difference for zone in pair.zones) == pytest.approx(pair.difference)
        whole = back_less_front(fitted.taper, pair.seam, ("hem", "top"), old=True)
        assert pair.block_difference == pytest.approx(whole, abs=0.02)
        below = back_less_front(fitted.taper, pair.seam, ("hem", "knee"))
        assert pair.below_knee == pytest.approx(below, abs=0.02)


def zones(fitted: Fit, seam: SeamName) -> list[tuple[str, str]]:
    """Return where the zones of a pair begin and end."""
    return [(zone.start, zone.end) for zone in pair_of(fitted, seam).zones]


def test_zones_are_cut_at_knee_and_blend() -> None:
    """An outseam that blends at the very top has no zone above it; one below the knee no knee."""
    fitted = sample.fitted()
    assert zones(fitted, "inseam") == [("hem", "knee"), ("knee", "blend"), ("blend", "top")]
    assert zones(fitted, "outseam") == [("hem", "knee"), ("knee", "blend")]
    low = sample.fitted(sample.design(blend=sample.lengths(inseam="12")))
    assert zones(low, "inseam") == [("hem", "blend"), ("blend", "top")]
    stays = sample.fitted(sample.design(take_in={}))
    assert zones(stays, "inseam") == [("hem", "knee"), ("knee", "top")]


@pytest.mark.parametrize(
    ("back_crotch", "status"),
    [(215.5, "pass"), (216.5, "caution"), (243.0, "caution"), (244.0, "fail")],
)
def test_below_the_knee_the_whole_difference_counts(back_crotch: float, status: str) -> None:
    """Nothing taken off: a back inseam that leans out by s is 400 * (sqrt(1 + s * s) - 1) longer.

    1.5 mm at s = 0.0867, 65.9 mm over 760; 3 mm at s = 0.1227, 93.3 mm.
    """
    found = finding(sample.fitted(sample.design(take_in={}), block=leaning(back_crotch)))
    lean = (back_crotch - 150.0) / 760.0
    assert found.value == pytest.approx(400 * (math.hypot(1, lean) - 1), abs=1e-6)
    assert found.status == status
    assert found.limit == (3.0 if status == "fail" else 1.5)
    assert "From hem to knee the back inseam is" in found.says
    assert "as in the block" in found.says


@pytest.mark.parametrize(("take", "status"), [(34.0, "pass"), (45.0, "caution"), (85.0, "fail")])
def test_above_the_knee_what_the_narrowing_added_counts(take: float, status: str) -> None:
    """The same off hem and knee: above it a leaning seam gains about its slope times the take-in.

    60 mm over 760 is a slope of 0.079: 34 mm add 2.7 mm, 45 mm 3.5 mm, 85 mm 6.3 mm.
    """
    design = sample.design(take_in=sample.lengths(hem=take, knee=take))
    fitted = sample.fitted(design, block=leaning(210.0))
    above = ("knee", "top")
    added = back_less_front(fitted.taper, "inseam", above) - back_less_front(
        fitted.taper, "inseam", above, old=True
    )
    found = finding(fitted)
    assert added == pytest.approx(60 / 760 * take, rel=0.07)
    assert found.status == status
    if status != "pass":
        assert found.value == pytest.approx(added, abs=0.02)
        assert found.limit == (6.0 if status == "fail" else 3.0)
        assert "The narrowing added" in found.says


def test_a_difference_of_the_block_cautions_until_it_was_tested() -> None:
    """A back inseam more than 6 mm longer for each 30 cm above the knee, as the block has it.

    Tested and hanging clean, it is still told, with what to do.
    """
    table = long_backed()
    fitted = sample.fitted(block=table)
    pair = pair_of(fitted)
    assert pair.block_above_knee == pytest.approx(
        back_less_front(fitted.taper, "inseam", ("knee", "top"), old=True), abs=0.02
    )
    assert pair.block_above_knee > 0.02 * pair.length_above
    found = finding(fitted)
    assert found.status == "caution"
    assert found.value == pytest.approx(pair.block_above_knee)
    assert "lower its back crotch point by" in found.says
    test = sample.block_test(fingerprint=fitted.block.fingerprint)
    tested = finding(sample.fitted(block=table, block_test=test))
    assert tested.status == "pass"
    assert "tested and hangs clean" in tested.says
    assert "lower its back crotch point by" in tested.says


def test_the_lowering_it_names_makes_equal_inseams() -> None:
    """The back crotch point put down by so much, to 1/16 in: the inseams differ by under 1 mm."""
    for table in (sample.SAMPLE, long_backed()):
        block = sample.block(table)
        by = round(lowering(block) / IN * 16) / 16 * IN
        assert by > 0
        own: Any = {"back": {"crotch": from_mm(block.heights["crotch"] - by, "in")}}
        cured = sample.fitted(block=replace(table, panel_height=own))
        assert abs(pair_of(cured).block_difference) < 1.0
        assert finding(cured).status == "pass"
    assert lowering(sample.block(leaning(150.0))) == 0.0


def test_a_shorter_back_inseam_is_stretched() -> None:
    """A front inseam 4 mm the longer is usual: no caution, and the back is stretched to it."""
    table = leaning(150.0)
    reach: Any = {**table.reach, "front_inseam": {}, "back_inseam": {}}
    for edge, crotch in (("front_inseam", 205.0), ("back_inseam", 175.0)):
        reach[edge] = sample.lengths(hem=150.0, knee=150.0, crotch=crotch)
    found = finding(sample.fitted(sample.design(take_in={}), block=replace(table, reach=reach)))
    assert found.status == "pass"
    assert "Stretch the back by" in found.says


@pytest.mark.parametrize(
    ("seam", "top", "out", "status"),
    [("inseam", "crotch", 85.0, "pass"), ("outseam", "hip", 106.0, "caution")],
)
def test_a_back_inseam_may_be_shorter_by_half_an_inch_and_no_outseam(
    seam: Any, top: str, out: float, status: str
) -> None:
    """Both are more than 6 mm for each 30 cm shorter and less than 12.7 mm: one is stretched."""
    table = leaning(150.0)
    front = sample.lengths(hem=150.0, knee=150.0, **{top: 150.0 + out})
    reach: Any = {**table.reach, f"front_{seam}": front}
    fitted = sample.fitted(sample.design(take_in={}), block=replace(table, reach=reach))
    pair = pair_of(fitted, seam)
    assert 0.02 * pair.length_above < -pair.block_above_knee < 12.7
    assert finding(fitted, seam).status == status


def test_the_report_has_the_pairs() -> None:
    """Back less front in mm, whole and by zones, and which is longer."""
    project = sample.project()
    report = check_report(build(project))
    pairs = {pair["seam"]: pair for pair in report["pairs"]}
    for seam, pair in pairs.items():
        ours = pair_of(sample.fitted(), seam)  # type: ignore[arg-type]
        assert pair["longer"] == ("back" if ours.difference > 0.05 else None)
        assert pair["difference"] == pytest.approx(ours.difference)
        assert sum(zone["difference"] for zone in pair["zones"]) == pytest.approx(ours.difference)
    even = sample.fitted(sample.design(take_in={}), block=leaning(150.0))
    assert pair_of(even).longer is None
