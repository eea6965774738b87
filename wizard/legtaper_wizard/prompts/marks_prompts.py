"""The marking table by ear: one mark at a time, in the order in which they are drawn."""

from __future__ import annotations

import re
from collections.abc import Iterator
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
from legtaper_wizard.prompts.console import Voice

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
    "ruler": "; a straight line up to the next", "curve": "; a curve up to the next",
    "old seam": "; the old seam from here up", "": "",
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
    step = asked or usual_step(fit)
    lines = list(mark_lines(fit, step))
    name = clean(fit.design.name, 60)
    voice.say(
        f"{len(lines)} marks of the design {name}, rounded to {_SPOKEN.sub(' ', step)}. {_HELP}"
    )
    number, follows = 0, False
    while number < len(lines):
        voice.say(f"{number + 1}: {lines[number].said(follows=follows)}", indent="   ")
        number, follows = number + 1, True
        typed = voice.ask_inside("Next:", _is_own) if number < len(lines) else "quit"
        if typed is None or typed.lower() == "quit":
            return typed is not None
        if typed.lower() == "all":
            for later in range(number, len(lines)):
                voice.say(f"{later + 1}: {lines[later].said(follows=True)}", indent="   ")
            return True
        if typed.lower() == "back":
            number, follows = max(number - 2, 0), False
        elif typed.isascii() and typed.isdigit() and 1 <= int(typed[:6]) <= len(lines):
            number, follows = int(typed) - 1, False
        elif typed and typed.lower() != "next":
            voice.refuse(_HELP)
            number, follows = number - 1, False
    return True


def _is_own(typed: str) -> bool:
    return typed.lower() in ("all", "next")


def usual_step(fit: Fit) -> str:
    """Return what marks are rounded to where nothing else is said."""
    from legtaper.outputs.marking_table import DEFAULT_STEP

    return settings().step or DEFAULT_STEP[fit.project.length_unit]


@dataclass(frozen=True, slots=True)
class MarkLine:
    """A mark as a sentence. edge: piece and edge, as in "Front inseam"; first: of that edge."""

    edge: str
    where: str
    first: bool

    def said(self, *, follows: bool) -> str:
        """Return the sentence; behind another mark of its edge without the edge."""
        if not self.edge or (follows and not self.first):
            return self.where[:1].upper() + self.where[1:]
        return f"{self.edge}, {self.where}"


def mark_lines(fit: Fit, step: str) -> Iterator[MarkLine]:
    """Return each mark as a sentence, edge by edge from the hem upwards."""
    from legtaper.outputs.marking_table import marking_table

    table = marking_table(fit, step)
    metric = fit.project.length_unit == "cm" and step == "1mm"
    spoken = None if metric else step  # a metric tape reads centimeters
    for edge, found in groupby(table.marks, key=lambda mark: mark.edge):
        for number, mark in enumerate(found):
            name = edge.replace("_", " ").capitalize()
            yield MarkLine(name, _where(fit, mark, spoken), first=number == 0)
    for below in table.below_hem:
        yield MarkLine("", _below_hem(fit, below, spoken), first=True)


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
    return f"{edge.capitalize()}, {mark.what}: {at}."


def _where(fit: Fit, mark: Mark, step: str | None) -> str:
    unit = fit.project.length_unit
    up = say_length(mark.height, unit, step)
    level = clean(say_level(mark.level), 40)
    at = f"{level}, {up} up" if level and mark.height else level or f"{up} up"
    reach = say_length(mark.from_grainline, unit, step)
    side = "inside" if mark.come_in >= 0 else "outside"
    come_in = f"{say_length(abs(mark.come_in), unit, step)} {side} the old line"
    return f"{at}: {come_in}, {reach} from the grainline{_UP[mark.up]}."
