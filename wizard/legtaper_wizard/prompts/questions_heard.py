"""Choices as they are heard: read out with their numbers, and found by number or words."""

from __future__ import annotations

from collections.abc import Sequence

from legtaper_wizard.flow.steps import Field
from legtaper_wizard.prompts.console import Voice
from legtaper_wizard.prompts.prompt_order import words_in

IN_A_LINE = 6
"""So many choices are read in one line; more are heard one line at a time."""


_BEGUN = 3
"""Letters with which a word is told from others."""
FREE = ("text", "note")
"""Kinds of questions that take whatever is typed."""


def say_choices(voice: Voice, field: Field) -> None:
    """Say the choices of a question, numbered."""
    if field.kind == "choice":
        say_numbered(voice, [label for _, label in field.choices])


def say_numbered(voice: Voice, names: Sequence[str], *, apart: bool = False) -> None:
    """Say names with their numbers: in one line, or many, and long ones `apart`, a line each."""
    said = [f"{number}: {name}" for number, name in enumerate(names, 1)]
    if len(said) <= IN_A_LINE and not apart:
        voice.say("; ".join(said) + ".", indent="  ")
        return
    for line in said:
        voice.say(f"{line}.", indent="    ")


def by_number_or_words(names: Sequence[str], said: str, others: Sequence[str] = ()) -> list[int]:
    """Return which of several things a line may mean: by number, whole name, or some words.

    Where none has the words, those with words that begin so: draft is enough for drafted. others:
    a second name of each, which may be said as well.
    """
    if said.isascii() and said.isdigit():
        return [int(said[:6]) - 1] if 1 <= int(said[:6]) <= len(names) else []
    wanted = words_in(said)
    for known in (names, others):
        exact = [number for number, name in enumerate(known) if name.lower() == said.lower()]
        some = [number for number, name in enumerate(known) if wanted and wanted <= words_in(name)]
        if found := exact or some:
            return found
    return [number for number, name in enumerate(names) if wanted and _begin_in(name, wanted)]


def _begin_in(name: str, wanted: set[str]) -> bool:
    """Whether each of some words, of three letters at least, begins a word of a name."""
    words = words_in(name)
    return all(len(one) >= _BEGUN and any(w.startswith(one) for w in words) for one in wanted)
