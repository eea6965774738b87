"""One of many choices by ear: first a place, then what is there; words find any of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from difflib import get_close_matches

from legtaper.model.safe_text import clean
from legtaper_wizard.flow.steps import Field
from legtaper_wizard.prompts.console import Voice
from legtaper_wizard.prompts.prompt_order import words_in
from legtaper_wizard.prompts.questions_heard import by_number_or_words, say_numbered

_LEAST = 3
"""Letters of a word that says something about what is seen."""
_ALIKE = 0.75
_OFFERED = 3
_CALLED = {"drag": "slanting", "draglines": "slanting", "diagonal": "slanting"}
"""Words that people who sew have for a word of a label (trade terms)."""


def nearest(labels: Sequence[str], said: str) -> list[int]:
    """Return the numbers of the labels that share most words with a text, at most three; or none.

    Words are shared that are spelled alike and begin with the same letter.
    """
    words = {_CALLED.get(word, word) for word in words_in(said)}
    wanted = [word for word in words if len(word) >= _LEAST]

    def has(label: str, word: str) -> bool:
        begun = [one for one in words_in(label) if one[0] == word[0]]
        return bool(get_close_matches(word, begun, 1, _ALIKE))

    shared = [sum(has(label, word) for word in wanted) for label in labels]
    most = max(shared, default=0)
    return [number for number, count in enumerate(shared) if most and count == most][:_OFFERED]


class GroupedChoice:
    """The dialogue for one field with groups. A typed number chooses in the list read last."""

    def __init__(self, voice: Voice, field: Field, own: Callable[[str], bool]) -> None:
        self._voice, self._field, self._own = voice, field, own
        self._ids = [choice for choice, _ in field.choices]
        self._labels = [label for _, label in field.choices]
        self._places = [place for place, _ in field.groups]
        self._read: list[int] | None = None  # the choices read last; nothing for the places

    def ask(self) -> str | None:
        """Return the choice, or what left the dialogue; nothing where the input has ended."""
        self._tell()
        while True:
            typed = self._voice.ask_inside(f"{self._field.label}:", self._own)
            if not typed or typed.lower() == "quit":
                return typed
            if typed.lower() == "back":
                if self._read is None:
                    return typed
                self._show(None)
            elif typed.lower() == "list":
                self._tell()
            elif typed == "?":
                self._voice.say(
                    f"{self._field.how} Type a number of the list just read, or some words of what "
                    "you see; list reads it again, back is the list before."
                )
            elif (chosen := self._taken(typed)) is not None:
                return chosen

    def _taken(self, typed: str) -> str | None:
        """Return the choice that a line means; else read what it leads to."""
        if typed in self._ids:
            return typed
        found = self._by_number(typed) if typed.isdecimal() else self._by_words(typed)
        if len(found) == 1:
            if typed.isdecimal():  # of a list that may be another one than she has in mind
                self._voice.say(f"{self._labels[found[0]].removesuffix('.')}.")
            return self._ids[found[0]]
        if found:
            self._show(found)
        return None

    def _by_number(self, typed: str) -> list[int]:
        """Return the choice of that number in the list read last, or those of a place."""
        names = self._places if self._read is None else [self._labels[one] for one in self._read]
        found = by_number_or_words(names, typed)
        if not found:
            self._voice.refuse(f"Type a number from 1 to {len(names)}, or words.")
            return []
        return self._in_place(found[0]) if self._read is None else [self._read[found[0]]]

    def _by_words(self, typed: str) -> list[int]:
        """Return the choices that have the words in them: of the list read last, else of all.

        Where none has, those that come nearest, and how to keep the words as they are.
        """
        here = self._read or []
        if among := by_number_or_words([self._labels[one] for one in here], typed):
            return [here[number] for number in among]
        if typed.lower() in self._places:
            return self._in_place(self._places.index(typed.lower()))
        if found := by_number_or_words(self._labels, typed):
            return found
        near, said = nearest(self._labels, typed), clean(typed, 60)
        kept = f"Type {self._field.in_own_words} = {said} to keep it in your own words."
        if not near:
            self._voice.refuse(f'None of them is like "{said}". {kept}')
            return []
        self._voice.say(f'None of them has all of "{said}" in it. {kept} Nearest:')
        self._show(near)  # one alone is not taken either: it was not said
        return []

    def _in_place(self, number: int) -> list[int]:
        return [self._ids.index(one) for one in self._field.groups[number][1]]

    def _show(self, read: list[int] | None) -> None:
        self._read = read
        self._tell()

    def _tell(self) -> None:
        if self._read is None:
            say_numbered(self._voice, self._places)
        else:
            say_numbered(self._voice, [self._labels[number] for number in self._read], apart=True)
