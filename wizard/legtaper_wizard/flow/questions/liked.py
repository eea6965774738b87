"""The questions about a garment whose legs she likes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, cast

from legtaper.model.lengths import Length, LengthError, parse_length
from legtaper.model.levels import say_level
from legtaper.model.project import PANELS, Liked, Project
from legtaper.model.said_lengths import say_around
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.questions.fabric import (
    MOST_LIKELY,
    PERCENT,
    crosswise,
    no_stretch,
    usable,
)
from legtaper_wizard.flow.questions.flat import flat_slip
from legtaper_wizard.flow.questions.path import with_entry
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.shapes import AnswerError, Rule

FLAT = r"""
           _______________
          |       :       |
    knee  |<------:------>|   laid flat: seam to seam, straight across,
          |       :       |   square to the crease; it is doubled here.
           |      :      |
    hem    |<-----:----->|
            inseam  outseam
"""

_BLANK = Liked("")
_WIDTH = Rule("length", at_most=2000)
_LIKELY = (60.0, 1000.0)
"""Between which bounds a width of a leg or a panel lies, mm: common practice."""


def _number(at: At) -> int:
    return int(at.parts["number"])


def _part(at: At) -> str:
    return at.key.split(".")[2]


def _get(project: Project, at: At) -> object:
    if _number(at) >= len(project.liked):
        return None
    found = getattr(project.liked[_number(at)], _part(at))
    return found.get(at.level) if isinstance(found, Mapping) else found


def _put(project: Project, at: At, said: object) -> Project:
    number, part, garments = _number(at), _part(at), list(project.liked)
    unnamed = f"garment {number + 1}"
    if number > len(garments):
        problem = f"there are {len(garments)} liked garments; add one first"
        raise AnswerError(at.key, problem)
    if number == len(garments):
        if not said:
            return project
        garments.append(Liked(unnamed))
    new: Any = said
    if part == "garment":
        new = said or unnamed
    elif at.level:
        new = with_entry(getattr(garments[number], part), at.level, said)
    elif said is None:
        new = getattr(_BLANK, part)
    garments[number] = replace(garments[number], **{part: new})
    return replace(project, liked=tuple(garments))


def _doubled(project: Project, at: At, said: object) -> Iterator[str]:
    number = _number(at)
    flat = number >= len(project.liked) or project.liked[number].measured == "flat"
    if flat:
        whole = say_around(2 * cast(Length, said).mm, project.length_unit, exact=True)
        yield f"{whole} around the leg"


_LEAST, _APART = _LIKELY[0], 2.0
"""No panel of a leg is narrower, mm, and none twice as wide as the other (common practice)."""


_UNPARTED = re.compile(r"\d{1,3}(?:[.,]\d+)? +\d{1,3}(?:[.,]\d+)?", re.ASCII)
"""Two bare numbers; with a fraction behind the first they may be one length."""


def _front_and_back(project: Project, at: At, text: str) -> Mapping[str, str]:
    """Return the widths of both panels that one text gives: "17 / 19", the front first.

    As a fraction of an inch it would be narrower than any leg. Raises `AnswerError` where nothing
    parts the two.
    """
    if _UNPARTED.fullmatch(text):
        shown = " / ".join(text.split())
        raise AnswerError(at.key, f"write one width, or the front / the back, as in {shown}")
    for slash in re.finditer("/", text):
        both = text[: slash.start()].strip(), text[slash.end() :].strip()
        try:
            front, back = (parse_length(one, project.length_unit).mm for one in both)
        except LengthError:
            continue
        if min(front, back) >= _LEAST and max(front, back) <= _APART * min(front, back):
            start = f"liked.{_number(at)}"
            panels = {f"{start}.{panel}_width.{at.level}": one
                      for panel, one in zip(PANELS, both, strict=True)}  # fmt: skip
            return {at.key: "", **panels} if at.key not in panels else panels
    return {}


_AROUND = 0.6
"""A liked leg that is this share of the block's whole leg, laid flat, was hardly measured flat:
doubled it would be a fifth wider than legs found too wide (common practice)."""


def _around_slips(project: Project, at: At, said: object) -> Iterator[str]:
    """Ask about a flat width that is likely to be one all the way around, and the other way."""
    liked, block = project.liked[_number(at)], standing(project, at.cursor).block
    if liked.measured != "flat":
        yield from flat_slip(project, at, cast(Length, said))
        return
    if block is None or at.level not in block.widths:
        return
    width, has = cast(Length, said).mm, block.widths[at.level]
    if width > _AROUND * has:
        unit, level = project.length_unit, say_level(at.level)
        yield (
            f"Doubled, the {level} is {say_around(2 * width, unit)} around, and the block has "
            f"{say_around(has, unit)}. Was it measured all the way around?"
        )


def _flat(_: Project, __: At) -> str:
    return "flat"


GARMENT = Question(
    key="liked.{number}.garment",
    label="Garment",
    how="What you call it, such as Gray corduroys.",
    rule=Rule("text", at_most=80),
    get=_get,
    put=_put,
)
MEASURED = Question(
    key="liked.{number}.measured",
    label="Measured",
    how="A whole leg measured flat is doubled here.",
    rule=Rule("choice", (("flat", "flat: from seam to seam"), ("round", "all the way around"))),
    usual=_flat,
    get=_get,
    put=_put,
)
STRETCH = Question(
    key="liked.{number}.stretch_percent",
    label="Its stretch, percent",
    how="Crosswise: the gain over the length at rest. 0 for firm fabric.",
    rule=PERCENT,
    if_skipped="its fabric counts as firm",
    usual=no_stretch,
    get=_get,
    put=_put,
    says=crosswise,
    preview=usable,
    likely=MOST_LIKELY,
)
WIDTH = Question(
    key="liked.{number}.width.{level}",
    label="Width at the {level}",
    how="At the {level}, square to the crease, as chosen above; or the front / the back.",
    rule=_WIDTH,
    likely=_LIKELY,
    parts=_front_and_back,
    get=_get,
    put=_put,
    preview=_doubled,
    slips=_around_slips,
    drawing=FLAT,
    down=True,
    group="whole leg",
)
FRONT_WIDTH = Question(
    key="liked.{number}.front_width.{level}",
    label="Front panel at the {level}",
    how="The front alone, from seam to seam; needs the back too.",
    rule=_WIDTH,
    likely=_LIKELY,
    parts=_front_and_back,
    get=_get,
    put=_put,
    drawing=FLAT,
    down=True,
    across=True,  # the back belongs to it
    group="front",
)
BACK_WIDTH = Question(
    key="liked.{number}.back_width.{level}",
    label="Back panel at the {level}",
    how="The back alone, from seam to seam; needs the front too.",
    rule=_WIDTH,
    likely=_LIKELY,
    get=_get,
    put=_put,
    drawing=FLAT,
    down=True,
    group="back",
)
QUESTIONS = (GARMENT, MEASURED, STRETCH, WIDTH, FRONT_WIDTH, BACK_WIDTH)
