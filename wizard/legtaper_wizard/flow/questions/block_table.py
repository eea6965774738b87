"""The questions of the block's table: heights of levels, and reaches from the grainline."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from legtaper.model.lengths import Length
from legtaper.model.levels import LEVELS, say_level
from legtaper.model.project import PANELS, SEAMS, Edge, Project
from legtaper.model.sentences import listed
from legtaper_wizard.flow.answer_parser import Answer, read
from legtaper_wizard.flow.questions.odd_block import odd_numbers
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.shapes import AnswerError, Rule

LEVELS_DRAWN = r"""
                  waist
         ________________________
        |        :        |      \
  hip   |--------+--------|-------|     Draw the grainline down the panel,
        |        :                 \    then a line square across it at
 crotch |--------+------------------|   each level.
         \       :                 /
  knee    |------+--------|             At a level, measure from the
          |<---->:<------>|             grainline to each seam line.
          |      :        |
  hem     |______:________|             The hem line is height 0; heights
     outseam  grainline  inseam         run up the grainline.
"""

_REACH = Rule("length", at_most=1000)


def _read_reach(project: Project, at: At, text: str) -> Answer:
    said = read(at.key, _REACH, text, project.length_unit)
    if at.parts["seam"] == "inseam" and at.level in ("hip", "high_hip"):
        raise AnswerError(at.key, "an inseam ends at the crotch; leave this out")
    return said


_HALF_PANEL = 0.3
"""A seam is hardly further from the grainline than this share of the hip: half a panel of a
drafted block has at most 0.22 of it (common practice)."""


def _odd(project: Project, at: At, said: object) -> Iterator[str]:
    """Ask about a number that does not go with the body or with those beside it."""
    hip = project.wearer.hip
    if hip and isinstance(said, Length) and said.mm > _HALF_PANEL * hip.mm:
        panel = at.parts["panel"]
        yield (
            f"{said.text} from the grainline is a lot for a hip of {hip.text}. Is it the whole "
            f"{panel}? Measure from the grainline to one seam."
        )
    yield from (note.text for note in odd_numbers(project) if note.key == at.key)


def _odd_height(project: Project, at: At, said: object) -> Iterator[str]:
    """Ask about a height that is not below that of higher levels, else about an unusual one."""
    if isinstance(said, Length) and at.level in LEVELS:
        height, above = project.block.height, LEVELS[LEVELS.index(at.level) + 1 :]
        if low := [level for level in above if level in height and height[level].mm <= said.mm]:
            which = listed([f"the {say_level(one)}, at {height[one].text}" for one in low])
            yield (
                f"{say_level(at.level).capitalize()} height: {said.text} is not below {which}. "
                "Is it measured right?"
            )
            return
    yield from (note.text for note in odd_numbers(project) if note.key == at.key)


def _row(project: Project, at: At) -> tuple[str, ...]:
    """Return the keys of a row from a cell on, towards the right of the table."""
    crotch, height = project.block.height.get("crotch"), project.block.height.get(at.level)
    over = at.level in ("hip", "high_hip") or (crotch and height and height.mm > crotch.mm)
    seams = [seam for seam in SEAMS if seam == "outseam" or not over]
    cells = [f"block.{panel}.{seam}.{at.level}" for panel in PANELS for seam in seams]
    keys = (f"block.height.{at.level}", *cells)
    return keys[keys.index(at.key) :] if at.key in keys else ()


def _as_outseam(project: Project, at: At) -> str:
    """Return what an inseam usually is: as far from the grainline as its outseam, up to the knee.

    The grainline runs down the middle of the leg there (common practice).
    """
    if at.parts["seam"] != "inseam" or at.level not in _EVEN:
        return ""
    outseam = project.block.reach.get(cast(Edge, f"{at.parts['panel']}_outseam"), {})
    return outseam[at.level].text if at.level in outseam else ""


_EVEN = ("hem", "calf", "knee")
"""Levels at which inseam and outseam usually lie evenly beside the grainline."""

LABEL = Question(
    key="block.label",
    label="Block label",
    how="What is written on the paper, to know it by.",
    rule=Rule("text", at_most=80),
)
HEM_HEIGHT = Question(
    key="block.height.hem",
    label="Hem height",
    how="Up the grainline from the finished hem to the hem line.",
    rule=Rule("length", at_most=0.0, zero=True),
    if_skipped="the hem level is placed at a usual height and marked as estimated",
    level="hem",
    drawing=LEVELS_DRAWN,
    group="height",
)
HEIGHT = Question(
    key="block.height.{level}",
    label="{level} height",
    how="Up the grainline from the finished hem to the {level} line.",
    rule=Rule("length", at_most=2000),
    slips=_odd_height,
    row=_row,
    if_skipped="the {level} level is placed at a usual height and marked as estimated",
    drawing=LEVELS_DRAWN,
    group="height",
)
REACH = Question(
    key="block.{panel}.{seam}.{level}",
    label="{panel} {seam} at the {level}",
    how="From the grainline square across to the {seam} seam line of the {panel}.",
    rule=_REACH,
    if_skipped="the seam is drawn through the levels beside it",
    often="Measure to the seam line, not to the cut edge.",
    path="block.reach.{panel}_{seam}.{level}",
    usual=_as_outseam,
    keeps_usual=True,
    usual_is="as its outseam",
    likely=(20.0, 350.0),  # mm: common practice
    slips=_odd,
    row=_row,
    read=_read_reach,
    drawing=LEVELS_DRAWN,
    group="{panel} {seam}",
)
BACK_CROTCH = Question(
    key="block.back.height.crotch",
    label="Back crotch point, height",
    how="Where the back has its crotch point lower than the front: its own height above the hem.",
    rule=Rule("length", at_most=2000),
    if_skipped="front and back have the crotch point at one height",
    path="block.panel_height.back.crotch",
    drawing=LEVELS_DRAWN,
)
QUESTIONS = (LABEL, HEM_HEIGHT, HEIGHT, REACH, BACK_CROTCH)
