"""Lengths of old and new seams against `scipy.integrate.quad`, piece by piece."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import sample
from scipy.integrate import quad

from legtaper.geometry.curves import Line, arc_length
from legtaper.model.project import EDGES


def _integral(line: Line, low: float, high: float) -> float:
    """Return the integral of sqrt(1 + slope^2), with a break wherever the formula changes."""
    ends = np.unique([low, *(y for y in line.knots if low < y < high), high])
    pieces = (
        quad(lambda y: float(np.hypot(1, line.slope(y))), a, b, epsabs=1e-10)[0]
        for a, b in pairwise(ends)
        if b - a > 1e-9
    )
    return float(sum(pieces))


DESIGNS = {
    "hem alone": sample.design(),
    "hem and knee": sample.wide(hem="13", knee="17"),
    "ruled": sample.design(style="straight", take_in=sample.lengths(hem="1")),
    "short curve": sample.design(curve=sample.lengths(outseam="1/2", inseam="1/2")),
}


@pytest.mark.parametrize("design", DESIGNS.values(), ids=DESIGNS)
@pytest.mark.parametrize("edge", EDGES)
def test_new_seams(design: Any, edge: Any) -> None:
    """The length of a new seam is its integral, to a thousandth of the 0.05 mm that is asked."""
    seam = sample.fitted(design).taper.seams[edge]
    top = float(seam.old.knots[-1])
    assert seam.length == pytest.approx(_integral(seam, 0, top), abs=5e-5)


@pytest.mark.parametrize("edge", EDGES)
@pytest.mark.parametrize("span", [(0.0, 1.0), (0.0, 0.37), (0.21, 0.83)])
def test_old_seams(edge: Any, span: tuple[float, float]) -> None:
    """So is that of an old seam, and of any part of it."""
    seam = sample.block().seams[edge]
    low, high = (share * float(seam.knots[-1]) for share in span)
    assert arc_length(seam, low, high) == pytest.approx(_integral(seam, low, high), abs=5e-5)
