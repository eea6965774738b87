"""What an answer would be understood as, said before it counts."""

from __future__ import annotations

import re
from datetime import date

from legtaper.model.lengths import Length, say_both, say_length, understood
from legtaper.model.project import Design, Project, Unit
from legtaper_wizard.flow.answers import answer, parsed, value
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.keys import level_of, rule_of
from legtaper_wizard.flow.round_answers import is_waiting, number_at
from legtaper_wizard.flow.shapes import LAST, AnswerError, Cursor

_SEWN = ("design.take_in.", "design.width.", "design.extra.", "design.blend.")
_METRIC = re.compile(r"-?\d+(?:\.\d+)? ?(?:mm|cm)", re.ASCII)
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def echo(project: Project, key: str, text: str, at: Cursor = LAST) -> str:
    """Say what would be understood, "" where nothing is typed.

    Raises `AnswerError` exactly where `answer` would.
    """
    rule, text = rule_of(key), text.strip()
    if rule is None:
        raise AnswerError(key, f"there is no question {key}")
    if not text:
        return ""
    answer(project, key, text, at)
    said = parsed(project, key, rule, text)
    if isinstance(said, Length) and key.startswith("design.extra.") and _holds(said):
        return "holds the seam where it was sewn"
    if isinstance(said, Length):
        sewn = _sewn(project, key, at) if text != value(project, key, at) else []
        return "; ".join(
            [_read_as(said, project.length_unit), *sewn, *_consequences(project, key, said, at)]
        )
    if isinstance(said, date):
        return f"{said.day} {_MONTHS[said.month - 1]} {said.year}"
    if isinstance(said, float):
        return _percent(key, said)
    return dict(rule.choices).get(said, said)


def _read_as(said: Length, unit: Unit) -> str:
    """Say how a length was read; a plain number on a metric tape says so itself."""
    return said.text if unit == "cm" and _METRIC.fullmatch(said.text) else understood(said)


def _percent(key: str, percent: float) -> str:
    half = f"half of it, {percent / 2:.3g} %, counts as usable"
    if key == "fabric.stretch_test":
        return f"stretches by {percent:.3g} %; {half}"
    return f"{percent:g} % crosswise; {half}"


def _consequences(project: Project, key: str, said: Length, at: Cursor) -> list[str]:
    level = level_of(key)
    if key.startswith("liked.") and ".width." in key:
        return _doubled(project, key, said)
    if key.startswith("round.pinch."):
        verb = "off" if said.mm > 0 else "let out"
        return [f"{say_both(2 * abs(said.mm), project.length_unit)} {verb} round the leg"]
    design = chosen_design(project, at)
    if key.startswith("design.take_in."):
        return _take_in(project, level, said, at) + _replaced(design, "width", level)
    if key.startswith("design.width."):
        return _width(project, level, said, at) + _replaced(design, "take_in", level)
    return []


def _sewn(project: Project, key: str, at: Cursor) -> list[str]:
    """Say that a design is changed that was tried on: what was sewn is then nowhere written."""
    number = number_at(project, at) if key.startswith(_SEWN) else None
    tried = number and not is_waiting(project, at)
    return [f"this changes what round {number} tried on"] if tried else []


def _holds(said: Length) -> bool:
    from legtaper.muslin.next_design import only_holds

    return only_holds(said)


def _doubled(project: Project, key: str, said: Length) -> list[str]:
    number = int(key.split(".")[1])
    flat = number >= len(project.liked) or project.liked[number].measured == "flat"
    return [f"{say_both(2 * said.mm, project.length_unit)} round the leg"] if flat else []


def _take_in(project: Project, level: str, said: Length, at: Cursor) -> list[str]:
    unit = project.length_unit
    extras = _extras(chosen_design(project, at), level)
    off = 4 * said.mm + 2 * extras
    block = standing(project, at).block
    if block is not None and level in block.widths:
        now = block.widths[level] - off
        return [f"comes to {say_both(now, unit)} round the leg", f"{say_both(off, unit)} off"]
    return [f"{say_both(off, unit)} off round the leg"]


def _width(project: Project, level: str, said: Length, at: Cursor) -> list[str]:
    from legtaper.leg.widths import take_in_for

    block, unit = standing(project, at).block, project.length_unit
    if block is None or level not in block.widths:
        return []
    has = block.widths[level]
    take_in = take_in_for(has, said.mm, _extras(chosen_design(project, at), level))
    if take_in < -1e-9:
        return [
            f"the block is already narrower there, {say_length(has, unit)}; the edges stay, "
            "as a taper never lets out"
        ]
    each, off = say_both(take_in, unit), say_both(has - said.mm, unit)
    return [f"{each} off each edge", f"{off} off round the leg"]


def _extras(design: Design | None, level: str) -> float:
    """Return the sum of what each seam gives at a level on both its edges besides, mm."""
    if design is None:
        return 0.0
    return sum(lengths[level].mm for lengths in design.extra.values() if level in lengths)


def _replaced(design: Design | None, part: str, level: str) -> list[str]:
    """Say that the other way of asking at this level goes."""
    other: Length | None = getattr(design, part).get(level) if design else None
    if other is None:
        return []
    words = "finished width" if part == "width" else "take-in"
    return [f"replaces the {words} of {other.text}"]
