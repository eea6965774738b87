"""The Textual app: it alone holds the session, and changes it as the screens ask."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import Binding, BindingType
from textual.events import Event, Key, Paste
from textual.screen import Screen

from legtaper.model.safe_text import clean
from legtaper_wizard.tui.hosting import Host
from legtaper_wizard.tui.messages import Answered, Chosen, Nudged, Said, WentOn, WentTo
from legtaper_wizard.tui.screens.page_screen import PageScreen

if TYPE_CHECKING:
    from legtaper_wizard.flow.session import Session
    from legtaper_wizard.terminal import Look
    from legtaper_wizard.tui.screens.form_screen import FormScreen


class LegtaperApp(Host):
    """The wizard on the screen."""

    TITLE = "legtaper"
    CSS_PATH = "wizard.tcss"
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+c", "interrupt", "Leave", id="interrupt", show=False, priority=True),
        Binding("ctrl+q", "quit", "Leave", id="quit", show=False, priority=True),
        Binding("ctrl+l", "redraw", "Redraw", id="redraw", show=False, priority=True),
        Binding("ctrl+z", "suspend_process", "Pause", id="pause", show=False, priority=True),
    ]

    def __init__(self, session: Session | None, look: Look, **options: Any) -> None:
        super().__init__(session, look, **options)
        self.theme = "ansi-dark"  # only its defaults show: the terminal's own colors
        self.fault: Exception | None = None
        self._first_page = _first_page(self, session)

    async def on_event(self, event: Event) -> None:
        """Deal with each key before the next one.

        Textual hands a character to the queue of a widget while the keys after it are looked up
        at once: over a link that brings several together, an Enter could overtake what was typed.
        """
        screen = self.screen if self.screen_stack else None
        if isinstance(event, Key | Paste) and not event.is_forwarded:
            if isinstance(screen, PageScreen):
                await screen.ready()
            if isinstance(screen, PageScreen) and isinstance(event, Paste):
                screen.take_paste(event.text)
                return
            if isinstance(screen, PageScreen) and isinstance(event, Key) and event.is_printable:
                screen.take_key(event.character or "")
                return
        await super().on_event(event)

    # --- beginning and ending ----------------------------------------------------------------

    def get_default_screen(self) -> Screen[Any]:
        """Return the form at once where there is a project, else what asks for one."""
        return self._first_page()

    def on_mount(self) -> None:
        """Draw again after each pause."""
        self.app_resume_signal.subscribe(self, lambda _: self.action_redraw())

    def on_ready(self) -> None:
        """Remember the project, once it is shown."""
        if self.session is not None:
            self._remember(self.session)

    def _remember(self, session: Session) -> None:
        """Put the project first in the list of recent ones, beside the keys: a disk takes long."""
        self.run_worker(session.remember, thread=True)

    def on_unmount(self) -> None:
        """Let go of the file, however the app ends."""
        if self.session is not None:
            self.session.close()

    def work_on(self, session: Session) -> None:
        """Show the form of a project that was chosen."""
        self.session = session
        self._remember(session)
        self.push_screen(_first_page(self, session)())

    async def action_quit(self) -> None:
        """Leave, or ask about what is typed first."""
        self._choose("leave")

    def action_interrupt(self) -> None:
        """Leave when asked twice, from a page over the form go back to it; nothing is lost."""
        screen, form = self.screen, self.form
        if form is not None and screen is not form and isinstance(screen, PageScreen):
            screen.action_close()
            return
        if self._warned or form is None:
            self.leave()
            return
        self._warned = True
        if form.pose.draft is not None:
            form.tell("What is typed here is not taken yet. Ctrl-C once more leaves without it.")
            return
        form.tell("Everything is saved. F10 leaves, and so does Ctrl-C once more.")

    def _fatal_error(self) -> None:
        """End without Textual's traceback: `run_app` hands the fault on."""
        self._close_messages_no_wait()

    def _handle_exception(self, error: Exception) -> None:
        self.fault = self.fault or error
        super()._handle_exception(error)

    # --- what the form asks for --------------------------------------------------------------

    def hear(self, said: Said) -> None:
        """Do at once what the form asks for."""
        session, _ = self.sitting
        match said:
            case Answered(key, text, then):
                self.try_to(lambda: session.answer(key, text), then)
            case Nudged(key, by, fine):
                self._nudge(key, by, fine)
            case WentOn(by):
                self._go_on(by)
            case WentTo(step_id, key):
                self._go_to(step_id, key)
            case Chosen(command):
                self._choose(command)

    def _nudge(self, key: str, by: int, fine: bool) -> None:
        """Move a blend or a curve, and say where it is at its end."""
        from legtaper_wizard.flow.steppers import AT_THE_END

        session, form = self.sitting
        before = session.project

        def moved() -> None:
            if session.project == before:
                form.tell(AT_THE_END)

        self.try_to(lambda: session.nudge(key, by, fine), moved)

    def _go_on(self, by: int) -> None:
        """Show the step before or the next one that can be worked on."""
        session, form = self.sitting
        step_id, why = session.way(by)
        stays = step_id == session.step_id
        session.go(step_id)
        form.show(told=(why or (_END[by] if stays else "")))

    def _go_to(self, step_id: str, key: str) -> None:
        """Show a step, at a question."""
        session, form = self.sitting
        session.go(step_id, key)
        form.show(here=key)

    def ask_whose(self, again: Callable[[], None]) -> None:
        """Ask which of two states of the file goes on, then try `again`."""
        from legtaper_wizard.tui.controller import ask_whose

        ask_whose(self, again)

    def _choose(self, command: str) -> None:
        """Do what a key or a button stands for."""
        typed = self.form is not None and self.form.pose.draft is not None
        if command == "leave" and not typed:
            self.leave()
            return
        from legtaper_wizard.tui.controller import do_command

        do_command(self, command)


def _first_page(app: LegtaperApp, session: Session | None) -> Callable[[], Screen[Any]]:
    """Return what makes the page to begin with; it is imported before the first key can come."""
    if session is None:
        from legtaper_wizard.tui.screens.start_screen import StartScreen

        return lambda: StartScreen(app.look, app.work_on)
    from legtaper_wizard.tui.screens.form_screen import FormScreen

    def form() -> FormScreen:
        app.form = FormScreen(session, app.look, app.hear)
        return app.form

    return form


_END = {1: "This is the last step.", -1: "This is the first step."}


def app_for(path: Path | None, look: Look, *, new: bool = False) -> LegtaperApp:
    """Return the wizard on a project, or on one that is chosen.

    `new` begins the file, which must not be there. Raises `StoreError` or `ProjectError` for a
    file that cannot be opened.
    """
    session = _opened(path, new=new) if path else None
    return LegtaperApp(session, look, driver_class=_driver())


def run_app(app: LegtaperApp) -> int:
    """Run the wizard and return the exit status; raises what went wrong inside."""
    app.run(mouse=False)
    if app.fault:
        raise app.fault
    if app.session is not None:
        print(_how_to_go_on(app.session.path))
    return app.return_code or 0


def _opened(path: Path, *, new: bool) -> Session:
    from legtaper_wizard.flow.session import Session

    return Session.begin_file(path) if new else Session.open(path)


def _how_to_go_on(path: Path) -> str:
    """Say where the project is and how to come back to it; a shell reads the command."""
    import shlex

    shown = clean(str(path), 500)
    return f"Saved in {shown}\nGo on with: legtaper open {shlex.quote(shown)}"


def _driver() -> type[Any] | None:
    import os

    if os.name != "posix":
        return None
    from legtaper_wizard.tui.driver import SteadyDriver

    return SteadyDriver
