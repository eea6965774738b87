"""The page that asks which outline of a drawing is which panel, with small pictures of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from legtaper.model.cancel import Cancelled
from legtaper.model.safe_text import clean, columns, fit
from legtaper_wizard.flow.import_flow import KEYS, Sheet
from legtaper_wizard.flow.steps import AnswerError
from legtaper_wizard.tui.layout.drawing_figures import thumbnail
from legtaper_wizard.tui.layout.picture import Room
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import Line, plain, put, wrap
from legtaper_wizard.tui.messages import Then
from legtaper_wizard.tui.screens.live_page import LivePage
from legtaper_wizard.tui.screens.slow_ask import READING, STOPPED, see_through

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

_WIDEST = 22  # columns of a small picture
_TALL = 7
_TALLER = 14


class OutlinesScreen(LivePage[Sheet]):
    """Hands over the drawing with what was said about it, once a block can be made of it."""

    def __init__(self, look: Look, drawing: Sheet, here: str = KEYS["front"]) -> None:
        self.drawing = drawing
        title = f"Which outline is which: {clean(drawing.path.name, 60)}"
        super().__init__(look, title, "Go on: corners and levels", here)

    def questions(self) -> Sequence[Stop]:
        """Return what is asked about the drawing."""
        said = self.drawing.said
        return [
            Stop(field.key, "question", field.label, getattr(said, field.key), field)
            for field in self.drawing.fields()
        ]

    def head(self) -> list[Line]:
        """Return the outlines as small pictures with number, name and size."""
        shown = self.drawing.outlines
        wide = min(_WIDEST, (self.means.width - 2) // len(shown))
        tall = _TALLER if self.means.height >= 34 else _TALL
        room = Room(wide - 2, tall, self.means.ascii_only)
        rows: list[Line] = [()] * (tall + 3)
        for number, one in enumerate(shown, 1):
            roles = [name for name in KEYS if self._meant(KEYS[name]) == one.id]
            picture = thumbnail(one, room, bool(roles))
            words = [
                f"{number}: {_end_of(clean(one.id, 200), wide - 5, self.means.more)}",
                self.drawing.size(one),
                " and ".join(roles).upper(),
            ]
            x = 1 + (number - 1) * wide
            for y, line in enumerate(picture):
                rows[y] = put(rows[y], x, "", "")
                blanks: Line = ((" " * (x - _wide(rows[y])), ""),)
                rows[y] = (*rows[y], *blanks, *line)
            for y, text in enumerate(words, tall):
                style = "strong" if y == tall + 2 else ""
                rows[y] = put(rows[y], x, fit(text, wide - 1, self.means.more), style)
        more = self.drawing.left_out
        said = f"{more} smaller outlines of the drawing are not shown." if more else ""
        return [*rows, *(plain(f" {row}", "dim") for row in wrap(said, self.means.width - 2))]

    def _meant(self, key: str) -> str:
        """Return the outline that is chosen, or is about to be."""
        if self.pose.here == key and self.pose.draft is not None:
            return self.pose.draft
        return str(getattr(self.drawing.said, key))

    def echo(self, key: str, text: str) -> str:
        """Say what an answer would be understood as."""
        return self.drawing.echo(key, text)

    def take(self, stop: Stop, text: str, then: Then) -> None:
        """Keep an answer; where the drawing is read again for it, that can be stopped."""
        if stop.id != "scale":
            super().take(stop, text, then)
            return
        drawing = self.drawing

        def over(read: Callable[[], Sheet]) -> None:
            try:
                self.drawing = read()
            except Cancelled:
                self.refuse(f"{STOPPED} again")
            except AnswerError as error:
                self.refuse(str(error))
            else:
                then()

        words = (self._title, READING)
        see_through(self, words, lambda going: drawing.answered(stop.id, text, going), over)

    def keep(self, key: str, text: str) -> None:
        """Keep what is said about the drawing."""
        self.drawing = self.drawing.answered(key, text)

    def done(self) -> Sheet:
        """Return the drawing, where a block comes of it."""
        self.drawing.proposed()
        return self.drawing


def _wide(line: Line) -> int:
    return sum(columns(text) for text, _ in line)


def _end_of(name: str, room: int, more: str) -> str:
    """Return a name, or its end where it is too long: names of one drawing often begin alike."""
    return name if columns(name) <= room else more + name[len(more) - room :]
