"""Textual's driver, made steady: it goes on once, and whatever bytes come do not end it."""

from __future__ import annotations

import os
import selectors
import termios
import time
from typing import Any

from textual.drivers.linux_driver import LinuxDriver

from legtaper_wizard.tui.keyboard import Keyboard

_READ = 4096  # bytes at a time
_TICK = 0.1  # s


class SteadyDriver(LinuxDriver):
    """Takes SIGCONT as it comes: after a stop by ctrl+z, after one from outside, or after none.

    Textual starts again at every SIGCONT. Where it had not stopped, it would then read the keys
    in two threads, take the raw terminal for the one to give back, and never end.
    """

    _raw: list[Any] | None = None
    """The terminal's attributes while the app draws; `None` while it does not."""

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

    def _run_input_thread(self) -> None:
        """Read keys; a fault in that ends the app as every other fault of the program does."""
        try:
            self.run_input_thread()
        except Exception as error:
            self._app.call_later(self._app._handle_exception, error)

    def run_input_thread(self) -> None:
        """Read keys until the app ends. What cannot be understood is dropped."""
        keyboard = Keyboard()
        with selectors.SelectSelector() as selector:
            selector.register(self.fileno, selectors.EVENT_READ)
            while not self.exit_event.is_set():
                data = b""
                if selector.select(_TICK):
                    data = os.read(self.fileno, _READ)
                    if not data:  # the input has ended; a lost terminal is noticed elsewhere
                        time.sleep(_TICK)
                now = time.monotonic()
                for message in keyboard.feed(data, now) if data else keyboard.tick(now):
                    self.process_message(message)

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
