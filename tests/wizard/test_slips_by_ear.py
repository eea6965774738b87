"""A command that is mistyped where a text is asked for: it is asked about, not written down."""

from __future__ import annotations

from pathlib import Path

import pytest
from test_by_ear import script
from typed_example import typed
from typist import Sitting, sit

from legtaper.files.store import load
from legtaper.model.project import Project
from legtaper_wizard.flow.steps import value
from legtaper_wizard.prompts.typed_commands import commands, nearly

pytestmark = pytest.mark.usefixtures("new_account")

SLIPS = {"bak": "back", "hlep": "help", "udno": "undo", "quti": "quit", "nxt": "next",
         "wrtie": "write", "quitt": "quit"}  # fmt: skip
NAMES = (
    "Jeans",
    "Chinos",
    "Linen",
    "Black",
    "White",
    "binds",
    "Gray",
    "Trial",
    "a",
    "10",
    "back 3",
)


def test_a_slip_is_told_from_a_word() -> None:
    """By its letters: what has others than a command is a word of its own; so is a command."""
    assert {word: nearly(word) for word in SLIPS} == SLIPS
    assert not any(map(nearly, NAMES))
    assert (nearly("exit"), nearly("why")) == ("quit", "help")  # as elsewhere
    assert not any(nearly(one.word) for one in commands())


@pytest.mark.parametrize(("slip", "command"), SLIPS.items())
def test_a_slip_is_no_name_of_a_project_until_it_is_typed_again(slip: str, command: str) -> None:
    """One line, then the question; another answer is taken as ever."""
    asked = Sitting(slip, "quit", project=Project())
    says = f"Did you mean the command {command}? Type it, or {slip} again to keep that."
    assert f"{says} Name of the project [needed]:" in asked.words
    assert asked.project.name == ""
    assert Sitting(slip, slip, "quit", project=Project()).project.name == slip
    assert Sitting(slip, "Trial", "quit", project=Project()).project.name == "Trial"
    elsewhere = Sitting(slip, "back to hip", "back to name of the project", slip, project=Project())
    assert elsewhere.project.name == ""


def test_a_slip_is_not_written_into_notes_or_names_of_designs(mine: Path) -> None:
    """The command that was meant does what it does."""
    on = Sitting("steps test of the block", "", "", "bak", "back", "quit", project=typed())
    assert value(on.project, "block_test.notes") == ""
    assert on.words.endswith("Date of the test [2026-03-14]:")
    sit(mine, "steps how narrow", "more new design", "udno", "Slim", "quit")
    assert load(mine).designs[-1].name == "Slim"


def test_where_a_number_or_a_choice_is_asked_for_the_command_is_named() -> None:
    """Beside what would be right."""
    number = Sitting("back to hip", "hlep", "quit", project=typed()).words
    assert (
        "has no number; write a length such as 2 1/2 in. Did you mean the command help?" in number
    )
    choice = Sitting("back to unit", "udno", "quit", project=typed()).words
    assert '"udno" is not the command undo, and is none of these: 1: inches' in choice


def test_a_script_means_what_it_says(tmp_path: Path) -> None:
    """A name from a pipe is a name."""
    path = tmp_path / "t.toml"
    assert script(path, "bak", "cm", new=True)[0] == 0
    assert load(path).name == "bak"


def test_a_project_named_like_a_command_is_begun_on_a_yes_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Enter begins nothing."""
    monkeypatch.chdir(tmp_path)
    assert "New project quti, in quti.toml? yes or no [no]:" in sit(None, "quti", "", "quit")[1]
    assert not list(tmp_path.iterdir())
    sit(None, "quti", "yes", "quit")
    assert (tmp_path / "quti.toml").exists()


def test_a_word_for_nothing_is_told_that_enter_passes_the_question() -> None:
    """Where nothing is answered it skips, else it keeps; a number that is wrong is no such word."""
    says = "has no number; write a length such as 2 1/2 in. Enter alone"
    for none in ("none", "don't know", "-x"):
        skips = Sitting("back to hip", none, "quit", project=typed("name")).words
        assert f"{says} skips it. Hip [skip]:" in skips
    assert (
        f"{says} keeps what is there. Hip [" in Sitting("back to hip", "no", project=typed()).words
    )
    assert "Enter alone skips" not in Sitting("back to hip", "4 4", project=typed("name")).words


def test_no_to_another_garment_names_none() -> None:
    """A word for nothing is no name: the step is left as Enter alone leaves it."""
    on = Sitting("steps 5", "no", "quit", project=Project())
    assert not on.project.liked
