"""What the pages over the form may ask of the app: its session, its form, a change to be made."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from textual.app import App

from legtaper.files.atomic_write import StoreError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.shapes import AnswerError
from legtaper_wizard.tui.import_memory import Bringing
from legtaper_wizard.tui.messages import Then

if TYPE_CHECKING:
    from legtaper_wizard.flow.session import Place, Session
    from legtaper_wizard.terminal import Look
    from legtaper_wizard.tui.screens.form_screen import FormScreen


class Host(App[int]):
    """The app as its pages know it.

    form: the form, if there is one yet. bringing: what was typed on the way to a block that is
    drafted or traced.
    """

    def __init__(self, session: Session | None, look: Look, **options: Any) -> None:
        super().__init__(ansi_color=True, **options)  # asked before a theme is chosen
        self.session = session
        self.form: FormScreen | None = None
        self.look = look
        self.bringing = Bringing()
        self._warned = False
        self._typed: dict[str, tuple[str, ...]] = {}

    def ask_whose(self, again: Callable[[], None]) -> None:
        """Ask which of two states of the file goes on, then try `again`."""
        raise NotImplementedError

    def leave(self) -> None:
        """End. Every accepted answer is on disk, so only the file is let go of."""
        if self.session:
            if self.form and self.form.page.stop(self.form.pose.here):
                self.session.go(self.session.step_id, self.form.pose.here)
            self.session.close()  # at once: a signal may cut short what follows
        self.exit(0)

    def action_redraw(self) -> None:
        """Send the whole screen again, after something else wrote on the terminal."""
        self.screen.refresh()

    @property
    def sitting(self) -> tuple[Session, FormScreen]:
        """The session and its form. Only messages from a form need them, so both are there."""
        if self.session is None or self.form is None:
            raise RuntimeError("there is no project yet")
        return self.session, self.form

    def typed(self, what: str) -> tuple[str, ...]:
        """Return what was typed on a page that was left without an answer."""
        return self._typed.get(what, ())

    def keep_typed(self, what: str, texts: tuple[str, ...]) -> None:
        """Keep what was typed on a page for the next time it is shown."""
        self._typed[what] = texts

    def try_to(self, work: Callable[[], object], then: Then | None = None) -> None:
        """Make a change, show it, and go on; or say beside the question why it was not made."""
        from legtaper.files.store import ChangedOnDiskError
        from legtaper.model.project import ProjectError

        _, form = self.sitting
        self._warned = False
        try:
            work()
        except AnswerError as error:
            form.refuse(str(error))
        except ChangedOnDiskError:
            self.ask_whose(lambda: self.try_to(work, then))
        except (StoreError, ProjectError) as error:
            form.refuse(str(error))
        else:
            with form.at_once():
                form.show()
                if then:
                    then()

    def travel(self, way: Callable[[], Place | None], did: str, nothing: str) -> None:
        """Undo or redo, and show where that was."""
        session, form = self.sitting
        before, at = session.project, session.at
        found: list[Place | None] = []

        def show() -> None:
            place = found[0]
            if place is None:
                form.show(told=nothing, here=form.pose.here)
                return
            from legtaper_wizard.flow.answers import changed_in_words

            form.show(here=place.key)
            words = clean(place.did, 80) or changed_in_words(place.key, (before, at), session.now)
            form.tell(f"{did}: {words or form.page.step.title}.")

        self.try_to(lambda: found.append(way()), show)
