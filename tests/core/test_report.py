"""The objects behind `--json`: the keys that are documented, no others."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest
import sample

from legtaper.model.project import EDGES, Pinch, Round, Wearer
from legtaper.muslin.compare import columns
from legtaper.outputs.json_report import (
    check_report,
    compare_report,
    limits_report,
    marks_report,
    rounded,
)
from legtaper.pattern import build
from legtaper.search.hem_widths import hem_widths
from legtaper.search.limits import limits

IN = 25.4


def _check(*designs: Any, **parts: Any) -> dict[str, Any]:
    """Return the report as another program reads it: through JSON text."""
    report: dict[str, Any] = json.loads(
        json.dumps(check_report(build(sample.project(*designs, **parts))))
    )
    return report


def test_the_keys_of_a_check() -> None:
    """Every object of `check --json` has exactly its keys."""
    report = _check()
    assert list(report) == [
        "schema",
        "project",
        "design",
        "length_unit",
        "levels",
        "seams",
        "pairs",
        "hem",
        "slit",
        "findings",
    ]
    assert (report["project"], report["design"]) == ("Courier trousers", "easy taper")
    assert report["length_unit"] == "mm"
    assert set(report["seams"][0]) == {
        "edge", "block_length", "new_length", "blend_height", "curve_length", "style",
        "kink_degrees", "outside",
    }  # fmt: skip
    assert set(report["hem"]) == {"style", "depth", "turn_under", "come_in", "cut_edge", "sag"}
    assert set(report["hem"]["cut_edge"]) == {"front", "back"}
    assert set(report["slit"]) == {"needed", "height", "lowest_that_passes"}
    for finding in report["findings"]:
        assert set(finding) - {"estimated"} == {"id", "status", "value", "limit", "where", "says"}


def test_the_levels_of_a_check() -> None:
    """Hem: 18 in become 15 1/2, each edge 5/8 in less; every named level of the block is there."""
    levels = {row["level"]: row for row in _check()["levels"]}
    assert list(levels) == ["hem", "calf", "knee", "thigh", "crotch", "hip"]
    hem = levels["hem"]
    assert set(hem) == {"level", "height", "block", "finished", "asked", "edges", "take_in"}
    assert (hem["height"], hem["asked"]) == (0, True)
    assert (hem["block"], hem["finished"]) == (pytest.approx(457.2), pytest.approx(393.7))
    assert hem["edges"] == pytest.approx(
        {
            "front_inseam": 92.075, "front_outseam": 92.075,
            "back_inseam": 104.775, "back_outseam": 104.775,
        }
    )  # fmt: skip
    assert hem["take_in"] == pytest.approx(dict.fromkeys(EDGES, 15.875))
    assert levels["knee"]["asked"] is False


def test_above_the_crotch_there_is_no_leg_to_go_round() -> None:
    """At the hip block and finished are null, and only the outseams stand in the edges."""
    hip = _check()["levels"][-1]
    assert (hip["block"], hip["finished"]) == (None, None)
    assert set(hip["edges"]) == set(hip["take_in"]) == {"front_outseam", "back_outseam"}


def test_a_placed_level_is_marked_as_estimated() -> None:
    """A calf that the file does not give carries the mark; a level that it gives does not."""
    heights = {level: said for level, said in sample.HEIGHTS.items() if level != "calf"}
    levels = {row["level"]: row for row in _check(block=sample.table(heights))["levels"]}
    assert levels["calf"]["estimated"] is True
    assert "estimated" not in levels["knee"]


def test_the_seams_of_a_check() -> None:
    """In the order of the edges, with true lengths: the block's to the blend's own top."""
    seams = _check()["seams"]
    assert [seam["edge"] for seam in seams] == list(EDGES)
    inseam, outseam = seams[:2]
    assert outseam["blend_height"] == pytest.approx(38 * IN)
    assert outseam["curve_length"] == pytest.approx(19 * IN)
    assert inseam["blend_height"] == pytest.approx(29 * IN)
    assert outseam["style"] == "follow"
    for seam, height in ((inseam, 30 * IN), (outseam, 38 * IN)):
        assert height < seam["block_length"] < 1.02 * height
        assert height < seam["new_length"] < 1.02 * height
        assert seam["kink_degrees"] <= 0.1
        assert seam["outside"] == 0


def test_the_hem_of_a_check() -> None:
    """Depth and turn-under as asked; the cut edge is the width 1 1/2 in up the leg."""
    report = _check(sample.design(hem=sample.hem("double", depth="1 1/2", turn_under="1/4")))
    hem = report["hem"]
    assert (hem["style"], hem["depth"], hem["turn_under"]) == (
        "double",
        pytest.approx(38.1),
        pytest.approx(6.35),
    )
    assert hem["sag"] < 3
    assert 2 * 92.075 < hem["cut_edge"]["front"] < hem["cut_edge"]["back"]


def test_the_slit_of_a_check() -> None:
    """Not needed at 15 1/2 in; at 12 in an automatic one; unknown without a foot entry."""
    assert _check()["slit"] == {"needed": False, "height": None, "lowest_that_passes": 0}
    slim = sample.design(take_in={}, width=sample.lengths(hem="12"), slit="auto")
    slit = _check(slim)["slit"]
    assert slit["needed"] is True
    assert 0 <= slit["height"] - slit["lowest_that_passes"] < 25.4 / 8
    unknown = _check(wearer=Wearer())["slit"]
    assert unknown == {"needed": False, "height": None, "lowest_that_passes": None}


def test_a_finding_from_an_estimate_is_marked() -> None:
    """The hem opening from an estimated foot entry carries the mark, the balance does not."""
    report = _check(wearer=sample.wearer(foot_length="10"))
    findings = {finding["id"]: finding for finding in report["findings"]}
    assert findings["hem-opening"]["estimated"] is True
    assert "estimated" not in findings["balance"]


def test_the_marks() -> None:
    """`marks --json`: the documented keys, the rounded and the exact numbers."""
    report = json.loads(json.dumps(marks_report(sample.fitted(), "1/8in")))
    assert set(report) == {
        "schema", "project", "design", "length_unit", "rounded_to", "marks",
        "circumference_after_rounding", "circumference_after_coming_in", "pieces", "below_hem",
    }  # fmt: skip
    assert set(report["pieces"][0]) == {"edge", "from", "to", "by"}
    assert set(report["below_hem"][0]) == {
        "panel", "edge", "what", "height", "from_grainline", "allowance",
    }  # fmt: skip
    assert report["rounded_to"] == "1/8in"
    assert set(report["marks"][0]) == {
        "edge", "level", "height", "come_in", "from_grainline", "part", "up",
        "exact_come_in", "exact_from_grainline",
    }  # fmt: skip
    assert {mark["part"] for mark in report["marks"]} == {"straight", "curve", "old seam"}
    assert report["circumference_after_rounding"]["hem"] == pytest.approx(15.5 * IN)


def test_the_limits() -> None:
    """`limits --json`: the documented keys; a range as a pair."""
    fitted = sample.fitted()
    report = json.loads(json.dumps(limits_report(fitted, limits(fitted), hem_widths(fitted))))
    assert set(report) == {
        "schema", "project", "design", "length_unit",
        "narrowest_hem_without_slit", "foot_entry_estimated", "most_take_in_per_edge",
        "most_take_in_without_slit", "first_to_fail", "blend_range", "hem_widths",
        "hem_widths_that_work",
    }  # fmt: skip
    assert report["narrowest_hem_without_slit"] == pytest.approx(323.85)
    assert report["most_take_in_per_edge"] == pytest.approx(33.3375, abs=1e-3)
    assert report["first_to_fail"] == "hem-opening"
    assert report["blend_range"]["outseam"] == [0, pytest.approx(965.2)]


def test_designs_and_rounds_side_by_side() -> None:
    """`compare --json`: one row for each design, and every muslin round with its pinches."""
    pinch = Pinch("knee", "outseam", sample.length("-1/4"))
    sewn = Round(
        "easy taper", date(2026, 3, 20), "binds", (pinch,), date(2026, 3, 18), "closer",
        ("sit", "stand"), ("sit",), "of another block",
    )  # fmt: skip
    slim = sample.design("slim", take_in={}, width=sample.lengths(hem="12"), parent="easy taper")
    project = sample.project(sample.design(), slim, rounds=(sewn, Round("slim")))
    report = json.loads(json.dumps(compare_report(columns(project))))
    assert list(report) == [
        "schema", "project", "length_unit", "designs", "rounds", "changes", "current",
        "accepted_round", "status", "next", "out_of_date",
    ]  # fmt: skip
    assert [row["design"] for row in report["designs"]] == ["easy taper", "slim"]
    assert report["rounds"][0] == {
        "design": "easy taper",
        "printed": "2026-03-18",
        "date": "2026-03-20",
        "written": None,
        "verdict": "closer",
        "seen": ["stand", "sit"],
        "trouble": ["sit"],
        "notes": "binds",
        "pinches": [{"level": "knee", "edge": "outseam", "depth": pytest.approx(-6.35)}],
        "signs": [],
        "out_of_date": True,
    }
    assert (report["rounds"][1]["date"], report["rounds"][1]["out_of_date"]) == (None, False)
    assert report["out_of_date"]["rounds"] == [1]
    assert "round 1" in report["out_of_date"]["says"]
    change = report["changes"][0]
    assert (change["from"], change["to"]) == ("easy taper", "slim")
    assert "The hem is 12 in around the leg, before 15 1/2 in." in change["says"]


def test_the_figures_of_a_compared_design() -> None:
    """Ease is finished less girth; hip to hem is 41 in over 12 in; take-ins stand in the levels."""
    slim = sample.design("slim", take_in={}, width=sample.lengths(hem="12", knee="17"))
    project = sample.project(sample.design(), slim, rounds=(Round("slim"),))
    row = json.loads(json.dumps(compare_report(columns(project, (), (1,)))))["designs"][0]
    assert set(row) == {
        "design", "round", "parent", "from_round", "levels", "seams", "ease", "opening",
        "hip_to_hem", "slit", "hem", "failed", "cautions",
    }  # fmt: skip
    assert (row["design"], row["round"]) == ("slim", 1)
    assert row["opening"] == pytest.approx(12 * IN)
    assert row["hip_to_hem"] == pytest.approx(41 / 12)
    assert row["ease"]["knee"] == pytest.approx((17 - 15.5) * IN)
    hem = row["levels"][0]
    assert hem["take_in"] == pytest.approx(dict.fromkeys(EDGES, 1.5 * IN))
    assert set(row["hem"]) == {"style", "depth", "turn_under", "sag"}
    assert row["failed"] == ["hem-opening", "ease-calf"]


def test_numbers_are_rounded_to_four_decimals_wherever_they_stand() -> None:
    """Whole numbers, words and None stay; no minus is left before a zero."""
    plain = {"a": [1.23456789, (2.00004, -0.00001)], "b": {"c": 7, "d": None, "e": True}, "f": "x"}
    assert rounded(plain) == {
        "a": [1.2346, [2.0, 0.0]], "b": {"c": 7, "d": None, "e": True}, "f": "x",
    }  # fmt: skip
    assert str(rounded(-0.00001)) == "0.0"
