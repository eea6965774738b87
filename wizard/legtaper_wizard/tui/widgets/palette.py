"""The names of styles as what a terminal can show.

Only the terminal's own colors and its own background are used, so that light and dark both read
well; red and magenta are the two that do on either. Nothing rests on color alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from rich.style import Style

Palette = Mapping[str, Style]

_PLAIN: Palette = {
    "": Style.null(),
    "title": Style(reverse=True),
    "focus": Style(reverse=True, bold=True),
    "strong": Style(bold=True),
    "dim": Style(dim=True),
    "good": Style.null(),
    "care": Style(bold=True),
    "fail": Style(bold=True),
    "new": Style(bold=True),
    "old": Style.null(),
    "other": Style.null(),
    "fold": Style.null(),
    "thin": Style(dim=True),
}

_COLORED: Palette = {
    **_PLAIN,
    "care": Style(bold=True, color="magenta"),
    "fail": Style(bold=True, color="red"),
    "old": Style(color="magenta"),
    "fold": Style(color="red"),
}


def palette(color: Literal["none", "16", "full"]) -> Palette:
    """Return the styles for a terminal with so many colors."""
    return _PLAIN if color == "none" else _COLORED
