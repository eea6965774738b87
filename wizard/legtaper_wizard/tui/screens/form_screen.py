"""The form: one step at a time, relabelled in place."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.timer import Timer

from legtaper.model.safe_text import clean
from legtaper_wizard.flow import steps
from legtaper_wizard.flow.passed_over import asked_otherwise, left_with, passed_over, say_passed
from legtaper_wizard.lasting import lasting
from legtaper_wizard.tui.layout.frame import LEAST, form_width
from legtaper_wizard.tui.layout.key_table import COMMANDS
from legtaper_wizard.tui.layout.picture import VIEWS
from legtaper_wizard.tui.layout.plain_page import Pose
from legtaper_wizard.tui.layout.question_tables import Table, table_of
from legtaper_wizard.tui.layout.screenful import (
    Sight,
    assembled,
    follows,
    heads,
    middle,
    view_of,
)
from legtaper_wizard.tui.layout.step_model import (
    first_page,
    page_of,
    understood,
    understood_early,
)
from legtaper_wizard.tui.layout.stop import BACK, NEXT, WRITE, Stop
from legtaper_wizard.tui.layout.styled_text import Line
from legtaper_wizard.tui.messages import Answered, Chosen, Hear, Nudged, Then, WentOn, WentTo
from legtaper_wizard.tui.screens.page_screen import key
from legtaper_wizard.tui.screens.question_screen import QuestionScreen

if TYPE_CHECKING:
    from legtaper.model.project import Project
    from legtaper_wizard.flow.session import Session
    from legtaper_wizard.flow.steps import Cursor
    from legtaper_wizard.terminal import Look
    from legtaper_wizard.tui.layout.form_lines import Layout
    from legtaper_wizard.tui.layout.step_model import Page

_PAUSE = 0.15  # s without a key before the outline and the notes follow what is typed
_AGREE, _AGREE_OR_NOT = " Enter takes it; or type the right one.", " Enter takes it; Esc drops it."
_WAY_OUT = " Esc takes it back."
_FIGURES = ("length", "signed", "percent", "date")
"""Kinds of questions whose answers are made of figures."""
_STAYS = ("help", "notes", "redraw", "pause", "all", "leave")
"""Commands that leave what is typed where it is."""


def _shown(name: str) -> str:
    """Return the key of a command as the line of keys has it."""
    found = (f"{one.shown} {one.short}" for one in COMMANDS if one.id == name)
    return next(found, "What you chose")


class FormScreen(QuestionScreen[None]):
    """Shows the step a session is on, and tells the app what is answered."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key(
            f"{command.key},{command.also}".rstrip(","),
            f"command('{command.id}')",
            command.words,
            command.id,
        )
        for command in COMMANDS
    ]

    def __init__(self, session: Session, look: Look, hear: Hear) -> None:
        self._session = session
        self._hear = hear
        first = first_page(*self._place, session.key)
        self.page = self._tried = first or page_of(*self._place)
        left = session.key if session.key and self.page.stop(session.key) else ""
        super().__init__(look, left or self.page.entrance())
        if not self.page.early:
            self.pose = self.pose._replace(told=self._greeting)
        self._doubted = ("", "")  # question and text that are asked about and not taken yet
        self._kept = False  # whether a refused answer kept a command from being done
        self._tried_as = ""  # the text that `_tried` holds
        self._parts: dict[str, list[Line]] = {}
        self._held: set[str] | None = None  # what is done once, where all is shown together
        self._pause: Timer | None = None

    # --- data down ---------------------------------------------------------------------------

    def show(self, told: str = "", here: str = "", keep: bool = False) -> None:
        """Show the session as it is now, with the cursor on `here` where that is a question.

        `keep` leaves what is typed and not taken yet where it is.
        """
        same = self.page.step.id == self._session.step_id
        self._doubted = ("", "")
        self.page = self._tried = self._page_now()
        if not self.page.stop(here):
            here = self.pose.here if same and self.page.stop(self.pose.here) else ""
        old = self.pose if same else self.pose._replace(view=None, top=0)
        here = here or self.page.entrance()
        stays = same and here == self.pose.here
        self._aim = self._aim if stays else None  # a column of elsewhere leads astray
        draft = self.pose.draft if keep and here == self.pose.here else None
        self.pose = Pose(here, draft, told=told, view=old.view, folded=old.folded, top=old.top)
        self.ask()
        self.draw()

    def _page_now(self) -> Page:
        """Return the page of what is shown; what was tried and then taken is known already."""
        tried, (project, step_id, at) = self._tried, self._place
        known = not tried.early and (tried.step.id, tried.at) == (step_id, at)
        if known and tried is not self.page and tried.project == project:
            return tried._replace(project=project)
        return page_of(project, step_id, at)

    @contextmanager
    def at_once(self) -> Iterator[None]:
        """Ask and draw once at the end, however often that is called for until then."""
        if self._held is not None:
            yield
            return
        held = self._held = set()
        try:
            yield
        finally:
            self._held = None
            if "ask" in held:
                self.ask()
            if held:
                self.draw()

    def ask(self) -> None:
        """Set the answer line to the stop under the cursor."""
        if self._held is None:
            super().ask()
        else:
            self._held.add("ask")

    def tell(self, text: str) -> None:
        """Say something above the notes."""
        self.pose = self.pose._replace(told=text)
        self.draw()

    @property
    def _place(self) -> tuple[Project, str, Cursor]:
        """What is shown: the project, the step and what of it is worked on."""
        return self._session.project, self._session.step_id, self._session.at

    @property
    def _greeting(self) -> str:
        """What is told at the beginning: that nothing can be changed, or what was passed over."""
        if self._session.read_only:
            return self._why_only_looking
        passed = passed_over(*self._session.now, self._session.step_id, self.pose.here)
        return say_passed(list(dict.fromkeys(field.label for field in passed)))

    # --- the figures of the first page -------------------------------------------------------

    def on_show(self) -> None:
        """After the first paint, get the figures that a first page has not."""
        if self.page.early:
            self.run_worker(self._get_figures(), exclusive=True)

    async def _get_figures(self) -> None:
        """Load what computes and compute, beside the keys; then show what follows from it."""
        early, place = self.page, self._place
        with lasting():
            await asyncio.to_thread(page_of, *place)  # kept for whoever asks next
        if self.page is early:
            self.settle()

    def settle(self) -> None:
        """Show the figures that a first page has not, and leave everything else where it is."""
        if not self.page.early:
            return
        self.page = self._tried = page_of(*self._place)
        pose = self.pose
        if pose.draft is None:
            told = pose.told or self._greeting
            here = pose.here if self.page.stop(pose.here) else self.page.entrance()
            self.pose = pose._replace(here=here, told=told)
            self.draw()
        elif self.is_current:
            live, fine = self.understand(self.stop, pose.draft)
            self.pose = pose._replace(live=live, fine=fine)
            self.draw()
            self.draw_typed()

    @property
    def stops(self) -> tuple[Stop, ...]:
        """The stops of the step."""
        return self.page.stops

    @property
    def frozen(self) -> bool:
        """Whether this session may only look."""
        return self._session.read_only

    @property
    def text(self) -> str:
        """What the screen shows."""
        return self.canvas.text

    # --- drawing -----------------------------------------------------------------------------

    def draw(self) -> None:
        """Show the whole page; where nothing is typed, nothing is left to follow."""
        if self._held is not None:
            self._held.add("draw")
            return
        if self._pause and self.pose.draft is None:
            self._pause.stop()
        sight = self._sight
        self._parts.update(heads(sight, self._session.saved))
        self._parts.update(follows(sight, self._tried))
        self._draw_form(sight)

    @property
    def _sight(self) -> Sight:
        return Sight(self.page, self.pose, self.means)

    @property
    def laid_out(self) -> Layout:
        """How the stops stand to each other, also where they are not drawn yet."""
        return self._sight.layout if self._held else super().laid_out

    def _draw_form(self, sight: Sight) -> None:
        notes = len(self._parts.get("notes", ()))
        parts, self.pose = middle(sight, notes)
        self._parts.update(parts)
        lines = assembled(sight.boxes, self._parts)
        self.canvas.show(lines, self.means.width, self.means.height)
        self.stand(sight.layout, sight.boxes.form.x, sight.boxes.form.y)

    def draw_typed(self) -> None:
        """Show what is typed at once; outline and notes follow when the typing pauses."""
        self._draw_form(self._sight)
        if self._pause:
            self._pause.stop()
        self._pause = self.set_timer(_PAUSE, self._follow)

    def _follow(self) -> None:
        """Let outline and notes show what is typed, as if it were taken."""
        if self.page.early:  # what is typed is tried once the figures are there
            return
        self._try()
        sight = self._sight
        self._parts.update(follows(sight, self._tried))
        self._draw_form(sight)  # whose hints have the rows that the notes leave

    def _try(self) -> None:
        """Answer with what is typed, to show what follows from it.

        Half a number on the way changes nothing that is shown, and nor does one that looks like
        a slip: it counts once it was agreed to.
        """
        page, draft, here = self.page, self.pose.draft or "", self.pose.here
        if self.pose.draft is None:
            self._tried = page
            return
        try:
            waits = bool(steps.new_slips(page.project, here, draft, page.at))
            if not waits:
                tried = steps.answer(page.project, here, draft, page.at)
                self._tried, self._tried_as = page_of(tried, page.step.id, page.at), draft
                return
        except steps.AnswerError:  # the echo says why
            waits = not steps.is_read(page.project, here, draft, page.at)
        on_the_way = draft.startswith(self._tried_as) or self._tried_as.startswith(draft)
        if self.pose.refused or not (waits and on_the_way):
            self._tried = page

    def looked_at(self) -> tuple[Page, str]:
        """Return the step as its notes show it, and of which answer that is where one is typed."""
        if self.pose.draft is None:
            return self.page, ""
        self._try()
        taken = self._tried is self.page
        typed = clean((self.pose.draft if taken else self._tried_as).strip(), 60)
        typed = f'"{typed}"' if typed else "no answer"
        if taken:
            says = f"{typed} is not taken, so this is of the answers without it."
        else:
            says = f"{typed} is typed and not taken yet; these notes are as if it were."
        return self._tried, f"{clean(self.stop.label, 60)}: {says}"

    # --- messages up -------------------------------------------------------------------------

    def understand(self, stop: Stop, text: str) -> tuple[str, bool]:
        """Return what a text would be understood as, or why not, and whether it is."""
        tell = understood_early if self.page.early else understood
        return tell(self.page.project, stop.id, text, self.page.at)

    def take(self, stop: Stop, text: str, then: Then) -> None:
        """Have an answer taken; where its question is gone then, the cursor is on the next.

        One that looks like a slip is asked about first, and taken when it is given once more.
        """
        agreed = self._doubted == (stop.id, text) and then == self.go_on  # by Enter alone
        if not agreed and (odd := self._doubt_of(stop, text)):
            self._doubted = (stop.id, text)
            self.refuse(odd + _AGREE)
            return
        last = steps.last_answered(self.page.project, stop.id, text, self.page.at)

        def on() -> None:
            if self.page.stop(last) and last != stop.id:
                self.pose = self.pose._replace(here=last)  # a row typed at once is behind her
            if then == self.go_on and stop.id == "round.verdict" and text == "done":
                self.go(WRITE)  # the way on from an accepted design
            elif then != self.go_on or self.page.stop(stop.id):
                then()

        self._hear(Answered(stop.id, text, on))

    def _doubt_of(self, stop: Stop, text: str) -> str:
        """Return what is to be asked about an answer before it is taken, "" where nothing is."""
        try:
            odd = steps.new_slips(self.page.project, stop.id, text, self.page.at)
        except steps.AnswerError:  # it will be refused, with the reason
            return ""
        said = " ".join(text.removeprefix(f"{stop.label}: ") for text in odd)
        return said[:1].upper() + said[1:]

    def leave(self, then: Then) -> None:
        """Have what is typed taken first; where it is not, say also how to get away from it."""
        again = bool(self.pose.refused)
        super().leave(then)
        why = self.pose.refused
        if not why or self.pose.draft is None or not (again or then != self.go_on):
            return
        if why.endswith(_AGREE):
            self.refuse(why.removesuffix(_AGREE) + _AGREE_OR_NOT)
        elif not why.endswith((_WAY_OUT, _AGREE_OR_NOT)):
            self.refuse(f"{why.removesuffix('.')}.{_WAY_OUT}")

    def take_key(self, character: str) -> None:
        """Take a printable key; letters that were meant for a list that did not come go nowhere."""
        if self._kept and character.isalpha() and self.pose.refused:
            return
        self._kept = False
        super().take_key(character)

    def nudge(self, stop: Stop, by: int, fine: bool) -> None:
        """Have a blend or a curve moved."""
        self.leave(lambda: self._hear(Nudged(stop.id, by, fine)))

    def press(self, stop: Stop) -> None:
        """Go on or back, go to an answer, or have an action done."""
        self.settle()
        if stop.kind == "link":
            self._hear(WentTo(*stop.jump))
        elif stop.id in (BACK, NEXT):
            self._hear(WentOn(1 if stop.id == NEXT else -1))
        else:
            self._hear(Chosen(f"do:{stop.id}" if stop.action else stop.id))

    def refuse_change(self) -> None:
        """Say who has the project."""
        self.tell(self._why_only_looking)

    @property
    def _why_only_looking(self) -> str:
        return f"Look only: {self._session.why_read_only}."

    # --- keys --------------------------------------------------------------------------------

    def go(self, stop_id: str) -> None:
        """Put the cursor on a stop; what is not taken by now is given up, with what it showed."""
        self._tried, self._doubted = self.page, ("", "")
        super().go(stop_id)

    @property
    def _table(self) -> Table | None:
        """The table of the step, where there is room to show it as one."""
        table = table_of(self.stops)
        picture = view_of(self.page, self.pose, self.means) != "none"
        return table if table and table.cell_width(form_width(self.means.width, picture)) else None

    def in_table(self, stop: Stop) -> bool:
        """Whether a stop is a cell of a table that is shown as one."""
        table = self._table
        return table is not None and stop in table.stops

    def _pressed(self, key: str) -> None:
        """Go to the cell beside in a table; else do what the key does to the stop."""
        table, stop = self._table, self.stop
        if table and stop in table.stops and key in ("left", "right"):
            self.leave(lambda: self.go(table.across(stop, 1 if key == "right" else -1).id))
        else:
            super()._pressed(key)

    def go_on(self) -> None:
        """Put the cursor on the next stop that wants an answer.

        Where a column is measured at once it is the one below.
        """
        table, stop = self._table, self.stop
        if table and stop in table.stops and stop.field and stop.field.down:
            below = table.beside(stop, 1) or table.after(stop)
            self.go(below.id if below else self._behind(table))
        else:
            behind = self.stops[self.stops.index(stop) + 1 :]
            self.go(next((one for one in behind if not self._passes(stop, one)), stop).id)

    def _passes(self, left: Stop, stop: Stop) -> bool:
        """Whether Enter goes past a stop: it is answered in another way, or left as it is."""
        if stop.field is None:
            return False
        if left.field and not left.said and left_with(left.field, stop.field):
            return True
        return asked_otherwise(self.page.project, stop.field, self.page.at)

    def _behind(self, table: Table) -> str:
        """Return the id of the stop behind a table, else of the one under the cursor."""
        cells, ids = table.stops, [stop.id for stop in self.stops]
        last = max(ids.index(cell.id) for cell in cells)
        return ids[last + 1] if last + 1 < len(ids) else self.stop.id

    def action_command(self, name: str) -> None:
        """Do what a key stands for."""
        self.settle()
        if name in ("next", "back"):
            self.leave(lambda: self._hear(WentOn(1 if name == "next" else -1)))
            self._say_that_it_waits(name)
        elif name == "fold":
            self.pose = self.pose._replace(folded=not self.pose.folded)
            self.draw()
        elif name == "outline":
            self._turn()
        elif name in _STAYS or (name == "mend" and self.pose.refused):
            self._hear(Chosen(name))
        else:
            self.leave(lambda: self._hear(Chosen(name)))
            field = self.stop.field
            self._kept = field is not None and field.kind in _FIGURES and bool(self.pose.refused)
            self._say_that_it_waits(name)

    def _say_that_it_waits(self, name: str) -> None:
        """Where a refused answer kept a command from being done, say what it waits for."""
        if self.pose.refused:
            self.tell(f"{_shown(name)} waits until this answer is taken, or dropped by Esc.")

    def _turn(self) -> None:
        """Show the next picture."""
        if self.means.width < LEAST[0]:
            self.tell(f"The outline needs {LEAST[0]} columns.")
            return
        now = view_of(self.page, self.pose, self.means)
        view = VIEWS[(VIEWS.index(now) + 1) % len(VIEWS)] if now in VIEWS else VIEWS[0]
        self.pose = self.pose._replace(view=view, told="")
        self.draw()
