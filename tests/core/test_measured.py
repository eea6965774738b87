from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
import sample

from legtaper.block_sources.measured import block_from_table
from legtaper.model.project import BlockTable, ProjectError, Wearer


def _table(
    heights: dict[str, Any] | None = None, reaches: dict[str, dict[str, Any]] | None = None
) -> BlockTable:
    """Return the sample table with heights and reaches changed; `None` leaves one out."""
    changed_heights = {**sample.HEIGHTS, **(heights or {})}
    changed = {edge: {**reach} for edge, reach in sample.REACHES.items()}
    for edge, by_level in (reaches or {}).items():
        changed[edge] |= by_level
    return sample.table(
        {level: said for level, said in changed_heights.items() if said is not None},
        {
            edge: {level: said for level, said in by_level.items() if said is not None}
            for edge, by_level in changed.items()
        },
    )


def _refused(table: BlockTable) -> ProjectError:
    with pytest.raises(ProjectError) as caught:
        block_from_table(table, "in")
    return caught.value


def test_a_block_is_as_wide_as_its_four_reaches() -> None:
    """Hem 4 1/4 + 4 1/4 + 4 3/4 + 4 3/4 = 18 in; crotch 5 3/4 + 7 + 6 3/8 + 8 3/4 = 27 7/8 in."""
    block = sample.block()
    assert float(block.circumference(0)) == pytest.approx(18 * 25.4)
    assert float(block.circumference(block.crotch)) == pytest.approx(27.875 * 25.4)
    assert float(block.reach("back_inseam", 17 * 25.4)) == pytest.approx(5.375 * 25.4)


def test_the_levels_stand_in_order_from_the_hem() -> None:
    """Levels come out ascending and in mm, however the table had them; the hem is 0."""
    table = sample.table(dict(reversed(sample.HEIGHTS.items())))
    heights = sample.block(table).heights
    assert list(heights) == ["hem", "calf", "knee", "thigh", "crotch", "hip"]
    assert heights["knee"] == pytest.approx(431.8)
    assert sample.block(_table({"hem": None})).heights["hem"] == 0


def test_above_the_crotch_only_outseams_are_left() -> None:
    """At the crotch point all four edges exist, above it the two outseams."""
    block = sample.block()
    assert len(block.edges_at("crotch")) == 4
    assert block.edges_at("hip") == ("front_outseam", "back_outseam")


def test_seams_blend_at_most_where_they_end() -> None:
    """An outseam blends at most at the hip, an inseam at the crotch point."""
    block = sample.block()
    assert block.blend_top("outseam") == block.top == pytest.approx(38 * 25.4)
    assert block.blend_top("inseam") == pytest.approx(30 * 25.4)


def test_levels_that_were_not_given_are_placed_and_marked() -> None:
    """Knee 0.576 of 30 in = 17.28 in, calf five eighths of that, thigh 1 in below the crotch."""
    table = _table(
        {"calf": None, "knee": None, "thigh": None},
        {edge: {"knee": None} for edge in sample.REACHES},
    )
    block = sample.block(table)
    assert block.estimated == {"calf", "knee", "thigh"}
    assert block.heights["knee"] == pytest.approx(17.28 * 25.4)
    assert block.heights["calf"] == pytest.approx(10.8 * 25.4)
    assert block.heights["thigh"] == pytest.approx(29 * 25.4)
    assert sample.block().estimated == frozenset()


def test_in_a_metric_project_the_thigh_lies_25_mm_below_the_crotch() -> None:
    """The thigh level is 2.5 cm below the crotch where lengths are in cm."""
    block = block_from_table(_table({"thigh": None}), "cm")
    assert block.heights["thigh"] == pytest.approx(762 - 25)


@pytest.mark.parametrize(
    "heights",
    [
        {"knee": None, "calf": "18"},
        {"knee": "29 1/2", "thigh": None},
        {"knee": None, "thigh": "9"},
        {"knee": None, "calf": "18", "thigh": "20"},
    ],
)
def test_placed_levels_keep_the_order_of_the_leg(heights: dict[str, str | None]) -> None:
    """Whatever is left out, the levels stay calf, knee, thigh, crotch from below."""
    gone = {edge: {"knee": None} for edge in sample.REACHES} if "knee" in heights else {}
    given = {"calf": None, **heights}
    block = sample.block(_table(given, gone))
    assert list(block.heights) == ["hem", "calf", "knee", "thigh", "crotch", "hip"]


def test_a_level_left_out_of_a_seam_is_filled_in() -> None:
    """The sample's calf has no reaches of its own: the seam passes it between hem and knee."""
    block = sample.block()
    assert 107.95 < float(block.reach("front_outseam", block.heights["calf"])) < 120.65


def test_an_extra_level_bends_the_seam() -> None:
    """A level with a name of its own may lie anywhere, and the seam passes through its reach."""
    table = _table({"shin": "6 in"}, {"front_outseam": {"shin": "4 5/8"}})
    block = sample.block(table)
    assert float(block.reach("front_outseam", 6 * 25.4)) == pytest.approx(4.625 * 25.4)
    assert list(block.heights)[1] == "shin"


@pytest.mark.parametrize(
    ("hips", "fullest"), [(("41", "39"), "hip"), (("41", "42"), "high_hip"), (None, "high_hip")]
)
def test_the_leg_hangs_from_the_fullest_level(hips: tuple[str, str] | None, fullest: str) -> None:
    """The wearer's fuller hip decides; where she was not measured, the wider place of the block."""
    reaches = {"front_outseam": {"high_hip": "6"}, "back_outseam": {"high_hip": "7"}}
    table = _table({"high_hip": "41"}, reaches)
    measured = sample.wearer(hip=hips[0], high_hip=hips[1]) if hips else Wearer()
    block = block_from_table(table, "in", measured)
    assert block.fullest == fullest
    assert block.top == block.heights[fullest]


def test_a_block_with_the_high_hip_alone_hangs_from_there() -> None:
    """Where no hip level was measured the high hip is the top."""
    reaches = {
        edge: {"hip": None, "high_hip": "6 1/2"} for edge in ("front_outseam", "back_outseam")
    }
    block = sample.block(_table({"hip": None, "high_hip": "40"}, reaches))
    assert block.fullest == "high_hip"


@pytest.mark.parametrize(
    ("heights", "reaches", "key", "problem"),
    [
        ({"hem": "1"}, {}, "block.height.hem", "hem"),
        ({"crotch": None}, {}, "block.height.crotch", "missing"),
        ({"hip": None}, {}, "block.height.hip", "missing"),
        ({"knee": "9"}, {}, "block.height.knee", "above the calf"),
        ({"knee": "10 1/2"}, {}, "block.height.knee", "above the calf"),
        ({"hip": "29 1/2"}, {}, "block.height.hip", "above the crotch"),
        ({"high_hip": "37"}, {}, "block.height.high_hip", "above the hip"),
        ({"shin": "17"}, {}, "block.height.shin", "the knee and the shin have the same height"),
        ({}, {"back_inseam": {"hem": None}}, "block.back.inseam.hem", "missing"),
        ({}, {"front_inseam": {"crotch": None}}, "block.front.inseam.crotch", "missing"),
        ({}, {"front_outseam": {"hip": None}}, "block.front.outseam.hip", "missing"),
        ({}, {"front_inseam": {"hip": "8"}}, "block.front.inseam.hip", "ends at the crotch"),
        ({}, {"back_outseam": {"knee": 0.0}}, "block.back.outseam.knee", "outside the grainline"),
        ({}, {"back_outseam": {"shin": "5"}}, "block.back.outseam.shin", "block.height.shin"),
    ],
)
def test_a_table_that_makes_no_block_is_refused_by_name(
    heights: dict[str, Any], reaches: dict[str, dict[str, Any]], key: str, problem: str
) -> None:
    """Each thing that is missing or wrong is named as the file names it, with what is wrong."""
    refused = _refused(_table(heights, reaches))
    assert refused.key == key
    assert problem in refused.problem


def test_a_block_without_any_seam_says_which_is_missing() -> None:
    """A table that has only heights names the first edge it lacks."""
    assert _refused(replace(sample.table(), reach={})).key == "block.front.inseam.hem"


def test_the_fingerprint_tells_blocks_apart_by_their_numbers() -> None:
    """Other words or units for the same numbers match; any changed number does not."""
    fingerprint = sample.block().fingerprint
    same = _table({"knee": 431.8}, {"front_outseam": {"hem": "4.25"}})
    assert sample.block(same).fingerprint == fingerprint
    assert sample.block(replace(same, label="Another name")).fingerprint == fingerprint
    for changed in (
        _table({"knee": "17 1/8"}),
        _table({"calf": "10"}),
        _table({}, {"back_inseam": {"crotch": "8 5/8"}}),
        _table({"shin": "6"}, {"front_outseam": {"shin": "4 3/8"}}),
    ):
        assert sample.block(changed).fingerprint != fingerprint
