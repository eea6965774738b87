"""What children's legs measure, as estimates where nothing was measured.

Snyder, Schneider, Owings, Reynolds, Golomb, Schork: Anthropometry of Infants, Children, and Youths
to Age 18 for Product Safety Design, UM-HSRI-77-17 (1977); public data, children of the United
States measured from 1975 to 1977. Medians of each year of age, for each sex. Children of one age
differ widely, and by now differ from those: measure first.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple, get_args

from legtaper.model.project import ProjectError, Sex, Wearer

_WHO: Final = {"f": "girls", "m": "boys"}

_MEDIANS: Final[Mapping[Sex, Mapping[int, tuple[float, ...]]]] = {
    "f": {
        2: (888, 507, 287.5, 203, 149, 141),
        3: (976, 528, 309, 210, 146, 154),
        4: (1048, 549, 322, 216, 153, 166),
        5: (1114.5, 574, 338, 226, 157.5, 173),
        6: (1172, 596.5, 350, 234, 161.5, 182),
        7: (1232.5, 630, 374, 245, 169, 192),
        8: (1290, 668, 400, 261, 180, 201),
        9: (1355, 695, 417.5, 269.5, 182, 210),
        10: (1409.5, 727, 432, 279, 190, 221),
        11: (1470, 757, 458, 289.5, 193, 226),
        12: (1532.5, 804, 478, 306, 198, 234),
        13: (1570, 837, 494, 310.5, 205, 234),
        14: (1604, 882.5, 525, 329.5, 210, 235.5),
        15: (1610, 906, 535, 334, 213, 236),
        16: (1625.5, 906, 534, 332, 207.5, 235.5),
        17: (1634.5, 915.5, 541, 335, 207, 235),
        18: (1621, 923, 529, 334, 207, 238.5),
    },
    "m": {
        2: (917, 516, 281, 202.5, 152, 144.5),
        3: (987, 522, 292, 206, 147, 156),
        4: (1058, 542, 311, 219, 153.5, 168),
        5: (1109, 559, 321, 222, 155, 174),
        6: (1183, 589.5, 337, 234, 158.5, 185),
        7: (1242, 615, 360, 245, 166, 195),
        8: (1309, 643, 371, 261, 171, 204),
        9: (1364, 675.5, 396, 271, 179, 214),
        10: (1406, 702.5, 413, 281, 185, 222),
        11: (1444, 720, 425, 287, 189.5, 227),
        12: (1515, 765, 447, 303.5, 202.5, 239),
        13: (1558, 803.5, 470.5, 318, 209, 246),
        14: (1632, 834, 492, 331, 211.5, 256),
        15: (1724, 882, 518, 348, 223, 264),
        16: (1745, 904, 527, 360.5, 228, 265),
        17: (1763, 923, 544, 362, 226.5, 267),
        18: (1789.5, 947.5, 570.5, 372, 227, 272.5),
    },
}
"""mm by age in years: stature, hip, thigh, calf, ankle, foot length."""

YOUNGEST, OLDEST = min(_MEDIANS["f"]), max(_MEDIANS["f"])


class ChildLeg(NamedTuple):
    """Medians of a year of age, mm."""

    sex: Sex
    age: int
    height: float
    hip: float
    thigh: float
    calf: float
    ankle: float
    foot_length: float


def child_leg(sex: Sex, age: int) -> ChildLeg:
    """Return the estimates for a child of so many whole years. Raises `ProjectError`."""
    found = _MEDIANS[sex].get(age)
    if found is None:
        raise ProjectError("age", f"estimates are for {YOUNGEST} to {OLDEST} years, not {age}")
    return ChildLeg(sex, age, *found)


def legs_like(wearer: Wearer) -> tuple[ChildLeg, ...]:
    """Return the estimates for a wearer who is a child, of both sexes where none is said."""
    if wearer.age is None or not YOUNGEST <= wearer.age <= OLDEST:
        return ()
    sexes = (wearer.sex,) if wearer.sex else get_args(Sex)
    return tuple(child_leg(sex, wearer.age) for sex in sexes)


def say_who(wearer: Wearer) -> str:
    """Say of whom the estimates for a child are: "girls of 8"."""
    return f"{_WHO.get(wearer.sex or '', 'children')} of {wearer.age}"


def usual_girth(wearer: Wearer, girth: str) -> float | None:
    """Return what a girth is among children like this one, mm; `None` where nothing is known.

    The median, of both sexes the larger where none is said; never instead of a measurement.
    """
    legs = [leg for leg in legs_like(wearer) if hasattr(leg, girth)]
    return max((getattr(leg, girth) for leg in legs), default=None)
