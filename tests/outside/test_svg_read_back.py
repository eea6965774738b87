"""The SVG as another reader sees it: svgelements, with 25.4 px an inch so that 1 px is 1 mm.

svgelements rounds: 25.4 mm come back as 96.00005 px at 96 px an inch, 5e-7 of any length.
Tolerance 1e-3 mm, or 1e-6 of lengths above 1 m.
"""

import io

import numpy as np
import pytest
from svgelements import SVG, Path

from legtaper.outputs.drawing import SCALE_IN, SCALE_MM, Drawing, Label, Piece, Stroke
from legtaper.outputs.svg import render

NEAR = 1e-3  # mm
HEIGHT = 1100.0
SEAM = np.column_stack([100 + 20 * np.sin(np.linspace(0, 3, 200)), np.linspace(50, 1000, 200)])
BOX = np.array([(60.0, 40.0), (160.0, 40.0), (160.0, 1010.0), (60.0, 1010.0)])


@pytest.fixture(scope="module")
def paths() -> dict[str, Path]:
    """Return the paths of an invented drawing by id, in mm as svgelements reads them."""
    strokes = (
        Stroke("front-net", "net", SEAM),
        Stroke("front-cut", "cut", BOX, closed=True),
        Stroke("front-grainline", "grainline", np.array([(100.0, 100.0), (100.0, 800.0)])),
    )
    labels = (Label("<script>]]>\x1b[2J\u202e", (100.0, 500.0), angle=90.0),)
    piece = Piece("front", "Front", strokes, labels)
    drawing = Drawing("Invented", (piece,), 500.0, HEIGHT, (200.0, 60.0), ("A note.",))
    read = SVG.parse(io.StringIO(render(drawing)), ppi=25.4, reify=True)
    return {element.id: element for element in read.elements() if isinstance(element, Path)}


def test_true_length_of_a_seam(paths: dict[str, Path]) -> None:
    """The length of a seam comes back to a thousandth of a millimeter."""
    true = np.hypot(*np.diff(SEAM, axis=0).T).sum()
    assert paths["front-net"].length() == pytest.approx(true, rel=1e-6, abs=NEAR)


def test_closed_and_straight_lines(paths: dict[str, Path]) -> None:
    """The cutting line closes, and arrow heads add nothing to the grainline."""
    assert paths["front-cut"].length() == pytest.approx(2140, rel=1e-6, abs=NEAR)
    assert paths["front-grainline"].length() == pytest.approx(700, abs=NEAR)


def test_place_on_the_sheet(paths: dict[str, Path]) -> None:
    """Positions are in millimeters from the upper left corner of the sheet."""
    true = (60, HEIGHT - 1010, 160, HEIGHT - 40)
    assert paths["front-cut"].bbox() == pytest.approx(true, rel=1e-6, abs=NEAR)


@pytest.mark.parametrize(
    ("name", "side"), [("scale-square", SCALE_MM), ("scale-square-inch", SCALE_IN)]
)
def test_scale_squares(paths: dict[str, Path], name: str, side: float) -> None:
    """The squares are 50 mm and 2 in (1 in = 25.4 mm, NIST SP 811, App. B), and closed."""
    left, top, right, bottom = paths[name].bbox()
    assert (right - left, bottom - top) == pytest.approx((side, side), abs=NEAR)
    assert paths[name].length() == pytest.approx(4 * side, abs=NEAR)
