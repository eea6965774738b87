"""Words as they are said, taken at the line prompts beside those that are written."""

from __future__ import annotations

from pathlib import Path

import pytest
from typed_example import typed
from typist import Sitting, sit

from legtaper.outputs.papers import PaperError, paper
from legtaper_wizard.flow.export_request import order_of
from legtaper_wizard.flow.steps import STEPS, value

pytestmark = pytest.mark.usefixtures("new_account")

WHOLE = typed()


@pytest.mark.parametrize("said", ["svg and marks", "svg, marks", "svg marks", "SVG & Marks"])
def test_several_kinds_of_file_are_named_as_they_are_said(tmp_path: Path, said: str) -> None:
    """With "and", commas or blanks between."""
    order = order_of({"what": said, "folder": str(tmp_path), "name": "leg"})
    assert {file.suffix for file in order.files} == {".svg", ".txt"}


@pytest.mark.parametrize(
    "said", ["roll:91cm", "roll 91 cm", "91 cm roll", "Roll of 91 centimetres"]
)
def test_a_roll_is_named_as_it_is_said(said: str) -> None:
    """Its width is the same, however it is put."""
    assert (paper(said).width, paper(said).is_sheet) == (910, False)
    with pytest.raises(PaperError):
        paper("rolled oats")


@pytest.mark.parametrize(
    "said", ["80 cm", "80 centimeters", "80 centimetres", "80 Centimetre", "800 millimetres"]
)
def test_a_unit_is_said_in_words(said: str) -> None:
    """The file holds the short form, which every reader of it knows."""
    sitting = Sitting(f"waist = {said}", "quit", project=WHOLE)
    assert value(sitting.project, "wearer.waist") in ("80 cm", "800 mm")
    assert value(Sitting("unit = centimetres", project=WHOLE).project, "length_unit") == "cm"


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.id)
def test_a_step_is_found_by_the_short_name_on_the_screen(mine: Path, step: object) -> None:
    """Beside its number and its title."""
    here = STEPS.index(step)  # type: ignore[arg-type]
    said = sit(mine, f"steps {STEPS[here].short}", "quit")[1]
    assert f"Step {here + 1}: {STEPS[here].title}" in said or f"Step {here + 1} of" in said


def test_back_needs_no_to() -> None:
    """`back hip` goes to that question; a note may begin with the word."""
    assert "Hip [41 in]:" in Sitting("back hip", "quit", project=WHOLE).text
    assert Sitting("back hip pair", "quit").project.name == "back hip pair"


def test_limits_are_the_widths_that_work() -> None:
    """As the command of the shell is called."""
    widths, limits = (Sitting(word, "quit", project=WHOLE).text for word in ("widths", "limits"))
    assert limits == widths


def test_what_more_lists_is_taken_as_it_is_read(mine: Path) -> None:
    """Without `more` before it, and inside a question, too."""
    sit(mine, "round.printed = today", "round.date = today", "steps muslin")
    said = sit(mine, "Write down what you see", "quit", "quit")[1]
    assert "What you see:" in said
    said = sit(mine, "compare", "go back to an earlier round", "quit", "quit")[1]
    assert said.index("Which side by side") < said.index("Number of the round:")


@pytest.mark.parametrize(
    ("said", "panels"),
    [
        ("17 / 19", ("17 cm", "19 cm")),
        ("17/19", ("17 cm", "19 cm")),
        ("17.5 / 19 cm", ("17.5 cm", "19 cm")),
        ("7 1/2 in / 8 1/4 in", ("7 1/2 in", "8 1/4 in")),
        ("17 1/2", None),
        ("1/2", None),
        ("9 1/2 in", None),
    ],
)
def test_front_and_back_of_a_liked_leg_are_told_from_a_fraction(
    said: str, panels: tuple[str, str] | None
) -> None:
    """Two widths that two panels may have are theirs, and take the place of the whole leg's."""
    metric = Sitting("unit = cm", "liked.0.garment = Jeans", project=typed("name")).project
    keys = [f"liked.0.{part}.knee" for part in ("width", "front_width", "back_width")]
    sitting = Sitting(f"{keys[0]} = 18", f"{keys[0]} = {said}", "yes", "quit", project=metric)
    whole, *both = (value(sitting.project, key) for key in keys)
    if panels:
        assert (whole, tuple(both)) == ("", panels)
        assert "Knee: front panel" in sitting.words
    else:
        assert (whole.removesuffix(" cm"), both) == (said, ["", ""])
