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
from legtaper_wizard.flow.steps import value

pytestmark = pytest.mark.usefixtures("new_account")

WHOLE = typed()


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
    assert "this is still open" not in said


def test_done_with_trouble_says_what_is_still_open(mine: Path) -> None:
    """What did not go well, and a sign that is still there, are named; the verdict is taken."""
    today = date.today().isoformat()
    lines = ("round.printed = today", f"round.date = {today}", "sit = trouble", "verdict = done")
    said = sit(mine, "steps muslin", *lines, "quit")[1]
    assert "Done was said, and this is still open: sit." in said
    assert load(mine).rounds[-1].verdict == "done"


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


# --- rows and names ------------------------------------------------------------------------------

TO_HEM = ("steps block", "back to front outseam at the hem")
HEIGHTS = typed("name", "wearer", "block.height")


def test_what_a_row_lacks_is_told_and_asked_next() -> None:
    """Three of four values; the fourth comes before the row above."""
    on = Sitting(*TO_HEM, "4 4 5", "5 1/4", "4 4 5 5", project=HEIGHTS)
    assert "Still missing there: back inseam. Hem, back inseam [5 in]: 5 1/4 in." in on.words
    assert on.project.block.reach["back_inseam"]["hem"].text.startswith("5 1/4")
    assert "Calf, 4 values: Calf: front 8 in, back 10 in, 18 in around the leg." in on.words


def test_a_row_that_was_passed_does_not_come_again_cell_by_cell() -> None:
    """Coming back, each row is one question that shows all of it, and Enter keeps it."""
    rows = ("4 4 5 5", "", "5 5 6 6", "", "6 7 6 8", "6 7")
    on = Sitting(*TO_HEM, *rows, *TO_HEM, *[""] * 5, "quit", project=HEIGHTS)
    again = on.words[on.words.rindex("Hem, 4 values") :]
    names = ": front outseam, front inseam, back outseam, back inseam"
    assert again.startswith(f"Hem, 4 values{names} [4 4 5 5]: Calf, 4 values: Knee, 4 values [5")
    assert again.endswith("Hip, 2 values: front outseam, back outseam [6 7]:")
    assert again.count("values") == 6  # and no cell


def test_a_row_that_is_needed_is_asked_once_cell_by_cell() -> None:
    """Enter does not pass it; what is below it is not asked again."""
    on = Sitting(*TO_HEM, "4 4 5 5", "", "", "", "", "", "6", "7", "quit", project=HEIGHTS)
    crotch = on.words[on.words.index("Crotch, 4 values") :]
    assert crotch.count("Crotch, ") == 4
    assert "Knee" not in crotch


def test_back_leads_from_row_to_row_where_rows_are_typed() -> None:
    """One back from the knee is the whole row of the calf."""
    on = Sitting(*TO_HEM, "4 4 5 5", "4 4 5 5", "back", "quit", project=HEIGHTS)
    assert on.words.endswith("Knee, 4 values: Calf, 4 values [4 4 5 5]:")


def test_a_girth_typed_in_the_block_is_asked_about() -> None:
    """In an empty block `hip = 104` may be the girth of the wearer, which was asked before."""
    empty = answer(answer(Project(name="Trial"), "length_unit", "cm"), "wearer.waist", "76")
    on = Sitting("steps block", "hip = 104", "2", "quit", project=empty)
    assert value(on.project, "wearer.hip") == "104 cm"
    assert value(on.project, "block.height.hip") == ""


def test_several_questions_of_one_name_are_chosen_by_number() -> None:
    """Or by words; what is no such choice is heard as any line is."""
    lines = ("back to take off", "2", "back to take off", "steps wearer", "quit")
    on = Sitting(*lines, project=WHOLE)
    listed = re.search(r'"take off" may be: 1: ([^;]*); 2: ([^;.]*)', on.words)
    assert listed
    assert f"{listed[2]} [".lower() in on.words.lower()
    assert "Step 2: Wearer" in on.words


def test_what_a_prompt_says_is_taken_as_a_name() -> None:
    """Heights and cells, as they are asked and as they are said in a sentence."""
    for name, key in (
        ("hip height", "block.height.hip"),
        ("height of the hip", "block.height.hip"),
        ("Knee, front outseam", "block.front.outseam.knee"),
        ("front outseam at the knee", "block.front.outseam.knee"),
    ):
        new = "37 1/2" if "height" in key else "5"
        assert value(Sitting(f"{name} = {new}", "quit", project=WHOLE).project, key) == f"{new} in"


# --- what need not be asked or said --------------------------------------------------------------


def test_what_only_estimates_a_measured_number_is_not_asked() -> None:
    """The foot's length behind the foot entry, the percentage behind the stretch test."""
    body = typed("name", "wearer")
    on = Sitting("back to foot entry", "12 3/4", "", "2", "5", "", "foot length = 10", project=body)
    assert "Foot length [" not in on.words
    assert "Stretch test: stretches by 25 %." in on.words
    assert "Stretch, percent [" not in on.words
    assert value(on.project, "wearer.foot_length") == "10 in"
    bare = Sitting("steps wearer", "back to ankle", "9", "", "", "quit", project=typed("name"))
    assert "Foot length [skip]:" in bare.words


def test_a_second_garment_is_asked_for_as_another_one() -> None:
    """So that it is plain that the first is done."""
    on = Sitting("steps legs", "Linen", *[""] * 20, "quit", project=typed("name", "block"))
    assert on.words.index("Garment [skip]:") < on.words.index("Another garment [skip]:")


def test_what_a_next_design_newly_warns_of_is_said_as_it_is_made(mine: Path) -> None:
    """Also where another step shows it: the blend, as the work goes on with the widths."""
    from legtaper.checks.registry import checks_on
    from legtaper.pattern import block_of, fit_design

    today = date.today().isoformat()
    noted = ("round.printed = today", f"round.date = {today}", "round.pinch.inseam.thigh = -1/4")
    said = sit(mine, *noted, "round.verdict = closer", "steps muslin", "more as pinched", "quit")[1]
    project = load(mine)
    block, here = block_of(project), {check.id for check in checks_on("narrowing")}
    sewn, made = (fit_design(project, one, block) for one in project.designs[-2:])
    warned, urgent = {one.id for one in sewn.findings if one.status != "pass"}, ("caution", "fail")
    new = [one.says for one in made.findings if one.status in urgent and one.id not in warned]
    assert [one for one in made.findings if one.says in new and one.id not in here]
    entered = said[said.index("Work goes on with") :]
    assert all(entered.count(text) == 1 for text in new)


def test_the_step_of_the_foot_says_whether_it_passes(mine: Path) -> None:
    """Good news, too, before its first question."""
    said = sit(mine, "take off hem = 0", "steps foot", "quit")[1]
    before = said[said.index("Does the foot pass") : said.rindex("Foot entry")]
    assert "OK: The hem opens to 17 1/2 in; the foot needs 12 5/8 in." in before


def test_a_length_that_was_worked_out_is_read_as_a_ruler_has_it(mine: Path) -> None:
    """Enter keeps it exactly."""
    said = sit(
        mine, "finished width, knee = 17.12345 in", "back to finished width, knee", "", "quit"
    )
    assert "Finished width, knee [17.12 in]:" in said[1]
    assert "17.12345" in mine.read_text()


def test_an_answer_by_name_leaves_the_open_question_open(mine: Path) -> None:
    """Also where it makes another question of the same step come or go."""
    away = ("foot entry =", "back to kind of fabric")
    said = sit(mine, *away, "foot entry = 12 3/4 in", "quit")[1]
    assert said.rindex("Kind of fabric [woven, firm]:") > said.index("Foot entry 12 3/4 in")
    back = sit(mine, "back to kind of fabric", "foot entry =", "quit")[1]
    assert back.rindex("Kind of fabric [woven, firm]:") > back.index("Foot entry: cleared.")
