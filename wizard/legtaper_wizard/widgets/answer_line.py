"""The one line where answers are typed. It stands on whatever question the cursor is on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rich.segment import Segment
from textual import events
from textual.binding import BindingType
from textual.message import Message
from textual.strip import Strip
from textual.widgets import Input
from textual.widgets.input import Selection

from legtaper.plain_text import clean
from legtaper_wizard.widgets.palette import Palette

_LONGEST = 5000  # characters; what a question takes is for the question to say


class AnswerLine(Input):
    """An input that can also be only a pointer, where the cursor is on a choice or a button.

    Text that is not changed yet stands selected: what is typed replaces it.
    """

    BINDINGS: ClassVar[list[BindingType]] = []

    @dataclass
    class Typed(Message):
        """The text was changed by the person."""

        text: str

    @dataclass
    class Pressed(Message):
        """A key on a pointer: a printable character, "left", "right" or "clear"."""

        key: str

    def __init__(self, palette: Palette, *, ascii_only: bool) -> None:
        super().__init__(compact=True, select_on_focus=False, max_length=_LONGEST)
        self.cursor_blink = False
        self._palette = palette
        self._ascii = ascii_only
        self._glyph = ""
        self._arrows = False
        self._frozen = False

    def ask(self, text: str, *, arrows: bool = False, frozen: bool = False) -> None:
        """Stand where text is typed, with this text.

        arrows: the arrow keys are passed on until something is typed. frozen: nothing can be.
        """
        self._glyph, self._arrows, self._frozen = "", arrows, frozen
        with self.prevent(Input.Changed):
            self.value = clean(text, _LONGEST)
        self.selection = Selection(0, len(self.value))
        self.refresh()

    def point(self, glyph: str) -> None:
        """Stand where something is chosen or pressed, as one character."""
        self.ask("")
        self._glyph = glyph
        self.refresh()

    def stand(self, x: int, y: int, width: int) -> None:
        """Stand at a place of the screen; nothing is laid out anew where that is the same."""
        if (self.styles.offset.x.value, self.styles.offset.y.value) != (x, y):
            self.styles.offset = (x, y)
        if self.styles.width is None or self.styles.width.value != width:
            self.styles.width = width

    @property
    def glyph(self) -> str:
        """What points, "" where something is typed."""
        return self._glyph

    def render_line(self, y: int) -> Strip:
        """Return the line; in ASCII what has no letter there shows as a question mark."""
        if self._glyph:
            style = self._palette["strong" if self._glyph == ">" else "focus"]
            return Strip([Segment(self._glyph, style)]).adjust_cell_length(self.size.width)
        strip = super().render_line(y)
        if not self._ascii or self.value.isascii():
            return strip
        return Strip([Segment(_letters(s.text), s.style, s.control) for s in strip])

    async def _on_key(self, event: events.Key) -> None:
        if event.is_printable and event.character and (self._glyph or self._passes(event)):
            event.stop()
            event.prevent_default()
            self.post_message(self.Pressed(event.character))
        elif event.is_printable and self._frozen:
            event.stop()
            event.prevent_default()
            self.post_message(self.Pressed("frozen"))
        else:
            await super()._on_key(event)

    def _passes(self, event: events.Key) -> bool:
        """Whether a key moves something instead of being typed."""
        moves = "[]+-" if self._whole else "[]"
        return self._arrows and event.character is not None and event.character in moves

    @property
    def _whole(self) -> bool:
        """Whether the text is as it was asked for, selected as a whole."""
        return abs(self.selection.end - self.selection.start) == len(self.value)

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        text = clean(event.text.strip(), _LONGEST)
        if text and not self._glyph and not self._frozen:
            self.replace(text, *self.selection)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Pass on what was typed."""
        event.stop()
        self.post_message(self.Typed(self.value))

    def action_cursor_left(self, select: bool = False) -> None:
        """Move the cursor, or what it stands on."""
        if not self._sideways("left"):
            super().action_cursor_left(select)

    def action_cursor_right(self, select: bool = False) -> None:
        """Move the cursor, or what it stands on."""
        if not self._sideways("right"):
            super().action_cursor_right(select)

    def _sideways(self, key: str) -> bool:
        moves = bool(self._glyph) or (self._arrows and self._whole)
        if moves:
            self.post_message(self.Pressed(key))
        return moves

    def replace(self, text: str, start: int, end: int) -> None:
        """Change the text, where it can be changed; on a pointer a deletion clears the choice."""
        if self._glyph or self._frozen:
            self.post_message(self.Pressed("clear" if self._glyph else "frozen"))
        else:
            super().replace(text, start, end)

    def restricted(self) -> None:
        """Nothing rings here."""


def _letters(text: str) -> str:
    return "".join(c if c.isascii() else "?" for c in text)
