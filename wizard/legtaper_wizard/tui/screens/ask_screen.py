"""A page that asks a few questions at once and goes back with their answers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType

from legtaper_wizard.flow.steps import AnswerError, Field
from legtaper_wizard.tui.layout.form_lines import Looks, Place, lay_out
from legtaper_wizard.tui.layout.key_table import keys_here
from legtaper_wizard.tui.layout.notes_panel import hint_lines
from legtaper_wizard.tui.layout.styled_text import Line, wrap
from legtaper_wizard.tui.layout.tab_stops import Stop
from legtaper_wizard.tui.messages import Then
from legtaper_wizard.tui.screens.page_screen import key
from legtaper_wizard.tui.screens.question_screen import QuestionScreen
from legtaper_wizard.tui.screens.reader_screen import sheet

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

Answers = tuple[str, ...]
Echo = Callable[[Field, str], str]
"""Says what a text would be understood as. Raises `AnswerError`."""

_DO, _STOP = "do", "stop"


class Ask(QuestionScreen[Answers | None]):
    """Asks the questions; `take` is given the answers and may refuse them with `AnswerError`.

    The result is the answers that were taken, or nothing.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape", "close", "Back", "ask.close"),
    ]

    def __init__(
        self, look: Look, words: tuple[str, str, str], fields: Sequence[Field], said: Answers = ()
    ) -> None:
        """Words are the title, what is to be known before, and the name of the button."""
        self._title, self._intro, button = words
        given = (*said, *[""] * len(fields))
        questions = [
            Stop(field.key, "question", field.label, text, field)
            for field, text in zip(fields, given, strict=False)
        ]
        ways = (Stop(_DO, "button", button), Stop(_STOP, "button", "Cancel"))
        self._stops: tuple[Stop, ...] = (*questions, *ways)
        self.echo: Echo = lambda _, text: text
        self.check: Callable[[Answers], object] = lambda _: None
        super().__init__(look, self._stops[0].id)

    def begin_at(self, here: str) -> None:
        """Put the cursor on a question before the page is shown; "" leaves it on the first."""
        if here in [stop.id for stop in self._stops]:
            self.pose = replace(self.pose, here=here)

    @property
    def stops(self) -> tuple[Stop, ...]:
        """The questions and the two buttons."""
        return self._stops

    @property
    def answers(self) -> Answers:
        """What is answered so far."""
        return tuple(stop.said for stop in self._stops if stop.kind == "question")

    @property
    def typed(self) -> Answers:
        """What is answered so far, and what is typed and not taken yet."""
        draft = self.pose.draft or ""
        here = self.pose.here if draft else ""
        return tuple(
            draft if stop.id == here else stop.said
            for stop in self._stops
            if stop.kind == "question"
        )

    def draw(self) -> None:
        """Show the page."""
        means, pose = self.means, self.pose
        across = min(means.width - 2, 96)
        intro: list[Line] = [((" ", ""), (row, "")) for row in wrap(self._intro, across)]
        intro += [()] if intro else []
        looks = Looks(means.width, pose.here, pose.draft, pose.refused, more=means.more)
        layout = lay_out(self._stops, looks)
        live = "" if pose.draft is None or pose.refused else pose.live
        hints = hint_lines(self.stop, live, (), (means.width, 3))
        room = max(means.height - 4 - len(intro) - 4, 1)
        top = layout.first_line(pose.here, pose.top, room)
        self.pose = replace(pose, top=top)
        body = [*intro, *layout.shown(top, room), (), *(((" ", ""), *line) for line in hints)]
        keys = [*keys_here(self.stop), ("Esc", "back")]
        lines = sheet(self._title, body, keys, means)
        self.canvas.show(lines, means.width, means.height)
        place = layout.places.get(pose.here)
        moved = place and Place(place.line - top, place.x, place.width, place.glyph)
        self.stand(moved, 0, 2 + len(intro))

    def understand(self, stop: Stop, text: str) -> tuple[str, bool]:
        """Return what a text would be understood as."""
        if stop.field is None or not text.strip():
            return "", True
        try:
            return self.echo(stop.field, text), True
        except AnswerError as error:
            return str(error), False

    def take(self, stop: Stop, text: str, then: Then) -> None:
        """Keep an answer; whether all of them serve is seen at the end."""
        live, fine = self.understand(stop, text)
        if not fine:
            self.refuse(live)
            return
        self._stops = tuple(
            replace(old, said=text.strip()) if old.id == stop.id else old for old in self._stops
        )
        then()

    def press(self, stop: Stop) -> None:
        """Hand over the answers, or go back."""
        if stop.id == _STOP:
            self.dismiss(None)
            return
        try:
            self.check(self.answers)
        except AnswerError as error:
            known = [old.id for old in self._stops]
            self.go(error.key if error.key in known else known[0])
            self.refuse(str(error))
        else:
            self.dismiss(self.answers)

    def action_close(self) -> None:
        """Go back; nothing was changed."""
        self.dismiss(None)
