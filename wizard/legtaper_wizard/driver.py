"""Textual's driver, made steady for a terminal at the far end of a slow line."""

from __future__ import annotations

import termios
import time
from collections import deque
from typing import Any

from textual import events
from textual.app import App
from textual.drivers.linux_driver import LinuxDriver
from textual.message import Message

_PATIENCE = 1.0  # s; how long a key waits for what the key before it has set going


class SteadyDriver(LinuxDriver):
    """Hands over one key at a time, and goes on after a stop that was none of its own.

    Keys that arrive together, as a line that lags bundles them, would be typed into the question
    that was there when the first of them came: Textual hands them all to the widget that has the
    focus before it has dealt with the first. Here each waits until the one before has had its
    effect.

    Textual also starts again at every SIGCONT. Where it had not stopped, it would then read the
    keys in two threads, take the raw terminal for the one to give back, and never end.
    """

    def __init__(self, app: App[Any], **options: Any) -> None:
        super().__init__(app, **options)
        self._raw: list[Any] | None = None  # the terminal's attributes while the app draws
        self._waiting: deque[Message] = deque()  # what was typed, the oldest first
        self._until = 0.0  # when the oldest has waited long enough; 0 where none waits

    # --- one key at a time ---------------------------------------------------------------------

    def send_message(self, message: Message) -> None:
        """Hand a message to the app, what was typed in its turn. Called in a thread of its own."""
        if isinstance(message, events.Key | events.Paste):
            self._loop.call_soon_threadsafe(self._queue, message)
        else:
            super().send_message(message)

    def _queue(self, typed: Message) -> None:
        self._waiting.append(typed)
        if not self._until:
            self._next()

    def _next(self) -> None:
        """Hand over the next key if the app is through with the last one, else look again."""
        now = time.monotonic()
        self._until = self._until or now + _PATIENCE
        if not self._app.screen_stack or (_is_busy(self._app) and now < self._until):
            self._loop.call_soon(self._next)
            return
        self._until = 0.0
        if self._waiting:
            self._app.post_message(self._waiting.popleft())
            self._until = now + _PATIENCE
            self._loop.call_soon(self._next)

    # --- one start for each stop -----------------------------------------------------------------

    def start_application_mode(self) -> None:
        """Take the terminal, or only set it to raw again where it is the app's already."""
        if self._raw is not None:
            self._set(self._raw)
            return
        super().start_application_mode()  # type: ignore[no-untyped-call]  # it has no types
        self._raw = self._get_raw()

    def stop_application_mode(self) -> None:
        """Give the terminal back."""
        self._raw = None
        super().stop_application_mode()

    def _get_raw(self) -> list[Any] | None:
        """Return the attributes if the start worked; in the background it has to wait."""
        try:
            attributes = termios.tcgetattr(self.fileno)
        except termios.error:
            return None
        return None if attributes[3] & termios.ICANON else attributes

    def _set(self, attributes: list[Any]) -> None:
        try:
            termios.tcsetattr(self.fileno, termios.TCSANOW, attributes)
        except termios.error:
            return  # the terminal is gone, which is noticed elsewhere


def _is_busy(app: App[Any]) -> bool:
    """Whether something waits to be dealt with, from the app down to what has the focus."""
    focused = app.screen.focused
    pumps = [app, app.screen, *([focused, *focused.ancestors] if focused else [])]
    return any(pump.message_queue_size for pump in pumps)
