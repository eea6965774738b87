"""Traced outlines against svgpathtools and shapely: lengths round them, and areas.

Source: svgpathtools (PyPI), `Path.length` and `Path.area`, which integrate each segment of the path
data itself; shapely measures the points that were imported. svgpathtools reads no unit and no
transform, so its numbers are scaled by the unit here, and only moves are drawn round the paths.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely
import svgpathtools
import tracings
from test_outline_measures import PATHS as CURVES

from legtaper.block_sources.drawing_file import Imported, Wanted, import_block, read_drawing
from legtaper.block_sources.svg_reading import read_svg

EXAMPLE = Path(__file__).parents[2] / "examples" / "outline.svg"
NEAR = 1e-4  # of the length or the area: curves are imported as straight pieces


def by_id(data: bytes) -> dict[str, svgpathtools.Path]:
    """Return the paths of a drawing as svgpathtools reads them."""
    paths, attributes = svgpathtools.svgstr2paths(data.decode())
    return {one["id"]: path for path, one in zip(paths, attributes, strict=True)}


@pytest.mark.parametrize("name", CURVES)
def test_curves_have_the_length_and_area_that_svgpathtools_finds(name: str) -> None:
    """Cubics, quadratics, arcs and smooth ones, closed by a line."""
    path = svgpathtools.parse_path(CURVES[name])
    (found,) = read_svg(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" '
        f'viewBox="0 0 2000 2000"><path id="a" d="{CURVES[name]}"/></svg>'.encode()
    )
    ring = shapely.Polygon(found.points)
    assert ring.exterior.length == pytest.approx(path.length(error=1e-6), rel=NEAR)
    assert ring.area == pytest.approx(abs(path.area(chord_length=0.5)), rel=NEAR)
    assert found.area == pytest.approx(ring.area, rel=1e-9)


def check(data: bytes, made: Imported, mm: float) -> None:
    """Compare what is stored of both panels with the paths they were drawn as."""
    paths = by_id(data)
    for name, panel in made.panels.items():
        ring, path = shapely.Polygon(panel.outline.points), paths[name]
        assert ring.exterior.length == pytest.approx(path.length() * mm, rel=NEAR)
        assert ring.area == pytest.approx(abs(path.area()) * mm * mm, rel=NEAR)


@pytest.mark.parametrize("unit", ["mm", "cm", "in", "pt", "px"])
def test_imported_panels_keep_length_and_area_in_every_unit(unit: str) -> None:
    """From the path data to the points that the project keeps nothing grows or shrinks."""
    data = tracings.drawing(unit, groups=2)
    made = import_block(read_drawing(data, ".svg"), Wanted("front", "back"), "in")
    check(data, made, tracings.MM[unit])


def test_the_example_keeps_length_and_area() -> None:
    """The drawing that the README sends a person to try."""
    data = EXAMPLE.read_bytes()
    made = import_block(read_drawing(data, ".svg"), Wanted("front", "back"), "cm")
    check(data, made, 1.0)


def test_svgpathtools_sees_a_wrong_scale() -> None:
    """The check can fail: the same drawing read at 90 px an inch is larger."""
    data = tracings.drawing("px")
    made = import_block(read_drawing(data, ".svg", px_per_inch=90.0), Wanted("front", "back"), "in")
    with pytest.raises(AssertionError):
        check(data, made, tracings.MM["px"])
