"""Drawings of every make: units wrong and missing, pieces apart, line ends, and what is told."""

from __future__ import annotations

import gzip
import io

import ezdxf
import numpy as np
import pytest
import tracings

from legtaper.block_sources.drawing_file import Wanted, import_block, read_drawing
from legtaper.block_sources.dxf_reading import read_dxf, read_with_unit
from legtaper.block_sources.svg_reading import read_svg
from legtaper.model.project import ProjectError

# A front leg in mm, hem at the bottom: 230 mm at the hem, 420 across the crotch, 1030 long.
LEG = np.array([[0, 0], [230, 0], [260, 430], [250, 1030], [30, 1030], [-60, 760], [-10, 430]])


def drawn(*pieces: np.ndarray, unit: int = 4, scale: float = 1.0, kind: str = "lw",
          closed: bool = True) -> bytes:  # fmt: skip
    """Return a DXF of polylines, each on the layer LEG; `unit` is $INSUNITS."""
    document = ezdxf.new("R2010" if kind == "lw" else "R12")
    document.header["$INSUNITS"] = unit
    space = document.modelspace()
    for piece in pieces:
        points = [tuple(map(float, at)) for at in piece * scale]
        add = space.add_lwpolyline if kind == "lw" else space.add_polyline2d
        add(points, close=closed, dxfattribs={"layer": "LEG"})
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode()


def apart(ring: np.ndarray) -> list[np.ndarray]:
    """Return a ring as open pieces whose ends touch, not all in one direction."""
    closed = np.vstack([ring, ring[:1]])
    return [closed[:3], closed[2:5][::-1], closed[4:]]


@pytest.mark.parametrize("kind", ["lw", "old"])
def test_touching_open_polylines_make_one_outline(kind: str) -> None:
    """As single lines and arcs do; the outline is closed and has its own measures."""
    (found,) = read_dxf(drawn(*apart(LEG), kind=kind, closed=False), "mm")
    assert found.closed
    assert found.size == pytest.approx((320, 1030))
    assert found.layer == "LEG"


def test_touching_segments_of_an_svg_make_one_outline() -> None:
    """The whole is known by the first piece's id; a line with no neighbor stays open."""
    paths = "".join(
        f'<polyline id="p{n}" points="{" ".join(f"{x},{-y}" for x, y in piece)}"/>'
        for n, piece in enumerate(apart(LEG))
    )
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
    (found,) = read_svg(f"{head}{paths}</svg>".encode())
    assert (found.id, found.closed) == ("p0", True)
    assert found.size == pytest.approx((320, 1030))


def test_three_lines_that_meet_are_left_apart() -> None:
    """A fork says nothing of which two go on: no outline is made up."""
    fork = [LEG[:3], LEG[2:], np.array([LEG[2], [600.0, 430.0]])]
    assert not any(one.closed for one in read_dxf(drawn(*fork, closed=False)))


@pytest.mark.parametrize("end", ["\r\n", "\r"])
def test_line_ends_of_other_systems_are_read(end: str) -> None:
    """With a mark of the byte order before them, too."""
    data = b"\xef\xbb\xbf" + drawn(LEG).replace(b"\n", end.encode())
    assert [one.size for one in read_dxf(data)] == [one.size for one in read_dxf(drawn(LEG))]


@pytest.mark.parametrize(
    ("unit", "scale", "likely"),
    [(4, 1 / 25.4, "in"), (4, 0.1, "cm"), (4, 0.001, "m"), (1, 1.0, "mm"), (5, 1.0, "mm")],
)
def test_a_wrong_unit_in_the_header_is_asked_about(unit: int, scale: float, likely: str) -> None:
    """Inches under a header of millimeters are no empty drawing; said, the unit is right."""
    data = drawn(LEG, LEG + (500, 0), unit=unit, scale=scale)
    with pytest.raises(ProjectError) as asked:
        import_block(read_drawing(data, ".dxf"), Wanted("LEG", "LEG-2"), "in")
    assert likely in asked.value.problem.replace("?", " ").split()
    found, used = read_with_unit(data, likely)  # type: ignore[arg-type]
    assert used == likely
    assert found[0].longest == pytest.approx(1030, rel=1e-3)


def test_a_drawing_that_no_unit_makes_a_leg_of_has_no_outline() -> None:
    """A square is not asked about."""
    assert read_dxf(drawn(np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * 0.001)) == ()


def test_a_compressed_svg_is_called_so() -> None:
    """And not a drawing that can't be read."""
    with pytest.raises(ProjectError, match="compressed SVG"):
        read_svg(gzip.compress(tracings.drawing()))


def test_a_plain_line_along_the_leg_is_its_grainline() -> None:
    """By place and direction; one across, a short one, and one of two are not."""
    grain = np.array([[110.0, 100.0], [115.0, 900.0]])
    across, short = np.array([[20.0, 300.0], [230.0, 330.0]]), np.array([[50, 700], [50, 760.0]])

    def found(*inner: np.ndarray) -> np.ndarray | None:
        data = drawn(*(np.vstack([one]) for one in inner), closed=False)
        whole = ezdxf.read(io.StringIO(data.decode()))
        whole.modelspace().add_lwpolyline([tuple(map(float, at)) for at in LEG], close=True)
        out = io.StringIO()
        whole.write(out)
        return read_dxf(out.getvalue().encode())[0].grainline

    taken = found(grain, across, short)
    assert taken is not None
    assert np.allclose(np.sort(taken, axis=0), np.sort(grain, axis=0))
    assert found(across, short) is None
    assert found(grain, grain + (30, 0)) is None


def test_mirrored_and_rotated_it_is_one_block() -> None:
    """The heights of a block do not depend on how its pieces lie in the drawing."""
    whole = {one.id: one.points for one in read_svg(tracings.drawing())}
    front, back = whole["front"], whole["back"]
    turn = np.array([[0.0, 1.0], [-1.0, 0.0]])
    upright = _heights(front, back)
    assert _heights(front @ turn, back @ turn) == pytest.approx(upright, abs=0.3)
    assert _heights(front * (-1, 1), back * (-1, 1)) == pytest.approx(upright, abs=0.3)


def _heights(front: np.ndarray, back: np.ndarray) -> list[float]:
    tracing = read_drawing(drawn(back + (3000, 0), front), ".dxf")
    ids = [one.id for one in sorted(tracing.outlines, key=lambda one: one.area)]
    made = import_block(tracing, Wanted(ids[0], ids[1]), "cm")
    return [panel.height(role) for panel in made.panels.values() for role in ("crotch", "hip")]
