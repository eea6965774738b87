"""A page of questions over the form whose other lines follow from what is answered."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.binding import BindingType

from legtaper_wizard.flow.steps import AnswerError
from legtaper_wizard.tui.layout.form_lines import Looks, lay_out
from legtaper_wizard.tui.layout.frame import BESIDE
from legtaper_wizard.tui.layout.notes_panel import HintRoom, hint_lines
from legtaper_wizard.tui.layout.picture import Room
from legtaper_wizard.tui.layout.plain_page import more_lines, sheet
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import Line, width
from legtaper_wizard.tui.messages import Then
from legtaper_wizard.tui.screens.page_screen import key
from legtaper_wizard.tui.screens.question_screen import QuestionScreen

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

T = TypeVar("T")
DO, STOP = "do", "stop"
_HINTS = 3
_FORM = 78  # columns of the questions where a picture stands beside them


class LivePage(QuestionScreen[T | None]):
    """Asks; the result is what `done` makes of the answers, or nothing where she goes back."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape", "close", "Back", "live.close"),
        key("f1", "help", "Help", "live.help"),
        key("pagedown,ctrl+n", "end", "To the end", "live.end"),
        key("pageup,ctrl+y", "first", "To the first question", "live.first"),
    ]

    def __init__(self, look: Look, title: str, button: str, here: str) -> None:
        self._title = title
        self._ways = (Stop(DO, "button", button), Stop(STOP, "button", "Cancel"))
        super().__init__(look, here)

    # --- what a subclass says ----------------------------------------------------------------

    @abstractmethod
    def questions(self) -> Sequence[Stop]:
        """Return the questions with their answers."""

    @abstractmethod
    def head(self) -> list[Line]:
        """Return the lines above the questions."""

    @abstractmethod
    def echo(self, key: str, text: str) -> str:
        """Say what a text would be understood as. Raises `AnswerError`."""

    @abstractmethod
    def keep(self, key: str, text: str) -> None:
        """Keep an answer. Raises `AnswerError`."""

    @abstractmethod
    def done(self) -> T:
        """Return the result. Raises `AnswerError` naming the question to answer else."""

    def echoes(self) -> Mapping[str, str]:
        """Return what stands beside the answers."""
        return {}

    def marks(self) -> Mapping[str, str]:
        """Return the signs before answers that look like a slip."""
        return {}

    def side(self, room: Room) -> list[Line]:  # noqa: ARG002  a page without a picture needs none
        """Return a picture that stands beside the questions where there is room."""
        return []

    # --- the page ----------------------------------------------------------------------------

    @property
    def stops(self) -> Sequence[Stop]:
        """The questions and the two buttons."""
        return (*self.questions(), *self._ways)

    def draw(self) -> None:
        """Show the page."""
        means, pose, head = self.means, self.pose, self.head()
        down = means.height - 3 - len(head)
        side = self._side(down)
        wide = _FORM if side else means.width
        echoes = dict(self.echoes())
        looks = Looks(wide, pose.here, pose.draft, pose.refused, echoes, self.marks(), means.more)
        layout = lay_out(self.stops, looks)
        live = "" if pose.draft is None or pose.refused else pose.live
        hints = hint_lines(self.stop, live, (), HintRoom(wide, _HINTS))
        room = max(down - 1 - _HINTS, 1)
        top = layout.first_line(pose.here, pose.top, room)
        self.pose = pose._replace(top=top)
        rows = layout.shown(top, room)
        hidden = len(layout.lines) - top - len(rows)
        below = _next_to([*rows, (), *(((" ", ""), *line) for line in hints)], side, wide)
        keys = [
            *self.keys_in(layout),
            ("F1", "help"),
            ("PgDn", "to the end"),
            *([] if self.only_pointed else [("Esc", "back")]),
        ]
        keys += more_lines(top, hidden)
        page = sheet(self._title, [*head, *below], keys, means)
        self.canvas.show(page, means.width, means.height)
        self.stand(layout, 0, 2 + len(head))

    def _side(self, down: int) -> list[Line]:
        """Return the picture, where the page is wide enough for one."""
        across = self.means.width - _FORM - 2
        if self.means.width < BESIDE:
            return []
        return self.side(Room(across, down, self.means.ascii_only))

    def understand(self, stop: Stop, text: str) -> tuple[str, bool]:
        """Return what a text would be understood as."""
        if stop.field is None or not text.strip():
            return "", True
        try:
            return self.echo(stop.id, text.strip()), True
        except AnswerError as error:
            return str(error), False

    def take(self, stop: Stop, text: str, then: Then) -> None:
        """Keep an answer, or say why not."""
        try:
            self.keep(stop.id, text)
        except AnswerError as error:
            self.refuse(str(error))
        else:
            then()

    def press(self, stop: Stop) -> None:
        """Hand over what comes of the answers, or go back."""
        if stop.id == STOP:
            self.action_close()
            return
        try:
            result = self.done()
        except AnswerError as error:
            known = [old.id for old in self.stops]
            self.go(error.key if error.key in known else known[0])
            self.refuse(str(error))
        else:
            self.dismiss(result)

    def action_help(self) -> None:
        """Show what is asked here."""
        self.show_help(self._title)

    def action_end(self) -> None:
        """Go to the button that agrees: who changes nothing need not pass every number."""
        self.leave(lambda: self.go(DO))

    def action_first(self) -> None:
        """Go back to the first question."""
        self.leave(lambda: self.go(self.stops[0].id))

    def action_close(self) -> None:
        """Go back; what was taken is kept for the next time, what is pointed at is dropped."""
        if self.only_pointed:
            self.action_as_answered()
        else:
            self.dismiss(None)


def _next_to(rows: list[Line], side: list[Line], x: int) -> list[Line]:
    """Return rows with others beside them, from column `x`."""
    rows = rows + [()] * (len(side) - len(rows))
    for y, line in enumerate(side):
        blanks: Line = ((" " * max(0, x + 1 - width(rows[y])), ""),)
        rows[y] = (*rows[y], *blanks, *line)
    return rows
