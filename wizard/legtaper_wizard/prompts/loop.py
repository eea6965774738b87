"""One sitting at the line prompts: a question, a line, and what it does."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

from legtaper.model.project import Project
from legtaper_wizard.flow.steps import (
    LAST,
    STEPS,
    Action,
    AnswerError,
    Cursor,
    Note,
    actions,
    answer,
    do,
    echo,
    first_open,
    nudge,
    shows,
    state,
    value,
)
from legtaper_wizard.prompts.changes import Changes, Keeper
from legtaper_wizard.prompts.compare_prompts import say_side_by_side
from legtaper_wizard.prompts.console import LEAVES, Voice
from legtaper_wizard.prompts.file_prompts import Outcome, write_outputs
from legtaper_wizard.prompts.import_prompts import Kept, bring
from legtaper_wizard.prompts.output import (
    ask_step,
    asks_for_change,
    say_answers,
    say_commands,
    say_help,
    say_hem_widths,
    say_note,
    say_standing,
    say_words,
    work_moved,
)
from legtaper_wizard.prompts.prompt_order import (
    Prompt,
    bracket,
    changed_at,
    meant,
    moving,
    prompts_of,
)

_NARROWING = [step.id for step in STEPS].index("narrowing")
_NUDGE = re.compile(r"([+-])(\d{0,3})", re.ASCII)


class PlainWizard:
    """One sitting: where work stands, and what each typed line does."""

    def __init__(self, voice: Voice, project: Project, keeper: Keeper, folder: Path) -> None:
        self._voice = voice
        self._folder = folder
        self._changes = Changes(voice, project, keeper)
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
            "write": self._write_now,
            "notes": self._notes,
            "commands": self._tell_commands,
            "quit": lambda _: False,
        }

    @property
    def project(self) -> Project:
        """What is answered so far."""
        return self._changes.project

    def run(self, *, from_the_start: bool = False) -> None:
        """Ask until she is done, or quits, or the input ends; from where work stopped."""
        self._voice.say(
            "Type an answer and press Enter. Enter alone keeps what stands in brackets, or skips. "
            "Type ? for help with a question, commands for all that can be typed, quit to stop."
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
        self._voice.say(prompt.field.how + moving(self.project, prompt))
        for number, (_, label) in enumerate(prompt.field.choices, 1):
            if prompt.field.kind == "choice":
                self._voice.say(f"  {number}: {label}")
        typed = self._voice.ask(f"{prompt.field.label} [{bracket(self.project, prompt)}]:")
        return typed is not None and self._take(prompt, typed)

    def _leave_step(self) -> bool:
        """Go on to the next step; a fitting first offers the next design."""
        known = actions(self.project, STEPS[self._step].id)
        if not any(action.id.startswith("next-") for action in known):
            self._onward()
            return True
        before = (self._step, self._index, self.project)
        going = self._offer(known, LAST)
        if (self._step, self._index, self.project) == before:
            self._onward()
        return going

    def _onward(self) -> None:
        """Go to the next step; behind the pattern its files can be written."""
        at_pattern = STEPS[self._step].id == "pattern" and not self._locked(self._step)
        if at_pattern and self._write() == "back":
            self._index = max(len(self._prompts()) - 1, 0)
            return
        self._enter(self._step + 1)

    def _take(self, prompt: Prompt, typed: str) -> bool:
        if typed in self._commands:
            return self._commands[typed](prompt)
        if not typed:
            return self._enter_alone(prompt)
        if moving(self.project, prompt) and (found := _NUDGE.fullmatch(typed)):
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
        news = self._change(changed, f"{understood}. ", prompt.field.label, key)
        if any(asks_for_change(note) for note in news):
            self._voice.say("To change your answer, type back.")
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
            label = prompt.field.label
            self._change(moved, f"{label} {value(moved, key, prompt.at)}. ", label, key)
        return True

    def _after(self, prompt: Prompt) -> None:
        """Go on to the question behind this one, wherever the answer has put it."""
        same = (prompt.field.key, prompt.at)
        found = [(p.field.key, p.at) for p in self._prompts()]
        self._index = found.index(same) + 1 if same in found else self._index

    def _change(self, changed: Project, says: str, label: str, key: str = "") -> list[Note]:
        """Take a changed project, save it, and say and return what is different in its numbers."""
        before = self.project
        self._changes.take(changed, says, (label, self._step))
        if self._step == len(STEPS):
            return []
        return self._changes.say_news(before, STEPS[self._step].id, key)

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
        if found.marker != "locked":
            self._voice.say(STEPS[step].why)
        say_standing(self._voice, STEPS[step].id, shows(self.project, STEPS[step].id))

    def _notes(self, _: Prompt) -> bool:
        for note in shows(self.project, STEPS[self._step].id):
            say_note(self._voice, note)
        return True

    def _back(self, _: Prompt) -> bool:
        if self._index > 0:
            self._index -= 1
            return True
        self._back_a_step()
        return True

    def _back_a_step(self) -> None:
        """Go to what was asked last before this step; behind the pattern that is what to write."""
        earlier = [step for step in range(self._step) if not self._locked(step)]
        if not earlier:
            self._voice.say("This is the first question.")
            return
        count = len(prompts_of(self.project, earlier[-1]))
        behind = STEPS[earlier[-1]].id == "pattern"
        self._enter(earlier[-1], count if behind else max(count - 1, 0))

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
        chosen = ask_step(self._voice, self.project)
        if chosen:
            self._enter(chosen - 1)
        return chosen is not None

    # --- the other commands --------------------------------------------------------------------

    def _help(self, prompt: Prompt) -> bool:
        say_help(self._voice, STEPS[self._step].id, prompt.field.key)
        if says := moving(self.project, prompt):
            self._voice.say(says.strip())
        self._voice.say("Type commands to hear what else can be typed.")
        return True

    def _tell_commands(self, _: Prompt) -> bool:
        say_commands(self._voice)
        return True

    def _words(self, _: Prompt | None = None) -> bool:
        return say_words(self._voice)

    def _clear(self, prompt: Prompt) -> bool:
        key = prompt.field.key
        if not value(self.project, key, prompt.at):
            self._voice.say("Nothing is answered here.")
            return True
        label = prompt.field.label
        self._change(answer(self.project, key, "", prompt.at), f"{label}: cleared. ", label)
        return True

    def _undo(self, _: Prompt | None = None) -> bool:
        before = self.project
        made_on = self._changes.undo()
        if made_on is not None and work_moved(before, self.project):
            self._enter(made_on, len(prompts_of(self.project, made_on)))
        elif made_on is not None:
            self._to_change(before)
        return True

    def _redo(self, _: Prompt | None = None) -> bool:
        before = self.project
        made_on = self._changes.redo()
        if made_on is not None and work_moved(before, self.project):
            self._enter(_NARROWING)
        elif made_on is not None:
            self._to_change(before)
        return True

    def _to_change(self, before: Project) -> None:
        """Go to the question that undo or redo has changed."""
        place = changed_at(before, self.project)
        if place and place[1].step != self._step:
            self._enter(place[1].step, place[0])
        elif place:
            self._index = place[0]

    def _answers(self, _: Prompt | None = None) -> bool:
        say_answers(self._voice, self.project)
        return True

    def _widths(self, prompt: Prompt) -> bool:
        say_hem_widths(self._voice, self.project, prompt.at)
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
        numbers = {str(number): action for number, action in enumerate(known, 1)}
        while (typed := self._voice.ask("Number, or Enter for none:")) not in numbers:
            if typed in ("", "back"):
                behind = self._index >= len(self._prompts())
                self._index -= typed == "back" and behind
                return True
            if typed in (None, "quit"):
                return False
            self._voice.say(f"There are numbers 1 to {len(known)}; Enter or back leaves them.")
        chosen = numbers[typed]
        return self._bring(chosen) if chosen.paged else self._do(chosen, at)

    def _do(self, chosen: Action, at: Cursor) -> bool:
        """Do an action, after asking for what it needs."""
        texts: list[str] = []
        for field in chosen.needs:
            self._voice.say(field.how)
            text = self._voice.ask(f"{field.label}:")
            if text is None or text.lower() in LEAVES:
                self._voice.say(f"{chosen.label}: not done.")
                return text is not None
            texts.append(meant(field, text))
        try:
            changed = do(self.project, chosen.id, *texts, at=at)
        except AnswerError as error:
            self._voice.say(f"Not done: {error}.")
            return True
        label = chosen.label[:1].lower() + chosen.label[1:]
        self._change(changed, f"{chosen.label}: done. ", label)
        self._index = min(self._index, len(self._prompts()))
        if chosen.id.startswith("next-"):
            self._voice.say(f'Work goes on with "{self.project.designs[-1].name}".')
            self._enter(_NARROWING)
        elif STEPS[self._step].id == "fitting":
            self._enter(self._step)
        return True

    def _bring(self, chosen: Action) -> bool:
        """Have a block drafted or traced, and go on behind it."""
        changed = bring(self._voice, self.project, chosen.id, self._folder, self._kept)
        if changed is not None:
            self._change(changed, "The block is in. ", "the block")
            self._enter(self._step + 1)
        return True

    def _compare(self, _: Prompt | None = None) -> bool:
        return say_side_by_side(self._voice, self.project)

    def _write_now(self, _: Prompt) -> bool:
        self._write()
        return True

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

    def _write(self) -> Outcome:
        """Write files; where both legs were written, the test counts as printed."""
        found = state(self.project, "pattern")
        if found.marker == "locked":
            self._voice.say(f"There is no pattern to write yet: it {found.reasons[0]}.")
            return "on"
        outcome = write_outputs(self._voice, self.project, self._folder)
        if outcome == "test":
            printed = answer(self.project, "round.printed", date.today().isoformat())
            self._change(printed, "The test counts as printed today. ", "test printed")
        return outcome

    def _at_end(self, typed: str) -> None:
        known: Mapping[str, Callable[[], object]] = {
            "steps": self._steps,
            "words": self._words,
            "answers": self._answers,
            "compare": self._compare,
            "write": self._write,
            "undo": self._undo,
            "redo": self._redo,
            "back": self._back_a_step,
        }
        if typed in known:
            known[typed]()
        else:
            self._voice.say("That is none of these.")
