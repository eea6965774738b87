"""What a step is: one object that says all about itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING, Literal, NamedTuple

from legtaper.model.project import Design, Project, Unit
from legtaper_wizard.flow.derived_state import (
    Problem,
    Standing,
    asks_for_something,
    chosen_design,
    standing,
)
from legtaper_wizard.flow.questions import Question, ask, label_of
from legtaper_wizard.flow.second_looks import slips
from legtaper_wizard.flow.shapes import (
    LAST,
    Action,
    Cursor,
    Field,
    Note,
    NoteKind,
    StepState,
)

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.pattern import Fit

DONE = StepState("done")


class Work(NamedTuple):
    """What a step looks at: the project, what of it is worked on, and what comes of it.

    passed: whether anything is answered in a later step, so that what was left out is skipped.
    """

    project: Project
    at: Cursor = LAST
    passed: bool = False

    @property
    def found(self) -> Standing:
        """How far the answers carry."""
        return standing(self.project, self.at)

    @property
    def block(self) -> Block | None:
        """The block, where there is one."""
        return self.found.block

    @property
    def fit(self) -> Fit | None:
        """The design that is worked on, computed; nothing where it cannot be."""
        return self.found.fit

    @property
    def design(self) -> Design | None:
        """The design that is worked on."""
        return chosen_design(self.project, self.at)

    @property
    def unit(self) -> Unit:
        """The unit of the project."""
        return self.project.length_unit

    def ask(self, question: Question, **parts: str) -> Field:
        """Return a question as it is asked here; `parts` stand for the braces of its key."""
        return ask(question, self.project, self.at, **parts)


def _none(_: Work) -> Iterable[Action]:
    return ()


class Step(NamedTuple):
    """One page of the wizard.

    title, short and why: what it is called, with little room too, and two or three sentences of
    what it is for; help: more for F1, a paragraph each; drawing: for the help. asks: its
    questions in their order. notes: what its answers do; those of its checks and the second looks
    come by themselves. status: where it stands, but for failing checks. answered: whether
    anything is answered here. actions: what can be done that is no answer. picture: what is drawn
    unasked on a small screen. widths: whether the widths by level are shown as a table.
    usual_counts: whether the list of all answers names what holds where nothing was answered.
    tells_good: whether what is OK is said in full, as it is what the step is about.
    says_itself: ids of checks whose findings the notes of the step say in their own words.
    """

    id: str
    title: str
    short: str
    why: str
    asks: Callable[[Work], Iterable[Field]]
    notes: Callable[[Work, StepState], Iterable[Note]]
    status: Callable[[Work], StepState]
    answered: Callable[[Project], bool]
    actions: Callable[[Work], Iterable[Action]] = _none
    help: tuple[str, ...] = ()
    drawing: str = ""
    picture: Literal["none", "panels", "close"] = "none"
    widths: Literal["", "with the hem", "above the hem"] = ""
    usual_counts: bool = False
    tells_good: bool = False
    says_itself: tuple[str, ...] = ()

    def fields(self, project: Project, at: Cursor = LAST) -> tuple[Field, ...]:
        """Return the questions, given what is answered so far, in the order they are asked."""
        return tuple(self.asks(Work(project, at)))


# --- where a step stands -------------------------------------------------------------------------


def still_open(*reasons: str) -> StepState:
    """Return the state of a step that wants an answer."""
    return StepState("open", reasons, wants=True)


def locked(*reasons: str) -> StepState:
    """Return the state of a step that waits for another one."""
    return StepState("locked", reasons)


def wrong(*reasons: str) -> StepState:
    """Return the state of a step with an answer that cannot stay."""
    return StepState("attention", reasons, wants=True)


def look(*reasons: str) -> StepState:
    """Return the state of a step that is answered, but should be looked at again."""
    return StepState("attention", reasons)


def say_problem(problem: Problem) -> str:
    """Say a problem with the words of the question it is about."""
    return f"{label_of(problem.key)}: {problem.text}" if problem.key else problem.text


def waits(work: Work) -> StepState | None:
    """Return the locked state of a step that needs a fit, or `None` where it can be answered."""
    if work.block is None:
        return locked("waits for the block")
    if not asks_for_something(work.design):
        return locked("waits for how narrow the leg is to be")
    return None


def trouble(work: Work, prefix: str) -> StepState | None:
    """Return what is wrong with a step, or what stands in its way before it.

    prefix: how the keys of its own questions begin.
    """
    waiting, problem = waits(work), work.found.fit_problem
    if waiting or problem is None:
        return waiting
    if problem.key.startswith(prefix):
        return wrong(say_problem(problem))
    return locked(f"waits for another answer: {say_problem(problem)}")


# --- notes ---------------------------------------------------------------------------------------


def sentence(reason: str) -> str:
    """Return a reason as a sentence."""
    end = "" if reason.endswith(".") else "."
    return reason[:1].upper() + reason[1:] + end


def reason_notes(work: Work, found: StepState) -> Iterator[Note]:
    """Say what is wrong or still missing, where nothing could be computed."""
    problem = work.found.fit_problem
    kind: NoteKind = "fail" if found.marker == "attention" else "info"
    yield from (Note(kind, sentence(reason)) for reason in found.reasons)
    if problem and not found.reasons:
        yield Note("fail", sentence(say_problem(problem)), problem.key)


def may_have_slit(work: Work) -> bool:
    """Whether a slit is there, is needed, or may be for all that is known."""
    fit = work.fit
    return fit is None or fit.slit.needed or fit.slit.height is not None


def slip_notes(step: Step, work: Work) -> Iterator[Note]:
    """Ask about every answer of a step that looks like a slip."""
    for field in step.asks(work):
        for odd in slips(work.project, field.key, work.at):
            yield Note("question", odd, field.key)
