"""Text that is shown: lines that keep a length in one piece."""

from __future__ import annotations

import pytest

from legtaper.model.safe_text import unbroken, wrapped
from legtaper.model.sentences import listed


@pytest.mark.parametrize("room", range(12, 40))
@pytest.mark.parametrize("size", ["10 1/4 in", "26 cm", "5 ft 4 in", "12.5 %"])
def test_no_line_ends_inside_a_length(room: int, size: str) -> None:
    """In any room that holds it, a length is in one piece: 10 1/4 in broken would read 1/4 in."""
    text = f"The hem is {size} around the leg, and the foot needs {size}; {size} is the block's."
    lines = wrapped(text, room, "  ")
    assert " ".join(" ".join(lines).split()) == text
    assert sum(line.count(size) for line in lines) == 3


@pytest.mark.parametrize("room", range(16, 40))
def test_no_line_ends_beside_an_equals_sign(room: int) -> None:
    """In any room that holds it, what is to be typed as "hip = 41 in" is in one piece."""
    text = "To answer one, type its name, = and the answer, as in hip = 41 in, from anywhere."
    lines = wrapped(text, room, "  ")
    assert " ".join(" ".join(lines).split()) == text
    assert any("hip = 41 in" in line for line in lines)


def test_words_that_are_no_length_are_broken_as_ever() -> None:
    """A number before an ordinary word, and a word that only begins like a unit."""
    assert wrapped("level 12 comfort", 8) == ["level 12", "comfort"]
    assert unbroken("3 inches, 4 minutes") == "3 inches, 4 minutes"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], ""),
        (["hem"], "hem"),
        (["hem", "calf"], "hem and calf"),
        (["hem", "calf", "knee"], "hem, calf and knee"),
    ],
)
def test_words_are_listed_as_a_sentence_has_them(words: list[str], said: str) -> None:
    """The last one behind "and", the others behind commas."""
    assert listed(words) == said
