"""The questions about the hem."""

from __future__ import annotations

from legtaper.model.lengths import from_mm
from legtaper.model.project import Project
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.shapes import Rule

FOLD_DRAWN = r"""
             \            /
              \   leg    /          The leg narrows towards its hem.
               \        /
      fold      |======|            Folded up here, the hem must lie on
               /        \           the wider leg above. So below the
              /   hem    \          fold it widens again: the mirror
             /____________\         image of the leg.
"""


def _single(_: Project, __: At) -> str:
    return "single"


def _usual_depth(project: Project, _: At) -> str:
    from legtaper.leg.hem import DEPTH

    return from_mm(DEPTH[project.length_unit], project.length_unit).text


def _usual_turn_under(project: Project, _: At) -> str:
    from legtaper.leg.hem import TURN_UNDER

    return from_mm(TURN_UNDER[project.length_unit], project.length_unit).text


STYLE = Question(
    key="design.hem.style",
    label="Hem style",
    how="How the hem is finished.",
    rule=Rule(
        "choice",
        (
            ("single", "single: folded up once"),
            ("double", "double: folded up, edge turned under"),
            ("faced", "faced: a separate facing"),
        ),
    ),
    usual=_single,
)
DEPTH = Question(
    key="design.hem.depth",
    label="Hem depth",
    how="From the fold to the upper edge of the hem.",
    rule=Rule("length", at_most=500),
    if_skipped="the usual depth serves",
    usual=_usual_depth,
)
TURN_UNDER = Question(
    key="design.hem.turn_under",
    label="Turn under",
    how="What is turned under at the raw edge.",
    rule=Rule("length", at_most=500),
    if_skipped="the usual depth serves",
    usual=_usual_turn_under,
)
QUESTIONS = (STYLE, DEPTH, TURN_UNDER)
