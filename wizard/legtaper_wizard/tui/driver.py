"""Textual's driver, made steady: told to go on when it never stopped, it does not start twice."""

from __future__ import annotations

import termios
from typing import Any

from textual.drivers.linux_driver import LinuxDriver


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
