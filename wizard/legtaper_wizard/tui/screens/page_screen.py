"""What every screen of the wizard is: it takes its keys one after the other."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, TypeVar

from textual.binding import Binding
from textual.events import Resize
from textual.geometry import Size
from textual.screen import Screen

from legtaper_wizard.tui.layout.frame import LEAST
from legtaper_wizard.tui.layout.plain_page import Means
from legtaper_wizard.tui.widgets.exact import ExactCompositor
from legtaper_wizard.tui.widgets.lines import Lines
from legtaper_wizard.tui.widgets.palette import palette

if TYPE_CHECKING:
    from legtaper_wizard.terminal import Look

T = TypeVar("T")


def key(keys: str, action: str, words: str, name: str) -> Binding:
    """Return a binding that is dealt with in the order of the keys; `name` is its id."""
    return Binding(keys, action, words, id=name, show=False, priority=True)


class PageScreen(Screen[T]):
    """A page of lines. The app hands it characters and pastes itself, in order; see `app`."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._compositor = ExactCompositor()
        self.look = look
        self.canvas = Lines(palette(look.color), ascii_only=look.ascii_only)
        self.means = Means(*LEAST, look.ascii_only or not look.braille)
        self._mounted = asyncio.Event()

    async def ready(self) -> None:
        """Wait until keys can be taken."""
        await self._mounted.wait()

    def on_mount(self) -> None:
        """Draw, so that what is sent first is the page and no empty screen; let the keys come."""
        if not self._mounted.is_set():  # the classes above hand this on, and Textual calls it, too
            self._draw_for(self.app.size)
            self._mounted.set()

    def on_resize(self, event: Resize) -> None:
        """Draw where the size is a new one; Textual tells of the first one three times."""
        if event.size != (self.means.width, self.means.height):
            self._draw_for(event.size)

    def _draw_for(self, size: Size) -> None:
        self.means = self.means._replace(width=size.width, height=size.height)
        self.draw()

    def draw(self) -> None:
        """Show the page as it is now."""
        raise NotImplementedError

    def action_close(self) -> None:
        """Go back to the page below; where there is none, stay."""

    def take_key(self, character: str) -> None:
        """Take a printable key."""

    def take_paste(self, text: str) -> None:
        """Take a paste; most pages have no use for one."""
