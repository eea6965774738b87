"""The baseline of an answer: bytes written, synced and renamed, then so many cells drawn.

`python tests/bench/bare_saving.py FILE CELLS`: each Enter writes what FILE holds once more, and
shows so many cells that differ from those before.
"""

from __future__ import annotations

import os
import sys
from itertools import cycle
from pathlib import Path

from textual.app import App, ComposeResult
from textual.widgets import Input, Static


class BareSaving(App[None]):
    """One compact Input over a text; ctrl+q ends it."""

    ENABLE_COMMAND_PALETTE = False

    def __init__(self, path: Path, cells: int) -> None:
        super().__init__()
        self._path, self._data = path, path.read_bytes()
        self._texts = cycle((cells * "x", cells * "o"))

    def compose(self) -> ComposeResult:
        """Compose the Input and the text."""
        yield Input(placeholder="ready", compact=True)
        yield Static(next(self._texts))

    def on_input_submitted(self) -> None:
        """Write, then show."""
        part = self._path.with_suffix(".part")
        with part.open("wb") as file:
            file.write(self._data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(self._path)
        self.query_one(Static).update(next(self._texts))


if __name__ == "__main__":
    app = BareSaving(Path(sys.argv[1]), int(sys.argv[2]))
    app.run()
    sys.exit(app.return_code)
