"""Text to millimeters and back; the one module that knows units.

What a person types is read by the small strict grammar below. Anything that could mean two
things is refused with an example that works. Pint gives the factors only: its own parser
reads "2 1/2 in" as 1 inch and "41,5 cm" as 415 cm without a word, so text never reaches it. How
a person is told lengths is `said_lengths`.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any, Final

STEPS: Final[Mapping[str, tuple[int, str]]] = {
    "1/8in": (8, "in"),
    "1/16in": (16, "in"),
    "1mm": (1, "mm"),
}
"""What lengths can be rounded to: step -> (how many go into one unit, that unit)."""

RULER_STEP: Final[Mapping[str, str]] = {"in": "1/16in", "cm": "1mm", "mm": "1mm"}
"""How fine a ruler is, by unit: one of `STEPS`."""

_DEFAULT_STEP: Final = {"in": "1/8in", "cm": "1mm", "mm": "1mm"}
_LONGEST: Final = 40  # characters; the longest sensible entry is about half of that
_TINY: Final = 1e-9  # mm; far below anything that can be cut, far above rounding noise


class LengthError(ValueError):
    """A length that cannot be read. `str(error)` is one plain line with an example that works."""


@dataclass(frozen=True, slots=True)
class Length:
    """A length in mm, with the text it came from, stripped."""

    mm: float
    text: str


# --- units -----------------------------------------------------------------------------------


@cache
def _registry() -> Any:
    """Return a pint registry of the few units of length used here.

    Built on first use and from nothing, because pint's default registry takes thirty times as
    long. The inch and the foot are exact: NIST SP 811, Appendix B.
    """
    from pint import UnitRegistry

    registry: Any = UnitRegistry(None)
    registry.define("millimeter = [length] = mm")
    registry.define("centimeter = 10 * millimeter = cm")
    registry.define("inch = 25.4 * millimeter = in")
    registry.define("foot = 304.8 * millimeter = ft")
    return registry


_EXACT: Final = {"in": 25.4, "cm": 10.0, "mm": 1.0}
"""mm in the units that nearly every file is written in: exact by definition (NIST SP 811, App. B).

They are what pint says, and a test holds them to it; loading pint for them would make everyone wait
a tenth of a second for the first page.
"""


@cache
def factor(unit: str) -> float:
    """Return the millimeters in one `unit`: "in", "ft", "cm" or "mm".

    Raises `LengthError` for another unit.
    """
    if unit in _EXACT:
        return _EXACT[unit]
    if unit not in ("in", "ft", "cm", "mm"):
        raise LengthError(f"{_quote(unit)} is not a unit known here; use in, ft, cm or mm")
    return float(_registry().convert(1, unit, "mm"))


@cache
def _exact_factor(unit: str) -> Fraction:
    return Fraction(str(factor(unit)))


@cache
def _factor_as_ratio(unit: str) -> tuple[int, int]:
    return _exact_factor(unit).as_integer_ratio()


# --- reading ---------------------------------------------------------------------------------

_UNITS: Final = {
    **dict.fromkeys(("in", "inch", "inches", '"', "″", "”"), "in"),
    **dict.fromkeys(("ft", "'", "′", "’"), "ft"),
    **dict.fromkeys(("cm", "centimeter", "centimeters", "centimetre", "centimetres"), "cm"),
    **dict.fromkeys(("mm", "millimeter", "millimeters", "millimetre", "millimetres"), "mm"),
}
_SPACES: Final = str.maketrans(dict.fromkeys("\u00a0\u2009\u202f", " "))
_PLAINER: Final = str.maketrans({"⁄": "/", "−": "-"})
_VULGAR: Final = re.compile("[¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]")
# A number and the unit behind it, loosely: what each may hold is judged afterwards, because
# that is where there is something helpful to say.
_PART: Final = re.compile(r"([\d.,/ -]+)([^\d.,/-]*(?:(?<=[a-zA-Z])\.)?)", re.ASCII)
_ORDINARY: Final = re.compile(
    r"([0-9]{1,6})(?:\.([0-9]{1,9})| ([0-9]{1,3})/([0-9]{1,3}))?(?: (in|cm|mm))?"
)
_FRACTION: Final = re.compile(r"(?:(\d+)(?: +|-))?(\d+) ?/ ?(\d+)", re.ASCII)
_DECIMAL: Final = re.compile(r"\d+|\d*[.,]\d+", re.ASCII)
_PERHAPS_THOUSANDS: Final = re.compile(r"0*[1-9]\d*,\d{3}", re.ASCII)
_GROUPED: Final = re.compile(r"\d+(?:[.,]\d+){2,}", re.ASCII)
_EXAMPLES: Final = {"in": "2 1/2 in", "cm": "6.5 cm", "mm": "65 mm"}


def parse_length(text: str, unit: str, *, signed: bool = False, at_most: float = 5000.0) -> Length:
    """Read a length as a person types it; a bare number is in `unit` ("in", "cm" or "mm").

    The result is the float nearest to what the text says. Only with `signed` may it be
    negative; its size may not pass `at_most` mm. Raises `LengthError`.
    """
    if len(text) > _LONGEST:  # told as what it is, and kept nowhere
        return _parsed.__wrapped__(text, unit, signed, at_most)
    return _parsed(text, unit, signed, at_most)


@lru_cache(maxsize=4096)  # a file is read again at every save, and says the same but for a line
def _parsed(text: str, unit: str, signed: bool, at_most: float) -> Length:
    mm = _ordinary(text, unit)
    if mm is not None and mm <= at_most:
        return Length(mm, text)
    typed = _one_line(text, unit)
    plain = _VULGAR.sub(_spell_out, typed).translate(_PLAINER).strip(" ")
    negative = plain.startswith("-")
    size = _read_size(plain.removeprefix("-").lstrip(" "), unit)
    if negative and not signed:
        positive = _quote(typed[1:].strip())
        raise LengthError(f"{_quote(typed)} is negative, and that can't be here; write {positive}")
    if size > at_most * (1 + 1e-9):  # the shortest text for the limit itself may be a hair above
        raise LengthError(_too_much(typed, unit, at_most))
    return Length(float(-size if negative else size), typed)


def _ordinary(text: str, unit: str) -> float | None:
    """Return the millimeters of the spellings that fill a file, such as 2 1/2 in; else `None`.

    What these few whole numbers make is divided once, so it is the nearest float, as below.
    """
    found = _ORDINARY.fullmatch(text)
    if not found:
        return None
    whole, decimals, top, bottom, own_unit = found.groups()
    above, below = int(whole), 1
    if decimals:
        above, below = int(whole + decimals), 10 ** len(decimals)
    elif top:
        below = int(bottom)
        above = above * below + int(top)
        if int(top) >= below:
            return None
    per, parts = _factor_as_ratio(own_unit or unit)
    return above * per / (below * parts)


def _such_as(unit: str) -> str:
    """Return an example that works, in the unit in which she works."""
    return f"such as {_EXAMPLES.get(unit, '2 1/2 in or 6.5 cm')}"


def _one_line(text: str, unit: str) -> str:
    """Return the text stripped, or refuse what is empty, too long or not plain text."""
    typed = text.translate(_SPACES).strip(" ")
    if not typed:
        raise LengthError(f"nothing is written here; write a length {_such_as(unit)}")
    if len(typed) > _LONGEST:
        raise LengthError(
            f"{_quote(typed)} is too much text for a length; write it {_such_as(unit)}"
        )
    if not typed.isprintable():
        raise LengthError(
            f"{_quote(typed)} holds a character that can't be seen; write it {_such_as(unit)}"
        )
    if not (re.search("[0-9]", typed) or _VULGAR.search(typed)):
        lacks = "has no number; write a length"
        if any(c.isnumeric() for c in typed):
            lacks = "has no digit from 0 to 9; write it with these,"
        raise LengthError(f"{_quote(typed)} {lacks} {_such_as(unit)}")
    return typed


def _spell_out(found: re.Match[str]) -> str:
    """Write ½ as 1/2, set apart from digits beside it so that they never run together."""
    before = found.string[found.start() - 1 : found.start()]
    gap = " " if before.isdecimal() else ""
    return f"{gap}{unicodedata.normalize('NFKC', found[0])} "


def _read_size(plain: str, unit: str) -> Fraction:
    """Return the millimeters of one quantity, or of feet and inches together."""
    if not _PART.match(plain):
        raise LengthError(
            f"{_quote(plain)} does not start with a number; write it {_such_as(unit)}"
        )
    parts = [(number.strip(" "), _known_unit(word, unit)) for number, word in _PART.findall(plain)]
    if len(parts) == 1:
        number, own_unit = parts[0]
        return _read_number(number, unit) * _exact_factor(own_unit or unit)
    if len(parts) == 2 and parts[0][1] == "ft":
        return _feet_and_inches(parts[0][0], *parts[1])
    raise LengthError(f"{_quote(plain)} holds more than one length; write one, {_such_as(unit)}")


def _known_unit(word: str, unit: str) -> str:
    """Return "in", "ft", "cm" or "mm", or "" where no unit was written."""
    word = word.strip(" ")
    if word and word.lower() not in _UNITS:
        raise LengthError(f"{_quote(word)} is not a unit; use in, cm, mm or ft, {_such_as(unit)}")
    return _UNITS[word.lower()] if word else ""


def _feet_and_inches(feet: str, inches: str, unit: str) -> Fraction:
    if not unit and re.fullmatch(r"1?\d(?: +\d+/\d+)?", inches.strip(" ")):
        unit = "in" if int(inches.split(maxsplit=1)[0]) < 12 else ""  # 5'6 is said of nothing else
    if not unit:
        raise LengthError(
            f"{_quote(inches)} after the feet has no unit; write inches as in 5 ft 4 in"
        )
    if unit != "in":
        raise LengthError("feet go together with inches only; write it like 5 ft 4 in")
    if not re.fullmatch("[0-9]+", feet):
        raise LengthError(
            f"{_quote(feet + ' ft')} is not whole, and inches follow; write 5 1/2 ft or 5 ft 6 in"
        )
    extra = _read_number(inches)
    if extra >= 12:
        carried = f"{int(feet) + extra // 12} ft {mixed(*(extra % 12).as_integer_ratio())} in"
        raise LengthError(f"{_quote(inches + ' in')} is a foot or more; write {carried}")
    return int(feet) * _exact_factor("ft") + extra * _exact_factor("in")


def _read_number(number: str, unit: str = "") -> Fraction:
    """Return the value of a whole number, a decimal, a fraction or a mixed number.

    unit: in which an example is given where it cannot be read.
    """
    if found := _FRACTION.fullmatch(number):
        return _read_fraction(number, found)
    if _PERHAPS_THOUSANDS.fullmatch(number):
        whole, rest = number.split(",")
        raise LengthError(
            f"{_quote(number)} could be {whole}{rest} or {whole}.{rest}; write one of the two"
        )
    if _DECIMAL.fullmatch(number):
        return Fraction(number.replace(",", "."))
    if "." in number and "," in number:
        why = "has both a point and a comma; write 1250.5 or 1250,5"
    elif _GROUPED.fullmatch(number):
        why = "has its digits in groups; write them together, such as 1250 mm"
    elif re.search("[0-9] +[.,]?[0-9]", number):
        why = f"is two numbers with no unit between; write one, {_such_as(unit)}"
    else:
        why = f"is not a number that can be read; write it {_such_as(unit)}"
    raise LengthError(f"{_quote(number)} {why}")


def _read_fraction(number: str, found: re.Match[str]) -> Fraction:
    """Return a proper fraction or a mixed number. 11/2 may be a slip for 1 1/2: refused."""
    whole, top, bottom = int(found[1] or 0), int(found[2]), int(found[3])
    if bottom == 0:
        raise LengthError(f"{_quote(number)} divides by zero; write a fraction such as 1/2")
    value = whole + Fraction(top, bottom)
    if top < bottom:
        return value
    meant = mixed(*value.as_integer_ratio())
    digits = found[2]
    splits = [(digits[:at], digits[at:]) for at in range(1, len(digits))] if not whole else []
    perhaps = [f"{first} {rest}/{bottom}" for first, rest in splits
               if first[0] != "0" and rest[0] != "0" and int(rest) < bottom]  # fmt: skip
    if perhaps:
        choice = f"{', '.join(perhaps)} or {meant}"
        raise LengthError(f"{_quote(number)} could be {choice}; write the one you mean")
    raise LengthError(f"{_quote(number)} has a fraction of one or more; write {meant}")


def _too_much(typed: str, unit: str, at_most: float) -> str:
    limit = say_length(at_most, unit)
    if at_most >= 1000:
        limit = f"{at_most / 1000:g} m ({limit})"
    works = say_length(at_most / 10, unit)
    return f"{_quote(typed)}: a length above {limit} can't be right here; write less, as in {works}"


def _quote(text: str) -> str:
    """Return the text in quotes, cut to about 30 characters, with nothing unprintable in it."""
    seen = "".join(
        c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text[:31]
    )
    return f'"{seen}"' if len(seen) <= 30 else f'"{seen[:30]}..."'


# --- saying ----------------------------------------------------------------------------------


def from_mm(mm: float, unit: str) -> Length:
    """Return a length whose text, in `unit`, reads back as `mm` to within 1e-9 of its size.

    Sixteenths of an inch become fractions; anything else the shortest decimal that will do.
    A size up to 1e-9 mm is 0. The result's own `mm` is what its text says, so that saving
    and loading changes nothing. Raises `LengthError` where `mm` is not finite.
    """
    if not math.isfinite(mm):
        raise LengthError(f"{mm} is not a length; a number of millimeters such as 63.5 is")
    text = (_sixteenths(mm) if unit == "in" else "") or _shortest(mm, factor(unit))
    return parse_length(f"{text} {unit}", unit, signed=True, at_most=math.inf)


def _sixteenths(mm: float) -> str:
    count = round(mm * 16 / factor("in"))
    exact = abs(count * factor("in") / 16 - mm) <= _TINY
    return mixed(count, 16) if exact else ""


def _shortest(mm: float, unit_mm: float) -> str:
    """Return the shortest decimal of mm / unit_mm that is right to 1e-10 of its size."""
    if abs(mm) <= _TINY:
        return "0"
    written = (decimal(mm / unit_mm, places) for places in range(30))
    return next(t for t in written if abs(float(t) * unit_mm - mm) <= 1e-10 * abs(mm))


def round_to(mm: float, step: str) -> float:
    """Return the multiple of `step` (one of `STEPS`) nearest to `mm`, in mm.

    Halves go away from zero. Raises `LengthError` for an unknown step.
    """
    count, (parts, unit) = _steps_in(mm, step), STEPS[step]
    return float(count * _exact_factor(unit) / parts)


def size_of(step: str) -> float:
    """Return how long a step of a ruler (one of `STEPS`) is, mm."""
    parts, unit = STEPS[step]
    return factor(unit) / parts


def _steps_in(mm: float, step: str) -> int:
    if step not in STEPS:
        raise LengthError(f"{_quote(step)} is not a step to round to; use {', '.join(STEPS)}")
    parts, unit = STEPS[step]
    # A half that arithmetic left a hair short is still a half.
    count = math.floor(abs(mm) * parts / factor(unit) + 0.5 + 1e-9)
    return -count if mm < 0 else count


def say_length(mm: float, unit: str, step: str | None = None) -> str:
    """Say a length as a person would: "2 1/2 in" (nearest 1/8), "41.5 cm" (nearest mm).

    A `step` decides both rounding and unit: "1/8in" and "1/16in" say inches, "1mm" says mm.
    Raises `LengthError` for another unit than "in", "cm" or "mm", or another step.
    """
    chosen = step or default_step(unit)
    count = _steps_in(mm, chosen)
    if chosen != "1mm":
        return f"{mixed(count, STEPS[chosen][0])} in"
    if step is None and unit == "cm":
        return f"{decimal(count / 10, 1)} cm"
    return f"{count} mm"


def default_step(unit: str) -> str:
    """Return what lengths are rounded to where nothing else is said. Raises `LengthError`."""
    if unit not in _DEFAULT_STEP:
        raise LengthError(f"lengths are not shown in {_quote(unit)}; use in, cm or mm")
    return _DEFAULT_STEP[unit]


def decimal(value: float, places: int) -> str:
    """Write a decimal with at most that many places, no trailing zeros, and no -0."""
    text = f"{value:.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def mixed(count: int, parts: int) -> str:
    """Write count / parts the way a tape is read: "2 1/2", "-1/4", "3"."""
    sign = "-" if count < 0 else ""
    whole, rest = divmod(abs(count), parts)
    if not rest:
        return f"{sign}{whole}"
    common = math.gcd(rest, parts)
    fraction = f"{rest // common}/{parts // common}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"
