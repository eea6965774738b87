"""The arrow keys: a blend or a curve moved by one step, within what the block allows."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from legtaper.model.lengths import Length, from_mm, say_length
from legtaper.model.project import Project, SeamName, Unit
from legtaper_wizard.flow.answers import answer
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.questions import find
from legtaper_wizard.flow.seam_ranges import blend_range, curve_range, seam_line
from legtaper_wizard.flow.shapes import LAST, AnswerError, Cursor

if TYPE_CHECKING:
    from legtaper.pattern import Fit

_STEPS = {"in": (6.35, 3.175), "cm": (5.0, 1.0)}
"""What one step moves, mm: usual and fine."""
AT_THE_END = "It is at the end of its range and stays."
_HAIR = 1e-6  # mm


def nudge(project: Project, key: str, steps: int, fine: bool = False, at: Cursor = LAST) -> Project:
    """Return the project with a blend or a curve moved by so many steps of 1/4 in or 5 mm.

    Fine steps are 1/8 in or 1 mm. It lands on whole steps and stops at the ends of the range, as
    `shows` then says; a value that was left behind comes back into the range. Raises
    `AnswerError` where there is nothing to move.
    """
    fit, seam = _movable(project, key, at)
    low, high = _range(fit, seam, key)
    now = _now(project, key, at) or _usual(fit, seam, key)
    step = _STEPS[project.length_unit][fine]
    sign = math.copysign(1, steps)
    whole = (math.floor if steps > 0 else math.ceil)(now / step + sign * _HAIR) + steps
    mm = min(max(whole * step, low), high)
    if not steps or high < low or abs(mm - now) < _HAIR:
        return project
    return answer(project, key, from_mm(mm, project.length_unit).text, at)


def step_said(unit: Unit) -> str:
    """Say how far one usual step moves a blend or a curve."""
    return say_length(_STEPS[unit][0], unit)


def _now(project: Project, key: str, at: Cursor) -> float | None:
    question = find(key, at)
    said = question.get(project) if question else None
    return said.mm if isinstance(said, Length) else None


def _usual(fit: Fit, seam: SeamName, key: str) -> float:
    return seam_line(fit, seam).curve if key.endswith("_curve") else seam_line(fit, seam).blend


def _movable(project: Project, key: str, at: Cursor) -> tuple[Fit, SeamName]:
    """Return the fit and the seam, as if a value out of its range had not been given."""
    found = standing(project, at)
    if found.fit_problem and found.fit_problem.key == key:
        found = standing(answer(project, key, "", at), at)
    fit = found.fit
    if fit is None:
        raise AnswerError(key, "there is nothing to move yet; the steps before wait for answers")
    question = find(key, at)
    if question is None or not question.question.moves:
        raise AnswerError(key, "only a blend or a curve can be moved with the arrow keys")
    seam: SeamName = "outseam" if "outseam" in key else "inseam"
    if seam_line(fit, seam).eased is None:
        raise AnswerError(key, f"the {seam} stays as it is, so there is nothing to move")
    return fit, seam


def _range(fit: Fit, seam: SeamName, key: str) -> tuple[float, float]:
    """Return the range of a nudge, mm, the lower end one fine step inside."""
    low, high = (curve_range if key.endswith("_curve") else blend_range)(fit, seam)
    fine = _STEPS[fit.project.length_unit][1]
    return (math.floor(low / fine + _HAIR) + 1) * fine, high
