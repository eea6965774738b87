"""What this terminal can do, decided from its surroundings before Textual is imported.

Textual notices neither `TERM=dumb` nor an encoding without lines and dots, and it reads some of
its settings once, at import: both are settled here, in one place for the wizard and the commands.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping, MutableMapping
from typing import Literal, NamedTuple, TextIO

Color = Literal["none", "16", "full"]

_NOTHING = ("", "dumb", "unknown")
_FEW_GLYPHS = ("linux", "vt")
"""How the names of terminals begin with small fonts: no braille, no arrows."""
_ESCAPE_MS = "200"  # over a slow link the rest of an arrow key comes later than 100 ms
_FRAMES = "120"  # a second at most; with Textual's own 60 what follows a key may wait for 16 ms
_FOR_OTHER_APPS = (
    *("TEXTUAL_COLOR_SYSTEM", "TEXTUAL_DRIVER", "TEXTUAL_FILTERS"),
    *("TEXTUAL_PRESS", "TEXTUAL_SCREENSHOT", "TEXTUAL_THEME"),
)
"""What whoever writes apps with the same library sets for them; a wrong word would end this one."""


class Look(NamedTuple):
    """How to draw: `color` "none" and "16" keep to the terminal's own colors."""

    ascii_only: bool
    braille: bool
    color: Color
    plain: bool


def look(  # noqa: PLR0913  four facts about the terminal and the two wishes of the wearer
    environ: Mapping[str, str],
    stdin_isatty: bool,
    stdout_isatty: bool,
    encoding: str | None,
    *,
    plain: bool = False,
    ascii_only: bool = False,
) -> Look:
    """Return how to draw on a terminal with this environment and output encoding.

    Line by line where there is no screen to draw on: no terminal at either end, or `TERM` says
    dumb or nothing.
    """
    term = environ.get("TERM", "").lower()
    letters_only = ascii_only or not _writes_utf8(environ, encoding)
    letters_only = letters_only or term == "dumb" or term.startswith(_FEW_GLYPHS)
    return Look(
        ascii_only=letters_only,
        braille=not letters_only,
        color=_color(environ, term),
        plain=plain or term in _NOTHING or not (stdin_isatty and stdout_isatty),
    )


def look_here(*, plain: bool = False, ascii_only: bool = False) -> Look:
    """Return how to draw on this process's own terminal."""
    # Textual draws on standard error, so that has to be the terminal too.
    shown = _isatty(sys.stdout) and _isatty(sys.stderr)
    encoding = getattr(sys.stdout, "encoding", None)
    return look(os.environ, _isatty(sys.stdin), shown, encoding, plain=plain, ascii_only=ascii_only)


def can_answer() -> bool:
    """Whether somebody can be asked: there is a terminal to read from and one to write to."""
    return _isatty(sys.stdin) and _isatty(sys.stdout)


def prepare(environ: MutableMapping[str, str]) -> None:
    """Set what the libraries read at import, after `look`. What she set for herself stays."""
    environ.setdefault("ESCDELAY", _ESCAPE_MS)
    environ.setdefault("TEXTUAL_ANIMATIONS", "none")
    environ.setdefault("TEXTUAL_SMOOTH_SCROLL", "0")
    environ.setdefault("TEXTUAL_FPS", _FRAMES)
    for foreign in _FOR_OTHER_APPS:
        environ.pop(foreign, None)
    environ.pop("NO_COLOR", None)  # is in the look already; Textual would answer it with grays
    for fixed in ("COLUMNS", "LINES"):
        environ.pop(fixed, None)  # they would hide every later change of the window's size


def _writes_utf8(environ: Mapping[str, str], encoding: str | None) -> bool:
    if (encoding or "ascii").lower().replace("-", "").replace("_", "") != "utf8":
        return False
    # In the C locale Python writes UTF-8 all the same; whoever asked for C asked for ASCII.
    names = (environ.get(name) for name in ("LC_ALL", "LC_CTYPE", "LANG"))
    return next(filter(None, names), "") not in ("C", "POSIX")


def _color(environ: Mapping[str, str], term: str) -> Color:
    if environ.get("NO_COLOR") or term in _NOTHING or term.startswith("vt"):
        return "none"
    if environ.get("COLORTERM", "").lower() in ("truecolor", "24bit"):
        return "full"
    return "full" if term.endswith(("256color", "kitty")) else "16"


def _isatty(stream: TextIO | None) -> bool:
    try:
        return stream is not None and stream.isatty()
    except ValueError:  # closed before the program began
        return False
