"""A level may lie at a height of its own on one panel: a lowered back crotch point."""

from __future__ import annotations

from dataclasses import replace

import pytest
import sample

from legtaper.files.project_file import read_project, write_project
from legtaper.leg.block import Block
from legtaper.model.project import BlockTable, Lengths, PanelName, ProjectError
from legtaper.outputs.json_report import level_rows
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.pattern import block_of, build

IN = 25.4
LOWERED: dict[PanelName, Lengths] = {"back": sample.lengths(crotch="29 1/2")}


def lowered(panel_height: dict[PanelName, Lengths] = LOWERED) -> BlockTable:
    """Return the sample block with its back crotch point 1/2 in lower than the front's."""
    return replace(sample.SAMPLE, panel_height=panel_height)


def lowered_block() -> Block:
    """Return its block."""
    return sample.block(lowered())


@pytest.mark.parametrize("said", ["-1,2 cm", "1,2 cm"])
@pytest.mark.parametrize(
    ("key", "place", "table"),
    [
        ("block.height.hem", '[block.height]\nhem = "0 in"', "[block.height]"),
        ("block.back.height.hem", "[block.back.outseam]", "[block.back.height]"),
    ],
)
def test_a_hem_elsewhere_is_refused_with_what_is_taken(
    key: str, place: str, table: str, said: str
) -> None:
    """Below or above 0, for both panels or one: the line names 0, and with 0 the block is built."""
    rest = "" if place.startswith(table) else f"\n\n{place}"
    text = write_project(sample.project())
    assert text.count(place) == 1
    with pytest.raises(ProjectError, match='this can only be "0"') as caught:
        block_of(read_project(text.replace(place, f'{table}\nhem = "{said}"{rest}')))
    assert caught.value.key == key
    assert block_of(read_project(text.replace(place, f'{table}\nhem = "0"{rest}')))


def test_each_seam_runs_through_its_panels_own_heights() -> None:
    """The back inseam reaches its 8 3/4 in at 29 1/2 in and ends there; the front's stays at 30."""
    block = lowered_block()
    assert float(block.seams["back_inseam"].knots[-1]) == pytest.approx(29.5 * IN)
    assert float(block.seams["front_inseam"].knots[-1]) == pytest.approx(30 * IN)
    assert float(block.reach("back_inseam", 29.5 * IN)) == pytest.approx(8.75 * IN)
    assert float(block.reach("back_outseam", 29.5 * IN)) == pytest.approx(6.375 * IN)


def test_a_width_adds_each_panel_at_its_own_height() -> None:
    """At the crotch the four reaches of the table, 27 7/8 in, though at two heights."""
    block = lowered_block()
    assert block.widths["crotch"] == pytest.approx(27.875 * IN)
    assert block.widths["knee"] == sample.block().widths["knee"]
    assert block.apart("crotch")
    assert not block.apart("knee")


def test_an_inseam_blends_below_the_lower_crotch_point() -> None:
    """Nothing asked: 1 in below 29 1/2 in; the highest admissible blend is the lower point."""
    fitted = sample.fitted(block=lowered())
    assert fitted.block.blend_top("inseam") == pytest.approx(29.5 * IN)
    assert fitted.taper.seams["front_inseam"].blend == pytest.approx(28.5 * IN)
    assert fitted.taper.seams["back_inseam"].blend == pytest.approx(28.5 * IN)


def test_a_thigh_that_was_not_given_is_placed_from_the_blocks_own_crotch() -> None:
    """1 in below 30 in, not below the back's 29 1/2 in."""
    heights = {level: said for level, said in sample.HEIGHTS.items() if level != "thigh"}
    table = replace(sample.table(heights), panel_height=LOWERED)
    assert sample.block(table).heights["thigh"] == pytest.approx(29 * IN)


def test_an_asked_width_is_exact_where_the_knee_lies_at_two_heights() -> None:
    """A back knee 1/2 in lower: 17 in asked at the knee is 17 in, each panel at its own height."""
    table = lowered({"back": sample.lengths(knee="16 1/2")})
    fitted = sample.fitted(sample.wide(hem="14", knee="17"), block=table)
    assert fitted.taper.finished["knee"] == pytest.approx(17 * IN, abs=0.01)
    front, back = (float(fitted.taper.reach(f"{name}_outseam", y * IN))  # type: ignore[arg-type]
                   for name, y in (("front", 17), ("back", 16.5)))  # fmt: skip
    assert fitted.taper.reaches["front_outseam"]["knee"] == front
    assert fitted.taper.reaches["back_outseam"]["knee"] == back


def test_the_report_says_both_heights_where_they_differ() -> None:
    """`heights` stands at the crotch alone, and the width there is the sum of both panels."""
    rows = {row["level"]: row for row in level_rows(sample.fitted(block=lowered()))}
    assert rows["crotch"]["heights"] == pytest.approx({"front": 30 * IN, "back": 29.5 * IN})
    assert rows["crotch"]["height"] == pytest.approx(30 * IN)
    assert [level for level, row in rows.items() if "heights" in row] == ["crotch"]
    assert rows["crotch"]["block"] == pytest.approx(27.875 * IN)


def test_a_level_line_is_drawn_at_the_panels_height() -> None:
    """The back's crotch line lies 1/2 in lower than the front's, from the hem fold up."""
    drawing = draw_pattern(build(sample.project(block=lowered())))
    strokes = {stroke.id: stroke.points for piece in drawing.pieces for stroke in piece.strokes}
    up = {
        name: float(strokes[f"{name}-level-crotch"][0, 1] - strokes[f"{name}-hem-fold"][0, 1])
        for name in ("front", "back")
    }
    assert up == pytest.approx({"front": 30 * IN, "back": 29.5 * IN})
    for name, height in up.items():
        crotch_point = float(strokes[f"{name}-join"][0, 1] - strokes[f"{name}-hem-fold"][0, 1])
        assert crotch_point == pytest.approx(height)


def test_the_file_keeps_a_panels_own_heights() -> None:
    """Written and read again it is the same, as `[block.back.height]`."""
    project = sample.project(block=lowered())
    text = write_project(project)
    assert '[block.back.height]\ncrotch = "29 1/2"' in text.replace("\n\n", "\n")
    assert read_project(text).block.panel_height["back"]["crotch"].mm == pytest.approx(29.5 * IN)


def test_the_fingerprint_knows_a_lowered_crotch_point() -> None:
    """Lowering the back makes another block; saying the block's own height again does not."""
    plain = sample.block()
    assert lowered_block().fingerprint != plain.fingerprint
    same = lowered({"back": sample.lengths(crotch="30")})
    assert sample.block(same).fingerprint == plain.fingerprint
    assert not sample.block(same).apart("crotch")


@pytest.mark.parametrize(
    ("panel", "own", "key", "problem"),
    [
        ("back", {"crotch": "28 1/2"}, "block.back.height.crotch", "above the thigh"),
        ("front", {"thigh": "30 1/2"}, "block.front.height.thigh", "below the crotch"),
        ("back", {"shin": "12"}, "block.back.height.shin", "block.height.shin"),
        ("back", {"hem": "1/2"}, "block.back.height.hem", "finished hem"),
    ],
)
def test_a_height_that_cannot_be_is_refused_by_name(
    panel: PanelName, own: dict[str, str], key: str, problem: str
) -> None:
    """Out of order, of a level the block does not have, or of the hem."""
    with pytest.raises(ProjectError) as caught:
        sample.block(lowered({panel: sample.lengths(**own)}))
    assert caught.value.key == key
    assert problem in caught.value.problem
