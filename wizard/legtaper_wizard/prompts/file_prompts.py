"""Which files to write, and where: the questions of the shared export request, one by one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Literal

from legtaper.model.project import ProjectError
from legtaper.outputs.formats import FORMATS, needed
from legtaper.outputs.papers import PaperError
from legtaper_wizard.flow.printed import fit_of_leg, fit_to_print, wants_block
from legtaper_wizard.flow.round_answers import is_done
from legtaper_wizard.flow.session import StoreError
from legtaper_wizard.flow.steps import STEPS, AnswerError, Field, state
from legtaper_wizard.prompts.questions import Answers, ask_in_turn
from legtaper_wizard.prompts.sitting import END, Sitting

if TYPE_CHECKING:
    from legtaper.pattern import Fit
    from legtaper_wizard.flow.export_request import Order

Outcome = Literal["back", "on", "end"]
"""She goes back from the first question, or goes on, or the input has ended."""

NONE = "none"


def write_outputs(sitting: Sitting, *, unasked: bool = False) -> Outcome:
    """Ask which files are wanted and write them.

    unasked: they are offered on the way, so that Enter at the first question writes nothing.
    Where both legs were written, the test counts as printed.
    """
    voice, (project, at) = sitting.voice, sitting.session.now
    fit = fit_to_print(project, at)
    if fit is None:
        reasons = state(project, "pattern", at).reasons
        voice.refuse(f"There is no pattern to write yet: it {'; '.join(reasons[:2])}.")
        return "on"
    usual = _usual(sitting, fit)
    if unasked:
        usual = (NONE, *usual[1:])
    while True:
        answers = _asked(sitting, usual, legs=not fit.is_the_block)
        if not isinstance(answers, tuple):
            return answers
        try:
            _write(sitting, fit, answers)
        except PaperError as error:  # known, but too small for this pattern
            voice.refuse(f"Not written: {error}.")
            usual = answers
        else:
            return "on"


def _usual(sitting: Sitting, fit: Fit) -> Answers:
    """Return what is written unasked: at the fitting both legs, to print, until it is done."""
    from legtaper_wizard.flow.export_request import usual_order

    (project, at), folder = sitting.session.now, sitting.session.path.parent
    step_id = STEPS[sitting.step].id if sitting.step < END else ""
    test, block = step_id == "fitting" and not is_done(project, at), wants_block(fit, step_id)
    return usual_order(project, fit.design, folder, test=test, block=block)


def _asked(sitting: Sitting, usual: Answers, *, legs: bool) -> Answers | Outcome:
    """Ask what is wanted, or return how she left the questions.

    legs: there is more than one leg to choose from; before a design there is only the block's.
    """
    from legtaper_wizard.flow.export_request import order_fields, order_of

    first, *others = order_fields()
    sitting.voice.say(_what(first))
    first = replace(first, kind="text", how=_what(first))
    fields, done = (first, *others), len(usual)

    def check(answers: Answers) -> None:
        if answers[0] != NONE:
            order_of(answers)

    def wanted(field: Field, answers: Answers) -> bool:
        if field is first or answers[0] == NONE:
            return field is first
        if field.key == "leg" and not legs:
            return False
        kinds = [kind for kind in answers[0].replace(",", " ").lower().split() if kind in FORMATS]
        return field.key in ("folder", "name") or field.key in needed(kinds or FORMATS)

    answers = ask_in_turn(sitting.voice, fields[:done], usual, check, wanted)
    if answers == "quit":
        sitting.voice.say("Nothing was written; quit once more stops.")
        return "on"
    if isinstance(answers, str):
        return answers
    return "on" if answers[0] == NONE else answers


def _what(first: Field) -> str:
    kinds = ", ".join(kind for kind, _ in first.choices if kind != "all")
    return f"Files to write: all, or some of {kinds}; or none."


def _write(sitting: Sitting, fit: Fit, answers: Answers) -> None:
    """Write the files. Raises `PaperError`."""
    from legtaper.pattern import cut
    from legtaper_wizard.flow.export_request import carry_out, order_of

    voice = sitting.voice
    try:
        wanted = order_of(answers)
        order = _allowed(sitting, wanted)
        if order is None:
            return
        cut_of = fit_of_leg(sitting.session.project, fit, order.options.leg)
        for says in carry_out(cut(cut_of), order, lambda _, __: True):
            if not says.endswith("..."):
                voice.say(says)
    except (ProjectError, StoreError, AnswerError) as error:
        voice.refuse(f"Not written: {error}")
        return
    if order.options.leg == "both" and order.files == wanted.files:
        today = date.today().isoformat()
        sitting.change(
            lambda: sitting.session.answer("round.printed", today),
            "The test counts as printed today.",
        )


def _allowed(sitting: Sitting, order: Order) -> Order | None:
    """Return the order without the files that are there and shall stay; nothing where all do."""
    left = []
    for file in order.files:
        if file.exists() and not sitting.voice.agrees(f"{file} is there already. Write over it?"):
            sitting.voice.say(f"{file}: left as it was.")
        else:
            left.append(file)
    return replace(order, files=tuple(left)) if left else None
