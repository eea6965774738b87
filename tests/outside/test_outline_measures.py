"""Traced outlines against other measures: lengths by svgelements, areas by shapely.

svgelements measures its own Bezier curves and arcs by adaptive division; our points must give the
same lengths. Areas of ellipse and Bezier sector are by formula (Green's theorem).
"""

from __future__ import annotations

import io

import numpy as np
import pytest
import shapely
import svgelements

from legtaper.block_sources.svg_reading import read_svg

HEAD = 'xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000"'
PATHS = {
    "cubic": "M100 1000C300 -200 600 900 900 100L900 1000Z",
    "quadratic": "M100 1000Q500 -400 900 600T1300 700L1300 1000Z",
    "arc": "M100 500A400 250 30 1 0 900 500Z",
    "smooth": "M100 900c50-300 250-600 400-400s300 200 500-300v700z",
}


@pytest.mark.parametrize("name", PATHS)
def test_lengths_agree_with_svgelements(name: str) -> None:
    """The length round a curved outline is the one svgelements finds, to a ten-thousandth."""
    text = f'<svg {HEAD}><path id="a" d="{PATHS[name]}"/></svg>'
    (found,) = read_svg(text.encode())
    ring = shapely.LinearRing(found.points)
    drawing = svgelements.SVG.parse(io.StringIO(text), ppi=25.4)
    (path,) = (one for one in drawing.elements() if isinstance(one, svgelements.Path))
    assert ring.length == pytest.approx(path.length(), rel=1e-4)


def test_the_area_of_a_turned_ellipse_is_pi_a_b() -> None:
    """Half axes 250 and 400 under a turn and a skew that keep the area."""
    shape = '<ellipse cx="900" cy="900" rx="250" ry="400" transform="rotate(20) skewX(10)"/>'
    (found,) = read_svg(f"<svg {HEAD}>{shape}</svg>".encode())
    assert shapely.Polygon(found.points).area == pytest.approx(np.pi * 250 * 400, rel=1e-4)


def test_the_area_under_a_bezier_is_its_control_polygon_s_share() -> None:
    """A cubic from (0, 0) to (900, 0) over (0, h), (900, h): area 3/5 of 900 h by integration."""
    (found,) = read_svg(f'<svg {HEAD}><path d="M0 0C0 700 900 700 900 0Z"/></svg>'.encode())
    # x = 900 (3t^2 - 2t^3), y = 700 * 3t(1 - t): the integral of y dx is 900 * 700 * 3/5.
    assert shapely.Polygon(found.points).area == pytest.approx(900 * 700 * 0.6, rel=1e-4)
