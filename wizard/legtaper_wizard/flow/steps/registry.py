"""Every step, and what a front end asks of one: its state, its notes, its actions, its help."""

from __future__ import annotations

from dataclasses import replace

from legtaper.model.project import Project, Unit
from legtaper_wizard.flow.printed import BLOCK_STEPS, PRINT_BLOCK
from legtaper_wizard.flow.questions import find
from legtaper_wizard.flow.questions.question import in_one_unit
from legtaper_wizard.flow.shapes import LAST, SIGNS, Action, AnswerError, Cursor, Note, StepState
from legtaper_wizard.flow.steps import (
    blend_step,
    block_step,
    block_test_step,
    fitting_step,
    foot_step,
    hem_step,
    liked_step,
    narrowing_step,
    pattern_step,
    project_step,
    wearer_step,
)
from legtaper_wizard.flow.steps.findings import failing, finding_note, findings_on
from legtaper_wizard.flow.steps.step import Step, Work, sentence, slip_notes

STEPS: tuple[Step, ...] = (
    project_step.STEP,
    wearer_step.STEP,
    block_step.STEP,
    block_test_step.STEP,
    liked_step.STEP,
    narrowing_step.STEP,
    blend_step.STEP,
    foot_step.STEP,
    hem_step.STEP,
    pattern_step.STEP,
    fitting_step.STEP,
)
"""In the order of the job."""

_BY_ID = {step.id: step for step in STEPS}


def step_of(step_id: str) -> Step:
    """Return a step by its id. Raises `KeyError` where there is none."""
    return _BY_ID[step_id]


def _work(project: Project, step: Step, at: Cursor) -> Work:
    later = STEPS[STEPS.index(step) + 1 :]
    return Work(project, at, passed=any(one.answered(project) for one in later))


def state(project: Project, step_id: str, at: Cursor = LAST) -> StepState:
    """Return where a step stands, and why. Never raises for a project that can be.

    A step that can mend a failing check is to be looked at again, or is not gone past.
    """
    step = step_of(step_id)
    work = _work(project, step, at)
    found = step.status(work)
    if found.marker in ("locked", "attention"):
        return found
    return failing(step_id, work.fit) or found


def first_open(project: Project, at: Cursor = LAST) -> Step:
    """Return the first step that still wants something, where work goes on; else the pattern."""
    wanting = (step for step in STEPS if state(project, step.id, at).wants)
    return next(wanting, pattern_step.STEP)


def shows(project: Project, step_id: str, at: Cursor = LAST) -> tuple[Note, ...]:
    """Return what the answers of a step do, or what is still missing to say so.

    What is wrong comes first and what is well last; between are questions and numbers.
    """
    found = state(project, step_id, at)
    if found.marker == "locked":
        return tuple(Note("info", sentence(reason)) for reason in found.reasons)
    step = step_of(step_id)
    work = _work(project, step, at)
    said = (_placed(note, step, work) for note in step.notes(work, found))
    notes = [*dict.fromkeys([*said, *slip_notes(step, work)])]
    findings = findings_on(step_id, work.fit)
    notes += [finding_note(one) for one in findings if one.id not in step.says_itself]
    worst = list(SIGNS)
    ranks = {kind: worst.index("number" if kind == "info" else kind) for kind in worst}
    return tuple(sorted(notes, key=lambda note: ranks[note.kind]))


def _placed(note: Note, step: Step, work: Work) -> Note:
    """Return a note on what is wrong with the step that asks for it, where that is another."""
    if note.kind != "fail" or not note.key:
        return note
    asks = (one for one in STEPS if any(field.key == note.key for field in one.asks(work)))
    other = next(asks, step)
    if other is step:
        return note
    return note._replace(text=f"Step {STEPS.index(other) + 1}, {note.text}")


def actions(project: Project, step_id: str, at: Cursor = LAST) -> tuple[Action, ...]:
    """Return what can be done on a step now; from the block's own on, it can be printed."""
    step, work = step_of(step_id), Work(project, at)
    own = tuple(step.actions(work))
    if STEPS.index(step) < STEPS.index(block_step.STEP) or work.block is None:
        return own
    return (*own, replace(PRINT_BLOCK, at_hand=step_id in BLOCK_STEPS))


def begun_by(project: Project, label: str, at: Cursor = LAST) -> tuple[Step, Action] | None:
    """Return the action that begins a question of that label, and its step; or `None`."""
    said = label.strip().lower()
    for step in STEPS:
        for action in actions(project, step.id, at):
            if any(field.label.lower() == said for field in action.needs):
                return step, action
    return None


def do(project: Project, action_id: str, *texts: str, at: Cursor = LAST) -> Project:
    """Return the project with an action done; `texts` answer what it needs, in order.

    Raises `AnswerError` where the action is not there now, or an answer does not fit.
    """
    known = (action for step in STEPS for action in actions(project, step.id, at))
    action = next((one for one in known if one.id == action_id), None)
    if action is None:
        raise AnswerError(action_id, f"{action_id} cannot be done now")
    if action.paged:
        raise AnswerError(action_id, f"{action.label}: this is asked step by step")
    if len(texts) != len(action.needs):
        wanted = ", ".join(field.label for field in action.needs) or "nothing"
        raise AnswerError(action_id, f"{action.label} needs: {wanted}")
    return action.does(project, texts, at)


def help_text(
    step_id: str,
    field_key: str | None = None,
    skipped: str | None = None,
    unit: Unit | None = None,
) -> str:
    """Return the F1 help of a step, or of one question in it: paragraphs, a blank line between.

    skipped: what is so without an answer in the project as it is, else what usually is. unit: of
    the lengths in it; both without.
    """
    step, question = step_of(step_id), find(field_key) if field_key else None
    if question is None:
        return "\n\n".join((step.title, *about(step_id, unit)))
    skipped = question.if_skipped if skipped is None else skipped
    skipped = f"If you skip it: {skipped}." if skipped else ""
    often = question.question.often
    parts = (question.label, question.how(unit), often, skipped, *about(step_id, unit))
    return "\n\n".join(part for part in parts if part)


def about(step_id: str, unit: Unit | None = None) -> tuple[str, ...]:
    """Return what a step is about, a paragraph each, its lengths in the unit."""
    step = step_of(step_id)
    return tuple(in_one_unit(text, unit) for text in (step.why, *step.help))


def help_drawing(step_id: str, field_key: str | None = None) -> tuple[str, ...]:
    """Return the rows of the drawing for a question, else for its step; none where none helps."""
    question = find(field_key) if field_key else None
    drawing = (question and question.question.drawing) or step_of(step_id).drawing
    return tuple(drawing.strip("\n").split("\n")) if drawing else ()


def way(project: Project, step_id: str, at: Cursor, by: int) -> tuple[str, str]:
    """Return the next step in one direction that can be worked on, and what was passed over.

    The step is the present one where there is none; then the second says why.
    """
    ids = [step.id for step in STEPS]
    number, why = ids.index(step_id) + by, ""
    while 0 <= number < len(ids):
        found = state(project, ids[number], at)
        if found.marker != "locked":
            return ids[number], why
        why = why or f"{STEPS[number].title} {found.reasons[0]}."
        number += by
    return step_id, why


def follow(before: Project, after: Project, at: Cursor) -> Cursor:
    """Return where to work after a change: at what was added, or at what is left."""
    design = at.design
    if after.current != before.current:
        design = None  # work goes on from another
    if len(after.designs) > len(before.designs):
        design = None
    elif design is not None and design not in [known.name for known in after.designs]:
        was = [known.name for known in before.designs]
        same_place = len(was) == len(after.designs) and design in was
        design = after.designs[was.index(design)].name if same_place else None
    liked = at.liked
    if len(after.liked) > len(before.liked):
        liked = len(after.liked) - 1
    return at._replace(design=design, liked=max(0, min(liked, len(after.liked) - 1)))
