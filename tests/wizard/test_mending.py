"""From a failing design to a sound one: on the screen and at the line prompts."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from app_driver import driving, fresh
from typed_example import typed
from typist import Sitting

from legtaper.files.project_file import write_project
from legtaper.files.store import save_new
from legtaper.model.project import Project
from legtaper.model.said_lengths import say_around
from legtaper_wizard.flow import mending
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.session import Session
from legtaper_wizard.flow.shapes import LAST
from legtaper_wizard.flow.steps import answer, shows

TIGHT = answer(answer(typed(), "design.take_in.hem", "1 3/8"), "design.slit.height", "none")
"""The foot does not pass the hem."""

pytestmark = pytest.mark.usefixtures("new_account")


@pytest.fixture(autouse=True)
def nothing_found_yet(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let each test search for itself."""
    monkeypatch.setattr(mending, "_FOUND", {})


def failing(project: Project) -> list[str]:
    """Return the ids of what fails."""
    fit = standing(project, LAST).fit
    assert fit is not None
    return [one.id for one in fit.findings if one.status == "fail"]


def opened(folder: Path, project: Project, step: str) -> Session:
    """Return a session on a project, at a step."""
    file = folder / "tight.toml"
    save_new(file, write_project(project))
    session = Session.open(file)
    session.go(step)
    return session


async def test_from_a_failing_design_to_a_sound_one_in_two_keys(tmp_path: Path) -> None:
    """The notes name the key; it opens the page, Enter takes the best change, F5 undoes it."""
    async with driving(opened(tmp_path, TIGHT, "foot")) as on:
        assert failing(on.on_disk())
        assert "F11 looks for changes that mend this:" in on.text
        await on.press("f11")
        await on.searched()
        assert ">  1 " in on.text
        assert "Around" in on.text
        await on.press("enter")
        assert on.keys == 2
        assert failing(on.on_disk()) == []
        assert "Done: " in on.text
        await on.press("f5")
        assert on.on_disk() == TIGHT
        assert "Taken back: " in on.text
        assert "F11 mend" in on.text  # in the line of keys, whatever else has no room


async def test_the_page_shows_widths_and_outlines_and_goes_back(tmp_path: Path) -> None:
    """Down goes to the next change and its widths, Right to its outline; Esc changes nothing."""
    async with driving(opened(tmp_path, TIGHT, "foot")) as on:
        await on.press("ctrl+backslash")
        await on.searched()
        first = on.text
        await on.press("down")
        assert ">  2 " in on.text
        assert on.text != first
        await on.press("right")
        assert "with the change" in on.text
        await on.press("left", "escape")
        assert on.on_disk() == TIGHT
        assert on.step == "foot"


async def test_no_key_waits_for_the_search(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While it searches the page says so, and Esc leaves it."""
    import threading

    begun, go_on = threading.Event(), threading.Event()

    def slow(*_: object, **__: object) -> list[object]:
        begun.set()
        go_on.wait(10)
        return []

    monkeypatch.setattr("legtaper.remedies.mend.mendings", slow)
    async with driving(opened(tmp_path, TIGHT, "foot")) as on:
        await on.press("f11")
        assert begun.wait(5)
        assert "Looking for what is to be mended, and how..." in on.text
        await on.press("escape")
        assert on.step == "foot"
        assert on.app.screen is on.form
        go_on.set()


async def test_without_a_design_there_is_nothing_to_mend(tmp_path: Path) -> None:
    """It is said on the form."""
    async with driving(fresh(tmp_path)) as on:
        await on.press("f11")
        assert "There is nothing to mend yet" in on.text


def test_at_the_prompts_mend_lists_and_takes() -> None:
    """`mend` numbers the changes, `mend 1` makes one, undo takes it back."""
    listed = Sitting("mend", "", "quit", project=TIGHT)
    assert "Looking for what is to be mended, and how..." in listed.words
    assert "1: Take 1 1/4 in off each edge at the hem" in listed.words
    assert listed.project == TIGHT
    taken = Sitting("mend 1", "quit", project=TIGHT)
    assert failing(taken.saved) == []
    assert "Done: Take 1 1/4 in off each edge at the hem" in taken.words
    undone = Sitting("mend", "1", "undo", "quit", project=TIGHT)
    assert undone.saved == TIGHT
    assert "Undone: Take 1 1/4 in off each edge" in undone.words


def test_at_the_prompts_a_number_there_is_not_is_refused() -> None:
    """One line says which numbers there are; nothing is changed."""
    sitting = Sitting("mend 99", "quit", project=TIGHT)
    assert "Type a number from 1 to" in sitting.words
    assert sitting.project == TIGHT


def test_a_search_is_made_once_for_a_state_of_the_project(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second time, and after undo, what was found is there at once."""
    once = tuple(mending.look_for_mends(TIGHT, LAST))
    assert once
    monkeypatch.setattr("legtaper.remedies.mend.mendings", None)
    assert tuple(mending.look_for_mends(TIGHT, LAST)) == once


CLOSE = answer(typed(), "design.width.knee", "15")
"""A knee that is closer than the leg there: no hem width works."""


def test_where_no_hem_works_the_prompts_offer_a_change() -> None:
    """`widths` says which change lets some work and its number, and that number makes it."""
    asked = Sitting("widths", "quit", project=CLOSE)
    assert (
        "No hem width works with these answers: too close at the knee. With one change some do"
        in asked.words
    )
    number = re.search(r"mend lists it as number (\d+)\.", asked.words)
    assert number is not None
    taken = Sitting(f"mend {number[1]}", "quit", project=CLOSE)
    assert failing(CLOSE)
    assert failing(taken.saved) == []


async def test_where_no_hem_works_the_screen_offers_a_change(tmp_path: Path) -> None:
    """The page tells it once it is found; from there it is made in three keys."""
    async with driving(opened(tmp_path, CLOSE, "narrowing")) as on:
        on.form.action_command("hem-widths")
        await on.searched()
        assert "mend lists it as number 1." in " ".join(on.text.split())
        await on.press("escape", "f11")
        await on.searched()
        await on.press("enter")
        assert on.keys == 3
        assert failing(on.on_disk()) == []


def test_the_step_of_the_blend_says_how_wide_each_style_leaves_the_leg() -> None:
    """Both stand beside the question of the style, as the core measures them."""
    says = [note.text for note in shows(typed(), "blend") if note.key == "design.blend.style"]
    fit = standing(typed(), LAST).fit
    assert fit is not None
    knee, thigh = (say_around(fit.taper.finished[level], "in") for level in ("knee", "thigh"))
    assert len(says) == 1
    assert says[0].startswith(f"Knee and thigh: follow {knee} and {thigh}; straight ")


def test_a_search_that_nobody_waits_for_ends_before_the_next_change() -> None:
    """It tries no more, and what it did not finish is not kept."""
    asked: list[int] = []

    def going() -> bool:
        asked.append(1)
        return len(asked) < 3

    assert list(mending.look_for_mends(CLOSE, LAST, going)) == []
    assert len(asked) == 3
    assert mending.known_mends(CLOSE, LAST) is None
    assert list(mending.look_for_mends(CLOSE, LAST))


async def test_what_mends_is_shown_though_an_answer_is_refused(tmp_path: Path) -> None:
    """The key works, and what is typed and not taken is there again behind the page."""
    async with driving(opened(tmp_path, TIGHT, "foot")) as on:
        await on.answer("nonsense")
        assert "! " in on.text
        await on.press("f11")
        await on.searched()
        assert ">  1 " in on.text
        await on.press("escape")
        assert on.form.pose.draft == "nonsense"


async def test_a_long_list_opens_at_its_first_line_and_says_what_is_hidden(tmp_path: Path) -> None:
    """Down leads to its end and Up back to its first line, with or without a change to make."""
    wide = answer(TIGHT, "block.label", "Other")
    for cell in ("outseam.hem", "inseam.hem"):
        wide = answer(wide, f"block.back.{cell}", "6 1/4")
    wide = answer(wide, "block.back.outseam.knee", "6 3/4")
    for project, first in ((TIGHT, "[FAILS] The hem opens"), (wide, "[warning] The block has")):
        folder = tmp_path / project.block.label
        folder.mkdir()
        async with driving(opened(folder, project, "foot"), size=(80, 12)) as on:
            await on.press("f11")
            await on.searched()
            opened_at = on.text
            assert first in opened_at.splitlines()[2]
            assert " more below" in opened_at
            await on.press(*["down"] * 20)
            assert " more above" in on.text
            assert " more below" not in on.text
            await on.press(*["up"] * 20)
            assert on.text == opened_at
            await on.press("pagedown", "pagedown", "pagedown", "pagedown", "pageup", "pageup")
            await on.press("pageup", "pageup")
            assert on.text == opened_at
