"""The questions of the block's table: heights of levels, and reaches from the grainline."""

from __future__ import annotations

from legtaper.model.project import Project
from legtaper_wizard.flow.answer_parser import Answer, read
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
          |<---->:<------>|             grainline to each stitching line.
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


LABEL = Question(
    key="block.label",
    label="Block label",
    how="What is written on the paper, to know it by.",
    rule=Rule("text", at_most=80),
)
HEM_HEIGHT = Question(
    key="block.height.hem",
    label="Height of the hem",
    how="Up the grainline from the finished hem to the hem line.",
    rule=Rule("length", at_most=0.0, zero=True),
    if_skipped="the hem level is placed at a usual height and marked as estimated",
    level="hem",
    drawing=LEVELS_DRAWN,
    group="height",
)
HEIGHT = Question(
    key="block.height.{level}",
    label="Height of the {level}",
    how="Up the grainline from the finished hem to the {level} line.",
    rule=Rule("length", at_most=2000),
    if_skipped="the {level} level is placed at a usual height and marked as estimated",
    drawing=LEVELS_DRAWN,
    group="height",
)
REACH = Question(
    key="block.{panel}.{seam}.{level}",
    label="{panel} {seam} at the {level}",
    how="From the grainline square across to the {seam} stitching line of the {panel}.",
    rule=_REACH,
    if_skipped="the seam is drawn through the levels beside it",
    often="Measure to the stitching line, not to the cut edge.",
    path="block.reach.{panel}_{seam}.{level}",
    read=_read_reach,
    drawing=LEVELS_DRAWN,
    group="{panel} {seam}",
)
QUESTIONS = (LABEL, HEM_HEIGHT, HEIGHT, REACH)
