from __future__ import annotations

from typing import Any

import blocks
import invariants
import numpy as np
import pytest
import sample
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.leg.block import OUTSEAM_SIDE
from legtaper.leg.panel import Panel
from legtaper.leg.waist_and_crotch import meet
from legtaper.model.project import PANELS, Allowance, BlockTable, Design, Fabric
from legtaper.pattern import Pattern, build, cut

IN = 25.4
NAMES: Any = ("front", "back")


def _built(design: Design | None = None, **parts: Any) -> Pattern:
    return build(sample.project(design or sample.design(), **parts))


def _slit(height: str | None = None) -> Design:
    """Return a design whose hem needs a slit, with one of that height or as high as it must be."""
    slit = sample.length(height) if height else "auto"
    return sample.design(take_in={}, width=sample.lengths(hem="12"), slit=slit)


@pytest.mark.parametrize("name", NAMES)
def test_inseams_face_each_other(name: Any) -> None:
    """The outseam of the front lies left of the grainline, that of the back right of it."""
    panel = _built().narrowed[name]
    crotch, hip = panel.join
    assert np.sign(hip[0]) == OUTSEAM_SIDE[name] == -np.sign(crotch[0])
    assert (crotch[1], hip[1]) == (pytest.approx(30 * IN), pytest.approx(38 * IN))


@pytest.mark.parametrize("name", NAMES)
def test_the_net_outline_runs_from_top_to_top_along_the_new_seams(name: Any) -> None:
    """Every point lies on its new seam, and the ends are those of the join."""
    pattern = _built()
    panel, taper = pattern.narrowed[name], pattern.fit.taper
    x, y = panel.shape.net.T
    inseam, outseam = PANELS[name]
    side = OUTSEAM_SIDE[name]
    seams = np.where(x * side > 0, taper.reach(outseam, y), taper.reach(inseam, y))
    assert np.abs(x) == pytest.approx(seams)
    ends = shapely.LineString(panel.shape.net[[0, -1]])
    assert ends.equals(shapely.LineString(panel.join))


def test_the_unaltered_leg_is_the_block() -> None:
    """The other leg has the block's own seams, and no slit."""
    pattern = _built(_slit())
    for name, panel in pattern.unaltered.items():
        width = np.ptp(panel.shape.net[np.isclose(panel.shape.net[:, 1], 0), 0])
        assert width == pytest.approx({"front": 8.5, "back": 9.5}[name] * IN)
        assert panel.slit is None


def test_the_cut_edge_is_the_mirrored_width() -> None:
    """Folded up, the lowest edge lies on the leg 1 1/2 in above the hem: it is as wide as there."""
    pattern = _built()
    taper = pattern.fit.taper
    for name, edges in PANELS.items():
        there = sum(float(taper.reach(edge, 1.5 * IN)) for edge in edges)
        assert pattern.narrowed[name].shape.cut_edge == pytest.approx(there)


@pytest.mark.parametrize("name", NAMES)
def test_the_cut_line_lies_outside_by_the_allowance(name: Any) -> None:
    """Away from the corners the cut line is 1 cm beside the outseam and 2 cm beside the inseam."""
    edges: Any = {"inseam": sample.length(20.0), "outseam": sample.length(10.0)}
    panel = _built(allowance=Allowance(edges=edges)).narrowed[name]
    cut, side = panel.shape.cut, OUTSEAM_SIDE[name]
    net = shapely.LineString(panel.shape.net)
    for point in cut[(cut[:, 1] > 5) & (cut[:, 1] < 700)]:
        width = 10 if point[0] * side > 0 else 20
        assert net.distance(shapely.Point(point)) == pytest.approx(width, abs=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_the_cut_line_is_mirrored_in_the_hem(name: Any) -> None:
    """Folded up at the hem line, the cutting line below lies on the cutting line above."""
    cut = _built().narrowed[name].shape.cut
    line = shapely.LineString(cut)
    below = cut[cut[:, 1] < 0] * (1, -1)
    assert float(below[:, 1].max()) == pytest.approx(1.5 * IN)
    assert shapely.distance(line, shapely.points(below)) == pytest.approx(0, abs=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_the_join_has_no_allowance(name: Any) -> None:
    """The cut line ends on the line through crotch point and hip point, where no seam is."""
    panel = _built().narrowed[name]
    (x0, y0), (x1, y1) = panel.join
    for x, y in panel.shape.cut[[0, -1]]:
        across = (x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)
        assert across / np.hypot(x1 - x0, y1 - y0) == pytest.approx(0, abs=1e-6)


def test_a_slit_meets_where_front_and_back_lean_unlike() -> None:
    """A front outseam that leans 2 in over 17 in, a back one upright: equally long to the stop."""
    reaches = {edge: dict(by_level) for edge, by_level in sample.REACHES.items()}
    reaches["front_outseam"]["hem"] = "2 3/4"
    reaches["back_outseam"]["hem"] = "5 1/4"
    design = sample.design(slit=sample.length("6"))
    fitted = sample.fitted(design, block=sample.table(reaches=reaches))
    slits = [panel.slit for panel in cut(fitted).narrowed.values()]
    front, back = (np.hypot(*np.diff(slit, axis=0).T).sum() for slit in slits)
    assert front == pytest.approx(back, abs=0.01)
    heights = [slit[-1, 1] for slit in slits]
    assert heights[0] < heights[1]
    assert sum(heights) / 2 == pytest.approx(6 * 25.4, abs=0.1)


@pytest.mark.parametrize("height", [None, "1", "6"])
def test_a_slit_runs_up_the_outseam_with_its_own_allowance(height: str | None) -> None:
    """From the hem to where it stops, on the seam; the cut line beside it is 1 in away."""
    pattern = _built(_slit(height))
    stop = pattern.fit.slit.height
    assert stop is not None
    for name, panel in pattern.narrowed.items():
        assert panel.slit is not None
        assert panel.slit[0, 1] == 0
        assert panel.slit[-1, 1] == pytest.approx(stop)
        seam = pattern.fit.taper.reach(PANELS[name][1], panel.slit[:, 1])
        assert panel.slit[:, 0] == pytest.approx(OUTSEAM_SIDE[name] * seam)
        seam_points = panel.slit[(panel.slit[:, 1] > 3) & (panel.slit[:, 1] < stop - 20)]
        away = shapely.distance(shapely.LineString(panel.shape.cut), shapely.points(seam_points))
        assert away == pytest.approx(25.4, abs=0.002)
        invariants.assert_cut_line(panel)


@pytest.mark.parametrize("short", [2e-9, 1e-6, 0.004, 0.02, 1.0])
def test_a_slit_may_be_as_short_as_it_comes(short: float) -> None:
    """A hem a hair too narrow for the foot makes a slit of a hair, and still a cut line."""
    width = sample.lengths(hem=12.75 * IN - short)
    pattern = _built(sample.design(take_in={}, width=width, slit="auto"))
    assert pattern.fit.slit.height is not None
    for panel in pattern.narrowed.values():
        invariants.assert_cut_line(panel)


def test_a_hem_that_sags_is_faced_along_its_curve() -> None:
    """Where a straight hem is more than 3 mm off, hem and facing are cut square to the seams."""
    blends = sample.lengths(outseam="24", inseam="24")
    take_in = sample.lengths(hem="1 1/2")
    design = sample.design(take_in=take_in, blend=blends, hem=sample.hem("faced"))
    pattern = _built(design)
    panel = pattern.narrowed["back"]
    (x0, y0), (x1, y1) = panel.shape.folds[0][:2]
    slope = float(pattern.fit.taper.seams["back_inseam"].slope(0.0))
    assert (y1 - y0) / (x1 - x0) == pytest.approx(slope, abs=0.01)
    assert float(panel.shape.folds[0][:, 1].max()) > 3
    for edge in pattern.narrowed.values():
        facing = edge.shape.facing
        assert facing is not None
        assert len(edge.shape.hem_below) == 0
        assert facing.net[-1, 1] == facing.cut[-1, 1] == pytest.approx(1.5 * IN)
        net, cut = shapely.Polygon(facing.net), shapely.Polygon(facing.cut)
        assert net.is_valid
        assert cut.is_valid
        assert cut.buffer(1e-6).covers(net)
        assert shapely.Polygon(edge.shape.net).buffer(0.05).covers(net)
        invariants.assert_cut_line(edge)


def test_the_cut_corners_of_a_faced_hem_lie_an_allowance_below_its_curve() -> None:
    """At both ends 5/8 in lower, to 0.1 mm, and about as far out."""
    blends = sample.lengths(outseam="24", inseam="24")
    take_in = sample.lengths(hem="1 1/2")
    design = sample.design(take_in=take_in, blend=blends, hem=sample.hem("faced"))
    for panel in _built(design).narrowed.values():
        curve, cut = panel.shape.folds[0], panel.shape.cut
        for end, side in ((curve[0], 1), (curve[-1], -1)):
            out, down = (end - cut[np.argmin(cut @ (side, 1))]) * (side, 1)
            assert down == pytest.approx(15.875, abs=0.1)
            assert 14 < out < 16


def test_a_flared_hem_that_is_faced_hangs_between_its_seams() -> None:
    """On a leg that widens to the hem the curve goes the other way."""
    flare = {edge: {**reach, "hem": "6 1/4"} for edge, reach in sample.REACHES.items()}
    table = sample.table(reaches=flare)
    design = sample.design(take_in={}, hem=sample.hem("faced"))
    panel = _built(design, block=table).narrowed["front"]
    assert float(panel.shape.folds[0][:, 1].min()) < -3
    invariants.assert_cut_line(panel)


def test_a_faced_hem_that_does_not_sag_is_straight() -> None:
    """An untapered leg that is faced has a level hem and a level facing."""
    panel = _built(sample.design(take_in={}, hem=sample.hem("faced"))).narrowed["front"]
    assert float(panel.shape.net[:, 1].min()) == pytest.approx(0)
    assert panel.shape.cut_edge == pytest.approx(8.5 * IN)


@pytest.mark.parametrize("name", NAMES)
def test_notches_stand_square_on_the_seam(name: Any) -> None:
    """Each notch lies on the new seam, and points away from it at a right angle."""
    pattern = _built()
    for notch in pattern.narrowed[name].notches:
        (x, y), (dx, dy) = notch.at, notch.outward
        edge = PANELS[name][1 if x * OUTSEAM_SIDE[name] > 0 else 0]
        seam = pattern.fit.taper.seams[edge]
        assert abs(x) == pytest.approx(float(seam.at(y)))
        assert np.hypot(dx, dy) == pytest.approx(1)
        assert dx * x > 0
        along = np.sign(x) * float(seam.slope(y - 1e-6)), 1.0
        assert dx * along[0] + dy * along[1] == pytest.approx(0, abs=1e-9)
        assert notch.allowance == pytest.approx(0.625 * IN)


def _levels(panel: Panel) -> list[str]:
    return [notch.level for notch in panel.notches]


def test_front_and_back_have_the_same_notches() -> None:
    """Knee and blend on the inseam; knee and hip on the outseam, where the blend is the hip."""
    pattern = _built()
    front, back = (_levels(pattern.narrowed[name]) for name in NAMES)
    assert front == back == ["knee", "blend", "knee", "hip"]
    assert _levels(pattern.unaltered["front"]) == ["knee", "knee", "hip"]


@settings(max_examples=50)
@given(
    blocks.tapers(),
    st.sampled_from(["single", "double"]),
    st.floats(15, 60),
    st.sampled_from(["auto", "none"]),
    st.floats(0, 25),
)
def test_every_plausible_leg_can_be_cut_and_folded(
    given_: tuple[BlockTable, Design], style: str, depth: float, slit: Any, seam: float
) -> None:
    """The cut line crosses nothing and holds the net outline; the hem folds onto the seams."""
    table, design = given_
    width = {"turn_under": depth / 4} if style == "double" else {}
    plan = sample.hem(style, depth=depth, **width)
    changed = Design(
        design.name, design.take_in, design.width, blend=design.blend, curve=design.curve,
        hem=plan, slit=slit,
    )  # fmt: skip
    project = sample.project(
        changed, block=table, allowance=Allowance(sample.length(seam)), fabric=Fabric()
    )
    invariants.assert_cuttable(build(project))


def test_where_a_slit_ends_beside_a_point_of_the_seam_the_cut_line_leaves_none_out() -> None:
    """A bent leg without allowance, its slit 1/2 in past 434.975 mm: the seam bends at 448.2 mm."""
    mm = sample.length
    straight = {"hem": mm(80), "knee": mm(80), "crotch": mm(80), "hip": mm(80)}
    inner = {"hem": mm(80), "knee": mm(80), "crotch": mm(100)}
    block = BlockTable(
        height={"knee": mm(384.4), "crotch": mm(620), "hip": mm(747)},
        reach={"front_outseam": straight, "front_inseam": inner,
               "back_outseam": straight, "back_inseam": inner},
    )  # fmt: skip
    design = Design("bent", {}, {"hem": mm(292), "knee": mm(268)}, blend={"outseam": mm(463.71875)},
                    hem=sample.hem("single", depth=15.0), slit=mm(434.975))  # fmt: skip
    project = sample.project(design, block=block, allowance=Allowance(mm(0)), fabric=Fabric())
    invariants.assert_cuttable(build(project))


# --- two cut lines that meet -----------------------------------------------------------------

FIRST = np.array([(0.0, 0.0), (10.0, 0.0)])  # runs to the right, ends beside the corner (12, 2)
CORNER = np.array([12.0, 2.0])


def test_cut_lines_that_cross_are_cut_off_there() -> None:
    """The second comes down through the first at x = 8: both end and begin at (8, 0)."""
    second = np.array([(8.0, -4.0), (8.0, 5.0)])
    first, rest = meet(FIRST, second, CORNER)
    assert first[-1] == pytest.approx([8, 0])
    assert rest.tolist() == [[8, 0], [8, 5]]


def test_of_two_crossings_the_one_beside_the_corner_counts() -> None:
    """A second line that turns back crosses at x = 4 and x = 8; the corner is at 12."""
    second = np.array([(4.0, -2.0), (4.0, 2.0), (8.0, 2.0), (8.0, -5.0)])
    first, rest = meet(FIRST, second, CORNER)
    assert first[-1] == pytest.approx([8, 0])
    assert rest.tolist() == [[8, 0], [8, -5]]


def test_cut_lines_that_stop_short_are_carried_on_to_a_mitre() -> None:
    """The first to the right and the second downwards, both straight on: they meet at (13, 0)."""
    first, rest = meet(FIRST, np.array([(13.0, 3.0), (13.0, 9.0)]), CORNER)
    assert first[-1] == pytest.approx([13, 0])
    assert rest[0] == pytest.approx([13, 0])
    assert (len(first), len(rest)) == (3, 3)


@pytest.mark.parametrize(
    "second",
    [
        [(12.0, 1.0), (20.0, 1.0)],  # runs alongside: no place where they meet
        [(30.0, 1.0), (110.0, 2.0)],  # would meet behind the end of the first
        [(90.0, 8.0), (90.0, 9.0)],  # the mitre would be 78 mm from the corner
    ],
)
def test_cut_lines_without_a_near_mitre_are_joined_straight(second: list[Any]) -> None:
    """Alongside, behind or far off: both stay as they are."""
    line = np.array(second)
    first, rest = meet(FIRST, line, CORNER)
    assert first is FIRST
    assert rest is line
