"""Questions that were passed without an answer, so that something stays unknown."""

from __future__ import annotations

from collections.abc import Sequence

from legtaper.model.project import Project
from legtaper_wizard.flow.steps import STEPS, Cursor, Field, state, value

_ASKED_TWICE = ("fabric.stretch_test",)
"""Ways to an answer that may be given otherwise, too."""


def passed_over(project: Project, at: Cursor, step_id: str, key: str = "") -> tuple[Field, ...]:
    """Return the questions before a place that have no answer and cost something without one.

    A step that still waits is passed by nobody; `key` is the question she stands at, and where
    none is named, the whole step counts as passed.
    """
    found: list[Field] = []
    for step in STEPS:
        here = step.id == step_id
        if state(project, step.id, at).marker != "locked":
            fields = step.fields(project, at)
            keys = [field.key for field in fields]
            end = keys.index(key) if here and key in keys else len(fields)
            found += [field for field in fields[:end] if _costs(project, field, at)]
        if here:
            break
    return tuple(found)


def say_passed(names: Sequence[str]) -> str:
    """Say how many questions were passed, and which, by their names."""
    small = [name[:1].lower() + name[1:] for name in names]
    return f"{len(small)} not answered: {'; '.join(small)}." if small else ""


def _costs(project: Project, field: Field, at: Cursor) -> bool:
    """Whether something stays unknown; a level of a table is placed from the others."""
    free = not field.if_skipped or field.if_skipped.startswith("nothing")
    if free or field.level or field.placeholder or field.key in _ASKED_TWICE:
        return False
    return field.optional and not value(project, field.key, at)
