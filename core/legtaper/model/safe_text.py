"""Text that people typed, made safe to show: on a terminal, on paper and inside a file format.

Names, notes and labels come from files that others may have written. What is shown holds one
line, no control characters and nothing that turns the direction of the text round it.
"""

from __future__ import annotations

import re
import textwrap
import unicodedata
from functools import lru_cache

ELLIPSIS = "…"
UNBROKEN = "\u00a0"

_INSIDE_LENGTH = re.compile(
    r"(?<=\d) (?=\d+/\d)|(?<=\d ft) (?=\d)|(?<=[\d½¼¾⅛⅜⅝⅞]) (?=(?:in|cm|mm|m|ft|%)(?![A-Za-z0-9_]))"
)
"""The blanks inside a length: "10 1/4 in" broken at one would read as 1/4 in."""

_BESIDE_EQUALS = re.compile(r"(?<=\S) (?== )|(?<= =) (?=\S)")
"""The blanks of "hip = 41", which is heard and typed as one thing."""

_BREAKS = re.compile("[\t\n\v\f\r\x85\u2028\u2029]+")
_JOINERS = "\u200c\u200d"  # Persian, the Indic scripts and many emoji are wrong without them
_UNKNOWN = "\ufffd"
_PLAIN = str.maketrans(
    {
        "‘": "'",
        "’": "'",
        "′": "'",
        "“": '"',
        "”": '"',
        "–": "-",
        "—": "-",
        "−": "-",
        "×": "x",
        "⁄": "/",
        "°": " deg",
    }
)


def clean(text: str, at_most: int = 200) -> str:
    """Return `text` as one safe line of at most `at_most` characters, cut with an ellipsis.

    Line breaks and tabs become one space. Control characters and invisible format characters
    (the bidirectional ones among them) go. What no file format can hold, lone surrogates and
    noncharacters, becomes U+FFFD. Raises `ValueError` where `at_most` is below 1.
    """
    if at_most < 1:
        raise ValueError("a text needs room for at least one character")
    line = "".join(map(_safe, _BREAKS.sub(" ", text)))
    return line if len(line) <= at_most else line[: at_most - 1] + ELLIPSIS


def _safe(character: str) -> str:
    if character.isascii() and character.isprintable():
        return character
    kind = unicodedata.category(character)
    if kind == "Cs" or ord(character) & 0xFFFE == 0xFFFE or "\ufdd0" <= character <= "\ufdef":
        return _UNKNOWN
    return "" if kind in ("Cc", "Cf") and character not in _JOINERS else character


def unbroken(text: str) -> str:
    """Return the text with blanks inside its lengths at which no line ends."""
    return _INSIDE_LENGTH.sub(UNBROKEN, text)


def wrapped(text: str, room: int, indent: str = "", first: str = "") -> list[str]:
    """Return the text in lines of at most `room` characters.

    Lengths, long words and what is beside a "=" stay in one piece.

    Lines after the first begin with `indent`, the first with `first`. Blanks that set the text in
    are kept.
    """
    whole = _BESIDE_EQUALS.sub(UNBROKEN, unbroken(text))
    lines = textwrap.wrap(
        whole, room, initial_indent=first, subsequent_indent=indent,
        break_on_hyphens=False, break_long_words=False,
    )  # fmt: skip
    return [line.replace(UNBROKEN, " ") for line in lines]


def columns(text: str) -> int:
    """Return how many columns of a terminal a cleaned `text` takes: wide characters take two."""
    return len(text) if text.isascii() else sum(map(_columns, text))


@lru_cache(maxsize=2000)  # a screen has few, over and over
def _columns(character: str) -> int:
    if unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def fit(text: str, room: int, ellipsis: str = ELLIPSIS) -> str:
    """Return a cleaned `text` cut to at most `room` columns, ending in `ellipsis` where cut."""
    if columns(text) <= room:
        return text
    left, kept = room - columns(ellipsis), ""
    for character in text:
        left -= _columns(character)
        if left < 0:
            break
        kept += character
    return (kept.rstrip() + ellipsis)[: max(room, 0)]


def to_ascii(text: str) -> str:
    """Return `text` in ASCII: accents dropped, `½` as `1/2`, what has no likeness as `?`."""
    spread = "".join(map(_spelled, " " + text, text)).translate(_PLAIN)
    bare = (c for c in spread if not unicodedata.combining(c) and c not in _JOINERS)
    return "".join(bare).encode("ascii", "replace").decode("ascii")


def _spelled(before: str, character: str) -> str:
    """Return the plain spelling of `character`; `2½` must become `2 1/2`, never `21/2`."""
    plain = unicodedata.normalize("NFKD", character)
    return f" {plain}" if before.isdigit() and "⁄" in plain else plain
