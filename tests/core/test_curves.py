from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.geometry.curves import (
    NODES,
    WEIGHTS,
    EasedLine,
    MonotoneCubic,
    Polyline,
    arc_length,
    height_after,
    kinks,
    reflect,
)

_coordinate = st.floats(-1000, 1000)
_point = st.tuples(_coordinate, _coordinate)


def test_a_cubic_passes_through_its_points() -> None:
    """At each given height the curve has the given reach."""
    heights, reaches = [0, 266.7, 431.8, 762], [107.95, 112, 120.65, 177.8]
    assert MonotoneCubic.through(heights, reaches).at(heights) == pytest.approx(reaches)


def test_a_cubic_does_not_overshoot() -> None:
    """Between two points the curve stays between their reaches, even beside a flat piece."""
    curve = MonotoneCubic.through([0, 400, 760, 960], [100, 100, 180, 170])
    assert curve.at(np.linspace(0, 400, 50)) == pytest.approx(100)
    assert curve.at(np.linspace(0, 960, 500)).max() <= 180 + 1e-9


def test_two_points_make_a_straight_line() -> None:
    """With two points there is nothing to curve: half way up the reach is half way."""
    line = MonotoneCubic.through([0, 800], [100, 180])
    assert float(line.at(400)) == pytest.approx(140)
    assert float(line.slope(10)) == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("heights", "reaches"),
    [([0], [1]), ([], []), ([0, 0], [1, 2]), ([10, 0], [1, 2]), ([0, 1, 2], [1, 2])],
)
def test_a_cubic_refuses_points_that_make_no_curve(
    heights: list[float], reaches: list[float]
) -> None:
    """Too few points, heights that do not rise, or reaches that are missing are an error."""
    with pytest.raises(ValueError, match="ascending"):
        MonotoneCubic.through(heights, reaches)


def test_the_slope_is_the_derivative() -> None:
    """The slope of each kind of line is what its reach gains per mm, measured over a hair."""
    lines = (
        MonotoneCubic.through([0, 300, 760], [100, 110, 180]),
        Polyline(np.array([0.0, 300, 760]), np.array([100.0, 110, 180])),
        EasedLine.through([0, 430], [16, 6], [430, 600], [200, 300]),
    )
    y = np.array([50.0, 299, 301, 420, 500, 700])
    for line in lines:
        measured = (line.at(y + 1e-4) - line.at(y - 1e-4)) / 2e-4
        assert line.slope(y) == pytest.approx(measured, abs=1e-6)


def test_a_polyline_runs_straight_between_its_points() -> None:
    """Half way between two points of an outline the reach is half way, and the slope constant."""
    outline = Polyline(np.array([0.0, 100, 300]), np.array([50.0, 60, 120]))
    assert outline.at([50, 200]) == pytest.approx([55, 90])
    assert outline.slope([50, 200]) == pytest.approx([0.1, 0.3])


def test_an_eased_corner_is_a_parabola_tangent_to_both_lines() -> None:
    """Take-in 16 at the hem to 0 over a corner at 400, 200 long: the formula of the eased corner.

    n(y) = 16 * (1 - y / 400) up to 300, then 16 / 400 * (500 - y)^2 / (2 * 200): at 300 it is
    4 either way, at the corner 0.04 * 100^2 / 400 = 1 = grade * L / 8, at 500 it is 0.
    """
    eased = EasedLine.through([0], [16], [400], [200])
    assert eased.at([0, 100, 300, 400, 500, 900]) == pytest.approx([16, 12, 4, 1, 0, 0])
    assert eased.slope([100, 300, 400, 500]) == pytest.approx([-0.04, -0.04, -0.02, 0])
    assert eased.knots == pytest.approx([300, 500])


def test_an_eased_line_passes_through_what_was_asked() -> None:
    """Easing moves no asked value, however long the corners are and however they overlap."""
    heights, values = [0, 250, 430], [20, 11, 9]
    eased = EasedLine.through(heights, values, [250, 430, 600], [250, 180, 400])
    assert eased.at(heights) == pytest.approx(values, abs=1e-9)


def test_an_eased_line_that_cannot_be_is_an_error() -> None:
    """Two equal corners can't tell two points apart."""
    with pytest.raises(ValueError, match="no eased line"):
        EasedLine.through([0, 100], [5, 3], [400, 400], [50, 50])


def test_the_length_of_a_straight_line_is_pythagoras() -> None:
    """Over 400 up and 300 across the length is 500."""
    line = MonotoneCubic.through([0, 400], [0, 300])
    assert arc_length(line, 0, 400) == pytest.approx(500, abs=1e-9)


def test_the_length_of_an_outline_adds_its_pieces() -> None:
    """3-4-5 and 5-12-13 one on top of the other are 18 long; any part counts by itself."""
    outline = Polyline(np.array([0.0, 4, 16]), np.array([10.0, 13, 18]))
    assert arc_length(outline, 0, 16) == pytest.approx(18)
    assert arc_length(outline, 2, 16) == pytest.approx(15.5)


def test_a_kink_is_the_change_of_direction() -> None:
    """An upright line that goes on at 45 degrees has a kink of 45 degrees there, else none."""
    outline = Polyline(np.array([0.0, 100, 200]), np.array([50.0, 50, 150]))
    assert kinks(outline, np.array([50.0, 100, 150])) == pytest.approx([0, 45, 0])


def test_reflection_in_an_upright_and_a_level_line() -> None:
    """In the hem line heights change sign; in the grainline reaches do."""
    assert reflect([(3, 5), (-2, 0)], (0, 0), (1, 0)) == pytest.approx(np.array([(3, -5), (-2, 0)]))
    assert reflect([(3, 5)], (0, 10), (0, -4)) == pytest.approx(np.array([(-3, 5)]))


@settings(max_examples=50)
@given(st.lists(_point, min_size=1, max_size=5), _point, _point)
def test_reflecting_twice_changes_nothing(
    points: list[tuple[float, float]], start: tuple[float, float], end: tuple[float, float]
) -> None:
    """What is mirrored twice in the same line is back where it was, and as far from the line."""
    if math.dist(start, end) < 1e-3:
        end = (start[0] + 1, start[1])
    once = reflect(points, start, end)
    assert reflect(once, start, end) == pytest.approx(np.array(points), abs=1e-6)
    for before, after in zip(points, once, strict=True):
        assert math.dist(before, start) == pytest.approx(math.dist(after, start), abs=1e-6)


def test_a_grown_line_is_the_old_one_in_larger_units() -> None:
    """Times 1.02 across and 1.03 up: each value at its own height, and each slope with them."""
    line = EasedLine.through([0, 430], [16, 6], [430, 600], [200, 300])
    grown = line.grown(1.02, 1.03)
    y = np.array([0.0, 100.0, 350.0, 430.0, 520.0, 599.0, 700.0])
    assert grown.at(y * 1.03) == pytest.approx(line.at(y) * 1.02)
    assert grown.slope(y * 1.03) == pytest.approx(line.slope(y) * 1.02 / 1.03)


@pytest.mark.parametrize("end", [(3.0, 4.0), (math.nan, 1.0)])
def test_a_mirror_line_needs_two_points(end: tuple[float, float]) -> None:
    """One point twice, or no number, names no line."""
    with pytest.raises(ValueError, match="two different points"):
        reflect([(0, 0)], (3.0, 4.0), end)


def test_a_height_is_found_by_length_where_the_line_turns_steep() -> None:
    """Upright for 610 mm, then 56 mm out within 10 mm: the height at every length along it."""
    line = MonotoneCubic.through([0, 310, 610, 620, 740], [80, 80, 80, 136, 136])
    for y in (5.0, 300.0, 609.0, 612.0, 616.0, 619.5, 700.0):
        length = arc_length(line, 0.0, y)
        assert height_after(line, 0.0, length) == pytest.approx(y, abs=1e-3)


def test_the_nodes_and_weights_are_those_of_numpy() -> None:
    """Golub and Welsch (1969), checked against numpy.polynomial, which has them for -1 to 1."""
    nodes, weights = np.polynomial.legendre.leggauss(8)
    assert pytest.approx((nodes + 1) / 2, abs=1e-15) == NODES
    assert pytest.approx(weights / 2, abs=1e-15) == WEIGHTS
