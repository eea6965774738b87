from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from itertools import combinations, pairwise, product
from pathlib import Path

import numpy as np
import pytest
import sample
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import label

from legtaper.files.project_file import read_project
from legtaper.geometry.curves import Array
from legtaper.outputs.assembly_plan import directions
from legtaper.outputs.drawing import Drawing, Layer, Piece, Stroke, label_box
from legtaper.outputs.papers import LABEL_STRIP, PaperError, paper
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.outputs.pdf_page import squares
from legtaper.outputs.piece_words import LegChoice, Printing
from legtaper.outputs.tiles import NEEDED, OVERLAP, Section, tile
from legtaper.pattern import build

DATA = Path(__file__).parent / "data"
TILED = ("a4", "letter", "a3")


def _drawing(width: float, height: float, *points: tuple[float, float]) -> Drawing:
    """Return one line through `points`, or round the sheet where none are given."""
    corners = points or ((0, 0), (width, 0), (width, height), (0, height))
    line = Stroke("line", "net", np.array(corners, float), closed=not points)
    return Drawing("Invented", (Piece("p", "P", (line,)),), width, height, (10.0, 10.0))


def _points(section: Section) -> Array:
    """Return points along every line to cut, sew or mark on, at most 1 mm apart."""
    rows = []
    for stroke in (stroke for piece in section.pieces for stroke in piece.strokes):
        if stroke.layer not in NEEDED:
            continue
        ring = np.vstack([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
        for start, end in pairwise(ring):
            share = np.linspace(0, 1, 2 + int(np.hypot(*(end - start))))[:, None]
            rows.append(start + share * (end - start))
    return np.concatenate(rows)


def _all_shown(section: Section) -> bool:
    """Say whether every point is on a page, whose lines show half a millimeter past its frame."""
    boxes = np.array([part.box for part in section.tiles])[:, None]
    points = _points(section)
    inside = (boxes[..., :2] - 0.5 <= points) & (points <= boxes[..., 2:] + 0.5)
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
def test_every_line_of_a_pattern_lies_on_a_printed_tile(two_panels: Drawing, name: str) -> None:
    """Nothing to cut, sew or mark on is lost between the sheets or on one that is left out."""
    tiling = tile(two_panels, paper(name))
    pieces = [piece for section in tiling.sections for piece in section.pieces]
    assert sorted(piece.name for piece in pieces) == ["back", "front"]
    assert all(_all_shown(section) for section in tiling.sections)


@given(
    points=st.lists(
        st.tuples(st.floats(0, 900, width=32), st.floats(0, 1200, width=32)),
        min_size=2,
        max_size=5,
        unique=True,
    ),
    name=st.sampled_from(TILED),
)
@settings(max_examples=40)
def test_every_point_of_any_line_lies_on_a_printed_tile(
    points: list[tuple[float, float]], name: str
) -> None:
    """Whatever the line, each point of it is on a printed tile, and no tile is an island."""
    tiling = tile(_drawing(900, 1200, *points), paper(name))
    assert all(_all_shown(section) for section in tiling.sections)
    assert all(_islands(section) == 1 for section in tiling.sections)


def _islands(section: Section) -> int:
    """Count the groups of sheets that are joined by edges: scipy's labels of a picture."""
    picture = np.zeros((section.rows, section.columns))
    for part in section.tiles:
        picture[part.row - 1, part.column - 1] = 1
    return int(label(picture)[1])


@pytest.mark.parametrize("name", ["a4", "letter"])
@pytest.mark.parametrize("leg", ["narrowed", "both"])
def test_a_far_crotch_point_lies_on_no_island(name: str, leg: LegChoice) -> None:
    """The back of a large size reaches far out at its crotch point: an edge joins that sheet."""
    pattern = build(read_project((DATA / "wide_and_short.toml").read_bytes()))
    tiling = tile(draw_pattern(pattern, Printing(leg, date(2026, 3, 20))), paper(name))
    assert [_islands(section) for section in tiling.sections] == [1] * len(tiling.sections)


def test_sheets_far_apart_are_joined_by_the_fewest_empty_ones() -> None:
    """Two small squares 700 mm apart: as many sheets as a line from one to the other takes."""
    near, far = _square("near", 20), _square("far", 20)
    far = replace(far, points=far.points + (700, 0))
    tiling = tile(_one_piece(near, far), paper("a4"))
    line = Stroke("line", "net", np.array([(0.0, 10.0), (720.0, 10.0)]))
    assert len(tiling.tiles) == len(tile(_one_piece(near, far, line), paper("a4")).tiles)
    assert len(tiling.bridges) == len(tiling.tiles) - 2 == 1
    assert not tiling.blank
    named = " and ".join(part.name for part in tiling.bridges)
    assert any(named in step for step in directions(tiling, tiling.tiles[0]))


@given(width=st.floats(50, 1200), height=st.floats(50, 1500), overlap=st.floats(0, 40))
@settings(max_examples=40)
def test_neighbors_share_the_overlap(width: float, height: float, overlap: float) -> None:
    """Side by side and one below the other, tiles share that strip or up to 2.1 mm more."""
    tiling = tile(_drawing(width, height), paper("a4"), overlap)
    for part in tiling.tiles:
        if (right := tiling.beside(part, 0, 1)) is not None:
            assert -1e-6 <= part.box[2] - right.box[0] - overlap <= 2.1
            assert part.box[1::2] == pytest.approx(right.box[1::2])
        if (below := tiling.beside(part, 1, 0)) is not None:
            assert -1e-6 <= below.box[3] - part.box[1] - overlap <= 2.1
            assert part.box[::2] == pytest.approx(below.box[::2])


def test_tiles_are_counted_from_the_top_left(two_panels: Drawing) -> None:
    """In each section row 1 is the top and column 1 the left, and rows are printed in order."""
    for section in tile(two_panels, paper("a4")).sections:
        places = (*section.tiles, *section.blank)
        top, left = max(part.box[3] for part in places), min(part.box[0] for part in places)
        assert all((part.row == 1) == (part.box[3] == top) for part in places)
        assert all((part.column == 1) == (part.box[0] == left) for part in places)
        in_order = sorted(section.tiles, key=lambda part: (part.row, part.column))
        assert list(section.tiles) == in_order


def test_sections_are_lettered_and_pages_numbered_through(two_panels: Drawing) -> None:
    """A1-1 is page 1; the back's first page follows the front's last; a section knows its pages."""
    tiling = tile(two_panels, paper("a4"))
    assert [section.letter for section in tiling.sections] == ["A", "B"]
    assert [section.title for section in tiling.sections] == ["Front", "Back"]
    assert tiling.tiles[0].name.startswith("A1-")
    assert [tiling.number(part) for part in tiling.tiles] == list(range(1, len(tiling.tiles) + 1))
    assert len({part.name for part in tiling.tiles}) == len(tiling.tiles)
    for section in tiling.sections:
        assert all(tiling.section(part) is section for part in section.tiles)


def test_a_tile_with_nothing_to_cut_sew_or_mark_is_left_out() -> None:
    """An L of two lines leaves the far corner of the grid blank; the grid stays complete."""
    (section,) = tile(_drawing(600, 800, (0, 800), (0, 0), (600, 0)), paper("a4")).sections
    assert section.blank
    assert {part.name for part in section.blank}.isdisjoint(part.name for part in section.tiles)
    assert len(section.tiles) + len(section.blank) == section.rows * section.columns


@pytest.mark.parametrize("layer", ["block", "join", "level", "text"])
def test_old_seams_and_the_dashed_join_are_no_reason_for_a_sheet(layer: Layer) -> None:
    """A long line of such a layer beside a short seam adds no sheet; as a seam it does."""
    seam = Stroke("seam", "net", np.array([(0.0, 0.0), (0.0, 500.0)]))
    beside = np.array([(0.0, 500.0), (700.0, 500.0)])
    counts = [
        len(tile(_one_piece(seam, Stroke("line", kind, beside)), paper("a4")).tiles)
        for kind in (layer, "cut")  # type: ignore[list-item]  # both are layers
    ]
    assert counts[0] == 2
    assert counts[1] > 2


def test_a_leg_without_its_top_ends_just_above_its_highest_mark() -> None:
    """Its seams go on 90 mm above the hip line, which would take a row of sheets more."""
    tall = 2 * (297 - 28) - 10 - 20.0
    strokes = [
        Stroke("net", "net", np.array([(0.0, 0.0), (0.0, tall + 90)])),
        Stroke("level", "level", np.array([(0.0, tall), (60.0, tall)])),
    ]
    join = Stroke("join", "join", np.array([(0.0, tall + 90), (80.0, tall)]))
    assert len(tile(_one_piece(*strokes, join), paper("a4")).tiles) == 2
    assert len(tile(_one_piece(*strokes), paper("a4")).tiles) == 3


def test_a_small_piece_shares_the_sheet_of_a_large_one() -> None:
    """A facing lies in a free corner of the leg's sheets, on nothing that is drawn."""
    leg = Piece("leg", "Leg", (Stroke("leg", "cut", np.array([(0, 0), (0, 700.0), (150, 700)])),))
    facing = Piece("facing", "Facing", (_square("facing", 60.0),))
    tiling = tile(Drawing("Invented", (leg, facing), 500, 700, None), paper("a4"))
    assert len(tiling.tiles) == len(tile(_one_piece(*leg.strokes), paper("a4")).tiles)
    (section,) = tiling.sections
    assert _all_shown(section)
    placed = section.pieces[1].box
    assert not any(
        placed[0] - 1 < x < placed[2] + 1 and placed[1] - 1 < y < placed[3] + 1
        for x, y in _points(replace(section, pieces=section.pieces[:1]))
    )


def test_a_facing_shares_the_sheets_of_its_own_panel() -> None:
    """Both have room for it, whichever is drawn first."""
    line = np.array([(0, 0), (0, 700.0), (150, 700)])
    legs = [Piece(name, name, (Stroke(f"{name}-cut", "cut", line),)) for name in ("front", "back")]
    facing = Piece("back-facing", "Back hem facing", (_square("facing", 60.0),))
    for pieces in ((*legs, facing), (*legs[::-1], facing)):
        tiling = tile(Drawing("Invented", pieces, 500, 700, None), paper("a4"))
        together = [{piece.name for piece in section.pieces} for section in tiling.sections]
        assert {"back", "back-facing"} in together


def test_pieces_of_one_leg_on_one_sheet_name_it_once() -> None:
    """In the margin there is little room; of two legs each piece says its own."""
    square = (_square("s", 80.0),)
    for titles, said in (
        (("Front, narrowed leg", "Back hem facing, narrowed leg"),
         "Front and Back hem facing, narrowed leg"),
        (("Front, LEFT LEG", "Front, RIGHT LEG"), "Front, LEFT LEG and Front, RIGHT LEG"),
    ):  # fmt: skip
        pieces = tuple(Piece(f"p{i}", title, square) for i, title in enumerate(titles))
        (section,) = tile(Drawing("Invented", pieces, 200, 100, None), paper("a4")).sections
        assert section.title == said


def test_no_piece_lies_inside_another() -> None:
    """Whoever cuts the one out would cut up the other: a frame 180 mm wide holds no square."""
    frame = Piece("leg", "Leg", (_square("frame", 170.0),))
    small = Piece("facing", "Facing", (_square("facing", 40.0),))
    tiling = tile(Drawing("Invented", (frame, small), 500, 300, None), paper("a4"))
    for section in tiling.sections:
        areas = [shapely.box(*piece.box) for piece in section.pieces]
        for one, other in combinations(areas, 2):
            assert not one.intersects(other)


@pytest.mark.parametrize("name", ["a4", "letter", "a3"])
def test_the_facings_of_a_leg_lie_beside_it(name: str) -> None:
    """On its sheets where there is room outside its cutting line, else on their own."""
    drawing = draw_pattern(build(sample.project(sample.design(hem=sample.hem("faced")))))
    for section in tile(drawing, paper(name)).sections:
        areas = [
            shapely.Polygon(piece.outline(stroke).points)
            for piece in section.pieces
            for stroke in piece.strokes
            if stroke.layer == "cut"
        ]
        assert not [pair for pair in combinations(areas, 2) if pair[0].intersects(pair[1])]


def test_small_pieces_share_a_sheet() -> None:
    """Four squares of 80 mm take one sheet of A4, and keep apart."""
    pieces = tuple(Piece(f"p{i}", f"P{i}", (_square(f"s{i}", 80.0),)) for i in range(4))
    tiling = tile(Drawing("Invented", pieces, 500, 100, None), paper("a4"))
    assert len(tiling.tiles) == 1
    (section,) = tiling.sections
    assert _all_shown(section)
    for one, other in combinations(section.pieces, 2):
        (a0, b0, a1, b1), (c0, d0, c1, d1) = one.box, other.box
        assert max(c0 - a1, a0 - c1, d0 - b1, b0 - d1) > 5


def _one_piece(*strokes: Stroke) -> Drawing:
    return Drawing("Invented", (Piece("p", "P", strokes),), 900, 1200, None)


def _square(name: str, side: float) -> Stroke:
    corners = np.array([(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)])
    return Stroke(name, "cut", corners, closed=True)


@pytest.mark.parametrize(("size", "flat"), [((180, 260), False), ((260, 160), True)])
def test_sheets_lie_the_way_that_needs_fewer(size: tuple[float, float], flat: bool) -> None:
    """A drawing that fits one sheet takes one; the sheet or the piece is turned for it."""
    tiling = tile(_drawing(*size), paper("a4"))
    assert len(tiling.tiles) == 1
    (piece,) = tiling.sections[0].pieces
    turned = tiling.paper.width > tiling.paper.height
    assert (turned != (piece.box[2] - piece.box[0] != size[0])) is flat


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


@pytest.mark.parametrize("size", [(800, 1100), (1100, 800)])
def test_a0_is_one_page_whichever_way_the_drawing_lies(size: tuple[float, float]) -> None:
    """The piece is turned where only that fits."""
    (part,) = tile(_drawing(*size), paper("a0")).tiles
    assert sorted((part.box[2] - part.box[0], part.box[3] - part.box[1])) == [804, 1104]


def test_a_piece_larger_than_a0_is_taped_from_several() -> None:
    """One of 1,600 by 1,030 mm takes two sheets that share a strip."""
    tiling = tile(_drawing(1600, 1030), paper("a0"))
    assert len(tiling.tiles) == 2
    first, second = (np.array(part.box) for part in tiling.tiles)
    shared = np.minimum(first, second)[2:] - np.maximum(first, second)[:2]
    assert min(shared) == pytest.approx(OVERLAP, abs=2.1)


def test_a_roll_is_cut_to_the_length_of_the_drawing() -> None:
    """Its width is what was given; edge, margins and the label come on top."""
    tiling = tile(_drawing(800, 1300), paper("roll:91cm"))
    assert tiling.paper.width == 910
    assert tiling.paper.height == 1300 + 4 + 2 * tiling.paper.margin + LABEL_STRIP


def test_a_drawing_too_wide_for_a_roll_is_laid_along_it() -> None:
    """The piece is turned where it then fits, and the page keeps the roll's width."""
    tiling = tile(_drawing(1300, 800), paper("roll:91cm"))
    assert tiling.paper.width == 910
    assert tiling.paper.height == 1300 + 4 + 2 * tiling.paper.margin + LABEL_STRIP


def test_pieces_that_are_too_wide_together_lie_behind_each_other() -> None:
    """Two legs of four panels, 1,500 mm side by side, take two rows on a roll of 91 cm."""
    panels = tuple(Piece(f"p{i}", f"P{i}", (_box(f"s{i}", (380.0, 1000.0 - i)),)) for i in range(4))
    tiling = tile(Drawing("Invented", panels, 1600, 1030, None), paper("roll:91cm"))
    assert tiling.paper.height == pytest.approx(1000 + 998 + 15 + 4 + 28)
    (section,) = tiling.sections
    assert _all_shown(section)


def _box(name: str, size: tuple[float, float]) -> Stroke:
    wide, tall = size
    return Stroke(name, "cut", np.array([(0, 0), (wide, 0), (wide, tall), (0, tall)]), closed=True)


@pytest.mark.parametrize(
    ("size", "says"),
    [((1000, 1300), "roll:103cm or wider"), ((800, 5200), "508 cm"), ((6000, 6000), "a4, letter")],
)
def test_what_no_roll_holds_is_refused(size: tuple[float, float], says: str) -> None:
    """Too wide both ways, or longer than a PDF page can be: one line with what works."""
    with pytest.raises(PaperError, match=says):
        tile(_drawing(*size), paper("roll:91cm"))


# --- against a plain search -----------------------------------------------------------------

PROJECTS = Path(__file__).parents[2] / "examples"


def _plain_count(points: Array, room: tuple[float, float]) -> int:
    """Slide a grid of sheets that share 10 mm under the points, 5 mm at a time; count those hit.

    Only where edges join them all.
    """
    wide, tall = room[0] - 10, room[1] - 10
    best, points = len(points), points - points.min(axis=0)
    for dx, dy in product(np.arange(0, wide, 5), np.arange(0, tall, 5)):
        places = ((points + (dx, dy)) / (wide, tall)).astype(int)
        hit = np.bincount(places @ (1, 100))
        if (count := np.count_nonzero(hit)) < best:
            picture = np.zeros(10_000)
            picture[: len(hit)] = hit
            best = count if label(picture.reshape(100, 100))[1] == 1 else best
    return best


def _plain_search(drawing: Drawing, name: str) -> int:
    """Count the sheets where each piece is placed by itself, upright or turned, sheets as well."""
    page = paper(name)
    counts = []
    for room in (page.room, page.turned().room):
        total = 0
        for piece in drawing.pieces:
            points = _points(Section("", (piece,), ()))[::4]
            marks = [s.points[:, 1].max() for s in piece.strokes if s.layer in ("level", "notch")]
            if any(stroke.layer == "join" for stroke in piece.strokes):
                points = points[points[:, 1] <= max(marks) + 3]
            total += min(_plain_count(points, room), _plain_count(points, room[::-1]))
        counts.append(total)
    return min(counts)


@pytest.mark.parametrize("name", ["letter", "a4", "a3"])
@pytest.mark.parametrize("example", ["courier", "weekend"])
def test_no_more_sheets_than_a_plain_search_finds(example: str, name: str) -> None:
    """Each piece by itself on a grid slid in steps of 5 mm: never fewer sheets than are printed."""
    pattern = build(read_project((PROJECTS / f"{example}.toml").read_bytes()))
    drawing = draw_pattern(pattern)
    assert len(tile(drawing, paper(name)).tiles) <= _plain_search(drawing, name)


@given(wider=st.floats(0.8, 1.4), taller=st.floats(0.7, 1.3), name=st.sampled_from(TILED))
@settings(max_examples=6)
def test_no_more_sheets_than_a_plain_search_for_legs_of_any_size(
    wider: float, taller: float, name: str
) -> None:
    """The same for an example's leg made wider or narrower, taller or shorter."""
    drawing = draw_pattern(build(read_project((PROJECTS / "courier.toml").read_bytes())))
    pieces = tuple(
        Piece(piece.name, piece.title, tuple(
            replace(stroke, points=stroke.points * (wider, taller)) for stroke in piece.strokes
        )) for piece in drawing.pieces
    )  # fmt: skip
    scaled = replace(drawing, pieces=pieces)
    assert len(tile(scaled, paper(name)).tiles) <= _plain_search(scaled, name)


def test_exactly_300_sheets_are_laid_and_one_row_more_is_refused() -> None:
    """A frame that spans 15 by 20 sheets of A4 is laid; with one row more it is a slip."""
    wide, tall = (side - OVERLAP for side in paper("a4").room)
    size = 15 * wide, 20 * tall
    assert tile(_drawing(*size), paper("a4")).tiles
    with pytest.raises(PaperError, match="takes 315 sheets"):
        tile(_drawing(size[0], size[1] + tall), paper("a4"))


@pytest.mark.parametrize("name", ["courier", "weekend", "cropped", "shifted", "knit"])
@pytest.mark.parametrize("on", ["letter", "a4", "a3"])
def test_the_scale_squares_hide_no_words(name: str, on: str) -> None:
    """Neither they nor their labels cross a word, on the page of any example that has them."""
    project = read_project((PROJECTS / f"{name}.toml").read_bytes())
    tiling = tile(draw_pattern(build(project)), paper(on))
    page, scale = squares(tiling)
    words = [label_box(label) for piece in tiling.section(page).pieces for label in piece.labels]
    own = [stroke.points for stroke in scale.strokes] + [
        np.reshape(label_box(label), (2, 2)) for label in scale.labels
    ]
    boxes = [shapely.box(*points.min(axis=0), *points.max(axis=0)) for points in own]
    assert not any(shapely.box(*word).intersects(box) for word in words for box in boxes)
