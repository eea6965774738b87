"""What every page has: how it is looked at, in which terminal, and the lines of a plain one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from legtaper_wizard.tui.layout.key_table import filled
from legtaper_wizard.tui.layout.styled_text import Line

if TYPE_CHECKING:
    from legtaper_wizard.tui.layout.picture import View

Keys = Sequence[tuple[str, str]]
"""Keys of a page, each with what it does."""


class Pose(NamedTuple):
    """How a page is looked at.

    here: id of the stop under the cursor. draft: what is typed or chosen there and not taken
    yet; live: what that would be understood as, and fine: whether it would. refused: why the last
    try was not taken. told: what the last command did. top: first line of the form that is shown.
    """

    here: str
    draft: str | None = None
    live: str = ""
    fine: bool = True
    refused: str = ""
    told: str = ""
    view: View | None = None
    folded: bool = False
    top: int = 0


class Means(NamedTuple):
    """What the terminal offers: its size in cells, and whether letters have to do."""

    width: int
    height: int
    ascii_only: bool

    @property
    def more(self) -> str:
        """Return what stands where a text is cut off."""
        return "..." if self.ascii_only else "…"

    @property
    def dash(self) -> str:
        """Return what a line across is made of."""
        return "-" if self.ascii_only else "─"


def more_lines(above: int, below: int) -> Keys:
    """Say behind the keys how many lines are hidden, where any are."""
    if above > 0 and below > 0:
        return [("", f"more: {above} above, {below} below")]
    where, lines = ("above", above) if above > 0 else ("below", below)
    return [("", f"{lines} more lines {where}")] if lines > 0 else []


def sheet(title: str, body: Sequence[Line], keys: Keys, means: Means) -> list[Line]:
    """Return a page of its own: a title, the lines that fit, and the keys at the bottom."""
    head = f" {title}"
    room = max(means.height - 3, 0)
    lines = [((head + " " * (means.width - len(head)), "title"),), (), *body[:room]]
    lines += [()] * (means.height - 1 - len(lines))
    return [*lines[: means.height - 1], filled(keys, means.width)]
