"""The baseline: Textual with one compact Input and nothing else but modules that are named."""

from __future__ import annotations

import sys
from importlib import import_module

from textual.app import App, ComposeResult
from textual.widgets import Input


class Bare(App[None]):
    """One compact Input; ctrl+q ends it."""

    ENABLE_COMMAND_PALETTE = False

    def compose(self) -> ComposeResult:
        """Compose the Input."""
        yield Input(placeholder="ready", compact=True)


if __name__ == "__main__":
    for module in sys.argv[1:]:
        import_module(module)
    app = Bare()
    app.run()
    sys.exit(app.return_code)
