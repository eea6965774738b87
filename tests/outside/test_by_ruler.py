"""A taper drafted by hand, with a yardstick and arithmetic, against the program.

No source but similar triangles and Pythagoras. The paper: a leg with straight upright seams, all
four 4 1/2 in from the grainline, 18 in round; crotch 34 in and hip 40 in above the hem. Wanted:
1 in off each edge at the hem, both seams running into the old ones at 32 in over a curve of 8 in.

By hand: mark 1 in inside the old seam at the hem. The curve of 8 in that ends at 32 in has its
corner in the middle, at 28 in: mark that on the old seam. Lay the yardstick from mark to mark. What
it takes off shrinks by 1/28 in for each inch up:

    up from the hem   0      7      14     21     24
    comes in          1      3/4    1/2    1/4    4/28 = 1/7

From 24 in to 32 in draw the curve. A parabola that touches both lines passes halfway between its
corner and the middle of the chord. At 28 in the chord, from 1/7 at 24 in to 0 at 32 in, comes in
1/14; the corner 0; so the curve comes in 1/28. At 26 and 30 in, a quarter of the way from either
end, it is off its tangent by a quarter of that: at 30 in from the old seam 1/112, and at 26 in from
the ruled line, which comes in 2/28 there, 1/112 more: 9/112.
"""

from __future__ import annotations

import math

import pytest
import sample

from legtaper.model.project import EDGES
from legtaper.pattern import Fit, build

IN = 25.4
HEIGHTS = {"hem": "0", "calf": "10", "knee": "14", "thigh": "33", "crotch": "34", "hip": "40"}
UPRIGHT = {
    edge: {"hem": "4 1/2", ("crotch" if edge.endswith("inseam") else "hip"): "4 1/2"}
    for edge in EDGES
}
BY_RULER = {
    0: 1, 7: 3 / 4, 14: 1 / 2, 21: 1 / 4, 24: 1 / 7, 26: 9 / 112, 28: 1 / 28, 30: 1 / 112, 32: 0,
    33: 0,
}  # fmt: skip


@pytest.fixture(scope="module")
def drafted() -> Fit:
    """Return the program's taper of that leg, with a single hem of 1 1/2 in."""
    design = sample.design(
        take_in=sample.lengths(hem="1"),
        blend=sample.lengths(outseam="32", inseam="32"),
        curve=sample.lengths(outseam="8", inseam="8"),
        hem=sample.hem(depth="1 1/2"),
    )
    return sample.fitted(design, block=sample.table(HEIGHTS, UPRIGHT))


@pytest.mark.parametrize("up", BY_RULER)
def test_what_comes_in(drafted: Fit, up: int) -> None:
    """At every inch marked above, on every edge."""
    for edge in EDGES:
        assert float(drafted.taper.take_in(edge, up * IN)) == pytest.approx(BY_RULER[up] * IN)


def test_round_the_leg(drafted: Fit) -> None:
    """18 in less four times what comes in: 14 in at the hem, 16 in at the knee."""
    assert drafted.taper.finished["hem"] == pytest.approx(14 * IN)
    assert drafted.taper.finished["knee"] == pytest.approx(16 * IN)


def test_the_length_of_the_ruled_part(drafted: Fit) -> None:
    """24 in up and 1 - 1/7 in across: 24.0153 in by Pythagoras; then the curve, then 2 in upright.

    The curve rises 8 in and goes across 1/7 in, its slope falling evenly from 1/28 to 0: longer
    than upright by a sixth of 8 in times the square of 1/28.
    """
    ruled = math.hypot(24, 6 / 7)
    curve = 8 + 8 * (1 / 28) ** 2 / 6
    assert drafted.taper.lengths["front_inseam"] / IN == pytest.approx(ruled + curve + 2, abs=1e-5)


def test_the_fold_up(drafted: Fit) -> None:
    """1 1/2 in up, 1.5/28 in less comes in: the cut edge is twice 3.5 + 1.5/28 in, 7.107 in."""
    panel = build(drafted.project).narrowed["front"]
    assert panel.shape.cut_edge / IN == pytest.approx(2 * (3.5 + 1.5 / 28), abs=1e-4)


def test_the_slit(drafted: Fit) -> None:
    """A foot of 15 in: 1 in more round is 1/4 in on each edge, which the rule gives at 7 in."""
    wearer = sample.wearer(foot_entry="15")
    slit = sample.fitted(drafted.design, block=drafted.project.block, wearer=wearer).slit
    assert slit.lowest == pytest.approx(7 * IN, abs=1e-3)
