"""A block that is drafted or traced, at the line prompts."""

from __future__ import annotations

import io
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from typist import Typist

from legtaper.files.store import load
from legtaper.model.project import Project
from legtaper.pattern import block_of, build
from legtaper_wizard.flow import import_flow
from legtaper_wizard.flow.steps import answer, state
from legtaper_wizard.prompts import run

EXAMPLES = Path(__file__).parents[2] / "examples"
KEPT = "kept for the next time"
DRAFT, TRACE = ("more drafted",), ("more from a drawing",)
AS_GUESSED = ("", "", "", "", "", "")
"""Enter at each question about the outlines."""
HEAD = (
    "format = 1",
    "# a remark of her own",
    'name = "Trial"',
    'length_unit = "cm"',
    "[wearer]",
    'waist = "80 cm"',
)

pytestmark = pytest.mark.usefixtures("new_account")


def sit(folder: Path, *lines: str) -> tuple[Project, str]:
    """Type lines at the prompts of a project that stands at its block; return it and the words."""
    file = folder / "trial.toml"
    if not file.exists():
        file.write_text("\n".join(HEAD) + "\n")
        for name in ("outline.svg", "outline.dxf"):
            shutil.copy(EXAMPLES / name, folder)
    out = io.StringIO()
    run(file, stdin=Typist((*lines, "quit"), out), stdout=out)
    assert "# a remark of her own" in file.read_text()
    return load(file), " ".join(out.getvalue().split())


@pytest.mark.parametrize("name", ["outline.svg", "outline.dxf"])
def test_a_drawing_becomes_a_pattern(tmp_path: Path, name: str) -> None:
    """Enter at every question, yes to the block, and how much comes off: a whole pattern."""
    project, said = sit(tmp_path, *TRACE, name, *AS_GUESSED, "yes")
    assert "Front: hem 21.8 cm wide" in said
    assert "The block is in." in said
    assert state(project, "block").marker == "done"
    narrowed = answer(project, "design.take_in.hem", "2 cm")
    assert build(narrowed).fit.block.rests["front"].whole


def test_a_person_without_a_block_drafts_one(tmp_path: Path) -> None:
    """Every number is said with where it is from; one of them is changed before it counts."""
    lines = (*DRAFT, "104", "170", "", "", "", "ease_knee=8 cm", "yes")
    project, said = sit(tmp_path, *lines)
    assert "sew and fit it before you taper" in said
    assert "estimated: from the height" in said
    assert "ease knee = 8 cm (given: as you typed it)" in said
    assert "hem, around the leg = " in said
    assert project.block.outline
    assert project.wearer.hip is not None


DRAFTED = (*DRAFT, "104", "170", "", "", "")
"""As far as the question whether to take the draft."""


def test_a_draft_is_read_once_and_then_what_changed(tmp_path: Path) -> None:
    """First what is estimated, after a change what it changes; `list` reads every number."""
    changed = sit(tmp_path, *DRAFTED, "knee=40 cm", "back")[1]
    assert changed.count("knee = 40 cm (given") == 1
    assert changed.count("hip = 104 cm") == 0
    assert "estimated: from the height" in changed
    assert re.search(r"\d+ more numbers are given or chosen; list reads all", changed)
    assert changed.count("more numbers") == 1
    listed = sit(tmp_path, *DRAFTED, "knee=41 cm", "list", "back")[1]
    assert listed.count("knee = 41 cm (given") == 2
    assert listed.count("hip = 104 cm") == 1


def test_what_a_number_of_a_draft_is_and_where_it_is_from_is_said_once(tmp_path: Path) -> None:
    """How to measure it is not read again after an Enter too many, nor its estimate once kept."""
    said = sit(tmp_path, *DRAFT, "", "34", "104", "170", "", "", "", "back")[1]
    assert said.count("Around the fullest level below the waist.") == 1
    assert said.count("The draft rests on this one") == 1
    assert said.count("larger than the thigh of 95 in 100") == 1
    helped = sit(tmp_path, *DRAFT, "?", "104", "back")[1]
    assert helped.count("Around the fullest level below the waist.") == 2


def test_a_number_of_a_draft_needs_no_equals_sign(tmp_path: Path) -> None:
    """A name and a number are enough, as they are said; a number without a name is refused."""
    said = sit(tmp_path, *DRAFTED, "Ease knee 8", "knee 41 cm", "41", "back")[1]
    assert "ease knee = 8 cm (given" in said
    assert "knee = 41 cm (given" in said
    assert said.count("Not taken: write yes, back, list") == 1


def test_numbers_of_a_draft_are_named_as_they_are_read(tmp_path: Path) -> None:
    """Spaces, capitals, several in a line, the long name of the hem; Y takes the draft."""
    line = "inside leg=80, Ease thigh=7 cm; hem, around the leg = 46 cm"
    project, said = sit(tmp_path, *DRAFTED, line, "Y")
    assert "inside leg = 80 cm (given" in said
    assert "ease thigh = 7 cm (given" in said
    assert "hem, around the leg = 46 cm (given" in said
    assert project.block.outline


def test_a_line_with_one_wrong_number_changes_none(tmp_path: Path) -> None:
    """It says which of them is wrong."""
    said = sit(tmp_path, *DRAFTED, "knee=40 cm, ease thigh=wide", "back")[1]
    assert "Not taken: ease thigh:" in said
    assert "knee = 40 cm" not in said


def test_help_and_quit_inside_a_draft_are_about_the_draft(tmp_path: Path) -> None:
    """`?` says how to change a number, at its question too; quit leaves the draft alone."""
    said = sit(tmp_path, *DRAFT, "?", "104", "170", "", "", "", "?", "quit", "answers")[1]
    assert "Enter takes what is in brackets" in said
    assert "several may be on one line" in said
    assert said.count("more numbers are given") == 1
    assert "quit once more stops" in said
    assert "Name of the project: Trial" in said


def test_help_and_quit_inside_a_drawing_are_about_the_drawing(tmp_path: Path) -> None:
    """At the file, at an outline and at what is proposed."""
    lines = (*TRACE, "?", "outline.svg", "?", *AS_GUESSED, "?", "quit")
    said = sit(tmp_path, *lines, "answers")[1]
    assert "Each panel is one closed outline" in said
    assert "Type an answer or its number" in said
    assert said.count('as in "front crotch point +5"') == 2
    assert "quit once more stops" in said
    assert "Name of the project: Trial" in said


def test_a_draft_that_is_left_is_kept_for_the_next_time(tmp_path: Path) -> None:
    """The first need not be typed again; nothing is changed in between."""
    project, said = sit(tmp_path, *DRAFT, "104", "170", "back", *DRAFT, "", "", "", "back")
    assert said.count(KEPT) == 2
    assert said.count("Hip [") == 1
    assert project.block == Project().block


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("no=3", "Not taken: write yes, back, list, or a name and a number"),
        ("ease_knee=nothing", "Not taken:"),
        ("ease_knee=90 cm", "is out of range"),
    ],
)
def test_a_wrong_change_of_a_draft_is_not_taken(tmp_path: Path, typed: str, says: str) -> None:
    """It says what would be right, and asks again."""
    project, said = sit(tmp_path, *DRAFT, "104", "170", "", "", "", typed, "yes")
    assert says in said
    assert project.block.outline


def test_mistakes_with_the_file_are_one_line_each(tmp_path: Path) -> None:
    """A missing file, one that is no drawing: asked again until it can be read."""
    lines = (*TRACE, "none.svg", "trial.toml", "outline.svg", *AS_GUESSED, "yes")
    project, said = sit(tmp_path, *lines)
    assert "none.svg: there is no such file." in said
    assert "trial.toml: its name must end in .svg or .dxf." in said
    assert project.block.outline


def test_a_wrong_choice_is_asked_again(tmp_path: Path) -> None:
    """The same outline twice, then the wrong way round, then right by going back to it."""
    wrong_way = ("2", "2", "", "", "", "", "1")
    exchanged = ("outlines", "1", "2", "", "", "", "", "back")
    project, said = sit(tmp_path, *TRACE, "outline.svg", *wrong_way, *exchanged)
    assert "front and back are the same outline" in said
    assert "The back is narrower than the front" in said
    assert KEPT in said
    assert project.block == Project().block


def test_what_is_proposed_can_be_moved(tmp_path: Path) -> None:
    """A level by mm; what cannot be moved stays and says why."""
    moves = ("front knee level +10", "front knee level +2000", "front nothing +1", "yes")
    project, said = sit(tmp_path, *TRACE, "outline.svg", *AS_GUESSED, *moves)
    block = block_of(project)
    assert "It stays:" in said
    assert "Not taken: write yes" in said
    assert block.heights["knee"] == pytest.approx(0.576 * block.crotch + 10, abs=0.5)


def test_of_a_drawing_what_was_guessed_is_read_and_the_rest_when_asked_for(tmp_path: Path) -> None:
    """The levels placed by proportion; `list` reads all, ten at a time; a move says what moved."""
    asked = (*TRACE, "outline.svg", *AS_GUESSED)
    said = sit(tmp_path, *asked, "back")[1]
    assert said.count("1: back, 42.4 x 107.4 cm") == 1
    assert "2 front." not in said  # the outlines are read once
    assert "front knee level: 43.6 cm, placed" in said
    assert "crotch point: " not in said
    assert "16 more marks were found in it; list reads all." in said
    listed = sit(tmp_path, *asked, "list", "", "", "front knee level +10", "back")[1]
    assert listed.count("front crotch point: 77.9 cm") == 1
    assert "12 more; Enter goes on:" in listed
    assert listed.count("front knee level: 44.6 cm") == 1


def test_a_wrong_scale_is_asked_about(tmp_path: Path) -> None:
    """The question names the likelier scale; an answer to it alone is enough."""
    text = (EXAMPLES / "outline.svg").read_text()
    size = 'width="1000mm" height="1150mm" viewBox="0 0 1000 1150"'
    assert size in text
    (tmp_path / "px.svg").write_text(text.replace(size, ""))
    project, said = sit(tmp_path, *TRACE, "px.svg", *AS_GUESSED, "25.4", "yes")
    assert "this leg would be" in said
    assert block_of(project).height_on("front", "crotch") == pytest.approx(779, abs=0.1)


def test_a_block_that_is_there_is_replaced_only_with_a_yes(tmp_path: Path) -> None:
    """Anything else leaves it; undo brings it back after a yes."""
    first, _ = sit(tmp_path, *TRACE, "outline.svg", *AS_GUESSED, "yes")
    draft = ("104", "170", "", "", "", "yes")
    kept, said = sit(tmp_path, "steps block", *DRAFT, *draft, "no")
    assert "There is a block already" in said
    assert kept == first
    replaced, _ = sit(tmp_path, "steps block", *DRAFT, *draft, "yes")
    assert replaced.block.label == "Drafted starting block"


def test_ctrl_c_stops_the_reading_and_not_the_prompts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The name is asked again, and the same drawing can be read then."""
    read, times = import_flow.read, 0

    def interrupted(*given: Any, **more: Any) -> Any:
        nonlocal times
        times += 1
        if times == 1:
            raise KeyboardInterrupt
        return read(*given, **more)

    monkeypatch.setattr(import_flow, "read", interrupted)
    project, said = sit(tmp_path, *TRACE, "outline.svg", "outline.svg", *AS_GUESSED, "yes")
    assert "Stopped; the drawing was not read." in said
    assert project.block.outline


def test_ctrl_c_stops_reading_again_in_another_scale(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The scale is asked again, and may stay as it was."""
    read, usual = import_flow.read, []

    def interrupted(*given: Any, **more: Any) -> Any:
        if usual:
            raise KeyboardInterrupt
        usual.append(True)
        return read(*given, **more)

    monkeypatch.setattr(import_flow, "read", interrupted)
    guessed = (*AS_GUESSED[:-1], "72", AS_GUESSED[-1])
    project, said = sit(tmp_path, *TRACE, "outline.svg", *guessed, "yes")
    assert "Stopped; the drawing was not read again." in said
    assert project.block.outline
