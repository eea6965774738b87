"""The app driven by keys alone, as a person does it."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from textual.events import Key
from textual.pilot import Pilot

from legtaper.files.store import load
from legtaper.model.project import Project
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.session import Session
from legtaper_wizard.terminal import Look
from legtaper_wizard.tui.app import LegtaperApp
from legtaper_wizard.tui.screens.form_screen import FormScreen

PLAIN_LOOK = Look(ascii_only=False, braille=True, color="16", plain=False)
_ROUNDS = 4  # a key becomes a message, an answer, a screen and its first paint
_SEARCH = 600  # looks, 50 ms apart, before a search counts as endless
PAUSE = 0.3  # s; outline and notes have followed by then


class Driver:
    """Keys in, text out."""

    def __init__(self, app: LegtaperApp, pilot: Pilot[int]) -> None:
        self.app = app
        self.pilot = pilot
        self.keys = 0

    async def press(self, *keys: str) -> None:
        """Press keys by their names; each is dealt with before the next one comes."""
        for key in keys:
            self._send(key)
            await self._quiet()

    async def blurt(self, *keys: str) -> None:
        """Send keys all at once, as a link does that was stalled."""
        for key in keys:
            self._send(key)
        await self._quiet()
        await self._quiet()

    async def type(self, text: str) -> None:
        """Type a text, faster than anyone does."""
        for character in text:
            self._send(character)
        await self._quiet()

    def _send(self, key: str) -> None:
        self.keys += 1
        self.app.post_message(Key(key, key if len(key) == 1 else None))

    async def _quiet(self) -> None:
        """Wait until every message is dealt with, and those that came of it, without sleeping."""
        for _ in range(_ROUNDS):
            await self.pilot.pause(0)

    async def answer(self, *texts: str) -> None:
        """Type each text and press Enter; an empty one is only Enter."""
        for text in texts:
            await self.type(text)
            await self.press("enter")

    async def settle(self) -> None:
        """Wait until what follows the typing is shown."""
        await self.pilot.pause(PAUSE)

    async def worked(self) -> None:
        """Wait until what runs in threads of its own has ended and is shown."""
        await self._quiet()
        await self.app.workers.wait_for_complete()
        await self._quiet()

    async def searched(self) -> None:
        """Wait until a page that searches in a thread of its own has found what it shows."""
        await self._quiet()
        for _ in range(_SEARCH):
            below = getattr(self.app.screen, "searching", False)  # its line may lie below the page
            if "Looking for " not in self.text and not below:
                return
            await self.pilot.pause(0.05)
        raise AssertionError(f"still searching: {self.text}")

    @property
    def text(self) -> str:
        """What the screen shows."""
        return self.app.screen.canvas.text  # type: ignore[attr-defined]

    @property
    def form(self) -> FormScreen:
        """The form."""
        assert self.app.form is not None
        return self.app.form

    @property
    def here(self) -> str:
        """The key of the question the cursor is on."""
        return self.form.pose.here

    @property
    def step(self) -> str:
        """The id of the step that is shown."""
        return self.form.page.step.id

    @property
    def file(self) -> Path:
        """The project file."""
        assert self.app.session is not None
        return self.app.session.path

    def on_disk(self) -> Project:
        """Return the project as it is on disk now."""
        return load(self.file)


@asynccontextmanager
async def driving(
    session: Session | None, size: tuple[int, int] = (80, 24), look: Look = PLAIN_LOOK
) -> AsyncIterator[Driver]:
    """Run the app on a session, or on the first page."""
    app = LegtaperApp(session, look)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield Driver(app, pilot)


def example(folder: Path, name: str = "courier") -> Session:
    """Return a session on a copy of an example."""
    file = folder / f"{name}.toml"
    file.write_text(example_text(name), encoding="utf-8")
    return Session.open(file)


def fresh(folder: Path, name: str = "Trial trousers") -> Session:
    """Return a session on a new project."""
    return Session.begin(folder / "trial.toml", name)


async def go_to(on: Driver, stop: str) -> None:
    """Go to a question or a button of the step, down or up."""
    ids = [known.id for known in on.form.page.stops]
    back = stop in ids and ids.index(stop) < ids.index(on.here)
    for _ in range(30):
        if on.here == stop:
            return
        await on.press("shift+tab" if back else "tab")
    raise AssertionError(f"{stop} is not below; the step has {[s.id for s in on.form.page.stops]}")
