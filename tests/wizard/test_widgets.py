"""The canvas sends what changed and no more; the answer line takes keys in their order."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_driver import PLAIN_LOOK, driving, example
from rich.style import Style
from textual.app import App, ComposeResult
from textual.screen import Screen

from legtaper_wizard.terminal import Look
from legtaper_wizard.tui.layout.styled_text import Line
from legtaper_wizard.tui.widgets.exact import ExactCompositor
from legtaper_wizard.tui.widgets.lines import Lines
from legtaper_wizard.tui.widgets.palette import palette

WIDE, TALL = 40, 6


class CanvasScreen(Screen[None]):
    """One canvas on a screen with exact updates."""

    def __init__(self, *, ascii_only: bool = False) -> None:
        super().__init__()
        self._compositor = ExactCompositor()
        self.canvas = Lines(palette("16"), ascii_only=ascii_only)

    def compose(self) -> ComposeResult:
        """Yield the canvas."""
        yield self.canvas


class CanvasApp(App[None]):
    """Keeps what would be written to the terminal."""

    CSS = "Lines { width: 100%; height: 100%; }"

    def __init__(self, *, ascii_only: bool = False) -> None:
        super().__init__(ansi_color=True)
        self.first = CanvasScreen(ascii_only=ascii_only)
        self.sent: list[str] = []

    def get_default_screen(self) -> Screen[None]:
        """Return the screen with the canvas."""
        return self.first

    def _display(self, _: Screen[object], renderable: object) -> None:
        if hasattr(renderable, "render_segments"):
            self.sent.append(renderable.render_segments(self.console))


def rows(*texts: str) -> list[Line]:
    """Return plain lines."""
    return [((text, ""),) for text in texts]


async def sent_for(before: list[Line], after: list[Line], *, ascii_only: bool = False) -> str:
    """Return what is written when a canvas goes from one content to another."""
    app = CanvasApp(ascii_only=ascii_only)
    async with app.run_test(size=(WIDE, TALL)) as pilot:
        app.first.canvas.show(before, WIDE, TALL)
        await pilot.pause()
        app.sent.clear()
        app.first.canvas.show(after, WIDE, TALL)
        await pilot.pause()
    return "".join(app.sent)


async def test_only_changed_cells_are_sent() -> None:
    """Of a line that changes near its end, only that end is sent, at its place."""
    sent = await sent_for(
        rows("one", "the knee is 17 in wide"), rows("one", "the knee is 18 in wide")
    )
    assert sent.startswith("\x1b[2;14H")
    assert "8" in sent
    assert "knee" not in sent
    assert "one" not in sent


async def test_two_changes_in_a_line_are_sent_apart() -> None:
    """Two changes far apart in one line leave out what lies between them."""
    sent = await sent_for(rows("a" + "-" * 30 + "b"), rows("c" + "-" * 30 + "d"))
    assert "----" not in sent
    assert sent.count("H") == 2


async def test_the_same_again_sends_nothing() -> None:
    """Showing what is shown already writes nothing."""
    assert await sent_for(rows("same", "lines"), rows("same", "lines")) == ""


async def test_a_changed_style_is_a_change() -> None:
    """The same text in another style is sent again."""
    assert "\x1b[1" in await sent_for([(("new", ""),)], [(("new", "strong"),)])


async def test_wide_characters_keep_their_columns() -> None:
    """What follows a character of two columns is found at its own column."""
    sent = await sent_for(rows("裤子 17"), rows("裤子 18"))
    assert sent.startswith("\x1b[1;7H")


async def test_ascii_canvas_sends_ascii() -> None:
    """With letters only, accents and fractions are written with letters."""
    sent = await sent_for(rows(""), rows("Café 2½"), ascii_only=True)
    assert "Cafe 2 1/2" in sent
    assert sent.isascii()


async def test_markup_in_a_text_is_text() -> None:
    """Square brackets style nothing."""
    assert "[bold]x[/]" in await sent_for(rows(""), rows("[bold]x[/]"))


def test_without_color_no_style_has_one() -> None:
    """For NO_COLOR nothing but bold, dim and reverse is left; names are the same."""
    plain, colored = palette("none"), palette("16")
    assert set(plain) == set(colored)
    assert all(style.color is None and style.bgcolor is None for style in plain.values())
    assert all(style.bgcolor is None for style in colored.values())


def test_colors_are_the_terminal_s_own() -> None:
    """Only colors of the sixteen are used, so that they suit the background she has chosen."""
    styles = [style for style in palette("full").values() if style.color]
    assert styles
    assert all(style.color is not None and style.color.number in range(16) for style in styles)
    assert Style.null() in palette("full").values()


async def test_what_is_typed_replaces_the_selected_answer(tmp_path: Path) -> None:
    """An answer stands selected: typing replaces it, an arrow key keeps it for editing."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "2")
        await on.type("66")
        assert on.form.answer.value == "66"
        await on.press("tab", "left", "end")
        await on.type("!")
        assert on.form.answer.value == "33 in!"


@pytest.mark.parametrize("look", [PLAIN_LOOK, Look(True, False, "none", False)])
async def test_letters_that_cannot_be_shown_are_question_marks(tmp_path: Path, look: Look) -> None:
    """Where only letters can be shown, what is typed beyond them shows as ?, and stays itself."""
    async with driving(example(tmp_path), look=look) as on:
        await on.press("f3", "1", "enter")
        await on.type("Café")
        strip = on.form.answer.render_line(0).text
        assert strip.startswith("Caf?" if look.ascii_only else "Café")
        assert on.form.answer.value == "Café"
