"""Muslin rounds at the line prompts."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from legtaper.files.store import load
from legtaper.model.project import Project
from legtaper.muslin.log import current
from legtaper.pattern import block_of, fit_design
from legtaper_wizard import prompts as plain
from legtaper_wizard.flow.examples import example_text

pytestmark = pytest.mark.usefixtures("new_account")

TRIED = ("", "", "2", "", "")
"""Stand to put the foot through: the step bound, the rest was not tried."""


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """Return the courier example, whose slim taper is not sewn yet."""
    file = tmp_path / "mine.toml"
    file.write_text(example_text("courier"), encoding="utf-8")
    return file


def sit(file: Path, *lines: str) -> str:
    """Type lines, then let the input end; return what was said, as one line."""
    out = io.StringIO()
    assert plain.run(file, stdin=io.StringIO("".join(f"{t}\n" for t in lines)), stdout=out) == 0
    return " ".join(out.getvalue().split())


def round_leg(project: Project, level: str) -> float:
    """Return how wide the current design is round the leg at a level, in inches."""
    return fit_design(project, current(project), block_of(project)).taper.finished[level] / 25.4


def test_two_rounds_end_in_the_widths_that_hand_arithmetic_gives(mine: Path) -> None:
    """From 12 in at the hem and 17 at the knee; each sitting goes on where the last one ended."""
    sit(mine, "steps", "11", "today")
    said = sit(mine, "", *TRIED, "binds", "", "", "-1/4", "skip", "skip", "2", "1")
    assert "1/2 in let out round the leg" in said
    assert 'Work goes on with "slim taper 2". Step 6 of 11: How narrow' in said
    # Let out 1/4 in on two edges: 17 + 2 * 1/4 = 17 1/2.
    assert round_leg(load(mine), "knee") == pytest.approx(17.5, abs=0.0004)
    assert load(mine).rounds[1].trouble == ("climb a step",)

    said = sit(mine, "steps", "11", "today", "", "skip", "", "1/16", "skip", "1/16", "skip", "3")
    # 12 - 2 * 1/16 - 2 * 1/16 = 11 3/4, and then it is done as it is.
    assert "The hem is 11 3/4 in around the leg, before 12 in." in said
    assert 'done: "slim taper 2", accepted in round 3' in said
    assert current(load(mine)).name == "slim taper 2"


def test_a_fitting_that_breaks_off_loses_nothing(mine: Path) -> None:
    """The input ends after a pinch; the next sitting begins at the fitting and knows of it."""
    sit(mine, "steps", "11", "today", "", *TRIED, "", "1/8")
    said = sit(mine)
    assert "Step 11 of 11: Muslin fitting" in said
    assert "The hem is 11 3/4 in around the leg, before 12 in." in said


def test_a_next_design_that_is_undone_is_named(mine: Path) -> None:
    """Work goes on with the design before, where the next one is offered; redo returns to it."""
    lines = ("today", "today", "skip", "", "-1/4", "skip", "skip", "2", "1")
    said = sit(mine, "steps", "11", *lines, "undo", "9", "back", "redo")
    undone = 'Undone: next design, evened out over four edges; work goes on with "slim taper".'
    assert undone in said
    behind = said[said.index(undone) :]
    assert behind.index("Step 11 of 11") < behind.index("Number, or Enter for none:")
    assert "There are numbers 1 to 4" in behind
    assert behind.count("Verdict [too far]:") == 1
    assert 'work goes on with "slim taper 2"' in behind
    assert current(load(mine)).name == "slim taper 2"


def test_slips_are_said_and_asked_again(mine: Path) -> None:
    """A day, a depth and a number that cannot be are refused, each in a line."""
    said = sit(mine, "steps", "11", "tomorrow", "today", "2026-02-30", "", "skip", "", "1/4 foot")
    assert '"tomorrow" is not a day that can be read' in said
    assert '"2026-02-30" is not in the calendar' in said
    assert '"foot" is not a unit' in said
    said = sit(mine, "more", "3", "9")
    assert "write a number from 1 to 2" in said


def test_both_legs_written_count_as_printed(mine: Path, tmp_path: Path) -> None:
    """Behind the pattern step the files are written, and the fitting then asks what was seen."""
    said = sit(mine, "next", "svg", "both", "test")
    assert "The test counts as printed today." in said
    assert "round 2 printed, not yet tried on" in said
    assert (tmp_path / "test.svg").exists()
    one = load(mine).rounds[1]
    assert (one.design, bool(one.printed), one.date) == ("slim taper", True, None)


def test_one_leg_written_is_no_test(mine: Path) -> None:
    """The narrowed leg alone is the pattern of the real cloth, and begins no round."""
    sit(mine, "next", "svg", "narrowed", "leg")
    assert len(load(mine).rounds) == 1


def test_designs_and_rounds_are_set_side_by_side(mine: Path) -> None:
    """`compare` lists them, and takes numbers of designs and of rounds."""
    said = sit(mine, "compare", "1 r1", "compare", "7", "compare", "")
    assert "r1: round 1: easy taper" in said
    assert 'Not shown: "7" is none of them' in said
    assert "From easy taper to slim taper" in said
