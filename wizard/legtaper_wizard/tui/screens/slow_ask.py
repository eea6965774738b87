"""A page of questions whose answers take a while to work through, and the page that waits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, NoReturn, TypeVar

from textual.binding import BindingType

from legtaper.model.cancel import Cancelled, Going
from legtaper_wizard.flow.steps import AnswerError, Field
from legtaper_wizard.tui.background import Background
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import wrap
from legtaper_wizard.tui.screens.ask_screen import Answers, Ask
from legtaper_wizard.tui.screens.page_screen import PageScreen, key
from legtaper_wizard.tui.screens.reader_screen import LinesScreen

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

T = TypeVar("T")
Work = Callable[[Answers, Going], object]

READING = "The drawing is being read. A large one takes some seconds."
STOPPED = "Stopped; the drawing was not read"

SOON = 0.3  # s; what ends sooner shows no page of its own
_TURN = 0.1  # s between two looks whether it has ended


class Waiting(LinesScreen[bool]):
    """Says what goes on until it has ended or is stopped; the result is whether it has ended."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape", "close", "Stop", "waiting.close"),
    ]

    def __init__(self, look: Look, words: tuple[str, str], job: Background[Any]) -> None:
        """Words are the title and what goes on."""
        title, self._says = words
        super().__init__(look, title)
        self._job = job

    def on_mount(self) -> None:
        """Look again and again whether it has ended."""
        super().on_mount()
        self.set_interval(_TURN, self._look_again)

    def _look_again(self) -> None:
        if self.is_current and self._job.ends_within(0):
            self.dismiss(True)

    def draw(self) -> None:
        """Show what goes on."""
        rows = wrap(self._says, self.means.width - 2)
        self.show([((" ", ""), (row, "")) for row in rows], [("Esc", "stop")])

    def action_close(self) -> None:
        """Stop it, and go back at once."""
        self._job.stop()
        self.dismiss(False)


def see_through(
    page: PageScreen[Any],
    words: tuple[str, str],
    work: Callable[[Going], T],
    over: Callable[[Callable[[], T]], None],
) -> None:
    """Have `work` done in a thread, under a page that waits where it takes long.

    words: the title of that page and what goes on. `over` is given what returns the result, or
    raises what was raised; `Cancelled` where she stopped it.
    """
    job = Background(work)

    def ended(whole: bool | None) -> None:
        over(job.result if whole else _was_stopped)

    if job.ends_within(SOON):
        ended(True)
    else:
        page.app.push_screen(Waiting(page.look, words, job), ended)


def _was_stopped() -> NoReturn:
    raise Cancelled


class SlowAsk(Ask):
    """Asks, and has the answers worked through in a thread; `work` may refuse them.

    The one thing that takes long is to read a drawing: `READING` tells what goes on meanwhile, and
    `STOPPED` stands below the first question where she stopped it.
    """

    def __init__(
        self,
        look: Look,
        words: tuple[str, str, str],
        fields: Sequence[Field],
        said: Answers,
        work: Work,
    ) -> None:
        super().__init__(look, words, fields, said)
        self._work = work

    def press(self, stop: Stop) -> None:
        """Work through the answers, or go back."""
        if self.is_way_back(stop):
            super().press(stop)
            return
        answers = self.answers
        words = (self.title_said, READING)
        see_through(self, words, lambda going: self._work(answers, going), self.hand_over)

    def hand_over(self, check: Callable[[], object]) -> None:
        """Hand over the answers; what ended because it was stopped is refused, too."""

        def checked() -> None:
            try:
                check()
            except Cancelled:
                raise AnswerError("", STOPPED) from None

        super().hand_over(checked)
