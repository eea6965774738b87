from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sample
import shapely
import tracings

from legtaper.model.project import EDGES, Fabric
from legtaper.outputs.json_report import check_report
from legtaper.outputs.marking_table import marks
from legtaper.pattern import Pattern, build

SHRINKS = Fabric("twill", shrink_length_percent=3, shrink_width_percent=2)


def _pattern(**fabric: Any) -> Pattern:
    return build(sample.project(fabric=Fabric("twill", **fabric)))


def test_what_loses_three_percent_is_cut_as_much_longer() -> None:
    """78 cm that is to be left after 3 % is cut as 80.4 cm: 78 / 0.97."""
    across, along = SHRINKS.growth
    assert 78 * along == pytest.approx(80.4, abs=0.05)
    assert across == pytest.approx(1 / 0.98)


def test_washed_the_net_pattern_is_the_plain_one() -> None:
    """Every net point shrinks back onto the seam; across by 2 %, along by 3 %."""
    plain, grown = (
        build(sample.project(fabric=fabric)).narrowed for fabric in (Fabric("twill"), SHRINKS)
    )
    for name, panel in grown.items():
        washed = panel.shape.net * (0.98, 0.97)
        net = plain[name].shape.net
        ends = washed[[0, -1]], net[[0, -1]]
        assert ends[0] == pytest.approx(ends[1], abs=1e-6)
        assert float(washed[:, 1].min()) == pytest.approx(float(net[:, 1].min()), abs=1e-6)
        assert float(np.ptp(washed[:, 0])) == pytest.approx(float(np.ptp(net[:, 0])), abs=0.02)
        below, flat = panel.shape.hem_below, plain[name].shape.hem_below
        assert float(below[:, 1].min()) * 0.97 == pytest.approx(float(flat[:, 1].min()), abs=0.01)


def test_a_whole_piece_washed_is_the_plain_one_up_to_the_waist() -> None:
    """Hem, waist, crotch curve, darts and notches of a traced piece, each within 0.01 mm."""
    plain, grown = (
        build(replace(tracings.project(), fabric=fabric)).drawn.block.rests
        for fabric in (Fabric("twill"), SHRINKS)
    )
    for name, rest in plain.items():
        other = grown[name]
        assert rest.lines, "a dart to look at"
        assert rest.notches, "a notch to look at"
        for one, larger in (
            (rest.hem, other.hem),
            (rest.waist, other.waist),
            (rest.crotch, other.crotch),
            (np.array(rest.notches), np.array(other.notches)),
            *zip(rest.lines, other.lines, strict=True),
        ):
            assert np.asarray(larger) * (0.98, 0.97) == pytest.approx(np.asarray(one), abs=0.01)


def test_allowances_do_not_grow() -> None:
    """5/8 in beside the seam as ever: the cut line lies as far out."""
    pattern = build(sample.project(fabric=SHRINKS))
    panel = pattern.narrowed["front"]
    net = panel.shape.net
    upper = net[(net[:, 1] > 200) & (net[:, 1] < 600)]
    cut = shapely.LineString(panel.shape.cut)
    apart = shapely.distance(cut, shapely.points(upper))
    assert apart == pytest.approx(15.875, abs=0.02)


def test_the_report_gives_washed_sizes() -> None:
    """Widths, heights and findings are those of the leg as it will be worn."""
    plain, grown = _pattern(), _pattern(shrink_length_percent=3, shrink_width_percent=2)
    one, other = check_report(plain), check_report(grown)
    assert one["levels"] == other["levels"]
    assert one["findings"] == other["findings"]


def test_marks_are_grown_and_come_in_from_the_line_grown_alike() -> None:
    """Each height is 1/0.97, each distance from the grainline and each come in 1/0.98."""
    plain = marks(_pattern().fit, "1mm")
    grown = marks(_pattern(shrink_length_percent=3, shrink_width_percent=2).fit, "1mm")
    named = [[mark for mark in found if mark.level in ("hem", "knee")] for found in (plain, grown)]
    assert len(named[0]) == len(EDGES) * 2
    for one, other in zip(*named, strict=True):
        assert other.height == pytest.approx(one.height / 0.97)
        assert other.exact_come_in == pytest.approx(one.exact_come_in / 0.98)
        assert other.exact_from_grainline == pytest.approx(one.exact_from_grainline / 0.98)


def test_a_muslin_does_not_grow() -> None:
    """For a test in other fabric both legs are the size that they will be washed."""
    plain, grown = _pattern(), _pattern(shrink_length_percent=3, shrink_width_percent=2)
    for legs in ("narrowed", "unaltered"):
        for name in ("front", "back"):
            one, other = (getattr(each.for_test, legs)[name].shape.cut for each in (plain, grown))
            assert one == pytest.approx(other)


def test_what_does_not_shrink_is_drawn_as_it_is() -> None:
    """The grown fit of a fabric without shrinkage is the fit itself."""
    fitted = _pattern().fit
    assert fitted.grown is fitted
