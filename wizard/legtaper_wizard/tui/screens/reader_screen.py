"""Pages that tell something, and pages that ask for one of several things."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.message import Message

from legtaper.model.project import ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.tui.layout.plain_page import Keys, more_lines, sheet
from legtaper_wizard.tui.layout.styled_text import Line, wrap
from legtaper_wizard.tui.screens.page_screen import PageScreen, key

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

T = TypeVar("T")

AS_IT_IS = "    "
"""What a row of a reader's text begins with that is drawn and not written: it is not wrapped."""


_FEW = 6  # options that are seen without looking for one
_WORD = re.compile(r"[^\W_]+(?:[-/'.][^\W_]+)*")


class LinesScreen(PageScreen[T]):
    """A page without questions."""

    def __init__(self, look: Look, title: str) -> None:
        super().__init__(look)
        self.heading = clean(title, 200)

    def compose(self) -> ComposeResult:
        """Yield the page."""
        yield self.canvas

    def show(self, body: Sequence[Line], keys: Keys) -> None:
        """Show a body below the title."""
        lines = sheet(self.heading, body, keys, self.means)
        self.canvas.show(lines, self.means.width, self.means.height)


class Scrolled(LinesScreen[None]):
    """A page whose lines may be more than fit; a subclass says what is drawn."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("down", "scroll(1)", "Down", "scroll.down"),
        key("up", "scroll(-1)", "Up", "scroll.up"),
        key("pagedown", "page(1)", "Page down", "scroll.page-down"),
        key("pageup", "page(-1)", "Page up", "scroll.page-up"),
    ]

    def __init__(self, look: Look, title: str) -> None:
        super().__init__(look, title)
        self.top = 0

    def show_from_top(self, rows: Sequence[str], keys: Keys, more: Keys) -> None:
        """Show the rows from the top one on; `more` are keys where some are hidden below."""
        room = max(self.means.height - 3, 1)
        self.top = max(0, min(self.top, len(rows) - room))
        hidden = len(rows) - self.top - room
        below = [*more, ("", f"{hidden} more lines")] if hidden > 0 else []
        shown = rows[self.top : self.top + room]
        self.show([((" ", ""), (row, "")) for row in shown], [*keys, *below])

    def action_scroll(self, by: int) -> None:
        """Scroll by lines."""
        self.top += by
        self.draw()

    def action_page(self, by: int) -> None:
        """Scroll by a screenful less one line."""
        self.action_scroll(by * max(self.means.height - 4, 1))

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)


class Reader(Scrolled):
    """Shows text that may be longer than the screen."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape,enter,f1,f8", "close", "Close", "reader.close"),
    ]

    def __init__(self, look: Look, title: str, text: str) -> None:
        super().__init__(look, title)
        self._text = text

    def draw(self) -> None:
        """Show the lines from the top one on."""
        across = min(self.means.width - 2, 96)
        rows = [
            row
            for part in self._text.split("\n")
            for row in ([part] if part.startswith(AS_IT_IS) else wrap(part, across) or [""])
        ]
        self.show_from_top(rows, [("Enter", "close"), ("Up/Down PgUp/PgDn", "scroll")], ())

    def take_key(self, character: str) -> None:
        """Scroll on with the space bar."""
        if character == " ":
            self.action_page(1)


class SearchedReader(Reader):
    """Shows text that takes a while to find; no key waits for it."""

    @dataclass
    class Found(Message):
        """The text, from the thread that searches."""

        text: str

    def __init__(self, look: Look, title: str, waits: str, search: Callable[[], str]) -> None:
        """Show what `waits` says until `search` returns the text."""
        super().__init__(look, title, waits)
        self._search = search

    def on_mount(self) -> None:
        """Begin to search."""
        super().on_mount()
        self.run_worker(self._find, thread=True, exit_on_error=False)

    def _find(self) -> None:
        try:
            text = self._search()
        except ProjectError as error:
            text = f"Not searched: {error}."
        self.post_message(self.Found(text))

    def on_searched_reader_found(self, event: Found) -> None:
        """Show what was found."""
        self._text = event.text
        self.draw()


@dataclass(frozen=True, slots=True)
class Option:
    """Something to choose. `why_not` says why it cannot be chosen now; more: lines below it.

    also: other words that find it. takes_away: whether something is lost by it, so that a slip of
    the finger must not choose it.
    """

    id: str
    text: str
    key: str = ""
    why_not: str = ""
    more: str = ""
    also: str = ""
    takes_away: bool = False


class Pick(LinesScreen[str | None]):
    """Asks for one of several things; the answer is its id, or nothing.

    A number chooses at once, as soon as no longer one begins with it; where an option takes
    something away it only moves the cursor. In a list of keys nothing is numbered. Letters leave
    only the options that have them, best at the beginning of a word; Enter chooses among those.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape", "close", "Back", "pick.close"),
        key("enter", "choose", "Choose", "pick.choose"),
        key("down,tab", "move(1)", "Down", "pick.down"),
        key("up,shift+tab", "move(-1)", "Up", "pick.up"),
        key("pagedown", "move(8)", "Page down", "pick.page-down"),
        key("pageup", "move(-8)", "Page up", "pick.page-up"),
        key("backspace", "erase", "Take a letter back", "pick.erase"),
    ]

    def __init__(
        self, look: Look, title: str, intro: str, options: Sequence[Option], here: str = ""
    ) -> None:
        super().__init__(look, title)
        self._intro = intro
        self._options = list(options)
        ids = [option.id for option in options]
        self._at = ids.index(here) if here in ids else 0
        self._numbered = not any(option.key for option in options)
        self._refused = self._typed = ""
        self._sought = self._missed = ""

    def replace(self, option: Option) -> None:
        """Show more of an option than was known before."""
        self._options = [option if old.id == option.id else old for old in self._options]
        self.draw()

    def draw(self) -> None:
        """Show the options around the one the cursor is on."""
        across = min(self.means.width - 2, 96)
        intro = [*wrap(self._intro, across), *wrap(self._told, across)]
        body: list[Line] = [((" ", ""), (row, "")) for row in intro]
        body += [()] if body else []
        rows: list[Line] = []
        where = 0
        for number in () if self._missed else self._found(self._sought):
            if number == self._at:
                where = len(rows)
            rows += self._rows(number, self._options[number], across)
        room = max(self.means.height - 3 - len(body), 1)
        top = max(0, min(where - room // 2, len(rows) - room))
        self.show([*body, *rows[top : top + room]], self._keys(top, len(rows) - top - room))

    def _rows(self, number: int, option: Option, across: int) -> list[Line]:
        here = number == self._at and not self._missed
        key = f"{number + 1:>4} " if self._numbered else f"{option.key:>6} "
        style = "focus" if here else "dim" if option.why_not else ""
        head: Line = (("> " if here else "  ", "strong"), (key, "strong"))
        left = len(key) + 2
        texts = wrap(option.text, across - left) or [""]
        rows: list[Line] = [(*head, (texts[0], style))]
        rows += [((" " * left, ""), (text, style)) for text in texts[1:]]
        more = self._refused if here and self._refused else option.more
        style = "fail" if here and self._refused else "dim"
        told = wrap(more, across - left - 2)
        return rows + [((" " * (left + 2), ""), (text, style)) for text in told]

    @property
    def _told(self) -> str:
        """Say what is looked for, what nothing was found for, and what a number waits for."""
        if self._typed:
            longer = self._longer(self._typed)
            some = " or ".join(longer) if len(longer) <= _FEW else f"{longer[0]} to {longer[-1]}"
            return f"Enter chooses {self._typed}{f'; type on for {some}' if longer else ''}."
        if self._missed:
            none = f'Nothing here has "{clean(self._missed, 40)}"'
            return f"{none}, so Enter does nothing. Esc shows all."
        if not self._sought:
            return ""
        found = len(self._found(self._sought))
        return f'With "{clean(self._sought, 40)}": {found} of {len(self._options)}. Esc shows all.'

    def _longer(self, typed: str) -> list[str]:
        """Return the numbers of options that begin with one and are longer."""
        numbers = [str(i) for i in range(1, len(self._options) + 1)]
        return [number for number in numbers if number.startswith(typed) and number != typed]

    def _found(self, sought: str) -> list[int]:
        """Return the places of the options that have what is typed, all where nothing is."""
        texts = [
            " ".join((" ", *_WORD.findall(f"{option.text} {option.also}".lower())))
            for option in self._options
        ]
        words = [f" {word}" for word in sought.split()]
        for parts in ([f" {sought}"], words, [sought]):
            found = [i for i, text in enumerate(texts) if all(part in text for part in parts)]
            if found:
                return found
        return []

    def _keys(self, above: int, below: int) -> Keys:
        keys = [("Enter", "choose"), ("Up/Down", "move"), ("Esc", "back")]
        if len(self._options) > _FEW:
            keys.insert(2, ("Letters", "find"))
        return [*keys, *more_lines(above, below)]

    def action_move(self, by: int) -> None:
        """Go to another option, among those that are shown."""
        shown = self._found(self._sought)
        at = shown.index(self._at) if self._at in shown else 0
        self._go_to(shown[max(0, min(at + by, len(shown) - 1))] if shown else 0)

    def _go_to(self, number: int) -> None:
        self._at = number
        self._refused = self._typed = self._missed = ""
        self.draw()

    def action_erase(self) -> None:
        """Look for what is typed without its last letter."""
        self._seek((self._missed or self._sought)[:-1])

    def _seek(self, sought: str) -> None:
        """Show what has the letters, with the cursor on the first; where nothing has, say so."""
        found = self._found(sought)
        if found:
            self._sought = sought
            self._go_to(found[0] if sought else self._at)
        else:
            self._missed = sought
            self.draw()

    def action_choose(self) -> None:
        """Answer with the option under the cursor; none is where nothing has what is typed."""
        if not self._options or self._missed:
            return
        option = self._options[self._at]
        if option.why_not:
            self._refused = option.why_not
            self.draw()
        else:
            self.dismiss(option.id)

    def take_key(self, character: str) -> None:
        """Go to the option of a number, and choose it where that can do no harm; else look for it.

        In a list that is searched a figure is part of what is looked for.
        """
        before = self._missed or self._sought
        if before or not (self._numbered and character.isdecimal()):
            self._seek((before + character.lower()).lstrip())
            return
        numbers = [str(i) for i in range(1, len(self._options) + 1)] if self._numbered else []
        for typed in (self._typed + character, character):
            if typed in numbers:
                self._go_to(numbers.index(typed))
                harmless = not any(option.takes_away for option in self._options)
                if harmless and not self._longer(typed):
                    self.action_choose()
                else:
                    self._typed = typed
                    self.draw()
                return

    def action_close(self) -> None:
        """Show all options again; where they are, go back without a choice."""
        if self._sought or self._missed:
            self._seek("")
        else:
            self.dismiss(None)
