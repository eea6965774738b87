"""The width of a fold-up against similar triangles.

A panel 18 cm wide at the hem and 22 cm at 40 cm up gains 0.1 cm per cm. Folded up 4 cm deep, its
cut edge must be as wide as the leg is 4 cm above the hem: 18.4 cm. Cut straight down it would be
18 cm, 0.4 short; with the taper carried on 17.6 cm, 0.8 short.
"""

from __future__ import annotations

import pytest
import sample
import shapely

from legtaper.leg.hem import HemSize, fold_up
from legtaper.pattern import build


def test_the_fold_up_of_a_straight_panel() -> None:
    """18.4 cm: 0.4 more than straight down, 0.8 more than the taper carried on."""
    sides = shapely.get_coordinates(
        [shapely.LineString([(-90, 0), (-110, 400)]), shapely.LineString([(90, 0), (110, 400)])]
    ).reshape(2, 2, 2)
    below = fold_up(sides[0], sides[1], HemSize("single", 40, 0, 0))
    assert below.cut_edge == pytest.approx(184)
    straight_down, carried_on = 180, 180 - 40 * (220 - 180) / 400
    assert below.cut_edge - straight_down == pytest.approx(4)
    assert below.cut_edge - carried_on == pytest.approx(8)


def test_the_same_panel_through_the_whole_pipeline() -> None:
    """An untapered leg of these widths, front and back, is cut 18.4 cm wide at its lowest edge."""
    gain = (220 - 180) / 400 / 2
    reaches = {
        edge: {"hem": 90.0, level: 90 + gain * height}
        for edge, level, height in (
            ("front_outseam", "hip", 960.0), ("front_inseam", "crotch", 760.0),
            ("back_outseam", "hip", 960.0), ("back_inseam", "crotch", 760.0),
        )
    }  # fmt: skip
    table = sample.table({"crotch": 760.0, "hip": 960.0}, reaches)
    design = sample.design(take_in={}, hem=sample.hem("single", depth=40.0))
    pattern = build(sample.project(design, block=table))
    for panel in pattern.narrowed.values():
        assert panel.shape.cut_edge == pytest.approx(184, abs=1e-6)
