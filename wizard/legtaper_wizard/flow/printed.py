"""What is printed, and that it counts as printed, whichever way it was written."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.shapes import Action, AnswerError

if TYPE_CHECKING:
    from legtaper.model.project import Project
    from legtaper.pattern import Fit, Pattern
    from legtaper_wizard.flow.shapes import Cursor

BY_HAND = "When the test is printed, note it with: legtaper round FILE --printed"


PRINT_BLOCK = Action(
    "print-block", "Print the block", hint="As it is, at true size: PDF, SVG, DXF or its marks."
)
"""What prints the block as it is; each face asks in its own way what to write."""
BLOCK_STEPS = ("block", "block-test")
"""The steps on which the block as it is is meant where nothing else is said."""


def pattern_to_print(project: Project, leg: str, design: str | None = None) -> Pattern:
    """Return the pattern of a leg: the block as it is needs no design, and has nothing of one.

    Raises `ProjectError`, for a design that is not there with any leg.
    """
    from legtaper.pattern import build, unaltered

    if leg != "unaltered":
        return build(project, design)
    if design is not None:
        project.design(design)
    return unaltered(project)


def fit_to_print(project: Project, at: Cursor) -> Fit | None:
    """Return what can be printed: the design that is worked on, else the block as it is."""
    from legtaper.model.project import ProjectError
    from legtaper.pattern import unaltered

    found = standing(project, at)
    if found.fit is not None or found.block is None:
        return found.fit
    try:
        return unaltered(project).fit
    except ProjectError:
        return None


def wants_block(fit: Fit, step_id: str) -> bool:
    """Whether the block as it is is meant where nothing else is said."""
    return fit.is_the_block or step_id in BLOCK_STEPS


def test_is_due(project: Project, at: Cursor, step_id: str) -> bool:
    """Whether both legs are meant where nothing else is said, for the muslin test.

    That is until the design as it is was printed once, and at the fitting until its verdict is
    "done".
    """
    from legtaper_wizard.flow.round_answers import changed_at, is_done, round_at

    if is_done(project, at):
        return False
    otherwise = changed_at(project, at) == "design"
    return step_id == "fitting" or round_at(project, at) is None or otherwise


def fit_of_leg(project: Project, fit: Fit, leg: str) -> Fit:
    """Return what a leg is cut of. Raises `AnswerError` for a leg that has no design yet."""
    from legtaper.pattern import unaltered

    if leg == "unaltered":
        return unaltered(project).fit
    if fit.is_the_block:
        raise AnswerError("leg", "there is no design yet, so only the leg as the block can be made")
    return fit


def said_of_one_leg(project: Project, at: Cursor, step_id: str, leg: str) -> str:
    """Say that the narrowed leg alone prints no test, where one was to be printed; else ""."""
    from legtaper.muslin.log import number_to_print
    from legtaper_wizard.flow.round_answers import is_waiting

    design = chosen_design(project, at)
    if design is None or leg != "narrowed" or is_waiting(project, at):
        return ""
    if not test_is_due(project, at, step_id):
        return ""
    number = number_to_print(project, design)
    return f"This is the narrowed leg alone; the test of round {number} takes both legs."


def count_as_printed(file: Path, design: str, on: date) -> str:
    """Note in the project file that the test of a design is printed, and say so.

    Where the file cannot be written now, it says how to note it later; nothing is lost then.
    """
    from legtaper.files.store import Store, StoreError
    from legtaper.muslin.log import mark_printed, number_to_print
    from legtaper.pattern import block_of

    try:
        store = Store.open(file, for_writing=True)
        try:
            if store.read_only:
                return BY_HAND
            project = store.project
            sewn = project.design(design)
            number = number_to_print(project, sewn)
            store.save(mark_printed(project, block_of(project), sewn, on))
        finally:
            store.close()
    except (StoreError, OSError):
        return BY_HAND
    return f"Round {number} counts as printed. Try it on, then write down what you see."
