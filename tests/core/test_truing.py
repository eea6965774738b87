from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from legtaper.geometry.curves import Line, MonotoneCubic
from legtaper.geometry.seam import (
    OUTSIDE_TOLERANCE,
    default_curve,
    longest_curve,
    longest_straight_curve,
    ruled_blends,
    straight_blends,
    true_seam,
)

UPRIGHT: Line = MonotoneCubic.through([0, 1000], [150, 150])
FULL: Line = MonotoneCubic.through([0, 400, 760, 960], [110, 125, 155, 160])  # an outseam
HOLLOW: Line = MonotoneCubic.through([0, 400, 760], [110, 120, 190])  # an inseam


def test_a_hem_take_in_alone_follows_its_formula() -> None:
    """With b = 960, L = 480, v = 720: 15 off at the hem, 10 at 240, at 600 the parabola's 2.8125.

    15 * (1 - 240 / 720) = 10; 15 / 720 * (960 - 600)^2 / (2 * 480) = 2.8125.
    """
    seam = true_seam(UPRIGHT, [(0, 15)], 960, 480, "follow")
    assert seam.take_in([0, 240, 600, 960, 1000]) == pytest.approx([15, 10, 2.8125, 0, 0])


def test_left_out_the_curve_is_half_the_way_up() -> None:
    """From the highest asked level at 400 to the blend at 960 the curve is 280 long."""
    assert true_seam(FULL, [(0, 15), (400, 6)], 960, None, "follow").curve == pytest.approx(280)
    assert default_curve(400, 960) == pytest.approx(280)


def test_the_longest_curve_reaches_no_mark() -> None:
    """From a hem alone all the way; else 0.9 of the way from the highest mark: 504 of 560 mm."""
    assert longest_curve(0, 0, 960) == 960
    assert longest_curve(60, 60, 960) == 900
    assert longest_curve(0, 400, 960) == pytest.approx(504)
    assert true_seam(FULL, [(0, 15), (400, 6)], 960, 900, "follow").curve == pytest.approx(504)
    assert true_seam(FULL, [(0, 15), (400, 6)], 960, 100, "follow").curve == 100


@pytest.mark.parametrize("style", ["follow", "straight"])
@pytest.mark.parametrize(
    "controls",
    [
        [(0, 15)],
        [(0, 15), (400, 8)],
        [(0, 5), (400, 12)],
        [(0, 20), (250, 1), (400, 9)],
        [(0, 20), (400, 0.05)],
    ],
)
@pytest.mark.parametrize("curve", [None, 40, 500])
def test_easing_moves_nothing_that_was_asked(
    style: str, controls: list[tuple[float, float]], curve: float | None
) -> None:
    """The take-in at each asked level is exact, and the seam is the old one from the blend on."""
    seam = true_seam(FULL, controls, 900, curve, style)  # type: ignore[arg-type]
    heights, takes = zip(*controls, strict=True)
    assert seam.take_in(heights) == pytest.approx(takes, abs=1e-6)
    assert seam.at([900, 930, 960]) == pytest.approx(FULL.at([900, 930, 960]), abs=1e-9)
    assert seam.kink <= 0.1


def test_a_dip_between_two_levels_stays_inside_the_old_seam() -> None:
    """Much, nearly nothing, much: a wide corner would swing outside, so it is drawn tighter."""
    for middle, high in ((0.1, 20.0), (0.0, 2.0), (0.0, 12.0)):
        seam = true_seam(FULL, [(0, 25), (250, middle), (400, high)], 900, None, "follow")
        assert float(seam.take_in(np.linspace(0, 960, 5000)).min()) >= -0.05


def test_nothing_off_leaves_the_old_seam() -> None:
    """A take-in of 0 everywhere changes nothing: no curve, no kink, the same length."""
    seam = true_seam(FULL, [(0, 0), (400, 0)], 900, None, "follow")
    y = np.linspace(0, 960, 50)
    assert seam.at(y) == pytest.approx(FULL.at(y))
    assert seam.slope(y) == pytest.approx(FULL.slope(y))
    assert seam.eased is None
    assert (seam.curve, seam.kink, seam.outside) == (0, 0, 0)


def test_where_the_highest_level_keeps_its_edge_the_seam_blends_there() -> None:
    """15 off at the hem and 0 at 400: the seam is the old one from 400 on."""
    seam = true_seam(FULL, [(0, 15), (400, 0)], 900, None, "follow")
    assert seam.blend == 400
    assert seam.take_in([400, 500, 700]) == pytest.approx([0, 0, 0])


def test_letting_out_is_measured() -> None:
    """3 mm let out at the hem lie 3 mm outside; what is taken in lies nowhere outside."""
    assert true_seam(FULL, [(0, -3)], 900, None, "follow").outside == pytest.approx(3, abs=0.01)
    assert true_seam(FULL, [(0, 3)], 900, None, "follow").outside == 0


def test_the_length_is_true() -> None:
    """A straight 300-400-500 seam: nothing off leaves 500; the new one is longer than upright."""
    leaning = MonotoneCubic.through([0, 400], [100, 400])
    assert true_seam(leaning, [(0, 0)], 400, None, "follow").length == pytest.approx(500)
    taken = true_seam(UPRIGHT, [(0, 20)], 1000, None, "follow")
    assert 1000 < taken.length < 1000 + 20


def test_a_ruled_seam_is_straight_as_far_as_the_curve() -> None:
    """Below `blend - curve` a ruled seam has one slope, which is not so on the old one."""
    seam = true_seam(FULL, [(0, 25)], 960, 130, "straight")
    slopes = seam.slope(np.linspace(0, 829, 40))
    assert float(np.ptp(slopes)) <= 1e-9
    assert float(np.ptp(FULL.slope(np.linspace(0, 829, 40)))) > 0.01


def test_a_ruled_seam_runs_into_the_old_one_along_its_tangent() -> None:
    """At the blend reach and slope are those of the old seam."""
    seam = true_seam(FULL, [(0, 25)], 900, 100, "straight")
    assert float(seam.at(900 - 1e-6)) == pytest.approx(float(FULL.at(900)), abs=1e-4)
    assert float(seam.slope(900 - 1e-6)) == pytest.approx(float(FULL.slope(900)), abs=1e-4)


def test_a_full_seam_needs_a_short_curve() -> None:
    """On an outseam every curve up to the longest one fits, and a longer one lies outside."""
    controls = [(0.0, 25.0)]
    longest = longest_straight_curve(FULL, controls, 960)
    assert longest is not None
    assert longest < 900
    seam = true_seam(FULL, controls, 960, longest, "straight")
    assert seam.outside == pytest.approx(0.3, abs=0.02)
    for share, inside in ((0.3, True), (0.7, True), (1.0, True), (1.1, False), (1.3, False)):
        seam = true_seam(FULL, controls, 960, share * longest, "straight")
        assert (seam.outside <= OUTSIDE_TOLERANCE) is inside


def test_a_hollow_seam_needs_a_long_curve() -> None:
    """On an upper inseam a short curve cuts outside the hollow where a long one stays inside."""
    controls = [(0.0, 25.0)]
    longest = longest_straight_curve(HOLLOW, controls, 700)
    assert longest is not None
    assert true_seam(HOLLOW, controls, 700, longest, "straight").outside <= OUTSIDE_TOLERANCE
    assert true_seam(HOLLOW, controls, 700, 70, "straight").outside > OUTSIDE_TOLERANCE


def test_left_out_a_ruled_seam_takes_the_longest_curve_that_fits() -> None:
    """The curve chosen is the longest admissible one, not half the way."""
    controls = [(0.0, 25.0)]
    chosen = true_seam(FULL, controls, 960, None, "straight").curve
    assert chosen == longest_straight_curve(FULL, controls, 960)


def test_on_an_upright_seam_every_curve_can_be_ruled() -> None:
    """Nothing to leave: 960 mm of curve from a hem alone, 504 above a mark at 400."""
    assert longest_straight_curve(UPRIGHT, [(0.0, 15.0)], 960) == 960
    marked = longest_straight_curve(UPRIGHT, [(0.0, 15.0), (400.0, 8.0)], 960)
    assert marked == pytest.approx(504)


def test_a_ruled_seam_takes_no_deeper_than_asked() -> None:
    """2 mm off a full seam: a ruler all the way up would take off more in the middle.

    The curve is the longest with which no more than 2.5 mm comes off.
    """
    controls = [(0.0, 15.0), (400.0, 2.0)]
    bulging = MonotoneCubic.through([0, 400, 600, 760, 960], [110, 125, 160, 162, 163])
    curve = longest_straight_curve(bulging, controls, 600)
    seam = true_seam(bulging, controls, 600, curve, "straight")
    assert curve is None or seam.more <= 0.5
    deep = true_seam(bulging, [(0.0, 2.0), (400.0, 2.0)], 960, 500, "straight")
    assert deep.more > 0.5
    assert not deep.admissible
    y = np.linspace(400, 960, 3000)
    assert deep.more == pytest.approx(float(deep.take_in(y).max()) - 2, abs=0.05)


def test_where_no_ruled_seam_fits_the_nearest_blend_is_named() -> None:
    """A little off a shaped knee can't be ruled to the hip: the blend that is named can."""
    shaped = MonotoneCubic.through([0, 400, 760, 960], [125, 115, 150, 160])
    controls = [(0.0, 5.0)]
    assert longest_straight_curve(shaped, controls, 960) is None
    assert not true_seam(shaped, controls, 960, None, "straight").admissible
    near = next(straight_blends([shaped], [controls], 960, 960), None)
    assert near is not None
    assert near < 960
    assert true_seam(shaped, controls, near, None, "straight").admissible


def test_the_nearest_blend_serves_front_and_back_alike() -> None:
    """One seam alone may go up to the hip, its partner not: the blend named fits both."""
    shaped = MonotoneCubic.through([0, 400, 760, 960], [125, 115, 150, 160])
    controls = [(0.0, 25.0)]
    assert next(straight_blends([FULL], [controls], 960, 960)) == 960
    both = next(straight_blends([FULL, shaped], [controls, controls], 960, 960), None)
    assert both is not None
    for old in (FULL, shaped):
        assert true_seam(old, controls, both, None, "straight").admissible


def test_no_blend_is_named_where_none_fits() -> None:
    """Between two asked levels a block that turns in there leaves no room for a ruler."""
    waisted = MonotoneCubic.through([0, 200, 400, 960], [120, 80, 120, 160])
    assert list(straight_blends([waisted], [[(0.0, 5.0), (400.0, 5.0)]], 960, 960)) == []


@pytest.mark.parametrize("curve", [None, 60.0, 300.0])
@pytest.mark.parametrize("old", [FULL, UPRIGHT, HOLLOW])
def test_what_fits_at_once_fits_alone(old: Line, curve: float | None) -> None:
    """Each blend found by the search of many can be ruled, and all others can't, but for a hair."""
    controls = [(0.0, 20.0), (300.0, 12.0)]
    blends = np.linspace(340, float(old.knots[-1]), 12)
    for blend, fits in zip(blends, ruled_blends(old, controls, blends, curve), strict=True):
        seam = true_seam(old, controls, float(blend), curve, "straight")
        if fits:
            assert seam.admissible
            assert seam.turn_radius >= 25
        else:
            assert seam.outside > 0.28 or seam.more > 0.48 or seam.turn_radius < 40


TAKES = ((32, 2), (32, 20), (0, 21), (5, 40))
BLOCKS: tuple[Line, ...] = (
    FULL,
    UPRIGHT,
    MonotoneCubic.through([0, 400, 760, 960], [125, 115, 150, 160]),
    MonotoneCubic.through([0, 280, 420, 760], [117, 121, 124, 190]),
)


@pytest.mark.parametrize("style", ["follow", "straight"])
@pytest.mark.parametrize("old", BLOCKS)
@pytest.mark.parametrize("takes", TAKES)
@pytest.mark.parametrize("calf", [False, True])
def test_between_marks_a_ruler_tells_the_truth(
    style: Any, old: Line, takes: tuple[float, float], calf: bool
) -> None:
    """Within 0.5 mm of the ruled line 50 mm and more from a mark, 1 mm anywhere up to the knee.

    In the style "follow" what comes off is ruled, in "straight" the seam itself. The curve lies
    above the highest mark, nothing lies more than 0.01 mm outside, and above the marks no more than
    0.5 mm more comes off than was asked for at any.
    """
    controls = [(0.0, float(takes[0])), (400.0, float(takes[1]))]
    if calf:
        controls.insert(1, (250.0, controls[0][1] * 0.375 + controls[1][1] * 0.625))
    seam = true_seam(old, controls, 740, None, style)
    marks, asked = np.array(controls).T
    assert seam.take_in(marks) == pytest.approx(asked, abs=1e-6)
    assert seam.blend - seam.curve > 400
    assert seam.kink <= 0.1
    y = np.linspace(0, 400, 4001)
    ruled, line = seam.take_in(marks), seam.take_in(y)
    if style == "straight":
        ruled, line = seam.at(marks), seam.at(y)
    off = np.abs(line - np.interp(y, marks, ruled))
    far = np.abs(y[:, None] - marks).min(axis=1) >= 50
    assert float(off.max()) <= 1.0
    assert float(off[far].max()) <= 0.5
    if style == "follow":
        above = np.linspace(400, 740, 2000)
        assert float(seam.take_in(np.linspace(0, 740, 5000)).min()) >= -0.01
        assert float(seam.take_in(above).max()) <= max(takes) + 0.5


def test_a_corner_is_eased_over_a_length_that_its_turn_gives() -> None:
    """20 off at 0 and 400, blend 760, curve 180: a turn of 20 / 270 is eased over 3.5 / (2 / 27).

    That is 47.25 mm, from the mark up: what is ruled below it is ruled right up to the mark.
    """
    seam = true_seam(UPRIGHT, [(0, 20), (400, 20)], 760, 180, "follow")
    assert seam.eased is not None
    assert seam.eased.lengths.tolist() == pytest.approx([47.25, 180])
    assert seam.eased.corners.tolist() == pytest.approx([400 + 47.25 / 2, 670])
    assert seam.take_in([100, 300, 400]) == pytest.approx([20, 20, 20])


def test_a_corner_between_two_others_lies_about_its_mark() -> None:
    """At 200 the turn is 0.05 up and then 0: its control point lies 3.5 / 8 mm farther in."""
    seam = true_seam(UPRIGHT, [(0, 5), (200, 15), (400, 15)], 760, 180, "follow")
    assert seam.eased is not None
    assert seam.eased.corners[0] == 200
    assert seam.eased.lengths[0] == pytest.approx(3.5 / 0.05)
    ruled_up = 5 + (float(seam.take_in(100)) - 5) * 2
    assert ruled_up == pytest.approx(15 + 3.5 / 8, abs=0.05)


def test_a_turn_above_four_tenths_swings_off_the_ruler() -> None:
    """A corner is never shorter than 20 mm, so a turn of 0.45 swings over 1 mm off, and is named.

    It is on the line above the mark that it does, where the run to the curve is shorter for it.
    """
    sharp = true_seam(UPRIGHT, [(0, 0), (400, 30)], 520, 60, "follow")
    gentle = true_seam(UPRIGHT, [(0, 0), (400, 20)], 520, 60, "follow")
    assert gentle.off_ruler == ()
    ((height, swing),) = sharp.off_ruler
    assert height == 400
    assert sharp.eased is not None
    assert sharp.eased.lengths[0] == 20
    slopes = -sharp.slope([399, 421])
    turn = float(slopes[0] - slopes[1])
    assert turn > 0.4
    assert swing == pytest.approx(turn * 20 / 8)


def test_the_radius_of_a_turn_is_length_over_angle() -> None:
    """20 off at the knee, run out from 430 to 436 over 10 mm: 10 mm for a turn of atan(20 / 35)."""
    seam = true_seam(UPRIGHT, [(0, 20), (400, 20)], 440, 10, "follow")
    assert seam.eased is not None
    grade = float(seam.eased.grades[-1])
    assert seam.turn_radius == pytest.approx(10 / grade, rel=0.1)
    assert true_seam(UPRIGHT, [(0, 20)], 760, None, "follow").turn_radius == np.inf


def test_what_the_old_seam_turns_by_itself_is_no_turn_of_the_curve() -> None:
    """On a seam that turns by 10 degrees within the curve, the radius is that of what is added.

    On the mean it is the length along the seam over the difference of the two turns, measured from
    tangents; where it is tightest it is a third less. With the seam's own turn: an eighth.
    """
    old = MonotoneCubic.through([0, 400, 420, 440, 760], [50, 150, 156, 157, 157])
    seam = true_seam(old, [(0, 8), (400, 8)], 440, 30, "follow")

    def angle(line: Any, y: float) -> float:
        return float(np.arctan((line.at(y + 0.01) - line.at(y - 0.01)) / 0.02))

    low, high = 411.0, 439.0
    turned = angle(seam, high) - angle(seam, low)
    by_itself = angle(old, high) - angle(old, low)
    assert np.degrees(by_itself) < -10
    y = np.linspace(low, high, 2000)
    length = float(np.hypot(np.diff(y), np.diff(seam.at(y))).sum())
    assert 0.65 < seam.turn_radius / (length / (by_itself - turned)) < 1
