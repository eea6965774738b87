"""All answers on one page, each with the way back to its question."""

from __future__ import annotations

from legtaper.model.project import Project
from legtaper_wizard.flow.answers import value
from legtaper_wizard.flow.forms import fields_of
from legtaper_wizard.flow.shapes import LAST, Cursor, SummaryLine
from legtaper_wizard.flow.texts import STEPS


def summary(project: Project, at: Cursor = LAST) -> tuple[SummaryLine, ...]:
    """Return every answer in the order of the steps, and what serves where none was given.

    A question that was skipped and has no default is left out, but for the steps that were
    skipped altogether.
    """
    lines = [line for step_id in STEPS for line in _step_lines(project, step_id, at)]
    first = {line.key: line for line in reversed(lines) if line.key}  # some are asked twice
    return tuple(line for line in lines if not line.key or first[line.key] is line)


def _step_lines(project: Project, step_id: str, at: Cursor) -> list[SummaryLine]:
    lines: list[SummaryLine] = []
    cursors = [at]
    if step_id == "liked":
        cursors = [Cursor(at.design, number) for number in range(len(project.liked))]
    if step_id == "block" and project.block.outline:
        lines.append(
            SummaryLine(step_id, "Outline", "front and back, point by point", "block.label")
        )
    for cursor in cursors:
        lines += _form_lines(project, step_id, cursor)
    if lines:
        return lines
    title = STEPS[step_id].title
    return [SummaryLine(step_id, title, "nothing answered")]


def _form_lines(project: Project, step_id: str, at: Cursor) -> list[SummaryLine]:
    lines = []
    for field in fields_of(step_id, project, at):
        said = value(project, field.key, at)
        shown = dict(field.choices).get(said, said) or _usual(field.placeholder, step_id)
        if shown:
            lines.append(SummaryLine(step_id, field.label, shown, field.key))
    return lines


def _usual(placeholder: str, step_id: str) -> str:
    """Return the default that serves, marked as one; a date or a percentage needs none."""
    serves = placeholder and step_id in ("blend", "foot", "hem", "pattern")
    return f"{placeholder} (the usual)" if serves else ""
