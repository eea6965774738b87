"""One sitting at the line prompts: a question, a line, and what it does."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Protocol

from legtaper.project import Project
from legtaper_wizard.glossary import glossary_text
from legtaper_wizard.plain.beside import say_side_by_side
from legtaper_wizard.plain.bringing import Kept, bring
from legtaper_wizard.plain.files import write_outputs
from legtaper_wizard.plain.prompts import Prompt, changed_at, meant, prompts_of
from legtaper_wizard.plain.telling import say_answers, say_note
from legtaper_wizard.plain.voice import Voice
from legtaper_wizard.steps import (
    LAST,
    STEPS,
    Action,
    AnswerError,
    Cursor,
    History,
    actions,
    answer,
    do,
    echo,
    first_open,
    help_text,
    hem_widths_page,
    nudge,
    shows,
    state,
    value,
)

COMMANDS = (
    ("?", "help for this question"),
    ("back", "the question before"),
    ("next", "on to the next step"),
    ("skip", "leave out the rest of this part"),
    ("clear", "take this answer away"),
    ("undo, redo", "take the last change back, or make it again"),
    ("steps", "all steps with their state, and go to one"),
    ("words", "what the words of the trade mean"),
    ("answers", "everything that is answered"),
    ("more", "what else can be done on this step"),
    ("compare", "designs and rounds side by side"),
    ("widths", "which hem widths work, once something is taken in"),
    ("quit", "stop; every answer is saved"),
)
_NUDGE = re.compile(r"([+-])(\d{0,3})", re.ASCII)


class Keeper(Protocol):
    """What keeps the project: a file on disk."""

    def save(self, project: Project) -> str:
        """Save, and return what to say about it: "Saved 14:02." or why it is not."""


class PlainWizard:
    """One sitting: where work stands, and what each typed line does."""

    def __init__(self, voice: Voice, project: Project, keeper: Keeper, folder: Path) -> None:
        self._voice = voice
        self._keeper = keeper
        self._folder = folder
        self._history = History(project)
        self._step = STEPS.index(first_open(project))
        self._index = 0
        self._kept = Kept()
        self._commands: Mapping[str, Callable[[Prompt], bool]] = {
            "?": self._help,
            "back": self._back,
            "next": self._next,
            "skip": self._skip_part,
            "clear": self._clear,
            "undo": self._undo,
            "redo": self._redo,
            "steps": self._steps,
            "words": self._words,
            "answers": self._answers,
            "more": self._more,
            "compare": self._compare,
            "widths": self._widths,
            "quit": lambda _: False,
        }

    @property
    def project(self) -> Project:
        """What is answered so far."""
        return self._history.present

    def run(self, *, from_the_start: bool = False) -> None:
        """Ask until she is done, or quits, or the input ends; from where work stopped."""
        self._voice.say(
            "Type an answer and press Enter. Enter alone keeps what stands in brackets, or skips. "
            "Type ? for help and all commands, quit to stop."
        )
        self._enter(0 if from_the_start else self._step)
        while self._ask():
            pass

    # --- asking --------------------------------------------------------------------------------

    def _prompts(self) -> list[Prompt]:
        return prompts_of(self.project, self._step)

    def _ask(self) -> bool:
        """Ask the question that is next; return whether to go on."""
        if self._step == len(STEPS):
            return self._end()
        prompts = self._prompts()
        if self._index >= len(prompts) or self._locked(self._step):
            return self._leave_step()
        prompt = prompts[self._index]
        self._voice.say(prompt.field.how + self._moving(prompt))
        for number, (_, label) in enumerate(prompt.field.choices, 1):
            if prompt.field.kind == "choice":
                self._voice.say(f"  {number}: {label}")
        typed = self._voice.ask(f"{prompt.field.label} [{self._bracket(prompt)}]:")
        return typed is not None and self._take(prompt, typed)

    def _leave_step(self) -> bool:
        """Go on to the next step; a fitting first offers the next design."""
        known = actions(self.project, STEPS[self._step].id)
        if not any(action.id.startswith("next-") for action in known):
            self._onward()
            return True
        step, before = self._step, self.project
        going = self._offer(known, LAST)
        if self.project is before and self._step == step:
            self._onward()
        return going

    def _onward(self) -> None:
        """Go to the next step; behind the pattern its files can be written."""
        if STEPS[self._step].id == "pattern" and not self._locked(self._step):
            self._write()
        self._enter(self._step + 1)

    def _bracket(self, prompt: Prompt) -> str:
        """Return what Enter alone means."""
        field, said = prompt.field, value(self.project, prompt.field.key, prompt.at)
        if said:
            return dict(field.choices).get(said, said)
        if field.placeholder:
            return dict(field.choices).get(field.placeholder, field.placeholder)
        return "skip" if field.optional else "needed"

    def _moving(self, prompt: Prompt) -> str:
        moves = prompt.field.group in ("blend", "curve") and prompt.field.placeholder
        return " Type + or - to move it by a step." if moves else ""

    def _take(self, prompt: Prompt, typed: str) -> bool:
        if typed in self._commands:
            return self._commands[typed](prompt)
        if not typed:
            return self._enter_alone(prompt)
        if self._moving(prompt) and (found := _NUDGE.fullmatch(typed)):
            return self._nudge(prompt, int(found[1] + (found[2] or "1")))
        return self._answer(prompt, meant(prompt.field, typed))

    def _enter_alone(self, prompt: Prompt) -> bool:
        field = prompt.field
        if not value(self.project, field.key, prompt.at):
            if field.takes_placeholder:
                return self._answer(prompt, field.placeholder)
            if field.if_skipped and not field.placeholder:
                self._voice.say(f"Skipped: {field.if_skipped}.")
        self._index += 1
        return True

    def _answer(self, prompt: Prompt, text: str) -> bool:
        key = prompt.field.key
        try:
            understood = echo(self.project, key, text, prompt.at)
            changed = answer(self.project, key, text, prompt.at)
        except AnswerError as error:
            self._voice.say(f"Not taken: {error}.")
            return True
        self._change(changed, f"{understood}. ", key)
        self._after(prompt)
        return True

    def _nudge(self, prompt: Prompt, steps: int) -> bool:
        key = prompt.field.key
        try:
            moved = nudge(self.project, key, steps, at=prompt.at)
        except AnswerError as error:
            self._voice.say(f"Not moved: {error}.")
            return True
        if moved == self.project:
            self._voice.say("It is at the end of its range and stays.")
        else:
            self._change(moved, f"{prompt.field.label} {value(moved, key, prompt.at)}. ", key)
        return True

    def _after(self, prompt: Prompt) -> None:
        """Go on to the question behind this one, wherever the answer has put it."""
        same = (prompt.field.key, prompt.at)
        found = [(p.field.key, p.at) for p in self._prompts()]
        self._index = found.index(same) + 1 if same in found else self._index

    def _change(self, changed: Project, says: str, key: str = "") -> None:
        """Take a changed project, save it, and say what is different in its numbers.

        `key` is the question that was answered; remarks about other questions are not news.
        """
        before = self.project
        self._history = self._history.push(changed)
        self._voice.say(says + self._keeper.save(changed))
        if self._step == len(STEPS):
            return
        known = shows(before, STEPS[self._step].id)
        for note in shows(changed, STEPS[self._step].id):
            if note not in known and not (note.kind == "info" and note.key not in ("", key)):
                say_note(self._voice, note)

    # --- moving --------------------------------------------------------------------------------

    def _locked(self, step: int) -> bool:
        return state(self.project, STEPS[step].id).marker == "locked"

    def _enter(self, step: int, index: int = 0) -> None:
        """Go to a step and say what it is for and how it stands."""
        self._step, self._index = step, index
        if step == len(STEPS):
            return
        found = state(self.project, STEPS[step].id)
        self._voice.say()
        self._voice.say(f"Step {step + 1} of {len(STEPS)}: {STEPS[step].title} [{found.marker}]")
        self._voice.say(STEPS[step].why)
        for note in shows(self.project, STEPS[step].id):
            say_note(self._voice, note)

    def _back(self, _: Prompt) -> bool:
        if self._index > 0:
            self._index -= 1
            return True
        earlier = [step for step in range(self._step) if not self._locked(step)]
        if not earlier:
            self._voice.say("This is the first question.")
            return True
        self._enter(earlier[-1], len(prompts_of(self.project, earlier[-1])) - 1)
        return True

    def _next(self, _: Prompt) -> bool:
        self._onward()
        return True

    def _skip_part(self, prompt: Prompt) -> bool:
        part = (prompt.field.group, prompt.at)
        prompts = self._prompts()
        while self._index < len(prompts):
            here = prompts[self._index]
            if (here.field.group, here.at) != part:
                break
            self._index += 1
        return True

    def _steps(self, _: Prompt | None = None) -> bool:
        for number, step in enumerate(STEPS, 1):
            found = state(self.project, step.id)
            why = f" - {found.reasons[0]}" if found.reasons else ""
            self._voice.say(f"{number:2} [{found.marker}] {step.title}{why}", indent="   ")
        typed = self._voice.ask("Number of the step, or Enter to stay:")
        if typed is None:
            return False
        numbers = {str(number): number - 1 for number in range(1, len(STEPS) + 1)}
        if typed and typed not in numbers:
            self._voice.say(f"There are steps 1 to {len(STEPS)}.")
        elif typed and self._locked(numbers[typed]):
            reason = state(self.project, STEPS[numbers[typed]].id).reasons[0]
            self._voice.say(f"{STEPS[numbers[typed]].title} {reason}.")
        elif typed:
            self._enter(numbers[typed])
        return True

    # --- the other commands --------------------------------------------------------------------

    def _help(self, prompt: Prompt) -> bool:
        for paragraph in help_text(STEPS[self._step].id, prompt.field.key).split("\n\n"):
            self._voice.say(paragraph)
        for name, does in COMMANDS:
            self._voice.say(f"{name}: {does}", indent="  ")
        if self._moving(prompt):
            self._voice.say("+ or -: move it by a step; -3 moves three steps down", indent="  ")
        self._voice.say("To answer with one of these words, type = before it, as in =back.")
        return True

    def _words(self, _: Prompt | None = None) -> bool:
        typed = self._voice.ask("Which word, or Enter for all of them:")
        if typed is None:
            return False
        text = glossary_text(typed) or f'There is no word with "{typed}" in it.'
        for paragraph in text.split("\n\n"):
            self._voice.say(paragraph, indent="  ")
        return True

    def _clear(self, prompt: Prompt) -> bool:
        key = prompt.field.key
        if not value(self.project, key, prompt.at):
            self._voice.say("Nothing is answered here.")
            return True
        self._change(answer(self.project, key, "", prompt.at), f"{prompt.field.label}: cleared. ")
        return True

    def _undo(self, _: Prompt | None = None) -> bool:
        return self._travel(self._history.undo(), "Undone", "There is nothing to undo.")

    def _redo(self, _: Prompt | None = None) -> bool:
        return self._travel(self._history.redo(), "Made again", "There is nothing to make again.")

    def _travel(self, history: History, done: str, nothing: str) -> bool:
        """Go to another project of the history, and to the question that it changes."""
        before, self._history = self.project, history
        if history.present is before:
            self._voice.say(nothing)
            return True
        place = changed_at(before, self.project)
        label = f": {place[1].field.label}" if place else ""
        self._voice.say(f"{done}{label}. {self._keeper.save(self.project)}")
        if place and place[1].step != self._step:
            self._enter(place[1].step, place[0])
        elif place:
            self._index = place[0]
        return True

    def _answers(self, _: Prompt | None = None) -> bool:
        say_answers(self._voice, self.project)
        return True

    def _widths(self, prompt: Prompt) -> bool:
        """Say which hem widths work."""
        lines = hem_widths_page(self.project, prompt.at, spoken=True)
        for line in lines or ["That is known once the block stands and something comes off it."]:
            self._voice.say(line)
        return True

    def _more(self, prompt: Prompt) -> bool:
        """Offer the actions of this step by number, and ask for what the chosen one needs."""
        return self._offer(actions(self.project, STEPS[self._step].id, prompt.at), prompt.at)

    def _offer(self, known: Sequence[Action], at: Cursor) -> bool:
        for number, action in enumerate(known, 1):
            self._voice.say(f"{number:2}: {action.label}")
        if not known:
            self._voice.say("There is nothing else to do on this step.")
            return True
        typed = self._voice.ask("Number, or Enter for none:")
        if not typed:
            return typed is not None
        chosen = {str(number): action for number, action in enumerate(known, 1)}.get(typed)
        if chosen is None:
            self._voice.say(f"There are numbers 1 to {len(known)}.")
            return True
        return self._bring(chosen) if chosen.paged else self._do(chosen, at)

    def _do(self, chosen: Action, at: Cursor) -> bool:
        """Do an action, after asking for what it needs."""
        texts: list[str] = []
        for field in chosen.needs:
            self._voice.say(field.how)
            text = self._voice.ask(f"{field.label}:")
            if text is None:
                return False
            texts.append(meant(field, text))
        try:
            changed = do(self.project, chosen.id, *texts, at=at)
        except AnswerError as error:
            self._voice.say(f"Not done: {error}.")
            return True
        self._change(changed, f"{chosen.label}: done. ")
        self._index = min(self._index, len(self._prompts()))
        if chosen.id.startswith("next-"):
            self._voice.say(f'Work goes on with "{self.project.designs[-1].name}".')
            self._enter([step.id for step in STEPS].index("narrowing"))
        elif STEPS[self._step].id == "fitting":
            self._enter(self._step)
        return True

    def _bring(self, chosen: Action) -> bool:
        """Have a block drafted or traced, and go on behind it."""
        changed = bring(self._voice, self.project, chosen.id, self._folder, self._kept)
        if changed is not None:
            self._change(changed, "The block is in. ")
            self._enter(self._step + 1)
        return True

    def _compare(self, _: Prompt | None = None) -> bool:
        return say_side_by_side(self._voice, self.project)

    # --- the end -------------------------------------------------------------------------------

    def _end(self) -> bool:
        """Say what is still open, write files where that can be, and ask what is next."""
        self._voice.say()
        waiting = [s.title for s in STEPS if state(self.project, s.id).wants]
        if waiting:
            self._voice.say(f"Still open: {', '.join(waiting)}.")
        ways = "write, steps, answers, compare, undo or back, or quit"
        while True:
            typed = self._voice.ask(f"The end. Type {ways}:")
            if typed in (None, "quit", ""):
                return False
            before = (self._step, self.project)
            self._at_end(typed or "")
            if (self._step, self.project) != before:
                return True

    def _write(self) -> None:
        """Write files; where both legs were written, the test counts as printed."""
        if self._locked([step.id for step in STEPS].index("pattern")):
            self._voice.say("There is no pattern to write yet.")
        elif write_outputs(self._voice, self.project, self._folder):
            printed = answer(self.project, "round.printed", date.today().isoformat())
            self._change(printed, "The test counts as printed today. ")

    def _at_end(self, typed: str) -> None:
        known: Mapping[str, Callable[[], object]] = {
            "steps": self._steps,
            "words": self._words,
            "answers": self._answers,
            "compare": self._compare,
            "write": self._write,
            "undo": self._undo,
            "redo": self._redo,
            "back": lambda: self._enter(len(STEPS) - 1),
        }
        if typed in known:
            known[typed]()
        else:
            self._voice.say("That is none of these.")
