"""Where work on a project was left."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from app_driver import driving, example, fresh

from legtaper_wizard.flow.left_at import leave_at, left_at
from legtaper_wizard.flow.open_project import told
from legtaper_wizard.flow.passed_over import passed_over
from legtaper_wizard.flow.session import Place, Session
from legtaper_wizard.flow.steps import STEPS, first_open, step_of

pytestmark = pytest.mark.usefixtures("new_account")


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the file that holds the places."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path / "state" / "legtaper" / "left.json"


def test_each_project_has_its_own_place(kept: Path) -> None:
    """The last one counts, only the owner may read it, and of many the last twenty are known."""
    for number in range(30):
        leave_at(Path(f"/p/{number}.toml"), "wearer", f"key.{number}")
    leave_at(Path("/p/29.toml"), "block", "block.label")
    assert left_at(Path("/p/29.toml")) == ("block", "block.label")
    assert left_at(Path("/p/28.toml")) == ("wearer", "key.28")
    assert left_at(Path("/p/5.toml")) is None
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600


@pytest.mark.parametrize("text", ["", "[", "[]", '{"/p/a.toml": 3}', '{"/p/a.toml": [1, 2]}'])
def test_what_cannot_be_read_is_no_place(kept: Path, text: str) -> None:
    """Work then goes on at the first open step; nothing is a fault."""
    kept.parent.mkdir(parents=True)
    kept.write_text(text)
    assert left_at(Path("/p/a.toml")) is None


def test_a_pipe_in_its_place_holds_nothing_up(kept: Path) -> None:
    """It is neither read nor written."""
    kept.parent.mkdir(parents=True)
    os.mkfifo(kept)
    leave_at(Path("/p/a.toml"), "wearer", "")
    assert left_at(Path("/p/a.toml")) is None


def test_a_session_opens_where_the_last_one_was(tmp_path: Path, kept: Path) -> None:
    """At the question that was answered, or gone to; a step that waits by now is none."""
    session = fresh(tmp_path)
    session.go("wearer", "wearer.hip")
    session.answer("wearer.knee", "15 in")
    again = Session.open(session.path)
    assert (again.step_id, again.key) == ("wearer", "wearer.knee")
    session.go("wearer", "wearer.calf")
    session.close()
    assert Session.open(session.path).key == "wearer.calf"
    leave_at(session.path, "blend", "design.blend.outseam")
    assert Session.open(session.path).step_id == "block"
    assert kept.exists()


def test_undo_reaches_back_over_the_last_sitting(tmp_path: Path) -> None:
    """First what was done in this one, then the whole last one; redo makes all of it again."""
    session = fresh(tmp_path)
    session.answer("wearer.height", "66 in")
    session.close()
    second = Session.open(session.path)
    second.answer("wearer.waist", "34 in")
    second.answer("wearer.hip", "41 in")
    second.close()
    third = Session.open(session.path)
    third.answer("wearer.knee", "15 in")
    assert third.undo() == Place("wearer", "wearer.knee") or third.project.wearer.knee is None
    place = third.undo()
    assert place is not None
    assert place.did == "everything since the last sitting began"
    assert (third.project.wearer.height, third.project.wearer.waist) != (None, None)
    assert third.project.wearer.waist is None
    assert third.undo() is None
    third.redo()
    third.redo()
    assert third.project.wearer.hip is not None
    assert third.project.wearer.knee is not None


async def test_the_screen_asks_before_the_last_sitting_is_taken_back(tmp_path: Path) -> None:
    """F5 and a slip of Enter or of a number lose nothing; what was agreed to, F6 makes again."""
    session = fresh(tmp_path)
    session.answer("wearer.height", "66 in")
    session.close()
    second = Session.open(session.path)
    second.answer("wearer.waist", "34 in")
    second.close()
    async with driving(Session.open(session.path)) as on:
        for keys in (["f5", "enter"], ["f5", "2", "escape"]):
            await on.press(*keys)
            assert "Nothing was taken back." in on.text
            assert on.on_disk().wearer.waist is not None
        await on.press("f5")
        assert "Take back everything of the last one?" in on.text
        await on.press("down", "enter")
        assert "Taken back: everything since the last sitting began." in on.text
        assert on.on_disk().wearer.waist is None
        assert on.on_disk().wearer.height is not None
        await on.press("f6")
        assert on.on_disk().wearer.waist is not None


def test_a_new_project_has_nothing_before_it(tmp_path: Path) -> None:
    """The backup of an older file of that name is no state of it."""
    (tmp_path / "trial.toml.bak").write_text('format = 1\nname = "Old"\n')
    session = fresh(tmp_path)
    assert session.undo() is None


def test_questions_that_were_passed_are_told(tmp_path: Path) -> None:
    """Those before the place that leave something unknown; those behind it are not passed."""
    project, at = fresh(tmp_path).now
    keys = [field.key for field in passed_over(project, at, "wearer", "wearer.knee")]
    assert keys == ["wearer.height", "wearer.hip", "wearer.thigh"]
    assert passed_over(project, at, "project") == ()
    whole, cursor = example(tmp_path).now
    assert "wearer.hip" not in [field.key for field in passed_over(whole, cursor, "pattern")]


async def test_the_screen_says_what_was_passed_without_an_answer(tmp_path: Path) -> None:
    """As the line prompts do when work goes on."""
    session = fresh(tmp_path)
    session.answer("wearer.height", "66")
    session.go("wearer", "wearer.knee")
    async with driving(session) as on:
        assert "2 not answered: hip; thigh." in " ".join(on.text.split())


def test_the_first_page_says_the_step_at_which_a_project_opens(tmp_path: Path, kept: Path) -> None:
    """That where it was left, though another one is the first that is open."""
    assert not kept.exists()
    session = fresh(tmp_path)
    session.answer("wearer.height", "66 in")
    session.go("wearer", "wearer.waist")
    session.close()
    opens = STEPS.index(step_of(Session.open(session.path).step_id)) + 1
    assert (opens, STEPS.index(first_open(session.project)) + 1) == (2, 3)
    assert "step 2: " in told(session.path)[1]
    kept.unlink()
    assert "step 3: " in told(session.path)[1]
