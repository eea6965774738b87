"""Long lists at the line prompts: in parts, by words, and never twice unasked."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from typed_example import typed
from typist import Sitting, sit

from legtaper.files.project_file import read_project, write_project
from legtaper.files.store import load, save_new
from legtaper.muslin.places_of_signs import PLACES
from legtaper.muslin.signs import BY_ID, in_order
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.steps import STEPS, answer, summary
from legtaper_wizard.prompts import run
from legtaper_wizard.prompts.questions_heard import by_number_or_words
from legtaper_wizard.prompts.typed_commands import commands

pytestmark = pytest.mark.usefixtures("new_account")

WHOLE = typed()
NUMBERED = re.compile(r"^ *(\d+): ", re.MULTILINE)


@pytest.fixture
def tried(tmp_path: Path) -> Path:
    """Return the courier example as a file of its own, its test printed and tried on."""
    path = tmp_path / "mine.toml"
    path.write_text(example_text("courier"), encoding="utf-8")
    sit(path, "round.printed = today", "round.date = today", "steps muslin")
    return path


def piped(path: Path, *lines: str) -> str:
    """Return what is said to lines that come from a pipe."""
    out, stdin = io.StringIO(), io.StringIO("".join(f"{line}\n" for line in lines))
    run(path, stdin=stdin, stdout=out)
    return out.getvalue()


def test_answers_are_read_in_parts_and_any_line_ends_them() -> None:
    """Enter goes on; a number leads to its answer, a command does what it does."""
    count = len(summary(WHOLE))
    heard = Sitting("answers", "2", "quit", project=WHOLE).text
    assert NUMBERED.findall(heard)[:10] == [str(number) for number in range(1, 11)]
    assert "11" not in NUMBERED.findall(heard)
    assert f"{count - 10} more; Enter goes on:" in heard
    assert "Unit [inches]:" in heard
    everything = Sitting("answers", *[""] * 9, "quit", project=WHOLE).text
    assert len(NUMBERED.findall(everything)) == count
    ended = Sitting("answers", "steps wearer", "quit", project=WHOLE).text
    assert ended.index("more; Enter goes on:") < ended.index("Step 2: Wearer")


def test_answers_of_one_step_are_asked_for_by_its_name() -> None:
    """With the numbers that they have among all."""
    lines = summary(WHOLE)
    for step in STEPS:
        own = [str(n) for n, line in enumerate(lines, 1) if line.step_id == step.id]
        said = Sitting(f"answers {step.short}", *[""] * 9, "quit", project=WHOLE).text
        assert NUMBERED.findall(said)[: len(own)] == own


def test_commands_are_read_in_parts_and_a_command_ends_them() -> None:
    """What is typed there is done next."""
    said = Sitting("commands", "", "steps wearer", "quit").text
    assert said.count("more; Enter goes on:") == 2
    assert "Step 2: Wearer" in said
    assert "type =back" not in said


def test_from_a_pipe_a_list_is_read_at_once(tmp_path: Path) -> None:
    """No line of a script is spent on it."""
    path = tmp_path / "whole.toml"
    save_new(path, write_project(WHOLE))
    said = piped(path, "answers", "", "commands", "quit")
    assert len(NUMBERED.findall(said)) == len(summary(WHOLE))
    assert all(typed.word in said for typed in commands())
    assert "Enter goes on" not in said


def test_signs_are_read_in_trying_on_order_and_found_by_words() -> None:
    """One is told with what to look at; a word that stands in several names those."""
    everything = Sitting("signs", "", "quit").words
    places = [everything.index(sign.words[:40]) for sign in in_order()]
    assert places == sorted(places)
    one = Sitting("signs bag", "quit").words
    assert "Measure around the leg at the knee, sit for an hour" in one
    two = Sitting("signs slanting", "quit").words
    assert [sign.id for sign in in_order() if sign.words in two] == [
        sign.id for sign in in_order() if "slanting" in sign.words
    ]
    assert 'No sign has "elbow" in it' in Sitting("signs elbow", "quit").words


def test_what_a_sign_means_is_told_once_and_its_place_is_asked_next(tried: Path) -> None:
    """The cures are news once; on entering the step again a line says how to hear them."""
    lines = (
        "more write down",
        "slanting lines",
        "narrowed",
        "calf",
        "steps muslin",
        "notes",
        "quit",
    )
    said = sit(tried, *lines)[1]
    assert "At which level [skip]:" in said
    assert "What tells its cause" not in said  # on the narrowed leg alone there is but one
    at_the_knee, at_the_calf = "more around the leg at that level. The knee", "level. The calf"
    assert said.count(at_the_knee) == 1  # where nothing is said of the level yet
    assert said.count(at_the_calf) == 2  # as the level is said, and on `notes`
    again = said.index("Type notes for what to look at and the changes that were tried.")
    assert said.index(at_the_calf) < again < said.rindex(at_the_calf)
    reopened = sit(tried, "quit")[1]
    assert at_the_calf not in reopened
    assert "ines that run slanting to one spot" in reopened


def test_signs_are_read_by_place_and_a_number_chooses_in_the_list_read_last(tried: Path) -> None:
    """Five places in a line, then the signs of one; back is the places once more."""
    said = sit(tried, "more write down", "2", "back", "3", "9", "2", "1", "quit")[1]
    assert said.count("1: seat, crotch and thigh; 2: knee and calf;") == 2
    assert said.index("2: It binds over the knee") < said.index("2: A bump or a hollow")
    assert "Type a number from 1 to 3, or words." in said
    assert said.count("A bump or a hollow") == 2  # in the list, and as it is chosen
    assert [seen.sign for seen in load(tried).rounds[-1].signs] == ["bump-at-blend"]


def test_every_sign_is_seen_at_some_place() -> None:
    """And no place has a sign that there is not."""
    assert {sign for _, signs in PLACES for sign in signs} == set(BY_ID)


def test_words_of_several_signs_list_those_and_a_number_chooses_of_them(tried: Path) -> None:
    """A line each, as there are semicolons in them."""
    said = sit(tried, "more write down", "slanting", "2", "1", "quit")[1]
    named = [sign for sign in in_order() if "slanting" in sign.words]
    assert " ".join(f"{n}: {sign.words}." for n, sign in enumerate(named, 1)) in said
    assert [seen.sign for seen in load(tried).rounds[-1].signs] == [named[1].id]


def test_a_sign_in_own_words_is_offered_the_nearest_or_kept_as_a_note(tried: Path) -> None:
    """It is not taken by itself: a yes is the number; words like none are kept in the notes."""
    said = sit(tried, "more write down", "thigh is tihgt", "1", "1", "quit")[1]
    assert 'None of them has all of "thigh is tihgt" in it.' in said
    assert "Nearest: 1: Level lines across the upper thigh; tight at the crotch point." in said
    assert [seen.sign for seen in load(tried).rounds[-1].signs] == ["tight-thigh"]
    said = sit(tried, "steps muslin", "more write down", "squeaks", "notes = squeaks", "quit")[1]
    assert 'None of them is like "squeaks". Type notes = squeaks to keep it' in said
    assert load(tried).rounds[-1].notes == "squeaks"


def test_a_number_after_the_signs_tells_of_that_one(tried: Path) -> None:
    """Behind the list, in the middle of it, and inside another list, which stays open."""
    told = "Measure around the leg at the knee, sit for an hour"
    assert told in Sitting("signs", "", "14", "quit").words
    assert told in Sitting("signs bags", "quit").words or told in Sitting("signs bag", "quit").words
    third = Sitting("signs", "3", "quit").words
    assert "Measure how far the seam moves between knee and hem" in third
    inside = sit(tried, "steps muslin", "more", "signs knee", "3", "", "quit")[1]
    assert "Put a foot on a chair, then climb a step." in inside
    assert "Next design: 1/2 in more around the leg at the knee: done" not in inside
    assert len(load(tried).designs) == len(read_project(example_text("courier")).designs)


def test_a_wrong_word_does_not_read_the_signs_again(tried: Path) -> None:
    """One line says so; `list` reads what was read last."""
    said = sit(tried, "more write down", "elbow", "list", "bag", "", "quit")[1]
    assert said.count("1: seat, crotch and thigh; 2: knee and calf;") == 2
    assert 'None of them is like "elbow".' in said
    assert said.index("What you see:") < said.index("Which leg shows it")


def test_a_sign_that_was_just_named_is_not_named_by_each_of_its_questions(tried: Path) -> None:
    """Coming back to them later, the first names it."""
    said = sit(tried, "more write down", "loose", "1", "back verdict", "back to which leg", "", "")[
        1
    ]
    assert "At which seam [skip]:" in said
    assert "Which leg shows it: Loose upright folds at the inner" in said
    assert "At which seam: Loose" not in said


CHOICES = "1: woven, firm; 2: woven with stretch; 3: knit."


def test_after_a_wrong_word_the_choices_are_read_once() -> None:
    """With their numbers, and not in the refusal as well; how to answer is not said again."""
    on = Sitting("back to kind of fabric", "banana", "3", "quit", project=WHOLE)
    refused = on.words[on.words.index("Not taken") :]
    assert refused.startswith(f'Not taken: "banana" is none of these: {CHOICES} Kind of fabric [')
    assert refused.count("with stretch") == 1
    unit = Sitting("back to unit", "banana", "quit", project=WHOLE).words
    assert unit.count("What lengths are shown in") == 1
    elsewhere = Sitting("back to hip", "kind of fabric = banana", "quit", project=WHOLE).words
    assert "is none of these: woven, firm; woven with stretch; knit. Hip [" in elsewhere


def test_an_answer_by_name_does_not_have_the_choices_of_the_open_question_read_again() -> None:
    """Nor how to answer it; help has both."""
    on = Sitting("back to kind of fabric", "hip = 42", "nothing = 3", "?", "quit", project=WHOLE)
    named, _, helped = on.words.partition("Hip 42 in.")
    assert named.count(CHOICES) == 1
    after, _, _ = helped.partition("Type ? once more")
    assert CHOICES not in after
    assert helped.count(CHOICES) == 1


def test_the_beginning_of_a_word_is_enough_to_choose_by() -> None:
    """Where no name has the word itself: draft for drafted; two letters are too few."""
    names = ["Have a starting block drafted", "Take the block from a drawing", "Add a level"]
    assert by_number_or_words(names, "draft") == [0]
    assert by_number_or_words(names, "block draw") == [1]
    assert by_number_or_words(names, "dra") == [0, 1]
    assert by_number_or_words(names, "le") == []
    assert by_number_or_words([*names, "A draft"], "draft") == [3]


def test_numbers_of_changes_are_told_from_the_amounts_behind_them() -> None:
    """A colon parts them, as in every list; an answer has its name without the Or of a question."""
    lines = ("take off hem = 1 3/8", "exact", "mend", "1", "take off hem =", "quit")
    on = Sitting(*lines, project=WHOLE)
    assert re.search(r" 1: [A-Z][a-z]+ .*? 2: [A-Z]", on.words[on.words.index("Looking for") :])
    assert "Take off at the hem 1 3/8 in = " in on.words
    assert "Take off at the hem: cleared." in on.words


def test_a_question_is_an_or_only_behind_the_one_it_is_the_other_way_of() -> None:
    """Where the finished width was asked; by itself it has its own name."""
    behind = Sitting("back to finished width, calf", "", "quit", project=WHOLE).words
    assert behind.endswith("Or take off at the calf [skip]:")
    alone = Sitting("back to take off at the hem", "quit", project=WHOLE).words
    assert alone.endswith("Take off at the hem [5/8 in]:")


def test_sewing_is_told_of_the_design_that_is_worked_on() -> None:
    """Its hem and slit alone, for its test until it is done; before there is a design, all."""
    double = answer(WHOLE, "design.hem.style", "double")
    said = Sitting("sewing", "quit", project=double).words
    assert 'To sew the test of "first taper":' in said
    assert "1. Hem folds: Press the lower fold, then the hem fold" in said
    assert said.count("Outseam: ") == 1
    assert "Facing: " not in said
    whole = Sitting("sewing", "", "", "quit", project=typed("name")).words
    assert whole.count("Outseam: ") == 3
    assert "Facing: " in whole


def test_more_questions_back_than_there_are_is_said_once() -> None:
    """At the first one."""
    on = Sitting("back to hip", "back 100", "quit", project=WHOLE)
    assert on.words.count("This is the first question.") == 1
    assert on.words.endswith("Name of the project [Courier trousers]:")


def test_a_setting_that_was_changed_is_told_alone() -> None:
    """`settings` tells all."""
    on = Sitting("settings paper=a4", "settings", "quit", project=WHOLE).words
    changed, _, everything = on.partition("paper: a4 (set)")
    assert "dates: " not in changed
    assert everything.index("Seam allowance") < everything.index("dates: ")
