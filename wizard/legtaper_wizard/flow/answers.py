"""One answer in, a changed project out; and the answer back, as it was typed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from functools import lru_cache

from legtaper.model.lengths import Length, LengthError, from_mm, parse_length
from legtaper.model.levels import say_level
from legtaper.model.project import EDGES, Project, Unit
from legtaper.model.safe_text import clean
from legtaper.model.sentences import listed
from legtaper_wizard.flow.dates import say_date
from legtaper_wizard.flow.derived_state import Itself, standing
from legtaper_wizard.flow.questions import Asked, find, label_of
from legtaper_wizard.flow.questions.fabric import NOT_TESTED
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.shapes import LAST, AnswerError, Cursor


def value(project: Project, key: str, at: Cursor = LAST) -> str:
    """Return what was answered, as typed; "" where nothing was, or there is no such question."""
    question = find(key, at)
    found = question.get(project) if question else None
    if found is not None and question and question.question.spells:
        return question.question.spells(found)
    if isinstance(found, Length):
        return _as_typed(found, project.length_unit)
    if isinstance(found, date):
        return say_date(found, settings().dates)
    if isinstance(found, float | int):
        said = f"{found:.10g}"
        usual = question.question.usual(project, question.at) if question else ""
        return "" if found == 0 and usual in ("0", NOT_TESTED) else said
    return str(found or "")


def changed_in_words(
    key: str, before: tuple[Project, Cursor], after: tuple[Project, Cursor]
) -> str:
    """Say which answer changed, from what to what; "" where `key` names no question."""
    question = find(key)
    if question is None:
        return ""
    was, now = (value(project, key, at) for project, at in (before, after))
    if was == now:
        return question.label
    was, now = (_in_words(question, said) for said in (was, now))
    comma = "" if question.label.endswith("?") else ","
    return f"{question.label}{f'{comma} {was}' if was else ''}; now {now or 'empty'}"


def _in_words(question: Asked, said: str) -> str:
    """Return an answer as its choice is called, without what that explains."""
    return clean(dict(question.rule.choices).get(said, said).partition(":")[0], 40)


def _as_typed(length: Length, unit: Unit) -> str:
    """Return the text of a length, with its unit where it would be misread without."""
    if length.text[-1:].isalpha():
        return length.text
    spelled = (length.text, *(f"{length.text} {other}" for other in ("in", "cm", "mm")))
    for text in spelled:
        try:
            if parse_length(text, unit, signed=True).mm == length.mm:
                return text
        except LengthError:
            continue
    return from_mm(length.mm, unit).text


def asked_for(key: str, at: Cursor = LAST) -> Asked:
    """Return the question of a key. Raises `AnswerError` where there is none."""
    question = find(key, at)
    if question is None:
        raise AnswerError(key, f"there is no question {key}")
    return question


def row_of(project: Project, question: Asked, text: str) -> dict[str, str]:
    """Return several answers typed at once, such as "4 5/8 4 5/8", by key; {} for one alone.

    Raises `AnswerError` where there are more than the row has cells from here on.
    """
    if own := question.question.parts(project, question.at, text):
        return dict(own)
    parts = lengths_in(text)
    keys = question.question.row(project, question.at)
    if len(parts) < 2 or not keys:
        return {}
    if len(parts) > len(keys):
        names = listed(row_names(project, question))
        problem = f"{len(parts)} lengths are typed; from here on the row takes {len(keys)}: {names}"
        raise AnswerError(question.at.key, problem)
    return dict(zip(keys, parts, strict=False))


def row_names(project: Project, question: Asked) -> tuple[str, ...]:
    """Return what the cells of a row are called from one on, without their level."""
    keys = question.question.row(project, question.at)
    return tuple(name_in_row(key, question.at.level) for key in keys)


def name_in_row(key: str, level: str) -> str:
    """Return what a cell is called in a row, as in front outseam."""
    said = say_level(level)
    name = label_of(key).lower().removesuffix(f" at the {said}").removeprefix(f"{said} ")
    return name.lower()


def row_order(project: Project, key: str, at: Cursor = LAST) -> tuple[str, ...]:
    """Return the names of the cells that may be typed at once at a question, in their order."""
    return row_names(project, asked_for(key, at))


_ROW_SUCH_AS = {"in": "4 5/8 4 5/8 5 1/8 5 1/8", "cm": "11.5 11.5 13 13"}


def row_hint(project: Project, key: str, at: Cursor = LAST) -> str:
    """Say at the first cell of a row of the block that all of it may be typed at once; else ""."""
    question = find(key, at)
    names = row_names(project, question) if question else ()
    if len(names) > 1 and names[0] == "height":
        return "The whole row may be typed at once, its height first."
    if question and question.at.level == "hem" and len(names) == len(EDGES):
        return f"The whole row may be typed at once: {_ROW_SUCH_AS[project.length_unit]}."
    return ""


_FRACTION = re.compile(r"(\d+)/(\d+)\D*", re.ASCII)
_UNIT = re.compile(r"[a-z\"'″′]+\.?", re.IGNORECASE)
_FEET = re.compile(r".*\d ?(?:ft|feet|foot|'|′)\.?", re.IGNORECASE)


def lengths_in(text: str) -> list[str]:
    """Return the lengths of a text that holds several, one after the other."""
    parts: list[str] = []
    for word in re.sub(r"(?<=\d) ?/ ?(?=\d)", "/", text).split():
        if parts and (_goes_on(word) or _FEET.fullmatch(parts[-1])):
            parts[-1] += f" {word}"
        else:
            parts.append(word)
    return parts


def _goes_on(word: str) -> bool:
    """Whether a word is a fraction or a unit, which belongs to the number before it.

    One of more than a whole, as in 51/2, is a length without its blank.
    """
    fraction = _FRACTION.fullmatch(word)
    return int(fraction[1]) < int(fraction[2]) if fraction else bool(_UNIT.fullmatch(word))


def answer(project: Project, key: str, text: str, at: Cursor = LAST) -> Project:
    """Return the project with one answer changed; "" clears it.

    Raises `AnswerError` where the text cannot be read, or cannot be what this question asks.
    """
    by_settings = not project.designs or asked_for(key, at).rule.kind == "date"
    work = _answered if by_settings else _answered_once
    return work(Itself(project), key, text.strip(), at)


def _answered(of: Itself, key: str, text: str, at: Cursor) -> Project:
    project, question = of.project, asked_for(key, at)
    if text == value(project, key, at):
        return project
    if not text:
        return question.put(project, None)
    if row := row_of(project, question, text):
        return _answer_row(project, key, row)
    changed = question.put(project, question.read(project, text))
    if key.startswith(("block.", "design.")):
        found = standing(changed, at)
        problem = found.block_problem or found.fit_problem
        if problem and problem.key == key:
            raise AnswerError(key, problem.text)
    return changed


_answered_once = lru_cache(maxsize=1)(_answered)
"""What is typed is tried, looked at for slips and taken: one answer, unless settings may change."""


def is_read(project: Project, key: str, text: str, at: Cursor = LAST) -> bool:
    """Whether a text is read as what a question asks, be it refused for another reason or not."""
    question = asked_for(key, at)
    try:
        if not row_of(project, question, text):
            question.read(project, text.strip())
    except AnswerError:
        return False
    return True


def _answer_row(project: Project, key: str, row: Mapping[str, str]) -> Project:
    for one, text in row.items():
        try:
            project = answer(project, one, text)
        except AnswerError as error:
            raise AnswerError(key, f"{label_of(one)}: {error}") from None
    return project


def rest_of_row(project: Project, key: str, text: str, at: Cursor = LAST) -> tuple[str, ...]:
    """Return the keys of what a text answers besides the one that was asked."""
    return tuple(row_of(project, asked_for(key, at), text))[1:]


def last_answered(project: Project, key: str, text: str, at: Cursor = LAST) -> str:
    """Return the key of the last question that a text answers; of several at once their last.

    A text that will be refused answers none: the cursor stays where it says why.
    """
    try:
        row = row_of(project, asked_for(key, at), text)
    except AnswerError:
        return key
    return list(row)[-1] if row else key
