"""The text of a drawing for a library that reads it, which stops where that is wished."""

from __future__ import annotations

import io

from legtaper.model.cancel import Going, go_on

_LINES = 500
"""Read between two questions whether to go on: a few milliseconds."""


class WatchedText(io.StringIO):
    """A text that raises `Cancelled` into whoever reads it once `going` said no."""

    def __init__(self, text: str, going: Going) -> None:
        super().__init__(text)
        self._going = going
        self._lines = 0

    def read(self, size: int | None = -1) -> str:
        """Return the next so many letters."""
        go_on(self._going)
        return super().read(size)

    def readline(self, size: int = -1) -> str:  # type: ignore[override]
        """Return the next line."""
        self._lines += 1
        if self._lines % _LINES == 0:
            go_on(self._going)
        return super().readline(size)
