"""The question about a slit, for a foot that the hem does not pass."""

from __future__ import annotations

from legtaper.model.project import Project
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.shapes import Rule

SLIT_DRAWN = r"""
          |            |
          |            |
          |            |        The slit reaches up to where the leg
          |            | <--    is as wide as the foot needs.
           |          /:
           |         / :
      hem  |________/  :  outseam, open below the arrow
"""


def _auto(_: Project, __: At) -> str:
    return "auto"


SLIT = Question(
    key="design.slit.height",
    label="Slit at the outseam",
    how="auto makes it as high as the foot needs, none leaves it out; or type a height above the "
    "hem.",
    rule=Rule("length", (("auto", "as the foot needs"), ("none", "no slit")), at_most=1500),
    path="design.slit",
    usual=_auto,
    drawing=SLIT_DRAWN,
)
QUESTIONS = (SLIT,)
