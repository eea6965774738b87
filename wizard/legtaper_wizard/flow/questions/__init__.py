"""Every question that is asked, each one object, and the way from a key to its question."""

from __future__ import annotations

from collections import defaultdict
from functools import lru_cache

from legtaper.model.project import Project
from legtaper_wizard.flow.questions import (
    allowances,
    blend,
    block_table,
    block_verdict,
    body,
    fabric,
    hem,
    liked,
    muslin_round,
    muslin_signs,
    naming,
    narrowing,
    opening,
)
from legtaper_wizard.flow.questions.question import Asked, Question, asked
from legtaper_wizard.flow.shapes import LAST, Cursor, Field

QUESTIONS: tuple[Question, ...] = (
    *naming.QUESTIONS,
    *body.QUESTIONS,
    *fabric.QUESTIONS,
    *block_table.QUESTIONS,
    *block_verdict.QUESTIONS,
    *liked.QUESTIONS,
    *narrowing.QUESTIONS,
    *blend.QUESTIONS,
    *opening.QUESTIONS,
    *hem.QUESTIONS,
    *allowances.QUESTIONS,
    *muslin_round.QUESTIONS,
    *muslin_signs.QUESTIONS,
)
"""In the order of the job. Where two have the same key, the first one is meant."""

_BY_TABLE: dict[str, list[Question]] = defaultdict(list)
for _question in QUESTIONS:
    _BY_TABLE[_question.table].append(_question)


@lru_cache(maxsize=512)
def find(key: str, cursor: Cursor = LAST) -> Asked | None:
    """Return the question that a key names, nothing where there is none."""
    of_table = _BY_TABLE.get(key.partition(".")[0], ())
    return next((found for one in of_table if (found := asked(one, key, cursor))), None)


def label_of(key: str) -> str:
    """Return what the question of a key is called; an unknown key is its own label."""
    found = find(key)
    return found.label if found else key


def field_at(project: Project, key: str, cursor: Cursor = LAST) -> Field:
    """Return the question of a key as a front end asks it. Raises `KeyError` for no question."""
    found = find(key, cursor)
    if found is None:
        raise KeyError(key)
    question = found.question
    usual = question.usual(project, found.at)
    return Field(
        key,
        found.label,
        found.rule.kind,
        found.how(project.length_unit),
        choices=found.rule.choices,
        if_skipped=found.if_skipped,
        placeholder=usual,
        takes_placeholder=question.keeps_usual and bool(usual),
        placeholder_is=question.usual_is,
        group=question.group.format(**found.at.parts),
        level=found.at.level,
        moves=question.moves,
        down=question.down,
        across=question.across,
    )


def ask(question: Question, project: Project, cursor: Cursor = LAST, **parts: str) -> Field:
    """Return a question as a front end asks it; `parts` stand for the braces of its key."""
    return field_at(project, question.key.format(**parts), cursor)


__all__ = ["QUESTIONS", "Asked", "Question", "ask", "field_at", "find", "label_of"]
