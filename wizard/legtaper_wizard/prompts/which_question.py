"""Which question a name means, where it may mean several."""

from __future__ import annotations

from collections.abc import Sequence

from legtaper.model.project import Project
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.steps import AnswerError, new_slips, rest_of_row
from legtaper_wizard.prompts.prompt_order import Prompt, meant, prompts_of, with_step
from legtaper_wizard.prompts.questions_heard import by_number_or_words, say_numbered
from legtaper_wizard.prompts.sitting import Sitting

_MOST = 6
"""So many questions are read out to choose from; of more a name has to say more."""


def which_one(sitting: Sitting, name: str, found: Sequence[Prompt]) -> Prompt | None:
    """Return the question that is meant of those that a name may mean, asking where it has to.

    Nothing where it stays open; a line that is none of them is done next.
    """
    if len(found) < 2:
        return found[0] if found else None
    voice, labels = sitting.voice, _told_apart(found)
    said = f'"{clean(name, 40)}" may be:'
    if voice.scripted or len(found) > _MOST:
        voice.refuse(f"{said} {'; '.join(labels[:_MOST])}. Write more of it.")
        return None
    voice.say(said)
    say_numbered(voice, labels)
    typed = voice.ask("Number or words, or Enter for none:") or ""
    chosen = by_number_or_words(labels, typed) if typed else []
    if len(chosen) == 1:
        return found[chosen[0]]
    if typed.isdecimal():
        voice.say(f"None of them has the number {clean(typed, 10)}.")
    else:
        sitting.queued = typed or None
    return None


def _told_apart(found: Sequence[Prompt]) -> list[str]:
    """Return a name for each question: with its step where they are of several, or called alike."""
    labels = [one.name for one in found]
    several = len({one.step for one in found}) > 1
    alike = len(set(labels)) < len(labels)
    return [with_step(one) if several or alike else one.name for one in found]


def likely(project: Project, found: Sequence[Prompt], text: str) -> list[Prompt]:
    """Return those questions that an answer fits; of them those where nothing about it is odd."""
    fits, plain = [], []
    for one in found:
        try:
            odd = new_slips(project, one.field.key, meant(one.field, text), one.at)
        except AnswerError:
            continue
        fits.append(one)
        plain += [] if odd else [one]
    return plain or fits or _row_of_widths(project, found, text) or list(found)


def _row_of_widths(project: Project, found: Sequence[Prompt], text: str) -> list[Prompt]:
    """Return the first width at a level whose height was found, where all its row was typed."""
    for height in (one for one in found if one.field.group == "height"):
        for one in prompts_of(project, height.step, height.at):
            beside = one.field.level == height.field.level and one.field.group != "height"
            if beside and rest_of_row(project, one.field.key, text, one.at):
                return [one]
    return []
