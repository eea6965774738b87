"""The step in which it is said how high the new seams blend."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from legtaper.model.lengths import say_length
from legtaper.model.levels import ABOVE_HEM
from legtaper.model.project import SEAMS, Project, SeamName
from legtaper.model.said_lengths import say_around, say_both
from legtaper.model.sentences import listed
from legtaper_wizard.flow.questions.blend import BLEND, BLEND_DRAWN, CURVE, POCKET, STYLE
from legtaper_wizard.flow.seam_ranges import blend_range, curve_range, seam_line
from legtaper_wizard.flow.shapes import Field, Note, StepState
from legtaper_wizard.flow.steps.narrowing_step import width_line
from legtaper_wizard.flow.steps.step import DONE, Step, Work, reason_notes, still_open, trouble

if TYPE_CHECKING:
    from legtaper.pattern import Fit


def _asks(work: Work) -> Iterator[Field]:
    yield from (work.ask(BLEND, seam=seam) for seam in SEAMS)
    yield work.ask(STYLE)
    yield from (work.ask(CURVE, seam=seam) for seam in SEAMS)
    yield work.ask(POCKET)


def _notes(work: Work, found: StepState) -> Iterator[Note]:
    fit = work.fit
    if fit is None:
        yield from reason_notes(work, found)
        return
    for level in ABOVE_HEM:
        if level in fit.taper.finished:  # a leg may end above it
            yield Note("number", width_line(fit, level))
    for seam in SEAMS:
        yield from _range(fit, seam)
    yield from _styles(fit)


def _styles(fit: Fit) -> Iterator[Note]:
    """Say how wide each style leaves the leg, where both can be made."""
    from legtaper.leg.taper import widths_by_style

    unit = fit.project.length_unit
    found = widths_by_style(fit.block, fit.design, unit)
    says = [
        f"{style} {' and '.join(say_around(mm, unit) for mm in widths.values())}"
        for style, widths in found.items()
    ]
    levels = listed([*dict.fromkeys(level for widths in found.values() for level in widths)])
    if len(says) > 1 and levels:
        yield Note("number", f"{levels.capitalize()}: {'; '.join(says)}.", STYLE.key)


def _range(fit: Fit, seam: SeamName) -> Iterator[Note]:
    unit, trued = fit.project.length_unit, seam_line(fit, seam)
    if trued.eased is None:
        return
    low, high = blend_range(fit, seam)
    longest = curve_range(fit, seam)[1]
    yield Note(
        "number",
        f"{seam.capitalize()}: blends at {say_both(trued.blend, unit)}, can be above "
        f"{say_length(low, unit)} and up to {say_length(high, unit)}; the curve is "
        f"{say_length(trued.curve, unit)} long, at most {say_length(longest, unit)}.",
        f"design.blend.{seam}",
    )
    if abs(trued.blend - high) < 1e-3:
        yield Note("info", f"The {seam} cannot blend higher than this.", f"design.blend.{seam}")


def _status(work: Work) -> StepState:
    if found := trouble(work, "design.blend"):
        return found
    design = work.design
    if design is None or work.passed:
        return DONE
    if not (design.blend or design.curve):
        return still_open("where the seams blend is not settled; the usual heights are used")
    usual = [seam for seam in SEAMS if seam not in design.blend]
    if usual:  # one answer settles the step, as the other seam needs none
        blends = "blends at the usual height" if len(usual) == 1 else "blend at usual heights"
        return StepState("done", (f"{' and '.join(usual)} {blends}",))
    return DONE


def _answered(project: Project) -> bool:
    return any(design.blend or design.curve for design in project.designs)


STEP = Step(
    id="blend",
    title="How high it blends",
    short="Blend",
    why="The new seam runs into the old one at the blend. A higher blend or a shorter curve takes "
    "more out of the thigh; a lower one leaves the thigh as it is.",
    help=(
        "The outseam may blend as high as the level the trousers hang from, the inseam as "
        "high as the crotch point. Both must blend above the highest level you asked for.",
        'The style "follow" keeps the character of the old seam: in the middle of a plain hem '
        "taper it lies [3/16 to 1/4 in|0.4 to 0.7 cm] off a ruled line, more on a very wide block. "
        'The style "straight" is what a yardstick draws, where that stays inside the old seam.',
    ),
    asks=_asks,
    notes=_notes,
    status=_status,
    answered=_answered,
    drawing=BLEND_DRAWN,
    picture="panels",
    widths="above the hem",
    usual_counts=True,
)
