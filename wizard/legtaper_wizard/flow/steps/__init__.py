"""The wizard's steps and everything a front end needs to ask them, without any terminal.

A front end holds a `Project`, a `Cursor` and a `History`. It shows `step.fields(...)`, says
`echo(...)` while something is typed, takes `answer(...)`, and then says `shows(...)` and
`state(...)`. Functions take a project and give a new one; none changes anything.
"""

from __future__ import annotations

from legtaper_wizard.flow.answer_preview import echo
from legtaper_wizard.flow.answers import (
    answer,
    is_read,
    last_answered,
    rest_of_row,
    row_hint,
    row_order,
    value,
)
from legtaper_wizard.flow.history import History
from legtaper_wizard.flow.second_looks import new_slips, slips
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
from legtaper_wizard.flow.steps.narrowing_step import hem_widths_page
from legtaper_wizard.flow.steps.registry import (
    STEPS,
    about,
    actions,
    begun_by,
    do,
    first_open,
    follow,
    help_drawing,
    help_text,
    shows,
    state,
    step_of,
    way,
)
from legtaper_wizard.flow.steps.step import Step
from legtaper_wizard.flow.steps.summary import summary

__all__ = [
    "LAST", "STEPS", "Action", "AnswerError", "Cursor", "Field", "History", "Note", "Step",
    "StepState", "SummaryLine", "about", "actions", "answer", "begun_by", "do", "echo",
    "first_open", "follow", "help_drawing", "help_text", "hem_widths_page", "is_read",
    "last_answered", "new_slips", "nudge", "rest_of_row", "row_hint", "row_order", "shows", "slips",
    "state", "step_of", "summary", "value", "way",
]  # fmt: skip
