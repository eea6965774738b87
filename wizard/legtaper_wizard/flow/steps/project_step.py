"""The step in which a project gets its name and its unit."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.model.project import Project
from legtaper_wizard.flow.questions.naming import NAME, UNIT
from legtaper_wizard.flow.shapes import Field, Note, StepState
from legtaper_wizard.flow.steps.step import DONE, Step, Work, look, still_open


def _asks(work: Work) -> Iterator[Field]:
    yield work.ask(NAME)._replace(optional=False)
    yield work.ask(UNIT)


def _notes(_: Work, __: StepState) -> Iterator[Note]:
    yield Note("info", "You may type any unit at any time.")


def _status(work: Work) -> StepState:
    if work.project.name.strip():
        return DONE
    says = "the project has no name yet"
    return look(says) if work.passed else still_open(says)


def _answered(project: Project) -> bool:
    return bool(project.name.strip())


STEP = Step(
    id="project",
    title="Project",
    short="Project",
    why="One project is one wearer and one pair of trousers. Give it a name you will know it by, "
    "and the unit on your tape.",
    help=(
        "Any length may be typed in inches or centimeters, as 2 1/2 in, 2.5 in or 6.5 cm. "
        "A bare number takes the project's unit.",
        "Everything is saved after each answer. You can stop at any time and go on later.",
    ),
    asks=_asks,
    notes=_notes,
    status=_status,
    answered=_answered,
)
