"""A drafted block as line prompts: what it rests on, read once, and each number changeable."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from legtaper.model.lengths import say_length
from legtaper_wizard.flow.drafted_block import KEYS, Drafting, label_of
from legtaper_wizard.flow.steps import AnswerError
from legtaper_wizard.prompts.console import Voice, is_no, is_yes
from legtaper_wizard.prompts.questions import doubted

if TYPE_CHECKING:
    from legtaper.block_sources.drafted import DraftNumber
    from legtaper.model.project import Unit

FIRST = ("hip", "waist", "height", "thigh", "knee", "calf")
"""What is asked for one by one; all else is chosen and can be changed."""

_SAID = {"hem": "hem, around the leg"}
"""Names that say more than their key does."""
_QUESTION = "Yes takes it; back leaves it; list reads it all; or a change, as knee=40 cm:"
_HELP = (
    "Yes takes the draft, back leaves it. To change a number, type its name, = and the number, as "
    "in knee=40 cm; several may be on one line, as in inside leg=80 cm, ease thigh=7 cm. A name "
    "with nothing behind its = takes back what you gave. Type list to hear every number."
)
_HELP_WITH_ONE = "Type a length. Enter takes what is in brackets; back leaves the draft."


def spoken(key: str) -> str:
    """Return the name of a number as it is read out."""
    return _SAID.get(key, key.replace("_", " "))


_NAMES = {name.lower(): key for key in KEYS for name in (key, spoken(key), label_of(key))}
_PAIR = re.compile(
    rf"(?:^|[\s,;])({'|'.join(sorted(map(re.escape, _NAMES), key=len, reverse=True))})\s*=",
    re.IGNORECASE,
)
_BARE = re.compile(
    rf"({'|'.join(sorted(map(re.escape, _NAMES), key=len, reverse=True))})\s+(\d.*)", re.IGNORECASE
)
"""One name with its number behind it, as it is said aloud: knee 39."""


def ask_one(voice: Voice, drafting: Drafting, key: str) -> Drafting | str | None:
    """Ask for one measurement until it can be taken.

    Returns what was typed where she leaves the draft, and `None` where the input ends.
    """
    one = next(asked for asked in drafting.fields() if asked.key == key)
    voice.say(one.how)
    while True:
        usual = one.placeholder or ("skip" if one.optional else "needed")
        typed = voice.ask_inside(f"{label_of(key)} [{usual}]:")
        if typed is None or typed.lower() in ("back", "quit"):
            return typed and typed.lower()
        if typed == "?":
            voice.say(f"{one.how} {_HELP_WITH_ONE}")
            continue
        if not typed and usual == "needed":
            voice.say("The draft rests on this one; back leaves the draft.")
            continue
        while typed:
            try:
                changed = drafting.typed(key, typed)
            except AnswerError as error:
                voice.refuse(f"Not taken: {error}.")
                break
            odd = changed.doubts(key).get(key, ())
            typed = doubted(voice, odd, typed, typed)
            if not typed:
                return changed
            if is_no(typed):
                break
        else:
            return drafting


class DraftTalk:
    """What is said about a draft: what is estimated, then only what a change makes different."""

    def __init__(self, voice: Voice, drafting: Drafting) -> None:
        self._voice = voice
        self._known: list[str] | None = None
        self.drafting = drafting
        self._past: list[Drafting] = []

    def ask(self) -> str | None:
        """Say what is new, and return what is typed at the question behind it."""
        self._say_new()
        return self._voice.ask_inside(_QUESTION, _is_own)

    def hear(self, typed: str) -> bool:
        """Do what a line says; whether it takes the draft."""
        said = typed.lower()
        if is_yes(typed):
            return self.drafting.problem() is None
        if said in ("?", "help"):
            self._voice.say(_HELP)
        elif said == "undo":
            self._undo()
        elif said == "list":
            self._known = []  # so that every line is new
        else:
            self._change(typed)
        return False

    def _say_new(self) -> None:
        if self.drafting.problem() is not None:
            self._voice.say(f"Look: {self.drafting.told()}")
            return
        draft, unit = self.drafting.draft(), self.drafting.unit
        numbers = {one: _line(one, unit) for one in draft.numbers}
        lines = [*draft.notes, *numbers.values()]
        if self._known is None:
            guessed = [
                line
                for one, line in numbers.items()
                if one.source == "estimated"
                and one.key not in FIRST  # which was asked for just now
            ]
            self._known = [line for line in numbers.values() if line not in guessed]
            self._say_unheard(lines)
            self._voice.say(f"{len(self._known)} more numbers are given or chosen; list reads all.")
        else:
            self._say_unheard(lines)
        self._known = lines

    def _say_unheard(self, lines: Sequence[str]) -> None:
        for line in lines:
            if line not in (self._known or ()):
                self._voice.say(line, indent="  ")

    def _undo(self) -> None:
        """Take the last change back; what was given before the draft is kept."""
        if self._past:
            self.drafting = self._past.pop()
        else:
            self._voice.say("There is nothing to undo here; back leaves the draft.")

    def _change(self, typed: str) -> None:
        pairs = _pairs(typed)
        if not pairs:
            names = "; ".join(map(spoken, KEYS))
            self._voice.refuse(
                f"Not taken: write yes, back, list, or a name and a number: {names}."
            )
            return
        changed = self.drafting
        for key, text in pairs:
            try:
                changed = changed.typed(key, text)
            except AnswerError as error:
                self._voice.refuse(f"Not taken: {spoken(key)}: {error}.")
                return
        for key, _ in pairs:
            for odd in changed.doubts(key).get(key, ()):
                self._voice.say(f"Look: {odd}")
        same = changed == self.drafting
        if not same:
            self._past.append(self.drafting)
        self.drafting = changed
        if same:
            self._voice.say("That changes nothing.")


def _line(one: DraftNumber, unit: Unit) -> str:
    return f"{spoken(one.key)} = {say_length(one.mm, unit)} ({one.source}: {one.why})"


def _is_own(typed: str) -> bool:
    """Whether a line is for the draft, though a question of the wizard has the same name."""
    return typed.lower() in ("help", "list", "undo") or bool(_pairs(typed))


def _pairs(typed: str) -> list[tuple[str, str]]:
    """Return the keys and texts of a line such as "inside leg=80, knee=40"; none if any is odd."""
    found = list(_PAIR.finditer(typed))
    if not found:
        bare = _BARE.fullmatch(typed.strip())
        return [(_NAMES[bare[1].lower()], bare[2])] if bare else []
    ends = [*(one.start() for one in found[1:]), len(typed)]
    pairs = [
        (_NAMES[one[1].lower()], typed[one.end() : end].strip(" ,;"))
        for one, end in zip(found, ends, strict=True)
    ]
    odd = typed[: found[0].start()].strip(" ,;")
    return [] if odd or any("=" in text for _, text in pairs) else pairs
