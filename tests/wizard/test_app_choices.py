"""Choices on the screen: gone through by the arrow keys, found by typing, taken by Enter alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_driver import Driver, driving, example

from legtaper.muslin.signs import SIGNS
from legtaper_wizard.flow.session import Session


def untested(folder: Path) -> Session:
    """Return a session on an example whose block was not judged yet."""
    session = example(folder)
    session.answer("block_test.verdict", "")
    return session


async def to_signs(on: Driver) -> None:
    """Go to the page that asks what a muslin shows."""
    await on.press("pagedown")
    await on.answer("today", "today")
    await on.press("f7", "2")
    assert "What you see" in on.text


async def test_a_long_list_is_gone_through_by_up_and_down(tmp_path: Path) -> None:
    """Each sign is met on its way down and whole; folded away it shows what was chosen."""
    async with driving(example(tmp_path)) as on:
        await to_signs(on)
        met = set()
        for _ in SIGNS:
            await on.press("down")
            chosen = on.text.partition("(*) ")[2].partition("    ( )")[0].partition("\n\n")[0]
            met.add(" ".join(chosen.partition("  Which leg")[0].split()))
        assert met == {sign.words for sign in SIGNS}
        await on.press("up", "enter")
        assert "( ) the leg as the block alone\n" in on.text
        shown = next(line for line in on.text.splitlines() if "What you see" in line)
        assert shown.partition("What you see")[2].strip() in {sign.words for sign in SIGNS}


async def test_a_word_finds_a_choice(tmp_path: Path) -> None:
    """What is typed may be any word of it, not only how it begins."""
    async with driving(example(tmp_path)) as on:
        await to_signs(on)
        await on.type("knees")
        assert "(*) The knees bag after an hour" in on.text


async def test_who_passes_a_list_by_chooses_nothing(tmp_path: Path) -> None:
    """Down through all options and on behind the last one takes none; Enter takes one."""
    async with driving(example(tmp_path)) as on:
        before = on.on_disk()
        await on.press("f3", "9")
        assert on.here == "design.hem.style"
        while on.here == "design.hem.style":
            await on.press("down")
            await on.settle()
        assert on.on_disk() == before
        assert "- Hem: double" in on.text
        assert "If you take it:" not in on.text
        await on.press("up", "down", "enter")
        assert on.on_disk().designs[-1].hem.style == "faced"


async def test_a_long_label_is_shown_whole(tmp_path: Path) -> None:
    """What is asked of a sign names it, in as many lines as it takes."""
    async with driving(example(tmp_path)) as on:
        await to_signs(on)
        await on.type("knees")
        await on.press("enter", "1", "enter", "enter")
        asked = next(stop.label for stop in on.form.stops if "knees bag" in stop.label)
        assert len(asked) > 40
        while on.form.stop.label != asked:
            await on.press("tab")
        labels = [line[:30].strip(" >") for line in on.text.splitlines()]
        assert asked in " ".join(labels)


async def test_a_list_says_at_its_head_why_nothing_was_taken(tmp_path: Path) -> None:
    """Longer than the page as it may be."""
    async with driving(example(tmp_path)) as on:
        await to_signs(on)
        await on.press("tab", "tab", "enter")
        assert "! choose what you see" in on.text


async def test_what_a_choice_would_do_is_said_to_be_not_yet_so(tmp_path: Path) -> None:
    """Moved over it shows what would follow, under a heading that goes when it is taken."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "4")
        await on.settle()
        assert "If you take it:" not in on.text
        await on.press("right")
        await on.settle()
        assert on.text.index("If you take it:") < on.text.index("Stop here and fit the block")
        await on.press("enter")
        await on.settle()
        assert "If you take it:" not in on.text
        assert "Stop here and fit the block" in on.text


@pytest.mark.parametrize("leaving", ["down", "tab", "pagedown"])
async def test_where_nothing_was_chosen_enter_alone_takes_what_arrows_point_at(
    tmp_path: Path, leaving: str
) -> None:
    """Whoever tries Right to get on has answered nothing; Esc drops it, and so it goes on."""
    async with driving(untested(tmp_path)) as on:
        await on.press("f3", "4")
        assert on.here == "block_test.verdict"
        line = on.text.splitlines()[-1]
        assert "Esc drop" not in line
        await on.press("right")
        assert "Esc drop" in on.text.splitlines()[-1]
        await on.press(leaving)
        assert on.here == "block_test.verdict"
        said = " ".join(on.text.split())
        assert said.count("Enter takes it: hangs clean. Esc takes it back.") == 1
        assert said.count("Esc takes") == 1
        assert on.on_disk().block_test is None
        await on.press("escape", leaving)
        assert on.on_disk().block_test is None
        assert (on.here, on.step) != ("block_test.verdict", "block-test")


async def test_a_choice_that_was_made_or_typed_is_taken_by_going_on(tmp_path: Path) -> None:
    """Another option of an answered question, and one that is found by its number."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "4")
        assert on.here == "block_test.verdict"
        await on.press("right", "tab")
        assert _verdict(on) == "needs fitting"
    async with driving(untested(tmp_path)) as on:
        await on.press("f3", "4")
        assert on.here == "block_test.verdict"
        await on.press("2", "tab")
        assert _verdict(on) == "needs fitting"


def _verdict(on: Driver) -> str | None:
    test = on.on_disk().block_test
    return test.verdict if test else None


async def test_on_pages_that_ask_too_enter_alone_takes_a_first_choice(tmp_path: Path) -> None:
    """Below each other, too, Tab says that it is not taken; Esc drops it, and Tab goes on."""
    async with driving(example(tmp_path)) as on:
        await to_signs(on)
        await on.press("down", "tab")
        assert "Enter takes it" in on.text
        assert " Esc takes it back." in " ".join(on.text.split())
        await on.press("escape", "tab")
        assert "> Which leg shows it" in on.text
        await on.press("shift+tab", "down", "enter")
        assert "> Which leg shows it" in on.text


async def test_on_every_page_a_choice_is_told_by_its_label(tmp_path: Path) -> None:
    """Never by the word that a file holds for it: what is written, and the unit at the start."""
    async with driving(example(tmp_path)) as on:
        await on.press("f9", "right")
        assert "Enter takes it: SVG" in on.text
        await on.press("tab", "left")
        assert "Enter takes it: as the block." in on.text
    async with driving(None) as on:
        await on.press(*["shift+tab"] * 9, "tab", "right")
        assert "Enter takes it: centimeters." in on.text
