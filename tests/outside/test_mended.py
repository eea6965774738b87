"""Remedies for measured adults: what is offered holds, and every failure has one.

Sources and the figures for everyone: mended.py.
"""

from __future__ import annotations

import bodies
import mended
import pytest

from legtaper.pattern import cut
from legtaper.remedies.mend import MOST_FITS, mends

ADULTS = bodies.bdims()


@pytest.mark.parametrize("number", [3, 77, 210, 333, 480])
@pytest.mark.parametrize("take", [bodies.MILD, bodies.STRONG])
def test_failing_designs_of_adults_have_remedies_that_hold(number: int, take: float) -> None:
    """Narrowed so without a slit: each failure has a remedy, each holds, the first one leads on."""
    fitted = bodies.drafted(ADULTS[number])
    for one in mended.tapers(fitted, (take,), ("follow",)):
        pattern = cut(one)
        found = mends(pattern, only=("fail",))
        assert pattern.failed == bool(found)
        for mending in found:
            assert mending.mends
            assert mending.fits <= MOST_FITS
            assert all(mended.holds(pattern, mending, mend) for mend in mending.mends)
        assert not found or mended.comes_well(pattern, found)
