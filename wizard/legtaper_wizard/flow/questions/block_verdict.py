"""The questions about the test of the unaltered block."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any, cast

from legtaper.model.project import BlockTest, Project
from legtaper_wizard.flow.dates import say_date
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.shapes import LAST, AnswerError, Rule


def today(_: Project, __: At) -> str:
    """Return today as it is written here."""
    return say_date(date.today(), settings().dates)


def future_day(_: Project, __: At, day: object) -> Iterator[str]:
    """Ask about a day that is still to come."""
    if isinstance(day, date) and day > date.today():
        yield f"{say_date(day, settings().dates)} is still to come. Is that the day you meant?"


def _put_verdict(project: Project, at: At, verdict: object) -> Project:
    """Put the verdict, on the block as it is now; without one there is no test."""
    if verdict is None:
        return replace(project, block_test=None)
    block = standing(project, LAST).block
    if block is None:
        raise AnswerError(at.key, "the block is not finished yet; measure it first")
    said = cast(Any, verdict)
    test = project.block_test or BlockTest(said)
    return replace(project, block_test=replace(test, verdict=said, fingerprint=block.fingerprint))


def _put_detail(project: Project, at: At, said: object) -> Project:
    test, part = project.block_test, at.key.partition(".")[2]
    if test is not None:
        new = cast(Any, "" if said is None and part == "notes" else said)
        return replace(project, block_test=replace(test, **{part: new}))
    if said:
        raise AnswerError(at.key, "say first what the test of the block showed")
    return project


VERDICT = Question(
    key="block_test.verdict",
    label="Verdict",
    how="What did the muslin of the unaltered block show?",
    rule=Rule("choice", (("hangs clean", "hangs clean"), ("needs fitting", "needs fitting first"))),
    if_skipped="whether the block hangs well stays unknown",
    put=_put_verdict,
)
DATE = Question(
    key="block_test.date",
    label="Date of the test",
    how="When it was tried on: {day}, or today.",
    rule=Rule("date"),
    usual=today,
    keeps_usual=True,
    put=_put_detail,
    slips=future_day,
)
NOTES = Question(
    key="block_test.notes",
    label="Notes",
    how="What you saw, in your own words.",
    rule=Rule("note", at_most=2000),
    put=_put_detail,
)
QUESTIONS = (VERDICT, DATE, NOTES)
