"""What was typed, read strictly: a length, a percentage, a choice, a date or a text."""

from __future__ import annotations

import re
from datetime import date

from legtaper.model.lengths import Length, LengthError, parse_length
from legtaper.model.project import Unit
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.dates import read_date
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.shapes import AnswerError, Rule

Answer = Length | float | date | str

_FINEST = 128
"""The most parts an inch is divided into, twice those of the finest ruler (common practice)."""

_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
_FRACTION = re.compile(r"[0-9]+ ?/ ?([0-9]{1,9})")
_TWO_LENGTHS = re.compile(r"([0-9]{2,3}) ?/ ?([0-9]{2,3})(?: ?(?:cm|mm))?")
_METRIC_WORD = re.compile(r"\b(c|m)(?:enti|illi)met(?:er|re)s?\b", re.IGNORECASE)
_PERCENT = re.compile(r"(\d{1,6}(?:[.,]\d{1,9})?) ?%?", re.ASCII)


def read(key: str, rule: Rule, text: str, unit: Unit) -> Answer:
    """Return what `text` says. Raises `AnswerError`; `text` is stripped and not empty."""
    if rule.choices and (text in dict(rule.choices) or rule.kind == "choice"):
        return _choice(key, rule, text)
    if rule.kind in ("length", "signed"):
        return _length(key, rule, text, unit)
    if rule.kind == "percent":
        return _percent(key, rule, text)
    if rule.kind == "date":
        return _date(key, text)
    return _text(key, rule, text)


def _length(key: str, rule: Rule, text: str, unit: Unit) -> Length:
    signed = rule.kind == "signed" or rule.at_most == 0  # what is no 0 is told so below
    if any(int(parts) > _FINEST for parts in _FRACTION.findall(text)):
        # As where a new answer runs into an old one: 9 3/4 before 14 reads 9 3/414.
        raise AnswerError(key, f"{_quote(text)} is finer than any ruler; write it like 9 3/4")
    if (two := _TWO_LENGTHS.fullmatch(text)) and _is_no_fraction(int(two[2]), unit):
        raise AnswerError(key, f"{_quote(text)} is two lengths, and one is asked for here")
    try:
        length = parse_length(text, unit, signed=signed, at_most=rule.at_most or 5000.0)
        # A bare number keeps the unit it was typed in, whatever the project's unit is later.
        other = parse_length(text, "mm", signed=signed, at_most=5000.0)
    except LengthError as error:
        words = " or ".join(value for value, _ in rule.choices)
        raise AnswerError(key, f"{error}; or {words}" if words else str(error)) from None
    if rule.at_most == 0 and length.mm != 0:
        raise AnswerError(key, "heights count from the finished hem, so this can only be 0")
    if length.mm == 0 and not rule.zero:
        raise AnswerError(key, f'"{length.text}" is nothing; write more than 0, or leave it out')
    read_as = _COMMA.sub(".", length.text)  # in one way, whoever reads the file or the echo
    read_as = _METRIC_WORD.sub(lambda word: f"{word[1]}m".lower(), read_as)
    return Length(length.mm, read_as if other.mm == length.mm else f"{read_as} {unit}")


def _is_no_fraction(parts: int, unit: Unit) -> bool:
    """Whether no ruler is divided into so many parts: one in centimeters, or no power of two."""
    return unit == "cm" or parts & (parts - 1) != 0


def _percent(key: str, rule: Rule, text: str) -> float:
    found = _PERCENT.fullmatch(text)
    if not found:
        raise AnswerError(key, f"{_quote(text)} is not a percentage; write it like 20 or 12.5")
    value = float(found[1].replace(",", "."))
    if value > rule.at_most:
        raise AnswerError(
            key, f"{_quote(text)} is more than any fabric stretches; write {rule.at_most:g} or less"
        )
    return value


def _choice(key: str, rule: Rule, text: str) -> str:
    if text not in dict(rule.choices):
        known = "; ".join(label for _, label in rule.choices)
        raise AnswerError(key, f"{_quote(text)} is none of these: {known}")
    return text


def _date(key: str, text: str) -> date:
    try:
        return read_date(text, settings().dates, date.today())
    except ValueError as error:
        raise AnswerError(key, f"{_quote(text)} {error}") from None


def _text(key: str, rule: Rule, text: str) -> str:
    most = int(rule.at_most)
    if len(text) > most:
        raise AnswerError(key, f"this is {len(text)} characters long; keep it to {most}")
    lines = text.split("\n") if rule.kind == "note" else [text]
    if any(clean(line, most + 1) != line for line in lines):
        raise AnswerError(key, "this holds a character that can't be seen; write plain text")
    return text


def _quote(text: str) -> str:
    return f'"{clean(text, 30)}"'
