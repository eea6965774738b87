"""A page that asks a few questions at once and goes back with their answers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.message import Message

from legtaper_wizard.flow.steps import AnswerError, Field
from legtaper_wizard.tui.layout.form_lines import Looks, lay_out
from legtaper_wizard.tui.layout.notes_panel import HintRoom, hint_lines
from legtaper_wizard.tui.layout.plain_page import more_lines, sheet
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import Line, wrap
from legtaper_wizard.tui.messages import Then
from legtaper_wizard.tui.screens.page_screen import key
from legtaper_wizard.tui.screens.question_screen import QuestionScreen

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

Answers = tuple[str, ...]
Echo = Callable[[Field, str], str]
"""Says what a text would be understood as. Raises `AnswerError`."""

Aside = Callable[[Answers], str]
"""Says in lines what is to be known of the answers; it may take a while, so a thread asks it."""

Follow = Callable[[Answers, Answers], Answers]
"""Returns the answers with what follows from the one just taken, given those before and now."""

_DO, _STOP = "do", "stop"
_WORKING = "..."


def in_words(field: Field, text: str) -> str:
    """Say an answer as it is typed, a choice by its label."""
    return dict(field.choices).get(text, text)


class Ask(QuestionScreen[Answers | None]):
    """Asks the questions; `check` is given the answers and may refuse them with `AnswerError`.

    The result is the answers that were taken, or nothing. `later` of the questions stand below
    the buttons: who goes down from the first to the first button does not pass them.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape", "close", "Back", "ask.close"),
        key("f9", "do_it", "Do it", "ask.do"),
        key("f1", "help", "Help", "ask.help"),
    ]

    @dataclass
    class Told(Message):
        """What is to be known of some answers, from the thread that worked it out."""

        answers: Answers
        text: str

    def __init__(
        self,
        look: Look,
        words: tuple[str, str, str],
        fields: Sequence[Field],
        said: Answers = (),
        later: int = 0,
    ) -> None:
        """Words are the title, what is to be known before, and the name of the button."""
        self.title_said, self._intro, button = words
        given = (*said, *[""] * len(fields))
        questions = [
            Stop(field.key, "question", field.label, text, field)
            for field, text in zip(fields, given, strict=False)
        ]
        self._button = button
        ways = (Stop(_DO, "button", button), Stop(_STOP, "button", "Cancel"))
        first = len(questions) - later
        self._stops: tuple[Stop, ...] = (*questions[:first], *ways, *questions[first:])
        self.aside: Aside | None = None
        self._told: tuple[Answers, str] = ((), "")
        self.echo: Echo = in_words
        self.check: Callable[[Answers], object] = lambda _: None
        self.follow: Follow = lambda _, now: now
        self.goes_on = False  # whether Enter at a question that is the only one does it
        super().__init__(look, self._stops[0].id)

    def on_mount(self) -> None:
        """Show the page, and begin to work out what is to be known of the answers."""
        super().on_mount()
        self._look_up()

    def _look_up(self) -> None:
        if self.aside is not None and self._told[0] != self.answers:
            self.run_worker(self._work_out, thread=True, exclusive=True, exit_on_error=False)

    def _work_out(self) -> None:
        """Ask in a thread of its own, so that no key waits."""
        answers = self.answers
        if self.aside is not None:
            self.post_message(self.Told(answers, self.aside(answers)))

    def on_ask_told(self, event: Told) -> None:
        """Show it, unless the answers are others by now."""
        if event.answers == self.answers:
            self._told = (event.answers, event.text)
            self.draw()

    @property
    def _known(self) -> str:
        """What is to be known before, and of the answers as they are."""
        if self.aside is None:
            return self._intro
        answers, text = self._told
        return f"{self._intro}\n{text if answers == self.answers else _WORKING}".strip()

    def begin_at(self, here: str) -> None:
        """Put the cursor on a question before the page is shown; "" leaves it on the first."""
        if here in [stop.id for stop in self._stops]:
            self.pose = self.pose._replace(here=here)

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
        """What is answered so far, and what is typed and neither taken nor refused yet."""
        draft = "" if self.pose.refused else self.pose.draft or ""
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
        intro: list[Line] = [
            ((" ", ""), (row, ""))
            for line in self._known.splitlines()
            for row in wrap(line, across)
        ]
        intro += [()] if intro else []
        looks = Looks(means.width, pose.here, pose.draft, pose.refused, more=means.more)
        layout = lay_out(self._stops, looks)
        live = "" if pose.draft is None or pose.refused else pose.live
        hints = hint_lines(self.stop, live, (), HintRoom(means.width, 3))
        room = max(means.height - 4 - len(intro) - 4, 1)
        top = layout.first_line(pose.here, pose.top, room)
        self.pose = pose._replace(top=top)
        body = [*intro, *layout.shown(top, room), (), *(((" ", ""), *line) for line in hints)]
        keys = [*self.keys_in(layout), ("F1", "help")]
        keys += [] if self.only_pointed else [("Esc", "back")]
        if self._goes_at_once:
            keys.insert(-1, ("F9", self._button[:1].lower() + self._button[1:]))
        hidden = len(layout.lines) - top - room
        keys += more_lines(top, hidden)
        lines = sheet(self.title_said, body, keys, means)
        self.canvas.show(lines, means.width, means.height)
        self.stand(layout, 0, 2 + len(intro))

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
        asked = [old.id for old in self._stops if old.kind == "question"]
        before = dict(zip(asked, self.answers, strict=True))
        now = before | {stop.id: text.strip()}
        followed = self.follow(tuple(before.values()), tuple(now.values()))
        said = dict(zip(asked, followed, strict=True))
        self._stops = tuple(old._replace(said=said.get(old.id, old.said)) for old in self._stops)
        self._look_up()
        then()

    def press(self, stop: Stop) -> None:
        """Hand over the answers, or go back."""
        if self.is_way_back(stop):
            self.dismiss(None)
        else:
            self.hand_over(lambda: self.check(self.answers))

    def go_on(self) -> None:
        """Go to the next stop; or do it, where that is the way on and all that is asked is said."""
        asked = [stop for stop in self._stops if stop.kind == "question"]
        if self.goes_on and asked == [self.stop] and self.stop.said:
            self.press(next(stop for stop in self._stops if stop.id == _DO))
        else:
            super().go_on()

    @property
    def _goes_at_once(self) -> bool:
        """Whether it can be done as it stands: each question needs no answer, or has one."""
        return all(
            stop.said or (stop.field and stop.field.optional and stop.field.if_skipped)
            for stop in self._stops
            if stop.kind == "question"
        )

    def action_do_it(self) -> None:
        """Do what the page is for, with the answers as they stand and what is typed."""
        button = next((stop for stop in self.stops if stop.id == _DO), None)
        if button is not None:
            self.leave(lambda: self.press(button))

    def action_help(self) -> None:
        """Show on one page what is asked here, and what may be answered."""
        self.show_help(self.title_said, self._intro)

    def is_way_back(self, stop: Stop) -> bool:
        """Whether a stop is the button that goes back."""
        return stop.id == _STOP

    def hand_over(self, check: Callable[[], object]) -> None:
        """Go back with the answers, unless `check` refuses them."""
        try:
            check()
        except AnswerError as error:
            known = [old.id for old in self._stops]
            self.go(error.key if error.key in known else known[0])
            self.refuse(str(error))
        else:
            self.dismiss(self.answers)

    def action_close(self) -> None:
        """Go back; nothing was changed. What is only pointed at is dropped first."""
        if self.only_pointed:
            self.action_as_answered()
        else:
            self.dismiss(None)
