"""What a listener could not answer or would not have noticed at the line prompts."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from typed_example import typed
from typist import Sitting, sit

from legtaper.files.project_file import read_project, write_project
from legtaper.files.store import save_new
from legtaper.model.project import Project
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.questions import field_at
from legtaper_wizard.flow.steps import STEPS, Cursor, answer, summary, value
from legtaper_wizard.prompts.prompt_order import full_names, prompts_of

pytestmark = pytest.mark.usefixtures("new_account")

WHOLE = typed()
METRIC = answer(Project(name="Trial"), "length_unit", "cm")


def test_each_of_two_questions_with_one_name_can_be_named() -> None:
    """Both are told with their step, and such a name finds the one that is meant."""
    tried = answer(answer(WHOLE, "round.printed", "2026-03-01"), "round.date", "2026-03-02")
    sitting = Sitting("back to wearer.hip", "verdict = closer", "quit", project=tried)
    assert "1: Verdict of Test of the block; 2: Verdict of Muslin fitting." in sitting.words
    named_whole = "verdict of muslin fitting = closer"
    sitting = Sitting("back to wearer.hip", named_whole, "quit", project=tried)
    assert value(sitting.project, "round.verdict") == "closer"
    (block,) = full_names(tried, [field_at(tried, "block_test.verdict")], Cursor())
    assert block == "Verdict of Test of the block"


def test_a_question_that_two_steps_ask_is_one_question() -> None:
    """The foot entry is asked with the wearer and at the foot; its name means that one answer."""
    project = answer(METRIC, "wearer.height", "168")
    sitting = Sitting("foot entry = 34", "quit", project=project)
    assert value(sitting.project, "wearer.foot_entry") == "34 cm"


def test_the_garment_is_found_from_another_step() -> None:
    """Its name means the garment that is there, not the room for one more."""
    sitting = Sitting("back to wearer.hip", "back to garment", "quit", project=WHOLE)
    assert "may be" not in sitting.words
    assert "Step 5" in sitting.words


def test_an_answer_elsewhere_names_its_step_where_this_one_asks_for_the_same_level() -> None:
    """Whoever means the finished width at the knee hears that the knee of the body was taken."""
    sitting = Sitting("back to take off at the hem", "knee = 40 cm", "quit", project=WHOLE)
    assert "Knee of Wearer and fabric 40 cm." in sitting.words


def test_a_command_or_a_name_is_heard_where_an_odd_answer_is_asked_about() -> None:
    """The odd answer is kept, as it was saved, and the line is done."""
    sitting = Sitting("back to height", "70", "hip = 104", "steps", "", "quit", project=METRIC)
    assert "Keep 70 cm? yes, no" in sitting.words
    assert "Not taken" not in sitting.words
    assert value(sitting.project, "wearer.hip") == "104 cm"


def test_before_there_is_a_design_no_leg_is_asked_for(tmp_path: Path) -> None:
    """The one leg there is, the block's, is written without a question about it."""
    path = tmp_path / "block.toml"
    save_new(path, write_project(replace(WHOLE, designs=(), rounds=())))
    said = sit(path, "steps test of the block", "write", "svg", "", "block", "quit")[1]
    assert "Leg [" not in said
    assert f"Wrote {tmp_path / 'block.svg'}, the unaltered leg at true size." in said


def test_the_marks_are_read_as_finely_as_is_asked() -> None:
    """`marks 1/8in` rounds so this once, and says so; another step is refused."""
    read = Sitting("marks 1/8in", "quit", "marks 3mm", "quit", project=WHOLE).words
    assert "rounded to 1/8 in." in read
    assert "Not read: marks are rounded to one of 1/8in, 1/16in, 1mm." in read
    usual = Sitting("marks 1mm", "quit", "quit", project=WHOLE).words
    assert "rounded to 1 mm." in usual
    assert " mm inside the old line" in usual
    metric = Sitting("marks", "quit", "quit", project=read_project(example_text("weekend"))).words
    assert "3.1 cm inside the old line, 7.9 cm from the grainline" in metric


def test_the_step_of_the_settings_holds_for_marks_that_are_read_or_written(tmp_path: Path) -> None:
    """`settings round-to=1/8in`, once typed, is what the table is rounded to from then on."""
    path = tmp_path / "t.toml"
    save_new(path, write_project(WHOLE))
    sit(path, "settings round-to=1/8in", "quit")
    said = sit(path, "marks", "quit", "write", "marks", "", "t", "quit")[1]
    assert "rounded to 1/8 in." in said
    assert "rounded to 1/8 in" in (tmp_path / "t-marks.txt").read_text()


def test_a_liked_width_that_was_measured_around_is_asked_about() -> None:
    """Doubled it would be far wider than the block; half of it raises no question."""
    around = Sitting("liked.0.width.hem = 20 in", "", "quit", project=WHOLE).words
    assert "Doubled, the hem is 40 in around, and the block has" in around
    assert "Was it measured all the way around?" in around
    flat = Sitting("liked.0.width.hem = 8 in", "", "quit", project=WHOLE).words
    assert "Was it measured" not in flat


def test_what_mends_a_sign_is_read_once_in_a_sitting() -> None:
    """Coming back to the fitting, its long remedies are not read again; `notes` says them."""
    tried = answer(answer(WHOLE, "round.printed", "2026-03-01"), "round.date", "2026-03-02")
    begin = ("back to notes", "more write down", "rides up", "1", "notes")
    seen = Sitting(*begin, "quit", project=tried)
    longest = max(re.split(r"\n(?! )", seen.text), key=len)
    told = " ".join(longest.split())[:150]
    back = ("steps hem", "steps muslin fitting")
    assert Sitting(*begin, *back, "quit", project=tried).words.count(told) == 1
    again = Sitting(*begin, *back, "notes", "quit", project=tried).words
    assert again.count(told) == 2
    assert "Type notes for what to look at and the changes that were tried." in again


def test_a_mistyped_name_is_answered_with_the_one_it_is_like() -> None:
    """Of a name that is like none, nothing is guessed, and no answer is changed."""
    sitting = Sitting("hpi = 104 cm", "back to foot entyr", "xyzzy = 3", "quit", project=WHOLE)
    assert 'There is no question "hpi". Is it Hip?' in sitting.words
    assert 'There is no question "foot entyr". Is it Foot entry?' in sitting.words
    assert 'There is no question "xyzzy". ' in sitting.words
    assert 'question "xyzzy". Is' not in sitting.words
    assert sitting.project == WHOLE


def test_what_two_steps_ask_is_told_once_among_what_was_passed(tmp_path: Path) -> None:
    """Each question that has no answer is named once, and counted once."""
    path = tmp_path / "t.toml"
    save_new(path, write_project(answer(WHOLE, "wearer.foot_entry", "")))
    said = sit(path, "steps muslin fitting", "quit")[1]
    said = sit(path, "quit")[1]
    told = re.search(r"(\d+) not answered: (.*?)\. To answer", said)
    assert told is not None
    names = told[2].split("; ")
    assert len(names) == len(set(names)) == int(told[1])
    assert "foot entry" in names


def test_in_the_block_a_level_alone_is_its_height_or_asked_about() -> None:
    """Where only one of height and girth can be so, that is meant; else she says which."""
    both = '"knee" may be: 1: Knee height of Block; 2: Knee of Wearer and fabric.'
    for said, key in (("1", "block.height.knee"), ("girth", ""), ("2", "wearer.knee")):
        on = Sitting("back to block label", "knee = 16 1/2", said, "quit", project=WHOLE)
        assert both in on.words
        for one in ("block.height.knee", "wearer.knee"):
            held = "16 1/2 in" if one == key else value(WHOLE, one)
            assert value(on.project, one) == held
    on = Sitting("back to block label", "calf = 8", "knee height = 16", "quit", project=WHOLE)
    assert value(on.project, "block.height.calf") == "8 in"  # no grown calf is so thin
    assert value(on.project, "block.height.knee") == "16 in"
    assert "may be" not in on.words


def test_where_an_odd_answer_is_asked_about_help_asks_again_and_quitting_is_told() -> None:
    """A question mark keeps nothing, and who leaves hears what stays."""
    sitting = Sitting("back to height", "70", "?", "170", "quit", project=METRIC)
    assert "Type yes to keep it, no to leave all as it was" in sitting.words
    assert value(sitting.project, "wearer.height") == "170 cm"
    sitting = Sitting("back to height", "70", "quit", project=METRIC)
    assert "Height stays empty." in sitting.words
    assert not value(sitting.project, "wearer.height")


def test_what_mends_a_design_that_was_tried_on_says_so() -> None:
    """As a direct answer does: what was sewn is then nowhere written."""
    narrow = answer(WHOLE, "design.width.hem", "9")
    sewn = answer(answer(narrow, "round.printed", "2026-03-01"), "round.date", "2026-03-02")
    said = Sitting("mend 1", "quit", project=answer(sewn, "round.verdict", "closer")).words
    assert re.search(r"Done: .* This changes what round \d+ tried on\.", said)
    assert "tried on." not in Sitting("mend 1", "quit", project=narrow).words


def test_what_holds_unanswered_is_listed_by_the_words_of_its_choice() -> None:
    """Nothing is answered about where the leg ends; the file's word for that is "block"."""
    listed = {line.key: line.value for line in summary(WHOLE)}
    assert listed["design.hem.height"] == "at the block's hem (the usual)"


def test_a_level_that_is_passed_by_has_no_cells_to_go_through() -> None:
    """Enter at its height leaves it out; only where something was typed there it comes again."""
    project = Project("x")
    for key, text in (("block.height.crotch", "30"), ("block.height.hip", "38")):
        project = answer(project, key, text)
    step = next(number for number, one in enumerate(STEPS) if one.id == "block")
    keys = [prompt.field.key for prompt in prompts_of(project, step)]
    assert "block.front.outseam.hem" in keys
    assert not [key for key in keys if key.endswith("seam.knee")]
    kept = answer(project, "block.back.inseam.knee", "5")
    keys = [prompt.field.key for prompt in prompts_of(kept, step)]
    assert [key for key in keys if key.endswith("seam.knee")] == ["block.back.inseam.knee"]
