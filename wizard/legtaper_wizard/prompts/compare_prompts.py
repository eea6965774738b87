"""Designs and rounds side by side at the line prompts: what changed first, then the figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from legtaper.model.project import NoDesignError, ProjectError
from legtaper_wizard.flow.compare_choice import columns_of, ids_of, known_items, with_offer
from legtaper_wizard.flow.steps import STEPS
from legtaper_wizard.flow.words import compare_sentences, compare_tables, round_sentences
from legtaper_wizard.prompts.console import WIDTH, Voice
from legtaper_wizard.prompts.sitting import END, Sitting

if TYPE_CHECKING:
    from legtaper.muslin.compare import Column

_MOST = 30
"""How many designs and rounds are read out to choose from."""


def say_side_by_side(sitting: Sitting, said: str = "") -> bool:
    """Ask which designs and rounds, and say how they differ; whether the input goes on."""
    voice, (project, at) = sitting.voice, sitting.session.now
    step_id = STEPS[min(sitting.step, END - 1)].id
    if not known_items(project):
        voice.say(f"Not shown: {NoDesignError().problem}.")
        return True
    try:
        project, first = with_offer(project, at, step_id)
        items = known_items(project)
        if not said:
            if len(items) > _MOST:
                voice.say(f"The last {_MOST} of {len(items)} designs and rounds:")
            for item in items[-_MOST:]:
                voice.say(f"{item.id:>3}: {item.label}", indent="    ")
            usual = " ".join(first)
            asks = f"Which side by side, as 1 2 or r1 [{usual}]:"
            while (typed := voice.ask_inside(asks, tells=True)) == "?":
                voice.say("Numbers with blanks between; r before the number of a round.")
            if typed is None or typed.lower() in ("back", "quit"):
                return typed is not None
            said = typed
        shown = columns_of(project, ids_of(said) or first)
    except ProjectError as error:
        voice.refuse(f"Not shown: {error.problem}.")
        return True
    for line in compare_sentences(shown):
        voice.say(line, indent="  ")
    return _say_details(voice, shown)


def _say_details(voice: Voice, shown: tuple[Column, ...]) -> bool:
    """Say on demand what was noted in the rounds, and the figures; whether the input goes on."""
    rounds = round_sentences(shown)
    also = "rounds says what was noted in them, " if rounds else ""
    while typed := voice.ask_inside(
        f"Enter goes on; {also}tables shows the figures:", _is_detail, tells=True
    ):
        if typed.lower() == "rounds":
            for line in rounds:
                voice.say(line, indent="  ")
        elif typed.lower() == "tables":
            for line in compare_tables(shown, WIDTH):
                voice.show(line)
        elif typed == "?":
            voice.say("Type rounds or tables, or Enter.")
        else:
            break
    return typed is not None


def _is_detail(typed: str) -> bool:
    return typed.lower() in ("rounds", "tables")
