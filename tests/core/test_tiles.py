from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.geometry.curves import Array
from legtaper.outputs.drawing import Drawing, Label, Piece, Stroke
from legtaper.outputs.papers import LABEL_STRIP, PaperError, paper
from legtaper.outputs.tiles import Tiling, extent, tile

TILED = ("a4", "letter", "a3")


def _drawing(width: float, height: float, *points: tuple[float, float]) -> Drawing:
    """Return one line through `points`, or round the sheet where none are given."""
    corners = points or ((0, 0), (width, 0), (width, height), (0, height))
    line = Stroke("line", "net", np.array(corners, float), closed=not points)
    return Drawing("Invented", (Piece("p", "P", (line,)),), width, height, (10.0, 10.0))


def _all_points(drawing: Drawing) -> Array:
    """Return points along every stroke, at most 2 mm apart."""
    rows = []
    for piece in drawing.pieces:
        for stroke in piece.strokes:
            ring = np.vstack([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
            for start, end in pairwise(ring):
                share = np.linspace(0, 1, 2 + int(np.hypot(*(end - start)) / 2))[:, None]
                rows.append(start + share * (end - start))
    return np.concatenate(rows)


def _on_some_tile(points: Array, tiling: Tiling) -> bool:
    boxes = np.array([part.box for part in tiling.tiles])[:, None]
    inside = (boxes[..., :2] <= points) & (points <= boxes[..., 2:])
    return bool(inside.all(axis=2).any(axis=0).all())


@pytest.mark.parametrize(
    ("text", "size"),
    [
        (" A4 ", (210.0, 297.0)),
        ("Letter", (215.9, 279.4)),
        ("roll:91", (910.0, math.inf)),
        ("ROLL: 36 in", (914.4, math.inf)),
        ("roll:2 1/2 ft", (762.0, math.inf)),
    ],
)
def test_papers_are_read_as_people_write_them(text: str, size: tuple[float, float]) -> None:
    """Case and spaces do not matter; a bare roll width is in cm."""
    found = paper(text)
    assert (found.width, found.height) == pytest.approx(size)


@pytest.mark.parametrize(
    "text",
    ["", "a5", "roll", "roll:", "roll:wide", "roll:-91cm", "roll:3cm", "a4\n\x1b[31m", "x" * 999],
)
def test_an_unknown_paper_is_refused_with_one_that_works(text: str) -> None:
    """The refusal is one short printable line that names a roll as it is written."""
    with pytest.raises(PaperError) as caught:
        paper(text)
    said = str(caught.value)
    assert "roll:91cm" in said
    assert said.isprintable()
    assert len(said) < 200


@pytest.mark.parametrize("name", TILED)
def test_every_point_of_a_pattern_lies_on_a_printed_tile(two_panels: Drawing, name: str) -> None:
    """Nothing of the two panels is lost between the sheets or on one that is left out."""
    assert _on_some_tile(_all_points(two_panels), tile(two_panels, paper(name)))


@given(
    points=st.lists(
        st.tuples(st.floats(0, 900, width=32), st.floats(0, 1200, width=32)), min_size=2, max_size=5
    ),
    name=st.sampled_from(TILED),
)
@settings(max_examples=40, deadline=None)
def test_every_point_of_any_line_lies_on_a_printed_tile(
    points: list[tuple[float, float]], name: str
) -> None:
    """Whatever the line, each point of it is on a tile that is printed."""
    drawing = _drawing(900, 1200, *points)
    assert _on_some_tile(_all_points(drawing), tile(drawing, paper(name)))


@given(width=st.floats(50, 1200), height=st.floats(50, 1500), overlap=st.floats(0, 40))
@settings(max_examples=40, deadline=None)
def test_neighbors_share_exactly_the_overlap(width: float, height: float, overlap: float) -> None:
    """Side by side and one below the other, tiles share that strip and are one size."""
    tiling = tile(_drawing(width, height), paper("a4"), overlap)
    for part in tiling.tiles:
        assert part.box[2] - part.box[0] == pytest.approx(tiling.paper.room[0])
        assert part.box[3] - part.box[1] == pytest.approx(tiling.paper.room[1])
        if (right := tiling.beside(part, 0, 1)) is not None:
            assert part.box[2] - right.box[0] == pytest.approx(overlap)
            assert part.box[1::2] == right.box[1::2]
        if (below := tiling.beside(part, 1, 0)) is not None:
            assert below.box[3] - part.box[1] == pytest.approx(overlap)
            assert part.box[::2] == below.box[::2]


def test_tiles_are_counted_from_the_top_left(two_panels: Drawing) -> None:
    """Row 1, column 1 holds the corner of what is drawn, and rows are printed in order."""
    tiling = tile(two_panels, paper("a4"))
    left, _, _, top = extent(two_panels)
    first = tiling.tiles[0]
    assert first.name == "1-1"
    assert first.box[0] <= left < first.box[2]
    assert first.box[1] < top <= first.box[3]
    assert list(tiling.tiles) == sorted(tiling.tiles, key=lambda part: (part.row, part.column))


def test_a_tile_with_nothing_on_it_is_left_out() -> None:
    """An L of two lines leaves the far corner of the grid blank; the grid stays complete."""
    tiling = tile(_drawing(600, 800, (0, 800), (0, 0), (600, 0)), paper("a4"))
    assert tiling.blank
    assert {part.name for part in tiling.blank}.isdisjoint(part.name for part in tiling.tiles)
    assert len(tiling.tiles) + len(tiling.blank) == tiling.rows * tiling.columns
    assert all(part.row < tiling.rows and part.column > 1 for part in tiling.blank)


def test_a_label_keeps_its_tile() -> None:
    """A tile that holds only words is printed."""
    bare = _drawing(600, 800, (0, 800), (0, 0), (600, 0))
    stroke = bare.pieces[0].strokes
    words = Piece("p", "P", stroke, (Label("turn up here", (500.0, 700.0)),))
    tiling = tile(Drawing("Invented", (words,), 600, 800, (10, 10)), paper("a4"))
    assert any(b[0] < 500 < b[2] and b[1] < 700 < b[3] for b in (p.box for p in tiling.tiles))


@pytest.mark.parametrize(("size", "flat"), [((180, 260), False), ((260, 160), True)])
def test_sheets_lie_the_way_that_needs_fewer(size: tuple[float, float], flat: bool) -> None:
    """A drawing that fits one sheet takes one, upright or flat."""
    tiling = tile(_drawing(*size), paper("a4"))
    assert len(tiling.tiles) == 1
    assert (tiling.paper.width > tiling.paper.height) is flat


def test_an_empty_drawing_still_has_a_first_tile() -> None:
    """The scale squares have a place even where no piece is drawn."""
    tiling = tile(Drawing("Invented", (), 300, 300, (10, 10)), paper("a4"))
    assert [part.name for part in tiling.tiles] == ["1-1"]


@pytest.mark.parametrize("overlap", [-1.0, 100.0, math.nan])
def test_an_overlap_that_cannot_be_taped_is_refused(overlap: float) -> None:
    """Negative and page-wide overlaps get one line."""
    with pytest.raises(PaperError, match="overlap"):
        tile(_drawing(300, 300), paper("a4"), overlap)


def test_a_drawing_of_absurd_size_is_refused() -> None:
    """Thousands of sheets are a slip in the measurements, and the line says so."""
    with pytest.raises(PaperError, match="check the measurements"):
        tile(_drawing(9000, 9000), paper("a4"))


def test_a0_is_one_page_and_turned_where_that_fits() -> None:
    """Upright if it fits so, on its side if only that fits."""
    upright, flat = tile(_drawing(800, 1100), paper("a0")), tile(_drawing(1100, 800), paper("a0"))
    assert (upright.paper.width, upright.paper.height) == (841.0, 1189.0)
    assert (flat.paper.width, flat.paper.height) == (1189.0, 841.0)
    assert [part.box for part in flat.tiles] == [(0.0, 0.0, 1100, 800)]


def test_a_drawing_larger_than_a0_is_taped_from_several() -> None:
    """Two legs side by side pass one A0 sheet; they are then tiled, as smaller paper is."""
    tiling = tile(_drawing(1600, 1030), paper("a0"))
    assert len(tiling.tiles) == 2
    assert tiling.paper.tiled
    left, right = (part.box for part in tiling.tiles)
    assert left[2] - right[0] == pytest.approx(tiling.overlap)


def test_a_roll_is_cut_to_the_length_of_the_drawing() -> None:
    """Its width is what was given; margins and the label come on top of the drawing's height."""
    tiling = tile(_drawing(800, 1300), paper("roll:91cm"))
    assert tiling.paper.width == 910
    assert tiling.paper.height == 1300 + 2 * tiling.paper.margin + LABEL_STRIP
    assert not tiling.turned


def test_a_drawing_too_wide_for_a_roll_is_laid_along_it() -> None:
    """It is turned where it then fits, and the page keeps the roll's width."""
    tiling = tile(_drawing(1300, 800), paper("roll:91cm"))
    assert tiling.turned
    assert tiling.paper.width == 910
    assert tiling.paper.height == 1300 + 2 * tiling.paper.margin + LABEL_STRIP


@pytest.mark.parametrize(
    ("size", "says"),
    [((1000, 1300), "roll:102cm or wider"), ((800, 5200), "508 cm"), ((6000, 6000), "a4, letter")],
)
def test_what_no_roll_holds_is_refused(size: tuple[float, float], says: str) -> None:
    """Too wide both ways, or longer than a PDF page can be: one line with what works."""
    with pytest.raises(PaperError, match=says):
        tile(_drawing(*size), paper("roll:91cm"))


def test_exactly_300_sheets_are_laid_and_one_row_more_is_refused() -> None:
    """15 columns and 20 rows of A4 are still taped together; 15 and 21 are a slip."""
    room, overlap = paper("a4").room, 10.0
    wide, tall = (n * (side - overlap) for n, side in zip((15, 20), room, strict=True))
    laid = tile(_drawing(wide - 10, tall - 10), paper("a4"), overlap)
    assert laid.rows * laid.columns == 300
    with pytest.raises(PaperError, match="315 sheets"):
        tile(_drawing(wide - 10, tall + room[1] - overlap - 10), paper("a4"), overlap)
