"""The questions about seam allowances."""

from __future__ import annotations

from legtaper.model.lengths import from_mm
from legtaper.model.project import Project
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.shapes import Rule

SEAM_DRAWN = r"""
          :       |
          :       |         the seam line is drawn; the cut line
      cut :<----->| seam     is outside it by the allowance
          :       |
          :_______|______
                 hem
"""

_ALLOWANCE = Rule("length", at_most=101.6, zero=True)


def _usual_seam(project: Project, _: At) -> str:
    from legtaper.geometry.offset import SEAM

    return from_mm(SEAM[project.length_unit], project.length_unit).text


def _usual_edge(project: Project, at: At) -> str:
    from legtaper.geometry.offset import SEAM, SLIT

    unit, seam = project.length_unit, project.allowance.seam
    if at.parts["edge"] == "slit":
        return from_mm(max(seam.mm if seam else SEAM[unit], SLIT[unit]), unit).text
    return seam.text if seam else _usual_seam(project, at)


SEAM = Question(
    key="allowance.seam",
    label="Seam allowance",
    how="Outside the seam line, all edges.",
    rule=_ALLOWANCE,
    if_skipped="the usual one is used",
    usual=_usual_seam,
    drawing=SEAM_DRAWN,
)
EDGE = Question(
    key="allowance.{edge}",
    label="Allowance at the {edge}",
    how="Where this edge differs.",
    rule=_ALLOWANCE,
    if_skipped="the seam allowance is used",
    path="allowance.edges.{edge}",
    usual=_usual_edge,
    drawing=SEAM_DRAWN,
)
QUESTIONS = (SEAM, EDGE)
