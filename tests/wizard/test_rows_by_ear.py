"""Rows of a table at the line prompts: what a cell is called, how many values a row takes."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from typed_example import typed
from typist import Sitting, sit

from legtaper.model.project import Project
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.questions import label_of
from legtaper_wizard.flow.steps import AnswerError, answer, new_slips

pytestmark = pytest.mark.usefixtures("new_account")

TO_ROWS = "steps block"


def test_a_cell_says_its_column() -> None:
    """A level alone may be a height, a width or one of four reaches."""
    on = Sitting(TO_ROWS, "front outseam at the hem = 4 1/4", "back to front outseam at the hem",
                 "4 1/4", "", "4 3/4", "", "", "4 3/4",
                 project=typed("name", "wearer", "block.height"))  # fmt: skip
    assert "Calf, front outseam:" in on.words  # whose row is passed at once
    assert "Calf, back" not in on.words
    assert "Knee, front outseam: 4 3/4 in." in on.words  # without its label once more


def test_a_row_says_how_many_values_it_takes() -> None:
    """Once one row was typed at once; where it takes fewer, which."""
    on = Sitting(TO_ROWS, "back to front outseam at the hem", "4 4 4 4", "", "5 5 5 5", "",
                 "6 7 6 8", "6 6", project=typed("name", "wearer", "block.height"))  # fmt: skip
    assert "Calf, 4 values:" in on.words
    assert "Hem: front outseam 4, front inseam 4, back outseam 4, back inseam 4." in on.words
    assert "Knee, 4 values: Knee: front 10 in, back 10 in, 20 in around" in on.words  # summed up
    assert "Hip, 2 values: front outseam, back outseam [needed]:" in on.words
    assert "[needed]: Hip: 6, 6." in on.words  # its order was just said


def test_both_panels_of_a_liked_leg_are_asked_at_once() -> None:
    """Front and back typed for one level: no row of either panel is asked besides."""
    on = Sitting("steps legs", "Linen", "", "", "7 / 7 1/2", "", "8 / 8 1/2", "", "",
                 project=typed("name", "block"))  # fmt: skip
    assert "Hem: front panel 7, back panel 7 1/2." in on.words
    assert "Knee, whole leg:" in on.words
    assert "panel at the" not in on.words
    asked = r"Thigh, whole leg: (Warning: Linen: [^:]*)?Another garment \[skip\]:"
    assert re.search(asked, on.words)


def test_a_panel_that_was_measured_alone_asks_for_the_other() -> None:
    """Else the leg has no width there."""
    on = Sitting("steps legs", "Linen", "", "", "front panel at the hem = 7", "", "", "", "", "",
                 "7 1/2", project=typed("name", "block"))  # fmt: skip
    assert "Back panel at the hem" in on.words
    assert on.project.liked[0].back_width["hem"].text.startswith("7 1/2")


# --- names, and numbers of another place ---------------------------------------------------------


def test_back_and_a_level_stay_in_the_table_and_its_column() -> None:
    """Thigh in a table of widths is no girth of the wearer; hip in a column no height."""
    block = Sitting("steps block", "back to back outseam at the hem", "back hip", "quit",
                    project=typed())  # fmt: skip
    assert "Hip, back outseam [6 3/4 in]:" in block.words
    heights = Sitting("steps block", "back to height of the calf", "back hip", project=typed())
    assert "Hip height [38 in]:" in heights.words
    liked = Sitting("steps legs", "", "", "", "back thigh", "quit", project=typed())
    assert "Step 2" not in liked.words
    assert "Thigh, whole leg:" in liked.words
    far = Sitting("steps pattern", "back thigh", project=typed())  # no table is there
    assert "Step 2: Wearer" in far.words


METRIC = replace(typed(), length_unit="cm")


@pytest.mark.parametrize("key", ["wearer.knee", "block.front.outseam.knee"])
def test_two_lengths_are_no_fraction(key: str) -> None:
    """21 / 22 would be 9.5 mm; in inches only what a ruler has is a fraction."""
    for project in (METRIC, typed()):
        with pytest.raises(AnswerError, match="two lengths, and one is asked for"):
            answer(project, key, "21 / 22")
    assert answer(typed(), "wearer.knee", "15 13/16").wearer.knee.mm == 25.4 * (15 + 13 / 16)


def test_two_widths_that_nothing_parts_are_told_how() -> None:
    """In the unit of the project, and both as they were typed."""
    with pytest.raises(AnswerError, match="or the front / the back, as in 21 / 22"):
        answer(METRIC, "liked.0.width.hem", "21 22")
    with pytest.raises(AnswerError, match=r"write one, such as 6\.5 cm"):
        answer(METRIC, "wearer.knee", "21 22")


def test_a_height_that_is_not_below_the_next_level_is_the_one_that_is_asked_about() -> None:
    """The answer just given is in doubt, not the one above it."""
    project = typed("name", "block.height")
    on = Sitting("steps block", "back to height of the calf", "17 1/2", "12", project=project)
    asked = "Calf height: 17 1/2 in is not below the knee, at 17 in."
    assert f"{asked} Is it measured right? Keep 17 1/2 in?" in on.words
    assert on.project.block.height["calf"].text == "12 in"
    assert "Fails" not in on.words


def test_the_ways_to_the_next_design_say_what_they_do(tmp_path: Path) -> None:
    """A sentence each where there are two of them."""
    path = tmp_path / "mine.toml"
    path.write_text(example_text("courier"), encoding="utf-8")
    sit(path, "round.printed = today", "round.date = today", "pinched knee outseam = 1/4")
    said = sit(path, "steps muslin", "verdict = closer", "more", "")[1]
    assert "evened out over four edges. The same comes off all four edges;" in said
    assert "as pinched. Only the pinched seam gives, all of what you pinched;" in said


# --- units, percentages and help -----------------------------------------------------------------


def test_a_percentage_and_a_test_are_said_once_in_order() -> None:
    """No "Stays longer, percent 4 % longer", and what counts as usable once."""
    on = Sitting("kind of fabric = knit", "stays longer = 4 %", "stretch test = 5", project=typed())
    assert "Stays longer: 4 % longer than before; it goes back well." in on.words
    assert "Stretch test: stretches by 25 %. 12.5 % of stretch counts as usable" in on.words


def test_help_says_an_example_and_then_what_the_step_is_about() -> None:
    """In the unit of the project, and the second time nothing that was just heard."""
    on = Sitting("back to shrinkage lengthwise", "?", "back to knee, bent", "?", "?",
                 project=METRIC)  # fmt: skip
    assert "What 50 cm measures" in on.words
    assert "20 in" not in on.words
    assert on.words.count("It is larger than the knee standing.") == 1
    assert on.words.count("Write it like 6.5 or 6,5;") == 1
    assert "A leg must leave room" in on.words.partition("Write it like")[2]


@pytest.mark.parametrize(
    ("project", "said"), [(METRIC, "over 2.5 cm the leg"), (typed(), "over 1 in (2.5 cm) the leg")]
)
def test_a_text_in_both_units_is_said_in_centimeters_where_those_are_used(
    project: Project, said: str
) -> None:
    """An inch first would have to be waited for."""
    assert said in Sitting("signs swings", project=project).words


def test_what_was_agreed_to_is_not_asked_again_in_the_sitting() -> None:
    """Coming back to the step; `notes` still has it, as what is odd stays so."""
    on = Sitting("back to knee", "10", "yes", "steps hem", "steps wearer", "notes", project=METRIC)
    doubt = "Knee: read as 10 cm, 3 7/8 in. Is that what you meant?"
    asked, _, later = on.words.partition("Step 9")
    entered, _, notes = later.partition("Height [")
    assert doubt in asked
    assert doubt not in entered
    assert f"Look: {doubt}" in notes


def test_the_other_ways_to_a_block_are_said_as_a_sentence() -> None:
    """What the screen names, and here how it is come to; a name that is a number is no number."""
    on = Sitting("name of the project = 2", "steps block", project=Project("x"))
    assert (
        "Type more to have a block drafted from measurements or taken from a drawing." in on.words
    )
    assert "Name of the project: 2." in on.words


@pytest.mark.parametrize("part", ["width", "front_width", "back_width"])
def test_a_width_of_a_liked_leg_that_no_leg_has_is_asked_about(part: str) -> None:
    """As any other length is: 1 cm is a slip, 18 cm is none."""
    key = f"liked.0.{part}.calf"
    assert new_slips(METRIC, key, "1") == (
        f"{label_of(key)}: read as 1 cm, 3/8 in. Is that what you meant?",
    )
    assert not new_slips(METRIC, key, "18")


def test_an_impossible_height_is_held_against_every_level_that_it_passes() -> None:
    """Also where it is unusual besides: that it is not below the crotch is what is wrong."""
    project = typed()
    on = Sitting("knee height = 31", "no", "quit", project=project)
    assert (
        "Knee height: 31 in is not below the thigh, at 29 in and the crotch, at 30 in." in on.words
    )
    assert "is unusual" not in on.words


def test_a_doubtful_row_is_asked_about_as_it_was_typed() -> None:
    """The height and a reach in one line: both are what is kept."""
    on = Sitting("knee height = 17 in 15 in", "no", "quit", project=typed())
    assert "Keep 17 in 15 in? yes, no," in on.words
