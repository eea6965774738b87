"""The questions of a step one after the other, as the plain wizard asks them."""

from __future__ import annotations

from dataclasses import dataclass

from legtaper.model.project import Project
from legtaper_wizard.flow.steppers import step_said
from legtaper_wizard.flow.steps import LAST, STEPS, Cursor, Field, value


@dataclass(frozen=True, slots=True)
class Prompt:
    """One question at its place."""

    step: int
    field: Field
    at: Cursor


def prompts_of(project: Project, step: int) -> list[Prompt]:
    """Return the questions of a step as they are asked one by one."""
    cursors = [LAST]
    if STEPS[step].id == "liked":  # every garment, and then room for one more
        cursors = [Cursor(None, number) for number in range(len(project.liked) + 1)]
    return [
        Prompt(step, field, at)
        for at in cursors
        for field in STEPS[step].fields(project, at)
        if not _asked_otherwise(project, field, at)
    ]


def _asked_otherwise(project: Project, field: Field, at: Cursor) -> bool:
    """Whether a finished width is not asked for, because a take-in was given at that level."""
    if not field.key.startswith("design.width.") or value(project, field.key, at):
        return False
    return bool(value(project, f"design.take_in.{field.level}", at))


def bracket(project: Project, prompt: Prompt) -> str:
    """Return what Enter alone means."""
    field, said = prompt.field, value(project, prompt.field.key, prompt.at)
    if said or field.placeholder:
        shown = said or field.placeholder
        return dict(field.choices).get(shown, shown)
    return "skip" if field.optional else "needed"


def moving(project: Project, prompt: Prompt) -> str:
    """Say how an answer is moved by steps, "" where it is not."""
    if prompt.field.group not in ("blend", "curve") or not prompt.field.placeholder:
        return ""
    step = step_said(project.length_unit)
    return f" Type + or - to move it by a step of {step}, -3 for three down."


def meant(field: Field, typed: str) -> str:
    """Return the answer that a typed line stands for: a choice by its number, = before a word."""
    if field.kind == "choice":
        numbers = {str(number): text for number, (text, _) in enumerate(field.choices, 1)}
        return numbers.get(typed, typed)
    return typed.removeprefix("=")


def changed_at(before: Project, after: Project) -> tuple[int, Prompt] | None:
    """Return the first question, by its number in its step, that two projects answer apart."""
    for step in range(len(STEPS)):
        for index, prompt in enumerate(prompts_of(after, step)):
            key = prompt.field.key
            if value(before, key, prompt.at) != value(after, key, prompt.at):
                return index, prompt
    return None
