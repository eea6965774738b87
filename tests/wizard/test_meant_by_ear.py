"""What a newcomer types at the line prompts and means: none, part of a name, a row by its name."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from typed_example import typed
from typist import Sitting, sit

from legtaper_wizard.flow.steps import answer, value

pytestmark = pytest.mark.usefixtures("new_account")

WHOLE = typed()
METRIC = replace(WHOLE, length_unit="cm")


@pytest.mark.parametrize("none", ["no", "None", "nothing"])
def test_no_is_no_name_of_a_garment(none: str) -> None:
    """It passes the question, as Enter does; another word is a name."""
    bare = replace(WHOLE, liked=())
    on = Sitting("steps liked", none, "quit", project=bare)
    assert on.project.liked == ()
    assert "Step 6" in on.words.partition("Garment [skip]:")[2]
    begun = Sitting("steps liked", "Chinos", "quit", project=bare)
    assert [one.garment for one in begun.project.liked] == ["Chinos"]
    another = Sitting("steps liked", "Chinos", *[""] * 6, none, "quit", project=bare)
    assert "Another garment [skip]:" in another.words
    assert [one.garment for one in another.project.liked] == ["Chinos"]


def test_part_of_a_name_offers_the_project_that_is_known(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Yes opens it; no goes on to a new one, which is asked about, too."""
    monkeypatch.chdir(tmp_path)
    sit(None, "Anton trousers", "yes", "quit")
    _, said = sit(None, "Anton", "", "quit")
    assert "Did you mean Anton trousers? yes or no [yes]: Opened Anton trousers." in said
    _, said = sit(None, "Anton", "no", "no", "")
    assert "New project Anton, in anton.toml?" in said
    assert [path.name for path in tmp_path.glob("*.toml")] == ["anton-trousers.toml"]


def test_a_sign_is_found_by_the_word_of_the_trade_and_read_back() -> None:
    """A drag line is a slanting one; what a number has chosen is said."""
    tried = answer(answer(WHOLE, "round.printed", "today"), "round.date", "today")
    on = Sitting("steps muslin", "more write down", "drag", "1", "quit", project=tried)
    read = on.words.rpartition("Nearest:")[2]
    assert "2: Folds or slanting wrinkles" in read
    slanting = "Lines that run slanting to one spot at the knee or the calf."
    assert f"1: {slanting}" in read
    assert f"What you see: {slanting} " in read


def test_a_row_that_was_skipped_is_answered_by_its_level() -> None:
    """With all its widths the row is meant, not the height nor the wearer's knee."""
    line = "knee = 13 13 14 14"
    on = Sitting("steps block", "back to thigh, front outseam", line, "quit", project=METRIC)
    assert '"knee" may be' not in on.words
    panels = ("front.outseam", "front.inseam", "back.outseam", "back.inseam")
    row = [value(on.project, f"block.{one}.knee") for one in panels]
    assert row == ["13 cm", "13 cm", "14 cm", "14 cm"]


def test_help_says_the_order_of_a_row() -> None:
    """As the values of a row that is typed at once are told apart by their order alone."""
    on = Sitting("steps block", "back to knee, front outseam", "?", "quit", project=METRIC)
    order = "front outseam, front inseam, back outseam, back inseam."
    assert f"The whole row at once, in this order: {order}" in on.words


def test_a_slip_among_the_marks_is_told_as_elsewhere() -> None:
    """Not only that it is no mark."""
    on = Sitting("marks", "bak", "quit", project=WHOLE)
    assert '"bak" is no mark. Did you mean the command back? Next mark [2]:' in on.words


def test_half_a_centimeter_is_thick_for_one_layer() -> None:
    """It is taken only once it is said again, or on a yes."""
    on = Sitting("thickness = 0.5", "no", "thickness = 0.2", "quit", project=METRIC)
    assert "Thickness: read as 0.5 cm, 1/4 in. Is that what you meant?" in on.words
    assert value(on.project, "fabric.thickness") == "0.2 cm"


def test_a_stretch_test_takes_percent() -> None:
    """They are what it is there for; half of them counts."""
    on = Sitting("stretch test = 15 %", "quit", project=METRIC)
    assert value(on.project, "fabric.stretch_percent") == "15"
    assert "Stretch test: stretches by 15 %; half of it, 7.5 %, counts" in on.words


def test_one_hears_how_to_go_on(tmp_path: Path) -> None:
    """With the words that begin the line prompts again."""
    _, said = sit(tmp_path / "mine.toml", "yes", "quit")
    assert said.endswith("mine.toml. To go on: legtaper --plain.")
