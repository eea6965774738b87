"""The line prompts: a question, a line, and what it does."""

from __future__ import annotations

import re

from legtaper.model.project import Project
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.passed_over import passed_over, say_passed
from legtaper_wizard.flow.questions import label_of
from legtaper_wizard.flow.questions.muslin_round import NOT_YET
from legtaper_wizard.flow.session import Session
from legtaper_wizard.flow.steppers import AT_THE_END
from legtaper_wizard.flow.steps import (
    STEPS,
    AnswerError,
    Note,
    actions,
    answer,
    new_slips,
    rest_of_row,
    row_order,
    state,
    step_of,
    value,
)
from legtaper_wizard.prompts.console import LEAVES, ElsewhereError, Voice, is_no
from legtaper_wizard.prompts.output import colon_before, in_short, says_again, understood_as
from legtaper_wizard.prompts.prompt_order import (
    NUDGE,
    Prompt,
    bracket,
    elsewhere,
    full_names,
    meant,
    moving,
    named,
    place_of,
    with_step,
    words_in,
)
from legtaper_wizard.prompts.questions import doubted
from legtaper_wizard.prompts.questions_heard import FREE, say_choices
from legtaper_wizard.prompts.sitting import END, Sitting
from legtaper_wizard.prompts.typed_commands import (
    INSIDE,
    action_in,
    command_in,
    is_look_up,
    more,
    nearly,
    offer,
    onward,
)
from legtaper_wizard.prompts.ways_back import go_to, no_question, way_back
from legtaper_wizard.prompts.which_question import likely, which_one

_NAMED = re.compile(r"([^=]{1,80}?)\s*=\s*(.*)", re.DOTALL)
_PASSES = ("skips it", "keeps what is there")
"""What Enter does at a question without and with an answer."""
_NO_NAME = frozenset({"no", "none", "nothing", "skip it"})
_ROW = "A whole row may be typed at once:"


class PlainWizard:
    """Asks one question after the other, until she is done, or quits, or the input ends."""

    def __init__(self, voice: Voice, session: Session) -> None:
        self._voice = voice
        self._on = Sitting(voice, session)
        self._still_open: Prompt | None = None  # the last line has left this question open
        self._refused = False  # as it was no answer to it
        self._asked: Prompt | None = None  # the question that was asked last
        self._slip = ""  # the last line, where it looked like a slip of a command
        voice.hears, voice.looks_up, voice.nearly = self._hears, self._looked_up, nearly

    @property
    def session(self) -> Session:
        """The project and what was done to it."""
        return self._on.session

    def run(self, start: tuple[int, int] | None = None) -> None:
        """Ask from a question, by its step and number, or from where work was left."""
        self._voice.say(
            "Each answer is saved at once. Enter alone keeps what is in brackets, or skips. Type ? "
            "for help, commands for all words, quit to stop."
        )
        self._on.enter(*(start or self._where_left()))
        if start is None:
            self._say_passed()
        while self._ask_or_leave():
            pass

    def _where_left(self) -> tuple[int, int]:
        session = self.session
        step = STEPS.index(step_of(session.step_id))
        place = place_of(session.project, session.key, session.at)
        return place if place and place[0] == step else (step, 0)

    def _say_passed(self) -> None:
        """Say which questions were passed without an answer."""
        on, session = self._on, self.session
        passed = passed_over(*session.now, STEPS[min(on.step, END - 1)].id, self._key_here())
        open_ones = list({field.key: field for field in passed}.values())  # some are asked twice
        if open_ones:
            names = full_names(session.project, open_ones, session.at)
            self._voice.say(
                f"{say_passed(names)} To answer one, type its name, = and the answer, as in "
                f"{names[0].lower()} = ..."
            )

    def _key_here(self) -> str:
        on = self._on
        return on.prompts[on.index].field.key if on.index < len(on.prompts) else ""

    # --- asking ------------------------------------------------------------------------------

    def _hears(self, typed: str) -> bool:
        """Whether a line inside a dialogue is for the wizard: a command, or an answer by name."""
        if found := command_in(typed):
            return found[0].id not in INSIDE or bool(found[1])
        if way_back(self._on, None, typed) or action_in(self._on, typed):
            return True
        pair = _NAMED.fullmatch(typed)
        return bool(pair and named(self._on.project, pair[1], None, self._on.session.at))

    def _looked_up(self, typed: str) -> str | None:
        """Tell what a line inside a dialogue asks to hear; return what ended that, or "".

        Nothing where the line would move, change or write something, or is no command.
        """
        found, on = command_in(typed), self._on
        if not found or not is_look_up(*found):
            return None
        prompts = on.prompts
        here = prompts[on.index] if on.index < len(prompts) else None
        on.inside, on.queued = True, None
        try:
            found[0].does(on, here, found[1])
        finally:
            on.inside, ended, on.queued = False, on.queued, None
        return ended or ""

    def _ask_or_leave(self) -> bool:
        """Ask what is next; a dialogue in which a line is for the wizard is left for it."""
        try:
            return self._ask()
        except ElsewhereError as line:
            if line.unfinished:
                self._voice.say("That is left undone.")
            self._on.queued = line.typed
            return True

    def _ask(self) -> bool:
        """Ask the question that is next; return whether to go on."""
        on = self._on
        self._voice.unit = on.project.length_unit
        if on.step == END:
            return self._end()
        on.pass_at_once()
        on.come_back()
        prompts = on.prompts
        if on.index >= len(prompts) or on.locked(on.step):
            typed, on.queued = on.queued, None
            return self._take(None, typed) if typed else self._leave_step()
        prompt = prompts[on.index]
        on.session.go(STEPS[on.step].id, prompt.field.key)
        on.session.at = prompt.at
        if (typed := on.queued) is not None:
            on.queued = None
            return self._take(prompt, typed)
        on.called = on.label(prompt)
        on.say_held_back(prompt)
        self._say_question(prompt)
        typed = self._voice.ask(self._asks(prompt))
        return typed is not None and self._take(prompt, typed)

    def _say_question(self, prompt: Prompt) -> None:
        """Say how to answer, where that was not heard before, and the choices."""
        told = prompt.field.how
        again = prompt == self._still_open and self._on.manner != "long"
        choices = self._refused or not (again or self._has_choices_of_last(prompt))
        self._still_open, self._refused, self._asked = None, False, prompt
        tells_enough = prompt.field.kind in ("choice", "text", "note")  # its choices or its label
        if tells_enough and self._on.step > 0 and self._on.manner != "long":
            told = told if told.endswith("?") else ""
        how = " ".join(filter(None, (told, moving(self._on.project, prompt))))
        if not again and (says := self._on.unheard(how, prompt)):
            self._voice.say(says)
        self._say_row(prompt)
        if choices:
            say_choices(self._voice, prompt.field)

    def _has_choices_of_last(self, prompt: Prompt) -> bool:
        """Whether the question before had the same choices, as every trial of a muslin has."""
        last = self._asked
        if last is None or last == prompt or self._on.manner == "long":
            return False
        return prompt.field.choices == last.field.choices

    def _say_row(self, prompt: Prompt) -> None:
        """Say once that the widths of a level may be typed at once, and in which order."""
        on, key = self._on, prompt.field.key
        if STEPS[prompt.step].id != "block" or prompt.field.group == "height":
            return
        names = row_order(on.project, key, prompt.at)
        if len(names) > 2 and on.manner != "short" and _ROW not in on.heard:
            on.heard.add(_ROW)
            self._voice.say(f"{_ROW} {', '.join(names)}.")

    def _asks(self, prompt: Prompt) -> str:
        """Return the words before the cursor: the label, and what Enter alone means."""
        key, text = self._on.pending or ("", "")
        means = bracket(self._on.project, prompt)
        if key == prompt.field.key:
            means = f"{text}, not saved"
        elif row := self._held_row(prompt):
            unit = f" {self._on.project.length_unit}"
            means = " ".join(self._on.held(one).removesuffix(unit) for one in row)
        in_row = self._on.called not in (prompt.field.label, prompt.name)
        if (
            means == "skip" and in_row and prompt.field.group not in ("height", "signs")
        ):  # said at the first
            return f"{self._on.called}:"
        return f"{self._on.called} [{means}]:"

    def _held_row(self, prompt: Prompt) -> list[Prompt]:
        """Return the row that begins with a question where all of it is answered, else nothing."""
        row = self._on.row_here(prompt)
        return row if all(self._on.held(one) for one in row) else []

    def _leave_step(self) -> bool:
        """Go on to the next step; a fitting first offers the next design."""
        on = self._on
        known = actions(on.project, STEPS[on.step].id, on.session.at)
        if not any(action.id.startswith("next-") for action in known):
            return onward(on)
        before = (on.step, on.index, on.project)
        self._voice.say("What can be done next:")
        going = offer(on, known)
        if on.queued is None and (on.step, on.index, on.project) == before:
            return onward(on) and going
        return going

    # --- taking a line -----------------------------------------------------------------------

    def _take(self, prompt: Prompt | None, typed: str) -> bool:
        """Do what a line says: a command, a way to a question, an answer to one, a step."""
        slip, self._slip = self._slip, ""
        if found := command_in(typed):
            return found[0].does(self._on, prompt, found[1])
        if going := way_back(self._on, prompt, typed):
            go_to(self._on, prompt, going)
            return True
        if action_in(self._on, typed):
            return more(self._on, prompt, typed)
        if (pair := _NAMED.fullmatch(typed)) and self._answer_named(prompt, pair[1], pair[2]):
            self._still_open = prompt
            return True
        if prompt is None:
            self._voice.refuse("That is none of these.")
        elif not typed or self._declines(prompt, typed):
            self._enter_alone(prompt)
        elif moving(self._on.project, prompt) and (by := NUDGE.fullmatch(typed)):
            self._nudge(prompt, int(by[1] + (by[2] or "1")))
        elif prompt.field.kind in FREE and self._voice.doubts_word(typed, slip):
            self._slip, self._still_open = typed, prompt
        else:
            self._answer(prompt, meant(prompt.field, typed))
        return True

    def _declines(self, prompt: Prompt, typed: str) -> bool:
        """Whether a word says that there is nothing to name: a garment is not called "no"."""
        field = prompt.field
        named = field.kind == "text" and field.optional and not self._on.held(prompt)
        return named and typed.lower() in _NO_NAME

    def _enter_alone(self, prompt: Prompt) -> None:
        field, on = prompt.field, self._on
        if on.pending and on.pending[0] == field.key:
            self._answer(prompt, on.pending[1])
            return
        if not value(on.project, field.key, prompt.at):
            if field.placeholder == NOT_YET:
                self._voice.say("The rest is asked once it is tried on.")
                on.index = len(on.prompts)
                return
            if field.takes_placeholder:
                self._answer(prompt, field.placeholder, quiet=True)  # the brackets have said it
                return
            costs = "" if field.placeholder else on.unheard(field.if_skipped, prompt)
            if costs and not costs.startswith("nothing"):
                self._voice.say(f"Skipped: {costs}.")
            on.say_estimate(prompt)
        on.index += max(len(self._passed_at_once(prompt)), 1)

    def _passed_at_once(self, prompt: Prompt) -> list[Prompt]:
        """Return the row that Enter at its first question passes: all answered, or none needed."""
        row = self._on.row_here(prompt)
        empty = not any(self._on.held(one) for one in row)
        return row if empty and all(one.field.optional for one in row) else self._held_row(prompt)

    def _answer(self, prompt: Prompt, text: str, *, quiet: bool = False) -> None:
        names = (prompt.field.label, prompt.name)
        in_row = self._on.called not in names  # of a table: its cell was just named
        label = "" if in_row else prompt.name
        if self._answered(prompt, text, label, quiet=quiet):
            self._on.after(prompt)
        else:
            self._still_open, self._refused = prompt, True

    def _answered(self, prompt: Prompt, text: str, label: str, *, quiet: bool = False) -> bool:
        """Take an answer and say what it changes; whether it was taken. quiet: not itself."""
        on, key = self._on, prompt.field.key
        try:
            sure = self._meant(prompt, text)
            if sure is None:
                return False
            cells, text = row_order(on.project, key, prompt.at), sure
            known = bool(cells) and cells in (on.cells, on.told)  # their order was just said
            understood = understood_as(on.project, prompt, text, cells_named=not known)
        except AnswerError as error:
            self._voice.refuse(f"Not taken: {self._why_not(prompt, text, error)}")
            return False
        on.pending = (key, text)
        label = label.removesuffix(", percent")
        colon = colon_before(prompt.field, understood)
        at_once = rest_of_row(on.project, key, text, prompt.at)
        named = "" if at_once or not label else f"{label}{colon} "

        before = on.project

        def says(news: list[Note]) -> str:
            told = f"{named}{in_short(understood, news)}."
            parted = bool(at_once) and not cells and not label  # front and back of a garment
            summed = (known or parted) and any(note.kind == "number" for note in news)
            return "" if quiet or summed or says_again(told, news) else told

        news = on.change(lambda: on.session.answer(key, text), says, prompt)
        if news is None:
            return False
        on.pending, on.last = None, (prompt, at_once)
        on.at_once.update(at_once, self._filled_since(before, key))
        if at_once or len(cells) >= len(on.cells):  # not where a row is filled up
            on.cells = cells if at_once else ()
        if at_once and (missing := self._missing_beside(prompt)):
            self._voice.say(f"Still missing there: {', '.join(missing)}.")
        if any(note.kind == "fail" for note in news):
            self._voice.say(f"To change it, type back to {label_of(key).lower()}.")
        return True

    def _why_not(self, prompt: Prompt, text: str, error: AnswerError) -> str:
        """Return why an answer is not taken; choices that are read next are not named in it."""
        on, field, command = self._on, prompt.field, nearly(text)
        is_next = on.index < len(on.prompts) and on.prompts[on.index] == prompt
        read_next = is_next and on.manner != "long" and not self._voice.scripted
        if read_next and field.kind == "choice" and text not in dict(field.choices):
            slip = f"is not the command {command}, and is" if command else "is"
            return f'"{clean(text, 30)}" {slip} none of these:'
        if command:
            return f"{error}. Did you mean the command {command}?"
        passes = is_next and field.optional and not re.search(r"\d", text)
        return f"{error}. Enter alone {_PASSES[bool(on.held(prompt))]}." if passes else f"{error}."

    def _filled_since(self, before: Project, key: str) -> list[str]:
        """Return the keys of what an answer has filled in that is not kept itself."""
        if value(self._on.project, key, self._on.session.at):
            return []
        others = (one for one in self._on.prompts if one.field.key != key and self._on.held(one))
        return [one.field.key for one in others if not value(before, one.field.key, one.at)]

    def _missing_beside(self, prompt: Prompt) -> list[str]:
        """Return what of the row of a question has no answer."""
        row = self._on.row_here(prompt)
        return [one.field.group for one in row if not self._on.held(one)]

    def _meant(self, prompt: Prompt, text: str) -> str | None:
        """Ask whether a doubtful answer is meant, before it is taken; else nothing changes.

        Returns the answer to take, which may be another one. Raises `AnswerError`.
        """
        on, key = self._on, prompt.field.key
        while odd := new_slips(on.project, key, text, prompt.at):
            said = text
            if not rest_of_row(on.project, key, text, prompt.at):
                said = value(answer(on.project, key, text, prompt.at), key, prompt.at)
            typed = doubted(self._voice, odd, said, text)
            if not typed:
                on.agreed.update(odd)
                break
            if is_no(typed) or typed.lower() in LEAVES:
                was = value(on.project, key, prompt.at)
                self._voice.say(f"{prompt.name} stays {clean(was, 40) or 'empty'}.")
                on.queued = "quit" if typed.lower() == "quit" else None
                return None
            text = meant(prompt.field, typed)
        return text

    def _nudge(self, prompt: Prompt, steps: int) -> None:
        on, key, before = self._on, prompt.field.key, self._on.project
        moved = on.change(lambda: on.session.nudge(key, steps, False), "", prompt, "Not moved")
        if moved is None:
            return
        if on.project == before:
            self._voice.say(AT_THE_END)
        else:
            on.last = (prompt, ())
            self._voice.say(f"{prompt.name} {value(on.project, key, prompt.at)}.")

    # --- by name -----------------------------------------------------------------------------

    def _answer_named(self, here: Prompt | None, name: str, text: str) -> bool:
        """Answer a question from anywhere; whether the line was meant so."""
        on = self._on
        known = named(on.project, name, here, on.session.at)
        if not known:
            if here and here.field.kind in FREE:
                return False
            no_question(on, name)
            return True
        if others := elsewhere(on.project, name, known, on.session.at):
            known = likely(on.project, [*known, *others], text)
        prompt = which_one(on, name, known)
        if prompt is None:
            return True
        if on.locked(prompt.step):
            found = state(on.project, STEPS[prompt.step].id, on.session.at)
            self._voice.refuse(f"{STEPS[prompt.step].title} {found.reasons[0]}.")
            return True
        at, on.session.at = on.session.at, prompt.at
        if not text:
            if value(on.project, prompt.field.key, prompt.at):
                on.clear(prompt)
            else:
                self._voice.say(f"{prompt.name} is empty.")
            on.session.at = at
            return True
        near = (one for one in on.prompts if here and here.step != prompt.step)
        twice = any(words_in(prompt.field.label) <= words_in(one.field.label) for one in near)
        label = with_step(prompt) if twice else prompt.name
        self._answered(prompt, meant(prompt.field, text), label)
        on.session.at = at
        return True

    # --- the end -----------------------------------------------------------------------------

    def _end(self) -> bool:
        """Say what is still open, and ask what is next; whether to go on."""
        self._voice.say()
        on = self._on
        waiting = [s.title for s in STEPS if state(on.project, s.id, on.session.at).wants]
        if waiting:
            self._voice.say(f"Still open: {', '.join(waiting)}.")
        self._say_passed()
        while True:
            typed, on.queued = on.queued, None
            ways = "write, steps, answers, compare, more, back, or quit [quit]"
            typed = typed or self._voice.ask(f"The end. Type {ways}:")
            if not typed:
                return False
            before = (on.step, on.project)
            if not self._take(None, typed):
                return False
            if (on.step, on.project) != before:
                return True
