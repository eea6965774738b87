"""What the search for the fewest sheets leaves out would not have been better."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.geometry.curves import Array
from legtaper.outputs.drawing import Drawing, Piece, Stroke
from legtaper.outputs.papers import paper
from legtaper.outputs.sheet_search import search
from legtaper.outputs.tiles import OVERLAP, needed_points, tile

CORNERS = st.lists(
    st.tuples(st.floats(0, 700, width=32), st.floats(0, 900, width=32)),
    min_size=2,
    max_size=5,
    unique=True,
)


def _piece(name: str, corners: list[tuple[float, float]]) -> Piece:
    return Piece(name, name, (Stroke(name, "net", np.array(corners, float)),))


def _widened(piece: Piece) -> Array:
    """Return points on both edges of its lines, half a millimeter to each side."""
    points = needed_points(piece)
    steps = ((0.5, 0), (-0.5, 0), (0, 0.5), (0, -0.5))
    return np.concatenate([points + step for step in steps]).T


@given(corners=CORNERS, up=st.floats(0, 1), across=st.floats(0, 1), overlap=st.floats(0, 40))
@settings(max_examples=30)
def test_what_a_shift_takes_at_least_is_what_counting_finds(
    corners: list[tuple[float, float]], up: float, across: float, overlap: float
) -> None:
    """Point for point: a sheet is needed where it holds one that lies in no strip it shares."""
    piece = _piece("p", corners)
    points = _widened(piece)
    found = search(needed_points(piece).T, paper("a4").room, overlap)
    needed = []
    for axis, places, share in (
        (found.up, points[1] - points[1].min(), up),
        (found.across, points[0] - points[0].min(), across),
    ):
        shift = int(share * (axis.pitch - 1))
        cells = np.floor(places / axis.size).astype(int) + axis.pitch - shift
        needed.append((shift, cells // axis.pitch, cells % axis.pitch >= axis.shared))
    (down, rows, alone_up), (right, columns, alone_across) = needed
    alone = alone_up & alone_across
    assert found.forced[down, right] == len(set(zip(rows[alone], columns[alone], strict=True)))


@given(first=CORNERS, second=CORNERS, name=st.sampled_from(["a4", "letter", "a3"]))
@settings(max_examples=30)
def test_what_is_not_searched_would_take_no_fewer_sheets(
    first: list[tuple[float, float]], second: list[tuple[float, float]], name: str
) -> None:
    """Paper upright and turned, each piece upright and turned, each searched to its end."""
    pieces = tuple(_piece(f"p{i}", corners) for i, corners in enumerate((first, second)))
    large = [piece for piece in pieces if min(np.subtract(piece.box[2:], piece.box[:2])) > 320]
    if not large:
        return
    counts = []
    for page in (paper(name), paper(name).turned()):
        total = 0.0
        for piece in large:
            x, y = needed_points(piece).T
            ways = [
                search(points, page.room, OVERLAP).fewest()
                for points in np.array([(x, y), (-y, x)])
            ]
            total += min(grid.cost[0] for grid in ways if grid)
        counts.append(total)
    tiling = tile(Drawing("Invented", tuple(large), 1500, 900, None), paper(name))
    assert len(tiling.tiles) == min(counts)


def test_a_search_finds_nothing_below_its_own_best() -> None:
    """Asked for fewer than there are it says so; asked for one more it finds the same."""
    found = search(
        needed_points(_piece("p", [(0, 0), (500, 100), (300, 800)])).T, paper("a4").room, OVERLAP
    )
    grid = found.fewest()
    assert grid is not None
    sheets, bare = grid.cost
    assert found.fewest(below=grid.cost) is None
    assert found.fewest(below=(sheets, bare + 1)) == grid
    assert found.least <= sheets
