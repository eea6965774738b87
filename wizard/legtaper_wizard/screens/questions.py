"""What every page with questions does: one cursor, one line to answer on, the same keys."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.events import Resize
from textual.screen import Screen
from textual.widgets import Input

from legtaper_wizard.page.commands import nudged
from legtaper_wizard.page.form import Place
from legtaper_wizard.page.frame import LEAST
from legtaper_wizard.page.screenful import Means, Pose
from legtaper_wizard.page.stops import Stop
from legtaper_wizard.widgets.answer_line import AnswerLine
from legtaper_wizard.widgets.exact import ExactCompositor
from legtaper_wizard.widgets.lines import Lines
from legtaper_wizard.widgets.palette import palette

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

T = TypeVar("T")
Then = Callable[[], None]


class QuestionScreen(Screen[T]):
    """A page of stops. A subclass says which there are, how they look and what an answer does."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("tab", "move(1)", "Next", id="forward", show=False, priority=True),
        Binding("shift+tab", "move(-1)", "Before", id="backward", show=False, priority=True),
        Binding("down", "row(1)", "Down", id="down", show=False, priority=True),
        Binding("up", "row(-1)", "Up", id="up", show=False, priority=True),
    ]

    def __init__(self, look: Look, here: str) -> None:
        super().__init__()
        self.look = look
        self._compositor = ExactCompositor()
        colors = palette(look.color)
        self.canvas = Lines(colors, ascii_only=look.ascii_only)
        self.answer = AnswerLine(colors, ascii_only=look.ascii_only)
        self.means = Means(*LEAST, look.ascii_only or not look.braille)
        self.pose = Pose(here)

    # --- what a subclass says ----------------------------------------------------------------

    @property
    def stops(self) -> Sequence[Stop]:
        """The stops, in their order."""
        raise NotImplementedError

    @property
    def frozen(self) -> bool:
        """Whether nothing can be changed."""
        return False

    def draw(self) -> None:
        """Show everything as it is now."""
        raise NotImplementedError

    def draw_typed(self) -> None:
        """Show what is typed, and what it would be understood as."""
        self.draw()

    def understand(self, stop: Stop, text: str) -> tuple[str, bool]:
        """Return what a text would be understood as, or why not, and whether it is."""
        raise NotImplementedError

    def take(self, stop: Stop, text: str, then: Then) -> None:
        """Take an answer, and do `then` once it is taken."""
        raise NotImplementedError

    def press(self, stop: Stop) -> None:
        """Do what a button or a line does."""
        raise NotImplementedError

    def nudge(self, stop: Stop, by: int, fine: bool) -> None:
        """Move an answer with the arrow keys; here there is none to move."""

    # --- Textual -----------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        """Yield the page and the line to answer on, which stands on it."""
        yield self.canvas
        yield self.answer

    def on_mount(self) -> None:
        """Take the keys."""
        self.ask()
        self.answer.focus()

    def on_resize(self, event: Resize) -> None:
        """Draw for the new size."""
        self.means = replace(self.means, width=event.size.width, height=event.size.height)
        self.draw()

    # --- the answer line ---------------------------------------------------------------------

    @property
    def stop(self) -> Stop:
        """The stop under the cursor."""
        found = (stop for stop in self.stops if stop.id == self.pose.here)
        return next(found, self.stops[0])

    def stand(self, place: Place | None, x: int, y: int) -> None:
        """Put the answer line where the cursor is; `x` and `y` are the corner of the form."""
        if place is None:
            return
        if place.glyph != self.answer.glyph:
            self.ask()
        self.answer.stand(x + place.x, y + place.line, place.width)

    def ask(self) -> None:
        """Set the answer line to the stop under the cursor."""
        stop = self.stop
        if stop.kind == "button":
            self.answer.point("[")
        elif stop.field is None or stop.field.kind == "choice":
            self.answer.point(">")
        else:
            said = stop.said if self.pose.draft is None else self.pose.draft
            self.answer.ask(said, arrows=nudged(stop) and not self.frozen, frozen=self.frozen)
            self.answer.placeholder = stop.field.placeholder

    @on(AnswerLine.Typed)
    def _typed(self, event: AnswerLine.Typed) -> None:
        self.try_out(event.text)

    def try_out(self, text: str) -> None:
        """Show at once what a text would be understood as."""
        stop = self.stop
        live, fine = self.understand(stop, text)
        if stop.field and stop.field.kind == "choice":
            live = f"Enter takes it: {live}." if live else "Enter takes the choice away."
        elif not text.strip() and stop.said:
            live = "Enter takes this answer away."
        draft = None if text == stop.said else text
        self.pose = replace(self.pose, draft=draft, live=live, fine=fine, refused="", told="")
        self.draw_typed()

    @on(AnswerLine.Pressed)
    def _pressed(self, event: AnswerLine.Pressed) -> None:
        """Take a key on a pointer, or one that moves the answer."""
        stop, key = self.stop, event.key
        if self.frozen and stop.kind == "question":
            self.refuse_change()
        elif nudged(stop):
            ways = {"left": -1, "-": -1, "[": -1, "right": 1, "+": 1, "]": 1}
            if key in ways:
                self.nudge(stop, ways[key], key in "[]")
        elif stop.field and stop.field.kind == "choice":
            self._choose(stop, key)
        elif stop.kind == "button" and key in ("left", "right"):
            self.action_move(1 if key == "right" else -1)

    def refuse_change(self) -> None:
        """Say why nothing can be changed."""

    def _choose(self, stop: Stop, key: str) -> None:
        """Choose by arrow, number or first letter."""
        choices = stop.field.choices if stop.field else ()
        values = [value for value, _ in choices]
        said = stop.said if self.pose.draft is None else self.pose.draft
        usual = stop.field.placeholder if stop.field else ""
        now = said or usual
        at = values.index(now) if now in values else -1
        if key in ("left", "right", " "):
            self.try_out(values[max(0, min(at + (-1 if key == "left" else 1), len(values) - 1))])
        elif key == "clear":
            self.try_out("")
        elif key.isdigit() and 1 <= int(key) <= len(values):
            self.try_out(values[int(key) - 1])
        else:
            found = [v for v, label in choices if label.lower().startswith(key.lower())]
            if found:
                self.try_out(found[(found.index(now) + 1) % len(found) if now in found else 0])

    @on(Input.Submitted)
    def _enter(self, event: Input.Submitted) -> None:
        event.stop()
        stop = self.stop
        if stop.kind != "question":
            self.leave(lambda: self.press(stop))
        elif self._takes_usual(stop) and stop.field:
            self.take(stop, stop.field.placeholder, self.go_on)
        else:
            self.leave(self.go_on)

    def _takes_usual(self, stop: Stop) -> bool:
        free = self.pose.draft is None and not stop.said and not self.frozen
        return free and stop.field is not None and stop.field.takes_placeholder

    # --- moving ------------------------------------------------------------------------------

    def leave(self, then: Then) -> None:
        """Have what is typed taken first; where it cannot be, the cursor stays."""
        if self.pose.draft is None:
            then()
        else:
            self.take(self.stop, self.pose.draft, then)

    def refuse(self, why: str) -> None:
        """Say beside the question why its answer was not taken; what is typed stays."""
        self.pose = replace(self.pose, refused=why)
        self.draw_typed()

    def go(self, stop_id: str) -> None:
        """Put the cursor on a stop."""
        told = self.pose.told if stop_id == self.pose.here else ""
        self.pose = replace(self.pose, here=stop_id, draft=None, live="", refused="", told=told)
        self.ask()
        self.draw()

    def beside(self, by: int) -> str:
        """Return the id of the stop so many places on, at most the first or the last."""
        ids = [stop.id for stop in self.stops]
        return ids[max(0, min(ids.index(self.stop.id) + by, len(ids) - 1))]

    def go_on(self) -> None:
        """Put the cursor on the next stop."""
        self.go(self.beside(1))

    def action_move(self, by: int) -> None:
        """Go to the next stop, or the one before."""
        self.leave(lambda: self.go(self.beside(by)))

    def action_row(self, by: int) -> None:
        """Go one row down or up."""
        self.action_move(by)
