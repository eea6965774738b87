"""What every page with questions does: one cursor, one line to answer on, the same keys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.binding import BindingType

from legtaper.model.safe_text import clean
from legtaper_wizard.tui.layout.form_lines import Layout
from legtaper_wizard.tui.layout.key_table import keys_here, nudged
from legtaper_wizard.tui.layout.plain_page import Pose
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.messages import Then
from legtaper_wizard.tui.screens.page_screen import PageScreen, key
from legtaper_wizard.tui.widgets.answer_line import LONGEST, AnswerLine, Asked
from legtaper_wizard.tui.widgets.palette import palette

if TYPE_CHECKING:
    from legtaper_wizard.flow.shapes import Field
    from legtaper_wizard.terminal import Look

T = TypeVar("T")


def help_with(field: Field) -> str:
    """Say in one paragraph what a question asks, what may be chosen, and what is so without."""
    options = [label for _, label in field.choices]
    parts = [f"{field.label}.", field.how]
    parts += [f"One of: {'; '.join(options)}."] if options else []
    parts += [f"If you skip it: {field.if_skipped}."] if field.if_skipped else []
    return " ".join(filter(None, parts))


class QuestionScreen(PageScreen[T]):
    """A page of stops. A subclass says which there are, how they look and what an answer does."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("enter", "enter", "Take", "take"),
        key("tab", "move(1)", "Next", "forward"),
        key("shift+tab", "move(-1)", "Before", "backward"),
        key("down", "row(1)", "Down", "down"),
        key("up", "row(-1)", "Up", "up"),
        key("escape", "as_answered", "What is typed goes", "as-answered"),
    ]

    def __init__(self, look: Look, here: str) -> None:
        super().__init__(look)
        self.answer = AnswerLine(
            palette(look.color),
            ascii_only=look.ascii_only,
            typed=self.try_out,
            pressed=self._pressed,
        )
        self.pose = Pose(here)
        self._layout = Layout((), {})  # what is shown
        self._aim: int | None = None  # column that Up and Down keep to, row after row
        self._keyed = ""  # what is typed where something is chosen
        self._walked = False  # whether Up and Down pointed at what is not taken yet
        self._over = False  # whether the next sign typed there begins over
        self._astray = False  # whether something was typed where nothing is asked

    def keys_in(self, layout: Layout) -> list[tuple[str, str]]:
        """Return the keys that work on the stop under the cursor, and what they do."""
        listed = layout.lists(self.pose.here)
        return keys_here(self.stop, listed=listed, pointed=self.only_pointed)

    # --- what a subclass says ----------------------------------------------------------------

    @property
    def stops(self) -> Sequence[Stop]:
        """The stops, in their order."""
        raise NotImplementedError

    @property
    def frozen(self) -> bool:
        """Whether nothing can be changed."""
        return False

    def in_table(self, stop: Stop) -> bool:  # noqa: ARG002  most pages have no table
        """Whether a stop is a cell of a table that is shown as one."""
        return False

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

    def show_help(self, title: str, intro: str = "") -> None:
        """Show on one page what is asked here, and what may be answered."""
        from legtaper_wizard.tui.screens.reader_screen import Reader

        asked = [help_with(stop.field) for stop in self.stops if stop.field]
        text = "\n\n".join(filter(None, (intro, *asked)))
        self.app.push_screen(Reader(self.look, f"Help: {title}", text))

    # --- Textual -----------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        """Yield the page and the line to answer on, which stands on it."""
        yield self.canvas
        yield self.answer

    def on_mount(self) -> None:
        """Take the keys."""
        self.ask()
        self.set_focus(self.answer)
        super().on_mount()

    def take_key(self, character: str) -> None:
        """Take a printable key."""
        self.answer.take_key(character)

    def take_paste(self, text: str) -> None:
        """Take a paste as one answer, and say where it was too much for one."""
        if self.stop.kind != "question" and text.strip():
            self._went_astray()
            return
        self.answer.take_paste(text)
        if len(text) > LONGEST:
            self.pose = self.pose._replace(told=f"Only the first {LONGEST} letters were taken.")
            self.draw()

    # --- the answer line ---------------------------------------------------------------------

    @property
    def stop(self) -> Stop:
        """The stop under the cursor."""
        found = (stop for stop in self.stops if stop.id == self.pose.here)
        return next(found, self.stops[0])

    @property
    def laid_out(self) -> Layout:
        """How the stops stand to each other."""
        return self._layout

    def stand(self, layout: Layout, x: int, y: int) -> None:
        """Put the answer line where the cursor is; `x` and `y` are the corner of the form."""
        self._layout = layout
        place = layout.places.get(self.pose.here)
        if place is None:
            return
        place = place.moved(-self.pose.top)
        if place.glyph != self.answer.glyph:
            self.ask()
        self.answer.stand(x + place.x, y + place.line, place.width)

    def ask(self) -> None:
        """Set the answer line to the stop under the cursor."""
        stop, self._keyed, self._over, self._walked = self.stop, "", False, False
        self._astray = False
        if stop.kind == "button":
            self.answer.point("[")
        elif stop.field is None or stop.field.kind == "choice":
            self.answer.point(">")
        else:
            said = stop.said if self.pose.draft is None else self.pose.draft
            moves = nudged(stop) and not self.frozen
            self.answer.ask(said, Asked(moves, self.in_table(stop), self.frozen))
            self.answer.placeholder = stop.field.placeholder

    def try_out(self, text: str) -> None:
        """Show at once what a text would be understood as."""
        stop = self.stop
        live, fine = self.understand(stop, text)
        if stop.field and stop.field.kind == "choice":
            live = f"Enter takes it: {live}." if live else "Enter takes the choice away."
            live = f'"{clean(self._keyed, 40)}": {live}' if self._keyed else live
        elif not text.strip() and stop.said:
            live = "Enter takes this answer away."
        draft = None if text == stop.said else text
        self.pose = self.pose._replace(draft=draft, live=live, fine=fine, refused="", told="")
        self.draw_typed()

    def _pressed(self, key: str) -> None:
        """Take a key on a pointer, or one that moves the answer."""
        stop = self.stop
        if stop.kind != "question" and len(key) == 1:
            self._went_astray()
        elif self.frozen and stop.kind == "question":
            self.refuse_change()
        elif nudged(stop):
            ways = {"left": -1, "-": -1, "[": -1, "right": 1, "+": 1, "]": 1}
            if key in ways:
                self.nudge(stop, ways[key], key in "[]")
        elif stop.field and stop.field.kind == "choice":
            self._choose(stop, key)
        elif stop.kind == "button" and key in ("left", "right"):
            there = self._layout.along(stop.id, 1 if key == "right" else -1)
            self.go(there)

    def refuse_change(self) -> None:
        """Say why nothing can be changed."""

    def _went_astray(self) -> None:
        """Say that nothing is typed here, and where the questions are."""
        self._astray = True
        what = "a button" if self.stop.kind == "button" else "no question"
        self.refuse(f"This is {what}{self._to_questions}.")

    @property
    def _to_questions(self) -> str:
        """Say which key goes to the questions, in a half sentence."""
        places = [i for i, stop in enumerate(self.stops) if stop.kind == "question"]
        if not places:
            return ""
        above = places[0] < self.stops.index(self.stop)
        return f"; {'Up' if above else 'Down'} goes to the questions"

    def _choose(self, stop: Stop, key: str) -> None:
        """Choose by arrow, by number, or by how a choice begins."""
        self._walked = False
        if key in ("left", "right") or (key == " " and not self._keyed):
            values, at = self._pointed(stop)
            self._keyed = ""
            self.try_out(values[max(0, min(at + (-1 if key == "left" else 1), len(values) - 1))])
        elif key == "clear" and self._keyed:
            self.go(stop.id)  # what is typed goes, not the choice
        elif key == "clear":
            self.try_out("")
        else:
            before, self._over = "" if self._over else self._keyed, False
            self._type_choice(stop, before + key)

    def _pointed(self, stop: Stop) -> tuple[list[str], int]:
        """Return what may be chosen, and the place of what is pointed at; -1 where nothing is."""
        values = [value for value, _ in stop.field.choices] if stop.field else []
        said = stop.said if self.pose.draft is None else self.pose.draft
        now = said or (stop.field.placeholder if stop.field else "")
        return values, values.index(now) if now in values else -1

    def _type_choice(self, stop: Stop, typed: str) -> None:
        """Choose what is typed: a number, how a choice begins, or one of its words.

        Where that is no choice, it stays as it was answered.
        """
        self._keyed = typed[:40]
        choices = stop.field.choices if stop.field else ()
        numbers = {str(number): value for number, (value, _) in enumerate(choices, 1)}
        found = [value for text, value in numbers.items() if text == self._keyed]
        begins = self._keyed.lower()
        found += [v for v, label in choices if label.lower().startswith(begins) or v == begins]
        found += [v for v, label in choices if f" {begins}" in f" {label.lower()}"]
        if found:
            self.try_out(found[0])
            return
        self.try_out(stop.said)
        self._refuse_typed(stop)

    def _refuse_typed(self, stop: Stop) -> None:
        choices = stop.field.choices if stop.field else ()
        names = [label.partition(":")[0] for _, label in choices]
        named = ", ".join(f"{number} {name}" for number, name in enumerate(names, 1))
        typed = clean(self._keyed, 40)
        self.refuse(f'"{typed}" is none of the choices: {named}. Esc takes it back')

    def _stay(self, stop: Stop) -> None:
        """Refuse what is typed once more; as on a line, what is typed next replaces it."""
        self._over = True
        self._refuse_typed(stop)

    @property
    def only_pointed(self) -> bool:
        """Whether arrow keys point at an option where nothing was chosen."""
        return self.stop.unchosen and self.pose.draft is not None and not self._keyed

    @property
    def _no_choice(self) -> bool:
        """Whether what is typed is none of the choices."""
        return bool(self._keyed) and self.pose.draft is None and bool(self.pose.refused)

    def action_enter(self) -> None:
        """Take the answer and go on, or do what the button under the cursor does."""
        stop = self.stop
        if self._no_choice:
            self._stay(stop)
        elif self._astray:  # it was meant for what was typed
            self._astray = False
            self.refuse(f"Not done, as you were typing{self._to_questions}. Enter does it now.")
        elif stop.kind != "question":
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
        """Have what is typed taken first; where it cannot be, the cursor stays.

        Where nothing was chosen, what arrow keys point at is taken by Enter alone: whoever tries
        how to go on has answered nothing yet.
        """
        if self._no_choice:
            self._stay(self.stop)
        elif self.only_pointed and then != self.go_on:
            self.refuse(f"{self.pose.live.removesuffix('.')}. Esc takes it back.")
        elif self.pose.draft is None:
            then()
        else:
            self.take(self.stop, self.pose.draft, then)

    def refuse(self, why: str) -> None:
        """Say beside the question why its answer was not taken; what is typed stays, selected."""
        self.pose = self.pose._replace(refused=why)
        if self.pose.draft is not None:
            self.answer.ask_again()
        self.draw_typed()

    def go(self, stop_id: str) -> None:
        """Put the cursor on a stop."""
        self._aim = None
        stays = stop_id == self.pose.here and not self.pose.refused
        told = self.pose.told if stays else ""
        self.pose = self.pose._replace(here=stop_id, draft=None, live="", refused="", told=told)
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

    def action_as_answered(self) -> None:
        """Put what was answered back in the place of what is typed and not taken."""
        self.go(self.pose.here)

    def action_row(self, by: int) -> None:
        """Go one row down or up, in a row of several to the one that stands nearest.

        Options that are listed are rows, too. Who goes on behind the last one has passed by: what
        was only pointed at is not taken.
        """
        stop = self.stop
        if self._layout.lists(stop.id) and not self.frozen:
            values, at = self._pointed(stop)
            if 0 <= at + by < len(values):
                self._keyed, self._walked = "", True
                self.try_out(values[at + by])
                return
        if self._walked:
            self._go_row(by)
        else:
            self.leave(lambda: self._go_row(by))

    def _go_row(self, by: int) -> None:
        there, aim = self.laid_out.below_or_above(self.stop.id, by, self._aim)
        self.go(there)
        self._aim = aim
