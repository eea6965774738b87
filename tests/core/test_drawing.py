from __future__ import annotations

import numpy as np
import pytest
import shapely

from legtaper.outputs.drawing import (
    SCALE_BOX,
    Label,
    Piece,
    Stroke,
    label_box,
    lay_out,
    obstacles,
    room_for,
    scale_squares,
)


def _piece(name: str, width: float, height: float, at: tuple[float, float] = (0, 0)) -> Piece:
    corners = np.array([(0.0, 0), (width, 0), (width, height), (0, height)]) + at
    label = Label(name, (at[0] + 5, at[1] + 5), 4)
    return Piece(
        name, name.title(), (Stroke(f"{name}-cut", "cut", corners, closed=True),), (label,)
    )


def test_a_piece_knows_the_box_round_its_strokes() -> None:
    """Two lines: from the lowest and leftmost to the highest and rightmost point."""
    lines = (
        Stroke("a", "net", np.array([(1.0, 5), (4, 9)])),
        Stroke("b", "cut", np.array([(-2.0, 6), (3, 7)])),
    )
    assert Piece("p", "P", lines).box == (-2, 5, 4, 9)


def test_moving_a_piece_moves_everything_on_it() -> None:
    """Strokes and labels shift alike; the piece it came from stays where it was."""
    piece = _piece("front", 100, 50)
    moved = piece.moved(10, -5)
    assert moved.box == (10, -5, 110, 45)
    assert moved.labels[0].at == (15, 0)
    assert piece.box == (0, 0, 100, 50)


def test_pieces_stand_in_a_row_with_their_tops_level() -> None:
    """15 mm apart and from the edges, wherever they were drawn; the sheet just holds them."""
    drawing = lay_out("Sheet", [_piece("a", 100, 400, (-50, -38)), _piece("b", 80, 300, (900, 7))])
    first, second = (piece.box for piece in drawing.pieces)
    assert first == pytest.approx((15, 15, 115, 415))
    assert second == pytest.approx((130, 115, 210, 415))
    assert (drawing.width, drawing.height) == pytest.approx((225, 430))
    assert drawing.title == "Sheet"


def test_the_scale_squares_are_true() -> None:
    """50 mm and 50.8 mm each way, from the corner that is named, with their sizes beside them."""
    squares = scale_squares((20, 30))
    metric, inch = squares.strokes
    assert metric.id == "scale-square"
    assert np.ptp(metric.points, axis=0) == pytest.approx(50)
    assert np.ptp(inch.points, axis=0) == pytest.approx(50.8)
    assert metric.points.min(axis=0) == pytest.approx((20, 30))
    assert {label.text for label in squares.labels} >= {"50 mm", "2 in"}
    wide, tall = SCALE_BOX
    assert squares.box[2] - 20 <= wide + 1e-9
    assert squares.box[3] - 30 <= tall + 1e-9


def test_the_scale_squares_stand_where_nothing_is_drawn() -> None:
    """In the gap below the shorter piece, clear of every line and label."""
    drawing = lay_out("Sheet", [_piece("a", 100, 400), _piece("b", 180, 250)])
    x, y = drawing.squares_at
    wide, tall = SCALE_BOX
    spot = shapely.box(x, y, x + wide, y + tall)
    for piece in drawing.pieces:
        for stroke in piece.strokes:
            assert not spot.intersects(shapely.LinearRing(stroke.points))
        for label in piece.labels:
            assert not spot.intersects(shapely.box(*label_box(label)))
    assert min(x, y) >= 0
    assert x + wide <= drawing.width
    assert y + tall <= drawing.height


def test_a_place_inside_a_closed_outline_is_free() -> None:
    """A box may stand inside a large piece: only lines and labels are in the way."""
    piece = _piece("a", 300, 300)
    assert room_for((80, 80), obstacles([piece]), (0, 0, 300, 300)) is not None


def test_the_highest_then_leftmost_place_is_taken() -> None:
    """On an empty sheet of 200 x 100 a box of 50 x 20 stands in the upper left corner."""
    assert room_for((50, 20), obstacles([]), (0, 0, 200, 100)) == (0, 80)


@pytest.mark.parametrize("size", [(90, 20), (20, 90), (300, 20)])
def test_where_there_is_no_room_there_is_no_place(size: tuple[float, float]) -> None:
    """A sheet of 100 x 100 with a line every 30 mm both ways has no room for what is larger."""
    grid = [
        Stroke(f"{axis}{at}", "net", np.array([(at, 0.0), (at, 100)][:: 1 if axis else -1]))
        if axis
        else Stroke(f"{axis}{at}", "net", np.array([(0.0, at), (100, at)]))
        for axis in (0, 1)
        for at in (0.0, 30, 60, 90)
    ]
    taken = obstacles([Piece("grid", "Grid", tuple(grid))])
    assert room_for(size, taken, (0, 0, 100, 100)) is None


@pytest.mark.parametrize(
    ("anchor", "left"), [("start", 100), ("middle", 100 - 12), ("end", 100 - 24)]
)
def test_a_label_takes_room_on_the_side_of_its_anchor(anchor: str, left: float) -> None:
    """Ten letters 4 mm high are taken to be 24 mm long, 0.6 of the height each."""
    box = label_box(Label("ten letter", (100, 50), 4, anchor=anchor))  # type: ignore[arg-type]
    assert box == pytest.approx((left, 48.8, left + 24, 54))


def test_a_turned_label_takes_room_upwards() -> None:
    """At 90 degrees the text runs up from its anchor and stands to the left of it."""
    box = label_box(Label("ten letter", (100, 50), 4, angle=90))
    assert box == pytest.approx((96, 50, 101.2, 74))
