"""The shapes a step is made of: questions, what they may answer with, notes and states."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["length", "signed", "percent", "choice", "text", "date", "note"]
NoteKind = Literal["number", "good", "caution", "fail", "question", "info"]
Marker = Literal["done", "open", "attention", "locked"]


class AnswerError(ValueError):
    """An answer that was not taken. `str(error)` is one plain line with what would be right."""

    def __init__(self, key: str, problem: str) -> None:
        super().__init__(problem)
        self.key = key


@dataclass(frozen=True, slots=True)
class Cursor:
    """Which design and which liked garment the answers are about; `None` is the last design."""

    design: str | None = None
    liked: int = 0


LAST = Cursor()


@dataclass(frozen=True, slots=True)
class Field:
    """One question.

    how: how to measure or what to type. choices: (value, label) pairs; on a "length" they are
    words that may be typed in place of a length. if_skipped: what is so without an answer.
    placeholder: what serves when nothing is answered. takes_placeholder: Enter on the empty field
    records the placeholder as the answer. group and level: column and row of a table.
    """

    key: str
    label: str
    kind: Kind
    how: str
    choices: tuple[tuple[str, str], ...] = ()
    optional: bool = True
    if_skipped: str = ""
    placeholder: str = ""
    takes_placeholder: bool = False
    group: str = ""
    level: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """One line that says what the answers do. `key` is the question it is about, where one is."""

    kind: NoteKind
    text: str
    key: str = ""


@dataclass(frozen=True, slots=True)
class StepState:
    """Where a step stands. `wants` is false where it only asks to be looked at again."""

    marker: Marker
    reasons: tuple[str, ...] = ()
    wants: bool = False


@dataclass(frozen=True, slots=True)
class Action:
    """Something that can be done and is no answer; `needs` is asked for first.

    paged: what it needs is more than a few answers, so each front end asks in its own way.
    """

    id: str
    label: str
    needs: tuple[Field, ...] = ()
    paged: bool = False


@dataclass(frozen=True, slots=True)
class SummaryLine:
    """One answer, or one thing that was left out. `key` leads back to its question."""

    step_id: str
    label: str
    value: str
    key: str = ""
