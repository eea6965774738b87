from __future__ import annotations

import pytest
import sample

from legtaper.model.project import EDGES
from legtaper.outputs.marking_table import Mark, after_rounding, marks
from legtaper.pattern import Fit

IN = 25.4


def _of(fitted: Fit, edge: str = "front_outseam", step: str = "1/8in") -> list[Mark]:
    return [mark for mark in marks(fitted, step) if mark.edge == edge]


def test_every_edge_is_marked_from_the_hem_upwards() -> None:
    """Each edge has its levels up to where the seam ends, in order: inseams to the crotch point."""
    fitted = sample.fitted()
    for edge in EDGES:
        found = _of(fitted, edge)
        heights = [mark.height for mark in found]
        assert heights == sorted(heights)
        levels = [mark.level for mark in found if mark.level]
        expected = ["hem", "calf", "knee", "thigh", "crotch"]
        assert levels == expected + (["hip"] if "outseam" in edge else [])


def test_a_mark_says_how_far_to_come_in_and_where_the_new_line_is() -> None:
    """At the hem of the front outseam: 5/8 in from the old line, 4 1/4 - 5/8 from the grainline."""
    hem = _of(sample.fitted())[0]
    assert hem.come_in == hem.exact_come_in == pytest.approx(0.625 * IN)
    assert hem.from_grainline == hem.exact_from_grainline == pytest.approx(3.625 * IN)


@pytest.mark.parametrize(
    ("step", "come_in", "reach"),
    [("1/8in", 0.5 * IN, 3.75 * IN), ("1/16in", 0.5625 * IN, 3.6875 * IN), ("1mm", 14, 94)],
)
def test_marks_are_rounded_as_the_ruler_is(step: str, come_in: float, reach: float) -> None:
    """0.55 in = 13.97 mm off, 3.7 in = 93.98 mm left: nearest 1/8, 1/16 and mm; exact beside."""
    hem = _of(sample.fitted(sample.design(take_in=sample.lengths(hem="0.55"))), step=step)[0]
    assert hem.come_in == pytest.approx(come_in)
    assert hem.from_grainline == pytest.approx(reach)
    assert hem.exact_come_in == pytest.approx(0.55 * IN)
    assert hem.exact_from_grainline == pytest.approx(3.7 * IN)


def test_the_curve_is_led_by_five_points() -> None:
    """Blend 38 in, curve 19 in: it begins at 19 and its quarters are 23 3/4, 28 1/2, 33 1/4, 38.

    33 1/4 and 23 3/4 lie on eighths; 38 is the hip, which stands in the table anyway.
    """
    found = [mark.height / IN for mark in _of(sample.fitted()) if not mark.level]
    assert found == pytest.approx([19, 23.75, 28.5, 33.25])


def test_a_point_of_the_curve_too_near_a_level_is_left_out() -> None:
    """A curve that begins at 433 mm, a hair above the knee at 431.8, has no second mark there."""
    parts = {"blend": sample.lengths(outseam="37"), "curve": {"outseam": sample.length(506.8)}}
    found = _of(sample.fitted(sample.design(**parts)), step="1mm")
    near = [(mark.level, mark.height) for mark in found if abs(mark.height - 431.8) < 3]
    assert near == [("knee", pytest.approx(431.8))]


def test_a_part_is_straight_then_curved_then_the_old_seam() -> None:
    """Below the curve at 19 in the take-in runs evenly, from 38 in up nothing changes."""
    parts = {round(mark.height / IN, 3): mark.part for mark in _of(sample.fitted())}
    assert parts[0] == parts[10.5] == parts[17] == "straight"
    assert parts[23.75] == parts[28.5] == parts[30] == "curve"
    assert parts[38] == "old seam"
    inseam = {mark.level: mark.part for mark in _of(sample.fitted(), "back_inseam")}
    assert inseam["thigh"] == inseam["crotch"] == "old seam"


def test_an_eased_level_lies_on_a_curve() -> None:
    """Where the line bends at an asked calf, the calf is not on a straight part."""
    asked = sample.lengths(hem="1", calf="1/8", knee="1/8")
    fitted = sample.fitted(sample.design(take_in=asked))
    assert {mark.level: mark.part for mark in _of(fitted)}["calf"] == "curve"


def test_what_stays_is_all_old_seam() -> None:
    """Nothing asked for: every mark says the old seam, and nothing comes in."""
    found = marks(sample.fitted(sample.design(take_in={})), "1/8in")
    assert {mark.part for mark in found} == {"old seam"}
    assert {mark.come_in for mark in found} == {0}
    assert all(mark.level for mark in found)


def test_the_width_after_rounding_is_that_of_the_rounded_marks() -> None:
    """0.55 in off: 3.7, 3.7, 4.2, 4.2 become 3 3/4, 3 3/4, 4 1/4, 4 1/4 in: 16 in, not 15.8."""
    fitted = sample.fitted(sample.design(take_in=sample.lengths(hem="0.55")))
    after = after_rounding(fitted, "1/8in")
    assert after["hem"] == pytest.approx(16 * IN)
    assert list(after) == ["hem", "calf", "knee", "thigh", "crotch"]
    for level, width in after.items():
        found = [mark.from_grainline for mark in marks(fitted, "1/8in") if mark.level == level]
        assert sum(found) == pytest.approx(width)
