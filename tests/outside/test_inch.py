"""The inch and the foot against NIST Special Publication 811 (2008), Appendix B.

Section B.6 and the tables B.8 and B.9: 1 inch is exactly 0.0254 m, 1 foot exactly 0.3048 m.
"""

from __future__ import annotations

import pytest

from legtaper.model.lengths import factor, parse_length


@pytest.mark.parametrize(("unit", "mm"), [("in", 25.4), ("ft", 304.8), ("cm", 10.0), ("mm", 1.0)])
def test_a_unit_is_exactly_its_published_size(unit: str, mm: float) -> None:
    """One of each unit is the published number of millimeters, to the last bit."""
    assert factor(unit) == mm
    assert parse_length(f"1 {unit}", "cm").mm == mm


def test_a_foot_is_twelve_inches() -> None:
    """Inches and feet agree with one another: both readings give the same float."""
    assert parse_length("12 in", "in").mm == parse_length("1 ft", "in").mm
