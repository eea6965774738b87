from __future__ import annotations

import blocks
import invariants
import pytest
import sample
from hypothesis import assume, given, settings

from legtaper.model.project import BlockTable, Design, Fabric, ProjectError
from legtaper.outputs.json_report import check_report, marks_report
from legtaper.pattern import Pattern, build

some = settings(max_examples=40)


def _pattern(drawn: tuple[BlockTable, Design, Fabric]) -> Pattern:
    table, design, fabric = drawn
    try:
        return build(sample.project(design, block=table, fabric=fabric))
    except ProjectError:
        assume(False)
        raise


@some
@given(blocks.changed())
def test_any_end_any_shift_any_shrinkage_keeps_every_invariant(
    drawn: tuple[BlockTable, Design, Fabric],
) -> None:
    """Inside the old seam but for the shift, alike, exact widths, no kink, old above the blend."""
    pattern = _pattern(drawn)
    invariants.assert_every_invariant(pattern.fit)
    grown = pattern.fit.grown.taper
    invariants.assert_smooth(grown)
    invariants.assert_sum(grown)
    across, along = pattern.fit.project.fabric.growth
    for level, width in pattern.fit.taper.finished.items():
        assert grown.finished[level] == pytest.approx(width * across)
        assert grown.block.heights[level] == pytest.approx(pattern.fit.block.heights[level] * along)


@some
@given(blocks.changed())
def test_any_leg_is_cut_and_told(drawn: tuple[BlockTable, Design, Fabric]) -> None:
    """The panels hold together where their cut lines do not cross, and both reports are made."""
    pattern = _pattern(drawn)
    if not any(found.id == "cut-line" for found in pattern.findings):
        invariants.assert_cuttable(pattern)
    assert check_report(pattern)["levels"][0]["height"] == pattern.fit.block.start
    assert marks_report(pattern.fit, "1mm")["marks"]
