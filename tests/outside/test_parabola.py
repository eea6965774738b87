"""Arc length against the closed form for a parabola.

For y = k * x^2 from 0 to b (any table of integrals): b / 2 * sqrt(1 + 4 k^2 b^2) +
asinh(2 k b) / (4 k). With k = 0.002 and b = 50 that is 50.3313614.
"""

from __future__ import annotations

import math

import pytest

from legtaper.geometry.curves import EasedLine, arc_length


def _parabola(k: float, b: float) -> EasedLine:
    """Return k * (b - y)^2 from 0 to b: an eased corner as long as the line."""
    return EasedLine.through([0], [k * b**2], [b / 2], [b])


def test_the_published_length() -> None:
    """The parabola y = 0.002 x^2 from 0 to 50 is 50.3313614 long, to the last digit given."""
    assert arc_length(_parabola(0.002, 50), 0, 50) == pytest.approx(50.3313614, abs=5e-8)


@pytest.mark.parametrize(("k", "b"), [(0.002, 50), (1e-5, 960), (3e-4, 400), (1e-3, 250)])
def test_the_closed_form(k: float, b: float) -> None:
    """From nearly straight to a slope of 1 in 2, far better than the 0.05 mm that is asked."""
    exact = b / 2 * math.sqrt(1 + 4 * k**2 * b**2) + math.asinh(2 * k * b) / (4 * k)
    assert arc_length(_parabola(k, b), 0, b) == pytest.approx(exact, abs=1e-6)
