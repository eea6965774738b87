"""What a question is: one object that says all about itself."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from legtaper.model.lengths import Length
from legtaper.model.levels import say_level
from legtaper.model.project import Project, Unit
from legtaper_wizard.flow.answer_parser import Answer, read
from legtaper_wizard.flow.dates import say_date
from legtaper_wizard.flow.questions.path import get_path, put_path
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.shapes import Cursor, Rule

STRETCH_SAMPLE: Mapping[Unit, Length] = {
    "in": Length(101.6, "4 in"),
    "cm": Length(100.0, "10 cm"),
}
"""How much fabric is stretched in the test. Over 4 in: Utah State Extension, Considerations for
Knit Fabrics; 10 cm is its metric twin."""

_EITHER = re.compile(r"\[([^|\]]+ in)\|([^|\]]+ cm)\]")
"""In the words of a question or a step, a length in both units: "[5 in|12 cm]"."""


def in_one_unit(text: str, unit: Unit | None) -> str:
    """Return words with the lengths of one unit; without a unit, of both."""
    return _EITHER.sub(lambda pair: _chosen(pair, unit), text)


def _chosen(pair: re.Match[str], unit: Unit | None) -> str:
    return {"in": pair[1], "cm": pair[2], None: f"{pair[1]} ({pair[2]})"}[unit]


_PARTS: Mapping[str, str] = {
    "level": r"[A-Za-z0-9_-]{1,40}",
    "panel": "front|back",
    "seam": "outseam|inseam",
    "edge": "outseam|inseam|waist|crotch|slit",
    "number": r"\d{1,6}",
}
"""What may stand in a key in the place of a word in braces."""


class At(NamedTuple):
    """A question where it is asked: its key, what the braces of the key stand for, and of what.

    cursor: which design and which liked garment the answer is about.
    """

    key: str
    parts: Mapping[str, str]
    cursor: Cursor

    @property
    def level(self) -> str:
        """The level that the key names, "" where it names none."""
        return self.parts.get("level", "")


Get = Callable[[Project, At], object]
"""Returns what is answered, `None` where nothing is."""
Put = Callable[[Project, At, object], Project]
"""Returns the project with an answer set; `None` clears it. Raises `AnswerError` where the answer
has no place yet."""
Read = Callable[[Project, At, str], Answer]
"""Returns what a text says, which is stripped and not empty. Raises `AnswerError`."""
Parts = Callable[[Project, At, str], Mapping[str, str]]
"""Returns the answers, by key, that one text holds: first of the key that was asked."""
Remarks = Callable[[Project, At, object], Iterable[str]]
"""Sentences about an answer: what it would do, or what is odd about it."""


def _nothing(_: Project, __: At, ___: object) -> Iterable[str]:
    return ()


def _no_row(_: Project, __: At) -> tuple[str, ...]:
    return ()


def _no_parts(_: Project, __: At, ___: str) -> Mapping[str, str]:
    return {}


def _no_usual(_: Project, __: At) -> str:
    return ""


class Question(NamedTuple):
    """One question, or one for each level, panel or seam: those stand in braces in its key.

    key: dotted, as in the project file. label, how, if_skipped, often: what it is called, how to
    measure or what to type, what is so without an answer, and what often goes wrong, for the
    help. level: of a key that names one without braces. path: where the answer lives in a project
    where that is not the key. group: the column of a table, or the part of a step. usual: what
    holds where nothing is answered; keeps_usual: whether Enter on the empty question records it;
    usual_is: where it comes from, in words.
    says: what an answer is understood as where its kind does not tell; spells: how it is shown
    where that is not as it was typed; preview: what it would do. likely: between which bounds, mm
    or percent, an answer needs no second look; slips: remarks on one that does. row: the keys that
    several answers typed at once are for, from this one on; parts: those answers where more than
    blanks parts them. sewn: whether changing it changes what
    a muslin round has tried on. drawing: for the help. moves: whether the arrow keys move it. down:
    whether Enter goes on down the column of a table; across: and then at the head of the next.
    """

    key: str
    label: str
    how: str
    rule: Rule
    if_skipped: str = ""
    often: str = ""
    level: str = ""
    path: str = ""
    group: str = ""
    usual: Callable[[Project, At], str] = _no_usual
    keeps_usual: bool = False
    usual_is: str = ""
    get: Get | None = None
    put: Put | None = None
    read: Read | None = None
    says: Callable[[Project, Answer], str] | None = None
    spells: Callable[[object], str] | None = None
    preview: Remarks = _nothing
    likely: tuple[float, float] | None = None
    slips: Remarks = _nothing
    row: Callable[[Project, At], tuple[str, ...]] = _no_row
    parts: Parts = _no_parts
    sewn: bool = False
    drawing: str = ""
    moves: bool = False
    down: bool = False
    across: bool = False

    @property
    def table(self) -> str:
        """The first word of its keys."""
        return self.key.partition(".")[0]

    def parts_of(self, key: str) -> dict[str, str] | None:
        """Return what the braces stand for in a key, `None` where it is none of its keys."""
        if "{" not in self.key:
            return {} if key == self.key else None
        found = _keys_of(self.key).fullmatch(key)
        return None if found is None else found.groupdict()


@cache
def _keys_of(key: str) -> re.Pattern[str]:
    words = re.split(r"\{(\w+)\}", key)
    found = [re.escape(word) if i % 2 == 0 else _named(word) for i, word in enumerate(words)]
    return re.compile("".join(found), re.ASCII)


def _named(word: str) -> str:
    return f"(?P<{word}>{_PARTS[word]})"


class Asked(NamedTuple):
    """A question at its place in a key: what a front end and a step work with."""

    question: Question
    at: At
    words: Mapping[str, str] = MappingProxyType({})

    @property
    def rule(self) -> Rule:
        """What an answer may be."""
        return self.question.rule

    @property
    def label(self) -> str:
        """What the question is called."""
        text = self.question.label.format(**self.words)
        return text[:1].upper() + text[1:]

    @property
    def if_skipped(self) -> str:
        """What is so without an answer."""
        return self.question.if_skipped.format(**self.words)

    def how(self, unit: Unit | None = None) -> str:
        """Return how to measure or what to type; without a unit it fits both."""
        text, words = (
            in_one_unit(self.question.how, unit),
            dict(self.words),
        )
        if "{sample}" in text:
            both = f"{STRETCH_SAMPLE['in'].text} ({STRETCH_SAMPLE['cm'].text})"
            words["sample"] = STRETCH_SAMPLE[unit].text if unit else both
        if "{day}" in text:  # only a date asks the settings how a day is written
            words["day"] = say_date(date(2026, 3, 14), settings().dates)
        return text.format(**words)

    def get(self, project: Project) -> object:
        """Return what is answered, `None` where nothing is."""
        if self.question.get:
            return self.question.get(project, self.at)
        return get_path(project, self._path, self.at.cursor)

    def put(self, project: Project, new: object) -> Project:
        """Return the project with an answer set; `None` clears it. Raises `AnswerError`."""
        if self.question.put:
            return self.question.put(project, self.at, new)
        return put_path(project, self._path, new, self.at.cursor)

    @property
    def _path(self) -> list[str]:
        return (self.question.path or self.question.key).format(**self.at.parts).split(".")

    def read(self, project: Project, text: str) -> Answer:
        """Return what a text says. Raises `AnswerError`."""
        if self.question.read:
            return self.question.read(project, self.at, text)
        return read(self.at.key, self.rule, text, project.length_unit)


def asked(question: Question, key: str, cursor: Cursor) -> Asked | None:
    """Return a question as it is asked under a key, nothing where it has no such key."""
    parts = question.parts_of(key)
    if parts is None:
        return None
    if question.level:
        parts["level"] = question.level
    words = {name: say_level(part) for name, part in parts.items()}
    return Asked(question, At(key, parts, cursor), words)
