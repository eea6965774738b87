"""One sitting at the line prompts: where work stands, and every change with what is said of it."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, field

from legtaper.model.levels import say_level
from legtaper.model.project import Project, ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.questions import block_verdict
from legtaper_wizard.flow.questions.muslin_round import DATE, VERDICT
from legtaper_wizard.flow.round_answers import is_waiting
from legtaper_wizard.flow.session import (
    LAST_SITTING_ASKED,
    ChangedOnDiskError,
    Place,
    Session,
    StoreError,
)
from legtaper_wizard.flow.shapes import NoteKind
from legtaper_wizard.flow.steps import (
    STEPS,
    AnswerError,
    Cursor,
    Note,
    shows,
    slips,
    state,
    step_of,
    value,
)
from legtaper_wizard.flow.steps.round_notes import first_cure, sign_details
from legtaper_wizard.prompts.console import Voice
from legtaper_wizard.prompts.import_prompts import Kept
from legtaper_wizard.prompts.output import (
    EVERY_KIND,
    Heard,
    held_back,
    mended_since,
    news_of,
    say_news,
    say_note,
    say_step,
    says_no_more,
    work_moved,
)
from legtaper_wizard.prompts.prompt_order import (
    Prompt,
    changed_at,
    full_names,
    place_of,
    prompts_of,
    row_from,
)

Says = str | Callable[[list[Note]], str]
_ROWS = ("block", "liked")
"""Steps whose tables are asked row by row."""
_TELLS_OF_OTHERS = ("pattern", "fitting")
"""Steps that tell what other steps told: a warning that was heard there is only counted."""
_PLACES = "front|back|outseam|inseam|hem|ankle|calf|knee|thigh|crotch|hip|high hip|waist|slit"
_VERDICT_BESIDE = {DATE.key: VERDICT.key, block_verdict.DATE.key: block_verdict.VERDICT.key}
"""The verdict of a test, by the key of its day."""
END = len(STEPS)
"""The number of what comes behind the last step."""
NARROWING = [step.id for step in STEPS].index("narrowing")
MANNERS = ("short", "usual", "long")
"""How much is said: no more than the questions; what is new; everything each time."""


def sign_of(key: str) -> str:
    """Return how the keys of the questions about one sign begin; "" for another question."""
    return key.rpartition(".")[0] if key.startswith("round.sign.") else ""


@dataclass
class Sitting:
    """A session, and the question that is next. `step` and `index` count from 0."""

    voice: Voice
    session: Session
    step: int = 0
    index: int = 0
    manner: str = "usual"
    helped: str = ""  # the key of the question whose help was said last
    called: str = ""  # the label under which the question was asked
    queued: str | None = None  # a command that was typed at a list
    inside: bool = False  # whether something is told while another question is open
    last: tuple[Prompt, tuple[str, ...]] | None = None  # what changed last, and keys typed with it
    pending: tuple[str, str] | None = None  # key and text of an answer that could not be saved
    kept: Kept = field(default_factory=Kept)
    heard: set[str] = field(default_factory=set)  # what was said once and need not be said again
    agreed: set[str] = field(default_factory=set)  # doubts about answers that are meant so
    at_once: set[str] = field(default_factory=set)  # typed with another one, so not asked next
    row: tuple[str, Cursor] | None = None  # of the table whose question was asked last
    sign: str = ""  # of a muslin, named last, as the start of the keys that ask about it
    left: tuple[str, str, Cursor] | None = None  # a sign, and the question it was written down at
    test: dict[str, str] = field(default_factory=dict)  # how the last test was written
    cells: tuple[str, ...] = ()  # of the row of a table that was typed at once last
    told: tuple[str, ...] = ()  # the cells of a row as they were last told

    @property
    def project(self) -> Project:
        """What is answered so far."""
        return self.session.project

    @property
    def prompts(self) -> list[Prompt]:
        """The questions of the step."""
        return [] if self.step == END else prompts_of(self.project, self.step, self.session.at)

    def locked(self, step: int) -> bool:
        """Whether a step waits for another one."""
        return state(self.project, STEPS[step].id, self.session.at).marker == "locked"

    def unheard(self, text: str, prompt: Prompt) -> str:
        """Return those sentences of a text that need be said: after the first step, new ones.

        What was said of one level, panel or seam is not said again of the next.
        """
        if self.manner != "usual" or prompt.step == 0:
            return "" if self.manner == "short" else text
        fresh = []
        for sentence in re.split(r"(?<=[.?!]) ", text):
            kind = re.sub(rf"\b(?:{_PLACES}|{prompt.field.level or '-'})\b", "*", sentence.lower())
            if kind not in self.heard:
                fresh.append(sentence)
            self.heard.add(kind)
        return " ".join(fresh)

    def label(self, prompt: Prompt) -> str:
        """Return a question's label; below another one of its column its level and the column.

        Where the row above was typed at once, or all of a row is held, it says how many values.
        """
        field, before = prompt.field, self.row
        named, self.sign = self.sign, sign_of(field.key)
        if named and named == self.sign and self.manner != "long":
            return field.label.split(": ")[0]
        level = say_level(field.level).capitalize()
        row = self.row_here(prompt) if self.manner != "long" else []
        if len(row) > 1 and (self.cells or self.told or all(self.held(one) for one in row)):
            names = tuple(one.field.group for one in row)
            told = "" if names in (self.cells, self.told) else f": {', '.join(names)}"
            self.told = names
            return f"{level}, {len(row)} values{told}"
        in_table = STEPS[prompt.step].id in _ROWS and field.level and field.group != "height"
        self.row = (field.group, prompt.at) if in_table and field.group else None
        if self.manner == "long" or self.row is None:
            return field.label if self._follows_its_level(prompt) else prompt.name
        in_block = STEPS[prompt.step].id == "block"
        return f"{level}, {field.group}" if in_block or before == self.row else field.label

    def _follows_its_level(self, prompt: Prompt) -> bool:
        """Whether the question before this one is about the same level."""
        before = self.prompts[max(self.index - 1, 0)]
        return before != prompt and before.field.level == prompt.field.level

    def row_here(self, prompt: Prompt) -> list[Prompt]:
        """Return the questions of the row of the block that begins with a question, else none."""
        prompts = self.prompts
        return row_from(prompts, prompts.index(prompt)) if prompt in prompts else []

    def held(self, prompt: Prompt) -> str:
        """Return what is answered."""
        return value(self.project, prompt.field.key, prompt.at)

    # --- moving ------------------------------------------------------------------------------

    def enter(self, step: int, index: int = 0) -> None:
        """Go to a step and say what it is for and how it stands."""
        self.step, self.index, self.row, self.cells, self.told = step, index, None, (), ()
        self.left = None
        if step < END:
            self.session.go(STEPS[step].id)
            brief = self.manner == "short" or (self.manner == "usual" and step > 0)
            usual = STEPS[step].id in _TELLS_OF_OTHERS and self.manner == "usual"
            heard = Heard(self.heard if usual else (), self.agreed)
            say_step(self.voice, step, self.session.now, brief=brief, heard=heard)
            project, at = self.session.now
            self.heard.update(note.text for note in shows(project, STEPS[step].id, at))

    def go(self, step: int, index: int) -> None:
        """Go to a question; the step is only said where it is another one."""
        if step != self.step:
            self.enter(step, index)
        self.index = index

    def after(self, prompt: Prompt) -> None:
        """Go on to the question behind this one, wherever the answer has put it."""
        same = (prompt.field.key, prompt.at)
        found = [(p.field.key, p.at) for p in self.prompts]
        self.index = found.index(same) + 1 if same in found else self.index

    def pass_at_once(self) -> None:
        """Go past what was typed with another answer; once only, so that one can come back."""
        prompts = self.prompts
        while self.index < len(prompts) and prompts[self.index].field.key in self.at_once:
            self.at_once.discard(prompts[self.index].field.key)
            self.index += 1

    def come_back(self) -> None:
        """Go on where a sign was written down, once all is asked about that sign."""
        here = self.here()
        if self.left is None or (here and sign_of(here[0]) == self.left[0]):
            return
        (sign, key, at), self.left = self.left, None
        keys = [one.field.key for one in self.prompts]
        self.at_once.update(one for one in keys if sign_of(one) == sign)  # not asked once more
        self._stay_at((key, at))

    def say_held_back(self, prompt: Prompt) -> None:
        """Say what is a warning about a garment as a whole, where the next one is asked for."""
        number = prompt.at.liked - 1
        if number < 0 or prompt.field.key != f"liked.{number + 1}.garment":
            return
        for note in held_back(STEPS[prompt.step].id, self.session.now, number):
            if note.text not in self.heard:
                say_note(self.voice, note)
                self.heard.add(note.text)

    # --- changes -----------------------------------------------------------------------------

    def change(
        self,
        work: Callable[[], object],
        says: Says = "",
        about: Prompt | None = None,
        refusal: str = "Not taken",
        *,
        tells: Collection[NoteKind] = EVERY_KIND,
    ) -> list[Note] | None:
        """Make a change, and say and return what is new; or say why it was not made.

        says: what was done, or how to say it given what is new. about: the question that is
        answered. tells: which kinds of what is new are said here. Returns nothing where nothing
        was changed.
        """
        before, here = self.session.now, self.here()
        if not self._made(work, refusal):
            return None
        self._stay_at(here)
        step, key = (about.step, about.field.key) if about else (self.step, "")
        step_id = STEPS[min(step, END - 1)].id
        news = news_of(step_id, before, self.session.now, key) if step < END else []
        line = says if isinstance(says, str) else says(news)
        if line:
            self.voice.say(line)
            news = [note for note in news if not says_no_more(note, line)]
        if not tells:
            return news
        news = [note for note in news if note.kind in tells]
        news = [note for note in news if not self._comes_next(note, about)]
        news, rest = self._in_brief(step_id, news)
        mended = mended_since(before, self.session.now)
        asked = slips(self.project, key, self.session.at) if key else ()
        say_news(self.voice, news, asked, mended=mended)
        if rest:
            self.voice.say(rest)
        self.heard.update(note.text for note in news)
        return news

    def here(self) -> tuple[str, Cursor] | None:
        """Return what tells the open question from the others, nothing behind the last."""
        if self.step >= END or self.index >= len(self.prompts):
            return None
        prompt = self.prompts[self.index]
        return prompt.field.key, prompt.at

    def _stay_at(self, here: tuple[str, Cursor] | None) -> None:
        """Stay at a question, wherever a change has put it: some come and go with others."""
        found = [(one.field.key, one.at) for one in self.prompts] if self.step < END else []
        if here in found:
            self.index = found.index(here)

    def _comes_next(self, note: Note, about: Prompt | None) -> bool:
        """Whether a note is an estimate of what is asked next: it waits until that is passed."""
        here = about is not None and self.step == about.step and note.kind == "number"
        later = self.prompts[self.index + 1 : self.index + 2] if here else []
        return any(note.key == one.field.key and not self.held(one) for one in later)

    def say_estimate(self, prompt: Prompt) -> None:
        """Say what a question that is passed was estimated at, where that was not heard yet."""
        for note in shows(*self.session.now[:1], STEPS[prompt.step].id, self.session.at):
            about = (note.kind, note.key) == ("number", prompt.field.key)
            if about and note.text not in self.heard:
                say_note(self.voice, note)
                self.heard.add(note.text)

    def clear(self, prompt: Prompt) -> None:
        """Take an answer away."""
        key, label = prompt.field.key, prompt.name
        done = self.change(lambda: self.session.answer(key, ""), f"{label}: cleared.", prompt)
        if done is not None:
            self.last = (prompt, ())
            self._say_what_stays(key)

    def _say_what_stays(self, key: str) -> None:
        """Say of a test whose day was taken away what it still holds, and how that goes, too."""
        at, verdict = self.session.at, _VERDICT_BESIDE.get(key, "")
        said, there = value(self.project, verdict, at), place_of(self.project, verdict, at)
        if said and there:
            one = prompts_of(self.project, there[0], at)[there[1]]
            (name,) = full_names(self.project, [one.field], at)
            self.voice.say(f"The verdict, {said}, stays; type {name.lower()} = to take it away.")
        elif key == DATE.key and not is_waiting(self.project, at):
            self.voice.say("It still counts as tried on, by what else was written down.")

    def _in_brief(self, step_id: str, news: list[Note]) -> tuple[list[Note], str]:
        """Return the news without the details of signs but their first cure; how to hear those."""
        if step_id != "fitting" or self.manner != "usual":
            return news, ""
        details = sign_details(*self.session.now)
        new = {note.text for note in news} & set(details)
        if not new:
            return news, ""
        self.heard.update(new)
        line, cure = first_cure(*self.session.now)
        brief = [note for note in news if note.text not in details]
        if line in new:
            brief.append(Note("number", cure))
        told = "Type notes for what to look at and for every cure that was tried."
        rest = "" if told in self.heard else told
        self.heard.add(told)
        return brief, rest

    def _made(self, work: Callable[[], object], refusal: str) -> bool:
        """Make a change, or say why it is not made; whether it was."""
        try:
            work()
        except AnswerError as error:
            self.voice.refuse(f"{refusal}: {error}.")
        except ChangedOnDiskError as error:
            return self._whose(error, work, refusal)
        except (StoreError, ProjectError) as error:
            self._not_saved(error)
        else:
            return True
        return False

    def _not_saved(self, error: Exception) -> None:
        """Keep beside the project what cannot be saved, at once: the line may be lost next."""
        try:
            copy = self.session.keep_beside()
        except (StoreError, ProjectError) as worse:
            kept = f"Nor could it be kept beside it: {worse}."
        else:
            kept = f"It is kept in {copy}." if copy else ""
        self.voice.refuse(f"NOT SAVED: {error}. {kept} Enter tries again.")

    def _whose(self, error: Exception, work: Callable[[], object], refusal: str) -> bool:
        """Ask which of two states goes on; the other is kept. Whether the change is made then."""
        name = clean(self.session.path.name, 60)
        if self.voice.scripted:
            self._not_saved(error)
        if self.session.is_gone:
            self.voice.say(f"{name} was moved or deleted; mine writes it there again.")
        else:
            self.voice.say(
                f"Another program changed {name} since you opened it, so your last answer is not "
                "saved yet. Both states are kept, whichever you choose."
            )
        while typed := self.voice.ask("Go on with mine or theirs, or Enter to leave it:"):
            if typed.lower() not in ("mine", "theirs"):
                self.voice.say("Type mine or theirs.")
                continue
            try:
                if typed.lower() == "mine":
                    copy = self.session.keep_mine()
                    work()
                    self.voice.say(
                        f"Theirs is in {copy.name}." if copy else "The file was gone; it is back."
                    )
                    return True
                copy = self.session.take_theirs()
                self.voice.say(f"Yours is in {copy.name}. Your last answer was not taken.")
            except (StoreError, ProjectError) as problem:
                self.voice.say(f"{refusal}: {problem}.")
            return False
        self._not_saved(error)
        return False

    def undo(self) -> None:
        """Take the last change back; where that is all of the last sitting, only on a yes."""
        asked = self.session.undoes_last_sitting() and not self.voice.scripted
        if asked and not self.voice.agrees(LAST_SITTING_ASKED):
            self.voice.say("Nothing was taken back.")
            return
        self._travel(self.session.undo, "Undone", "There is nothing to undo.")

    def redo(self) -> None:
        """Make it again."""
        self._travel(self.session.redo, "Made again", "There is nothing to make again.")

    def _travel(self, way: Callable[[], Place | None], did: str, nothing: str) -> None:
        """Undo or redo, say what it was, and go to where it was."""
        before = self.session.now
        whole = way == self.session.undo and self.session.undoes_last_sitting()
        found: list[Place | None] = []
        if not self._made(lambda: found.append(way()), f"Not {did.lower()}"):
            return
        place = found[0]
        if place is None:
            self.voice.say(nothing)
            return
        words = self.session.change_in_words(place, before)
        moved = work_moved(before, self.session.now)
        self.voice.say(f"{did}: {words}{moved}.")
        if whole:
            self.voice.say("Type redo to have it again.")
        at = self.session.at
        there = place_of(self.project, place.key, at) or changed_at(before[0], self.project, at)
        if there:
            self.last = (prompts_of(self.project, there[0], at)[there[1]], ())
        step = STEPS.index(step_of(place.step_id))
        if moved:  # where the next design is offered, or where it is worked on
            back = way == self.session.undo
            step, index = (
                (step, len(prompts_of(self.project, step, at))) if back else (NARROWING, 0)
            )
            self.enter(step, index)
        elif there:
            self.go(*there)
