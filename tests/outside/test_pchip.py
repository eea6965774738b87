"""The seam through measured levels against `scipy.interpolate.PchipInterpolator`.

Both are the monotone cubic of F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984).
"""

from __future__ import annotations

import numpy as np
import pytest
import sample
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from legtaper.geometry.curves import MonotoneCubic
from legtaper.model.project import EDGES

_levels = st.lists(st.tuples(st.floats(1, 400), st.floats(-200, 400)), min_size=2, max_size=8)


@settings(max_examples=100)
@given(_levels)
def test_any_levels(levels: list[tuple[float, float]]) -> None:
    """Values and slopes agree over the whole seam, with two levels or eight, rising or falling."""
    gaps, reaches = np.array(levels).T
    heights = np.cumsum(gaps)
    ours, theirs = MonotoneCubic.through(heights, reaches), PchipInterpolator(heights, reaches)
    y = np.linspace(heights[0], heights[-1], 200)
    assert ours.at(y) == pytest.approx(theirs(y), abs=1e-8)
    inside = y[~np.isin(y, heights)]
    assert ours.slope(inside) == pytest.approx(theirs.derivative()(inside), abs=1e-8, rel=1e-6)


@pytest.mark.parametrize("edge", EDGES)
def test_the_seams_of_the_sample_block(edge: str) -> None:
    """Through the levels that were measured, the one at the calf left out."""
    block = sample.block()
    measured = {level: sample.length(said).mm for level, said in sample.REACHES[edge].items()}
    heights = [block.heights[level] for level in measured]
    theirs = PchipInterpolator(heights, list(measured.values()))
    y = np.linspace(0, heights[-1], 300)
    assert block.seams[edge].at(y) == pytest.approx(theirs(y), abs=1e-9)  # type: ignore[index]
