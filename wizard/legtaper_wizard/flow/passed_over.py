"""Questions that are passed: without an answer, or as their answer was given in another way."""

from __future__ import annotations

import re
from collections.abc import Sequence

from legtaper.model.project import Project
from legtaper_wizard.flow.steps import STEPS, Cursor, Field, state, value
from legtaper_wizard.flow.steps.block_levels import waits_for_height

_ASKED_TWICE = ("fabric.stretch_test",)
"""Ways to an answer that may be given otherwise, too."""

_NEEDLESS_WITH = {"wearer.foot_length": "wearer.foot_entry"}
"""What only helps to estimate another answer, by the key of that one."""


def asked_otherwise(project: Project, field: Field, at: Cursor) -> bool:
    """Whether the same is answered in another way, or was left out with another answer.

    A finished width where a take-in was given at that level, and the other way round; a panel of
    a liked leg, as both may be typed at once for the whole leg, but where the other one alone was;
    the seams of a block at a level whose height was passed by; what would only estimate a number
    that is measured. Enter goes past such a question.
    """
    key = field.key
    if value(project, key, at):
        return False
    measured = _NEEDLESS_WITH.get(key)
    if waits_for_height(project, key) or (measured and value(project, measured, at)):
        return True
    for one, other in (("width", "take_in"), ("take_in", "width")):
        if key.startswith(f"design.{one}."):
            return bool(value(project, f"design.{other}.{field.level}", at))
    panel = re.fullmatch(r"(liked\.\d+\.)(front|back)(_width\..*)", key)
    if panel is None:
        return False
    other = {"front": "back", "back": "front"}[panel[2]]
    return not value(project, f"{panel[1]}{other}{panel[3]}", at)


def left_with(left: Field, field: Field) -> bool:
    """Whether a question asks the same as one that was just left empty, at a level she may leave.

    Above the hem a level whose finished width is not wanted stays as it is; at the hem something
    has to be said, so what comes off there is asked next.
    """
    at = f".{field.level}"
    pair = (left.key.removesuffix(at), field.key.removesuffix(at))
    return pair == ("design.width", "design.take_in") and field.level != "hem"


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
