"""The questions of how high the new seams blend, and in what style."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, cast

from legtaper.model.lengths import Length, from_mm, parse_length, say_length
from legtaper.model.project import Project, SeamName
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.seam_ranges import blend_range, seam_line
from legtaper_wizard.flow.shapes import Rule

if TYPE_CHECKING:
    from legtaper.pattern import Fit

BLEND_DRAWN = r"""
         |            above the blend: the old seam, as it was
         o            blend: the new seam leaves the old one
         |\
         | \          curve: it eases away, without a corner
         |  \
         |   \        below the curve: the line that was asked for
         |    |
      ---+----+---    hem
        old  new
"""


def _seam(at: At) -> SeamName:
    return cast(SeamName, at.parts["seam"])


def _usual_blend(project: Project, at: At) -> str:
    """Return where the seam blends unless told, as a length that can be recorded.

    It is rounded for reading, but not above what the block allows.
    """
    fit, seam = standing(project, at.cursor).fit, _seam(at)
    if fit is None:
        return ""
    if seam in fit.design.blend:
        return fit.design.blend[seam].text
    mm, unit = seam_line(fit, seam).blend, fit.project.length_unit
    rounded = say_length(mm, unit)
    return rounded if _in_range(fit, seam, rounded) else from_mm(mm, unit).text


def _in_range(fit: Fit, seam: SeamName, text: str) -> bool:
    mm = parse_length(text, fit.project.length_unit).mm
    low, high = blend_range(fit, seam)
    return low < mm <= high


def _usual_curve(project: Project, at: At) -> str:
    fit = standing(project, at.cursor).fit
    curve = seam_line(fit, _seam(at)).curve if fit else 0.0
    return say_length(curve, project.length_unit) if curve else ""


def _follow(_: Project, __: At) -> str:
    return "follow"


BLEND = Question(
    key="design.blend.{seam}",
    label="{seam} blends at",
    how="Height above the hem where the new {seam} meets the old one.",
    rule=Rule("length", at_most=2000),
    if_skipped="the usual height is used",
    usual=_usual_blend,
    keeps_usual=True,
    sewn=True,
    drawing=BLEND_DRAWN,
    moves=True,
    group="blend",
)
CURVE = Question(
    key="design.blend.{seam}_curve",
    label="Length of the {seam} curve",
    how="How far down from the blend it reaches.",
    rule=Rule("length", at_most=2000),
    if_skipped="half the way from the highest asked level to the blend; ruled straight, as long "
    "as stays inside the old seam",
    path="design.curve.{seam}",
    usual=_usual_curve,
    sewn=True,
    drawing=BLEND_DRAWN,
    moves=True,
    group="curve",
)
STYLE = Question(
    key="design.blend.style",
    label="Style",
    how="How the new seam runs below the blend.",
    rule=Rule(
        "choice",
        (
            ("follow", "follow: keeps the old seam's shape"),
            ("straight", "straight: ruled with a yardstick"),
        ),
    ),
    path="design.style",
    usual=_follow,
    sewn=True,
    drawing=BLEND_DRAWN,
)


def _over_pocket(project: Project, at: At, said: object) -> Iterator[str]:
    """Say whether the narrowing then runs across the pocket or zipper."""
    fit = standing(project, at.cursor).fit
    if fit is not None and isinstance(said, Length):
        blend = seam_line(fit, "outseam").blend
        over = "reaches it" if blend > said.mm + 1e-6 else "stays below it"
        yield f"the outseam blends at {say_length(blend, project.length_unit)}: narrowing {over}"


POCKET = Question(
    key="block.pocket_end",
    label="Pocket or zipper ends at",
    how="Of a side pocket or zipper: its lower end above the block's hem.",
    rule=Rule("length", at_most=2000),
    if_skipped="nothing is said of a pocket or zipper at the outseam",
    often="An outseam that blends above it is narrowed where the pocket opens.",
    preview=_over_pocket,
    drawing=BLEND_DRAWN,
)
QUESTIONS = (BLEND, CURVE, STYLE, POCKET)
