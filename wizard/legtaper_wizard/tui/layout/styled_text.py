"""Lines of styled text: runs of characters with the name of a style, measured in columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from legtaper.model.safe_text import UNBROKEN, columns, fit, unbroken

Run = tuple[str, str]
"""A stretch of text and the name of its style, "" for plain."""
Line = tuple[Run, ...]


def width(line: Line) -> int:
    """Return how many columns a line takes."""
    total = 0
    for text, _ in line:  # asked for every line of every draw
        total += len(text) if text.isascii() else columns(text)
    return total


def plain(text: str, style: str = "") -> Line:
    """Return a text as a line of one run."""
    return ((text, style),) if text else ()


def put(line: Line, x: int, text: str, style: str = "") -> Line:
    """Return the line with a text added at column `x`, or after its end."""
    gap = x - width(line)
    blanks: Line = ((" " * gap, ""),) if gap > 0 else ()
    return (*line, *blanks, (text, style)) if text else line


def cut(line: Line, room: int, more: str) -> Line:
    """Return the line cut to `room` columns, ending in `more` where something is cut off."""
    if width(line) <= room:
        return line
    kept: list[Run] = []
    left = room - columns(more)
    for text, style in line:
        if columns(text) > left:
            kept.append((fit(text, left, "") + more, style))
            break
        kept.append((text, style))
        left -= columns(text)
    return tuple(kept)


def wrap(text: str, room: int) -> list[str]:
    """Return a cleaned text as lines of at most `room` columns, broken between words.

    A word that is longer than a line is broken where the line ends.
    """
    return list(_wrapped(text, room))


@lru_cache(maxsize=512)  # from one draw to the next most texts stay
def _wrapped(text: str, room: int) -> tuple[str, ...]:
    lines: list[str] = []
    line = ""
    for word in _words(text, max(room, 1)):
        if line and columns(line) + 1 + columns(word) > room:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}" if line else word
    return (*lines, line) if line else tuple(lines)


def _words(text: str, room: int) -> Iterator[str]:
    for whole in unbroken(" ".join(text.split())).split(" "):
        word = whole.replace(UNBROKEN, " ")
        while columns(word) > room:
            part = fit(word, room, "") or word[:1]
            yield part
            word = word[len(part) :]
        if word:
            yield word


def hang(marker: str, text: str, room: int, style: str = "", words: str = "") -> list[Line]:
    """Return a text behind its marker, wrapped with the later lines set in below its beginning.

    `style` is of the marker, `words` of the text.
    """
    indent = columns(marker) + 1 if marker else 0
    rows = wrap(text, room - indent)
    head: Line = ((marker, style), (" ", "")) if marker else ()
    blank: Line = ((" " * indent, ""),) if indent else ()
    return [(*(blank if i else head), (row, words)) for i, row in enumerate(rows)]


def joined(parts: Iterable[str], room: int, gap: str = "  ") -> list[str]:
    """Return parts that are never broken, as many on each line as fit."""
    lines: list[str] = []
    for part in parts:
        if lines and columns(lines[-1]) + len(gap) + columns(part) <= room:
            lines[-1] += gap + part
        else:
            lines.append(part)
    return lines
