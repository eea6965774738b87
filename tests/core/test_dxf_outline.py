"""Reading DXF: ASTM layers and plain polylines, units, and every way to do harm."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import ezdxf
import numpy as np
import pytest
import shapely
import tracings
from tracings import NAMES

from legtaper.block_sources.drawing_file import Wanted, import_block, read_drawing
from legtaper.block_sources.dxf_reading import MM, read_dxf
from legtaper.block_sources.imported import block_from_outline
from legtaper.block_sources.panel_outline import Asked, propose
from legtaper.block_sources.traced import named
from legtaper.model.project import EDGES, ProjectError
from legtaper.outputs import dxf
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.outputs.piece_words import Printing
from legtaper.pattern import block_of, build

NEAR = 0.05  # mm
CODES = {"in": 1, "ft": 2, "mm": 4, "cm": 5, "m": 6, "none": 0}


def written(add: Callable[[Any], None], unit: str = "mm") -> bytes:
    """Return a DXF file that `add` filled, its header naming the unit."""
    document: Any = ezdxf.new("R2010")
    document.header["$INSUNITS"] = CODES[unit]
    add(document)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def points_of(name: Any, unit: str = "mm") -> Any:
    """Return a panel somewhere on a sheet, y up."""
    return (np.array(tracings.outline(name).points) + (900 * (name == "back"), 80)) / MM[unit]  # type: ignore[index]


def plain(unit: str = "mm", **attributes: Any) -> Callable[[Any], None]:
    """Return what adds both panels as plain closed polylines on layers of their name."""

    def add(document: Any) -> None:
        for name in NAMES:
            space, points = document.modelspace(), points_of(name, unit)
            space.add_lwpolyline(points, close=True, dxfattribs={"layer": name, **attributes})
            (dart,) = tracings.outline(name).lines
            shift = points[0] * MM[unit] - tracings.outline(name).points[0]  # type: ignore[index]
            space.add_lwpolyline((np.array(dart) + shift) / MM[unit], dxfattribs={"layer": "dart"})  # type: ignore[index]
            grain = (np.array([(0, 50), (0, 700)]) + shift) / MM[unit]  # type: ignore[index]
            space.add_line(*grain.tolist(), dxfattribs={"layer": "Grainline"})

    return add


def same(data: bytes, unit: Any = None) -> None:
    """Assert that a drawing of the invented panels reads as those panels."""
    found = read_dxf(data, unit)
    for name in NAMES:
        wanted = tracings.outline(name)
        proposal = propose(
            named(found, name, name), name, Asked(hip=wanted.points[wanted.corners["hip"]][1])
        )
        rings = [shapely.LinearRing(ring) for ring in (proposal.outline.points, wanted.points)]
        assert shapely.hausdorff_distance(*rings, densify=0.2) <= NEAR
        for role, number in wanted.corners.items():
            there = proposal.outline.points[proposal.outline.corners[role]]
            assert there == pytest.approx(wanted.points[number], abs=NEAR), role
        assert np.array(proposal.outline.lines[0]) == pytest.approx(
            np.array(wanted.lines[0]), abs=NEAR
        )


@pytest.mark.parametrize("unit", MM)
def test_plain_polylines_in_every_unit(unit: str) -> None:
    """The header's unit gives the size; layers serve as names."""
    same(written(plain(unit), unit))


def test_a_unit_that_is_not_said_is_asked_for() -> None:
    """Without one in the header the person says it; without that, one line asks."""
    data = written(plain("in"), "none")
    with pytest.raises(ProjectError, match="unit: the file does not say its unit"):
        read_dxf(data)
    same(data, "in")


def test_the_unit_may_stand_in_a_text() -> None:
    """Pieces by the standard may say "Units: METRIC" or "ENGLISH" in a text."""

    def add(document: Any) -> None:
        plain("in")(document)
        document.modelspace().add_text("Units: ENGLISH")

    same(written(add, "none"))


def test_an_unlikely_size_is_asked_about() -> None:
    """Millimetres read as inches make a leg of 27 m; the question names the likely unit."""
    tracing = read_drawing(written(plain("mm"), "none"), ".dxf", unit="in")
    with pytest.raises(ProjectError, match="does the file use in or mm"):
        import_block(tracing, Wanted("front", "back"), "cm")


def lines_and_arcs(document: Any) -> None:
    """Add both panels as single lines in mixed directions and order."""
    for name in NAMES:
        ring = points_of(name)
        pairs = list(zip(ring.tolist(), np.roll(ring, -1, axis=0).tolist(), strict=True))
        for number in np.random.default_rng(7).permutation(len(pairs)):
            start, end = pairs[number] if number % 2 else pairs[number][::-1]
            document.modelspace().add_line(start, end, dxfattribs={"layer": name})


def old_polylines(document: Any) -> None:
    """Add both panels as the older kind of polyline, in blocks that are placed and turned."""
    for name in NAMES:
        block = document.blocks.new(name)
        block.add_polyline2d(points_of(name), close=True)
        document.modelspace().add_blockref(name, (50, 60), dxfattribs={"rotation": 33.0})


def nested(document: Any) -> None:
    """Add both panels in blocks within blocks, mirrored."""
    for name in NAMES:
        document.blocks.new(f"{name}-inner").add_lwpolyline(points_of(name), close=True)
        document.blocks.new(name).add_blockref(f"{name}-inner", (5, 5))
        document.modelspace().add_blockref(name, (0, 0), dxfattribs={"xscale": -1.0})


def unplaced(document: Any) -> None:
    """Define both panels as blocks and place none."""
    for name in NAMES:
        document.blocks.new(name).add_lwpolyline(points_of(name), close=True)


@pytest.mark.parametrize("add", [lines_and_arcs, old_polylines, nested, unplaced])
def test_the_same_outline_made_otherwise(add: Callable[[Any], None]) -> None:
    """Single lines, old polylines, turned, nested and unplaced blocks: the same area and length."""
    found = read_dxf(written(add))
    for name in NAMES:
        true = shapely.Polygon(tracings.outline(name).points)
        ring = shapely.Polygon(named(found, name, name).points)
        assert ring.area == pytest.approx(true.area, rel=5e-5)
        assert ring.length == pytest.approx(true.length, rel=5e-5)
        proposal = propose(named(found, name, name), name)
        assert proposal.height("crotch") == pytest.approx(
            tracings.outline(name).points[0][1], abs=0.5
        )


def test_arcs_and_bulges_are_followed() -> None:
    """A stadium of two lines and two bulges has the area that geometry gives it."""

    def add(document: Any) -> None:
        points = [(0, 0, 0), (900, 0, 1), (900, 200, 0), (0, 200, 1)]
        document.modelspace().add_lwpolyline(points, format="xyb", close=True)

    (found,) = read_dxf(written(add))
    assert found.area == pytest.approx(900 * 200 + np.pi * 100**2, rel=5e-5)


# --- ASTM layers -----------------------------------------------------------------------------


def test_our_own_drawing_comes_back_as_the_same_block() -> None:
    """Exported by layers and imported again, levels, seams, waist and darts are the same."""
    project = tracings.project()
    block = block_of(project)
    data = dxf.render(draw_pattern(build(project), Printing("both")))
    hip = Asked(hip=block.heights["hip"])
    wanted = Wanted(
        "unaltered-front", "unaltered-back", {"front": hip, "back": hip}, tracings.table().height
    )
    made = import_block(read_drawing(data, ".dxf"), wanted, "in")
    again = block_from_outline(made.table, "in")
    for level, y in block.heights.items():
        assert again.heights[level] == pytest.approx(y, abs=NEAR)
    for edge in EDGES:
        assert again.lengths[edge] == pytest.approx(block.lengths[edge], abs=NEAR)
        y = np.linspace(0, float(block.seams[edge].knots[-1]) - 1, 300)
        assert again.reach(edge, y) == pytest.approx(block.reach(edge, y), abs=NEAR)
    for name in NAMES:
        (line,), (true,) = again.rests[name].lines, block.rests[name].lines
        assert line == pytest.approx(true, abs=NEAR)
        notch = tracings.outline(name).notches[1]  # on the crotch seam
        assert min(np.hypot(*np.subtract(n, notch)) for n in again.rests[name].notches) < 4


def test_the_sew_line_is_preferred_to_the_cut_line() -> None:
    """A piece is its sew line; the cut line goes by its own name."""
    found = read_dxf(dxf.render(draw_pattern(build(tracings.project()))))
    assert {"front", "front-cut", "back", "back-cut"} == {one.id for one in found}
    assert named(found, "front-cut", "front").area > named(found, "front", "front").area


# --- hostile files ---------------------------------------------------------------------------


def endless(document: Any) -> None:
    """Add a block that places itself."""
    block = document.blocks.new("a")
    block.add_blockref("a", (1, 1))
    document.modelspace().add_blockref("a", (0, 0))


def bomb(document: Any) -> None:
    """Add ten to the seventh copies of a line, in seven blocks."""
    document.blocks.new("b0").add_line((0, 0), (1, 1))
    for number in range(7):
        block = document.blocks.new(f"b{number + 1}")
        for x in range(10):
            block.add_blockref(f"b{number}", (x, 0))
    document.modelspace().add_blockref("b7", (0, 0))


def grid(document: Any) -> None:
    """Add one insertion of a million copies."""
    document.blocks.new("g").add_line((0, 0), (1, 1))
    many = {"row_count": 1000, "column_count": 1000, "row_spacing": 1, "column_spacing": 1}
    document.modelspace().add_blockref("g", (0, 0), dxfattribs=many)


def pictures(document: Any) -> None:
    """Add an external reference, a picture and a text, and no outline."""
    document.add_xref_def("/etc/passwd", "x")
    document.modelspace().add_blockref("x", (0, 0))
    picture = document.add_image_def("/etc/hostname", (10, 10))
    document.modelspace().add_image(picture, (0, 0), (1, 1))
    document.modelspace().add_text("front")


def crowd(document: Any) -> None:
    """Add sixty thousand points."""
    document.modelspace().add_lwpolyline([(i, i % 7) for i in range(60_000)])


def wild(document: Any) -> None:
    """Add a coordinate far beyond any table."""
    document.modelspace().add_lwpolyline([(0, 0), (1e30, 0), (0, 900)], close=True)


def rings(document: Any) -> None:
    """Add circles that make far more straight pieces than they have numbers."""
    for _ in range(900):
        document.modelspace().add_circle((0, 0), 90_000)


NAN = written(plain()).replace(b"\n 10\n", b"\n 10\nnan\n 10\n", 4)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "no DXF drawing"),
        (b"hello", "no DXF drawing"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n90\n999999999\n", ""),
        (b"AutoCAD Binary DXF\r\n\x1a\x00", "binary DXF"),
        (b"0\nSECTION\n" + b"\xff\xfe\x00" * 99, "no DXF drawing"),
        (b"0\nSECTION\n" + b"9\n" * 2_000_000, "points"),
        (b" " * 50_000_000, "larger than 8 MB"),
        (written(endless), "placed inside itself"),
        (written(bomb), "more than 20000 parts"),
        (written(grid), "placed too often"),
        (written(pictures), "no closed outline"),
        (written(crowd), "more than 50000 points"),
        (written(rings), "more than 50000 points"),
        (written(wild), "no usable number"),
        (written(plain())[:9000], ""),
        (NAN, ""),
    ],
    ids=range(16),
)
def test_a_hostile_drawing_is_refused_in_one_line(data: bytes, says: str) -> None:
    """Bombs, nonsense and drawings without an outline: one line, no other exception."""
    with pytest.raises(ProjectError) as caught:
        propose(named(read_dxf(data), "front", "front"), "front")
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 300
