"""A whole job heard at the line prompts: what is held, what was asked, and what was left."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from typed_example import typed
from typist import Sitting, sit

from legtaper.files.store import load
from legtaper.model.project import Project
from legtaper_wizard.flow.answers import answer
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.steps import value

pytestmark = pytest.mark.usefixtures("new_account")

WHOLE = typed()


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """Return the courier example as a file of its own."""
    path = tmp_path / "mine.toml"
    path.write_text(example_text("courier"), encoding="utf-8")
    return path


def test_exact_tells_what_is_held_after_undo_and_clear() -> None:
    """Not what was typed and taken back, and not another question."""
    lines = ("wearer.hip = 41 in", "wearer.hip = 42 in", "undo", "exact", "quit")
    undone = Sitting(*lines, project=WHOLE).words
    assert undone.count("Hip 41 in = 1041.4 mm. Saved ") == 1
    assert "Hip 42 in = " not in undone
    cleared = Sitting("back to waist", "clear", "exact", "quit", project=WHOLE).words
    assert "Waist: cleared." in cleared
    assert "Waist is empty. Saved " in cleared


def test_exact_tells_a_row_as_it_was_typed_at_once() -> None:
    """Each of its numbers, by name."""
    said = Sitting("block.front.outseam.knee = 5 5 5 1/2 5 1/2", "exact", "quit", project=WHOLE)
    assert "front outseam 5, front inseam 5, back outseam 5 1/2, back inseam 5 1/2" in said.words


def test_an_answer_by_name_may_be_emptied() -> None:
    """What was there is said to be cleared; where nothing was, that is said."""
    on = Sitting("wearer.hip =", "wearer.hip =", "quit", project=WHOLE)
    assert value(on.project, "wearer.hip") == ""
    assert "Hip: cleared." in on.words
    assert "Hip is empty." in on.words


def test_an_action_that_changed_nothing_is_not_called_done() -> None:
    """Enter at what it asks for leaves all as it was, and says so."""
    step = "more Leave room at the back of the knee alone"
    on = Sitting("steps how narrow", step, "", "quit", project=WHOLE)
    assert "alone: done." not in on.words
    assert on.project == WHOLE


def test_going_back_to_a_round_is_heard_once(mine: Path) -> None:
    """Under the step where the work goes on, and not before it as well."""
    said = sit(mine, "steps muslin", "more go back", "1", "quit")[1]
    after = said[said.index("Go back to an earlier round: done.") :]
    assert after.count("Next: ") == 1
    assert after.count(" Now: ") == 1


def test_what_is_said_can_be_told_back_to_how_it_was_at_first() -> None:
    """`normal` ends `long` and `short`, and both say so."""
    how = "Tape level, close but not pulled."
    lines = ("long", "normal", "steps wearer", *[""] * 5, "quit")
    on = Sitting(*lines, project=typed("name"))
    assert on.words.count(how) == 1
    assert "normal says only what is new" in on.words


def test_done_with_a_pinch_says_that_the_pinch_is_not_cut(mine: Path) -> None:
    """The design is cut as it was sewn; how the pinch gets into one is said, too."""
    today = date.today().isoformat()
    lines = ("round.printed = today", f"round.date = {today}", "verdict = done")
    assert "What you pinched last" not in sit(mine, "steps muslin", *lines, "quit")[1]
    said = sit(mine, "steps muslin", "round.pinch.inseam.knee = 1/4", "verdict = done", "quit")[1]
    assert "What you pinched last is not in this design" in said


def test_rounds_and_designs_are_compared_in_the_order_asked(mine: Path) -> None:
    """`compare r1 2` goes from the round to the design; what was noted comes when asked for."""
    said = sit(mine, "compare r1 2", "rounds", "", "quit")[1]
    assert "From round 1: easy taper to slim taper:" in said
    assert said.count('Round 1, "easy taper"') == 1
    assert said.index("rounds says") < said.index('Round 1, "easy taper"')


def test_a_mark_that_is_not_there_is_refused_plainly() -> None:
    """And how one goes from mark to mark is told where it changes."""
    on = Sitting("marks", "99", "limits", "quit", "quit", project=WHOLE)
    assert re.search(r'"99" is no mark: type a number from 1 to \d\d\.', on.words)
    assert on.words.count("Next mark [2]:") == 3  # after the refusal and the list as before
    rest = Sitting("marks", "all", *[""] * 9, "quit", project=WHOLE).words
    ways = re.findall(r"; (straight lines|a curve|the old seam) up from here", rest)
    marks = re.findall(r"from the grainline", rest)
    assert 4 <= len(ways) < len(marks) / 2


def test_long_lists_stop_after_ten_lines() -> None:
    """Of hem widths and of marks; Enter goes on, and a command ends them."""
    wide = answer(WHOLE, "length_unit", "cm")  # in centimeters the list has more lines
    assert re.search(r"\d more; Enter goes on:", Sitting("limits", "", "quit", project=wide).words)
    marks = Sitting("marks", "all", "steps wearer", "quit", project=WHOLE).words
    assert "more; Enter goes on:" in marks
    assert "left undone" not in marks
    assert "Step 2: Wearer" in marks


def test_a_height_that_is_refused_is_named() -> None:
    """The levels that do not go together are both in the sentence."""
    project = answer(answer(Project(), "block.height.crotch", "31"), "block.height.hip", "35")
    on = Sitting("steps block", "block.height.hip = 30", "no", "quit", project=project)
    whole = Sitting("block.height.knee = 6", "yes", "quit", project=WHOLE)
    assert "the knee must be above the calf; levels go up from the hem" in on.words + whole.words


def test_did_it_go_takes_yes_and_no(mine: Path) -> None:
    """They are the first words of the two answers."""
    from legtaper_wizard.flow.questions.muslin_signs import WENT
    from legtaper_wizard.flow.shapes import Field
    from legtaper_wizard.prompts.prompt_order import meant

    field = Field("round.went.1", WENT.label, "choice", "", WENT.rule.choices)
    assert [meant(field, said) for said in ("yes", "no", "it is gone")] == ["gone", "still", "gone"]
    assert load(mine).rounds
