"""The eased corner against a surveyor's worked example of a symmetrical vertical curve.

Source: mathhelpforum.com, thread 118633 (the layout of US Army FM 5-233, Construction Surveying,
chapter 3). Length 500 ft, starting at elevation 1067.29, corner 1070.64 at 250, end 1066.215 at
500: grades 0.0134 and -0.0177. Elevations on the curve are given to 0.01 or 0.001 ft.
"""

from __future__ import annotations

import numpy as np
import pytest

from legtaper.curves import Polyline
from legtaper.truing import TruedSeam, true_seam

GRADES = 0.0134, -0.0177


@pytest.fixture(scope="module")
def road() -> TruedSeam:
    """Return the example as a ruled seam: the second grade is the old line, blended to at 500.

    It starts lower than the second grade carried back would, by 1070.64 + 250 * 0.0177 - 1067.29.
    """
    old = Polyline(np.array([0.0, 600]), np.array([1070.64 - g * GRADES[1] for g in (250, -350)]))
    taken = 1070.64 - 250 * GRADES[1] - 1067.29
    return true_seam(old, [(0, taken)], 500, 500, "straight")


@pytest.mark.parametrize(
    ("station", "elevation", "given_to"),
    [
        (0, 1067.29, 0.01),
        (100, 1068.32, 0.01),
        (200, 1068.726, 0.001),
        (250, 1068.696, 0.001),
        (300, 1068.511, 0.001),
        (400, 1067.674, 0.001),
        (500, 1066.215, 0.001),
    ],
)
def test_elevations_on_the_curve(
    road: TruedSeam, station: float, elevation: float, given_to: float
) -> None:
    """Each elevation of the example, to half of the last digit that it gives."""
    assert float(road.at(station)) == pytest.approx(elevation, abs=given_to / 2 + 1e-9)


def test_the_grades_at_both_ends(road: TruedSeam) -> None:
    """The curve starts with the first grade and ends with the second."""
    assert float(road.slope(1e-9)) == pytest.approx(GRADES[0], abs=1e-9)
    assert float(road.slope(500 - 1e-9)) == pytest.approx(GRADES[1], abs=1e-9)


def test_the_highest_point(road: TruedSeam) -> None:
    """1068.733 at 215.43, where the grade is 0."""
    stations = np.linspace(0, 500, 500_001)
    elevations = road.at(stations)
    assert float(elevations.max()) == pytest.approx(1068.733, abs=0.0005)
    assert float(stations[elevations.argmax()]) == pytest.approx(215.43, abs=0.005)
    assert float(road.slope(215.43)) == pytest.approx(0, abs=1e-6)


def test_the_corner_offset(road: TruedSeam) -> None:
    """The parabola passes the corner at (g2 - g1) * L / 8 = -0.0311 * 500 / 8 = -1.94375."""
    assert float(road.at(250)) - 1070.64 == pytest.approx(-1.94375, abs=1e-6)
