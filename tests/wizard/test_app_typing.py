"""Slips of the finger on the screen: what is typed where, and what becomes of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_driver import driving, example, fresh

from legtaper_wizard.tui.screens import form_screen
from legtaper_wizard.tui.widgets.lines import Lines

pytestmark = pytest.mark.usefixtures("new_account")


async def test_a_refused_answer_is_typed_over(tmp_path: Path) -> None:
    """After a refusal the text stands selected: typing replaces it, an arrow key edits it."""
    async with driving(fresh(tmp_path)) as on:
        await on.press("tab")
        await on.answer("1550")
        assert on.form.pose.refused
        assert on.form.answer.value == "1550"
        await on.type("85 cm")
        assert on.form.answer.value == "85 cm"
        await on.press("enter")
        assert on.on_disk().wearer.waist.text == "85 cm"
        await on.answer("1550")
        await on.press("right", "backspace", "backspace")
        assert on.form.answer.value == "15"


async def test_a_refused_blend_is_edited_by_the_arrows(tmp_path: Path) -> None:
    """On a blend, too, whose answer the arrow keys move as long as nothing is typed."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "7")
        before = on.on_disk()
        await on.answer("360 in")
        assert on.form.pose.refused
        await on.press("left", "delete")
        assert on.form.answer.value == "60 in"
        assert on.on_disk() == before


async def test_an_answer_taken_is_laid_out_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was worked out while it was typed is not worked out again, and one page is drawn."""
    pages, drawn = [], []
    real, show = form_screen.page_of, Lines.show
    monkeypatch.setattr(form_screen, "page_of", lambda *at: pages.append(at) or real(*at))
    monkeypatch.setattr(Lines, "show", lambda *what: drawn.append(what) or show(*what))
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "6")
        here = on.here
        await on.type("11 7/8 in")
        while on.form._tried is on.form.page:
            await on.settle()
        pages.clear(), drawn.clear()
        await on.press("enter")
        assert (len(pages), len(drawn)) == (0, 1)
        assert on.here != here
        assert on.form.page.project == on.on_disk() == on.app.session.project
        assert "11 7/8 in" in on.text
        drawn.clear()
        await on.press("f5")
        assert len(drawn) == 1


async def test_escape_brings_back_what_was_answered(tmp_path: Path) -> None:
    """Esc takes back what is typed and not taken, and never an answer that is saved."""
    async with driving(fresh(tmp_path)) as on:
        await on.answer("66")
        await on.press("up")
        await on.type("99x")
        await on.press("enter", "escape")
        assert on.form.answer.value == "66 in"
        assert not on.form.pose.refused
        await on.press("escape", "enter")
        assert on.on_disk().wearer.height.text == "66 in"
        await on.press("f1")
        assert "Ctrl-U empties the line, Esc brings back what was answered" in " ".join(
            on.text.split()
        )


async def test_escape_on_the_first_page_brings_back_the_answer() -> None:
    """There, too, it takes back what is typed, also where something is chosen."""
    async with driving(None) as on:
        await on.press("tab", *"15")
        assert '"15" is none of the choices: 1 inches, 2 centimeters' in on.text
        await on.press("escape", "tab")
        assert "none of the choices" not in on.text
        assert "> Folder" in on.text


async def test_a_note_is_replaced_as_every_answer_or_added_to(tmp_path: Path) -> None:
    """It stands selected, and the page says how to add to it."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "4", "tab", "tab")
        assert on.here == "block_test.notes"
        before = on.form.answer.value
        assert before
        assert "the End key goes behind it" in on.text
        await on.press("end")
        await on.type(" And more.")
        await on.press("enter")
        assert on.on_disk().block_test.notes == f"{before} And more."
        await on.press("shift+tab")
        await on.answer("Other words.")
        assert on.on_disk().block_test.notes == "Other words."


async def test_a_length_typed_on_a_choice_chooses_nothing(tmp_path: Path) -> None:
    """Other typing on a choice is shown and refused with the choices; the answer stays."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "9")
        before = on.on_disk()
        await on.type("3")
        assert '"3": Enter takes it: faced' in on.text
        await on.type("5 cm")
        assert '! "35 cm" is none of the choices' in on.text
        assert "choices: 1 single, 2 double, 3 faced" in on.form.pose.refused
        assert "(*) double" in on.text
        await on.press("enter", "tab", "pagedown")
        assert (on.step, on.here) == ("hem", "design.hem.style")
        assert on.on_disk() == before
        await on.press("backspace", "tab")
        assert on.here == "design.hem.depth"
        assert on.on_disk() == before


async def test_what_is_typed_after_a_refused_choice_replaces_it(tmp_path: Path) -> None:
    """A choice refused at Enter is begun over by the next sign, and Esc is named as the way out."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "9")
        await on.type("15")
        await on.press("enter")
        assert '! "15" is none of the choices' in on.text
        assert "Esc takes it back" in " ".join(on.form.pose.refused.split())
        await on.type("3")
        assert '"3": Enter takes it: faced' in on.text
        await on.type("9")
        assert '! "39" is none of the choices' in on.text
        await on.press("escape", "tab")
        assert on.here == "design.hem.depth"


async def test_a_choice_is_taken_by_one_sign_or_by_its_name(tmp_path: Path) -> None:
    """A number, a first letter or the whole word, and Enter; an arrow key begins again."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "9", *"faced", "enter")
        assert on.on_disk().designs[-1].hem.style == "faced"
        await on.press("up", *"99", "left", "enter")
        assert on.on_disk().designs[-1].hem.style == "double"
        await on.press("up", "1", "enter")
        assert on.on_disk().designs[-1].hem.style == "single"


@pytest.mark.parametrize(("key", "name"), [("f3", "F3 steps"), ("f9", "F9 write"), ("f5", "F5")])
@pytest.mark.parametrize("said", ["abc", "339"])  # no length, and one that looks like a slip
async def test_a_command_that_a_refused_answer_keeps_says_so(
    tmp_path: Path, key: str, name: str, said: str
) -> None:
    """What it waits for stands above the notes; after Esc the key works."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "2", "down")
        await on.answer(said)
        assert "waits" not in on.text
        before = on.text
        await on.press(key)
        assert on.app.screen is on.form
        assert on.text != before
        assert f"> {name}" in on.text
        assert "waits until this answer is taken, or dropped by Esc" in on.text
        await on.press("escape")
        assert "waits until this answer" not in on.text
        await on.press(key)
        assert on.app.screen is not on.form or key == "f5"


async def test_a_number_in_the_list_of_steps(tmp_path: Path) -> None:
    """A number goes there at once where no longer one begins with it; 1 waits for Enter."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "1", "1")
        assert on.step == "fitting"
        await on.press("f3", "1", "0")
        assert on.step == "pattern"
        await on.press("f3", "1")
        assert "Enter chooses 1; type on for 10 or 11." in on.text
        await on.press("enter")
        assert on.step == "project"


async def test_a_number_takes_nothing_away(tmp_path: Path) -> None:
    """Where the list can remove something, a number moves the cursor and Enter takes it."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "5", "f7", "2")
        assert "> " in next(line for line in on.text.splitlines() if "Remove Gray" in line)
        assert "Enter chooses 2." in on.text
        assert on.on_disk().liked
        await on.press("enter")
        assert not on.on_disk().liked


async def test_what_is_taken_back_is_said(tmp_path: Path) -> None:
    """F5 and F6 say the question with what was answered and what is now, or what was done."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "2", "down")
        await on.answer("34 in")
        await on.press("f5")
        assert "Taken back: Waist, 34 in; now 33 in." in on.text
        await on.press("f6")
        assert "Made again: Waist, 33 in; now 34 in." in on.text
        await on.press("f3", "5", "f7", "2", "enter", "f5")
        assert "Taken back: Remove Gray corduroys." in on.text
        await on.press("f3", "1", "1")
        await on.answer("today")
        await on.press("f5")
        assert "Taken back: Test printed or marked out" in on.text


async def test_the_first_page_begins_at_the_last_project_and_has_help(tmp_path: Path) -> None:
    """Where a project was open lately, Enter goes on with it; F1 tells what the page is for."""
    async with driving(example(tmp_path)) as on:
        await on.settle()
    async with driving(None) as on:
        await on.press("f1")
        assert "To begin, give the new project a name" in on.text
        await on.press("enter", "enter")
        assert on.step == "pattern"
