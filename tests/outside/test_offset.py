"""Cut lines against `shapely`: its `buffer` as the distance, its `affinity` as the mirror."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import sample
import shapely
from shapely import affinity

from legtaper.leg.hem import HemSize, fold_up
from legtaper.leg.panel import OUTSEAM_SIDE
from legtaper.model.project import EDGES, PANELS, Allowance, PanelName
from legtaper.pattern import build


def _panel_of(edge: str) -> PanelName:
    return next(name for name, edges in PANELS.items() if edge in edges)


@pytest.mark.parametrize("edge", EDGES)
@pytest.mark.parametrize("width", [6.35, 15.875, 25.4])
def test_beside_a_seam_the_cut_line_is_the_edge_of_the_buffer(edge: Any, width: float) -> None:
    """Away from both ends it runs along the buffer of the new seam drawn ten times as finely."""
    allowance = Allowance(sample.length(width))
    pattern = build(sample.project(allowance=allowance))
    name = _panel_of(edge)
    side = OUTSEAM_SIDE[name] * (1 if edge.endswith("outseam") else -1)
    seam = pattern.fit.taper.seams[edge]
    y = np.linspace(0, float(seam.old.knots[-1]), 2000)
    fine = shapely.LineString(np.column_stack([side * seam.at(y), y]))
    rim = fine.buffer(width, quad_segs=64).exterior
    cut = pattern.narrowed[name].shape.cut
    beside = cut[(cut[:, 0] * side > 0) & (cut[:, 1] > width) & (cut[:, 1] < y[-1] - 2 * width)]
    assert len(beside) > 100
    assert shapely.distance(rim, shapely.points(beside)) == pytest.approx(0, abs=0.02)


@pytest.mark.parametrize("name", list(PANELS))
def test_the_cut_line_below_the_fold_is_the_mirrored_one(name: PanelName) -> None:
    """Mirrored up by shapely in the hem line, the lower end of the cut line lies on the upper."""
    shape = build(sample.project()).narrowed[name].shape
    line = shapely.LineString(shape.cut)
    below = line.intersection(shapely.box(-500, -37, 500, -0.001))
    above = line.intersection(shapely.box(-500, 0.001, 500, 37))
    mirrored = affinity.scale(below, yfact=-1, origin=(0, 0))
    assert mirrored.hausdorff_distance(above) < 0.01


def test_a_fold_up_in_a_slanting_hem_is_a_turn_and_a_mirror() -> None:
    """Turning the leg so that its hem is level, mirroring and turning back comes to the same."""
    y = np.linspace(0, 300, 61)
    left = np.column_stack([-90 - 0.05 * y, y])
    right = np.column_stack([90 + 0.08 * y, y + 25])
    below = fold_up(left, right, HemSize("single", 40, 0, 0))
    angle = np.degrees(np.arctan2(25, 180))
    start = tuple(left[0])
    for edge, folded in ((left, below.left), (right, below.right)):
        level = affinity.rotate(shapely.LineString(edge), -angle, origin=start)
        mirrored = affinity.scale(level, yfact=-1, origin=start)
        back = affinity.rotate(mirrored, angle, origin=start)
        assert shapely.distance(back, shapely.points(folded)) == pytest.approx(0, abs=1e-9)
