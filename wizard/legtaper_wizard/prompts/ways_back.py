"""The way back to a question: so many questions back, or to the one that is named."""

from __future__ import annotations

import re

from legtaper.model.safe_text import clean
from legtaper_wizard.flow.steps import STEPS, begun_by
from legtaper_wizard.prompts.prompt_order import Prompt, like, way_to, words_in
from legtaper_wizard.prompts.questions_heard import FREE
from legtaper_wizard.prompts.sitting import Sitting
from legtaper_wizard.prompts.typed_commands import go_back
from legtaper_wizard.prompts.which_question import which_one

_BACK_TO = re.compile(r"back (?:(\d{1,3})|(to )?(.+))", re.IGNORECASE | re.ASCII)


def way_back(on: Sitting, here: Prompt | None, typed: str) -> re.Match[str] | None:
    """Return the way back that a line says; without "to" it may be a text.

    Where a text is asked for, only the whole name of a question is a way to it.
    """
    going = _BACK_TO.fullmatch(typed)
    if going is None or going[1] or going[2]:
        return going
    known = way_to(on.project, going[3], here, on.session.at)
    if here is not None and here.field.kind in FREE:
        known = [one for one in known if words_in(one.field.label) == words_in(going[3])]
    return going if known else None


def go_to(on: Sitting, here: Prompt | None, going: re.Match[str]) -> None:
    """Go so many questions back, or to the one that is named, which may have to be asked."""
    if going[1]:
        on.at_once.clear()
        for _ in range(int(going[1])):
            before = (on.step, on.index)
            go_back(on)
            if (on.step, on.index) == before:  # the first question
                break
        return
    known = way_to(on.project, going[3], here, on.session.at)
    prompt = which_one(on, going[3], known)
    if prompt is None:
        if not known:
            no_question(on, going[3])
        return
    if on.locked(prompt.step):
        on.voice.refuse(f"{STEPS[prompt.step].title} waits for another step.")
        return
    on.session.at = prompt.at
    on.at_once.clear()
    if prompt.step != on.step:
        on.enter(prompt.step)
    asked = [(one.field.key, one.at) for one in on.prompts]
    same = (prompt.field.key, prompt.at)
    if same not in asked:
        label = prompt.name
        on.voice.say(f"That is answered in another way; {label} = ... takes its place.")
    on.index = asked.index(same) if same in asked else 0


def no_question(on: Sitting, name: str) -> None:
    """Say that a name is none of a question, and what begins it or which one it is close to."""
    if begun := begun_by(on.project, name, on.session.at):
        step, action = begun
        on.voice.refuse(
            f'{name.capitalize()} is asked once you choose "{action.label}": type steps '
            f"{step.title}, then more."
        )
        return
    known = like(on.project, name, on.session.at)
    meant_one = f" Is it {known}?" if known else ""
    on.voice.refuse(f'There is no question "{clean(name, 40)}".{meant_one}')
