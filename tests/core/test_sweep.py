from __future__ import annotations

from dataclasses import replace
from typing import Any

import blocks
import numpy as np
import pytest
import sample
import tracings
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from legtaper.leg.foot import foot_entry
from legtaper.model.project import Fabric, Project, ProjectError, Wearer
from legtaper.pattern import Fit, fit, fit_design
from legtaper.search.sweep import EASE_LEVELS, PAPER, at_hem, sweep

IN = 25.4
WIDTH, HEIGHT = 1e-8, 1e-4  # mm


def _assert_agrees(fitted: Fit, takes: Any) -> set[str]:
    """Check every row of a sweep against a fit of that variant alone; return what failed."""
    found = sweep(fitted, takes)
    for i, take in enumerate(takes):
        assert found.take_in[i] == take
        try:
            alone = fit_design(fitted.project, at_hem(fitted.design, take), fitted.block)
        except ProjectError:
            assert found.first_to_fail[i] == PAPER
            assert np.isnan(found.hem[i])
            continue
        failed = next((one.id for one in alone.findings if one.status == "fail"), "")
        assert found.first_to_fail[i] == failed, take
        assert found.hem[i] == pytest.approx(alone.taper.finished["hem"], abs=WIDTH)
        for level in EASE_LEVELS:
            assert found.finished[level][i] == pytest.approx(alone.taper.finished[level], abs=WIDTH)
        lowest = np.nan if alone.slit.lowest is None else alone.slit.lowest
        assert found.slit[i] == pytest.approx(lowest, abs=HEIGHT, nan_ok=True)
    return set(found.first_to_fail.tolist())


@st.composite
def _fits(draw: st.DrawFn, style: str = "follow") -> Fit:
    """Return the fit of a plausible design on a plausible block, for a wearer of any size."""
    table, design = draw(blocks.tapers(style))
    slit: Any = draw(st.sampled_from(["none", "auto", sample.length("5")]))
    girths: Any = {
        key: draw(st.none() | st.floats(low, 1.6 * low).map(sample.length))
        for key, low in (
            ("thigh", 440.0), ("knee", 330.0), ("knee_bent", 350.0), ("calf", 310.0),
            ("foot_entry", 290.0),
        )
    }  # fmt: skip
    cloth: Fabric = draw(st.sampled_from([Fabric(), sample.knit(30)]))
    project = Project(
        "Drawn", "in", Wearer(**girths), cloth, table, designs=(replace(design, slit=slit),)
    )
    try:
        return fit(project)
    except ProjectError:
        assume(False)
        raise


@given(_fits(), st.lists(st.floats(0, 130), min_size=12, max_size=40))
@settings(max_examples=40)
def test_a_sweep_agrees_with_one_at_a_time(fitted: Fit, takes: list[float]) -> None:
    """On any block, with any levels, blends, curves and fabric: widths, slit and first failure."""
    _assert_agrees(fitted, [0.0, *takes])


@given(_fits("straight"), st.lists(st.floats(0, 80), min_size=5, max_size=6))
@settings(max_examples=5)
def test_ruled_seams_agree_too(fitted: Fit, takes: list[float]) -> None:
    """In the style "straight" each take-in may have a curve of its own."""
    _assert_agrees(fitted, takes)


def test_every_cause_comes_first_somewhere() -> None:
    """The foot, the ease at each level, the hang, the pair, and the end of the paper."""
    takes = np.linspace(0, 125, 60)
    seen = _assert_agrees(sample.fitted(), takes)
    for girth, inches in (
        ("calf", "18"), ("knee", "18"), ("thigh", "28"), ("knee_bent", "18"), ("ankle", "10"),
    ):  # fmt: skip
        wearer = replace(Wearer(), **{girth: sample.length(inches)})
        seen |= _assert_agrees(sample.fitted(wearer=wearer), takes)
    high = sample.table(
        {**sample.HEIGHTS, "high_hip": "41 in"},
        {
            edge: reach | ({"high_hip": "5 3/4"} if edge.endswith("outseam") else {})
            for edge, reach in sample.REACHES.items()
        },
    )
    hung = sample.design(blend=sample.lengths(outseam="40"))
    seen |= _assert_agrees(sample.fitted(hung, block=high, wearer=Wearer()), takes)
    assert seen >= {"", PAPER, "hem-opening", "ease-calf", "ease-knee", "ease-knee-bent", "hang"}
    assert seen >= {"ease-thigh", "ease-ankle"}


def test_a_sharp_curve_and_an_unlike_pair_fail_alike() -> None:
    """A curve of a thousandth of a millimeter bends; a block of unlike panels no longer sews."""
    takes = np.linspace(0, 60, 30)
    sharp = sample.design(curve=sample.lengths(outseam=1e-6), slit="auto")
    assert "blend" in _assert_agrees(sample.fitted(sharp), takes)
    uneven = {**sample.REACHES, "back_outseam": {"hem": "7 3/4", "knee": "5 1/4", "hip": "6 3/4"}}
    table = sample.table(reaches=uneven)
    pair = sample.design(slit="auto")
    assert "sewn-pair" in _assert_agrees(sample.fitted(pair, block=table, wearer=Wearer()), takes)


@pytest.mark.parametrize("slope", [0.0, 0.05])
def test_traced_outlines_and_slanting_hems(slope: float) -> None:
    """Polylines of many points, with a hem that rises to one side."""
    plain = tracings.table()
    tilted: Any = {
        name: replace(
            outline,
            points=tuple((x, y + slope * x * max(0.0, 1 - y / 300)) for x, y in outline.points),
        )
        for name, outline in plain.outline.items()
    }
    fitted = fit(tracings.project(replace(plain, outline=tilted)))
    assert bool(fitted.block.hem_slope("front")) == bool(slope)
    _assert_agrees(fitted, np.linspace(0, 90, 25))


def test_extras_of_a_fitting_round() -> None:
    """Pinches at one seam, at the hem and at a level that the design does not name."""
    extra: Any = {"outseam": sample.lengths(knee="1/4", hem="-1/8")}
    _assert_agrees(sample.fitted(sample.design(extra=extra)), np.linspace(0, 110, 30))


def test_tightened_corners_are_found_out() -> None:
    """Where the take-in dips between two levels, corners tighten: those go one at a time."""
    dips = sample.design(take_in=sample.lengths(hem="2", calf="0", knee="1 1/4", thigh="1/8"))
    _assert_agrees(sample.fitted(dips), np.linspace(0, 70, 40))


def test_order_and_repeats_are_kept() -> None:
    """Rows stand in the order of what was asked, twice where it was asked twice."""
    found = sweep(sample.fitted(), [30.0, 0.0, 30.0, 10.0])
    assert found.take_in.tolist() == [30.0, 0.0, 30.0, 10.0]
    assert found.hem[0] == found.hem[2] == pytest.approx(18 * IN - 120)


def test_the_slit_is_unknown_without_a_foot_entry() -> None:
    """Neither measured nor estimated: no slit height, and the hem opening does not fail."""
    fitted = sample.fitted(wearer=Wearer())
    assert foot_entry(fitted.project.wearer) is None
    found = sweep(fitted, np.linspace(10, 40, 10))
    assert np.isnan(found.slit).all()
    assert set(found.first_to_fail) == {""}
