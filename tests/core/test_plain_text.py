import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.model.safe_text import clean, columns, fit, to_ascii


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("front", "front"),
        ("two\r\nlines\tand a tab", "two lines and a tab"),
        ("\x1b[31mred\x1b[0m", "[31mred[0m"),
        ("\x9b2J\x07\x00done", "2Jdone"),
        ("left\u202eright\u2066 \u200fmark", "leftright mark"),
        ("soft\u00adhyphen \ufeffbom", "softhyphen bom"),
        ("می\u200cخواهم", "می\u200cخواهم"),
        ("lone \ud800 and \uffff and \U0001fffe", "lone \ufffd and \ufffd and \ufffd"),
        ("a\u2028b\u0085c", "a b c"),
        ("½ naïve 裤子 👖", "½ naïve 裤子 👖"),
    ],
)
def test_clean(typed: str, shown: str) -> None:
    """One line is left, without control or direction characters; letters stay as they are."""
    assert clean(typed) == shown


def test_clean_cuts_with_an_ellipsis() -> None:
    """A text that is too long ends in an ellipsis and has exactly the length allowed."""
    assert clean("x" * 10_000) == "x" * 199 + "…"
    assert clean("x" * 200) == "x" * 200
    assert clean("abcdef", 4) == "abc…"


def test_clean_needs_room() -> None:
    """No room at all is a mistake of the caller."""
    with pytest.raises(ValueError, match="at least one"):
        clean("text", 0)


@settings(max_examples=60)
@given(st.text(alphabet=st.characters(exclude_categories=()), max_size=40))
def test_clean_leaves_nothing_unsafe(text: str) -> None:
    """Whatever is typed: no controls, no surrogates, and cleaning twice changes nothing."""
    shown = clean(text)
    assert not {unicodedata.category(c) for c in shown} & {"Cc", "Cs", "Zl", "Zp"}
    assert clean(shown) == shown


@pytest.mark.parametrize(
    ("text", "wide"),
    [("knee", 4), ("½ in", 4), ("裤子", 4), ("e\u0301", 1), ("می\u200cخواهم", 7), ("", 0)],
)
def test_columns(text: str, wide: int) -> None:
    """Wide characters count two columns, combining marks and joiners none."""
    assert columns(text) == wide


@pytest.mark.parametrize(
    ("room", "shown"),
    [(9, "knee 裤子"), (8, "knee 裤…"), (7, "knee…"), (5, "knee…"), (1, "…"), (0, ""), (-2, "")],
)
def test_fit(room: int, shown: str) -> None:
    """A text is cut by columns, never inside a wide character, and without a blank at the cut."""
    assert fit("knee 裤子", room) == shown


def test_fit_with_a_longer_ellipsis() -> None:
    """An ellipsis of three dots takes its own room."""
    assert fit("crotch", 5, "...") == "cr..."
    assert fit("crotch", 2, "...") == ".."


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("15½ in", "15 1/2 in"),
        ("15 ½ in", "15 1/2 in"),
        ("½ in", "1/2 in"),
        ("déjà vu", "deja vu"),
        ("5′ 4″ – “wide”…", "5' 4'' - \"wide\"..."),
        ("裤", "?"),
    ],
)
def test_to_ascii(text: str, plain: str) -> None:
    """Fractions keep their value, accents go, and what has no likeness becomes a question mark."""
    assert to_ascii(text) == plain
