"""Two rules of thumb of the trade for four seam edges (common practice, no published source).

5/8 in off each edge takes 2 1/2 in off around the leg, 1 in takes 4 in.
"""

from __future__ import annotations

import pytest
import sample

from legtaper.leg.widths import take_in_for


@pytest.mark.parametrize(("each", "round_leg"), [("5/8", 2.5), ("1", 4.0)])
def test_four_edges_take_four_times_as_much(each: str, round_leg: float) -> None:
    """At the hem of the sample block, 18 in round."""
    fitted = sample.fitted(sample.design(take_in=sample.lengths(hem=each)))
    assert float(fitted.taper.circumference(0)) == pytest.approx((18 - round_leg) * 25.4)


@pytest.mark.parametrize(("each", "round_leg"), [(0.625, 2.5), (1.0, 4.0)])
def test_and_the_other_way_round(each: float, round_leg: float) -> None:
    """Asked for so much less around the leg, each edge gives a quarter of it."""
    assert take_in_for(18, 18 - round_leg) == pytest.approx(each)
    fitted = sample.fitted(sample.wide(hem=f"{18 - round_leg}"))
    for edge in fitted.taper.seams:
        assert float(fitted.taper.take_in(edge, 0)) == pytest.approx(each * 25.4)
