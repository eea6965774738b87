from __future__ import annotations

import csv
import os
import statistics
from pathlib import Path
from typing import Any

import pytest
import sample

from legtaper.block_sources.drafted import draft_table
from legtaper.leg.children import OLDEST, YOUNGEST, child_foot_entry, child_leg
from legtaper.leg.foot import foot_bounds
from legtaper.model.project import ProjectError

DATA = Path(
    os.environ.get("CHILDREN_LEGS_1977")
    or Path(__file__).parents[3] / "shared/data/children-legs-1977.csv"
)
KEYS = {
    "height": "stature", "hip": "hip", "thigh": "upper_thigh", "calf": "calf", "ankle": "ankle",
    "foot_length": "foot_length",
}  # fmt: skip
AGES = range(YOUNGEST, OLDEST + 1)


@pytest.mark.skipif(not DATA.exists(), reason="children-legs-1977.csv is not at hand")
def test_the_table_has_the_medians_of_the_data() -> None:
    """Every number is the median of that sex in that year of age."""
    with DATA.open(newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["age_years"]]
    for sex in ("f", "m"):
        for age in AGES:
            leg: Any = child_leg(sex, age)  # type: ignore[arg-type]
            of_age = [r for r in rows if r["sex"] == sex and int(float(r["age_years"])) == age]
            for key, column in KEYS.items():
                numbers = [float(row[column]) for row in of_age if row[column]]
                assert getattr(leg, key) == statistics.median(numbers), (sex, age, key)


def _apart(sex: Any, age: int) -> float:
    """Return how much larger the foot entry is by the foot than by ankle and height, mm."""
    leg = child_leg(sex, age)
    spare = {"f": (9.50 - 9.13) * 1.645, "m": (9.37 - 10.11) * 1.645}[sex]  # of the 95 % bounds
    by_foot = foot_bounds(sex, foot_length=leg.foot_length)
    return by_foot - foot_bounds(sex, leg.ankle, leg.height) + spare


def test_how_far_the_two_formulas_part() -> None:
    """By 9 to 19 mm from 2 to 11 years, most for boys of 6; within 12 mm from 12 years up."""
    young = {(sex, age): _apart(sex, age) for sex in ("f", "m") for age in range(2, 12)}
    assert min(young.values()) == pytest.approx(9, abs=0.5)
    assert max(young.values()) == pytest.approx(19, abs=0.5)
    assert max(young, key=lambda key: young[key]) == ("m", 6)
    for sex in ("f", "m"):
        assert all(abs(_apart(sex, age)) <= 12 for age in range(12, OLDEST + 1))


def test_the_larger_of_the_two_is_taken_and_marked() -> None:
    """A boy of 6 by his foot, a girl of 17 by ankle and height; both say what they are."""
    boy, girl = child_leg("m", 6), child_leg("f", 17)
    assert boy.foot_entry.mm == pytest.approx(foot_bounds("m", foot_length=185))
    assert girl.foot_entry.mm == pytest.approx(foot_bounds("f", 207, 1634.5))
    for leg in (boy, girl):
        assert "not measured on children" in leg.foot_entry.estimated_from
        assert "measure instead" in leg.says
    assert child_foot_entry("m", 158.5, 1183, 185) == boy.foot_entry


def test_legs_grow_with_age() -> None:
    """From 2 to 12 years calf, thigh and foot of every year are larger than two years before."""
    for sex in ("f", "m"):
        for age in range(4, 13):
            leg, before = child_leg(sex, age), child_leg(sex, age - 2)  # type: ignore[arg-type]
            assert leg.calf > before.calf
            assert leg.thigh > before.thigh
            assert leg.foot_entry.mm > before.foot_entry.mm


@pytest.mark.parametrize("age", [1, 19])
def test_other_ages_are_refused(age: int) -> None:
    """The data begin at 2 and end at 18 years."""
    with pytest.raises(ProjectError, match="2 to 18 years"):
        child_leg("f", age)


@pytest.mark.parametrize(("height", "share"), [(880.0, 0.411), (1050.0, 0.444), (1600.0, 0.482)])
def test_a_childs_block_has_a_childs_inside_leg(height: float, share: float) -> None:
    """Shorter children have shorter legs for their height, as the furrow below the seat lies."""
    draft = draft_table(sample.wearer(hip=560.0, height=height), "cm")
    assert draft.number("inside_leg") == pytest.approx(share * height, rel=0.002)


def test_an_estimated_knee_is_no_larger_than_the_bent_one() -> None:
    """A hip of 100 cm would give a knee of 41 cm; the bent knee measured 38 cm."""
    wearer = sample.wearer(hip=1000.0, height=1700.0, knee_bent=380.0)
    draft = draft_table(wearer, "cm")
    assert draft.number("knee") == 380
    assert "bent knee" in next(one.why for one in draft.numbers if one.key == "knee")
