"""The baseline: Textual with one compact Input and nothing else but what is named to be loaded.

`python tests/bench/bare_app.py [MODULE|MODULE:NAME]...`
"""

from __future__ import annotations

import sys

from textual.app import App, ComposeResult
from textual.widgets import Input


class Bare(App[None]):
    """One compact Input; ctrl+q ends it."""

    ENABLE_COMMAND_PALETTE = False

    def compose(self) -> ComposeResult:
        """Compose the Input."""
        yield Input(placeholder="ready", compact=True)


if __name__ == "__main__":
    for name in sys.argv[1:]:
        from pkgutil import resolve_name

        resolve_name(name)
    app = Bare()
    app.run()
    sys.exit(app.return_code)
