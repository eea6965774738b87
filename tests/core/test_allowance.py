from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import sample
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.geometry.offset import (
    allowance_widths,
    crosses_itself,
    mitre,
    offset_edge,
    to_line,
)
from legtaper.model.project import Allowance, ProjectError

UPRIGHT = np.array([(0.0, 0), (0, 50), (0, 100)])


@pytest.mark.parametrize(("unit", "seam", "slit"), [("in", 15.875, 25.4), ("cm", 15, 25)])
def test_allowances_that_were_not_given_are_the_usual(unit: Any, seam: float, slit: float) -> None:
    """5/8 in or 1.5 cm everywhere, and 1 in or 2.5 cm beside a slit."""
    widths = allowance_widths(Allowance(), unit)
    assert widths == {
        "outseam": seam, "inseam": seam, "waist": seam, "crotch": seam, "slit": slit,
    }  # fmt: skip


def test_each_edge_may_have_its_own() -> None:
    """A seam of 1 1/2 in widens the slit as well; an edge that is named goes its own way."""
    edges: Any = sample.lengths(inseam="1/4")
    widths = allowance_widths(Allowance(sample.length("1 1/2"), edges), "in")
    assert widths["inseam"] == pytest.approx(6.35)
    assert widths["outseam"] == widths["slit"] == pytest.approx(38.1)
    slit: Any = sample.lengths(slit="1/2")
    assert allowance_widths(Allowance(edges=slit), "in")["slit"] == pytest.approx(12.7)


@pytest.mark.parametrize(
    ("allowance", "key"),
    [
        (Allowance(sample.length("5")), "allowance.seam"),
        (Allowance(edges={"inseam": sample.length("5")}), "allowance.inseam"),
    ],
)
def test_what_cannot_be_an_allowance_is_refused_by_name(allowance: Allowance, key: str) -> None:
    """More than 10 cm is a slip of the pen."""
    with pytest.raises(ProjectError) as caught:
        allowance_widths(allowance, "in")
    assert caught.value.key == key


@pytest.mark.parametrize(("outward", "x"), [(1, 10), (-1, -10)])
def test_a_cut_line_lies_beside_its_edge(outward: int, x: float) -> None:
    """To the right of an upward edge for +1, to the left for -1, at the allowance's width."""
    beside = offset_edge(UPRIGHT, 10, outward)
    assert beside[:, 0] == pytest.approx(x)
    assert beside[0, 1] == pytest.approx(0)
    assert beside[-1, 1] == pytest.approx(100)


def test_without_an_allowance_the_cut_line_is_the_edge() -> None:
    """A width of 0 changes nothing."""
    assert offset_edge(UPRIGHT, 0, 1) is UPRIGHT


def test_corners_of_a_cut_line_are_mitred() -> None:
    """Round a corner of 90 degrees the cut line runs to a point, 10 mm off both edges."""
    corner = np.array([(0.0, 0), (0, 100), (-100, 100)])
    assert offset_edge(corner, 10, 1)[1] == pytest.approx((10, 110))


def test_a_cut_line_begins_on_the_hem_line() -> None:
    """One that starts below is cut off there, one that starts above is carried on."""
    start, end = (-100.0, 0.0), (100.0, 0.0)
    below = np.array([(10.0, -4), (12, 4), (12, 50)])
    assert to_line(below, start, end) == pytest.approx(np.array([(11, 0), (12, 4), (12, 50)]))
    above = np.array([(10.0, 2), (12, 6), (12, 50)])
    assert to_line(above, start, end) == pytest.approx(np.array([(9, 0), (12, 6), (12, 50)]))


def test_a_cut_line_begins_on_a_slanting_hem_line() -> None:
    """On the line from (-100, -10) to (100, 10) an upright edge at x = 20 begins at 2."""
    edge = np.array([(20.0, -5), (20, 20), (20, 50)])
    assert to_line(edge, (-100, -10), (100, 10))[0] == pytest.approx((20, 2))


def test_a_cut_line_that_lies_below_the_hem_line_stays() -> None:
    """Where no part of it lies above, there is nothing to cut off or carry on."""
    below = np.array([(10.0, -9), (10, -4), (10, 0)])
    assert to_line(below, (-100, 0), (100, 0)) is below


def test_a_mitre_carries_the_cut_line_on_to_the_closing_line() -> None:
    """10 mm beside an upright edge, closed at 45 degrees: up to 110 or down to 90.

    The closing line through (0, 100) and (-100, 200) falls to the right, to 90 at x = 10; the
    one through (0, 100) and (-100, 0) rises to 110.
    """
    beside = offset_edge(UPRIGHT, 10, 1)
    assert mitre(beside, (0, 100), (-100, 0), 10)[-1] == pytest.approx((10, 110))
    assert mitre(beside, (0, 100), (-100, 200), 10)[-1] == pytest.approx((10, 90))


def test_a_mitre_that_would_be_long_is_cut_square() -> None:
    """Where the closing line runs nearly along the edge, the end goes straight to the corner."""
    beside = offset_edge(UPRIGHT, 10, 1)
    assert mitre(beside, (0, 100), (-1, 0), 10)[-1] == pytest.approx((0, 100))
    assert mitre(beside, (0, 100), (0, 0), 10)[-1] == pytest.approx((0, 100))


def test_a_mitre_that_a_short_edge_does_not_reach_is_cut_square() -> None:
    """An edge of 5 mm whose closing line meets its direction 10 mm further down ends square."""
    short = np.array([(10.0, 95), (10, 100)])
    assert mitre(short, (0, 100), (-100, 200), 10)[-1] == pytest.approx((0, 100))


def test_an_outline_that_crosses_itself_is_told() -> None:
    """A square can be cut, a bow tie can't."""
    assert not crosses_itself(np.array([(0, 0), (1, 0), (1, 1), (0, 1)]))
    assert crosses_itself(np.array([(0, 0), (1, 1), (1, 0), (0, 1)]))


@settings(max_examples=50)
@given(st.floats(0, 30), st.floats(-60, 60), st.floats(-40, 40), st.sampled_from([1, -1]))
def test_a_cut_line_keeps_its_distance(width: float, lean: float, bow: float, outward: int) -> None:
    """Beside a bowed edge every point of the cut line is the allowance's width away from it."""
    t = np.linspace(0, 1, 120)
    edge = np.column_stack([lean * t + bow * t**2, 600 * t])
    beside = offset_edge(edge, width, outward)
    away = shapely.distance(shapely.LineString(edge), shapely.points(beside))
    assert away == pytest.approx(width, abs=0.01)


def test_a_dense_line_is_cut_like_a_plain_one() -> None:
    """Ten thousand points along three corners give the cut line of those three, to 0.002 mm."""
    corners = np.array([[100.0, 0.0], [110.0, 400.0], [105.0, 800.0]])
    dense = np.vstack([np.linspace(low, high, 5000) for low, high in pairwise(corners)])
    plain, thin = (shapely.LineString(offset_edge(line, 15, 1)) for line in (corners, dense))
    assert plain.hausdorff_distance(thin) < 0.002
    assert len(thin.coords) < 10
