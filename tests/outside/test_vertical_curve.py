"""The eased corner against a surveyor's worked example of a symmetrical vertical curve.

Source: mathhelpforum.com, thread 118633 (the layout of US Army FM 5-233, Construction Surveying,
chapter 3). Length 500 ft, starting at elevation 1067.29, corner 1070.64 at 250, end 1066.215 at
500: grades 0.0134 and -0.0177. Elevations on the curve are given to 0.01 or 0.001 ft.

Two worked sags besides, from memory:
F. L. Mannering and W. P. Kilareski, Principles of Highway Engineering and Traffic Analysis,
chapter on geometric design: 600 ft, from elevation 1000 with -3.5 % to +0.5 %: corner 989.5 at 300,
end 991.0, lowest 990.81 at 525. Fundamentals of Transportation (Wikibooks), Vertical Curves:
500 m, from 1000 with -4 % to +2 %: corner 990 at 250, end 995, lowest 993.33 at 333.33.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest

from legtaper.geometry.curves import Polyline
from legtaper.geometry.seam import TruedSeam, true_seam

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


class Sag(NamedTuple):
    """A worked sag: length, start, grades, then corner, end, and where and how low it is lowest."""

    length: float
    start: float
    grades: tuple[float, float]
    corner: float
    end: float
    lowest: tuple[float, float]


SAGS = (
    Sag(600, 1000, (-0.035, 0.005), 989.5, 991.0, (525, 990.81)),
    Sag(500, 1000, (-0.04, 0.02), 990, 995, (333.33, 993.33)),
)


@pytest.mark.parametrize("sag", SAGS, ids=["textbook", "wikibook"])
def test_worked_sags(sag: Sag) -> None:
    """End, lowest point and the offset of the corner come out as given, to the last digit."""
    half, (first, second) = sag.length / 2, sag.grades
    old = Polyline(
        np.array([0.0, sag.length + 100]), sag.corner + second * np.array([-half, half + 100])
    )
    taken = float(old.at(0)) - sag.start
    curve = true_seam(old, [(0, taken)], sag.length, sag.length, "straight")
    assert sag.start + first * half == pytest.approx(sag.corner)
    assert float(curve.at(sag.length)) == pytest.approx(sag.end)
    stations = np.linspace(0, sag.length, 600_001)
    at = int(curve.at(stations).argmin())
    assert float(stations[at]) == pytest.approx(sag.lowest[0], abs=0.005)
    assert float(curve.at(stations)[at]) == pytest.approx(sag.lowest[1], abs=0.005)
    offset = (second - first) * sag.length / 8
    assert float(curve.at(half)) == pytest.approx(sag.corner + offset)
