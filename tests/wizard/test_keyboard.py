"""What a terminal sends, noise included, becomes keys and pastes, and never an error."""

from __future__ import annotations

import random
import time
from collections.abc import Iterable

import pytest
from textual.constants import ESCAPE_DELAY
from textual.events import Key, Paste, Resize
from textual.message import Message

from legtaper_wizard.tui.keyboard import AT_ONCE, PASTE_ENDS, PASTE_HOLDS, Keyboard


def keys(messages: Iterable[Message]) -> str:
    """Return the characters of all keys among messages."""
    return "".join(one.character or f"<{one.key}>" for one in messages if isinstance(one, Key))


def pastes(messages: Iterable[Message]) -> list[str]:
    """Return the texts that were pasted."""
    return [one.text for one in messages if isinstance(one, Paste)]


@pytest.mark.parametrize(
    ("data", "typed"),
    [
        (b"caf\xe9 5/8", "caf 5/8"),  # an accented letter from a Latin-1 terminal
        (b"5\xff\xfe/8", "5/8"),
        (b"\xc3", ""),
        ("2½".encode(), "2½"),
    ],
)
def test_a_byte_that_is_no_letter_is_dropped(data: bytes, typed: str) -> None:
    """What is no UTF-8 goes; the letters round it stay."""
    assert keys(Keyboard().feed(data, 0)) == typed


def test_a_letter_in_two_readings_is_one_letter() -> None:
    """A link may cut a letter of several bytes in two."""
    keyboard = Keyboard()
    assert keys([*keyboard.feed(b"2\xc2", 0), *keyboard.feed(b"\xbd", 0)]) == "2½"


@pytest.mark.parametrize(
    "report",
    [
        b"\x1b[99999999999u",  # a key that no keyboard has
        b"\x1b[97;1;1114112u",
        b"\x1b[97;5:99;55555555555u",
        b"\x1b[M\xff\xff\xff",  # an old mouse report
        b"\x1b[<64;1;1M",
        b"\x1b[99999;99999R",
    ],
)
def test_a_report_that_cannot_be_ends_nothing(report: bytes) -> None:
    """Keys after an impossible report are keys as before."""
    keyboard = Keyboard()
    list(keyboard.feed(report, 0))
    assert keys(keyboard.feed(b"7", 1)).endswith("7")


def test_a_window_of_impossible_size_is_noise() -> None:
    """A report of a window that no screen has is dropped, a real one is taken."""
    keyboard = Keyboard()
    sizes = list(keyboard.feed(b"\x1b[48;999999;999999;1;1t", 0))
    assert not [one for one in sizes if isinstance(one, Resize)]
    assert [one.size for one in keyboard.feed(b"\x1b[48;40;120;1;1t", 0) if isinstance(one, Resize)]


def test_many_letters_at_once_are_one_paste() -> None:
    """2,000 letters in one reading are one change of the line; keys after them come after them."""
    messages = list(Keyboard().feed(b"a" * 2000 + b"\r", 0))
    assert pastes(messages) == ["a" * 2000]
    assert isinstance(messages[0], Paste)
    assert keys(messages) == "\r"


def test_an_answer_typed_ahead_is_keys() -> None:
    """What one person types between two readings is keys as ever."""
    text = "5/8 in\r17 1/2 in\r"
    messages = list(Keyboard().feed(text.encode(), 0))
    assert len(text) < AT_ONCE
    assert keys(messages) == text
    assert not pastes(messages)


@pytest.mark.parametrize("typed", ["14", "5/8", "?", " ", "Old", "b\r", "\r", "\t", "1\x1b2"])
@pytest.mark.parametrize("apart", [True, False])
def test_what_is_typed_soon_after_esc_is_whole(typed: str, apart: bool) -> None:
    """Esc and a letter, in one reading or in two, are Esc and that letter, and no third key."""
    if typed[0] == "b" and not apart:
        return  # alt+b, a word back
    keyboard, text = Keyboard(), typed.encode()
    parts = (b"\x1b", text) if apart else (b"\x1b" + text,)
    found = [one for i, part in enumerate(parts) for one in keyboard.feed(part, i * 0.03)]
    found += keyboard.tick(0.06)
    time.sleep(ESCAPE_DELAY * 1.2)  # the parser goes by a clock of its own
    found += keyboard.tick(5)
    assert keys(found) == "\x1b" + typed
    assert next(one.key for one in found if isinstance(one, Key)) == "escape"


def test_a_lone_esc_is_esc_once_it_is_clear() -> None:
    """As long as it may begin a sequence it waits; then it is Esc, once."""
    keyboard = Keyboard()
    assert not list(keyboard.feed(b"\x1b", 0))
    assert not list(keyboard.tick(ESCAPE_DELAY / 2))
    assert keys(keyboard.tick(ESCAPE_DELAY)) == "\x1b"
    assert not list(keyboard.tick(5))


@pytest.mark.parametrize(
    ("sent", "key"),
    [(b"\x1b[A", "up"), (b"\x1bOP", "f1"), (b"\x1bb", "ctrl+left"), (b"\x1b\x7f", "ctrl+w")],
)
def test_a_key_that_begins_with_esc_is_that_key(sent: bytes, key: str) -> None:
    """What terminals send for a key is no Esc."""
    assert [one.key for one in Keyboard().feed(sent, 0) if isinstance(one, Key)] == [key]


def test_a_paste_whose_end_is_lost_ends_by_itself() -> None:
    """After a second without a byte the paste is over, and Esc and F10 are keys again."""
    keyboard = Keyboard()
    assert not pastes(keyboard.feed(b"\x1b[200~12 3/4", 0))
    assert not pastes(keyboard.tick(PASTE_ENDS / 2))
    assert pastes(keyboard.tick(PASTE_ENDS * 1.5)) == ["12 3/4"]
    assert [one.key for one in keyboard.feed(b"\x1b[21~", 2) if isinstance(one, Key)] == ["f10"]


@pytest.mark.parametrize("cut", range(1, 6))
def test_the_mark_of_a_paste_may_come_in_two_readings(cut: int) -> None:
    """Wherever a link cuts the mark before a paste, the text is one paste."""
    keyboard, text = Keyboard(), b"\x1b[200~" + b"x" * 100 + b"\x1b[201~"
    found = [*keyboard.feed(text[:cut], 0), *keyboard.feed(text[cut:], 0.01)]
    found += keyboard.feed(b"!", 0.02)
    assert "".join(pastes(found)) == "x" * 100


def test_a_paste_holds_what_a_field_can_hold() -> None:
    """Of a paste of megabytes only the first part is looked at."""
    keyboard = Keyboard()
    found = list(keyboard.feed(b"\x1b[200~" + b"y" * 1_000_000, 0))
    found += [*keyboard.feed(b"\x1b[201~", 0.1), *keyboard.feed(b"z", 0.2)]
    assert pastes(found) == ["y" * PASTE_HOLDS]
    assert keys(found) == "z"


def test_noise_ends_nothing() -> None:
    """Random bytes in random portions raise nothing, and a key after a quiet while is a key."""
    chance = random.Random(5)
    for _ in range(300):
        keyboard, now = Keyboard(), 0.0
        for _ in range(chance.randrange(1, 6)):
            noise = bytes(
                chance.choice(b"\x1b[<?0123456789;:uMmtR~\x00\xff\xc3aZ ") for _ in range(40)
            )
            list(keyboard.feed(noise + chance.randbytes(20), now))
            now += chance.choice((0.01, 2.0))
            list(keyboard.tick(now))
        list(keyboard.tick(now + 5))
        list(keyboard.feed(b"\x1b[201~", now + 5))
        assert keys(keyboard.feed(b"k", now + 10)).endswith("k")
