"""The one line where answers are typed. It stands on whatever question the cursor is on."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar, NamedTuple

from rich.segment import Segment
from textual.binding import Binding, BindingType
from textual.events import Paste
from textual.strip import Strip
from textual.widgets import Input
from textual.widgets.input import Selection

from legtaper.model.safe_text import clean
from legtaper_wizard.tui.widgets.palette import Palette

LONGEST = 5000
"""Characters; how many of them a question takes is for the question to say."""

_EDITING = (
    ("left", "cursor_left", "left"),
    ("right", "cursor_right", "right"),
    ("shift+left", "cursor_left(True)", "select-left"),
    ("shift+right", "cursor_right(True)", "select-right"),
    ("ctrl+left", "cursor_left_word", "word-left"),
    ("ctrl+right", "cursor_right_word", "word-right"),
    ("home,ctrl+a", "home", "home"),
    ("end,ctrl+e", "end", "end"),
    ("backspace", "delete_left", "delete-left"),
    ("delete,ctrl+d", "delete_right", "delete-right"),
    ("ctrl+w", "delete_left_word", "delete-word"),
    ("ctrl+u", "delete_left_all", "delete-to-start"),
    ("ctrl+k", "delete_right_all", "delete-to-end"),
    ("ctrl+x", "cut", "cut"),
    ("ctrl+v", "paste", "paste"),
)


class Asked(NamedTuple):
    """How a text is asked for.

    arrows: the arrow keys are passed on until something is typed. cell: they are passed on where
    they lead out of the text. frozen: nothing can be typed.
    """

    arrows: bool = False
    cell: bool = False
    frozen: bool = False


_PLAINLY = Asked()


class AnswerLine(Input, inherit_bindings=False, inherit_css=False):
    """An input that can also be only a pointer, where the cursor is on a choice or a button.

    Text that is not changed yet stands selected: what is typed replaces it. `typed` is called
    with the text after each change by the person, `pressed` for a key that types nothing here: a
    character, "left", "right", "clear", or "frozen" where nothing may be changed.

    Its keys are priority bindings, and characters come through `take_key`: so every key is dealt
    with before the next one, however fast they come.
    """

    COMPONENT_CLASSES: ClassVar[set[str]] = Input.COMPONENT_CLASSES  # styled in `wizard.tcss`
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(keys, action, action, id=f"edit.{name}", show=False, priority=True)
        for keys, action, name in _EDITING
    ]

    def __init__(
        self,
        palette: Palette,
        *,
        ascii_only: bool,
        typed: Callable[[str], None],
        pressed: Callable[[str], None],
    ) -> None:
        super().__init__(compact=True, select_on_focus=False, max_length=LONGEST)
        self.cursor_blink = False
        self._palette = palette
        self._ascii = ascii_only
        self._typed = typed
        self._pressed = pressed
        self._glyph = ""
        self._how = _PLAINLY
        self._again = False

    def ask(self, text: str, how: Asked = _PLAINLY) -> None:
        """Stand where text is typed, with this text."""
        self._glyph, self._how, self._again = "", how, False
        with self.prevent(Input.Changed):
            self.value = clean(text, LONGEST)
        self.selection = Selection(0, len(self.value))
        self._show_all()
        self.refresh()

    def ask_again(self) -> None:
        """Select what is typed: typing replaces it, the arrow keys change it."""
        self._again = True
        self.selection = Selection(0, len(self.value))

    def point(self, glyph: str) -> None:
        """Stand where something is chosen or pressed, as one character."""
        self.ask("")
        self._glyph = glyph
        self.refresh()

    def stand(self, x: int, y: int, width: int) -> None:
        """Stand at a place of the screen; nothing is laid out again where that is the same."""
        if (self.styles.offset.x.value, self.styles.offset.y.value) != (x, y):
            self.styles.offset = (x, y)
        if self.styles.width is None or self.styles.width.value != width:
            self.styles.width = width
        self._show_all()

    def _show_all(self) -> None:
        """Where text that is not changed yet just fits, have it shown from its first character.

        The cursor behind its end would need a column more and push the first one out.
        """
        wide = int(self.styles.width.value) if self.styles.width else 0
        if self._whole and 0 < wide <= len(self.value):
            self.selection = Selection(len(self.value), 0)

    @property
    def glyph(self) -> str:
        """What points, "" where something is typed."""
        return self._glyph

    # --- keys ----------------------------------------------------------------------------------

    def take_key(self, character: str) -> None:
        """Take a printable key."""
        moves = "[]+-" if self._whole else "[]"
        if self._glyph or (self._moves and character in moves):
            self._pressed(character)
        else:
            self.replace(character, *self.selection)

    def take_paste(self, text: str) -> None:
        """Take a paste as one line, without control characters."""
        line = clean(text.strip(), LONGEST)
        if line and not self._glyph:
            self.replace(line, *self.selection)

    def replace(self, text: str, start: int, end: int) -> None:
        """Change the text, where it can be changed; on a pointer a deletion clears the choice."""
        if self._glyph or self._how.frozen:
            self._pressed("clear" if self._glyph else "frozen")
            return
        before = self.value
        with self.prevent(Input.Changed):
            super().replace(text, start, end)
        if self.value != before:
            self._typed(self.value)

    def _on_paste(self, event: Paste) -> None:
        """Leave a paste to `take_paste`, which the app calls in the order of the keys."""
        event.prevent_default()

    @property
    def _whole(self) -> bool:
        """Whether the text is as it was asked for, selected as a whole."""
        return abs(self.selection.end - self.selection.start) == len(self.value)

    def action_cursor_left(self, select: bool = False) -> None:
        """Move the cursor, or what it stands on."""
        if not self._sideways("left", select):
            super().action_cursor_left(select)

    def action_cursor_right(self, select: bool = False) -> None:
        """Move the cursor, or what it stands on."""
        if not self._sideways("right", select):
            super().action_cursor_right(select)

    @property
    def _moves(self) -> bool:
        """Whether keys move the answer: not once it was refused, for then they edit it."""
        return self._how.arrows and not self._again

    def _sideways(self, key: str, select: bool) -> bool:
        """Pass an arrow key on where it moves the answer, or leads out of a cell."""
        whole = self._whole and not self._again
        edge = 0 if key == "left" else len(self.value)
        out = whole or (self.selection.is_empty and self.cursor_position == edge)
        moves = bool(self._glyph) or (self._moves and whole) or (self._how.cell and out)
        if moves and not (select and self._how.cell):
            self._pressed(key)
            return True
        return False

    def restricted(self) -> None:
        """Nothing rings here."""

    # --- drawing -------------------------------------------------------------------------------

    def render_line(self, y: int) -> Strip:
        """Return the line; in ASCII what has no letter there shows as a question mark."""
        if self._glyph:
            style = self._palette["strong" if self._glyph == ">" else "focus"]
            return Strip([Segment(self._glyph, style)]).adjust_cell_length(self.size.width)
        strip = super().render_line(y)
        if not self._ascii or self.value.isascii():
            return strip
        return Strip([Segment(_letters(s.text), s.style, s.control) for s in strip])


def _letters(text: str) -> str:
    return "".join(c if c.isascii() else "?" for c in text)
