"""The stops of a step: questions, buttons, lines that lead back."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.model.project import Project
from legtaper.model.safe_text import clean
from legtaper_wizard.flow import steps
from legtaper_wizard.flow.derived_state import chosen_design
from legtaper_wizard.flow.round_answers import is_done
from legtaper_wizard.flow.steps import Cursor, Field, Step
from legtaper_wizard.flow.steps.block_levels import block_is_empty
from legtaper_wizard.tui.layout.stop import (
    BACK,
    COMPARE,
    DESIGN,
    GARMENT,
    LONGEST,
    NEXT,
    WRITE,
    Stop,
)

_DOES_FIRST = ("block-test", "fitting")  # steps where something is printed before it is answered
_MOST_DESIGNS = 6  # of many, the last have a button; F7 has them all


def stops_of(step: Step, project: Project, at: Cursor) -> tuple[Stop, ...]:
    """Return the places of a step, in the order in which Tab goes through them.

    The way on comes right after the last question, so that Enter alone leads through the job.
    Where a block is still to come, the other ways to one stand before the first question.
    """
    buttons = tuple(_buttons(step, project, at))
    other_ways = [stop for stop in buttons if stop.action and stop.action.paged]
    first = len(other_ways) if block_is_empty(project) else 0
    ways = tuple(_ways(step, project, at))
    rest = buttons[first:]
    return (
        *buttons[:first],
        *(question(project, field, at) for field in step.fields(project, at)),
        *((*rest, *ways) if step.id in _DOES_FIRST else (*ways, *rest)),
        *_others(step, project, at),
        *(_lines(project, at) if step.id == "pattern" else ()),
    )


def questions_of(step: Step, project: Project, at: Cursor) -> tuple[Stop, ...]:
    """Return the questions of a step and the way on, before the figures are there.

    They stand where `stops_of` has them; where the way leads is not known yet. Raises
    `NotYetError` where the questions hang on the figures.
    """
    if step.id == "pattern" or block_is_empty(project):
        return stops_of(step, project, at)
    return (
        *(question(project, field, at) for field in step.fields(project, at)),
        Stop(NEXT, "button", "..."),
    )


def question(project: Project, field: Field, at: Cursor) -> Stop:
    """Return a question with the answer it has."""
    said = clean(steps.value(project, field.key, at), 2000)
    return Stop(field.key, "question", field.label, said, field)


def _buttons(step: Step, project: Project, at: Cursor) -> Iterator[Stop]:
    at_hand = [action for action in steps.actions(project, step.id, at) if action.at_hand]
    for action in sorted(at_hand, key=lambda action: bool(action.then)):  # what leads away is last
        yield Stop(action.id, "button", clean(action.label, LONGEST), action=action)


def _others(step: Step, project: Project, at: Cursor) -> Iterator[Stop]:
    """Yield the other garments, or the other designs, as buttons that lead to them."""
    if step.id == "liked":
        for number, liked in enumerate(project.liked):
            if number != at.liked:
                yield Stop(f"{GARMENT}{number}", "button", f"Go to {clean(liked.garment, 40)}")
    if step.id == "narrowing" and project.designs:
        now = chosen_design(project, at)
        for design in project.designs[-_MOST_DESIGNS:]:
            if now is None or design.name != now.name:
                words = f'Work on "{clean(design.name, 40)}"'
                yield Stop(f"{DESIGN}{design.name}", "button", words)


def _lines(project: Project, at: Cursor) -> Iterator[Stop]:
    """Yield every answer of the steps before, as a line that leads back to its question."""
    for number, line in enumerate(steps.summary(project, at)):
        if line.step_id not in ("pattern", "fitting"):
            said = clean(line.value, 200)
            jump, head = (line.step_id, line.key), steps.step_of(line.step_id).title
            label = clean(line.label, 60)
            yield Stop(f"line.{number}", "link", label, said, jump=jump, head=head)


def _ways(step: Step, project: Project, at: Cursor) -> Iterator[Stop]:
    if step.id == "pattern":
        yield Stop(WRITE, "button", "Write the pattern files")
    if step.id == "fitting":
        what = "the pattern files" if is_done(project, at) else "both legs for the test"
        yield Stop(WRITE, "button", f"Write {what}")
        yield Stop(COMPARE, "button", "Side by side")
    for stop_id, words, by in ((NEXT, "Next", 1), (BACK, "Back", -1)):
        to, _ = steps.way(project, step.id, at, by)
        if to != step.id:
            yield Stop(stop_id, "button", f"{words}: {steps.step_of(to).title}")
