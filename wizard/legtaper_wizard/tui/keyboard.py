"""Bytes from a terminal as messages, whatever the bytes are: noise is dropped and ends nothing.

A line of letters that comes at once (typed ahead over a slow link, or pasted where the terminal
does not say so) is one paste, so that a page is drawn once for it and not once for every letter.
"""

from __future__ import annotations

import re
from codecs import getincrementaldecoder
from collections.abc import Iterable, Iterator

from textual import constants
from textual._xterm_parser import BRACKETED_PASTE_END, BRACKETED_PASTE_START, XTermParser
from textual.events import Key, Paste, Resize
from textual.keys import Keys
from textual.message import Message

PASTE_ENDS = 1.0
"""s without a byte after which a paste whose end got lost is over."""

PASTE_HOLDS = 20_000
"""Characters; what a paste brings beyond that fits no field and is not looked at."""

AT_ONCE = 48
"""So many letters in one reading were not typed one by one."""

LARGEST = 2_000
"""Rows or columns; a report of a larger window is noise."""

_NO_LETTER = "\N{REPLACEMENT CHARACTER}"
_LETTERS = re.compile(rf"[^\x00-\x1f\x7f-\x9f]{{{AT_ONCE},}}")
_CUT_SHORT = re.compile(r"\x1b(\[(2(0([01])?)?)?)?\Z")
_ESC_AND_LETTER = re.compile(r"\x1b(?=[^\x1b\[Obf\x7f])")
"""Not alt+b, alt+f and alt+backspace, which go by words where a terminal sends them at once."""
_MARKS = re.compile(f"({re.escape(BRACKETED_PASTE_START)}|{re.escape(BRACKETED_PASTE_END)})")


class _Parser(XTermParser):
    """Textual's parser; a report of a key that no keyboard has is no key."""

    def _parse_extended_key(self, sequence: str) -> list[Key] | None:  # type: ignore[override]
        try:
            return super()._parse_extended_key(sequence)
        except (ValueError, OverflowError):
            return [Key(Keys.Ignore, None)]


class Keyboard:
    """What was read so far of keys, pastes and reports. `now` is in seconds, of any clock."""

    def __init__(self) -> None:
        self._decode = getincrementaldecoder("utf-8")("replace").decode
        self._parser = _Parser()
        self._pasted: int | None = None  # characters of the paste that is open
        self._held = ""  # an Esc or more of a mark of a paste, cut short by the end of a reading
        self._last = 0.0

    def feed(self, data: bytes, now: float) -> Iterator[Message]:
        """Yield what the bytes mean."""
        self._last = now
        read = self._decode(data)
        if self._held == "\x1b" and self._pasted is None and read[:1] not in ("", "[", "O"):
            self._held = ""  # whose keyboard has such a key sends both at once
            yield _esc()
        text = self._held + read
        cut = _CUT_SHORT.search(text)
        self._held = cut[0] if cut else ""
        yield from self._marked(text[: len(text) - len(self._held)])

    def _marked(self, text: str) -> Iterator[Message]:
        for part in _MARKS.split(text):
            if part == BRACKETED_PASTE_START:
                self._pasted = 0
            elif part == BRACKETED_PASTE_END:
                self._pasted = None
            if self._pasted is None or part == BRACKETED_PASTE_START:
                yield from self._typed(part)
            else:
                room = max(0, PASTE_HOLDS - self._pasted)
                self._pasted += len(part)
                yield from self._parsed(part[:room])

    def tick(self, now: float) -> Iterator[Message]:
        """Yield what has become clear because nothing more came: a lone Esc, the end of a paste."""
        if self._held != "\x1b" or self._pasted is not None:
            held, self._held = self._held, ""
            yield from self._parsed(held)
        elif now - self._last >= constants.ESCAPE_DELAY:
            self._held = ""
            yield _esc()
        if self._pasted is not None and now - self._last > PASTE_ENDS:
            self._pasted = None
            yield from self._parsed(BRACKETED_PASTE_END)
        yield from _sound(self._parser.tick())

    def _typed(self, text: str) -> Iterator[Message]:
        """Yield what was typed: Esc and a letter soon after it are two keys, and no third one."""
        at = 0
        for esc in _ESC_AND_LETTER.finditer(text):
            yield from self._keyed(text[at : esc.start()])
            yield _esc()
            at = esc.end()
        yield from self._keyed(text[at:])

    def _keyed(self, text: str) -> Iterator[Message]:
        at = 0
        for run in _LETTERS.finditer(text):
            yield from self._parsed(text[at : run.start()])
            if at == run.start() or text[run.start() - 1] != "\x1b":
                yield Paste(run[0].replace(_NO_LETTER, ""))
            else:  # it may go on with a sequence of the terminal's
                yield from self._parsed(run[0])
            at = run.end()
        yield from self._parsed(text[at:])

    def _parsed(self, text: str) -> Iterator[Message]:
        if not text:
            return
        try:
            yield from _sound(self._parser.feed(text))
        except Exception:  # whatever a parser makes of noise: it begins again after it
            self._parser, self._pasted = _Parser(), None


def _esc() -> Key:
    return Key("escape", "\x1b")


def _sound(messages: Iterable[Message]) -> Iterator[Message]:
    for message in messages:
        if isinstance(message, Resize) and max(message.size) > LARGEST:
            continue
        if isinstance(message, Key) and message.character == _NO_LETTER:
            continue
        if isinstance(message, Paste):
            message.text = message.text.replace(_NO_LETTER, "")
        if isinstance(message, Key) and message.key.startswith("alt+") and message.character:
            yield _esc()  # and the O that might have been the beginning of a key
            yield Key(message.character, message.character)
        else:
            yield message
