"""Designs and rounds side by side at the line prompts: figures and words, no outline."""

from __future__ import annotations

from legtaper.model.project import NoDesignError, Project, ProjectError
from legtaper_wizard.flow.compare_choice import columns_of, ids_of, known_items
from legtaper_wizard.prompts.console import WIDTH, Voice

_MOST = 30
"""How many designs and rounds are read out to choose from."""


def say_side_by_side(voice: Voice, project: Project) -> bool:
    """Ask which designs and rounds, and say how they differ; whether the input goes on."""
    items = known_items(project)
    if not items:
        voice.say(f"Not shown: {NoDesignError().problem}.")
        return True
    if len(items) > _MOST:
        voice.say(f"The last {_MOST} of {len(items)} designs and rounds:")
    for item in items[-_MOST:]:
        voice.say(f"{item.id:>3}: {item.label}", indent="    ")
    typed = voice.ask("Which side by side, as 1 2 or r1; Enter for the last designs:")
    if typed is None:
        return False
    try:
        shown = columns_of(project, ids_of(typed))
    except ProjectError as error:
        voice.say(f"Not shown: {error.problem}.")
        return True
    from legtaper_wizard.flow.words import compare_figures

    for line in compare_figures(shown, WIDTH):
        voice.show(line)
    return True
