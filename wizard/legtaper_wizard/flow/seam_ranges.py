"""Between which heights a seam may blend, and how long its curve may be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from legtaper.model.project import SeamName

if TYPE_CHECKING:
    from legtaper.geometry.seam import TruedSeam
    from legtaper.pattern import Fit


def blend_range(fit: Fit, seam: SeamName) -> tuple[float, float]:
    """Return between which heights a seam may blend, mm: above the first, up to the second.

    Where a ruled seam fits nowhere, every height may be tried.
    """
    from legtaper.leg.taper import blend_range

    low = fit.taper.last_asked(seam)
    return blend_range(fit.taper, seam) or (low, fit.block.blend_top(seam))


def curve_range(fit: Fit, seam: SeamName) -> tuple[float, float]:
    """Return how long the curve of a seam may be, mm: more than the first, up to the second."""
    from legtaper.leg.taper import curve_range

    return curve_range(fit.taper, seam)


def seam_line(fit: Fit, seam: SeamName) -> TruedSeam:
    """Return the new seam that stands for both its edges: they blend alike."""
    return fit.taper.seams["front_outseam" if seam == "outseam" else "front_inseam"]
