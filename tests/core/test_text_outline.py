import unicodedata
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.outputs.terminal_plot import Pattern, Tag, Trace, paint, render

HOSTILE = [
    "\x1b[31mred\x1b[0m\x07",
    "\x1b]0;title\x07\x9b2J",
    "]]> <script>",
    "turned \u202e round \u2066",
    "two\nlines\r\nand\ttabs",
    "x" * 10_000,
]


def line(pattern: Pattern, *points: tuple[float, float]) -> Trace:
    """Return a trace through points in mm."""
    return Trace(np.array(points, float).reshape(-1, 2), pattern)


def square(side: float, pattern: Pattern = "new") -> Trace:
    """Return a square with its lower left corner at the origin."""
    return line(pattern, (0, 0), (side, 0), (side, side), (0, side), (0, 0))


def inked(rows: list[str], width: int) -> np.ndarray[Any, Any]:
    """Return the dots that braille rows show, four down and two across to a cell."""
    bits = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]])
    codes = np.array([[ord(c) for c in row.ljust(width)] for row in rows])
    codes = np.where(codes == ord(" "), 0, codes - 0x2800)
    dots = codes[:, None, :, None] & bits[None, :, None, :]
    return dots.reshape(4 * len(rows), 2 * width) > 0


def test_ascii_square() -> None:
    """A square is as wide as it is high on cells that are twice as tall as wide."""
    assert render([square(100)], width=11, ascii_only=True) == [
        "###########",
        "#         #",
        "#         #",
        "#         #",
        "#         #",
        "###########",
    ]


def test_braille_square() -> None:
    """The same square in braille: the dots lie evenly, so the frame is exact to one dot."""
    rows = render([square(100)], width=6, height=3)
    assert rows == ["⡏⠉⠉⠉⠉⢹", "⡇    ⢸", "⣇⣀⣀⣀⣀⣸"]
    assert render([square(100)], width=6) == rows


@pytest.mark.parametrize("pattern", ["new", "old", "other", "thin", "fold"])
def test_each_pattern_has_its_character(pattern: Pattern) -> None:
    """In ASCII the patterns differ by the character alone."""
    signs = {"new": "#", "old": ".", "other": "o", "thin": ":", "fold": "-"}
    assert render([line(pattern, (0, 0), (9, 0))], width=10, ascii_only=True) == [
        10 * signs[pattern]
    ]


def test_braille_patterns_differ() -> None:
    """Along a straight line each pattern shows other dots, and the new line shows them all."""
    shown = {
        pattern: tuple(inked(render([line(pattern, (0, 0), (1, 0))], width=35), 35).any(axis=0))
        for pattern in ("new", "old", "other", "thin", "fold")
    }
    assert len(set(shown.values())) == 5
    assert all(shown["new"])
    assert shown["old"] == (True, False) * 35
    shares = {pattern: sum(dots) / 70 for pattern, dots in shown.items()}
    assert shares["thin"] < shares["old"] < shares["fold"] < shares["other"] < 1


def test_dashes_run_on_through_the_points_of_a_line() -> None:
    """A line of many points has the same dots as the same line of two."""
    ends = line("old", (0, 0), (30, 100))
    many = Trace(np.column_stack([np.linspace(0, 30, 77), np.linspace(0, 100, 77)]), "old")
    assert render([many], width=20) == render([ends], width=20)


def test_new_wins_where_lines_coincide() -> None:
    """A line that covers another, in whatever order they come, hides it completely."""
    new, old = square(100, "new"), square(100, "old")
    for traces in ([new, old], [old, new]):
        assert paint(traces, width=12) == paint([new], width=12)


def test_shared_stretch_shows_one_line() -> None:
    """Where two lines share a stretch, its dots do not depend on what lies before it."""
    shared = [(30.0, 60.0), (33.0, 80.0), (41.0, 100.0)]
    new, old = line("new", (10, 0), *shared), line("old", (0, 0), (-3, 11), *shared)
    box = (-3, 0, 41, 100)
    both = inked(render([new, old], width=30, height=18, box=box), 30)
    alone = inked(render([new], width=30, height=18, box=box), 30)
    upper = slice(0, 4 * 7)
    assert (both[upper] == alone[upper]).all()
    assert (both != alone).any()


@pytest.mark.parametrize(
    ("patterns", "sign"),
    [
        (("old", "new"), "#"),
        (("other", "new"), "#"),
        (("other", "old"), "o"),
        (("fold", "old"), "."),
        (("thin", "fold"), "-"),
    ],
)
def test_crossing(patterns: tuple[Pattern, Pattern], sign: str) -> None:
    """Where two lines cross, the more important one shows: new, other, old, fold, thin."""
    for a, b in (patterns, patterns[::-1]):
        cross = [line(a, (-5, 0), (5, 0)), line(b, (0, -5), (0, 5))]
        rows = render(cross, width=11, height=11, ascii_only=True, aspect=1)
        assert rows[5][5] == sign


def test_a_steep_or_flat_line_is_one_dot_thick_without_gaps() -> None:
    """Every dot of a curve touches the next one, and none is doubled."""
    turn = np.linspace(0, np.pi / 2, 200)
    arc = Trace(100 * np.column_stack([np.cos(turn), np.sin(turn)]), "new")
    dots = np.argwhere(inked(render([arc], width=30, height=15), 30))
    apart = np.abs(dots[:, None] - dots[None]).max(axis=2)
    neighbours = (apart == 1).sum(axis=1)
    assert sorted(neighbours)[:3] == [1, 1, 2]  # only the two ends have one neighbour
    # A quarter of a circle takes a dot a column up to 45 degrees, and a dot a row from there.
    assert len(dots) == pytest.approx(np.sqrt(2) * 60, abs=2)


def test_to_scale_in_the_middle_of_the_room() -> None:
    """With a height the picture keeps its proportions, is centered and fills all the lines."""
    rows = render([square(100)], width=40, height=5, ascii_only=True)
    assert rows == [16 * " " + part for part in ("#########", *3 * ["#       #"], "#########")]
    rows = render([square(100)], width=11, height=10, ascii_only=True)
    assert [bool(row) for row in rows] == [*[False] * 2, *[True] * 6, *[False] * 2]


def test_aspect_of_the_cells() -> None:
    """On square cells a square takes as many lines as columns."""
    assert len(render([square(100)], width=11, ascii_only=True, aspect=1)) == 11


def test_box_shows_a_part() -> None:
    """Only what lies in the box is drawn, as large as the room allows."""
    traces = [square(100), line("old", (0, 50), (100, 50))]
    rows = render(traces, width=11, ascii_only=True, box=(90, 45, 110, 55))
    assert rows == ["     #", ".....#", "     #"]


def test_a_line_far_out_of_the_box() -> None:
    """A line that runs a million times the box costs nothing and still crosses it."""
    far = line("new", (-1e9, 0.5), (1e9, 0.5))
    assert render([far], width=10, height=1, ascii_only=True, box=(0, 0, 1, 1)) == ["##########"]


def test_runs_name_their_pattern() -> None:
    """A front end gets each stretch with its pattern; blanks and tags carry none."""
    traces = [line("old", (0, 0), (0, 10)), line("new", (9, 0), (9, 10))]
    painted = paint(traces, width=16, height=5, ascii_only=True, tags=[Tag("hem", 0)])
    assert painted[0][-3:] == [(".", "old"), ("       ", ""), ("#", "new")]
    assert painted[-1][0] == ("hem  ", "")
    assert all(kind in ("", "old", "new") for runs in painted for _, kind in runs)


def test_new_lends_its_pattern_to_a_braille_cell() -> None:
    """A cell that holds dots of two lines counts as the more important one."""
    traces = [line("new", (1, 0), (1, 1)), line("fold", (0, 0), (0, 1))]
    assert paint(traces[1:], width=1, height=1, box=(0, 0, 1, 1)) == [[("⠆", "fold")]]
    assert paint(traces, width=1, height=1, box=(0, 0, 1, 1)) == [[("⠶", "new")]]


def test_tags_stand_in_the_row_of_their_height() -> None:
    """Tags take a margin as wide as the longest and two blanks, in the rows they belong to."""
    tags = [Tag("hem", 0), Tag("knee 15 in", 40), Tag("hip", 100)]
    assert render([square(100)], width=24, tags=tags, ascii_only=True) == [
        "hip         ############",
        "            #          #",
        "            #          #",
        "knee 15 in  #          #",
        "            #          #",
        "hem         ############",
    ]


@pytest.mark.parametrize("height", [0.0, 50.0, 100.0])
def test_tags_never_cover_each_other(height: float) -> None:
    """Tags of nearly one height stand below each other in the order of their heights."""
    tags = [Tag(f"level {k}", height - k * 1e-9) for k in range(4)]
    rows = render([square(100)], width=30, height=6, tags=tags, ascii_only=True)
    shown = [row[:7] for row in rows if row.startswith("level")]
    assert shown == [f"level {k}" for k in range(4)]


def test_more_tags_than_lines() -> None:
    """The first tags that were named are kept; a picture of free height makes room for all."""
    tags = [Tag(f"t{k}", k) for k in range(5)]
    flat = [line("new", (0, 0), (100, 4))]
    rows = render(flat, width=20, height=2, tags=tags)
    assert [row[:2] for row in rows] == ["t1", "t0"]
    rows = render(flat, width=20, tags=tags)
    assert [row[:2] for row in rows] == ["t4", "t3", "t2", "t1", "t0"]


def test_tags_outside_the_box_are_left_out() -> None:
    """A level that the box does not show has no row to stand in."""
    tags = [Tag("hip", 100), Tag("knee", 50)]
    rows = render([square(100)], width=30, tags=tags, box=(0, 20, 100, 70))
    assert not any("hip" in row for row in rows)
    assert any("knee" in row for row in rows)


def test_long_tags_are_cut_to_half_of_the_width() -> None:
    """However long a tag is, half of the width stays for the picture."""
    rows = render([square(100)], width=10, tags=[Tag("crotch", 100)], ascii_only=True)
    assert rows[0] == "...  #####"
    assert render([square(100)], width=10, tags=[Tag("crotch", 100)])[0].startswith("cr…  ")


def test_ascii_tags() -> None:
    """Without braille the tags are ASCII too, and fractions keep their value."""
    rows = render([square(9)], width=30, tags=[Tag("15½ in", 0)], ascii_only=True)
    assert rows[-1].startswith("15 1/2 in  #")
    assert all(row.isascii() for row in rows)


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("ascii_only", [True, False])
def test_hostile_tags(text: str, ascii_only: bool) -> None:
    """Nothing typed reaches the terminal as a control or a change of direction."""
    rows = render([square(100)], width=40, tags=[Tag(text, 50)], ascii_only=ascii_only)
    assert any(row[0] != " " for row in rows)
    for row in rows:
        assert len(row) <= 40
        assert not {unicodedata.category(c) for c in row} & {"Cc", "Cf"}


def test_wide_characters_keep_the_columns() -> None:
    """A tag in wide characters takes two columns each, so that the lines stay under each other."""
    rows = render([square(9)], width=20, tags=[Tag("裤子", 9), Tag("hem", 0)], ascii_only=False)
    assert rows[0].index("⡏") == 4
    assert rows[-1].index("⣇") == 6


def test_nothing_to_draw() -> None:
    """Without lines the picture is blank: one line, or as many as there is room for."""
    assert render([], width=20) == [""]
    assert render([], width=20, height=3) == ["", "", ""]
    assert render([Trace(np.empty((0, 2)), "new")], width=20, height=1) == [""]
    assert render([], width=20, height=2, tags=[Tag("hip", 9), Tag("hem", 0)]) == ["hip", "hem"]


@pytest.mark.parametrize("pattern", ["new", "old", "other", "thin", "fold"])
def test_one_point(pattern: Pattern) -> None:
    """One point, or a line without length, is one dot in the middle."""
    for trace in (line(pattern, (7, 7)), line(pattern, (7, 7), (7, 7))):
        dots = inked(render([trace], width=11, height=5), 11)
        assert dots.sum() == 1
        assert np.abs(np.argwhere(dots)[0] - (9.5, 10.5)).max() <= 0.5


def test_a_line_straight_up() -> None:
    """A box without width is shown; its free height is limited."""
    rows = render([line("new", (5, 0), (5, 100))], width=10, ascii_only=True)
    assert len(rows) == 30
    assert len(set(rows)) == 1
    assert render([square(5)], width=10, height=3, box=(5, 5, 5, 5))


@pytest.mark.parametrize(
    ("traces", "more"),
    [
        ([line("new", (0, 0), (np.nan, 1))], {}),
        ([line("new", (0, 0), (np.inf, 1))], {}),
        ([square(1)], {"tags": [Tag("hem", np.nan)]}),
        ([square(1)], {"box": (0, 0, np.nan, 1)}),
    ],
)
def test_what_is_no_number_is_refused(traces: list[Trace], more: dict[str, Any]) -> None:
    """A coordinate that is not finite is an error, not an empty picture."""
    with pytest.raises(ValueError, match="finite"):
        render(traces, width=20, **more)


@pytest.mark.parametrize(
    "room", [{"width": 0}, {"width": 9, "height": 0}, {"width": 9, "aspect": 0}]
)
def test_no_room(room: dict[str, Any]) -> None:
    """A picture without a width, a height or a shape of cells is an error."""
    with pytest.raises(ValueError, match="above zero"):
        render([square(1)], **room)


def test_a_box_upside_down_is_refused() -> None:
    """The corners of a box come lower left first."""
    with pytest.raises(ValueError, match="min x"):
        render([square(1)], width=20, box=(0, 5, 1, 0))


reaches = st.floats(-2000, 2000, allow_subnormal=False)
lines = st.lists(
    st.builds(
        lambda points, pattern: line(pattern, *points),
        st.lists(st.tuples(reaches, reaches), max_size=6),
        st.sampled_from(["new", "old", "other", "thin", "fold"]),
    ),
    max_size=4,
)


@settings(max_examples=60)
@given(lines, st.integers(1, 60), st.none() | st.integers(1, 30), st.booleans())
def test_always_within_the_room(
    traces: list[Trace], width: int, height: int | None, ascii_only: bool
) -> None:
    """Whatever the lines: never wider or higher than the room, nothing blank at the end."""
    tags = [Tag("hip", 100.0), Tag("knee 15½", -20.0)]
    rows = render(traces, width=width, height=height, ascii_only=ascii_only, tags=tags)
    assert all(len(row) <= width and row == row.rstrip() for row in rows)
    assert len(rows) == height if height else 1 <= len(rows) <= max(3 * width, 2)
    if any(len(trace.points) for trace in traces) and width > 20:
        assert any(row.strip() for row in rows)
