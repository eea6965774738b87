from __future__ import annotations

from dataclasses import replace
from typing import Any

import blocks
import pytest
import sample
from hypothesis import given, settings

from legtaper.checks.cutting import uncuttable
from legtaper.model.project import SEAMS, Allowance, BlockTable, Design, Style, Wearer
from legtaper.pattern import Fit, cut, fit, fit_design
from legtaper.search.limits import limits
from legtaper.search.sweep import at_hem

IN = 25.4
HAIR = 0.01  # mm


def _failures(fitted: Fit, take_in: float) -> list[str]:
    """Return what fails when so much comes off each edge at the hem, the rest as designed."""
    design = fitted.design
    width = {level: said for level, said in design.width.items() if level != "hem"}
    asked = {**design.take_in, "hem": sample.length(take_in)}
    tried = fit_design(fitted.project, replace(design, take_in=asked, width=width), fitted.block)
    return [found.id for found in tried.findings if found.status == "fail"]


def _assert_at_the_limit(fitted: Fit) -> str | None:
    """Nothing fails at the limit, and 0.01 mm more makes the named finding the first to fail."""
    found = limits(fitted)
    if found.first_to_fail is None:
        return None
    if found.most_take_in:
        assert _failures(fitted, found.most_take_in) == []
    assert _failures(fitted, found.most_take_in + HAIR)[0] == found.first_to_fail
    return found.first_to_fail


def test_the_narrowest_hem_is_the_foot_entry() -> None:
    """12 3/4 in; in a knit of 20 % a tenth less: 12 3/4 / 1.1. Unknown without a foot entry."""
    found = limits(sample.fitted())
    assert found.narrowest_hem == pytest.approx(12.75 * IN)
    assert not found.estimated
    knit = limits(sample.fitted(fabric=sample.knit(20)))
    assert knit.narrowest_hem == pytest.approx(12.75 / 1.1 * IN)
    assert limits(sample.fitted(wearer=Wearer())).narrowest_hem is None


def test_a_limit_from_an_estimate_says_so() -> None:
    """Where the foot entry is estimated the narrowest hem is too."""
    found = limits(sample.fitted(wearer=sample.wearer(foot_length="10")))
    assert found.estimated
    assert found.narrowest_hem is not None


def test_the_foot_limits_a_hem_without_a_slit() -> None:
    """(18 - 12 3/4) / 4 = 1 5/16 in may come off each edge; then the hem opening fails."""
    fitted = sample.fitted()
    found = limits(fitted)
    assert found.most_take_in == pytest.approx(1.3125 * IN, abs=1e-3)
    assert found.without_slit == pytest.approx(1.3125 * IN)
    assert _assert_at_the_limit(fitted) == "hem-opening"


def test_the_ease_at_the_calf_may_come_first() -> None:
    """A calf as wide as the leg comes to be at half the take-in fails before the foot does."""
    half = sample.fitted(sample.design(take_in=sample.lengths(hem="3/4")))
    girth = float(half.taper.circumference(half.block.heights["calf"]))
    wearer = replace(sample.WEARER, calf=sample.length(girth))
    fitted = sample.fitted(wearer=wearer)
    assert limits(fitted).most_take_in == pytest.approx(0.75 * IN, abs=1e-3)
    assert _assert_at_the_limit(fitted) == "ease-calf"


def test_the_seams_limit_a_hem_with_a_slit() -> None:
    """With a slit the foot always passes: something else is the first to fail, and is named."""
    fitted = sample.fitted(sample.design(slit="auto"))
    assert limits(fitted).most_take_in > 1.3125 * IN
    assert _assert_at_the_limit(fitted) not in (None, "hem-opening")


def test_what_fails_already_leaves_nothing_to_take() -> None:
    """A knee asked for 1 in tighter than the leg in it fails with nothing off the hem at all."""
    fitted = sample.fitted(sample.design(take_in={}, width=sample.lengths(knee="14 1/2")))
    found = limits(fitted)
    assert (found.most_take_in, found.first_to_fail) == (0, "ease-knee")


def test_where_only_the_paper_ends_nothing_is_named() -> None:
    """An upright block on which nothing is known but the fabric: up to the grainline, no name."""
    reaches = {
        edge: {"hem": 100.0, "hip" if "outseam" in edge else "crotch": 100.0}
        for edge in sample.REACHES
    }
    table = sample.table({"crotch": 760.0, "hip": 960.0}, reaches)
    found = limits(sample.fitted(block=table, wearer=Wearer()))
    assert found.first_to_fail is None
    assert found.most_take_in == pytest.approx(100, abs=0.01)
    assert found.without_slit is None


def test_a_following_seam_blends_anywhere_above_what_was_asked() -> None:
    """From the hem, or the knee where that was asked for, to hip and crotch point."""
    found = limits(sample.fitted())
    assert found.blend_range == {
        "outseam": (0, pytest.approx(38 * IN)),
        "inseam": (0, pytest.approx(30 * IN)),
    }
    knee = limits(sample.fitted(sample.wide(hem="15", knee="18")))
    assert knee.blend_range["inseam"] == (pytest.approx(17 * IN), pytest.approx(30 * IN))


@pytest.mark.parametrize("seam", SEAMS)
@pytest.mark.parametrize("end", [0, 1])
def test_a_ruled_seam_blends_at_both_ends_of_its_range(seam: Any, end: int) -> None:
    """At the lowest and at the highest blend that is named a ruled seam fits."""
    design = sample.design(style="straight")
    span = limits(sample.fitted(design)).blend_range[seam]
    assert span is not None
    at_end = replace(design, blend={seam: sample.length(span[end])})
    found = [f for f in sample.fitted(at_end).findings if (f.id, f.where) == ("blend", seam)]
    assert found[0].status != "fail"


@settings(max_examples=20)
@given(blocks.tapers())
def test_at_the_limit_nothing_fails_and_a_hair_beyond_it_does(
    given_: tuple[BlockTable, Design],
) -> None:
    """Whatever the block and the other levels of the design: true on both sides of the limit."""
    table, design = given_
    wearer = sample.wearer(foot_entry="12", thigh="18", knee="13", calf="12")
    project = sample.project(design, block=table, wearer=wearer)
    _assert_at_the_limit(fit(project))


def _tiny_slit(style: Style, extra: float, slit: float, allowance: float) -> Fit:
    """Return the fit of an upright leg with a slit far lower than its seam allowance is wide."""
    out = dict.fromkeys(("hem", "knee", "crotch", "hip"), 80.0)
    reach = {"hem": 80.0, "knee": 80.0, "crotch": 100.0}
    table = sample.table(
        {"knee": 310.0, "crotch": 620.0, "hip": 740.0},
        {"front_outseam": out, "back_outseam": out, "front_inseam": reach, "back_inseam": reach},
    )
    design = sample.design(
        take_in={},
        extra={"outseam": sample.lengths(hem=extra)},
        slit=sample.length(slit),
        style=style,
    )
    wide = Allowance(None, {"outseam": sample.length(allowance)})
    return fit(sample.project(design, block=table, allowance=wide, wearer=Wearer()))


def test_cut_lines_that_cross_leave_nothing_to_take() -> None:
    """Where they cross with nothing off the hem at all, that is the answer and its reason."""
    found = limits(_tiny_slit("follow", 76.0, 0.75, 100.0))
    assert (found.most_take_in, found.first_to_fail) == (0, "cut-line")


def test_cut_lines_may_end_what_can_come_off() -> None:
    """Beside a slit of 0.75 mm 100 mm of allowance cross from 75 mm an edge on: to a hair."""
    fitted = _tiny_slit("follow", 0.0, 0.75, 100.0)
    found = limits(fitted)
    assert found.first_to_fail == "cut-line"
    assert 0 < found.most_take_in < 80
    for more, crosses in ((0.0, False), (HAIR, True)):
        tried = fit_design(
            fitted.project, at_hem(fitted.design, found.most_take_in + more), fitted.block
        )
        assert bool(uncuttable(cut(tried).narrowed)) == crosses
