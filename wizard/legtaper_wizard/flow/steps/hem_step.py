"""The step in which it is said how the hem is finished."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from legtaper.model.lengths import say_length
from legtaper.model.project import Project
from legtaper.model.said_lengths import say_both, say_small
from legtaper_wizard.flow.questions.hem import (
    END,
    FOLD_DRAWN,
    QUESTIONS,
    TURN_UNDER,
    say_lengths,
)
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
    yield Note("number", _ends(fit), END.key)
    hem = fit.hem
    under = f", turned under {say_length(hem.turn_under, unit)}" if hem.turn_under else ""
    yield Note("number", f"Hem: {hem.style}, {say_both(hem.depth, unit)} deep{under}.")
    if hem.style != "faced":
        yield Note("number", _widening(fit))
    if hem.come_in:
        yield Note(
            "number",
            f"Each edge comes in by {say_small(hem.come_in, unit)} at each fold, so that thick "
            "fabric lies inside.",
        )


def _ends(fit: Fit) -> str:
    """Say where the leg ends, and how long it is then."""
    away, unit = fit.block.start, fit.project.length_unit
    way = "above" if away > 0 else "below"
    where = f"{say_both(abs(away), unit)} {way} the block's hem" if away else "at the block's hem"
    return f"The leg ends {where}: {say_lengths(fit)}."


def _widening(fit: Fit) -> str:
    """Say how much wider the upper edge of the fold-up must be than the hem line."""
    unit, depth, start = fit.project.length_unit, fit.hem.depth, fit.block.start
    wider = float(fit.taper.circumference(start + depth) - fit.taper.circumference(start))
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
        "Where the true hem line curves by more than [1/8 in|0.3 cm], a fold-up cannot lie flat; a "
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
