"""Muslin rounds at the line prompts."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from typist import sit as typed

from legtaper.files.store import load
from legtaper.model.project import Project
from legtaper.muslin.log import current
from legtaper.pattern import block_of, fit_design
from legtaper_wizard.flow.examples import example_text

pytestmark = pytest.mark.usefixtures("new_account")


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """Return the courier example, whose slim taper is not sewn yet."""
    file = tmp_path / "mine.toml"
    file.write_text(example_text("courier"), encoding="utf-8")
    return file


def sit(file: Path, *lines: str) -> str:
    """Type lines, then let the input end; return what was said, as one line."""
    status, said = typed(file, *lines)
    assert status == 0
    return said


def round_leg(project: Project, level: str) -> float:
    """Return how wide the current design is around the leg at a level, in inches."""
    return fit_design(project, current(project), block_of(project)).taper.finished[level] / 25.4


def test_two_rounds_end_in_the_widths_that_hand_arithmetic_gives(mine: Path) -> None:
    """From 12 in at the hem and 17 at the knee; each sitting goes on where the last one ended."""
    sit(mine, "round.printed = today")
    seen = ("round.trial.climb = trouble", "round.notes = binds", "pinched knee outseam = -1/4")
    lines = ("round.date = today", *seen, "round.verdict = too far", "steps muslin")
    said = sit(mine, *lines, "more evened out")
    assert "1/2 in let out around the leg" in said
    assert 'Work goes on with "slim taper 2". Step 6: How narrow' in said
    # Let out 1/4 in on two edges: 17 + 2 * 1/4 = 17 1/2.
    assert round_leg(load(mine), "knee") == pytest.approx(17.5, abs=0.0004)
    assert load(mine).rounds[1].trouble == ("climb a step",)

    pinches = ("pinched hem outseam = 1/16", "pinched hem inseam = 1/16")
    said = sit(mine, "round.printed = today", "round.date = today", "steps muslin", *pinches)
    # 12 - 2 * 1/16 - 2 * 1/16 = 11 3/4, and then it is done as it is.
    assert "The hem is 11 3/4 in around the leg, before 12 in." in said
    said = sit(mine, "steps muslin", "verdict = done")
    assert 'done: "slim taper 2", accepted in round 3' in said
    assert current(load(mine)).name == "slim taper 2"


def test_a_fitting_that_breaks_off_loses_nothing(mine: Path) -> None:
    """The input ends after a pinch; the next sitting begins at that question and knows of it."""
    sit(mine, "steps muslin", "today", "round.date = today", "back to pinched hem outseam", "1/8")
    said = sit(mine)
    assert "Step 11: Muslin fitting" in said
    assert "The hem is 11 3/4 in around the leg, before 12 in." in said
    assert said.rindex("Pinched at the") > said.rindex("11 3/4 in")


def test_a_next_design_that_is_undone_is_named(mine: Path) -> None:
    """Work goes on with the design before, where the next one is offered; redo returns to it."""
    lines = ("round.printed = today", "round.date = today", "pinched knee outseam = -1/4")
    sit(mine, *lines, "round.verdict = too far")
    said = sit(mine, "back to round.verdict", "", "evened", "undo", "9", "back", "redo")
    undone = 'Undone: Next design, evened out over four edges; work goes on with "slim taper".'
    assert undone in said
    behind = said[said.index(undone) :]
    assert behind.index("Step 11: ") < behind.index("Number or words, or Enter for none:")
    assert "Type a number from 1 to 6" in behind
    assert behind.count("Verdict [too far]:") == 1
    assert 'work goes on with "slim taper 2"' in behind
    assert current(load(mine)).name == "slim taper 2"


def test_slips_are_said_and_asked_again(mine: Path) -> None:
    """A day, a depth and a number that cannot be are refused, each in a line."""
    sit(mine, "round.printed = today")
    slips = ("round.date = tomorrow", "round.date = 2026-02-30", "pinched hem outseam = 1/4 foot")
    said = sit(mine, "steps muslin", *slips)
    assert '"tomorrow" is not a day that can be read' in said
    assert '"2026-02-30" is not in the calendar' in said
    assert '"foot" is not a unit' in said
    said = sit(mine, "steps muslin", "more go back", "9")
    assert "write a number from 1 to 2" in said


def test_both_legs_written_count_as_printed(mine: Path, tmp_path: Path) -> None:
    """Behind the pattern step the files are written, and the fitting then asks what was seen."""
    said = sit(mine, "steps pattern", "next", "svg", "both", "", "test")
    assert "The test counts as printed today." in said
    assert "round 2 printed, not yet tried on" in said
    assert (tmp_path / "test.svg").exists()
    one = load(mine).rounds[1]
    assert (one.design, bool(one.printed), one.date) == ("slim taper", True, None)


@pytest.mark.parametrize(
    ("kinds", "counts"), [("dxf", True), ("marks svg", True), ("marks", False)]
)
def test_any_file_with_both_legs_in_it_is_the_test(mine: Path, kinds: str, counts: bool) -> None:
    """Whatever it is written as; the marking table alone has no leg in it."""
    sit(mine, "steps muslin", "write", "leg = both", kinds, *["", ""] * (kinds != "marks"), "t", "")
    assert (len(load(mine).rounds) == 2) == counts


def test_one_leg_written_is_no_test(mine: Path) -> None:
    """The narrowed leg alone is the pattern of the real fabric, and begins no round."""
    sit(mine, "steps pattern", "next", "svg", "narrowed", "", "leg")
    assert len(load(mine).rounds) == 1


def test_once_the_pattern_is_written_the_fabric_is_next(mine: Path) -> None:
    """Of the design that was accepted; the file remembers it."""
    done = ("round.printed = today", "round.date = today", "round.verdict = done")
    said = sit(mine, *done, "write", "leg = narrowed", "svg", "", "", "leg", "")
    assert (mine.parent / "leg.svg").exists()
    assert load(mine).rounds[1].written == date.today()
    assert "Next: cut the real fabric." in " ".join(sit(mine, "steps muslin", "notes").split())
    assert "counts as printed" not in said


def test_where_a_test_is_due_one_leg_says_that_it_is_none(mine: Path) -> None:
    """Neither once the test is printed, nor where the pattern is wanted."""
    one_leg = ("leg = narrowed", "svg", "", "", "leg", "")
    says = "This is the narrowed leg alone; the test of round 2 takes both legs."
    assert says in " ".join(sit(mine, "steps muslin", "write", *one_leg).split())
    assert len(load(mine).rounds) == 1
    sit(mine, "round.printed = today")
    assert "takes both legs" not in sit(mine, "steps muslin", "write", *one_leg[:-2], "leg2", "")


def test_designs_and_rounds_are_set_side_by_side(mine: Path) -> None:
    """`compare` says what changed first, and shows its tables where they are asked for."""
    said = sit(mine, "compare", "1 r1", "", "compare", "7", "compare 1 2", "tables")
    assert "r1: round 1: easy taper" in said
    assert 'Not shown: "7" is none of them' in said
    assert "From easy taper to slim taper" in said
    assert said.count("Comes off each edge") == 1
    assert said.rindex("From easy taper to slim taper") < said.index("Comes off each edge")


def test_both_legs_are_proposed_wherever_the_first_test_is_due(mine: Path) -> None:
    """Behind the pattern as at the fitting; once the design was printed the narrowed leg is."""
    first = sit(mine, "steps pattern", "next", "svg", "", "", "", "quit")
    assert "Leg [both, for the muslin]:" in first
    assert "The test counts as printed today." in first
    assert "Leg [narrowed]:" in sit(mine, "steps pattern", "next", "svg", "quit", "quit")


def test_the_next_test_is_proposed_as_the_one_before(mine: Path) -> None:
    """The kind of file is; the name is one that no file has yet."""
    said = sit(
        mine, "steps pattern", "next", "svg", "", "", "", "steps how narrow",
        "more new", "wider", "steps pattern", "write", "", "", "", "", "quit",
    )  # fmt: skip
    assert said.count("The test counts as printed today.") == 2
    stem = "courier-trousers-invented-example"
    assert sorted(file.name for file in mine.parent.glob("*-test*")) == [
        f"{stem}-slim-taper-test.svg", f"{stem}-wider-test.svg"
    ]  # fmt: skip


def test_a_day_that_is_cleared_tells_what_stays_of_the_test(mine: Path) -> None:
    """Its verdict, with the name that takes it away; or that it counts as tried on all the same."""
    tried = ("round.printed = today", "tried on = today")
    judged = sit(mine, "steps muslin", *tried, "round.verdict = closer", "tried on =")
    way = "Tried on: cleared. The verdict, closer, stays; type verdict of muslin fitting = to"
    assert way in judged
    gone = sit(mine, "verdict of muslin fitting =", "tried on = today", "tried on =")
    assert "stays" not in gone
    assert load(mine).rounds[-1].verdict is None
    seen = sit(mine, "tried on = today", "sit = trouble", "tried on =")
    assert "It still counts as tried on, by what else was written down." in seen
    block = sit(mine, "date of the test =")
    assert "The verdict, hangs clean, stays; type" in block


TRIED = ("round.printed = today", "round.date = today")


def test_a_test_that_is_not_tried_on_yet_is_passed_at_once(mine: Path) -> None:
    """Enter at the day does not lead through everything that is seen on a leg that is worn."""
    said = sit(mine, "round.printed = today", "steps muslin", "", "quit")
    assert "Tried on [not yet]: The rest is asked once it is tried on." in said
    assert "[skip]:" not in said[said.index("Tried on [not yet]") :]
    assert "The end." in said
    again = sit(mine, "quit")
    assert "Tried on [not yet]:" in again  # where it was left


def test_equal_choices_of_one_question_after_the_other_are_read_once(mine: Path) -> None:
    """The trials; help reads them again, and `long` each time."""
    lines = ("steps muslin", "", "yes", "yes", "no", "?")
    said = sit(mine, *TRIED, *lines)
    trials = said[said.index("Put the foot through [skip]") :]
    asked, _, helped = trials.partition("Type ? once more")
    assert "went well; 2" not in asked
    assert asked.count("went well.") == 3
    assert helped.count("1: went well; 2: trouble.") == 1
    longer = sit(mine, "steps muslin", "long", "", "", "", "quit")
    assert longer.count("1: went well; 2: trouble.") >= 3


def test_after_a_sign_is_written_down_the_question_comes_again_that_was_open(mine: Path) -> None:
    """What else is asked of the sign comes before it, and not once more after the pinches."""
    sign = ("more write down", "lines run slanting", "narrowed")
    lines = ("steps muslin", "", "yes", *sign, "knee", "yes", *[""] * 30, "quit")
    said = sit(mine, *TRIED, *lines)
    written = said[said.index("Write down what you see: done.") :]
    assert written.index("At which level [skip]") < written.index("Stand [skip]")
    assert "Stand: went well." in written
    assert written.index("Stand [skip]") < written.index("Notes [skip]")
    assert written.count("At which level") == 1
    assert load(mine).rounds[-1].signs[0].where == "narrowed, knee"


def test_how_to_hear_all_cures_is_told_once_in_a_sitting(mine: Path) -> None:
    """Also where the cause that is named brings other cures."""
    sign = ("more write down", "hem breaks on the foot", "narrowed", "2")
    said = sit(mine, *TRIED, "steps muslin", *sign, "quit")
    assert said.count("Cure: A leg that ends") == 2
    assert said.count("Type notes for what to look at") == 1


def test_a_next_design_with_nothing_pinched_is_not_said_to_come_from_pinches(mine: Path) -> None:
    """It begins as the one that was sewn, and what the step says of rounds is not read again."""
    said = sit(mine, *TRIED, "steps muslin", "verdict = closer", "more", "by hand", "quit")
    assert "1: Next design, to change by hand. It begins as the one that was sewn." in said
    made = said[said.index("Next design, to change by hand: done.") :]
    assert made.startswith("Next design, to change by hand: done. Work goes on with")
