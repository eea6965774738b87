from __future__ import annotations

from dataclasses import replace
from typing import Any

import blocks
import invariants
import numpy as np
import pytest
import sample
from hypothesis import given, settings

from legtaper.geometry.seam import OUTSIDE_TOLERANCE
from legtaper.leg.taper import Taper, blend_range, curve_range, taper, widths_by_style
from legtaper.model.project import EDGES, SEAMS, BlockTable, Design, ProjectError, seam_of
from legtaper.pattern import fit

some = settings(max_examples=50)


def _taper(design: Design) -> Taper:
    return taper(sample.block(), design, "in")


def _refused(design: Design) -> ProjectError:
    with pytest.raises(ProjectError) as caught:
        _taper(design)
    return caught.value


def test_what_comes_off_each_edge_goes_four_times_round() -> None:
    """5/8 in at the hem: 18 in become 15 1/2, and each edge comes in alike."""
    tapered = _taper(sample.design())
    assert float(tapered.circumference(0)) == pytest.approx(15.5 * 25.4)
    for edge in EDGES:
        assert float(tapered.take_in(edge, 0)) == pytest.approx(0.625 * 25.4)


def test_the_back_stays_wider_than_the_front_by_as_much_as_before() -> None:
    """Back less front is 1 in at the hem of the sample block, and of every taper of it."""
    for design in (sample.design(), sample.wide(hem="13", knee="17")):
        tapered = _taper(design)
        front = tapered.reach("front_inseam", 0) + tapered.reach("front_outseam", 0)
        back = tapered.reach("back_inseam", 0) + tapered.reach("back_outseam", 0)
        assert float(back - front) == pytest.approx(25.4)


def test_left_out_the_seams_blend_at_the_hip_and_below_the_crotch_point() -> None:
    """Outseams blend at 38 in, inseams 1 in below the 30 in of the crotch; in cm, 25 mm below."""
    blends = {edge: seam.blend for edge, seam in _taper(sample.design()).seams.items()}
    for edge in EDGES:
        height = 38 if seam_of(edge) == "outseam" else 29
        assert blends[edge] == pytest.approx(height * 25.4)
    metric = taper(sample.block(), sample.design(), "cm")
    assert metric.seams["back_inseam"].blend == pytest.approx(762 - 25)


def test_an_asked_blend_and_curve_are_kept() -> None:
    """Blend 36 in with a curve of 10 in, inseam 28 in with 6 in."""
    design = sample.design(
        blend=sample.lengths(outseam="36", inseam="28"),
        curve=sample.lengths(outseam="10", inseam="6"),
    )
    for edge, seam in _taper(design).seams.items():
        blend, curve = (36, 10) if seam_of(edge) == "outseam" else (28, 6)
        assert (seam.blend, seam.curve) == (
            pytest.approx(blend * 25.4),
            pytest.approx(curve * 25.4),
        )


@pytest.mark.parametrize(
    ("thigh", "blend"),
    [("27", 29), ("28", 29), ("28 7/8", 29.4375), ("29", 29.5), ("29 1/2", 29.75)],
)
def test_asked_near_the_usual_blend_the_inseam_blends_half_way_to_the_crotch(
    thigh: str, blend: float
) -> None:
    """A take-in 1 in below the crotch leaves the inseam 1/2 in below it to run out.

    One that lies just below the usual blend must not run out within that hair.
    """
    table = sample.table({**sample.HEIGHTS, "thigh": thigh})
    design = sample.design(take_in=sample.lengths(hem="5/8", thigh="1/8"))
    tapered = taper(sample.block(table), design, "in")
    assert tapered.seams["front_inseam"].blend == pytest.approx(blend * 25.4)


def test_an_extra_changes_its_own_seam_alone() -> None:
    """A pinch of 1/8 in at the knee adds that to both outseams there; the inseams stay."""
    plain = _taper(sample.design())
    pinched = _taper(sample.design(extra={"outseam": sample.lengths(knee="1/8")}))
    knee = 17 * 25.4
    for edge in EDGES:
        more = float(pinched.take_in(edge, knee) - plain.take_in(edge, knee))
        assert more == pytest.approx(0.125 * 25.4 if seam_of(edge) == "outseam" else 0)
        assert float(pinched.take_in(edge, 0)) == pytest.approx(0.625 * 25.4)


def test_a_negative_extra_gives_room_again() -> None:
    """Letting out 1/8 in at the knee of a taper leaves that much less taken in there."""
    plain = _taper(sample.design())
    eased = _taper(sample.design(extra={"inseam": sample.lengths(knee="-1/8")}))
    less = plain.take_in("back_inseam", 17 * 25.4) - eased.take_in("back_inseam", 17 * 25.4)
    assert float(less) == pytest.approx(0.125 * 25.4)


def test_an_asked_width_is_exact_with_an_extra_too() -> None:
    """16 in at the knee stay 16 in when the outseams there give 1/4 in more than the inseams."""
    design = sample.design(
        width=sample.lengths(knee="16"), extra={"outseam": sample.lengths(knee="1/4")}
    )
    tapered = _taper(design)
    knee = 17 * 25.4
    assert float(tapered.circumference(knee)) == pytest.approx(16 * 25.4)
    apart = tapered.take_in("back_outseam", knee) - tapered.take_in("back_inseam", knee)
    assert float(apart) == pytest.approx(0.25 * 25.4)


@pytest.mark.parametrize("seam", SEAMS)
def test_the_highest_level_a_seam_was_asked_at(seam: str) -> None:
    """The hem, unless a level above is asked for, or an extra on that seam."""
    assert _taper(sample.design()).last_asked(seam) == 0  # type: ignore[arg-type]
    extra: Any = {"outseam": sample.lengths(knee="1/8")}
    height = 17 * 25.4 if seam == "outseam" else 0
    pinched = _taper(sample.design(extra=extra))
    assert pinched.last_asked(seam) == pytest.approx(height)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("parts", "key", "problem"),
    [
        ({"blend": {"outseam": "39"}}, "blend.outseam", "39.*up to 38 in"),
        ({"blend": {"inseam": "30 1/4"}}, "blend.inseam", "up to 30 in"),
        ({"blend": {"inseam": "0"}}, "blend.inseam", "above 0 in"),
        ({"blend": {"inseam": "16"}, "width": {"knee": "17"}}, "blend.inseam", "above 17 in"),
        ({"curve": {"inseam": "0"}}, "blend.inseam_curve", "more than 0"),
        ({"take_in": {"hem": "5"}}, "take_in.hem", "front inseam"),
        ({"take_in": {"knee": "4 7/8"}}, "take_in.knee", "front inseam"),
        ({"take_in": {}, "width": {"hem": 0.5}}, "width.hem", "front inseam"),
    ],
)
def test_a_seam_that_cannot_be_is_refused_by_name(
    parts: dict[str, dict[str, str]], key: str, problem: str
) -> None:
    """A blend or curve out of range, or more than the paper has, names the key and the range."""
    given = {part: sample.lengths(**levels) for part, levels in parts.items()}
    refused = _refused(sample.design(**given))
    assert refused.key == f'design "easy taper".{key}'
    with pytest.raises(ProjectError, match=problem):
        raise refused


@pytest.mark.parametrize(
    ("parts", "key"),
    [
        ({"take_in": {"hem": "5/8", "crotch": "1/4"}}, "take_in.crotch"),
        ({"take_in": {}, "width": {"hem": "15", "crotch": "27"}}, "width.crotch"),
        ({"extra": {"inseam": {"crotch": "1/4"}}}, "extra.inseam.crotch"),
        ({"extra": {"inseam": {"hip": "1/4"}}}, "extra.inseam.hip"),
        ({"extra": {"outseam": {"hip": "1/4"}}}, "extra.outseam.hip"),
    ],
)
def test_what_leaves_a_seam_no_room_to_blend_is_refused_by_name(
    parts: dict[str, Any], key: str
) -> None:
    """A change at the crotch point or the hip, where a seam must be the old one, is refused."""
    given: dict[str, Any] = {
        part: sample.lengths(**levels)
        for part, levels in parts.items()
        if part in ("take_in", "width")
    }
    if "extra" in parts:
        given["extra"] = {seam: sample.lengths(**at) for seam, at in parts["extra"].items()}
    refused = _refused(sample.design(**given))
    assert refused.key == f'design "easy taper".{key}'


@pytest.mark.parametrize(
    ("parts", "seam", "asked", "used"),
    [
        ({"curve": {"outseam": "39"}}, "outseam", 39, 38),
        (
            {"blend": {"inseam": "20"}, "curve": {"inseam": "7"}, "width": {"knee": "17"}},
            "inseam",
            7,
            2.7,
        ),
    ],
)
def test_a_curve_that_would_reach_a_mark_is_shortened(
    parts: dict[str, Any], seam: Any, asked: float, used: float
) -> None:
    """From a hem alone it ends there; above a knee at 17 in it takes 0.9 of the 3 in: 2.7 in."""
    given = {part: sample.lengths(**levels) for part, levels in parts.items()}
    tapered = _taper(sample.design(**given))
    assert tapered.shortened(seam) == pytest.approx((asked * 25.4, used * 25.4))
    assert tapered.edges(seam)[0].curve == pytest.approx(used * 25.4)
    low, high = curve_range(tapered, seam)
    assert (low, high) == (0, pytest.approx(used * 25.4))
    fits = _taper(sample.design(**{**given, "curve": {seam: sample.length(high)}}))
    assert fits.shortened(seam) is None


def test_the_calf_between_two_marks_is_what_a_ruler_gives() -> None:
    """14 1/2 in at the hem and 17 1/2 in at a knee 16 1/2 in up: at 11 in, by both styles.

    Fronts 4 5/8, 4 3/4, 4 7/8 in; the block is 19 1/2, 20 1/4 and 20 3/4 in round. Take-ins 1 1/4
    and 13/16 in, so 1 1/4 - 7/16 * 11 / 16.5 = 0.9583 in at the calf: 16.417 in; ruled, 16.5 in.
    """
    heights = {"hem": "0", "calf": "11", "knee": "16 1/2", "crotch": "30", "hip": "38"}
    around = {"hem": 19.5, "calf": 20.25, "knee": 20.75}
    front = {"hem": 4.625, "calf": 4.75, "knee": 4.875}
    reaches: dict[str, dict[str, float]] = {}
    for edge in EDGES:
        own = {
            level: (front[level] if "front" in edge else around[level] / 2 - front[level]) * 25.4
            for level in around
        }
        top = {"crotch": 7.0 * 25.4} if "inseam" in edge else {"crotch": 150.0, "hip": 155.0}
        reaches[edge] = own | top
    block = sample.block(sample.table(heights, reaches))
    assert {level: block.circumference(block.heights[level]) / 25.4 for level in around} == (
        pytest.approx(around)
    )
    design = sample.wide(hem="14 1/2", knee="17 1/2")
    for style, calf in (("follow", 417.0), ("straight", 419.1)):
        tapered = taper(block, replace(design, style=style), "in")
        assert tapered.finished["hem"] == pytest.approx(14.5 * 25.4)
        assert tapered.finished["knee"] == pytest.approx(17.5 * 25.4)
        assert tapered.finished["calf"] == pytest.approx(calf, abs=0.05)


def test_each_style_leaves_its_own_width_at_knee_and_thigh() -> None:
    """Both styles side by side, each as its own taper has it; the asked widths alike in both."""
    design = sample.design()
    found = widths_by_style(sample.block(), design, "in")
    assert list(found) == ["follow", "straight"]
    for style, widths in found.items():
        finished = _taper(replace(design, style=style)).finished
        assert widths == {level: finished[level] for level in ("knee", "thigh")}
    assert found["follow"]["knee"] != pytest.approx(found["straight"]["knee"], abs=1)
    asked = widths_by_style(sample.block(), sample.wide(hem="15", knee="17"), "in")
    assert asked["follow"]["knee"] == pytest.approx(asked["straight"]["knee"])


def test_a_blend_may_lie_from_the_highest_mark_to_where_an_edge_is_kept() -> None:
    """Hem and knee asked for: above 17 in; where the thigh keeps its edge, up to 29 in alone."""
    knee = _taper(sample.wide(hem="15", knee="17"))
    assert blend_range(knee, "outseam") == pytest.approx((17 * 25.4, 38 * 25.4))
    thigh = _taper(sample.design(take_in=sample.lengths(hem="1", knee="1/2", thigh="0")))
    assert blend_range(thigh, "outseam") == pytest.approx((17 * 25.4, 29 * 25.4))


def test_a_seam_that_is_let_out_on_purpose_keeps_its_curve() -> None:
    """Let out by 1/4 in at the hem, the outseam lies outside as asked: its curve is no fault."""
    design = sample.design(
        take_in={},
        extra={"outseam": sample.lengths(hem="-1/4")},
        curve=sample.lengths(outseam="12"),
    )
    assert _taper(design).seams["back_outseam"].curve == pytest.approx(12 * 25.4)


def test_a_width_that_the_crotch_has_already_changes_nothing_there() -> None:
    """28 in asked for at the crotch, where the block has 27 7/8: the edges stay, no error."""
    tapered = _taper(sample.wide(hem="15", crotch="28"))
    assert float(tapered.circumference(0)) == pytest.approx(15 * 25.4)
    assert float(tapered.circumference(30 * 25.4)) == pytest.approx(27.875 * 25.4)


@some
@given(blocks.tapers())
def test_a_seam_that_follows_keeps_every_invariant(given_: tuple[BlockTable, Design]) -> None:
    """Inside the old seam, alike on all edges, exact widths, no kink, old above the blend."""
    table, design = given_
    invariants.assert_every_invariant(fit(sample.project(design, block=table)))


@some
@given(blocks.tapers("straight"))
def test_a_ruled_seam_keeps_widths_and_direction(given_: tuple[BlockTable, Design]) -> None:
    """Whether or not a ruled seam fits, widths are exact and no kink is new.

    Where it is said to fit, it lies inside the old seam to 0.3 mm.
    """
    table, design = given_
    tapered = taper(sample.block(table), design, "in")
    invariants.assert_alike(tapered)
    invariants.assert_widths(tapered)
    invariants.assert_smooth(tapered)
    invariants.assert_old_above_blend(tapered)
    invariants.assert_sum(tapered)
    if all(seam.outside <= OUTSIDE_TOLERANCE for seam in tapered.seams.values()):
        invariants.assert_inside(tapered, OUTSIDE_TOLERANCE + invariants.INSIDE_TOLERANCE)


@some
@given(blocks.tapers())
def test_lengths_are_true(given_: tuple[BlockTable, Design]) -> None:
    """The length of every new seam is that of a fine polyline along it, to 0.05 mm."""
    table, design = given_
    tapered = fit(sample.project(design, block=table)).taper
    for edge in EDGES:
        measured = invariants.polyline_length(tapered, edge, parts=20)
        assert tapered.seams[edge].length == pytest.approx(measured, abs=0.05)


@some
@given(blocks.blocks())
def test_nothing_asked_is_nothing_changed(block: Any) -> None:
    """A design without a take-in gives the block's own seams back."""
    tapered = taper(block, sample.design(take_in={}), "cm")
    for edge in EDGES:
        y = np.linspace(0, block.blend_top(seam_of(edge)), 50)
        assert tapered.reach(edge, y) == pytest.approx(block.reach(edge, y), abs=1e-12)


def test_an_upright_seam_may_be_ruled_from_the_level_asked_to_its_top() -> None:
    """All but the lowest height fit, so the range ends at the top, wherever it blends now."""
    upright = sample.table(
        {"knee": 400.0, "crotch": 760.0, "hip": 960.0},
        {
            f"{panel}_{seam}": {"hem": 150.0, top: 150.0}
            for panel in ("front", "back")
            for seam, top in (("outseam", "hip"), ("inseam", "crotch"))
        },
    )
    for blend in (300.0, 700.0, 960.0):
        asked: Any = {"outseam": sample.length(blend)}
        design = sample.design(style="straight", blend=asked)
        found = blend_range(sample.fitted(design, block=upright).taper, "outseam")
        assert found == pytest.approx((2 * 960 / 48, 960.0))
