"""The shapes a step is made of: questions, what they may answer with, notes and states."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from legtaper.model.project import Project

Kind = Literal["length", "signed", "percent", "choice", "text", "date", "note"]
NoteKind = Literal["number", "good", "caution", "fail", "unknown", "question", "info"]
Marker = Literal["done", "open", "attention", "locked"]
Choices = tuple[tuple[str, str], ...]
"""(value, label) pairs."""

SIGNS: Mapping[NoteKind, str] = {
    "fail": "[FAILS]", "caution": "[warning]", "question": "[?]", "unknown": "[unknown]",
    "number": "", "info": "", "good": "[OK]",
}  # fmt: skip
"""What stands before a note, so that nothing rests on color; the worst first."""

KINDS: Mapping[str, NoteKind] = {
    "pass": "good", "caution": "caution", "fail": "fail", "unknown": "unknown",
}  # fmt: skip
"""Which note a finding of each status is."""

MEANT = "Is that what you meant?"
"""Asked of a number beyond what is likely; each face says how it is answered."""


class AnswerError(ValueError):
    """An answer that was not taken. `str(error)` is one plain line with what would be right."""

    def __init__(self, key: str, problem: str) -> None:
        super().__init__(problem)
        self.key = key


class Cursor(NamedTuple):
    """Which design and which liked garment the answers are about; `None` is the last design."""

    design: str | None = None
    liked: int = 0


LAST = Cursor()


class Rule(NamedTuple):
    """What an answer may be. `at_most` in mm or percent; `zero` is whether 0 is an answer."""

    kind: Kind
    choices: Choices = ()
    at_most: float = 5000.0
    zero: bool = False


class Field(NamedTuple):
    """One question.

    how: how to measure or what to type. choices: (value, label) pairs; on a "length" they are
    words that may be typed in place of a length. if_skipped: what is so without an answer.
    placeholder: what holds when nothing is answered. takes_placeholder: Enter on the empty field
    records the placeholder as the answer. placeholder_is: where it comes from, in words. group and
    level: column and row of a table. moves: whether the arrow keys move it. down: whether Enter
    goes on down the column of a table; across: and then at the head of the next. groups: of many
    choices, names of places and which are found there; in_own_words: the name of
    the question that takes what is none of them.
    """

    key: str
    label: str
    kind: Kind
    how: str
    choices: Choices = ()
    optional: bool = True
    if_skipped: str = ""
    placeholder: str = ""
    takes_placeholder: bool = False
    placeholder_is: str = ""
    group: str = ""
    level: str = ""
    moves: bool = False
    down: bool = False
    across: bool = False
    groups: tuple[tuple[str, tuple[str, ...]], ...] = ()
    in_own_words: str = ""


class Note(NamedTuple):
    """One line that says what the answers do. `key` is the question it is about, where one is."""

    kind: NoteKind
    text: str
    key: str = ""


class StepState(NamedTuple):
    """Where a step stands. `wants` is false where it only asks to be looked at again."""

    marker: Marker
    reasons: tuple[str, ...] = ()
    wants: bool = False


Does = Callable[["Project", tuple[str, ...], Cursor], "Project"]
"""Returns the project with an action done, given what it needed. Raises `AnswerError`."""


def _paged(_: Project, __: tuple[str, ...], ___: Cursor) -> Project:
    raise AnswerError("", "this is asked step by step")


@dataclass(frozen=True, slots=True)
class Action:
    """Something that can be done and is no answer; `needs` is asked for first.

    does: how it is done; without it, what it needs is more than a few answers, so that each
    front end asks in its own way. at_hand: whether it stands on the page and not only under
    "more". takes_away: whether something goes that she answered. hint: what to know before. then:
    the step where the work goes on.
    """

    id: str
    label: str
    does: Does = field(default=_paged, compare=False)
    needs: tuple[Field, ...] = ()
    at_hand: bool = False
    takes_away: bool = False
    hint: str = ""
    then: str = ""

    @property
    def paged(self) -> bool:
        """Whether each front end asks in its own way for what it needs."""
        return self.does is _paged


class SummaryLine(NamedTuple):
    """One answer, or one thing that was left out. `key` leads back to its question."""

    step_id: str
    label: str
    value: str
    key: str = ""
