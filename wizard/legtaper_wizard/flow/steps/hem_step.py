"""The step in which it is said how the hem is finished."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from legtaper.model.lengths import say_both, say_length, say_small
from legtaper.model.project import Project
from legtaper_wizard.flow.questions.hem import FOLD_DRAWN, QUESTIONS, TURN_UNDER
from legtaper_wizard.flow.shapes import Field, Note, StepState
from legtaper_wizard.flow.steps.step import DONE, Step, Work, reason_notes, trouble

if TYPE_CHECKING:
    from legtaper.pattern import Fit


def _asks(work: Work) -> Iterator[Field]:
    design = work.design
    turned = design and (design.hem.style == "double" or design.hem.turn_under)
    yield from (work.ask(one) for one in QUESTIONS if one is not TURN_UNDER or turned)


def _notes(work: Work, found: StepState) -> Iterator[Note]:
    fit, unit = work.fit, work.unit
    if fit is None:
        yield from reason_notes(work, found)
        return
    hem = fit.hem
    under = f", turned under {say_length(hem.turn_under, unit)}" if hem.turn_under else ""
    yield Note("number", f"Hem: {hem.style}, {say_both(hem.depth, unit)} deep{under}.")
    if hem.style != "faced":
        yield Note("number", _widening(fit))
    if hem.come_in:
        yield Note(
            "number",
            f"Each edge comes in by {say_small(hem.come_in, unit)} at each fold for the turn of "
            "the fabric.",
        )


def _widening(fit: Fit) -> str:
    """Say how much wider the upper edge of the fold-up must be than the hem line."""
    unit, depth = fit.project.length_unit, fit.hem.depth
    wider = float(fit.taper.circumference(depth) - fit.taper.circumference(0.0))
    return (
        f"{say_length(depth, unit)} up, the leg is {say_small(wider, unit)} wider around than at "
        "the hem; the fold-up widens by the same."
    )


def _status(work: Work) -> StepState:
    return trouble(work, "design.hem") or DONE


def _answered(project: Project) -> bool:
    return any(d.hem.depth or d.hem.style != "single" for d in project.designs)


STEP = Step(
    id="hem",
    title="Hem",
    short="Hem",
    why="A tapered leg is narrower at the hem than above it. The fold-up must widen downwards as "
    "the leg above it does, as in a mirror, or it will not lie flat inside.",
    help=(
        "Where the true hem line curves by more than 3 mm, a fold-up cannot lie flat; a "
        "facing with the leg's own shape does.",
    ),
    asks=_asks,
    notes=_notes,
    status=_status,
    answered=_answered,
    drawing=FOLD_DRAWN,
    picture="close",
    usual_counts=True,
)
