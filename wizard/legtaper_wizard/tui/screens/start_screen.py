"""The first page: a new project, a recent one, another file, or the example."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType

from legtaper.files.atomic_write import StoreError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow import open_project as opening
from legtaper_wizard.flow.open_project import FOLDER, NAME, NEW, UNIT
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.shapes import AnswerError
from legtaper_wizard.tui.layout.form_lines import Looks, lay_out
from legtaper_wizard.tui.layout.notes_panel import HintRoom, hint_lines
from legtaper_wizard.tui.layout.plain_page import sheet
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import Line, plain, wrap
from legtaper_wizard.tui.messages import Then
from legtaper_wizard.tui.screens.page_screen import key
from legtaper_wizard.tui.screens.question_screen import QuestionScreen

if TYPE_CHECKING:
    from legtaper_wizard.flow.session import Session
    from legtaper_wizard.terminal import Look

_INTRO = (
    "Narrow the legs of a trouser pattern that fits, step by step, and print it at true size. "
    "Every answer is saved as it is given; stop whenever you like."
)
_HELP = (
    "To begin, give the new project a name and press Enter down to Begin. Its file goes into the "
    "folder that is named there; one file holds one wearer and one pair of trousers.",
    "To go on, go down to a project under Go on with and press Enter. Open another file leads to "
    "one that is not listed. Try the example copies an invented project to look around in.",
    "Enter takes an answer and goes on. Tab and the arrow keys move. Selected text is "
    "replaced by what you type; Ctrl-U empties the line. On every page after this one F1 helps "
    "with the question that the cursor is on.",
    "F10 leaves. For a screen reader, start with: legtaper open FILE --plain",
)
_BEGIN, _OPEN, _EXAMPLE, _LEAVE = "begin", "open", "example", "leave"
_BUTTONS = (
    Stop(_OPEN, "button", "Open another file"),
    Stop(_EXAMPLE, "button", "Try the example"),
    Stop(_LEAVE, "button", "Leave"),
)
_HINTS = {
    _BEGIN: "Begins a project file of that name.",
    _OPEN: "A project file that is not in the list.",
    _EXAMPLE: "A copy of an invented project, with everything answered, to change as you like.",
}


class StartScreen(QuestionScreen[None]):
    """Hands the session that was begun or opened to `chosen`; nothing is left on the screen."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("f1,ctrl+g", "help", "Help", "start.help"),
        key("f10", "leave", "Leave", "start.leave"),
    ]

    def __init__(self, look: Look, chosen: Callable[[Session], None]) -> None:
        self._chosen = chosen
        self._new = [Stop(field.key, "question", field.label, "", field) for field in NEW]
        self._new[1:] = [
            self._new[1]._replace(said=settings().unit),
            self._new[2]._replace(said=_here()),
        ]
        self._recent = [_listed(path) for path in opening.recent_paths()]
        super().__init__(look, self._recent[0].id if self._recent else NAME)

    @property
    def stops(self) -> Sequence[Stop]:
        """The questions about a new project, the recent ones, and the buttons."""
        return (*self._new, Stop(_BEGIN, "button", "Begin"), *self._recent, *_BUTTONS)

    def on_mount(self) -> None:
        """Take the keys; what is known of each recent project follows one by one."""
        super().on_mount()
        self.call_after_refresh(self._describe, 0)

    def _describe(self, number: int) -> None:
        """Say of one project where it stands, then of the next: the keys work in between."""
        if number < len(self._recent) and self.is_attached:
            self._recent[number] = _described(self._recent[number])
            self.draw()
            self.set_timer(0.01, lambda: self._describe(number + 1))

    def draw(self) -> None:
        """Show the page."""
        means, pose = self.means, self.pose
        intro: list[Line] = [((" ", ""), (row, "")) for row in wrap(_INTRO, means.width - 2)]
        intro.append(())
        looks = Looks(means.width, pose.here, pose.draft, pose.refused, more=means.more)
        layout = lay_out(self.stops, looks)
        room = max(means.height - len(intro) - 7, 1)
        top = layout.first_line(pose.here, pose.top, room)
        self.pose = pose._replace(top=top)
        body = [*intro, *layout.shown(top, room), (), *self._hints()]
        keys = [
            *self.keys_in(layout),
            ("F1", "help"),
            ("Ctrl-L", "redraw"),
            ("Ctrl-Z", "pause"),
            ("F10", "quit"),
        ]
        self.canvas.show(sheet("legtaper", body, keys, means), means.width, means.height)
        self.stand(layout, 0, 2 + len(intro))

    def _hints(self) -> list[Line]:
        text = _HINTS.get(self.stop.id, "")
        if self.stop.kind == "link":
            text = clean(self.stop.jump[0], 200)
        lines = [plain(row, "dim") for row in wrap(text, self.means.width - 2)]
        if not text:
            live = "" if self.pose.draft is None or self.pose.refused else self.pose.live
            lines = hint_lines(self.stop, live, (), HintRoom(self.means.width, 3))
        return [((" ", ""), *line) for line in lines]

    def understand(self, stop: Stop, text: str) -> tuple[str, bool]:
        """Return which file a name would begin, or why it would not."""
        if stop.id == UNIT and stop.field:
            return dict(stop.field.choices).get(text, ""), True
        if stop.id != NAME or not text.strip():
            return "", True
        said = {new.id: new.said for new in self._new}
        try:
            return f"{opening.new_file(text.strip(), said[FOLDER])}", True
        except AnswerError as error:
            return str(error), False

    def take(self, stop: Stop, text: str, then: Then) -> None:
        """Keep an answer; nothing is written before the project begins."""
        self._new = [n._replace(said=text.strip()) if n.id == stop.id else n for n in self._new]
        then()

    def press(self, stop: Stop) -> None:
        """Begin or open a project."""
        if stop.id == _BEGIN:
            self._try(self._begin, NAME)
        elif stop.id == _OPEN:
            self._ask(opening.ASK_FILE, lambda answers: opening.open_file(answers[0]))
        elif stop.id == _EXAMPLE:
            self._ask(opening.ASK_EXAMPLE, lambda answers: opening.open_example(answers[0]))
        elif stop.id == _LEAVE:
            self.action_leave()
        else:
            self._try(lambda: opening.open_file(stop.jump[0]), stop.id)

    def _begin(self) -> Session:
        said = {new.id: new.said for new in self._new}
        return opening.begin_project(said[NAME], said[UNIT], said[FOLDER])

    def _try(self, opens: Callable[[], Session], here: str) -> None:
        """Open a project, or say below the line it is about why it cannot be opened."""
        from legtaper.model.project import ProjectError

        try:
            session = opens()
        except (AnswerError, StoreError, ProjectError) as error:
            key = getattr(error, "key", "")
            self.go(key if key in (NAME, FOLDER) else here)
            self.refuse(str(error))
        else:
            self._chosen(session)

    def _ask(self, page: opening.Page, opens: Callable[[tuple[str, ...]], Session]) -> None:
        from legtaper.model.project import ProjectError
        from legtaper_wizard.tui.screens.ask_screen import Ask

        ask = Ask(self.look, page.words, (page.field,), (page.said(),))
        found: list[Session] = []

        def check(answers: tuple[str, ...]) -> None:
            try:
                found.append(opens(answers))
            except (StoreError, ProjectError) as error:
                raise AnswerError(page.field.key, str(error)) from None

        def answered(answers: tuple[str, ...] | None) -> None:
            if answers is not None:
                self._chosen(found[0])

        ask.check = check
        self.app.push_screen(ask, answered)

    def action_help(self) -> None:
        """Tell what this page is for."""
        text = "\n\n".join((_INTRO, *_HELP))
        from legtaper_wizard.tui.screens.reader_screen import Reader

        self.app.push_screen(Reader(self.look, "Help: the first page", text))

    def action_leave(self) -> None:
        """End; nothing is begun."""
        self.app.exit(0)


def _here() -> str:
    return str(Path.cwd())


def _listed(path: Path) -> Stop:
    """Return a recent project as a line, before anything of it is read."""
    name = clean(path.stem, 60)
    return Stop(f"recent.{path}", "link", name, "...", jump=(str(path), ""), head="Go on with")


def _described(line: Stop) -> Stop:
    """Return the line of a recent project with its name, its date and where it stands."""
    name, said = opening.told(Path(line.jump[0]))
    return line._replace(label=name or line.label, said=said)
