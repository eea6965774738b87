"""The wizard's steps and everything a front end needs to ask them, without any terminal.

A front end holds a `Project`, a `Cursor` and a `History`. It shows `step.fields(...)`, says
`echo(...)` while something is typed, takes `answer(...)`, and then says `shows(...)` and
`state(...)`. Functions take a project and give a new one; none changes anything.
"""

from __future__ import annotations

from dataclasses import dataclass

from legtaper.model.project import Project
from legtaper_wizard.flow.actions import actions, do, follow
from legtaper_wizard.flow.answer_preview import echo
from legtaper_wizard.flow.answers import answer, value
from legtaper_wizard.flow.forms import fields_of
from legtaper_wizard.flow.help_drawings import help_drawing
from legtaper_wizard.flow.history import History
from legtaper_wizard.flow.notes import hem_widths_page, shows
from legtaper_wizard.flow.progress import first_open as first_open_id
from legtaper_wizard.flow.progress import state
from legtaper_wizard.flow.shapes import (
    LAST,
    Action,
    AnswerError,
    Cursor,
    Field,
    Note,
    StepState,
    SummaryLine,
)
from legtaper_wizard.flow.steppers import nudge
from legtaper_wizard.flow.summary import summary
from legtaper_wizard.flow.texts import STEPS as WORDS
from legtaper_wizard.flow.texts import help_text

__all__ = [
    "LAST", "STEPS", "Action", "AnswerError", "Cursor", "Field", "History", "Note", "Step",
    "StepState", "SummaryLine", "actions", "answer", "do", "echo", "first_open", "follow",
    "help_drawing", "help_text", "hem_widths_page", "nudge", "shows", "state", "step_of", "summary",
    "value",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Step:
    """One page of the wizard; `why` is two or three sentences."""

    id: str
    title: str
    why: str

    def fields(self, project: Project, at: Cursor = LAST) -> tuple[Field, ...]:
        """Return the questions, given what is answered so far, in the order they are asked."""
        return fields_of(self.id, project, at)


STEPS: tuple[Step, ...] = tuple(
    Step(step_id, words.title, words.why) for step_id, words in WORDS.items()
)


def step_of(step_id: str) -> Step:
    """Return a step by its id. Raises `KeyError` where there is none."""
    for step in STEPS:
        if step.id == step_id:
            return step
    raise KeyError(step_id)


def first_open(project: Project, at: Cursor = LAST) -> Step:
    """Return the first step that still wants something, where work goes on; else the last."""
    return step_of(first_open_id(project, at))
