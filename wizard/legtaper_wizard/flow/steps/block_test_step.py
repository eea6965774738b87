"""The step in which the unaltered block is sewn and judged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from legtaper.model.project import Project
from legtaper_wizard.flow.answers import answer
from legtaper_wizard.flow.questions.block_verdict import NOTES, QUESTIONS, VERDICT
from legtaper_wizard.flow.questions.question import in_one_unit
from legtaper_wizard.flow.shapes import Action, AnswerError, Cursor, Field, Note, StepState
from legtaper_wizard.flow.steps.step import (
    DONE,
    Step,
    Work,
    locked,
    look,
    sentence,
    still_open,
)


def _asks(work: Work) -> Iterator[Field]:
    tested = work.project.block_test is not None
    yield from (work.ask(one) for one in QUESTIONS if one is VERDICT or tested)


def _notes(work: Work, found: StepState) -> Iterator[Note]:
    test, block = work.project.block_test, work.block
    if test is None:
        yield Note(
            "info",
            "Sew the block as it is and judge it first. You may go on without, but then its faults "
            "and those of the taper look alike.",
        )
        yield from (Note("info", in_one_unit(line, work.unit)) for line in STEP.help)
        return
    if block is not None and test.fingerprint != block.fingerprint:
        # A warning, as its check is wherever it is told: one may go on all the same.
        yield from (Note("caution", sentence(reason)) for reason in found.reasons)
    elif test.verdict == "hangs clean":
        yield Note("good", "The block was tested as it is and hangs clean.")
    if test.verdict == "needs fitting":
        yield Note(
            "caution",
            "Stop here and fit the block. A narrow leg keeps every fault and shows it more, and "
            "what you measure on this block will change. You can go on all the same.",
        )


def _status(work: Work) -> StepState:
    test = work.project.block_test
    if work.block is None:
        return locked("waits for the block")
    if test is None:
        says = "the block is not tested yet; sew it as it is and judge it"
        return look(says) if work.passed else still_open(says)
    if test.fingerprint != work.block.fingerprint:
        was = "it is not recorded which block was tested"
        if test.fingerprint:
            was = "the block has changed since it was tested"
        return look(f"{was}; sew and judge it again")
    if test.verdict == "needs fitting":
        return look("the block needs fitting; fit it before you narrow the legs")
    return DONE


def _answered(project: Project) -> bool:
    return project.block_test is not None


def _actions(work: Work) -> Iterator[Action]:
    test, block = work.project.block_test, work.block
    if test and block and test.fingerprint != block.fingerprint:
        verdict = work.ask(VERDICT)
        label = "The changed block is sewn and judged"
        yield Action("judge-again", label, _judge_again, (verdict,), at_hand=True)


def _judge_again(project: Project, texts: tuple[str, ...], at: Cursor) -> Project:
    if not texts[0].strip():
        raise AnswerError(VERDICT.key, "say what the muslin showed")
    judged = answer(replace(project, block_test=None), VERDICT.key, texts[0], at)
    notes = project.block_test.notes if project.block_test else ""
    return answer(judged, NOTES.key, notes, at) if notes else judged


STEP = Step(
    id="block-test",
    title="Test of the block",
    short="Test",
    why="A taper keeps every fault the block has, and a narrow leg shows them more. So sew the "
    "block first as it is, in cheap fabric, and judge it before anything comes off.",
    help=(
        "Sewing the muslin: cut both legs from the unaltered block in cheap fabric of like "
        "weight, and of like stretch where yours is a knit or stretches. Add [1 in|2.5 cm] "
        "allowances, mark grainline, knee and hip lines, and sew with a long stitch. Turn up "
        "the hem.",
        "Look at it standing, in profile, sitting and on a stair: the grainline should hang "
        "plumb, the crotch neither pull nor drop, the hip lie smooth, the side seam run "
        "straight down.",
        "If it pulls, twists or folds, fit the block first. Narrowing a leg that twists makes "
        "it twist more, and you could not tell which of the two was the cause.",
    ),
    asks=_asks,
    notes=_notes,
    status=_status,
    answered=_answered,
    actions=_actions,
    says_itself=("tested",),
)
