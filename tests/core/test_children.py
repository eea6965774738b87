from __future__ import annotations

import csv
import os
import statistics
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import sample

from legtaper.block_sources.drafted import draft_table
from legtaper.leg.children import OLDEST, YOUNGEST, child_leg, usual_girth
from legtaper.leg.foot import foot_bounds, foot_entry
from legtaper.model.lengths import say_length
from legtaper.model.project import ProjectError, Wearer
from legtaper.model.said_lengths import say_small

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
            leg: Any = child_leg(sex, age)
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
    boy, girl = foot_entry(Wearer(age=6, sex="m")), foot_entry(Wearer(age=17, sex="f"))
    assert boy is not None
    assert girl is not None
    assert boy.mm == pytest.approx(foot_bounds("m", foot_length=185))
    assert girl.mm == pytest.approx(foot_bounds("f", 207, 1634.5))
    for foot in (boy, girl):
        assert foot.estimated_from == "age"
        assert "not measured on children: measure it first" in foot.caution


def test_what_was_measured_on_a_child_goes_before_the_medians() -> None:
    """A girl of 8 with a foot of 22 cm: 6.690 + 0.9883 * 22 + 1.645 * 0.913 = 29.93 cm.

    By the medians of ankle and height it would be 2.015 + 0.4820 * 18 + 0.1143 * 129 + 1.56 = 27.0.
    A measured foot entry goes before all of it.
    """
    girl = replace(sample.wearer(foot_length=220.0), age=8, sex="f")
    foot = foot_entry(girl)
    assert foot is not None
    assert foot.mm == pytest.approx(299.345, abs=0.01)
    assert foot.estimated_from == "age and foot length"
    measured = foot_entry(replace(girl, foot_entry=sample.length(280.0)))
    assert measured is not None
    assert (measured.mm, measured.of_child) == (280.0, False)


def test_without_a_sex_the_larger_counts_and_a_grown_age_changes_nothing() -> None:
    """A child of 6: the boys' foot entry, which is the larger; at 30 only measurements count."""
    child, boy = foot_entry(Wearer(age=6)), foot_entry(Wearer(age=6, sex="m"))
    assert child is not None
    assert boy is not None
    assert child.mm == boy.mm
    assert foot_entry(Wearer(age=30, sex="m")) is None
    grown, plain = sample.wearer(ankle=220.0, height=1650.0), {"age": 30}
    assert foot_entry(replace(grown, **plain)) == foot_entry(grown)  # type: ignore[arg-type]


def test_a_sex_takes_the_formula_of_that_sex() -> None:
    """Ankle 22 cm, height 165 cm, women: 33.04 cm by hand in test_foot.py; not the men's 34.18."""
    foot = foot_entry(replace(sample.wearer(ankle=220.0, height=1650.0), sex="f"))
    assert foot is not None
    assert foot.mm == pytest.approx(330.4125)


def test_an_ease_that_is_unknown_says_what_children_have() -> None:
    """Half of the girls of 8 have 26.1 cm of calf or more (the median of 1977)."""
    leg = sample.fitted(wearer=Wearer(age=8, sex="f"), length_unit="cm")
    says = {one.id: one.says for one in leg.findings}
    assert "Of girls of 8, half have 26.1 cm or more" in says["ease-calf"].replace("\u00a0", " ")
    assert "measure it first" in says["ease-calf"]
    around = leg.taper.finished["calf"]
    left = say_length(around - 261.0, "cm")
    assert f"26.1 cm or more, which leaves {left} here" in says["ease-calf"]
    tiny = sample.fitted(sample.wide(knee="9", hem="9"), wearer=Wearer(age=12, sex="f"))
    over = next(one for one in tiny.findings if one.id == "ease-calf")
    usual, around = usual_girth(Wearer(age=12, sex="f"), "calf"), tiny.taper.finished["calf"]
    assert usual is not None
    assert around < usual - 25
    assert f"which is {say_small(usual - around, 'in')} too much here" in over.says
    assert (over.status, over.value) == ("unknown", None)


def test_legs_grow_with_age() -> None:
    """From 2 to 12 years calf, thigh and foot of every year are larger than two years before."""
    for sex in ("f", "m"):
        for age in range(4, 13):
            leg, before = child_leg(sex, age), child_leg(sex, age - 2)
            assert leg.calf > before.calf
            assert leg.thigh > before.thigh
            now, then = (foot_entry(Wearer(age=one.age, sex=one.sex)) for one in (leg, before))
            assert now is not None
            assert then is not None
            assert now.mm > then.mm


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
