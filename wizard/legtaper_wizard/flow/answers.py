"""One answer in, a changed project out; and the answer back, as it was typed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from legtaper.model.lengths import Length, LengthError, from_mm, parse_length
from legtaper.model.project import Project, Unit
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.accessors import get, put
from legtaper_wizard.flow.answer_parser import Answer, read
from legtaper_wizard.flow.dates import say_date
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.keys import LEG_LEVELS, MOST_STRETCH, Rule, level_of, rule_of, say_level
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.shapes import LAST, AnswerError, Cursor
from legtaper_wizard.flow.texts import words_of

STRETCH_SAMPLE: Mapping[Unit, Length] = {
    "in": Length(101.6, "4 in"),
    "cm": Length(100.0, "10 cm"),
}
"""How much cloth is stretched in the test. Over 4 in: Utah State Extension, Considerations for
Knit Fabrics; 10 cm is its metric twin."""


def value(project: Project, key: str, at: Cursor = LAST) -> str:
    """Return what was answered, as typed; "" where nothing was, or there is no such question."""
    found = get(project, key, at) if rule_of(key) else None
    if isinstance(found, Length):
        return _as_typed(found, project.length_unit)
    if isinstance(found, date):
        return say_date(found, settings().dates)
    if isinstance(found, float | int):
        return f"{found:.10g}" if found else ""
    return str(found or "")


def changed_in_words(
    key: str, before: tuple[Project, Cursor], after: tuple[Project, Cursor]
) -> str:
    """Say which answer changed, from what to what; "" where `key` names no question."""
    if rule_of(key) is None:
        return ""
    was, now = (clean(value(project, key, at), 40) for project, at in (before, after))
    label = words_of(key).label
    if was == now:
        return label
    return f"{label}{f', {was}' if was else ''}; now {now or 'empty'}"


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


def answer(project: Project, key: str, text: str, at: Cursor = LAST) -> Project:
    """Return the project with one answer changed; "" clears it.

    Raises `AnswerError` where the text cannot be read, or cannot be what this question asks.
    """
    rule, text = rule_of(key), text.strip()
    if rule is None:
        raise AnswerError(key, f"there is no question {key}")
    if text == value(project, key, at):
        return project
    if not text:
        return put(project, key, None, at)
    changed = put(project, key, parsed(project, key, rule, text), at)
    if key.startswith(("block.", "design.")):
        found = standing(changed, at)
        problem = found.block_problem or found.fit_problem
        if problem and problem.key == key:
            raise AnswerError(key, problem.text)
    return changed


def parsed(project: Project, key: str, rule: Rule, text: str) -> Answer:
    """Return what an answer says. Raises `AnswerError`."""
    said = read(key, rule, text, project.length_unit)
    level = level_of(key)
    if key.startswith("block.") and ".inseam." in key and level in ("hip", "high_hip"):
        raise AnswerError(key, "an inseam ends at the crotch; leave this out")
    known = level in LEG_LEVELS or level in project.block.height
    if key.startswith("design.") and level and not known:
        raise AnswerError(key, f"the block has no level {say_level(level)}; give its height first")
    if key == "fabric.stretch_test" and isinstance(said, Length):
        return _stretch(key, said, STRETCH_SAMPLE[project.length_unit])
    return said


def _stretch(key: str, stretched: Length, sample: Length) -> float:
    """Return by how many percent a sample of cloth stretched."""
    if stretched.mm < sample.mm:
        raise AnswerError(key, f"{stretched.text} is shorter than the {sample.text} it began with")
    percent = 100 * (stretched.mm - sample.mm) / sample.mm
    if percent > MOST_STRETCH:
        raise AnswerError(key, f"{stretched.text} is more than cloth stretches; measure it again")
    return round(percent, 9)
