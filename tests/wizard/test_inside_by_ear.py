"""Questions inside a command, by ear: they hear the same lines as every other question."""

from __future__ import annotations

from pathlib import Path

import pytest
from typed_example import typed
from typist import Sitting, sit

from legtaper.files.store import load
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.steps import value

pytestmark = pytest.mark.usefixtures("new_account")

WHOLE = typed()


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """Return the courier example as a file of its own, its test printed and tried on."""
    path = tmp_path / "mine.toml"
    path.write_text(example_text("courier"), encoding="utf-8")
    sit(path, "round.printed = today", "round.date = today", "steps muslin")
    return path


WAYS = (
    (("write",), "What ["),
    (("write", "svg", ""), "Folder ["),
    (("compare",), "Which side by side"),
    (("compare", "1"), "tables shows the figures:"),
    (("marks",), "Next mark [2]:"),
    (("words",), "Which word"),
    (("more write down",), "What you see:"),
    (("more write down", "foot goes through"), "Which leg shows it:"),
    (("wearer.height = 70 cm",), "Keep 70 cm?"),
)
ONLY_TELL = tuple(way for way, _ in WAYS if way[0] in ("compare", "marks", "words"))
LINES = (
    ("steps wearer", "Step 2: Wearer"),
    ("wearer.waist = 35 in", "Waist 35 in."),
    ("answers waist", "Waist ["),
    ("more go back", "Number of the round:"),
)


@pytest.mark.parametrize(
    ("way", "asked", "line", "does"),
    [(*way, *LINES[number % len(LINES)]) for number, way in enumerate(WAYS)]
    + [(*WAYS[0], *line) for line in LINES[1:]],
)
def test_every_question_hears_a_command_and_an_answer_by_name(
    mine: Path, way: tuple[str, ...], asked: str, line: str, does: str
) -> None:
    """The question is left, which is told where something is left undone, and the line is done."""
    before = load(mine)
    said = sit(mine, *way, line, "quit", "quit")[1]
    there = said.index(asked)
    done = said.index(does, there + len(asked))
    assert ("That is left undone." in said[there:done]) == (way not in ONLY_TELL)
    assert not list(mine.parent.glob("*.svg"))
    now = load(mine)
    assert now.rounds == before.rounds
    assert now.wearer.height == before.wearer.height


def test_what_a_question_takes_is_no_command_there(mine: Path) -> None:
    """`marks` is a kind of file, `paper = a3` the form's, and undo one question back."""
    sit(mine, "write", "marks", "paper = a3", "", "it", "quit")
    assert [path.suffix for path in mine.parent.glob("it*")] == [".txt"]
    said = sit(mine, "write", "svg", "undo", "quit", "quit")[1]
    assert said.count("What [") == 2
    assert "Left, and" not in said


def test_where_files_are_offered_on_the_way_the_offer_comes_again(mine: Path) -> None:
    """What was heard in between costs nothing."""
    said = sit(mine, "steps pattern", "skip", "notes", "quit")[1]
    assert said.count("What [none]:") == 2


def test_a_doubtful_answer_changes_nothing_before_it_is_meant() -> None:
    """No, leaving and quitting keep what was there, Enter decides nothing; yes takes it."""
    old = value(WHOLE, "wearer.height")
    for line in ("no", "back", "quit", "steps block", "waist = 33 in", ""):
        sitting = Sitting("back to height", "70 cm", line, "quit", project=WHOLE)
        assert value(sitting.project, "wearer.height") == old, line
    sitting = Sitting("back to height", "70 cm", "yes", "quit", project=WHOLE)
    assert value(sitting.project, "wearer.height") == "70 cm"
