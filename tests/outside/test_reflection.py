"""The mirror of the fold-up hem against `sympy`'s `Point.reflect`, which is exact."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from sympy import Line, Point, Rational

from legtaper.geometry.curves import reflect

_whole = st.integers(-400, 400)
_point = st.tuples(_whole, _whole)


def test_a_textbook_reflection() -> None:
    """(3, 5) in the line through (0, 1) and (4, 3) is (5, 1): y = x / 2 + 1 is half way between."""
    assert reflect([(3, 5)], (0, 1), (4, 3))[0] == pytest.approx((5, 1))
    assert Point(3, 5).reflect(Line(Point(0, 1), Point(4, 3))) == Point(5, 1)


@settings(max_examples=40)
@given(_point, _point, _point)
def test_any_reflection(
    point: tuple[int, int], start: tuple[int, int], end: tuple[int, int]
) -> None:
    """Whole coordinates reflected exactly, and by us, are the same to a billionth of a mm."""
    assume(start != end)
    exact = Point(*point).reflect(Line(Point(*start), Point(*end)))
    ours = reflect([point], start, end)[0]
    for coordinate, value in zip(exact.coordinates, ours, strict=True):
        assert isinstance(coordinate, Rational)
        assert float(value) == pytest.approx(float(Fraction(coordinate.p, coordinate.q)), abs=1e-9)
