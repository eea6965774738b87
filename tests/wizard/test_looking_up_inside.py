"""What is only asked to be told at the line prompts leaves the open question or list open."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from typed_example import typed
from typist import Sitting, sit

from legtaper.files.store import load
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.glossary import GLOSSARY, glossary_text
from legtaper_wizard.flow.steps import STEPS, AnswerError, answer, summary, value
from legtaper_wizard.flow.steps.step import Work

pytestmark = pytest.mark.usefixtures("new_account")

WHOLE = typed()
TELLING = (
    "words ease",
    "answers hem",
    "answers muslin",
    "notes",
    "steps",
    "commands",
    "help print",
)


@pytest.fixture
def judged(tmp_path: Path) -> Path:
    """Return the courier example as a file of its own, tried on and found too far."""
    path = tmp_path / "mine.toml"
    path.write_text(example_text("courier"), encoding="utf-8")
    sit(path, "round.printed = today", "round.date = today", "round.verdict = too far")
    return path


@pytest.mark.parametrize("line", ["?", "help", *TELLING])
def test_the_list_of_what_can_be_done_next_stays_open(judged: Path, line: str) -> None:
    """Help and look-ups at it ask again, and its number still makes the next design."""
    asks = "Number or words, or Enter for none:"
    before = len(load(judged).designs)
    rest = ["", ""] if line == "commands" else []
    said = sit(judged, "steps muslin", "back to verdict", "", line, *rest, "1", "quit")[1]
    assert said.count(asks) == 2
    assert "What can be done next: 1: Next design" in said
    assert "The end." not in said
    assert len(load(judged).designs) == before + 1


def test_more_at_the_end_offers_what_the_fitting_does(judged: Path) -> None:
    """Also by its words; Enter stays at the end."""
    end = ("steps muslin", "back to verdict", "", "")
    assert sit(judged, *end, "more", "", "quit")[1].count("The end.") == 2
    before = len(load(judged).designs)
    sit(judged, *end, "more", "1", "quit")
    assert len(load(judged).designs) == before + 1


@pytest.mark.parametrize("line", TELLING)
def test_a_look_up_keeps_a_question_and_what_was_typed_there(tmp_path: Path, line: str) -> None:
    """In the middle of writing files and of a sign; nothing has to be typed again."""
    path = tmp_path / "mine.toml"
    path.write_text(example_text("courier"), encoding="utf-8")
    rest = ["", ""] if line == "commands" else []
    said = sit(path, "write", "marks", "", line, *rest, "it", "quit", "quit")[1]
    assert "Left, and" not in said
    assert [one.name for one in tmp_path.glob("it*")] == ["it-marks.txt"]


def test_at_a_doubt_and_in_the_middle_of_a_list_a_look_up_goes_back_there() -> None:
    """The doubtful answer is asked about again, and the list read on."""
    odd = Sitting("back to height", "70 cm", "words ease", "no", "quit", project=WHOLE)
    assert odd.words.count("Keep 70 cm?") == 2
    assert value(odd.project, "wearer.height") == value(WHOLE, "wearer.height")
    read = Sitting("answers", "?", "words ease", "", "quit", project=WHOLE).words
    assert "Enter reads on" in read
    assert read.index("ease:") < read.index(" 11: ")


def test_a_list_is_read_again_where_it_is_asked_for(judged: Path) -> None:
    """By the word that the help at the list names."""
    said = sit(judged, "steps muslin", "more", "?", "list", "", "quit")[1]
    assert said.count(" 1: Next design") == 2


@pytest.mark.parametrize(
    ("trial", "typed_in", "kept"),
    [
        ("stand", "yes", "well"),
        ("stand", "n", "trouble"),
        ("sit", "yes", "trouble"),
        ("climb", "no", "well"),
        ("bend", "No", "well"),
        ("foot", "yes", "well"),
        ("foot", "2", "trouble"),
    ],
)
def test_yes_and_no_answer_what_a_trial_asks(
    judged: Path, trial: str, typed_in: str, kept: str
) -> None:
    """Straight is well, to bind is trouble: each as its own question is worded."""
    sit(judged, f"round.trial.{trial} = {typed_in}", "quit")
    project = load(judged)
    assert value(project, f"round.trial.{trial}") == kept


def test_the_cause_of_a_sign_is_read_back_in_its_words(judged: Path) -> None:
    """Not by its name in the file, and with one period; one cause alone is not asked for."""
    seen = ("steps muslin", "more write down", "slanting lines", "", "calf")
    said = sit(judged, *seen, "1", "quit")[1]
    assert "What tells its cause: The lines meet on the narrowed leg alone." in said
    assert ".." not in said.replace("...", "")
    assert "tight-spot" not in said


def test_where_writing_over_is_declined_another_name_is_asked(judged: Path) -> None:
    """What was there stays; the next name may be there as well; Enter leaves the file out."""
    there, other = judged.parent / "leg-marks.txt", judged.parent / "leg2.txt"
    there.write_text("mine", encoding="utf-8")
    other.write_text("mine too", encoding="utf-8")
    way = ("write", "marks", "", "leg")
    sit(judged, *way, "no", "leg2", "no", "a/b", "leg3", "quit", "quit")
    assert (there.read_text("utf-8"), other.read_text("utf-8")) == ("mine", "mine too")
    assert (judged.parent / "leg3.txt").read_text("utf-8")
    before = set(judged.parent.glob("*"))
    sit(judged, *way, "no", "", "quit", "quit")
    assert set(judged.parent.glob("*")) == before


def test_a_row_says_its_order_once_and_which_cells_are_left() -> None:
    """Heights of a table name themselves, and a comma is read back as a point."""
    said = Sitting("steps block", "", "", "", "", "", "", "", "", "", "", "", "quit").words
    order = "front outseam, front inseam, back outseam, back inseam."
    assert said.count(f"A whole row may be typed at once: {order}") == 1
    assert "Knee height [" in said
    hip = Sitting("back to front outseam at the hip", "6 6 7", "quit", project=WHOLE).words
    assert "from here on the row takes 2: front outseam and back outseam." in hip
    inseam = Sitting("back to front inseam at the calf", "4 4 4 4", "quit", project=WHOLE).words
    assert "from here on the row takes 3: front inseam, back outseam and back inseam." in inseam
    comma = Sitting("back to front outseam at the calf", "4,5 4,5", "quit", project=WHOLE).words
    assert "front outseam 4.5, front inseam 4.5" in comma


@pytest.mark.parametrize(
    ("unit", "example", "other"), [("in", "2 1/2 in", "6.5 cm"), ("cm", "6.5 cm", "2 1/2 in")]
)
def test_what_would_be_right_is_said_in_the_unit_of_the_project(
    unit: str, example: str, other: str
) -> None:
    """And what it says is taken where it is typed."""
    project = answer(WHOLE, "length_unit", unit)
    for wrong in ("about", "knee 4", "4 ells", "4 cm 5 mm 6 in"):
        with pytest.raises(AnswerError) as refused:
            answer(project, "design.hem.depth", wrong)
        assert f"such as {example}" in str(refused.value)
        assert other not in str(refused.value)
    taken = answer(project, "design.hem.depth", example)
    assert value(taken, "design.hem.depth") == example


def test_a_step_is_found_by_a_word_of_its_name() -> None:
    """Its answers are read as by its whole name."""
    whole, part = (Sitting(f"answers {said}", "", "quit", project=WHOLE).words
                   for said in ("muslin fitting", "muslin"))  # fmt: skip
    assert part == whole
    assert "Type a number from" not in part


def test_help_at_a_comparison_asks_again(judged: Path) -> None:
    """At both of its questions."""
    said = sit(judged, "compare", "?", "", "?", "", "quit")[1]
    assert said.count("Which side by side") == 2
    assert said.count("tables shows the figures:") == 2
    assert "Not shown" not in said


def test_a_word_is_told_before_those_that_only_have_its_letters() -> None:
    """The crease line has ease in its letters alone, and is found by its own."""
    assert [text.partition(":")[0] for text in glossary_text("ease").split("\n\n")] == ["ease"]
    assert [text.partition(":")[0] for text in glossary_text("line").split("\n\n")] == [
        name for name in GLOSSARY if "line" in name.split()
    ]
    assert glossary_text("creas").startswith("crease line:")


def test_a_percentage_is_listed_as_one() -> None:
    """Shrinkage with its sign, and stretch, whose name says percent, without."""
    project = answer(WHOLE, "fabric.shrink_length_percent", "1")
    project = answer(project, "fabric.stretch_percent", "20")
    listed = {line.label: line.value for line in summary(project)}
    assert listed["Shrinkage lengthwise"] == "1 %"
    assert listed["Stretch, percent"] == "20"


def test_a_percentage_and_an_open_blend_are_said_in_plain_words() -> None:
    """No "Shrinkage shrinks", and two seams blend where one blends."""
    said = Sitting("shrinkage lengthwise = 1", "quit", project=WHOLE).words
    assert "Shrinkage lengthwise 1 %; the pattern is cut larger." in said
    both = replace(WHOLE, designs=(replace(WHOLE.designs[0], blend={}, curve={}),))
    blend = next(step for step in STEPS if step.id == "blend")
    assert blend.status(Work(both)).reasons[0].startswith("where the seams blend is not settled")
    one = answer(both, "design.blend.outseam", value(WHOLE, "design.blend.outseam") or "28 in")
    assert blend.status(Work(one)).reasons[0] == "inseam blends at the usual height"
