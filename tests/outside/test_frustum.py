"""The true hem of a tapered leg against the developed surface of a cone frustum.

Sources: elementary geometry of the frustum (round 44 at the top and 36 below, slant 40: the net has
an angle of 0.2 rad, radii 220 and 180 and an area of 1600), and a worked example of the net of a
frustum (ceemrr.com, net-of-frustum page: diameters 5 and 8, 4 apart: radii 7.12 and 11.39, angle
126.4 degrees).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from legtaper.geometry.curves import Array
from legtaper.geometry.sag import sag
from legtaper.leg.hem import shaped_hem


def _net(small: float, large: float, slant: float) -> tuple[float, float, float]:
    """Return angle and both radii of the net of a frustum, from its two circumferences."""
    angle = (large - small) / slant
    return angle, small / angle, large / angle


def _circle(points: Array) -> tuple[float, Array]:
    """Return the radius and the center of the circle through the ends and the middle of an arc."""
    start, middle, end = points[0], points[len(points) // 2], points[-1]
    sides = 2 * np.array([middle - start, end - start])
    center = np.linalg.solve(sides, [middle @ middle - start @ start, end @ end - start @ start])
    return float(np.hypot(*(start - center))), center


def test_the_net_of_the_frustum() -> None:
    """The numbers that the next tests lean on, from the two circumferences and the slant."""
    assert _net(36, 44, 40) == pytest.approx((0.2, 180, 220))
    angle, small, large = _net(36, 44, 40)
    assert angle * (large**2 - small**2) / 2 == pytest.approx(1600)


def test_half_of_a_frustum_is_a_panel_with_a_hem_that_sags() -> None:
    """A panel 18 cm at the hem and 22 cm at 40 cm up: the arc of radius 180 is 0.225 off, in cm."""
    assert sag(18, (22 - 18) / 40) == pytest.approx(0.225, abs=0.0005)


def test_the_shaped_hem_lies_on_the_arc_of_the_net() -> None:
    """All of it on one circle of radius 180 cm, and as long as the arc over a chord of 18 cm."""
    hem = shaped_hem((-90, 0), (90, 0), sag(180, 0.1))
    radius, center = _circle(hem)
    assert radius == pytest.approx(1800)
    assert np.hypot(*(hem - center).T) == pytest.approx(1800)
    length = float(np.hypot(*np.diff(hem, axis=0).T).sum())
    assert length == pytest.approx(2 * 1800 * math.asin(90 / 1800), abs=1e-3)


def test_the_arc_bends_round_the_apex_of_the_cone() -> None:
    """The sides of the panel meet 180 cm below the hem, equally far from all of it.

    Square to both sides, therefore, where a straight hem makes corners of more than 90 degrees.
    """
    hem = shaped_hem((-90, 0), (90, 0), sag(180, 0.1))
    away = np.hypot(*(hem - (0.0, -1800.0)).T)
    assert away == pytest.approx(math.hypot(1800, 90), abs=0.01)
    side = np.array([-20.0, 400.0])  # from the left hem corner to 110 mm at 400 mm up
    first = hem[1] - hem[0]
    cosine = float(side @ first) / (np.hypot(*side) * np.hypot(*first))
    # The first of 24 pieces of the arc turns by a 48th of the angle of 0.1 rad.
    assert math.degrees(math.acos(cosine)) == pytest.approx(90, abs=math.degrees(0.1 / 48) + 0.01)


def test_the_panel_of_the_net_has_half_its_area() -> None:
    """Between the arcs of both ends the panel of 18 and 22 cm has half of 1600 square cm."""
    half = 0.1 / 2
    ends = [(radius * math.sin(half), radius * math.cos(half)) for radius in (1800, 2200)]
    arcs = [shaped_hem((-x, y), (x, y), sag(2 * x, 0.1)) for x, y in ends]
    area = shapely.Polygon(np.vstack([arcs[0], arcs[1][::-1]])).area
    assert area == pytest.approx(800 * 100, rel=2e-4)


@pytest.mark.parametrize(("diameter", "radius"), [(5, 7.12), (8, 11.39)])
def test_the_worked_net_of_a_frustum(diameter: float, radius: float) -> None:
    """Diameters 5 and 8, 4 apart: angle 126.4 degrees; a tenth of each end has the given radius."""
    slant = math.hypot(4, 1.5)
    angle, *radii = _net(5 * math.pi, 8 * math.pi, slant)
    assert math.degrees(angle) == pytest.approx(126.4, abs=0.05)
    assert radii[diameter == 8] == pytest.approx(radius, abs=0.005)
    chord = diameter * math.pi / 10
    hem = shaped_hem((0, 0), (chord, 0), sag(chord, angle / 10))
    assert _circle(hem)[0] == pytest.approx(radius, abs=0.005)
