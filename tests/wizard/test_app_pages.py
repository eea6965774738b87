"""The pages around the form: the first one, writing the pattern files, leaving."""

from __future__ import annotations

import re
import threading
from pathlib import Path

import pytest
from app_driver import driving, example, fresh, go_to

from legtaper_wizard.flow import export_request as exporting
from legtaper_wizard.flow.command_table import commands_of
from legtaper_wizard.flow.session import Session
from legtaper_wizard.tui.layout.key_table import COMMANDS
from legtaper_wizard.tui.messages import WentTo
from legtaper_wizard.tui.screens.writing_screen import WritingScreen

pytestmark = pytest.mark.usefixtures("new_account")


async def test_files_that_are_there_are_not_written_over_unasked(tmp_path: Path) -> None:
    """Writing over needs a yes; another name is offered."""
    async with driving(example(tmp_path)) as on:
        there = tmp_path / "mine.svg"
        there.write_text("kept")
        await on.press("f9", "3", *["tab"] * 4)
        await on.answer("mine")
        await on.press("enter")
        assert "are there already" in on.text
        await on.press("3", "enter")
        assert there.read_text() == "kept"
        await on.press("f9", *["tab"] * 5, "enter", "2", "enter")
        await on.worked()
        assert there.read_text().startswith("<?xml")


async def test_the_form_that_writes_has_a_help(tmp_path: Path) -> None:
    """Each question of it with what may be chosen; closing it leaves the answers as they were."""
    async with driving(example(tmp_path)) as on:
        await on.press("f9", "3", "f1")
        assert "Help: Write the pattern files" in on.text.splitlines()[0]
        said = " ".join(on.text.split())
        for part in exporting.order_parts()[:3]:
            assert f"{part.field.label}. {' '.join(part.field.how.split())[:30]}" in said
            assert all(label in said for _, label in part.field.choices)
        await on.press("escape")
        assert "Write the pattern files" in on.text.splitlines()[0]
        assert "F1 help" in on.text.splitlines()[-1]


async def test_the_form_that_writes_says_how_many_sheets_it_takes(tmp_path: Path) -> None:
    """As it opens, and again for another leg; what is asked more stands below the buttons."""
    async with driving(example(tmp_path)) as on:
        await on.press("f9")
        await on.worked()
        assert re.search(
            r"Both legs take \d+ sheets of Letter, and 3 more to read.\n +The narrowed leg takes",
            on.text,
        )
        await on.press("tab", "1", "tab")
        await on.worked()
        assert re.search(
            r"narrowed leg takes \d+ sheets of Letter, and 2 more to read.\n +Both legs take \d+",
            on.text,
        )
        assert on.text.index("[ Write ]") < on.text.index("Narrowed leg")
        await on.press(*["tab"] * 11)
        assert "Round marks" in on.text


async def test_the_block_is_printed_from_any_later_step(tmp_path: Path) -> None:
    """F7 has it, and so has the list of all commands; it means the block as it is."""
    async with driving(example(tmp_path)) as on:
        await on.press("f7")
        number = re.search(r"(\d+)\W+Print the block", on.text)
        assert number
        await on.press(number[1], "enter")
        await on.worked()
        assert "The block as it is.\n" in on.text


async def test_how_to_sew_it_is_a_page(tmp_path: Path) -> None:
    """The text that the sheet prints."""
    async with driving(example(tmp_path)) as on:
        on.app.form.action_command("sewing")
        await on.press("home")
        assert "Add your own top, with its allowances" in on.text


async def test_writing_can_be_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Esc stops the writing between two pages; nothing half-written is left. Enter does not."""
    begun, go_on = threading.Event(), threading.Event()
    write = exporting.carry_out

    def slow(pattern: object, order: object, going: exporting.Going) -> object:
        def paused(done: int, pages: int) -> bool:
            if pages:
                begun.set()
                go_on.wait(5)
            return going(done, pages)

        return write(pattern, order, paused)  # type: ignore[arg-type]

    monkeypatch.setattr("legtaper_wizard.tui.screens.writing_screen.carry_out", slow)
    async with driving(example(tmp_path)) as on:
        await on.press("f9", "2", *["tab"] * 5, "enter")
        assert begun.wait(5)

        def stopped() -> bool:
            screen = on.app.screen
            assert isinstance(screen, WritingScreen)
            return screen._stop.is_set()

        await on.pilot.pause()
        await on.press("enter")  # one too many
        assert "Writing the pattern" in on.text
        assert not stopped()
        await on.press("escape")
        assert stopped()
        go_on.set()
        await on.worked()
        assert "Stopped" in on.text
        await on.press("enter")
        assert "Nothing was written." in on.text
    assert not list(tmp_path.glob("*.pdf"))


async def test_the_first_page_lists_recent_projects(tmp_path: Path) -> None:
    """A recent project is listed with its step, and Enter on it goes on with it."""
    async with driving(example(tmp_path)) as on:
        await on.settle()
    async with driving(None) as on:
        await on.settle()
        said = [line[32:].strip() for line in on.text.splitlines()]  # beside the name
        assert '"slim taper" is designed, round 2 not yet printed.' in " ".join(said)
        await on.press("enter")  # the cursor is on the last one
        assert on.step == "pattern"


async def test_the_example_can_be_tried(tmp_path: Path) -> None:
    """The first page makes a copy of the example and opens it."""
    async with driving(None) as on:
        await on.press(*["down"] * 3, "right", "right", "enter", "enter", "enter")
        assert on.step == "pattern"
    assert (tmp_path / "courier-example.toml").exists()


async def test_interrupting_a_page_goes_back_to_the_form(tmp_path: Path) -> None:
    """ctrl+c on a page over the form closes that page, and what was typed on it is kept."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "5", "f7", "1", "enter")
        await on.type("Old jeans")
        await on.press("ctrl+c")
        assert on.app.screen is on.form
        await on.press("f7", "1", "enter")
        assert on.app.screen.answer.value == "Old jeans"  # type: ignore[attr-defined]


async def test_interrupting_twice_leaves(tmp_path: Path) -> None:
    """ctrl+c says that everything is saved; once more, it leaves."""
    async with driving(fresh(tmp_path)) as on:
        await on.press("ctrl+c")
        assert "Everything is saved" in on.text
        assert on.app.is_running
        await on.press("ctrl+c")
    assert on.app.return_code == 0


async def test_the_narrowing_step_shows_which_hem_widths_work(tmp_path: Path) -> None:
    """F7 there leads to a table with a chart that keeps its columns; Enter leads back."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "6", "f7")
        number = re.search(r"(\d) +See which hem widths work", on.text)
        assert number is not None
        await on.press(number[1], "enter")
        await on.searched()
        assert re.search(r"17 1/2 +0 +none +1 1/4 ", on.text)
        assert "==========" in on.text
        await on.press("enter")
        assert on.app.screen is on.form


@pytest.mark.parametrize(
    ("command", "title"),
    [
        ("answers", "Name of the project: Courier"),
        ("designs", "Work on a design"),
        ("garments", "Go to a garment"),
        ("marks", "Design: slim taper"),
        ("hem-widths", "Which hem widths work"),
        ("settings", "paper: "),
    ],
)
async def test_what_has_no_key_is_in_the_list_of_all_commands(
    tmp_path: Path, command: str, title: str
) -> None:
    """It is chosen there, and shows what the line prompts tell."""
    async with driving(example(tmp_path)) as on:
        order = [one.id for one in commands_of("screen") if one.id != "all"]
        await on.press("ctrl+p", *["down"] * order.index(command), "enter")
        assert title in on.text


async def test_the_list_of_all_commands_has_keys_and_no_numbers(tmp_path: Path) -> None:
    """A number beside keys would look like one; elsewhere numbers choose."""
    async with driving(example(tmp_path)) as on:
        await on.press("ctrl+p")
        assert not re.search(r"^[> ] +\d+ ", on.text, re.MULTILINE)
        assert re.search(r"^[> ] +F3 ", on.text, re.MULTILINE)
        await on.press("escape", "f7")
        assert re.search(r"^[> ] +2 ", on.text, re.MULTILINE)


async def test_letters_find_a_command_by_the_words_that_are_shown(tmp_path: Path) -> None:
    """What has them is left, Esc shows all again, and what nothing has is told."""
    async with driving(example(tmp_path)) as on:
        await on.press("ctrl+p")
        assert "Letters find" in on.text
        whole = on.text
        await on.type("mark")
        assert 'With "mark": 2 of ' in on.text
        assert "> " + " " * 7 + "The marking table" in on.text
        assert "Which hem widths work" not in on.text
        await on.type("x")
        assert 'Nothing here has "markx", so Enter does nothing.' in on.text
        assert ">" not in on.text
        before = on.text
        await on.press("enter")
        assert on.text == before
        await on.press("backspace", "backspace", "backspace")
        assert 'With "ma": ' in on.text
        await on.press("escape")
        assert "Which hem widths work" in on.text
        assert on.text.splitlines()[0] == whole.splitlines()[0]
        await on.type("hem w")
        await on.press("enter")
        await on.searched()
        assert "Which hem widths work" in on.text.splitlines()[0]


async def test_a_proposed_name_follows_the_leg_and_a_typed_one_stays(tmp_path: Path) -> None:
    """From both legs to the narrowed one and on; also where the page is shown again."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown", "f9", "tab")
        assert "slim-taper-test\n" in on.text
        await on.type("narrowed")
        await on.press("enter")
        assert re.search(r"Name +\S*slim-taper\n", on.text)
        await on.press("escape", "f9")
        assert re.search(r"Name +\S*slim-taper\n", on.text)
        await on.press("tab")
        await on.type("as the block")
        await on.press("enter")
        assert re.search(r"Name +\S*example-block\n", on.text)
        await on.press("tab", "tab")
        await on.answer("mine")
        await on.press("up", "up", "up", "up")
        await on.type("narrowed")
        await on.press("enter")
        assert re.search(r"Name +mine\n", on.text)


async def test_a_paper_is_refused_beside_its_question_and_not_kept(tmp_path: Path) -> None:
    """Enter stays there with the reason below; Esc leaves, and the paper is what it was."""
    async with driving(example(tmp_path)) as on:
        await on.press("f9", "tab", "tab")
        was = on.app.screen.stop.said  # type: ignore[attr-defined]
        await on.answer("legl")
        lines = on.text.splitlines()
        at = next(number for number, line in enumerate(lines) if line.startswith("> Paper"))
        assert '! "legl" is not a paper known here' in lines[at + 1]
        await on.press("escape", "f9", "tab", "tab")
        assert "legl" not in on.text
        assert was
        assert on.app.screen.stop.said == was  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("sought", "words"),
    [
        ("undo", "Take the last change back"),
        ("take back", "Take the last change back"),
        ("redo", "Make the change again"),
        ("quit", "Stop; everything is saved"),
        ("export", "Write the pattern, or the test, to files"),
        ("dictionary", "What the words of the trade mean"),
    ],
)
async def test_a_command_is_found_by_its_name_and_by_other_words(
    tmp_path: Path, sought: str, words: str
) -> None:
    """What people call it elsewhere finds it first, and what does not match is not listed."""
    async with driving(example(tmp_path)) as on:
        await on.press("ctrl+p")
        await on.type(sought)
        pointed = next(line for line in on.text.splitlines() if line.startswith(">"))
        assert words in pointed
        await on.type("xx")
        assert "Nothing here has" in on.text
        assert words not in on.text
        await on.press("backspace", "backspace")
        assert words in on.text


async def test_every_command_is_found_by_its_name(tmp_path: Path) -> None:
    """Its own and the one in the line of keys leave it in the list, whatever its words are."""
    short = {one.id: one.short for one in COMMANDS}
    async with driving(example(tmp_path)) as on:
        for command in commands_of("screen"):
            for name in {command.id.replace("-", " "), short.get(command.id, "")} - {""}:
                if command.id != "all":
                    await on.press("ctrl+p")
                    await on.type(name)
                    assert f" {command.words}\n" in on.text, name
                    await on.press("escape", "escape")


async def test_in_a_numbered_list_letters_find_and_numbers_choose(tmp_path: Path) -> None:
    """A number still is the one that stands before an option, also while few are shown."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3")
        await on.type("fit")
        assert 'With "fit": 1 of 11.' in on.text
        await on.press("enter")
        assert on.step == "fitting"
        await on.press("f3", "6")
        assert on.step == "narrowing"
        await on.press("f3", "escape")
        assert on.app.screen is on.form


async def test_all_notes_are_of_what_is_typed_and_say_so(tmp_path: Path) -> None:
    """As those beside the form are; what is refused is told, too."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "6")
        await go_to(on, "design.width.hem")
        await on.press("f8")
        assert "not taken" not in on.text
        before = on.text
        await on.press("escape")
        await on.type("13 1/2")
        await on.press("f8")
        assert '"13 1/2" is typed and not taken yet' in on.text
        assert "The hem opens to 13 1/2 in" in on.text
        assert "The hem opens to 13 1/2 in" not in before
        await on.press("escape")
        assert on.form.pose.draft == "13 1/2"
        await on.press("escape")
        await on.type("wide")
        await on.press("f8")
        assert '"wide" is not taken, so this is of the answers without' in on.text
        assert "The hem opens to 13 1/2 in" not in on.text


async def test_every_command_is_done_by_the_screen(tmp_path: Path) -> None:
    """What the table has for this face is no fault, whichever it is."""
    for command in commands_of("screen"):
        if command.id in ("leave", "pause"):
            continue
        (tmp_path / command.id).mkdir()
        async with driving(example(tmp_path / command.id)) as on:
            on.form.action_command(command.id)
            await on.worked()
            assert on.app.fault is None, command.id


async def test_the_screen_opens_where_it_was_left(tmp_path: Path) -> None:
    """At the step and the question, also on another day."""
    session = example(tmp_path)
    async with driving(session) as on:
        on.app.hear(WentTo("wearer", "wearer.calf"))
        await on.settle()
    async with driving(Session.open(session.path)) as on:
        assert on.here == "wearer.calf"
