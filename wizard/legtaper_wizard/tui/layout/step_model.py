"""One step as it stands: what the screen shows of it that depends on the project."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from legtaper.model.project import Project
from legtaper.model.safe_text import clean
from legtaper_wizard.flow import steps
from legtaper_wizard.flow.derived_state import NotYetError, before_the_figures
from legtaper_wizard.flow.steps import AnswerError, Cursor, Note, Step, StepState
from legtaper_wizard.tui.layout.question_tables import in_rows
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.tab_stops import questions_of, stops_of

_MARKS = {"fail": "!", "caution": "!", "question": "?"}
Understand = Callable[[Project, str, str, Cursor], tuple[str, bool]]

_ECHOED = ("length", "signed", "percent", "date")


class Page(NamedTuple):
    """A step of a project, worked on at a cursor.

    states: of all steps, by id. echoes: what each answer was understood as. marks: a sign by key
    where an answer wants a second look. early: whether it is a first page, without any figures.
    """

    project: Project
    at: Cursor
    step: Step
    stops: tuple[Stop, ...]
    states: Mapping[str, StepState] = MappingProxyType({})
    notes: tuple[Note, ...] = ()
    echoes: Mapping[str, str] = MappingProxyType({})
    marks: Mapping[str, str] = MappingProxyType({})
    early: bool = False

    def stop(self, stop_id: str) -> Stop | None:
        """Return a stop by its id."""
        return next((stop for stop in self.stops if stop.id == stop_id), None)

    def beside(self, stop_id: str, by: int) -> str:
        """Return the id of the stop so many places on, at most the first or the last."""
        ids = [stop.id for stop in self.stops]
        at = ids.index(stop_id) if stop_id in ids else 0
        return ids[max(0, min(at + by, len(ids) - 1))]

    def entrance(self) -> str:
        """Return the id of the stop to begin at: where the step wants something, else the first."""
        state = self.states.get(self.step.id)
        empty = [stop for stop in self.stops if stop.field and not stop.said]
        if not empty or not state or not state.wants:
            return self.stops[0].id
        if len(empty) == sum(stop.kind == "question" for stop in self.stops):
            return empty[0].id
        needed = [stop for stop in empty if stop.field and not stop.field.optional]
        return (needed or empty)[0].id


def page_of(project: Project, step_id: str, at: Cursor) -> Page:
    """Return a step as it stands."""
    step = steps.step_of(step_id)
    stops = in_rows(stops_of(step, project, at))
    states = {known.id: steps.state(project, known.id, at) for known in steps.STEPS}
    notes = steps.shows(project, step_id, at)
    marks = {note.key: _MARKS[note.kind] for note in notes if note.key and note.kind in _MARKS}
    echoes = {stop.id: _beside(project, stop, at, understood) for stop in stops if _is_echoed(stop)}
    return Page(project, at, step, stops, states, notes, echoes, marks)


def first_page(project: Project, step_id: str, at: Cursor, here: str) -> Page | None:
    """Return a step before the figures are there: its questions, where they will stay.

    Nothing where they hang on the figures, or where the question `here` is none of them.
    """
    step = steps.step_of(step_id)
    with before_the_figures():
        try:
            page = Page(project, at, step, in_rows(questions_of(step, project, at)), early=True)
        except NotYetError:
            return None
    stop = page.stop(here)
    if stop is None or stop.kind != "question":
        return None
    echoes = {
        stop.id: _beside(project, stop, at, understood_early)
        for stop in page.stops
        if _is_echoed(stop)
    }
    return page._replace(echoes=echoes)


def understood_early(project: Project, key: str, text: str, at: Cursor) -> tuple[str, bool]:
    """Return the same as `understood` before the figures are there; nothing where it needs any."""
    with before_the_figures():
        try:
            return understood(project, key, text, at)
        except NotYetError:
            return "", True


def understood(project: Project, key: str, text: str, at: Cursor) -> tuple[str, bool]:
    """Return what a text would be understood as, or why it is not; and whether it is."""
    try:
        return steps.echo(project, key, text, at), True
    except AnswerError as error:
        return str(error), False


def _is_echoed(stop: Stop) -> bool:
    return stop.field is not None and stop.field.kind in _ECHOED and bool(stop.said)


def _beside(project: Project, stop: Stop, at: Cursor, tell: Understand) -> str:
    """Return what stands beside an answer: what it was understood as, without saying it twice."""
    echo, fine = tell(project, stop.id, stop.said, at)
    return short_echo(echo, stop.said) if fine else ""


def short_echo(echo: str, said: str) -> str:
    """Return an echo without the answer that stands beside it already."""
    rest = echo.removeprefix(said).strip()
    return clean(rest if not rest or rest.startswith("=") else echo, 200)
