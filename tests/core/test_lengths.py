from __future__ import annotations

import math
import re
import subprocess
import sys
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.model import lengths
from legtaper.model.lengths import (
    STEPS,
    Length,
    LengthError,
    factor,
    from_mm,
    parse_length,
    round_to,
    say_length,
)
from legtaper.model.said_lengths import (
    say_both,
    say_bound,
    say_exact,
    say_less,
    say_small,
    understood,
)

# (what is typed, what a bare number means, exact mm)
READ = [
    ("7", "in", 177.8),
    ("7", "cm", 70.0),
    ("7", "mm", 7.0),
    ("0", "in", 0.0),
    ("12.5 cm", "in", 125.0),
    ("12,5 cm", "in", 125.0),
    ("41,5", "cm", 415.0),
    (".5", "in", 12.7),
    (",5", "in", 12.7),
    ("0,125", "in", 3.175),
    ("1,25", "in", 31.75),
    ("1,2500", "in", 31.75),
    ("1.250", "in", 31.75),
    ("1/2", "in", 12.7),
    ("1/2", "cm", 5.0),
    ("2 1/2", "in", 63.5),
    ("2  1 / 2", "in", 63.5),
    ("2-1/2", "in", 63.5),
    ("2½", "in", 63.5),
    ("2 ½", "in", 63.5),
    ("2-½", "in", 63.5),
    ("½", "in", 12.7),
    ("½in", "cm", 12.7),
    ("2 1⁄2", "in", 63.5),
    ("2 1⁄2 in", "cm", 63.5),
    ("10 11/16", "in", 271.4625),
    ("11/16", "in", 17.4625),
    ("2 1/2 in", "cm", 63.5),
    ("2 1/2in", "cm", 63.5),
    ("2 1/2 IN", "cm", 63.5),
    ("2 1/2 inch", "cm", 63.5),
    ("2 1/2 Inches", "cm", 63.5),
    ('2 1/2"', "cm", 63.5),
    ("2 1/2 ″", "cm", 63.5),
    ("2 1/2”", "cm", 63.5),
    ("41.5CM", "in", 415.0),
    ("0.6 mm", "in", 0.6),
    ("5 ft", "in", 1524.0),
    ("5'", "in", 1524.0),
    ("5′", "in", 1524.0),
    ("5’", "in", 1524.0),
    ("5.5 ft", "in", 1676.4),
    ("5 1/2 ft", "in", 1676.4),
    ("5 ft 4 in", "cm", 1625.6),
    ("5'5 1/2", "in", 1663.7),
    ("5ft4in", "cm", 1625.6),
    ("5'4\"", "cm", 1625.6),
    ("5'4", "cm", 1625.6),
    ("5 ft 11", "in", 1803.4),
    ("5' 4 1/2\"", "cm", 1638.3),
    ("5’ 4½”", "cm", 1638.3),
    ("5 ft 11.5 in", "cm", 1816.1),
    ("5 ft 0 in", "cm", 1524.0),
    ("  2   1/2   in  ", "cm", 63.5),
    ("66\u00a0in", "cm", 1676.4),
    ("5000 mm", "in", 5000.0),
]

SIGNED = [
    ("-1/4 in", -6.35),
    ("−1/4 in", -6.35),
    ("-2-1/2 in", -63.5),
    ("- 2½", -63.5),
    ("-5 ft 4 in", -1625.6),
    ("2-1/2", 63.5),
    ("-0", 0.0),
]

# (what is typed, words that must stand in the answer)
REFUSED = [
    ("", "nothing is written"),
    ("   ", "nothing is written"),
    ("in", "no number"),
    ("-", "no number"),
    (".", "no number"),
    ("nan", "no number"),
    ("inf", "no number"),
    ("٣ in", "no digit from 0 to 9"),
    ("２ in", "no digit from 0 to 9"),
    ("about 4 in", "does not start with a number"),
    ("+4 in", "does not start with a number"),
    ("2 furlongs", '"furlongs" is not a unit'),
    ("2 in.", '"in." is not a unit'),
    ("2 ın", '"ın" is not a unit'),
    ("5 ft and 4 in", '"ft and" is not a unit'),
    ("1e5", '"e" is not a unit'),
    ("2²", '"²" is not a unit'),
    ("1_250 mm", '"_" is not a unit'),
    ("2 3", "two numbers with no unit between"),
    ("1 250 mm", "two numbers with no unit between"),
    ("2.5 1/2", "two numbers with no unit between"),
    ("½½", "two numbers with no unit between"),
    ("½2", "two numbers with no unit between"),
    ("11/2", "could be 1 1/2 or 5 1/2"),
    ("23/8 in", "could be 2 3/8 or 2 7/8"),
    ("3/2", "write 1 1/2"),
    ("4/2", "write 2"),
    ("20/8", "write 2 1/2"),
    ("2 3/2", "write 3 1/2"),
    ("1/0", "divides by zero"),
    ("2 1/0 in", "divides by zero"),
    ("1,250", "could be 1250 or 1.250"),
    ("12,500 mm", "could be 12500 or 12.500"),
    ("1,250.5", "both a point and a comma"),
    ("1.250,5", "both a point and a comma"),
    ("1,250,000", "digits in groups"),
    ("1.250.000", "digits in groups"),
    ("5 ft 14 in", "write 6 ft 2 in"),
    ("5'12\"", "write 6 ft 0 in"),
    ("5 ft 14", "write inches as in 5 ft 4 in"),
    ("5'4.5", "write inches as in 5 ft 4 in"),
    ("5 ft 4 cm", "feet go together with inches only"),
    ("5.5 ft 4 in", "5.5 ft"),
    ("5 1/2 ft 4 in", "5 1/2 ft"),
    ("4 in 5 ft", "more than one length"),
    ("2 in 3 in", "more than one length"),
    ("5 ft 4 in 1", "more than one length"),
    ("-1/4 in", 'is negative, and that can\'t be here; write "1/4 in"'),
    ("−3", 'write "3"'),
    ("2.", "is not a number that can be read"),
    ("2-", "is not a number that can be read"),
    ("2-3", "is not a number that can be read"),
    ("2 - 1/2", "is not a number that can be read"),
    ("1/2/3", "is not a number that can be read"),
    ("1/½", "is not a number that can be read"),
    ("5'-4\"", "is not a number that can be read"),
    ("2\n", "can't be seen"),
    ("2 1/2\tin", "can't be seen"),
    ("2 \x1b[31min", "can't be seen"),
    ("2\u200b1/2 in", "can't be seen"),
    ("2 in\ud800", "can't be seen"),
    ("5001 mm", "a length above 5 m (196 7/8 in) can't be right here"),
    ("17 ft", "a length above 5 m (196 7/8 in) can't be right here"),
    ("9" * 41, "too much text"),
]


def refusal(text: str, unit: str = "in", **options: float) -> str:
    """Return what the parser says against the text."""
    with pytest.raises(LengthError) as caught:
        parse_length(text, unit, **options)  # type: ignore[arg-type]
    return str(caught.value)


@pytest.mark.parametrize(("text", "unit", "mm"), READ)
def test_reads_what_people_type(text: str, unit: str, mm: float) -> None:
    """Every accepted spelling gives the float nearest to what it says, and keeps its text."""
    length = parse_length(text, unit)
    assert length.mm == mm
    assert length.text == text.replace("\u00a0", " ").strip()


@pytest.mark.parametrize(("text", "mm"), SIGNED)
def test_reads_a_sign_where_one_is_allowed(text: str, mm: float) -> None:
    """A leading hyphen or minus sign negates the whole length; inside, it joins a fraction."""
    read = parse_length(text, "in", signed=True).mm
    assert read == mm
    assert math.copysign(1, read) == math.copysign(1, mm)


@pytest.mark.parametrize(
    ("character", "value"),
    [
        ("¼", "1/4"), ("½", "1/2"), ("¾", "3/4"), ("⅐", "1/7"), ("⅑", "1/9"), ("⅒", "1/10"),
        ("⅓", "1/3"), ("⅔", "2/3"), ("⅕", "1/5"), ("⅖", "2/5"), ("⅗", "3/5"), ("⅘", "4/5"),
        ("⅙", "1/6"), ("⅚", "5/6"), ("⅛", "1/8"), ("⅜", "3/8"), ("⅝", "5/8"), ("⅞", "7/8"),
    ],
)  # fmt: skip
def test_reads_every_fraction_character(character: str, value: str) -> None:
    """A one-character fraction counts the same as its digits, alone and behind a whole number."""
    assert parse_length(character, "in").mm == float(Fraction(value) * Fraction("25.4"))
    assert parse_length(f"3{character}", "in").mm == parse_length(f"3 {value}", "in").mm


@pytest.mark.parametrize(("text", "words"), REFUSED)
def test_refuses_in_one_plain_line(text: str, words: str) -> None:
    """What is wrong or ambiguous is refused in one short printable line that says why."""
    said = refusal(text)
    assert words in said
    assert said.isprintable()
    assert len(said) < 140


@pytest.mark.parametrize("text", [text for text, _ in REFUSED])
def test_the_suggestion_works(text: str) -> None:
    """Whatever a refusal tells the wearer to write is itself accepted."""
    said = refusal(text)
    advice = said.partition("could be ")[2].partition(";")[0] or said.rpartition("; ")[2]
    examples = [re.sub(r"^\D*", "", part).rstrip('"') for part in advice.split(" or ")]
    assert any(examples)
    for example in filter(None, examples):
        assert parse_length(example, "mm", at_most=math.inf).mm > 0


def test_refusal_quotes_only_the_beginning_of_long_text() -> None:
    """A pasted page does not fill the screen: 30 characters of it are quoted, escapes escaped."""
    said = refusal("\x1b[2J" + "x" * 5000)
    assert '"\\x1b[2J' in said
    assert "x" * 30 not in said


@pytest.mark.parametrize(
    ("unit", "at_most", "limit"),
    [("in", 5000.0, "5 m (196 7/8 in)"), ("cm", 5000.0, "5 m (500 cm)"), ("cm", 25.0, "2.5 cm")],
)
def test_a_limit_is_said_in_the_wearers_unit(unit: str, at_most: float, limit: str) -> None:
    """Above the limit a length is refused, the limit named; at the limit it is read."""
    assert f"a length above {limit} can't" in refusal(f"{at_most + 1} mm", unit, at_most=at_most)
    assert parse_length(f"{at_most:g} mm", unit, at_most=at_most).mm == at_most


def test_a_limit_holds_for_negative_lengths_too() -> None:
    """The limit is on the size, so a sign is no way round it."""
    assert "can't be right here" in refusal("-6000 mm", signed=True)


def test_an_unknown_unit_for_bare_numbers_is_refused() -> None:
    """A caller's wrong unit is named, with the ones that work."""
    assert refusal("2", "yd") == '"yd" is not a unit known here; use in, ft, cm or mm'


def test_pint_itself_would_misread_these() -> None:
    """The reason for our own grammar: pint reads these as something else, without an error."""
    import pint

    registry: Any = pint.UnitRegistry()
    for text, mm in (("2 1/2 in", 63.5), ("41,5 cm", 415.0), ("2½ in", 63.5)):
        assert registry.Quantity(text).to("mm").magnitude != pytest.approx(mm)
        assert parse_length(text, "in").mm == mm


@pytest.mark.parametrize("unit", ["in", "ft", "cm", "mm"])
def test_the_factors_are_those_of_pint(unit: str) -> None:
    """What stands here as exact is what pint's own registry says, but for its last bit."""
    import pint

    says = float(pint.UnitRegistry().Quantity(1, unit).to("mm").magnitude)
    assert factor(unit) == pytest.approx(says, rel=1e-15, abs=0)


def test_pint_is_loaded_for_feet_alone() -> None:
    """Inches and centimeters do not wait for pint; feet and inches ask it."""
    code = (
        "import sys; from legtaper.model.lengths import parse_length as read\n"
        "read('2 1/2 in', 'in'), read('41,5', 'cm'), read('3 mm', 'in')\n"
        "early = 'pint' in sys.modules; read('5 ft 4 in', 'in')\n"
        "sys.exit(early or 'pint' not in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_pint_is_not_loaded_by_the_import_alone() -> None:
    """Start-up does not pay for pint: not with the module."""
    code = "import sys, legtaper.model.lengths; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_factors_are_looked_up_once() -> None:
    """The second request for a factor is answered from the cache."""
    factor("cm")
    before = lengths.factor.cache_info().hits
    factor("cm")
    assert lengths.factor.cache_info().hits == before + 1


@settings(max_examples=200)
@given(st.text(alphabet="0123456789 .,/-−'\"½¾⁄ftincm\n\x00e٣", max_size=14), st.booleans())
def test_any_text_is_read_or_refused(text: str, signed: bool) -> None:
    """No text breaks the parser: it gives a finite length within the limit or a plain refusal."""
    try:
        length = parse_length(text, "in", signed=signed)
    except LengthError as error:
        said = str(error)
    else:
        said = understood(length)
        assert abs(length.mm) <= 5000.001
        assert signed or length.mm >= 0
        assert parse_length(length.text, "in", signed=signed) == length
    assert said.isprintable()


@settings(max_examples=200)
@given(st.floats(0, 5000), st.sampled_from(["in", "cm", "mm"]))
def test_from_mm_reads_back(mm: float, unit: str) -> None:
    """The text made from a number reads back as that number, and as the length's own `mm`."""
    length = from_mm(mm, unit)
    again = parse_length(length.text, unit)
    assert again == length
    assert again.mm == pytest.approx(mm, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (63.5, "in", "2 1/2 in"),
        (63.5 + 4e-10, "in", "2 1/2 in"),
        (1.5875, "in", "1/16 in"),
        (-6.35, "in", "-1/4 in"),
        (0.0, "in", "0 in"),
        (-0.0, "cm", "0 cm"),
        (64.3, "in", "2.531496063 in"),
        (415.0, "cm", "41.5 cm"),
        (0.1 + 0.2, "cm", "0.03 cm"),
        (415.0, "mm", "415 mm"),
        (1000.0, "mm", "1000 mm"),
    ],
)
def test_from_mm_is_neat(mm: float, unit: str, text: str) -> None:
    """Sixteenths of an inch become fractions, the rest the shortest decimal that is right."""
    assert from_mm(mm, unit).text == text


@pytest.mark.parametrize("mm", [math.nan, math.inf, -math.inf])
def test_from_mm_refuses_what_is_not_finite(mm: float) -> None:
    """NaN and infinity never become text in a project."""
    with pytest.raises(LengthError, match="is not a length"):
        from_mm(mm, "in")


@settings(max_examples=200)
@given(st.integers(-3000, 3000))
def test_every_sixteenth_is_said_exactly(sixteenths: int) -> None:
    """Said to the nearest 1/16 in, a number of sixteenths reads back as itself."""
    mm = sixteenths * 25.4 / 16
    said = say_length(mm, "in", "1/16in")
    assert parse_length(said, "cm", signed=True).mm == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("mm", "unit", "step", "said"),
    [
        (63.5, "in", None, "2 1/2 in"),
        (64.3, "in", None, "2 1/2 in"),
        (64.3, "in", "1/16in", "2 9/16 in"),
        (50.8, "in", None, "2 in"),
        (3.175, "in", None, "1/8 in"),
        (1.5, "in", None, "0 in"),
        (-1.5, "in", None, "0 in"),
        (-6.35, "in", None, "-1/4 in"),
        (-63.5, "in", None, "-2 1/2 in"),
        (415.2, "cm", None, "41.5 cm"),
        (420.0, "cm", None, "42 cm"),
        (-0.3, "cm", None, "0 cm"),
        (415.2, "cm", "1mm", "415 mm"),
        (63.5, "in", "1mm", "64 mm"),
        (63.5, "cm", "1/8in", "2 1/2 in"),
        (415.2, "mm", None, "415 mm"),
    ],
)
def test_says_a_length_for_people(mm: float, unit: str, step: str | None, said: str) -> None:
    """Inches to the nearest 1/8 and centimeters to the mm, unless a step says otherwise."""
    assert say_length(mm, unit, step) == said


@pytest.mark.parametrize(
    ("mm", "unit", "exact", "both"),
    [
        (64.3, "in", "2.53 in", "2 1/2 in (2.53)"),
        (63.5, "in", "2.5 in", "2 1/2 in"),
        (63.51, "in", "2.5 in", "2 1/2 in"),
        (53.975, "in", "2.125 in", "2 1/8 in"),
        (50.8, "in", "2 in", "2 in"),
        (64.3, "cm", "6.43 cm", "6.4 cm (6.43)"),
        (64.0, "cm", "6.4 cm", "6.4 cm"),
        (-64.3, "in", "-2.53 in", "-2 1/2 in (-2.53)"),
        (-0.01, "in", "0 in", "0 in"),
        (415.0, "mm", "415 mm", "415 mm"),
    ],
)
def test_says_the_exact_length_beside_the_rounded(
    mm: float, unit: str, exact: str, both: str
) -> None:
    """Decimals lose their trailing zeros and stand beside the rounded length where they differ."""
    assert say_exact(mm, unit) == exact
    assert say_both(mm, unit) == both


@pytest.mark.parametrize(
    ("text", "echo"),
    [
        ("2 1/2 in", "2 1/2 in = 63.5 mm"),
        ("2½", "2½ = 63.5 mm"),
        ("5 ft 4 in", "5 ft 4 in = 64 in = 1625.6 mm"),
        ("41,5 cm", "41,5 cm = 415 mm"),
        ("1/16", "1/16 = 1.59 mm"),
    ],
)
def test_echoes_what_was_understood(text: str, echo: str) -> None:
    """The echo shows what was typed beside what it was taken for."""
    assert understood(parse_length(text, "in")) == echo


@pytest.mark.parametrize(
    ("mm", "step", "rounded"),
    [
        (63.5, "1/8in", 63.5),
        (64.3, "1/8in", 63.5),
        (64.3, "1/16in", 65.0875),
        (1.5875, "1/8in", 3.175),
        (-1.5875, "1/8in", -3.175),
        (3 * 25.4 / 16, "1/8in", 6.35),
        (2.5, "1mm", 3.0),
        (-2.5, "1mm", -3.0),
        (0.1 + 0.2 + 0.2, "1mm", 1.0),
        (2.49, "1mm", 2.0),
        (-0.2, "1mm", 0.0),
    ],
)
def test_rounds_halves_away_from_zero(mm: float, step: str, rounded: float) -> None:
    """The nearest multiple of the step, the same on both sides of zero."""
    assert round_to(mm, step) == rounded


@settings(max_examples=100)
@given(st.floats(-5000, 5000), st.sampled_from(sorted(STEPS)))
def test_rounding_is_nearest_and_settles(mm: float, step: str) -> None:
    """A rounded length is at most half a step away, and rounding it again changes nothing."""
    parts, unit = STEPS[step]
    rounded = round_to(mm, step)
    assert abs(rounded - mm) <= factor(unit) / parts / 2 + 1e-8
    assert round_to(rounded, step) == rounded


def test_unknown_steps_and_units_are_named() -> None:
    """A wrong step or unit is refused with the ones that work."""
    with pytest.raises(LengthError, match=r'"1cm" is not a step.* 1/8in, 1/16in, 1mm'):
        round_to(1.0, "1cm")
    with pytest.raises(LengthError, match='"1cm" is not a step'):
        say_length(1.0, "in", "1cm")
    with pytest.raises(LengthError, match=r'"yd"; use in, cm or mm'):
        say_both(1.0, "yd")


def test_lengths_are_values() -> None:
    """Two lengths with the same text and size are equal and can be keys."""
    assert {parse_length("2 1/2", "in"), Length(63.5, "2 1/2")} == {Length(63.5, "2 1/2")}


@pytest.mark.parametrize(
    ("mm", "unit", "said"),
    [
        (2.44, "cm", "2.4 mm"),
        (0.0, "cm", "less than 0.1 mm"),
        (2.4, "in", "3/32 in"),
        (25.4, "in", "1 in"),
        (0.3, "in", "less than 1/32 in"),
    ],
)
def test_small_lengths_are_said_finer(mm: float, unit: str, said: str) -> None:
    """In the unit of the project, so fine that a few millimeters tell apart."""
    assert say_small(mm, unit) == said


@given(
    st.floats(0, 2000), st.floats(0, 2000), st.sampled_from(["in", "cm"])
)  # fmt: skip
def test_a_row_of_widths_adds_up(was: float, now: float, unit: str) -> None:
    """What is said to come off is the difference of the two lengths that are said."""
    first, second, less = (
        parse_length(text, unit, signed=True).mm for text in say_less(was, now, unit)
    )
    assert first - second == pytest.approx(less, abs=1e-6)
    assert abs(first - was) <= 25.4 / 16
    assert abs(less - (was - now)) <= 25.4 / 16


def test_a_row_of_widths_is_said_in_sixteenths() -> None:
    """26.54 in and 26.18 in: as every other place says these widths, and their difference."""
    assert say_less(26.54 * 25.4, 26.18 * 25.4, "in") == ("26 9/16 in", "26 3/16 in", "3/8 in")
    assert say_less(26.55 * 25.4, 26.20 * 25.4, "in") == ("26 9/16 in", "26 3/16 in", "3/8 in")


@pytest.mark.parametrize("side", ["at least", "at most"])
def test_a_bound_that_was_searched_for_is_the_mark_it_lies_beside(side: Any) -> None:
    """2 1/8 in, found to a ten-thousandth of a mm: not an eighth less, not an eighth more."""
    for off in (-1e-4, 0.0, 1e-4):
        assert say_bound(2.125 * 25.4 + off, "in", side) == "2 1/8 in"
        assert say_bound(54.0 + off, "cm", side) == "5.4 cm"
