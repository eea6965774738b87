from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sample
import tracings

from legtaper.geometry.curves import CarriedOn, MonotoneCubic
from legtaper.leg.foot import hem_need
from legtaper.leg.taper import taper
from legtaper.model.project import EDGES, Design, ProjectError
from legtaper.outputs.front_sheet import widths_table
from legtaper.outputs.json_report import check_report
from legtaper.outputs.marks_tables import marks_tables
from legtaper.pattern import Fit, build, fit
from legtaper.search.hem_widths import hem_widths
from legtaper.search.limits import limits

IN = 25.4


def _ended(height: str, **parts: Any) -> Design:
    design = sample.design(**parts)
    return replace(design, hem=replace(design.hem, height=sample.length(height)))


def _fitted(height: str, **parts: Any) -> Fit:
    return sample.fitted(_ended(height, **parts))


def test_a_width_asked_at_the_hem_is_asked_where_the_leg_ends() -> None:
    """12 in up, above the calf: 16 in around there, and no level calf any more."""
    fitted = _fitted("12", take_in={}, width=sample.lengths(hem="16"))
    assert fitted.block.heights["hem"] == pytest.approx(12 * IN)
    assert list(fitted.block.heights) == ["hem", "knee", "thigh", "crotch", "hip"]
    assert fitted.taper.finished["hem"] == pytest.approx(16 * IN)
    around = sum(float(fitted.taper.reach(edge, 12 * IN)) for edge in EDGES)
    assert around == pytest.approx(16 * IN)


def test_heights_stay_above_the_blocks_own_hem() -> None:
    """The knee is still 17 in up, and a blend of 36 in is where it would be on the whole leg."""
    design = _ended("4", blend=sample.lengths(outseam="36"))
    fitted = sample.fitted(design)
    assert fitted.block.heights["knee"] == pytest.approx(17 * IN)
    assert fitted.taper.seams["back_outseam"].blend == pytest.approx(36 * IN)


def test_a_leg_of_at_least_50_mm_is_left_below_the_crotch() -> None:
    """From the crotch point at 762 mm: an end at 712 is taken and one at 713 is not."""
    for end, taken in ((711.9, True), (713.0, False)):
        design = sample.design(take_in={})
        ended = replace(design, hem=replace(design.hem, height=sample.length(end)))
        if taken:
            assert taper(sample.block(), ended, "in").block.start == pytest.approx(end)
        else:
            with pytest.raises(ProjectError, match="is out of range; a leg ends from"):
                taper(sample.block(), ended, "in")


def test_the_report_says_where_the_leg_ends_and_what_the_block_has_there() -> None:
    """`hem` has its own height, and `block` is the block's width at it."""
    pattern = build(sample.project(_ended("4")))
    hem = check_report(pattern)["levels"][0]
    assert (hem["level"], hem["height"]) == ("hem", pytest.approx(4 * IN))
    assert hem["block"] == pytest.approx(float(sample.block().circumference(4 * IN)))
    assert hem["block"] - hem["finished"] == pytest.approx(2.5 * IN)


def test_a_longer_leg_goes_on_along_the_tangents() -> None:
    """2 in longer: each seam 2 in on at the slope it has at the block's hem."""
    block = sample.block()
    fitted = _fitted("-2", take_in={})
    for edge in EDGES:
        old = block.seams[edge]
        on = float(old.at(0)) - 2 * IN * float(old.slope(1e-6))
        assert float(fitted.taper.reach(edge, -2 * IN)) == pytest.approx(on)
    longer = fitted.taper.lengths["back_inseam"] - block.lengths["back_inseam"]
    assert longer == pytest.approx(2 * IN * np.hypot(1, float(old.slope(1e-6))), abs=0.05)


def test_a_line_carried_on_has_no_kink_at_its_end() -> None:
    """Reach and slope just below 0 are those just above it."""
    line = CarriedOn(MonotoneCubic.through([0, 300, 700], [100, 110, 150]), -60)
    assert float(line.at(-1e-6)) == pytest.approx(float(line.at(1e-6)), abs=1e-5)
    assert float(line.slope(-1)) == pytest.approx(float(line.slope(1e-6)), abs=1e-6)
    assert line.knots.tolist() == [-60, 0, 300, 700]


def test_what_was_asked_below_the_end_is_not_used_and_told() -> None:
    """A leg that ends at 20 in has no knee: the width asked there cautions and changes nothing."""
    asked = {"take_in": {}, "width": sample.lengths(hem="18", knee="17")}
    without = {"take_in": {}, "width": sample.lengths(hem="18")}
    fitted = _fitted("20", **asked)
    (told,) = [found for found in fitted.findings if found.id == "below-the-end"]
    assert (told.status, "at the knee is not used" in told.says) == ("caution", True)
    assert fitted.taper.finished == pytest.approx(_fitted("20", **without).taper.finished)
    assert {found.id for found in fitted.findings if found.where == "knee"} == {"below-the-end"}


def test_everything_is_drawn_from_the_end_of_the_leg() -> None:
    """The lowest net point of a cropped panel is its end, and a slit of 2 in ends 2 in above."""
    pattern = build(sample.project(_ended("12", slit=sample.length("2"))))
    for panel in pattern.narrowed.values():
        assert float(panel.shape.net[:, 1].min()) == pytest.approx(12 * IN)
        assert float(panel.shape.hem_below[:, 1].min()) == pytest.approx(10.5 * IN)
        assert panel.slit is not None
        assert float(panel.slit[-1, 1]) == pytest.approx(14 * IN)


@pytest.mark.parametrize(("height", "hem"), [("12", "block's hem"), ("0", "hem")])
def test_all_heights_are_said_to_count_from_the_same_line(height: str, hem: str) -> None:
    """In the table of widths and in the marks: the hem, or the block's where the leg ends apart."""
    fitted = _fitted(height)
    assert widths_table(fitted).header[1] == f"Above {hem}"
    assert next(marks_tables(fitted, "1/16in")).header[0] == f"Above {hem}"


@pytest.mark.parametrize("height", ["4", "12", "20", "-2"])
def test_the_inverse_answers_know_the_end(height: str) -> None:
    """The widest hem is the block's at the end, and the limits hold there."""
    fitted = _fitted(height)
    rows = hem_widths(fitted).rows
    around = float(sample.block().circumference(max(0.0, sample.length(height).mm)))
    if height != "-2":
        assert rows[0].hem == pytest.approx(around)
    found = limits(fitted)
    assert found.blend_range["outseam"] == pytest.approx((fitted.block.start, 38 * IN))


@pytest.mark.parametrize("height", ["29", "-16"])
def test_an_end_that_leaves_no_leg_is_refused(height: str) -> None:
    """Nearer than 5 cm to the crotch point, or longer by more than half of it: one clear line."""
    with pytest.raises(ProjectError, match="out of range") as refused:
        _fitted(height)
    assert refused.value.key == 'design "easy taper".hem.height'


@pytest.mark.parametrize(
    ("height", "needs", "what"),
    [
        ("0", 12.75, "foot"),
        ("2", 12.75, "foot"),
        ("5", 12.75, "foot"),
        ("10", 9 + (10 - 3) / (10.5 - 3) * (14.75 - 9), "leg at the hem"),
        ("10 1/2", 14.75, "calf"),
        ("12", 14.75, "calf"),
        ("17", 16.375, "bent knee"),
        ("22", 16.375, "bent knee"),
    ],
)
def test_what_must_pass_a_hem(height: str, needs: float, what: str) -> None:
    """Foot 12 3/4, ankle 9, calf 14 3/4, bent knee 16 3/8 in: by where the leg ends.

    Between the ankle 3 in up and the calf 10 1/2 in up the girth grows in a straight line.
    """
    block = sample.block().ended(sample.length(height).mm)
    found = hem_need(sample.WEARER, block)
    assert found is not None
    assert (found.mm / IN, found.what) == (pytest.approx(needs), what)


@pytest.mark.parametrize(
    ("height", "left_out", "unknown"),
    [("10 1/2", "calf", "calf"), ("8", "ankle", "ankle"), ("17", "knee_bent", "bent knee"),
     ("2", "calf", ""), ("12", "ankle", "")],
)  # fmt: skip
def test_a_girth_at_the_hem_that_was_not_measured_is_named(
    height: str, left_out: str, unknown: str
) -> None:
    """From the ankle up the leg there must pass, too: without its girth nothing is called OK."""
    wearer = replace(sample.WEARER, **{left_out: None})  # type: ignore[arg-type]
    fitted = sample.fitted(_ended(height, take_in={}), wearer=wearer)
    (found,) = [one for one in fitted.findings if one.id == "hem-opening"]
    assert (found.status == "unknown") == bool(unknown)
    if unknown:
        assert f"the {unknown} must pass as well; it was not measured" in found.says


def test_a_hem_at_the_calf_that_only_the_foot_passes_fails() -> None:
    """13 in around passes a foot of 12 3/4 in, and not a calf of 14 3/4."""
    fitted = _fitted("10 1/2", take_in={}, width=sample.lengths(hem="13"))
    (found,) = [one for one in fitted.findings if one.id == "hem-opening"]
    assert found.status == "fail"
    assert "the calf needs 14 3/4 in" in found.says


def test_a_traced_block_ends_where_it_is_told() -> None:
    """The hem line of a traced piece keeps its slope and lies higher by as much."""
    project = tracings.project(tracings.table())
    design = replace(project.designs[-1], take_in={}, width={})
    design = replace(design, hem=replace(design.hem, height=sample.length("6")))
    fitted = fit(project.with_design(design), design.name)
    whole = fit(project.with_design(replace(design, hem=sample.hem())), design.name)
    for edge in EDGES:
        longer = whole.taper.lengths[edge] - fitted.taper.lengths[edge]
        assert longer == pytest.approx(6 * IN, abs=2)


def test_ended_twice_is_ended_from_the_whole() -> None:
    """A leg ended at 12 in and then at 4 in is the leg ended at 4 in; at 0 it is whole again."""
    block = sample.block()
    again = block.ended(300).ended(100)
    assert again.heights == block.ended(100).heights
    assert block.ended(300).ended(0) is block
    assert taper(block.ended(300), sample.design(), "in").block is block
