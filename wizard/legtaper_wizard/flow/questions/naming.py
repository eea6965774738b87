"""The questions about the project itself."""

from __future__ import annotations

from legtaper.model.project import Project
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.shapes import Rule


def _inches(_: Project, __: At) -> str:
    return "in"


NAME = Question(
    key="name",
    label="Name of the project",
    how="A few words, such as Courier trousers.",
    rule=Rule("text", at_most=80),
    if_skipped="the project has no name",
)
UNIT = Question(
    key="length_unit",
    label="Unit",
    how="What lengths are shown in, and what a bare number means.",
    rule=Rule("choice", (("in", "inches"), ("cm", "centimeters"))),
    usual=_inches,
)
QUESTIONS = (NAME, UNIT)
