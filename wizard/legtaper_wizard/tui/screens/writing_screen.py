"""Writes the pattern files while the screen stays alive; it shows how far it is and can stop."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual.binding import BindingType
from textual.message import Message

from legtaper.model.safe_text import clean
from legtaper_wizard.flow.export_request import Order, carry_out
from legtaper_wizard.tui.layout.styled_text import Line, hang
from legtaper_wizard.tui.screens.page_screen import key
from legtaper_wizard.tui.screens.reader_screen import LinesScreen

if TYPE_CHECKING:
    from legtaper.pattern import Fit
    from legtaper_wizard.terminal import Look


class WritingScreen(LinesScreen[tuple[str, ...]]):
    """Goes back with one sentence for each file that was written."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key("escape", "close", "Stop, or close", "writing.close"),
        key("enter", "close_when_over", "Close", "writing.enter"),
    ]

    @dataclass
    class Told(Message):
        """A sentence from the thread that writes. `part` replaces the last one."""

        text: str
        part: bool = False

    @dataclass
    class Ended(Message):
        """Writing is over; `problem` says why it ended early."""

        problem: str = ""

    def __init__(self, look: Look, fit: Fit, order: Order) -> None:
        super().__init__(look, "Writing the pattern")
        self._fit = fit
        self._order = order
        self._stop = threading.Event()
        self._told: list[str] = []
        self._wrote: list[str] = []
        self._over = False

    def on_mount(self) -> None:
        """Begin."""
        super().on_mount()
        self.run_worker(self._write, thread=True, exit_on_error=False)

    def _write(self) -> None:
        """Write in a thread of its own; all it says goes through messages."""
        from legtaper.files.store import StoreError
        from legtaper.model.cancel import Cancelled
        from legtaper.outputs.papers import PaperError
        from legtaper.pattern import cut

        try:
            for said in carry_out(cut(self._fit), self._order, self._going):
                self.post_message(self.Told(said))
        except Cancelled:
            self.post_message(self.Ended("Stopped; what was not finished is not there."))
        except (StoreError, PaperError, ValueError) as error:
            self.post_message(self.Ended(f"Not written: {error}"))
        else:
            self.post_message(self.Ended())

    def _going(self, done: int, pages: int) -> bool:
        if pages:
            self.post_message(self.Told(f"page {done} of {pages}", part=True))
        return not self._stop.is_set()

    def on_writing_screen_told(self, event: Told) -> None:
        """Show how far it is."""
        if event.part:
            self._told[-1] = f"{self._told[-1].split(' ... ')[0]} ... {event.text}"
        elif event.text.startswith("Wrote"):
            self._wrote.append(event.text)
            self._told[-1] = event.text
        else:
            self._told.append(event.text)
        self.draw()

    def on_writing_screen_ended(self, event: Ended) -> None:
        """Show that it is over."""
        self._over = True
        if event.problem:
            self._told.append(event.problem)
        self.heading = "Not everything is written" if event.problem else "The pattern is written"
        self.draw()

    def draw(self) -> None:
        """Show what is written so far."""
        across = min(self.means.width - 2, 96)
        lines: list[Line] = []
        for text in self._told:
            lines += hang("-", clean(text, 400), across)
        if self._over and self._wrote:
            words = "Print the page with the test rectangle first, and measure it before the rest."
            lines += [(), *hang("", words, across)]
        keys = [("Enter", "close")] if self._over else [("Esc", "stop")]
        self.show([((" ", ""), *line) for line in lines], keys)

    def action_close_when_over(self) -> None:
        """Go back when it is over; an Enter too many stops nothing."""
        if self._over:
            self.action_close()

    def action_close(self) -> None:
        """Stop while it is writing; go back when that is over."""
        if self._over:
            self.dismiss(tuple(self._wrote))
        else:
            self._stop.set()
