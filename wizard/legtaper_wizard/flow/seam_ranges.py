"""Between which heights a seam may blend, and how long its curve may be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from legtaper.model.project import SeamName

if TYPE_CHECKING:
    from legtaper.geometry.seam import TruedSeam
    from legtaper.pattern import Fit


def blend_range(fit: Fit, seam: SeamName) -> tuple[float, float]:
    """Return between which heights a seam may blend, mm: above the first, up to the second.

    A curve that was asked for needs room below the blend.
    """
    low, curve = fit.taper.last_asked(seam), fit.design.curve.get(seam)
    if curve is not None:
        low = max(curve.mm, low + curve.mm / 2)
    return low, fit.block.blend_top(seam)


def curve_range(fit: Fit, seam: SeamName) -> tuple[float, float]:
    """Return how long the curve of a seam may be, mm: more than the first, up to the second."""
    from legtaper.geometry.seam import longest_curve

    return 0.0, longest_curve(fit.taper.last_asked(seam), seam_line(fit, seam).blend)


def seam_line(fit: Fit, seam: SeamName) -> TruedSeam:
    """Return the new seam that stands for both its edges: they blend alike."""
    return fit.taper.seams["front_outseam" if seam == "outseam" else "front_inseam"]
