"""The step in which the wearer is measured, and the fabric."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.leg.children import say_who, usual_girth
from legtaper.model.lengths import say_length
from legtaper.model.project import Fabric, Project, Wearer
from legtaper.model.said_lengths import say_both
from legtaper_wizard.flow.answers import answer
from legtaper_wizard.flow.questions import body, fabric
from legtaper_wizard.flow.shapes import Action, Cursor, Field, Note, StepState
from legtaper_wizard.flow.steps.step import DONE, Step, Work, still_open


def _asks(work: Work) -> Iterator[Field]:
    wearer, gives = work.project.wearer, work.project.fabric.kind != "woven"
    for question in (*body.QUESTIONS, *fabric.QUESTIONS):
        if question in body.OF_A_CHILD and wearer.age is None and wearer.sex is None:
            continue  # begun by an action
        if question is not fabric.RECOVERY or gives:
            yield work.ask(question)


def _notes(work: Work, _: StepState) -> Iterator[Note]:
    yield from _foot(work)
    yield from _child(work)
    yield from _stretch(work)


def _foot(work: Work) -> Iterator[Note]:
    from legtaper.leg.foot import foot_entry

    foot = foot_entry(work.project.wearer)
    if foot is None:
        yield Note(
            "info",
            "The foot entry is unknown so far. A measured one is best; ankle and height, or the "
            "foot length, give an estimate.",
            "wearer.foot_entry",
        )
    elif foot.estimated_from:
        yield Note(
            "number",
            f"Foot entry about {say_length(foot.mm, work.unit)}, estimated on the wide side from "
            f"{foot.estimated_from}. {foot.caution}",
            "wearer.foot_entry",
        )
    else:
        yield Note("number", f"The hem must let a foot of {say_both(foot.mm, work.unit)} through.")


def _stretch(work: Work) -> Iterator[Note]:
    made_of = work.project.fabric
    if made_of.kind == "woven" and made_of.stretch_percent:
        yield Note(
            "caution",
            f"The fabric counts as firm, so its {made_of.stretch_percent:.3g} % of stretch is not "
            "used. Choose woven with stretch if it is meant to stretch.",
            "fabric.kind",
        )
    elif made_of.stretches:
        usable = 100 * made_of.usable_stretch
        yield Note("number", f"{usable:.3g} % of stretch counts as usable, half of what it gives.")
    elif made_of.kind != "woven":
        yield Note(
            "info",
            "How much the fabric stretches is unknown, so none is counted.",
            "fabric.stretch_percent",
        )


def _child(work: Work) -> Iterator[Note]:
    """Say what legs of children of this age measure, where something was not measured."""
    wearer = work.project.wearer
    usual = {
        name: say_length(mm, work.unit)
        for name in ("thigh", "calf", "ankle")
        if getattr(wearer, name) is None and (mm := usual_girth(wearer, name))
    }
    if usual:
        listed = ", ".join(f"{name} {mm}" for name, mm in usual.items())
        yield Note(
            "number",
            f"Of {say_who(wearer)}, half have this much or more: {listed}. Estimates of children "
            "measured in the United States in 1977; measure first.",
            "wearer.age",
        )


def _actions(work: Work) -> Iterator[Action]:
    wearer = work.project.wearer
    if wearer.age is None and wearer.sex is None:
        needs = tuple(work.ask(one) for one in body.OF_A_CHILD)
        yield Action("child", "The wearer is a child", _is_child, needs)


def _is_child(project: Project, texts: tuple[str, ...], at: Cursor) -> Project:
    for question, text in zip(body.OF_A_CHILD, texts, strict=True):
        project = answer(project, question.key, text, at)
    return project


def _answered(project: Project) -> bool:
    return project.wearer != Wearer() or project.fabric != Fabric()


def _status(work: Work) -> StepState:
    if _answered(work.project):
        return DONE
    if work.passed:
        return StepState("done", ("skipped: how much room the leg leaves is unknown",))
    return still_open("nothing is measured yet; everything here may be skipped")


STEP = Step(
    id="wearer",
    title="Wearer and fabric",
    short="Wearer",
    why="A leg must leave room to sit, to climb and to get the foot through. These girths let "
    "the program say how much room is left. Skip what you cannot measure; each says what "
    "then stays unknown.",
    help=(
        "Measure over thin clothes or underwear, the tape level and close without pulling.",
        "Measure both legs and take the larger.",
    ),
    asks=_asks,
    notes=_notes,
    status=_status,
    answered=_answered,
    actions=_actions,
)
