"""Notes, help and answers as lines."""

from __future__ import annotations

from collections.abc import Sequence

from legtaper.model.project import Project
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.derived_state import chosen_design
from legtaper_wizard.flow.glossary import glossary_text
from legtaper_wizard.flow.questions import label_of
from legtaper_wizard.flow.shapes import SIGNS
from legtaper_wizard.flow.steps import (
    LAST,
    STEPS,
    Cursor,
    Note,
    help_text,
    hem_widths_page,
    state,
    step_of,
    summary,
)
from legtaper_wizard.prompts.console import Voice

COMMANDS = (
    ("?", "help for this question"),
    ("commands", "all of these words"),
    ("back", "the question before"),
    ("next", "on to the next step"),
    ("skip", "leave out the rest of this part"),
    ("clear", "take this answer away"),
    ("undo, redo", "take the last change back, or make it again"),
    ("steps", "all steps with their state, and go to one"),
    ("words", "what the words of the trade mean"),
    ("answers", "everything that is answered"),
    ("notes", "everything that is said about this step: numbers, and what is well too"),
    ("more", "what else can be done on this step"),
    ("compare", "designs and rounds side by side"),
    ("widths", "which hem widths work, once something is taken in"),
    ("write", "write the pattern, or the test, to files"),
    ("quit", "stop; every answer is saved"),
)
_URGENT = ("fail", "caution", "question")
_TYPED_HERE = (
    ("Under F7 you", "Type more: there you"),
    ("An emptied cell takes a pinch away", "The word clear takes a pinch away"),
    ("There are two other ways to a block:", "Type more for two other ways to a block:"),
)
"""What the shared texts say for the screen, and what is typed here instead."""


def _typed_here(text: str) -> str:
    for on_screen, here in _TYPED_HERE:
        text = text.replace(on_screen, here)
    return text


def say_note(voice: Voice, note: Note) -> None:
    """Say one note behind its mark."""
    sign = f"{SIGNS[note.kind]} " if SIGNS[note.kind] else ""
    voice.say(sign + _typed_here(note.text), indent="  ")


def say_standing(voice: Voice, step_id: str, notes: Sequence[Note]) -> None:
    """Say on entering a step what wants care, worst first; what is well waits to be asked for."""
    urgent = [note for kind in _URGENT for note in notes if note.kind == kind]
    waiting = [note for note in notes if _can_wait(step_id, note)]
    if len(waiting) == 1:  # as soon said as told of
        waiting = []
    for note in urgent:
        say_note(voice, note)
        if asks_for_change(note) and note.key:
            voice.say(f"To change it, answer {label_of(note.key)} again.", indent="  ")
    for note in notes:
        if note not in urgent and note not in waiting:
            say_note(voice, note)
    well = sum(note.kind == "good" for note in waiting)
    parts = [f"{well} more {'are' if well > 1 else 'is'} well"] if well else []
    if other := len(waiting) - well:
        parts.insert(0, f"{other} more {'lines tell' if other > 1 else 'line tells'} how it stands")
    if parts:
        voice.say(f"{', '.join(parts)}; type notes to hear them.")


def _can_wait(step_id: str, note: Note) -> bool:
    """Whether a note need not come before the first question; a fitting is about its numbers."""
    if note.kind == "number":
        return step_id != "fitting"
    return note.kind == "good" or note.text in step_of(step_id).help  # which ? tells


def asks_for_change(note: Note) -> bool:
    """Whether a note is about an answer that is likely to be changed."""
    return note.kind == "fail" or (note.kind == "question" and note.text.endswith("?"))


def say_help(voice: Voice, step_id: str, key: str) -> None:
    """Say the help of a question."""
    for paragraph in help_text(step_id, key).split("\n\n"):
        voice.say(_typed_here(paragraph))


def work_moved(before: Project, after: Project) -> str:
    """Say which design is worked on, where it is another one than before."""
    was, now = chosen_design(before, LAST), chosen_design(after, LAST)
    moved = now is not None and (was is None or was.name != now.name)
    return f'; work goes on with "{clean(now.name, 60)}"' if now and moved else ""


def say_answers(voice: Voice, project: Project) -> None:
    """Say everything that is answered, step by step."""
    titles = {step.id: step.title for step in STEPS}
    heading = ""
    for line in summary(project):
        if titles[line.step_id] != heading:
            heading = titles[line.step_id]
            voice.say(heading)
        voice.say(f"  {line.label}: {line.value}", indent="    ")


def say_commands(voice: Voice) -> None:
    """Say all that can be typed at a question."""
    for name, does in COMMANDS:
        voice.say(f"{name}: {does}", indent="  ")
    voice.say("When the answer itself is such a word, as in back, type =back.")


def ask_step(voice: Voice, project: Project) -> int | None:
    """Say where all steps stand and ask for one until it can be entered.

    Returns its number, 0 where she stays, and `None` where the input ends.
    """
    for number, step in enumerate(STEPS, 1):
        found = state(project, step.id)
        why = f" - {found.reasons[0]}" if found.reasons else ""
        voice.say(f"{number:2} [{found.marker}] {step.title}{why}", indent="   ")
    known = {str(number): step for number, step in enumerate(STEPS, 1)}
    while typed := voice.ask("Number of the step, or Enter to stay:"):
        step_state = state(project, known[typed].id) if typed in known else None
        if step_state is None:
            voice.say(f"There are steps 1 to {len(STEPS)}.")
        elif step_state.marker == "locked":
            voice.say(f"{known[typed].title} {step_state.reasons[0]}.")
        else:
            return int(typed)
    return None if typed is None else 0


def say_words(voice: Voice) -> bool:
    """Ask for a word of the trade and say what it means; whether the input goes on."""
    typed = voice.ask("Which word, or Enter for all of them:")
    if typed is None:
        return False
    text = glossary_text(typed) or f'There is no word with "{typed}" in it.'
    for paragraph in text.split("\n\n"):
        voice.say(paragraph, indent="  ")
    return True


def say_hem_widths(voice: Voice, project: Project, at: Cursor) -> None:
    """Say which hem widths work."""
    lines = hem_widths_page(project, at, spoken=True)
    for line in lines or ["That is known once the block stands and something comes off it."]:
        voice.say(line)
