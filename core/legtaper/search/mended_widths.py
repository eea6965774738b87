"""Which hem widths would work with one change, where none does as the design is."""

from __future__ import annotations

from itertools import islice

from legtaper.checks.base import Status
from legtaper.pattern import Fit, cut, fit_design
from legtaper.remedies.changes import changed
from legtaper.remedies.mend import Mend, mendings
from legtaper.search.hem_widths import HemWidths, hem_widths, sentence

_TRIED = 4  # changes that are looked at


def widths_with_a_mend(fitted: Fit, found: HemWidths) -> tuple[Mend, HemWidths] | None:
    """Return the best change with which some hem widths work, and which do.

    found: the widths of the design as it is. `None` where some work already, or none with any of
    the changes that mend what fails.
    """
    if any(how != "no" for how, *_ in found.spans):
        return None
    failing: tuple[Status, ...] = ("fail",)
    offered = (mend for one in mendings(cut(fitted), failing) for mend in one.mends)
    for mend in islice(offered, _TRIED):
        design = changed(fitted.design, mend.set, fitted.project.length_unit)
        widths = hem_widths(fit_design(fitted.project, design, fitted.block))
        if any(how != "no" for how, *_ in widths.spans):
            return mend, widths
    return None


def full_sentence(fitted: Fit, found: HemWidths) -> str:
    """Say which widths work; where none does, the change with which some do."""
    mended = widths_with_a_mend(fitted, found)
    if mended is None:
        return sentence(found)
    mend, widths = mended
    return (
        f"{sentence(found)} With one change some do; mend lists it as number {mend.number}. "
        f"{mend.says} {sentence(widths)}"
    )
