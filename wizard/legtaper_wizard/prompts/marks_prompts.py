"""The marking table by ear: one mark at a time, in the order in which they are drawn."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from legtaper.model.lengths import STEPS, say_length
from legtaper.model.levels import say_level
from legtaper.model.project import Project
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.steps import Cursor, state
from legtaper_wizard.prompts.console import LEAVES, ElsewhereError, Voice

if TYPE_CHECKING:
    from legtaper.outputs.below_hem import HemMark
    from legtaper.outputs.marking_table import Mark
    from legtaper.pattern import Fit

_HELP = (
    "Enter is the next mark, back the one before, a number goes to that mark, all reads the rest, "
    "quit leaves. To have the table on paper, type write, then marks."
)
_SPOKEN = re.compile(r"(?<=\d)(?=[a-z])")
_UP = {
    "ruler": "; straight lines up from here", "curve": "; a curve up from here",
    "old seam": "; the old seam up from here", "": "",
}  # fmt: skip


def say_marks(voice: Voice, project: Project, at: Cursor, said: str = "") -> bool:
    """Read the marks one by one, Enter for the next; whether the input goes on.

    said: what they are rounded to, this time; else as the settings have it.
    """
    asked = "".join(said.split())
    if asked and asked not in STEPS:
        voice.refuse(f"Not read: marks are rounded to one of {', '.join(STEPS)}.")
        return True
    fit = standing(project, at).fit
    if fit is None:
        reasons = state(project, "pattern", at).reasons
        voice.refuse(f"There are no marks yet: the pattern {'; '.join(reasons[:2])}.")
        return True
    step = asked or settings().step_for(fit.project.length_unit)
    lines = list(mark_lines(fit, step))
    name = clean(fit.design.name, 60)
    voice.say(
        f"{len(lines)} marks of the design {name}, rounded to {_SPOKEN.sub(' ', step)}. {_HELP}"
    )
    number, before = 0, None
    while number < len(lines):
        voice.say(f"{number + 1}: {lines[number].said(before)}", indent="   ")
        number, before = number + 1, lines[number]
        there = None
        while number < len(lines) and there is None:
            typed = voice.ask_inside(f"Next mark [{number + 1}]:", _is_own, tells=True)
            if typed and typed.lower() == "all":
                typed = _read_rest(voice, lines, number)
            if typed is None or typed.lower() == "quit":
                return typed is not None
            there = _leads_to(voice, typed, number, len(lines))
        if there is not None and there != number:
            number, before = there, None
    return True


def _leads_to(voice: Voice, typed: str, number: int, count: int) -> int | None:
    """Return which mark is read next, counted from 0, where `number` is the one behind the last.

    Nothing where the line leads to none.
    """
    if typed.lower() in ("", "next"):
        return number
    if typed.lower() == "back":
        return max(number - 2, 0)
    if typed.isascii() and typed.isdigit() and 1 <= int(typed[:6]) <= count:
        return int(typed) - 1
    if typed == "?":
        voice.say(_HELP)
    elif command := voice.nearly(typed):
        voice.refuse(f'"{clean(typed, 40)}" is no mark. Did you mean the command {command}?')
    else:
        voice.refuse(f'"{clean(typed, 40)}" is no mark: type a number from 1 to {count}.')
    return None


def _read_rest(voice: Voice, lines: Sequence[MarkLine], number: int) -> str | None:
    """Read all marks from one on; return the line that ended it, "quit" where all is read.

    Raises `ElsewhereError` for a line that is for the wizard.
    """
    pairs = zip(range(number, len(lines)), lines[number - 1 :], lines[number:], strict=False)
    rest = [f"{at + 1}: {line.said(before)}" for at, before, line in pairs]
    ended = voice.read_out(rest, indent="   ")
    if ended and ended.lower() not in LEAVES and voice.hears(ended):
        raise ElsewhereError(ended, unfinished=False)
    return "quit" if ended == "" else ended


def _is_own(typed: str) -> bool:
    return typed.lower() in ("all", "next")


@dataclass(frozen=True, slots=True)
class MarkLine:
    """A mark as a sentence. edge: piece and edge, as in "Front inseam"; up: to the next mark."""

    edge: str
    where: str
    up: str = ""

    def said(self, before: MarkLine | None) -> str:
        """Return the sentence; behind the mark `before` without what is as it was there."""
        known = before is not None and before.edge == self.edge
        up = "" if before is not None and known and before.up == self.up else self.up
        if not self.edge or known:
            return f"{self.where[:1].upper()}{self.where[1:]}{up}."
        return f"{self.edge}, {self.where}{up}."


def mark_lines(fit: Fit, step: str) -> Iterator[MarkLine]:
    """Return each mark as a sentence, edge by edge from the hem upwards."""
    from legtaper.outputs.marking_table import marking_table

    table = marking_table(fit, step)
    metric = fit.project.length_unit == "cm" and step == "1mm"
    spoken = None if metric else step  # a metric tape reads centimeters
    for edge, found in groupby(table.marks, key=lambda mark: mark.edge):
        name = edge.replace("_", " ").capitalize()
        for mark in found:
            yield MarkLine(name, _where(fit, mark, spoken), _UP[mark.up])
    for below in table.below_hem:
        yield MarkLine("", _below_hem(fit, below, spoken))


def _below_hem(fit: Fit, mark: HemMark, step: str | None) -> str:
    unit = fit.project.length_unit
    edge = f"{mark.panel} grainline" if mark.edge is None else mark.edge.replace("_", " ")
    side = "below" if mark.height < 0 else "above"
    up = f"{say_length(abs(mark.height), unit, step)} {side}" if mark.height else "at"
    reach = say_length(mark.from_grainline, unit, step)
    beside = ""
    if mark.beside is not None:
        beside = f"; allowance {say_length(mark.beside, unit, step)}"
    at = f"{up} the {fit.block.hem_name}, {reach} from the grainline{beside}"
    return f"{edge.capitalize()}, {mark.what}: {at}"


def _where(fit: Fit, mark: Mark, step: str | None) -> str:
    unit = fit.project.length_unit
    up = say_length(mark.height, unit, step)
    level = clean(say_level(mark.level), 40)
    at = f"{level}, {up} up" if level and mark.height else level or f"{up} up"
    reach = say_length(mark.from_grainline, unit, step)
    side = "inside" if mark.come_in >= 0 else "outside"
    come_in = f"{say_length(abs(mark.come_in), unit, step)} {side} the old line"
    return f"{at}: {come_in}, {reach} from the grainline"
