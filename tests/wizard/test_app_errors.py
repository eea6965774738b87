"""What goes wrong: it is said in words, the typed text stays, and nothing on disk is lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_driver import Driver, driving, example, fresh

from legtaper.files.store import Store, StoreError, load
from legtaper_wizard.flow.session import Session
from legtaper_wizard.tui.messages import WentTo

pytestmark = pytest.mark.usefixtures("new_account")


@pytest.mark.parametrize("key", ["enter", "tab", "shift+tab", "down", "pagedown", "f9", "f3"])
async def test_a_wrong_answer_keeps_the_cursor(tmp_path: Path, key: str) -> None:
    """Whatever key leaves it, a wrong answer is explained beside it, stays, and can be mended."""
    async with driving(fresh(tmp_path)) as on:
        await on.answer("66")
        await on.type("33 inn")
        await on.press(key)
        assert '! "inn" is not a unit; use in, cm, mm or ft' in on.text
        assert (on.here, on.form.answer.value) == ("wearer.waist", "33 inn")
        assert on.on_disk().wearer.waist is None
        await on.press("end", "backspace")
        assert "is not a unit" not in on.text
        await on.press("enter")
        assert on.on_disk().wearer.waist is not None


@pytest.mark.parametrize("key", ["f3", "f5", "f7", "up"])
async def test_a_refused_answer_says_how_to_get_away_from_it(tmp_path: Path, key: str) -> None:
    """Esc gives it up; letters that were meant for the page that did not come go nowhere."""
    async with driving(fresh(tmp_path)) as on:
        await on.type("33 inn")
        await on.press("enter")
        assert "Esc takes it back." not in on.text
        await on.press(key)
        assert '! "inn" is not a unit' in on.text
        assert "Esc takes it back." in " ".join(on.text.split())
        if key != "up":
            await on.type("narrow")
            assert on.form.answer.value == "33 inn"
        await on.press("escape")
        assert (on.form.answer.value, "is not a unit" in on.text) == ("", False)
        await on.answer("66")
        assert on.on_disk().wearer.height.text.startswith("66")


async def test_why_an_answer_is_refused_is_seen_to_its_end(tmp_path: Path) -> None:
    """Also where a step has few questions, so that their box is low."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.type("03/04/2026")
        await on.press("enter", "f3")
        said = " ".join(on.text.split())
        assert '! "03/04/2026" could be two days' in said
        assert said.count("or today. Esc takes it back.") == 1
        assert "Write both legs for the test" in on.text


async def test_nothing_is_reinterpreted(tmp_path: Path) -> None:
    """A number that could be two things is refused with both."""
    async with driving(fresh(tmp_path)) as on:
        await on.answer("11/2")
        assert "could be 1 1/2 or 5 1/2" in on.text
        await on.press("ctrl+u")
        await on.answer("41,500 mm")
        assert "could be 41500 or 41.500" in on.text
        assert on.on_disk().wearer.height is None


async def test_quitting_asks_about_what_is_typed(tmp_path: Path) -> None:
    """F10 with something typed asks: it is taken, or what was answered stays."""
    session = fresh(tmp_path)
    session.answer("wearer.height", "66")
    for key, stays in (("1", "67 in"), ("2", "67 in")):
        async with driving(session) as on:
            on.app.hear(WentTo("wearer", "wearer.height"))
            await on.type("67" if key == "1" else "68")
            await on.press("f10")
            assert "Height: typed, not taken" in on.text
            assert f'"{"66 in" if key == "1" else "67 in"}" stays' in on.text
            await on.press(key)
        assert on.app.return_code == 0
        session = Session.open(session.path)
        assert session.project.wearer.height.text == stays


async def test_quitting_with_what_cannot_be_taken_says_why(tmp_path: Path) -> None:
    """It stays on the screen, and she may leave without it."""
    async with driving(fresh(tmp_path)) as on:
        await on.type("abc")
        await on.press("f10", "1")
        assert "has no number" in on.text
        assert on.app.is_running
        await on.press("f10", "2")
    assert on.app.return_code == 0


def _change_outside(on: Driver) -> None:
    text = on.file.read_text()
    on.file.write_text(text.replace('name = "Trial trousers"', 'name = "Changed outside"'))


async def test_changed_outside_keep_mine(tmp_path: Path) -> None:
    """Of two states the wearer keeps hers; the other goes into a copy, and her answer is taken."""
    async with driving(fresh(tmp_path)) as on:
        _change_outside(on)
        await on.answer("66")
        assert "Another program changed trial.toml" in on.text
        await on.press("1")
        assert on.on_disk().wearer.height is not None
        assert on.on_disk().name == "Trial trousers"
        assert load(tmp_path / "trial (theirs).toml").name == "Changed outside"
        assert "Theirs is in trial (theirs).toml." in on.text


async def test_changed_outside_take_theirs(tmp_path: Path) -> None:
    """Taking the other state puts hers into a copy; what she typed still stands in its line."""
    async with driving(fresh(tmp_path)) as on:
        await on.answer("66")
        _change_outside(on)
        await on.answer("33")
        await on.press("2")
        assert on.on_disk().name == "Changed outside"
        assert load(tmp_path / "trial (mine).toml").name == "Trial trousers"
        assert on.form.answer.value == "33"
        await on.press("enter")
        assert on.on_disk().wearer.waist is not None
        assert on.on_disk().name == "Changed outside"


async def test_changed_outside_decide_later(tmp_path: Path) -> None:
    """Going back leaves both as they are, and the answer untaken in its line."""
    async with driving(fresh(tmp_path)) as on:
        _change_outside(on)
        await on.answer("66")
        await on.press("escape")
        assert on.on_disk().name == "Changed outside"
        assert on.on_disk().wearer.height is None
        assert on.form.answer.value == "66"
        assert "not taken" in on.text


async def test_a_file_that_is_gone_comes_back(tmp_path: Path) -> None:
    """Where the file was removed, keeping mine writes it again."""
    async with driving(fresh(tmp_path)) as on:
        on.file.unlink()
        await on.answer("66")
        assert "was moved or deleted" in on.text
        await on.press("1")
        assert on.on_disk().wearer.height is not None
        assert "it is back" in on.text


async def test_a_second_opening_may_look(tmp_path: Path) -> None:
    """The second opening is told who holds the project; it shows all and changes nothing."""
    first = example(tmp_path)
    before = first.path.read_bytes()
    async with driving(Session.open(first.path)) as on:
        assert "Look only" in on.text
        await on.type("9")
        assert "open in another session" in on.text
        await on.press("f3", "9", "right", "enter", "pagedown", "enter", "f5", "f9")
        await on.press("escape", "f8", "escape", "f2")
        assert "Look only" in on.text
    first.close()
    assert first.path.read_bytes() == before


async def test_a_full_disk_keeps_the_answer_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An answer that cannot be written is not taken; the reason is said and the text stays."""
    async with driving(fresh(tmp_path)) as on:

        def full(store: Store, _project: object) -> None:
            raise StoreError(store.path, "not saved: the disk is full")

        with monkeypatch.context() as broken:
            broken.setattr(Store, "save", full)
            await on.answer("66")
            assert "the disk is full" in on.text
            assert on.form.answer.value == "66"
        await on.press("enter")
        assert on.on_disk().wearer.height is not None


async def test_a_broken_project_is_named_on_the_first_page(tmp_path: Path) -> None:
    """A recent project that cannot be read says why, in the list and when it is chosen."""
    async with driving(fresh(tmp_path)) as on:
        await on.settle()
    (tmp_path / "trial.toml").write_text("format = 1\nname = \n")
    async with driving(None) as on:
        await on.settle()
        assert "cannot be read" in on.text
        await on.press("enter")
        assert on.app.form is None
        assert "! trial.toml: " in on.text


async def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    """A new project and a pattern both name the folder that is missing, at its question."""
    async with driving(None) as on:
        await on.answer("New one", "", "/nowhere/at all", "")
        assert "there is no such folder" in on.text
        await on.press("ctrl+u")
        await on.answer(str(tmp_path), "")
        assert on.step == "wearer"
    async with driving(example(tmp_path)) as on:
        await on.press("f9", *["tab"] * 3)
        await on.answer("/nowhere", "", "")
        assert "there is no such folder" in on.text
        await on.press("escape", "f9")
        assert "/nowhere" in on.text


async def test_an_unknown_paper(tmp_path: Path) -> None:
    """A paper that is unknown is refused before anything is written."""
    async with driving(example(tmp_path)) as on:
        await on.press("f9", *["tab"] * 2)
        await on.answer("napkin", "", "", "")
        assert "!" in on.text
        assert "napkin" in on.text
        assert not list(tmp_path.glob("*.pdf"))


async def test_no_pattern_yet(tmp_path: Path) -> None:
    """F9 without a design says what is still missing."""
    async with driving(fresh(tmp_path)) as on:
        await on.press("f9")
        assert "There is no pattern to write yet: waits for the block." in on.text


async def test_names_from_a_file_are_text_and_nothing_else(tmp_path: Path) -> None:
    """Markup and control characters in names from a file neither style nor move anything."""
    file = tmp_path / "odd.toml"
    file.write_text(
        'format = 1\nname = "[bold]x[/] [@click=quit]y"\n[[liked]]\ngarment = "a[/b]"\n'
        'notes = ""\n'.replace('notes = ""\n', "")
    )
    async with driving(Session.open(file)) as on:
        assert "[bold]x[/] [@click=quit]y" in on.text
        await on.press("f3", "5")
        assert "a[/b]" in on.text + on.form.answer.value
        await on.press("f7")
        assert "Remove a[/b]" in on.text


async def test_what_is_typed_on_a_button_is_told_and_does_not_press_it(tmp_path: Path) -> None:
    """The Enter that was meant for the words does nothing; a move, or one more Enter, is free."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "5")
        while on.here != "next":
            await on.press("tab")
        await on.type("Black cords")
        assert "! This is a button; Up goes to the questions." in on.text
        await on.press("enter")
        assert on.step == "liked"
        assert "! Not done, as you were typing; Up goes to the questions." in on.text
        await on.press("enter")
        assert on.step == "narrowing"
        while on.here != "back":
            await on.press("tab")
        await on.type("10 13/16")
        on.app.screen.take_paste("9 1/4 in")  # type: ignore[attr-defined]
        await on.press("enter")
        assert on.step == "narrowing"
        await on.press("tab", "shift+tab")
        assert "you were typing" not in on.text
        await on.press("enter")
        assert on.step == "liked"
