"""The questions of a step one after the other, as the line prompts ask them, and finding one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import takewhile

from legtaper.model.levels import say_level
from legtaper.model.project import Project
from legtaper_wizard.flow.passed_over import asked_otherwise
from legtaper_wizard.flow.steppers import step_said
from legtaper_wizard.flow.steps import LAST, STEPS, Cursor, Field, value

NUDGE = re.compile(r"([+-])(\d{0,3})", re.ASCII)
"""A line that moves an answer by steps: +, -, -3."""


@dataclass(frozen=True, slots=True)
class Prompt:
    """One question at its place."""

    step: int
    field: Field
    at: Cursor

    @property
    def name(self) -> str:
        """What it is called where it is not asked, as Take off at the hem without its Or."""
        said = self.field.label.removeprefix("Or ")
        return said[:1].upper() + said[1:]


def prompts_of(project: Project, step: int, at: Cursor = LAST) -> list[Prompt]:
    """Return the questions of a step as they are asked one by one, about the design of `at`."""
    found = [
        one for one in _all_of(project, step, at) if not asked_otherwise(project, one.field, one.at)
    ]
    levels = [one.field.level for one in found if _is_cell(one)]
    cells = sorted(filter(_is_cell, found), key=lambda one: levels.index(one.field.level))
    return [one for one in found if not _is_cell(one)] + cells


def _is_cell(one: Prompt) -> bool:
    """Whether a question is a cell of the block's table: those are asked row by row."""
    return STEPS[one.step].id == "block" and one.field.group not in ("", "height")


def row_from(prompts: Sequence[Prompt], index: int) -> list[Prompt]:
    """Return the questions of a row of the block where it begins at this one, else nothing."""
    here = prompts[index]
    if not _is_cell(here) or (index and _same_row(prompts[index - 1], here)):
        return []
    return list(takewhile(lambda one: _same_row(one, here), prompts[index:]))


def row_begins(prompts: Sequence[Prompt], index: int) -> int:
    """Return where the row of a question begins; of one that is in no row, where it is itself."""
    while index and _same_row(prompts[index - 1], prompts[index]):
        index -= 1
    return index


def _same_row(one: Prompt, other: Prompt) -> bool:
    return _is_cell(one) and _is_cell(other) and one.field.level == other.field.level


def rest_of_part(
    project: Project, prompts: Sequence[Prompt], index: int
) -> tuple[list[Prompt], list[str]]:
    """Return a question and those behind it that belong together: a group, or a row of a table.

    And what of them has no answer; of a row that is empty its level alone.
    """
    kind = _part(prompts[index])
    part = list(takewhile(lambda one: _part(one) == kind, prompts[index:]))
    open_ones = [one for one in part if not value(project, one.field.key, one.at)]
    begun = index > 0 and _part(prompts[index - 1]) == kind
    if _is_by_level(part[0]) and len(open_ones) == len(part) and not begun:
        return part, [say_level(part[0].field.level)]
    names = [one.field.group if _is_cell(one) else one.name for one in open_ones]
    return part, [name.lower() for name in names]


def _part(one: Prompt) -> tuple[str, Cursor]:
    return (one.field.level if _is_by_level(one) else one.field.group), one.at


def _is_by_level(one: Prompt) -> bool:
    return _is_cell(one) or STEPS[one.step].id == "narrowing"


def _all_of(project: Project, step: int, at: Cursor) -> Iterator[Prompt]:
    cursors = [at]
    if STEPS[step].id == "liked":  # every garment, and then room for one more
        cursors = [Cursor(at.design, number) for number in range(len(project.liked) + 1)]
    for cursor in cursors:
        for field in STEPS[step].fields(project, cursor):
            yield Prompt(step, field, cursor)


def bracket(project: Project, prompt: Prompt) -> str:
    """Return what Enter alone means; of a length that was worked out no more than a ruler shows."""
    field, said = prompt.field, value(project, prompt.field.key, prompt.at)
    if said or field.placeholder:
        shown = said or field.placeholder
        shown = re.sub(r"\d+\.\d{3,}", lambda long: f"{float(long[0]):.2f}", shown)
        return re.split("[:;]", dict(field.choices).get(shown, shown))[0]
    return "skip" if field.optional else "needed"


def moving(project: Project, prompt: Prompt) -> str:
    """Say how an answer is moved by steps, "" where it is not."""
    if prompt.field.group not in ("blend", "curve") or not prompt.field.placeholder:
        return ""
    step = step_said(project.length_unit)
    return f"Plus or minus, + or -, moves it by {step}; minus 3, -3, three times."


def meant(field: Field, typed: str) -> str:
    """Return the answer that a typed line stands for.

    A choice may be named by its number, or by its words as they are read out or the first or
    some of them, where they name no other choice; = before a word makes an answer of it.
    """
    if not field.choices:
        return typed.removeprefix("=").strip()
    said = typed.removeprefix("=").strip().lower().replace("metre", "meter")  # of units
    if field.kind == "choice":
        for number, (text, _) in enumerate(field.choices, 1):
            if said == str(number):
                return text
    for found in (
        [text for text, label in field.choices if said in (text.lower(), label.lower())],
        [text for text, label in field.choices if label.lower().startswith(said)],
        [text for text, label in field.choices if words_in(said) <= words_in(label)],
    ):
        if words_in(said) and len(found) == 1:
            return found[0]
    return typed.removeprefix("=").strip()


def words_in(text: str) -> set[str]:
    """Return the words of a text, in small letters."""
    return set(re.findall(r"[^\W_]+", text.lower()))


# --- finding a question by its name ------------------------------------------------------------


_LIKED = [step.id for step in STEPS].index("liked")
_SMALL = {"of", "the", "at", "or"}
"""Words of a name that tell nothing apart: height of the calf is calf height."""


def _name_words(name: str) -> set[str]:
    return words_in(name) - _SMALL


def named(project: Project, name: str, here: Prompt | None, at: Cursor) -> list[Prompt]:
    """Return the questions that a name may mean; one alone where it is plain which.

    A name is a label as it is read out, some of its words, or a key of the project file. The
    step of `here` goes before the others, and a whole label before a part of one.
    """
    everything = _nameable(project, at)
    near = [one for one in everything if here and one.step == here.step]
    if here and STEPS[here.step].id == "liked":  # the garment that is worked on
        near = [one for one in _all_of(project, here.step, at) if one.at == here.at]
    wanted = _name_words(name)
    if not wanted:
        return []
    if rows := [one for one in near if _is_row(one, wanted)]:
        return rows
    for fits in (_is_whole_name, _is_part, _is_with_step):
        for among in (near, everything):
            if found := [one for one in among if fits(one, name.lower(), wanted)]:
                return found
        if fits is _is_whole_name and (one := _of_garment(project, name.lower(), at)):
            return [one]
    return []


def _of_garment(project: Project, name: str, at: Cursor) -> Prompt | None:
    """Return what a name asks of trousers that are liked, as their widths are told.

    That is the name of the garment and a level, as in gray corduroys, hem; or words of a question.
    """
    called = [number for number, liked in enumerate(project.liked)
              if liked.garment and name.startswith(liked.garment.lower())]  # fmt: skip
    if not called:
        return None
    number = max(called, key=lambda one: len(project.liked[one].garment))
    rest = _name_words(name[len(project.liked[number].garment) :])
    asked = [one for one in _all_of(project, _LIKED, at) if one.at.liked == number]
    for label in (lambda one: say_level(one.field.level), lambda one: one.field.label):
        if found := [one for one in asked if rest and rest <= _name_words(label(one))]:
            return found[0]
    return None


def elsewhere(project: Project, name: str, known: Sequence[Prompt], at: Cursor) -> list[Prompt]:
    """Return what else a name is the whole name of, where it was taken for a row of a table."""
    wanted = _name_words(name)
    if not any(_is_row(one, wanted) for one in known):
        return []
    keys = [one.field.key for one in known]
    found = [one for one in _nameable(project, at) if _is_whole_name(one, name.lower(), wanted)]
    return [one for one in found if one.field.key not in keys]


def way_to(project: Project, name: str, here: Prompt | None, at: Cursor) -> list[Prompt]:
    """Return where the way back leads: as `named`, but from a table a level alone is its row."""
    if here:
        near = [one for one in _all_of(project, here.step, at) if one.at == here.at]
        if row := _row_called(near, _name_words(name), here.field):
            return [row]
    return named(project, name, here, at)


def like(project: Project, name: str, at: Cursor) -> str:
    """Return the name of a question that a mistyped one is close to, "" where none is."""
    labels = {one.name.lower(): one.name for one in _nameable(project, at)}
    found = get_close_matches(name.lower(), labels, n=1, cutoff=0.6)
    return labels[found[0]] if found else ""


def full_names(project: Project, fields: Sequence[Field], at: Cursor) -> list[str]:
    """Return a name for each question that means no other one: with its step where it has to."""
    known = _nameable(project, at)
    labels = [one.field.label for one in known]
    step_of_key = {one.field.key: one for one in known}
    return [
        with_step(step_of_key[field.key])
        if labels.count(field.label) > 1 and field.key in step_of_key
        else field.label
        for field in fields
    ]


def with_step(prompt: Prompt) -> str:
    """Return the name of a question with its step, which tells it from another one's."""
    return f"{prompt.name} of {STEPS[prompt.step].title}"


def _nameable(project: Project, at: Cursor) -> list[Prompt]:
    """Return each question once: one that two steps ask, at the first; of the garments one."""
    garment = at.liked if 0 <= at.liked < len(project.liked) else max(len(project.liked) - 1, 0)
    found: dict[str, Prompt] = {}
    for step in range(len(STEPS)):
        for one in _all_of(project, step, at):
            if STEPS[step].id != "liked" or one.at.liked == garment:
                found.setdefault(one.field.key, one)
    return list(found.values())


def _is_whole_name(one: Prompt, name: str, wanted: set[str]) -> bool:
    return name == one.field.key or wanted == _name_words(one.field.label)


def _is_row(one: Prompt, wanted: set[str]) -> bool:
    """Whether a name is that of a row in a table of heights, as its first question is called."""
    level = one.field.level if one.field.group == "height" else ""
    return bool(level) and wanted == words_in(say_level(level))


def _row_called(near: Sequence[Prompt], wanted: set[str], here: Field) -> Prompt | None:
    """Return the question of a table's row, by its level alone, from another one of the table.

    In the column where she is; else the first of that row.
    """
    if not (here.level and here.group):
        return None
    rows = [
        one for one in near if one.field.level and wanted == words_in(say_level(one.field.level))
    ]
    same = [one for one in rows if one.field.group == here.group]
    return next(iter(same or rows), None)


def _is_part(one: Prompt, _: str, wanted: set[str]) -> bool:
    return wanted <= _name_words(one.field.label)


def _is_with_step(one: Prompt, _: str, wanted: set[str]) -> bool:
    """Whether a name is a label with words of its step, as `with_step` says it."""
    label = _name_words(one.field.label)
    return label <= wanted <= label | _name_words(STEPS[one.step].title)


def place_of(project: Project, key: str, at: Cursor) -> tuple[int, int] | None:
    """Return the step of a question, by its key, and its number there, counted from 0."""
    for step in range(len(STEPS)):
        for index, prompt in enumerate(prompts_of(project, step, at)):
            if prompt.field.key == key:
                return step, index
    return None


def changed_at(before: Project, after: Project, at: Cursor) -> tuple[int, int] | None:
    """Return the step and the number of the first question that two projects answer apart."""
    for step in range(len(STEPS)):
        for index, prompt in enumerate(prompts_of(after, step, at)):
            key = prompt.field.key
            if value(before, key, prompt.at) != value(after, key, prompt.at):
                return step, index
    return None
