"""The step in which it is settled whether the foot passes the hem."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.model.project import Project
from legtaper.model.said_lengths import bound, say_bound, say_exact
from legtaper_wizard.flow.answers import answer
from legtaper_wizard.flow.questions.body import FOOT_ENTRY
from legtaper_wizard.flow.questions.opening import SLIT, SLIT_DRAWN
from legtaper_wizard.flow.shapes import Action, Cursor, Field, Note, StepState
from legtaper_wizard.flow.steps.step import (
    DONE,
    Step,
    Work,
    look,
    may_have_slit,
    reason_notes,
    trouble,
)

_SHOWN = 0.13  # mm; rounding: less would not show in two decimals of an inch


def _asks(work: Work) -> Iterator[Field]:
    yield work.ask(FOOT_ENTRY)
    if may_have_slit(work):
        yield work.ask(SLIT)


def _notes(work: Work, found: StepState) -> Iterator[Note]:
    fit, unit = work.fit, work.unit
    if fit is None:
        yield from reason_notes(work, found)
        return
    from legtaper.checks.opening import easy_opening
    from legtaper.leg.foot import foot_entry

    foot = foot_entry(work.project.wearer)
    if foot is None:
        return
    narrowest = foot.mm / (1 + work.project.fabric.usable_stretch)
    easy, hem = easy_opening(work.project, foot), fit.taper.finished["hem"]
    tug = f", with a tug below {say_bound(easy, unit, 'at least')}" if hem < easy > foot.mm else ""
    estimate = f", estimated from {foot.estimated_from}" if foot.estimated_from else ""
    caution = f" {foot.caution}" if foot.of_child else ""
    least = say_bound(narrowest, unit, "at least")
    rounded = bound(narrowest, unit, "at least") - narrowest > _SHOWN
    exact = say_exact(narrowest, unit)
    up = f" ({exact}, rounded up to a mark of the tape)" if rounded else ""
    says = f"Narrowest hem without a slit: {least} around{up}{tug}{estimate}.{caution}"
    yield Note("number", says)
    if fit.slit.needed and fit.slit.least:
        lowest = say_bound(fit.slit.least, unit, "at least")
        yield Note("number", f"Lowest slit that is enough: {lowest}.")


def _status(work: Work) -> StepState:
    if found := trouble(work, "design.slit"):
        return found
    if work.fit and work.fit.foot is None:
        return look("the foot entry is unknown, and so is whether the foot passes")
    return DONE


def _answered(_: Project) -> bool:
    return False  # its questions belong to others, or hold unasked


def _actions(work: Work) -> Iterator[Action]:
    fit = work.fit
    if fit and fit.slit.needed and fit.slit.lowest and fit.design.slit != "auto":
        label = "Slit as high as the foot needs"
        yield Action("slit", label, _slit, at_hand=True)


def _slit(project: Project, _: tuple[str, ...], at: Cursor) -> Project:
    return answer(project, SLIT.key, "auto", at)


STEP = Step(
    id="foot",
    title="Does the foot pass",
    short="Foot",
    why="The hem must let the foot through: around the heel and over the instep, toes pointed. "
    "Where it does not, the outseam gets a slit, or the hem is left wider.",
    help=(
        "The slit reaches up to where the leg is as wide as the foot needs. If that is above "
        "the calf, a zipper or buttons are better.",
    ),
    asks=_asks,
    notes=_notes,
    status=_status,
    answered=_answered,
    actions=_actions,
    drawing=SLIT_DRAWN,
    picture="panels",
    usual_counts=True,
    tells_good=True,
)
