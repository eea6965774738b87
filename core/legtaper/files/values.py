"""The values a project file holds: how each is read, checked and spelled.

"Plain" values are what a TOML parser gives and takes: str, int, float, bool, date, list, dict.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final, NamedTuple, Protocol

from legtaper.model.lengths import Length, LengthError, from_mm, parse_length
from legtaper.model.levels import LEVELS
from legtaper.model.project import Lengths, ProjectError, Unit
from legtaper.model.safe_text import clean

_BARE: Final = re.compile("[A-Za-z0-9_-]{1,40}")
_MOST_STRETCH: Final = 300
_MOST_SHRINKAGE = 30
_MOST_YEARS = 120
_FARTHEST: Final = 5000.0  # mm, as for every length
_WORDS_FOR: Final = (
    (bool, "true or false"),  # before int, of which it is one
    (str, "text"),
    (int, "a number"),
    (float, "a number"),
    (list, "a list"),
    (dict, "a table"),
    (datetime, "a date with a time"),
    (date, "a date"),
)


class Place(NamedTuple):
    """Where in the file a value stands, and the unit that a bare number has there.

    A place inside another has only the last part as `own`, and is told whole by `key`: nearly
    every place of a file is never told at all.
    """

    own: str
    unit: Unit
    outer: Place | None = None
    is_entry: bool = False

    @property
    def key(self) -> str:
        """The place as an error names it."""
        if self.outer is None:
            return self.own
        outer = self.outer.key
        if self.is_entry:
            return f"{outer} {self.own}"
        shown = self.own if _BARE.fullmatch(self.own) else quoted(self.own)
        return f"{outer}.{shown}" if outer else shown

    def inside(self, name: str) -> Place:
        """Return the place of a key in this table."""
        return Place(name, self.unit, self)

    def entry(self, label: str) -> Place:
        """Return the place of one entry of this list, by number or by name."""
        return Place(label, self.unit, self, True)

    def wrong(self, problem: str) -> ProjectError:
        """Return the error to raise about this place."""
        return ProjectError(self.key, problem)


def quoted(text: str) -> str:
    """Return text from a file in quotes, safe to show on one line."""
    return f'"{clean(text, 40)}"'


def say_kind(plain: object) -> str:
    """Say what a plain value is: "text", "a number", "a table"."""
    return next((words for kind, words in _WORDS_FOR if isinstance(plain, kind)), "a time")


def as_table(plain: Any, at: Place) -> Mapping[str, Any]:
    """Return the plain value, which must be a table. Raises `ProjectError`."""
    if not isinstance(plain, dict):
        raise at.wrong(f"must be a table of keys, not {say_kind(plain)}")
    return plain


class Kind(Protocol):
    """One way to put a value into the file."""

    def read(self, plain: Any, at: Place, /) -> Any:
        """Return the value. Raises `ProjectError` with the key and what would be right."""

    def write(self, value: Any, old: Any, at: Place, /) -> Any:
        """Return the plain value, or `None` to leave the key out.

        `old` is what the file holds, or `None`. Where it says the same in other words, it stays.
        """


def _as_it_is(value: Any, at: Place) -> Any:
    del at
    return value


class Leaf(NamedTuple):
    """A single value, by the function that reads it and the one that spells it."""

    read: Callable[[Any, Place], Any]
    spell: Callable[[Any, Place], Any] = _as_it_is

    def write(self, value: Any, old: Any, at: Place) -> Any:
        """Return `old` where it says `value` already, else `value` spelled again."""
        if old is not None:
            try:
                if self.read(old, at) == value:
                    return old
            except ProjectError:
                pass  # right under the unit the file had before, and written again under this one
        return self.spell(value, at)


# --- texts, choices, numbers, days -----------------------------------------------------------


def _read_text(plain: Any, at: Place) -> str:
    if not isinstance(plain, str):
        raise at.wrong(f"must be text in quotes, not {say_kind(plain)}")
    return plain


def _spell_text(value: str, at: Place) -> str:
    try:
        value.encode()
    except UnicodeEncodeError:
        raise at.wrong("holds a character that can't be saved; type it again") from None
    return value


def choice(*choices: str) -> Leaf:
    """Return the kind of a text that must be one of `choices`."""
    listed = " or ".join(f'"{one}"' for one in choices)

    def read(plain: Any, at: Place) -> str:
        if isinstance(plain, str) and plain in choices:
            return plain
        given = quoted(plain) if isinstance(plain, str) else say_kind(plain)
        raise at.wrong(f"{given} can't be here; write {listed}")

    return Leaf(read)


def choices(*words: str) -> Leaf:
    """Return the kind of a list of texts that must each be one of `words`."""
    one = choice(*words)

    def read(plain: Any, at: Place) -> tuple[str, ...]:
        if not isinstance(plain, list):
            raise at.wrong(f'must be a list such as ["{words[0]}"], not {say_kind(plain)}')
        return tuple(one.read(word, at.entry(str(number))) for number, word in enumerate(plain, 1))

    return Leaf(read, lambda value, _: list(value))


def _is_number(plain: object) -> bool:
    return isinstance(plain, (int, float)) and not isinstance(plain, bool)


def _read_shrinkage(plain: Any, at: Place) -> float:
    if not _is_number(plain):
        raise at.wrong(f"must be a number from 0 to {_MOST_SHRINKAGE}, not {say_kind(plain)}")
    if not 0 <= plain <= _MOST_SHRINKAGE:
        raise at.wrong(f"must be from 0 to {_MOST_SHRINKAGE}; measure a square before and after")
    return float(plain)


def _read_percent(plain: Any, at: Place) -> float:
    if not _is_number(plain):
        raise at.wrong(f"must be a number from 0 to {_MOST_STRETCH}, not {say_kind(plain)}")
    if not 0 <= plain <= _MOST_STRETCH:
        raise at.wrong(f"must be from 0 to {_MOST_STRETCH}; measure how far the fabric stretches")
    return float(plain)


def _read_years(plain: Any, at: Place) -> int:
    if isinstance(plain, bool) or not isinstance(plain, int) or not 0 <= plain <= _MOST_YEARS:
        shown = str(plain)[:20] if _is_number(plain) else say_kind(plain)
        raise at.wrong(f"must be whole years from 0 to {_MOST_YEARS}, not {shown}")
    return plain


def _spell_percent(value: float, at: Place) -> int | float:
    del at
    return int(value) if float(value).is_integer() else float(value)


def _read_day(plain: Any, at: Place) -> date:
    if isinstance(plain, date) and not isinstance(plain, datetime):
        return plain
    given = quoted(plain) if isinstance(plain, str) else say_kind(plain)
    try:
        return date.fromisoformat(plain)
    except (TypeError, ValueError):
        raise at.wrong(f"must be a day such as 2026-03-14, not {given}") from None


TEXT: Final = Leaf(_read_text, _spell_text)
PERCENT: Final = Leaf(_read_percent, _spell_percent)
SHRINKAGE: Final = Leaf(_read_shrinkage, _spell_percent)
YEARS: Final = Leaf(_read_years)
DAY: Final = Leaf(_read_day)


# --- lengths ---------------------------------------------------------------------------------


def length(*words: str, signed: bool = False) -> Leaf:
    """Return the kind of a length: text with its unit, or a bare number in the project's unit.

    One of the `words` may stand instead. Only a `signed` length may be negative.
    """
    instead = "".join(f' or "{word}"' for word in words)

    def read(plain: Any, at: Place) -> Length | str:
        if isinstance(plain, str) and plain in words:
            return plain
        if _is_number(plain):
            plain = format(Decimal(repr(plain)), "f")
        if not isinstance(plain, str):
            raise at.wrong(f'must be a length such as "2 1/2 in"{instead}, not {say_kind(plain)}')
        try:
            return parse_length(plain, at.unit, signed=signed)
        except LengthError as error:
            raise at.wrong(f"{error}{instead}") from None

    return Leaf(read, _spell_length)


def _spell_length(value: Length | str, at: Place) -> str:
    """Return the text as it was typed, with a unit where it would be misread without."""
    if isinstance(value, str):
        return value
    for text in (value.text, *(f"{value.text} {unit}" for unit in ("in", "cm", "mm"))):
        try:
            if parse_length(text, at.unit, signed=True, at_most=math.inf).mm == value.mm:
                return text
        except LengthError:
            continue
    try:
        return from_mm(value.mm, at.unit).text
    except LengthError as error:
        raise at.wrong(str(error)) from None


class Levels(NamedTuple):
    """A table of level -> length. The names of the levels are open.

    hem: how that of the hem is read, where it is not as the others are.
    """

    length: Leaf
    hem: Leaf | None = None

    def read(self, plain: Any, at: Place) -> Lengths:
        """Return the lengths. Raises `ProjectError`."""
        table = as_table(plain, at)
        for name in table:
            _check_level(name, at)
        return {name: self._of(name).read(text, at.inside(name)) for name, text in table.items()}

    def write(self, value: Lengths, old: Any, at: Place) -> dict[str, Any]:
        """Return the table, in the order of the levels."""
        for name in value:
            _check_level(name, at)
        before = old or {}
        return {
            name: self._of(name).write(value[name], before.get(name), at.inside(name))
            for name in sorted(value, key=_rank)
        }

    def _of(self, name: str) -> Leaf:
        return self.hem if self.hem and name == "hem" else self.length


def _check_level(name: str, at: Place) -> None:
    if not _BARE.fullmatch(name):
        problem = "is not a name for a level; use up to 40 letters, digits, - and _"
        raise at.inside(name).wrong(problem)


def _rank(level: str) -> int:
    """Order levels from the hem upwards; those of the wearer's own come last."""
    return LEVELS.index(level) if level in LEVELS else len(LEVELS)


# --- imported outlines -----------------------------------------------------------------------


def _read_points(plain: Any, at: Place) -> tuple[tuple[float, float], ...]:
    if not isinstance(plain, list):
        raise at.wrong(f"must be a list of points in mm, not {say_kind(plain)}")
    for number, point in enumerate(plain, 1):
        if not _is_point(point):
            raise at.entry(str(number)).wrong("must be two numbers of mm, such as [95.5, 0.0]")
    return tuple((float(x), float(y)) for x, y in plain)


def _is_point(plain: object) -> bool:
    return (
        isinstance(plain, list)
        and len(plain) == 2
        and all(_is_number(value) and abs(value) <= _FARTHEST for value in plain)
    )


def _spell_points(points: tuple[tuple[float, float], ...], at: Place) -> list[list[float]]:
    del at
    return [[x, y] for x, y in points]


def _read_point_number(plain: Any, at: Place) -> int:
    if not isinstance(plain, int) or isinstance(plain, bool) or plain < 0:
        raise at.wrong("must be the number of a point, counted from 0")
    return plain


def _read_lines(plain: Any, at: Place) -> tuple[tuple[tuple[float, float], ...], ...]:
    if not isinstance(plain, list):
        raise at.wrong(f"must be a list of lines, not {say_kind(plain)}")
    return tuple(_read_points(line, at.entry(str(number))) for number, line in enumerate(plain, 1))


def _spell_lines(lines: tuple[tuple[tuple[float, float], ...], ...], at: Place) -> list[Any]:
    return [_spell_points(line, at) for line in lines]


def _read_ordinal(plain: Any, at: Place) -> int:
    if not isinstance(plain, int) or isinstance(plain, bool) or plain < 1:
        raise at.wrong("must be the number of a round, counted from 1")
    return plain


ORDINAL: Final = Leaf(_read_ordinal)
POINTS: Final = Leaf(_read_points, _spell_points)
LINES: Final = Leaf(_read_lines, _spell_lines)
POINT_NUMBER: Final = Leaf(_read_point_number)
