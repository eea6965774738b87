"""Which files to write, and where: the questions of the shared export request, one by one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from legtaper.model.project import ProjectError
from legtaper.outputs.papers import PaperError
from legtaper_wizard.flow.printed import (
    fit_of_leg,
    fit_to_print,
    said_of_one_leg,
    test_is_due,
    wants_block,
)
from legtaper_wizard.flow.round_answers import is_done
from legtaper_wizard.flow.session import StoreError
from legtaper_wizard.flow.steps import STEPS, AnswerError, Field, state
from legtaper_wizard.prompts.console import LEAVES
from legtaper_wizard.prompts.prompt_order import meant, words_in
from legtaper_wizard.prompts.questions import Answers, Rules, ask_in_turn, is_choice
from legtaper_wizard.prompts.sitting import END, Sitting

if TYPE_CHECKING:
    from legtaper.pattern import Fit
    from legtaper_wizard.flow.export_request import Order

Outcome = Literal["back", "on", "end"]
"""She goes back from the first question, or goes on, or the input has ended."""

NONE = "none"
_MORE = "Type more to be asked the look, the words and the rounding, too."


def write_outputs(sitting: Sitting, *, unasked: bool = False, block: bool = False) -> Outcome:
    """Ask which files are wanted and write them.

    unasked: they are offered on the way, so that Enter at the first question writes nothing.
    block: the block as it is is meant. Where both legs were written, the test counts as printed.
    """
    voice, (project, at) = sitting.voice, sitting.session.now
    fit = fit_to_print(project, at)
    if fit is None:
        reasons = state(project, "pattern", at).reasons
        voice.refuse(f"There is no pattern to write yet: it {'; '.join(reasons[:2])}.")
        return "on"
    usual = _usual(sitting, fit, block=block)
    if unasked:
        usual["what"] = NONE
    while True:
        form = _Form(sitting, fit)
        answers = form.ask(usual)
        if isinstance(answers, str):
            return answers
        try:
            _write(sitting, fit, answers, form.said)
        except PaperError as error:  # known, but too small for this pattern
            voice.refuse(f"Not written: {error}.")
            usual = answers
        else:
            return "on"


def _usual(sitting: Sitting, fit: Fit, *, block: bool) -> dict[str, str]:
    """Return what is written unasked: where the muslin test is due, as the one before.

    That is both legs, to print, until another test was written.
    """
    from legtaper_wizard.flow.export_request import usual_order

    (project, at), folder = sitting.session.now, sitting.session.path.parent
    step_id = STEPS[sitting.step].id if sitting.step < END else ""
    test = test_is_due(project, at, step_id)
    block = block or wants_block(fit, step_id)
    usual = usual_order(project, fit.design, folder, test=test, block=block)
    return usual | sitting.test | {"name": usual["name"]} if test and not block else usual


class _Form:
    """The questions of the form as they are heard: the usual ones, and `more` asks the others.

    said: how many sheets it takes, as it was last told.
    """

    def __init__(self, sitting: Sitting, fit: Fit) -> None:
        from legtaper_wizard.flow.export_request import order_parts

        self._sitting, self._fit = sitting, fit
        self._parts = {part.key: part for part in order_parts()}
        self._more = False
        self._told: list[str] = []  # what the sheets were last counted for
        self.said = ""

    def ask(self, usual: dict[str, str]) -> dict[str, str] | Outcome:
        """Ask what is wanted, or return how she left the questions."""
        parts, voice = self._parts, self._sitting.voice
        kinds = _what(parts["what"].field)
        voice.say(f"{kinds} {_MORE}" if usual["what"] != NONE else kinds)
        first = parts["what"].field._replace(kind="text", how=kinds)
        fields = (first, *(part.field for part in parts.values() if part.key != "what"))
        rules = Rules(self._check, self._wanted, self._named, self._is_own, self._follow)
        given = ask_in_turn(voice, fields, tuple(usual.values()), rules)
        if given == "quit":
            voice.say("Nothing was written; quit once more stops.")
            return "on"
        if isinstance(given, str):
            return given
        answers = self._by_name(given)
        return "on" if answers["what"] == NONE else answers

    def _by_name(self, texts: Answers) -> dict[str, str]:
        return dict(zip(self._parts, texts, strict=True))

    def _check(self, texts: Answers) -> None:
        """Raise `AnswerError` for what cannot be ordered; say the sheets where they are others."""
        from legtaper_wizard.flow.export_request import order_of

        answers = self._by_name(texts)
        if answers["what"] != NONE:
            order_of(answers)

    def _follow(self, before: Answers, now: Answers) -> Answers:
        """Let a name that was proposed follow the leg."""
        from legtaper_wizard.flow.export_request import with_name

        return with_name(self._sitting.session.project, self._fit.design, before, now)

    def _wanted(self, field: Field, texts: Answers) -> bool:
        from legtaper_wizard.flow.export_request import matters

        answers, part = self._by_name(texts), self._parts[field.key]
        if answers["what"] == NONE:
            return field.key == "what"
        if field.key not in ("what", "leg"):  # which leg it is makes another number of them
            self._say_sheets(answers)
        if (part.detail and not self._more) or not matters(part, answers):
            return False
        return not (field.key == "leg" and self._fit.is_the_block)

    def _say_sheets(self, answers: dict[str, str]) -> None:
        """Say how much paper it takes, once for each order that takes another number."""
        from legtaper_wizard.flow.export_request import SHEETS_DEPEND_ON, sheets_said

        counted = [answers[key] for key in SHEETS_DEPEND_ON]
        if counted == self._told:
            return
        self._told = counted
        said = sheets_said(self._sitting.session.project, self._fit, answers)
        for line in said.splitlines() if said != self.said else ():
            self._sitting.voice.say(line)
        self.said = said

    def _named(self, typed: str, texts: Answers) -> Answers | None:
        """Return the answers after `more` or `name = value`; nothing for any other line."""
        if typed.lower() == "more":
            self._more = True
            return texts
        name, equals, value = (part.strip() for part in typed.partition("="))
        if not equals or not name:
            return None
        found = self._fields_named(name.lower())
        if len(found) != 1:
            known = ", ".join(part.field.label.lower() for part in self._parts.values())
            raise AnswerError("", f"name one of {known}")
        answers = self._by_name(texts) | {found[0].key: meant(found[0], value)}
        self._check(tuple(answers.values()))
        label, chosen = found[0].label, answers[found[0].key]
        self._sitting.voice.say(f"{label}: {dict(found[0].choices).get(chosen, chosen)}.")
        return tuple(answers.values())

    def _is_own(self, field: Field, typed: str) -> bool:
        """Whether a line is for the form: a kind of file, `more`, or one of its answers by name."""
        from legtaper_wizard.flow.export_request import are_kinds

        name, equals, _ = typed.partition("=")
        if equals:
            return bool(self._fields_named(name.strip().lower()))
        if field.key == "what" and are_kinds(typed):
            return True
        return typed.lower() == "more" or is_choice(field, typed)

    def _fields_named(self, name: str) -> list[Field]:
        """Return the questions that a name may mean: a key, a whole label, or words of one."""
        fields, words = [part.field for part in self._parts.values()], words_in(name)
        whole = [one for one in fields if name == one.key or words == words_in(one.label)]
        return whole or [one for one in fields if words and words <= words_in(one.label)]


def _what(first: Field) -> str:
    kinds = ", ".join(kind for kind, _ in first.choices if kind != "all")
    return f"Files to write: all, or some of {kinds}; or none."


def _write(sitting: Sitting, fit: Fit, answers: dict[str, str], said: str) -> None:
    """Write the files. said: how many sheets it takes, as it was told. Raises `PaperError`."""
    from legtaper.pattern import cut
    from legtaper_wizard.flow.export_request import carry_out, order_of

    voice, told = sitting.voice, " ".join(said.splitlines())
    try:
        order = _allowed(sitting, order_of(answers))
        if order is None:
            return
        cut_of = fit_of_leg(sitting.session.project, fit, order.options.leg)
        for says in carry_out(cut(cut_of), order, lambda _, __: True):
            if not says.endswith("...") and not (told and says.endswith(told)):
                voice.say(says)
    except (ProjectError, StoreError, AnswerError) as error:
        voice.refuse(f"Not written: {error}")
        return
    session = sitting.session
    if alone := said_of_one_leg(*session.now, session.step_id, order.options.leg):
        voice.say(alone)
    if order.prints_test(order.files):
        today, sitting.test = date.today().isoformat(), answers
        sitting.change(
            lambda: sitting.session.answer("round.printed", today),
            "The test counts as printed today.",
        )
    elif order.options.leg == "narrowed" and is_done(*session.now):
        sitting.change(lambda: session.wrote_pattern(date.today()))


def _allowed(sitting: Sitting, order: Order) -> Order | None:
    """Return the order without the files that are there and shall stay; nothing where all do."""
    left = [found for file in order.files if (found := _place(sitting, file))]
    return replace(order, files=tuple(left)) if left else None


def _place(sitting: Sitting, file: Path) -> Path | None:
    """Return where a file may be written: over what is there on a yes, else by another name."""
    voice = sitting.voice
    while file.exists() and not voice.agrees(f"{file} is there already. Write over it?"):
        voice.say(f"{file}: left as it was.")
        if voice.scripted:
            return None
        typed = voice.ask_inside("Another name for it, or Enter to leave it out:")
        while typed and (typed == "?" or Path(typed).name != typed or typed.startswith(".")):
            voice.say("A name without a folder, such as easy-taper.")
            typed = voice.ask_inside("Another name for it, or Enter to leave it out:")
        if not typed or typed.lower() in LEAVES:
            return None
        file = file.with_name(typed if Path(typed).suffix == file.suffix else typed + file.suffix)
    return file
