"""What an answer would be understood as, said before it counts."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date

from legtaper.model.lengths import Length
from legtaper.model.levels import say_level
from legtaper.model.project import Project, Unit
from legtaper.model.said_lengths import understood
from legtaper_wizard.flow.answer_parser import Answer
from legtaper_wizard.flow.answers import answer, asked_for, name_in_row, row_of, value
from legtaper_wizard.flow.questions import Asked
from legtaper_wizard.flow.round_answers import changed_at, is_done, is_waiting, number_at
from legtaper_wizard.flow.shapes import LAST, Cursor

_METRIC = re.compile(r"-?\d+(?:\.\d+)? ?(?:mm|cm)", re.ASCII)
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def echo(
    project: Project, key: str, text: str, at: Cursor = LAST, *, cells_named: bool = True
) -> str:
    """Say what would be understood, "" where nothing is typed.

    cells_named: whether each length of a row typed at once is said with the name of its cell.

    Raises `AnswerError` exactly where `answer` would.
    """
    question, text = asked_for(key, at), text.strip()
    if not text:
        return ""
    answer(project, key, text, at)
    if row := row_of(project, question, text):
        return _row_in_words(question, row, cells_named=cells_named)
    said = question.read(project, text)
    if isinstance(said, str):
        return dict(question.rule.choices).get(said, said)
    sewn = _sewn(project, question) if text != value(project, key, at) else []
    does = question.question.preview(project, question.at, said)
    return "; ".join([_understood(project, question, said), *sewn, *does])


def _row_in_words(question: Asked, row: Mapping[str, str], *, cells_named: bool) -> str:
    """Say what was typed at once, its level once: "Calf: height 10, front outseam 4"."""
    level = say_level(question.at.level)
    said = []
    for key, text in row.items():
        if not text:
            continue  # it is taken away, as the others take its place
        name = f"{name_in_row(key, question.at.level)} " if cells_named else ""
        said.append(f"{name}{text.replace(',', '.')}")
    return f"{level.capitalize()}: {', '.join(said)}"


def _understood(project: Project, question: Asked, said: Answer) -> str:
    own = question.question.says(project, said) if question.question.says else ""
    if own or isinstance(said, str):
        return own or str(said)
    if isinstance(said, Length):
        return _read_as(said, project.length_unit)
    if isinstance(said, date):
        return f"{said.day} {_MONTHS[said.month - 1]} {said.year}"
    return f"{said:g} %"


def _read_as(said: Length, unit: Unit) -> str:
    """Say how a length was read; a plain number on a metric tape says so itself."""
    return said.text if unit == "cm" and _METRIC.fullmatch(said.text) else understood(said)


def _sewn(project: Project, question: Asked) -> list[str]:
    return sewn_words(project, question.at.cursor) if question.question.sewn else []


def sewn_words(project: Project, at: Cursor) -> list[str]:
    """Say that a design is changed that was tried on: what was sewn is then nowhere written."""
    number = number_at(project, at)
    tried = number and not is_waiting(project, at) and changed_at(project, at) != "design"
    found = "accepted" if is_done(project, at) else "tried on"
    return [f"this changes what round {number} {found}"] if tried else []
