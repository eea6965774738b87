"""The wizard on the screen, by keyboard only: what is on disk first, then what is shown."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_driver import driving, example, fresh
from textual.events import Paste

from legtaper.files.project_file import read_project
from legtaper.files.store import load
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.session import Session
from legtaper_wizard.tui.screens.form_screen import FormScreen

WEARER = ("66", "33", "38.5", "40.5", "23.5", "15 1/4", "16 1/8", "14 1/4", "9", "12 5/8")
# Row by row from the hem up: the height, then outseam and inseam of front and back.
BLOCK = (
    "4 1/8", "4 1/8", "4 5/8", "4 5/8",
    "10.5", "", "", "", "",
    "17", "4 5/8", "4 5/8", "5 1/8", "5 1/8",
    "28.5", "", "", "", "",
    "29.5", "5 5/8", "6 3/4", "6 1/4", "8.5",
    "37.5", "5 7/8", "6 5/8",
    "",
)  # fmt: skip


pytestmark = pytest.mark.usefixtures("new_account")


async def test_the_whole_job_from_an_empty_project(tmp_path: Path) -> None:
    """From the first page to four files in under 250 keys, with the example's own numbers."""
    async with driving(None) as on:
        await on.answer("Courier", "", "", "", *WEARER)
        await on.press("pagedown")
        await on.answer("", *BLOCK)
        await on.press("pagedown", "right", "enter", "pagedown")
        await on.answer("Gray corduroys", "", "")
        for width in ("7.5", "", "9 1/4"):  # the whole leg alone, down its column
            await on.type(width)
            await on.press("down")
        await on.press("pagedown")
        await on.answer("", "5/8")
        await on.press("pagedown", "enter", "enter", "pagedown", "pagedown", "pagedown")
        assert on.step == "pattern"
        done = on.on_disk()
        await on.press("f9", "1", *["tab"] * 5, "enter")
        await on.app.workers.wait_for_complete()
        await on.pilot.pause()
        assert "The pattern is written" in on.text
        await on.press("enter", "f10")
    wanted = read_project(example_text("courier"))
    for name in ("height", "hip", "knee_bent", "foot_entry"):
        assert getattr(done.wearer, name).mm == getattr(wanted.wearer, name).mm
    for edge, lengths in wanted.block.reach.items():
        assert {k: v.mm for k, v in done.block.reach[edge].items()} == {
            k: v.mm for k, v in lengths.items()
        }
    assert done.block_test is not None
    assert done.block_test.verdict == "hangs clean"
    assert done.designs[0].take_in["hem"].mm == 15.875
    assert set(done.designs[0].blend) == {"outseam", "inseam"}
    names = sorted(file.name for file in tmp_path.glob("courier-first*"))
    assert [name.partition("test")[2] for name in names] == ["-marks.txt", ".dxf", ".pdf", ".svg"]
    assert next(tmp_path.glob("*.pdf")).read_bytes().startswith(b"%PDF")
    assert on.keys < 250


async def test_keys_that_come_all_at_once_keep_their_order() -> None:
    """What was typed ahead, through pages and all, does what it would have done key by key."""
    async with driving(None) as on:
        await on.blurt(*"Ahead", *["enter"] * 4, *"66", "enter", *"33x", "backspace", "tab")
        assert on.on_disk().wearer.height is not None
        await on.blurt(
            "f3", "1", "enter", "end", *"!", "enter", "f3", "3", *"mine", "tab", *"4.5", "tab"
        )
        assert on.on_disk().name == "Ahead!"
        assert on.on_disk().wearer.waist.text == "33 in"
        assert on.on_disk().block.label == "mine"
        assert on.on_disk().block.reach["front_outseam"]["hem"].text == "4.5 in"


async def test_an_answer_is_on_disk_before_it_is_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When the screen is drawn after an answer, the file says that answer already."""
    seen = []
    show = FormScreen.show

    def recorded(self: FormScreen, *args: object, **more: object) -> None:
        seen.append(load(tmp_path / "trial.toml").wearer.height)
        show(self, *args, **more)  # type: ignore[arg-type]

    async with driving(fresh(tmp_path)) as on:
        monkeypatch.setattr(FormScreen, "show", recorded)
        await on.answer("5 ft 6 in")
        assert [length and length.text for length in seen] == ["5 ft 6 in"]
        assert "Saved " in on.text


async def test_answers_stay_back_and_forth(tmp_path: Path) -> None:
    """Going back and on again changes nothing; the answers are shown again."""
    async with driving(fresh(tmp_path)) as on:
        await on.answer("66", "33")
        before = on.on_disk()
        await on.press("pagedown", "pageup", "pageup", "pagedown")
        assert on.on_disk() == before
        assert on.step == "wearer"
        assert "33 in" in on.text


async def test_it_opens_where_work_stopped(tmp_path: Path) -> None:
    """A project opens at the question that was answered last, where the line dropped."""
    async with driving(fresh(tmp_path)) as on:
        await on.answer("66")
        await on.press("pagedown")
        await on.answer("March")
    async with driving(Session.open(tmp_path / "trial.toml")) as on:
        assert (on.step, on.here) == ("block", "block.label")
        assert on.form.answer.value == "March"


async def test_leaving_a_question_takes_what_is_typed(tmp_path: Path) -> None:
    """Tab, the arrows and PgDn take a good answer as Enter does."""
    async with driving(fresh(tmp_path)) as on:
        await on.type("66")
        await on.press("tab")
        await on.type("33")
        await on.press("down")
        await on.type("39")
        await on.press("pagedown")
        wearer = on.on_disk().wearer
        assert [w and w.text for w in (wearer.height, wearer.waist, wearer.high_hip)] == [
            "66 in", "33 in", "39 in",
        ]  # fmt: skip
        assert on.step == "block"


async def test_undo_and_redo_go_where_the_change_was(tmp_path: Path) -> None:
    """F5 takes the last change back, also from another step, shows it and says so; F6 redoes."""
    async with driving(fresh(tmp_path)) as on:
        await on.answer("66", "33")
        await on.press("pagedown", "f5")
        assert on.on_disk().wearer.waist is None
        assert (on.step, on.here) == ("wearer", "wearer.waist")
        assert "Taken back: Waist, 33 in; now empty." in on.text
        await on.press("f5", "f6", "f6")
        assert on.on_disk().wearer.waist is not None
        assert "Made again: Waist; now 33 in." in on.text
        await on.press("f6")
        assert "nothing to make again" in on.text


async def test_what_is_typed_is_taken_before_undo(tmp_path: Path) -> None:
    """F5 on an answer that is not taken yet takes it first, so that F6 can bring it back."""
    async with driving(fresh(tmp_path)) as on:
        await on.type("66")
        await on.press("f5")
        assert on.on_disk().wearer.height is None
        await on.press("f6")
        assert on.on_disk().wearer.height is not None


async def test_the_echo_comes_at_once_and_the_outline_follows(tmp_path: Path) -> None:
    """Each key changes the echo; the outline and the widths change when the typing pauses."""
    async with driving(example(tmp_path), size=(120, 40)) as on:
        await on.press("f3", "6")
        assert on.step == "narrowing"
        await on.type("14")
        assert "14 in = 355.6 mm" in on.text
        assert "Hem    12" in on.text
        await on.settle()
        assert "Hem    14" in on.text
        assert on.on_disk().designs[-1].width["hem"].text == "12 in"


async def test_half_a_number_leaves_the_outline_where_the_typing_was(tmp_path: Path) -> None:
    """Where a fraction or unit is begun, the widths stay; not so for a number that is refused."""
    async with driving(example(tmp_path), size=(120, 40)) as on:
        await on.press("f3", "6")
        await on.type("14")
        await on.settle()
        await on.type(" 5")
        await on.settle()
        assert "Hem 17 1/2 in 14 in" in " ".join(on.text.split())
        await on.type("/8")
        await on.settle()
        assert "Hem 17 1/2 in 14 5/8 in" in " ".join(on.text.split())
        await on.press("ctrl+u")
        await on.type("140")
        await on.settle()
        assert "Hem 17 1/2 in 12 in" in " ".join(on.text.split())
        await on.press("ctrl+u")
        await on.type("14")
        await on.settle()
        await on.press("ctrl+u")
        await on.type("inch")
        await on.settle()
        assert "Hem 17 1/2 in 12 in" in " ".join(on.text.split())


async def test_arrow_keys_move_the_blend(tmp_path: Path) -> None:
    """Left and Right move a blend by 1/4 in, [ and ] by 1/8 in; one F5 takes the run back."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "7")
        await on.press("left", "left", "[")
        assert on.on_disk().designs[-1].blend["outseam"].text == "36 7/8 in"
        assert "36 7/8 in" in on.text
        await on.press("f5")
        assert on.on_disk().designs[-1].blend["outseam"].text == "37 1/2 in"
        assert "end of its range" not in on.text
        await on.press("right")
        assert on.on_disk().designs[-1].blend["outseam"].text == "37 1/2 in"
        assert "> It is at the end of its range and stays." in on.text
        await on.press("left")
        assert "end of its range" not in on.text


async def test_typing_on_a_blend_edits_it(tmp_path: Path) -> None:
    """Once something is typed on a blend, the arrow keys move the cursor in it."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "7")
        await on.type("36 in")
        await on.press("left", "left", "left", "backspace")
        await on.type("5")
        await on.press("enter")
        assert on.on_disk().designs[-1].blend["outseam"].text == "35 in"


async def test_choices_by_arrow_letter_and_number(tmp_path: Path) -> None:
    """A choice moves with the arrows, a letter or a number, and counts when it is taken."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "9")
        assert on.on_disk().designs[-1].hem.style == "double"
        await on.press("right")
        assert "(*) faced" in on.text
        assert on.on_disk().designs[-1].hem.style == "double"
        await on.press("s", "enter")
        assert on.on_disk().designs[-1].hem.style == "single"
        await on.press("up", "3", "tab")
        assert on.on_disk().designs[-1].hem.style == "faced"


async def test_a_changed_block_marks_its_test(tmp_path: Path) -> None:
    """Editing the block after its test keeps the test and marks it, also in the row of steps."""
    async with driving(example(tmp_path), size=(120, 40)) as on:
        await on.press("f3", "3", "down", "down")
        await on.answer("11", "")  # it is asked about
        assert on.on_disk().block_test is not None
        assert "[!]Test" in on.text
        await on.press("pagedown")
        assert "changed since it was tested" in on.text
        assert "The changed block is sewn and judged" in on.text


async def test_steps_that_wait_cannot_be_gone_to(tmp_path: Path) -> None:
    """The list of steps says why a step waits; PgDn passes over it and says so."""
    async with driving(fresh(tmp_path)) as on:
        await on.press("f3", "6")
        assert "waits for the block" in on.text
        await on.press("escape")
        assert on.step == "wearer"
        await on.press("pagedown", "pagedown")
        assert on.step == "liked"
        assert "Test of the block waits for the block." in on.text
        await on.press("pagedown")
        assert on.step == "liked"


async def test_like_a_garment(tmp_path: Path) -> None:
    """The button copies the widths of a liked garment into the design."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "6", *["down"] * 7, "enter")
        assert on.on_disk().designs[-1].width["hem"].text == "15 in"
        assert "Done: Take the widths of Gray corduroys." in on.text


async def test_another_garment_and_another_design(tmp_path: Path) -> None:
    """A garment can be added and gone to; a new design starts from the present one."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "5", "f7", "1", "enter")
        await on.answer("Old jeans")  # the one question of its page: Enter does it
        assert [liked.garment for liked in on.on_disk().liked] == ["Gray corduroys", "Old jeans"]
        assert on.here == "liked.1.measured"  # its name was asked already
        await on.press("f7", "5", "enter")
        assert on.here == "liked.0.garment"
        await on.press("f3", "6", "f7")
        await on.press(*["down"] * 1, "enter")
        await on.answer("third try")
        assert on.on_disk().designs[-1].name == "third try"


async def test_outline_and_reasons_turn_on_and_off(tmp_path: Path) -> None:
    """F2 goes through the pictures, F4 folds the reasons."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "7")
        assert "Front and back: " in on.text
        await on.press("f2")
        assert "Front: " in on.text
        await on.press("f2")
        assert "Back: " in on.text
        await on.press("f2")
        assert "dotted" not in on.text
        assert "The new seam runs" in on.text
        await on.press("f4")
        assert "The new seam runs" not in on.text


async def test_the_hem_close_up_states_its_magnification(tmp_path: Path) -> None:
    """The hem step draws fold and mirror, and says how many times larger the leaning is drawn."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "9")
        assert "hem line" in on.text
        assert "Leaning is drawn 7 times as large." in on.text


async def test_the_summary_leads_back(tmp_path: Path) -> None:
    """Enter on a line of the summary goes to its question."""
    async with driving(example(tmp_path)) as on:
        await on.press(*["tab"] * 9, "enter")
        assert (on.step, on.here) == ("wearer", "wearer.height")


async def test_a_paste_goes_to_one_line(tmp_path: Path) -> None:
    """Several lines pasted become one answer line, without control characters."""
    async with driving(fresh(tmp_path)) as on:
        on.form.answer.post_message(Paste("66\x1b[2J\nin\n"))
        await on.pilot.pause()
        assert on.form.answer.value == "66[2J in"
        assert on.here == "wearer.height"


async def test_a_paste_that_fits_no_question_is_told(tmp_path: Path) -> None:
    """Of a very long paste the first part is taken, and the page says so."""
    async with driving(fresh(tmp_path)) as on:
        on.form.take_paste("6" * 9000)
        await on.pilot.pause()
        assert len(on.form.answer.value) == 5000
        assert "Only the first 5000 letters were taken." in on.text


@pytest.mark.parametrize("size", [(60, 15), (20, 6), (5, 2)])
async def test_a_small_window_keeps_running(tmp_path: Path, size: tuple[int, int]) -> None:
    """A window under 80 x 24 is told so in one line, and answers still go in."""
    async with driving(fresh(tmp_path), size=size) as on:
        await on.answer("66")
        assert on.on_disk().wearer.height is not None
        if size[0] > 40:
            assert "Smaller than 80 x 24" in on.text
        await on.pilot.resize_terminal(120, 40)
        await on.pilot.pause()
        assert "Smaller" not in on.text
        assert "The outline grows here" in on.text


async def test_every_page_fits_every_small_size(tmp_path: Path) -> None:
    """No step and no page fails to draw while the window shrinks."""
    async with driving(example(tmp_path), size=(100, 30)) as on:
        for number in (*"23456789", "11", "10"):
            await on.press("f3", *number)
            for size in ((40, 10), (13, 4), (100, 30)):
                await on.pilot.resize_terminal(*size)
                await on.pilot.pause()
        for key in ("f1", "f3", "f7", "f8", "ctrl+p", "f9"):
            await on.press(key)
            await on.pilot.resize_terminal(30, 7)
            await on.pilot.pause()
            await on.press("down", "down", "escape")
            await on.pilot.resize_terminal(100, 30)
            await on.pilot.pause()
        assert on.step == "pattern"
