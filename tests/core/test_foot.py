from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sample

from legtaper.leg.foot import SlitPlan, foot_entry, passing_height, plan_slit, shortest_slit
from legtaper.leg.taper import taper
from legtaper.model.project import Design, ProjectError, Wearer
from legtaper.model.said_lengths import say_ruled
from legtaper.outputs.front_sheet import making
from legtaper.pattern import build, fit


def _plan(
    design: Design, foot: str | None = "12 3/4", stretch: float = 0.0, shortest: float = 0.0
) -> SlitPlan:
    entry = foot_entry(sample.wearer(foot_entry=foot)) if foot else None
    opening = entry.mm / (1 + stretch) if entry else None
    return plan_slit(taper(sample.block(), design, "in"), design, opening, shortest, "in")


def test_a_measurement_counts_before_any_estimate() -> None:
    """A measured foot entry is taken as it is, whatever else is known."""
    foot = foot_entry(sample.wearer(foot_entry="12", ankle="9", height="66", foot_length="10"))
    assert foot is not None
    assert foot.mm == pytest.approx(12 * 25.4)
    assert foot.estimated_from == ""


def test_an_estimate_from_ankle_and_height_is_the_larger_upper_bound() -> None:
    """Ankle 22 cm, height 165 cm, each estimate plus 1.645 residuals.

    Women 2.015 + 0.4820 * 22 + 0.1143 * 165 + 1.645 * 0.950 = 33.04125 cm,
    men 1.225 + 0.6329 * 22 + 0.1060 * 165 + 1.645 * 0.937 = 34.180165 cm, the larger.
    """
    foot = foot_entry(sample.wearer(ankle=220.0, height=1650.0, foot_length=250.0))
    assert foot is not None
    assert foot.mm == pytest.approx(341.80165)
    assert foot.estimated_from == "ankle and height"


def test_for_a_slender_ankle_and_a_tall_wearer_the_other_estimate_is_larger() -> None:
    """Ankle 15 cm, height 190 cm: women 2.015 + 7.23 + 21.717 + 1.56275 = 32.52475 cm.

    Men 1.225 + 9.4935 + 20.14 + 1.541365 = 32.399865 cm.
    """
    foot = foot_entry(sample.wearer(ankle=150.0, height=1900.0))
    assert foot is not None
    assert foot.mm == pytest.approx(325.2475)


def test_an_estimate_from_foot_length() -> None:
    """Foot 25 cm: women 6.690 + 0.9883 * 25 + 1.645 * 0.913 = 32.899385 cm.

    Men 7.049 + 1.0067 * 25 + 1.645 * 1.011 = 33.879595 cm, the larger.
    """
    foot = foot_entry(sample.wearer(foot_length=250.0, ankle=220.0))
    assert foot is not None
    assert foot.mm == pytest.approx(338.79595)
    assert foot.estimated_from == "foot length"


@pytest.mark.parametrize("known", [{}, {"ankle": "9"}, {"height": "66"}])
def test_without_measurements_nothing_is_made_up(known: dict[str, Any]) -> None:
    """An ankle alone or a height alone is not enough for an estimate."""
    assert foot_entry(sample.wearer(**known) if known else Wearer()) is None


def test_the_leg_is_wide_enough_where_it_first_reaches_the_opening() -> None:
    """On a straight cone from 300 to 700 round over 800 mm, 400 is first reached at 200."""
    quarter = {"hem": 75.0, "crotch": 175.0}
    reaches = {edge: dict(quarter) for edge in sample.REACHES}
    for edge in ("front_outseam", "back_outseam"):
        reaches[edge]["hip"] = 200.0
    table = sample.table({"crotch": 800.0, "hip": 1000.0}, reaches)
    cone = taper(sample.block(table), sample.design(take_in={}), "cm")
    assert passing_height(cone, 400) == pytest.approx(200, abs=1e-3)
    assert passing_height(cone, 300) == 0
    assert passing_height(cone, 700) == pytest.approx(800, abs=1e-3)
    assert passing_height(cone, 701) is None


def test_a_hem_that_the_foot_passes_needs_no_slit() -> None:
    """15 1/2 in round and a foot of 12 3/4 in: no slit, and "auto" makes none."""
    plan = _plan(sample.design(slit="auto"))
    assert plan == SlitPlan(needed=False, lowest=0.0, height=None)
    assert plan.lets_foot_through


def test_an_automatic_slit_ends_where_the_foot_passes() -> None:
    """At the lowest slit the leg is 12 3/4 in round; the slit ends at the next 1/8 in."""
    design = sample.wide(hem="12")
    plan = _plan(sample.design(take_in={}, width=design.width, slit="auto"))
    assert plan.needed
    assert plan.height is not None
    assert plan.lowest is not None
    assert 0 <= plan.height - plan.lowest < 25.4 / 8
    assert plan.height * 8 / 25.4 == pytest.approx(round(plan.height * 8 / 25.4))
    assert plan.lets_foot_through
    narrowed = taper(sample.block(), design, "in")
    assert float(narrowed.circumference(plan.lowest)) == pytest.approx(12.75 * 25.4, abs=1e-3)
    assert float(narrowed.circumference(plan.lowest - 1)) < 12.75 * 25.4


def test_without_a_slit_the_foot_stays_out() -> None:
    """A hem of 12 in without a slit needs one and does not let the foot through."""
    plan = _plan(sample.wide(hem="12"))
    assert plan.needed
    assert plan.height is None
    assert not plan.lets_foot_through


def test_a_slit_of_a_given_height_may_be_too_short() -> None:
    """A slit of 1/2 in is kept as asked, and is not enough; one of 6 in is."""
    width = sample.lengths(hem="12")
    short = _plan(sample.design(take_in={}, width=width, slit=sample.length("1/2")))
    assert short.height == pytest.approx(12.7)
    assert not short.lets_foot_through
    assert _plan(sample.design(take_in={}, width=width, slit=sample.length("6"))).lets_foot_through


def test_stretch_lets_a_narrower_hem_pass() -> None:
    """12 in with a usable stretch of a tenth opens to 13.2 in: a foot of 12 3/4 in passes."""
    assert not _plan(sample.wide(hem="12"), stretch=0.1).needed
    assert _plan(sample.wide(hem="11 1/2"), stretch=0.1).needed


def test_a_foot_wider_than_the_whole_leg_has_no_slit() -> None:
    """A foot of 28 in passes nowhere below a crotch of 27 7/8 in."""
    plan = _plan(sample.design(slit="auto"), foot="28")
    assert plan == SlitPlan(needed=True, lowest=None, height=None)
    assert not plan.lets_foot_through


def test_without_a_foot_entry_only_an_asked_slit_is_made() -> None:
    """Unknown foot: "auto" makes no slit, and a slit of 3 in is made as asked."""
    assert _plan(sample.design(slit="auto"), foot=None).height is None
    plan = _plan(sample.design(slit=sample.length("3")), foot=None)
    assert plan.height == pytest.approx(3 * 25.4)
    assert not plan.needed


@pytest.mark.parametrize("height", [0.0, "30 1/2", "45"])
def test_a_slit_that_cannot_be_is_refused_by_name(height: str | float) -> None:
    """A slit ends above the hem and at most at the crotch point."""
    with pytest.raises(ProjectError, match="ends below the crotch") as caught:
        _plan(sample.design(slit=sample.length(height)))
    assert caught.value.key == 'design "easy taper".slit.height'


def test_an_automatic_slit_is_never_closed_by_the_hem() -> None:
    """Where the foot needs less, the slit ends 1 in, or 2.5 cm, above the depth of the hem."""
    assert shortest_slit(38.1, "in") == pytest.approx(2.5 * 25.4)
    assert shortest_slit(40.0, "cm") == pytest.approx(65.0)
    plan = _plan(replace(sample.wide(hem="12 1/2"), slit="auto"), shortest=63.5)
    assert plan.lowest is not None
    assert plan.lowest < 63.5
    assert plan.height == plan.least == 63.5
    lower = replace(sample.wide(hem="12 1/2"), slit=sample.length(plan.lowest - 1))
    found = sample.fitted(lower).findings
    said = next(one.says for one in found if one.id == "slit")
    assert "needs a slit of 2 1/2 in" in said


def test_a_slit_along_a_slanting_seam_says_how_long_it_is_sewn() -> None:
    """4 in high where the seam goes 1 in across for 4 in up: the root of 17 in, 4 1/8 in.

    An upright seam, and one that slants less than a ruler shows, say the height alone.
    """
    heights = {"hem": "0", "calf": "10", "knee": "14", "thigh": "29", "crotch": "30", "hip": "38"}
    for run, said in ((3.5, "(4 1/8 in along the seam)"), (0.0, ""), (0.3, "")):
        out = {"hem": "5", "knee": f"{5 + run}", "crotch": f"{5 + run}", "hip": f"{5 + run}"}
        plain = {"hem": "5", "knee": "5", "crotch": "6"}
        edges = {"front_outseam": out, "back_outseam": out,
                 "front_inseam": plain, "back_inseam": plain}  # fmt: skip
        project = sample.project(
            sample.design(take_in=sample.lengths(hem="0"), slit=sample.length("4")),
            block=sample.table(heights, edges),
        )
        fitted = fit(project)
        y = np.linspace(0, 4 * 25.4, 4001)
        x = fitted.block.seams["front_outseam"].at(y)
        long = float(np.hypot(np.diff(x), np.diff(y)).sum())
        assert (long - 4 * 25.4 > 25.4 / 16) == bool(said)
        says = next(one.says for one in fitted.findings if one.id == "slit")
        assert ("along the seam" in says) == bool(said), says
        if said:
            along = f"({say_ruled(long, 'in')} along the seam)"
            assert along in says
            facts = " ".join(making(build(project)))
            assert f"Slit: 4 in high, {say_ruled(long, 'in')} up the outseam from the hem." in facts
