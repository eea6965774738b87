"""All answers on one page, each with the way back to its question."""

from __future__ import annotations

from legtaper.model.project import Project
from legtaper_wizard.flow.answers import value
from legtaper_wizard.flow.shapes import LAST, Cursor, SummaryLine
from legtaper_wizard.flow.steps.registry import STEPS
from legtaper_wizard.flow.steps.step import Step


def summary(project: Project, at: Cursor = LAST) -> tuple[SummaryLine, ...]:
    """Return every answer in the order of the steps, and what holds where none was given.

    A question that was skipped and has no default is left out, but for the steps that were
    skipped altogether.
    """
    lines = [line for step in STEPS for line in _step_lines(project, step, at)]
    first = {line.key: line for line in reversed(lines) if line.key}  # some are asked twice
    return tuple(line for line in lines if not line.key or first[line.key] is line)


def _step_lines(project: Project, step: Step, at: Cursor) -> list[SummaryLine]:
    lines: list[SummaryLine] = []
    cursors = [at]
    if step.id == "liked":
        cursors = [Cursor(at.design, number) for number in range(len(project.liked))]
    if step.id == "block" and project.block.outline:
        lines.append(
            SummaryLine(step.id, "Outline", "front and back, point by point", "block.label")
        )
    for cursor in cursors:
        lines += _form_lines(project, step, cursor)
    return lines or [SummaryLine(step.id, step.title, "nothing answered")]


def _form_lines(project: Project, step: Step, at: Cursor) -> list[SummaryLine]:
    lines = []
    for field in step.fields(project, at):
        said = value(project, field.key, at)
        shown = dict(field.choices).get(said, said)
        if not shown and step.usual_counts and field.placeholder:
            usual = dict(field.choices).get(field.placeholder, field.placeholder)
            shown = f"{usual} (the usual)"
        if shown and field.kind == "percent" and "percent" not in field.label:
            shown = f"{shown} %"
        if shown:
            lines.append(SummaryLine(step.id, field.label, shown, field.key))
    return lines
