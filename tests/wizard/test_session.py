"""A sitting with a project: answers on disk, undo, steps, and a file that others change."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_driver import example, fresh

from legtaper.files.recent import recent
from legtaper.files.store import StoreError, load
from legtaper.model.project import ProjectError
from legtaper_wizard.flow.open_project import free_file
from legtaper_wizard.flow.session import ChangedOnDiskError, Place, Session
from legtaper_wizard.flow.steps import AnswerError

pytestmark = pytest.mark.usefixtures("new_account")


def test_an_answer_is_on_disk_when_it_is_taken(tmp_path: Path) -> None:
    """After `answer` the file holds it, and the time of saving is known."""
    session = fresh(tmp_path)
    assert session.saved == "Saved"
    session.answer("wearer.height", "66 in")
    assert load(session.path) == session.project
    assert session.saved.startswith("Saved ")


def test_an_answer_that_cannot_be_one_changes_nothing(tmp_path: Path) -> None:
    """A refused answer leaves project, history and file as they were."""
    session = fresh(tmp_path)
    before = session.path.read_bytes(), session.history
    with pytest.raises(AnswerError):
        session.answer("wearer.height", "tall")
    assert (session.path.read_bytes(), session.history) == before


@pytest.mark.parametrize("said", ["-1,2 cm", "1,2 cm"])
def test_a_hem_elsewhere_is_told_at_once_what_it_can_be(tmp_path: Path, said: str) -> None:
    """Above or below, the refusal names 0, which is taken."""
    session = fresh(tmp_path)
    with pytest.raises(AnswerError, match="this can only be 0"):
        session.answer("block.height.hem", said)
    session.answer("block.height.hem", "0")
    assert session.project.block.height["hem"].mm == 0


def test_the_same_answer_again_is_no_change(tmp_path: Path) -> None:
    """Taking an answer that is there already adds nothing to undo."""
    session = fresh(tmp_path)
    session.answer("wearer.height", "66 in")
    session.answer("wearer.height", "66 in")
    session.undo()
    assert session.project.wearer.height is None
    assert session.undo() is None


def test_undo_names_the_place_of_each_change(tmp_path: Path) -> None:
    """Undo and redo go through changes of several steps and say where each was."""
    session = fresh(tmp_path)
    session.go("wearer")
    session.answer("wearer.height", "66 in")
    session.go("block")
    session.answer("block.label", "March")
    assert session.undo() == Place("block", "block.label")
    assert session.undo() == Place("wearer", "wearer.height")
    assert session.step_id == "wearer"
    assert load(session.path).wearer.height is None
    assert session.redo() == Place("wearer", "wearer.height")
    assert session.redo() == Place("block", "block.label")
    assert session.redo() is None
    assert load(session.path).block.label == "March"


def test_a_nudge_at_the_end_of_its_range_begins_no_run(tmp_path: Path) -> None:
    """What was changed before it is not taken back with the nudges behind it."""
    session, key = example(tmp_path), "design.blend.outseam"
    for _ in range(30):
        session.nudge(key, 1, fine=False)
    session.answer("name", "another name")
    before = session.project
    session.nudge(key, 1, fine=False)
    assert session.project == before
    session.nudge(key, -1, fine=False)
    session.undo()
    assert session.project == before


def test_a_run_of_nudges_is_undone_at_once(tmp_path: Path) -> None:
    """Nudges of one blend count as one change; those of another are a change of their own."""
    session = example(tmp_path)
    start = session.project
    for by in (-1, -1, -1):
        session.nudge("design.blend.outseam", by, fine=False)
    session.nudge("design.blend.inseam", -1, fine=True)
    session.undo()
    assert session.project.designs[-1].blend["outseam"].text == "36 3/4 in"
    session.undo()
    assert session.project == start


def test_the_way_passes_over_steps_that_wait(tmp_path: Path) -> None:
    """The next step is the next that can be worked on; why another was passed is said."""
    session = fresh(tmp_path)
    session.go("block")
    assert session.way(1) == ("liked", "Test of the block waits for the block.")
    assert session.way(-1) == ("wearer", "")
    session.go("project")
    assert session.way(-1) == ("project", "")


def test_a_project_is_begun_in_a_file_of_its_own(tmp_path: Path) -> None:
    """A new project never takes the place of a file that is there."""
    first = Session.begin(free_file("Courier trousers!", tmp_path), "Courier trousers!")
    second = Session.begin(free_file("Courier trousers!", tmp_path), "Courier trousers!", "cm")
    assert [first.path.name, second.path.name] == [
        "courier-trousers.toml",
        "courier-trousers-2.toml",
    ]
    assert second.project.length_unit == "cm"
    assert free_file("***", tmp_path).name == "trousers.toml"
    with pytest.raises(StoreError):
        Session.begin(first.path, "Again")


def test_a_session_is_remembered_when_it_says_so(tmp_path: Path) -> None:
    """`remember` puts the project first in the list of recent ones."""
    session = fresh(tmp_path)
    session.remember()
    assert recent() == [session.path]


def test_only_the_first_session_writes(tmp_path: Path) -> None:
    """A second session may look; it says who has the project, and its answers are refused."""
    first = fresh(tmp_path)
    second = Session.open(first.path)
    assert second.read_only
    assert second.saved == "Look only"
    assert "open in another session" in second.why_read_only
    with pytest.raises(StoreError):
        second.answer("wearer.height", "66 in")
    assert second.project.wearer.height is None
    first.close()


def test_keeping_mine_keeps_theirs_in_a_copy(tmp_path: Path) -> None:
    """Mine stands in the file, theirs beside it byte for byte, and undo still works."""
    session = fresh(tmp_path)
    session.answer("wearer.height", "66 in")
    theirs = b'format = 1\nname = "Theirs"  # by hand\n'
    session.path.write_bytes(theirs)
    with pytest.raises(ChangedOnDiskError):
        session.answer("wearer.waist", "33 in")
    copy = session.keep_mine()
    assert copy is not None
    assert copy.read_bytes() == theirs
    session.answer("wearer.waist", "33 in")
    assert load(session.path).wearer.waist is not None
    session.undo()
    session.undo()
    assert load(session.path).wearer.height is None


def test_mine_can_be_kept_where_theirs_is_no_project(tmp_path: Path) -> None:
    """A file that was broken outside is copied as it is, and replaced."""
    session = fresh(tmp_path)
    session.path.write_text("no project at all [")
    copy = session.keep_mine()
    assert copy is not None
    assert copy.read_text() == "no project at all ["
    assert load(session.path).name == "Trial trousers"
    with pytest.raises(ProjectError):
        load(copy)


def test_taking_theirs_keeps_mine_in_a_copy(tmp_path: Path) -> None:
    """Theirs goes on, mine is beside it, and undo leads back to mine."""
    session = fresh(tmp_path)
    session.answer("wearer.height", "66 in")
    session.path.write_text('format = 1\nname = "Theirs"\n')
    copy = session.take_theirs()
    assert session.project.name == "Theirs"
    assert load(copy).wearer.height is not None
    session.undo()
    assert load(session.path).wearer.height is not None


def test_theirs_cannot_be_taken_where_it_is_no_project(tmp_path: Path) -> None:
    """A broken file is refused, and the session is as it was."""
    session = fresh(tmp_path)
    before = session.project
    session.path.write_text("broken [")
    with pytest.raises(ProjectError):
        session.take_theirs()
    assert session.project is before
    assert not list(tmp_path.glob("*mine*"))
