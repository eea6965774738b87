"""Screen updates that hold the changed cells alone.

Textual sends a changed part of a line together with all that stands before it in the same widget.
On a slow link a drawing that follows the typing would cost three times as much. The two classes
are Textual's own but for one line; they use names that it does not promise to keep, which is one
reason why its version is pinned, and `tests/wizard/test_widgets.py` watches what is sent.
"""

from __future__ import annotations

from rich.console import Console
from rich.control import Control
from textual._compositor import ChopsUpdate, Compositor


class ExactUpdate(ChopsUpdate):
    """An update cropped on both sides."""

    def render_segments(self, console: Console) -> str:
        """Return what is written to the terminal."""
        sent: list[str] = []
        for y, start, stop in self.spans:
            for end, (x, strip) in zip(self.chop_ends[y], self.chops[y].items(), strict=False):
                low, high = max(x, start), min(end, stop)
                if strip is not None and low < high:
                    sent.append(Control.move_to(low, y).segment.text)
                    sent.append(strip.crop(low - x, high - x).render(console))
        return "".join(sent)


class ExactCompositor(Compositor):
    """Textual's compositor with exact updates."""

    def render_partial_update(self) -> ChopsUpdate | None:
        """Return what changed since the last time, or nothing."""
        update = super().render_partial_update()
        if update is None:
            return None
        return ExactUpdate(update.chops, update.spans, update.chop_ends)
