"""When a girth is asked about: beyond people who were measured, and not before.

Sources: as bodies.py names them, ANSUR II and bdims; of children UM-HSRI-77-17, `leg.children`.
"""

from __future__ import annotations

import pytest
from bodies import ANSUR, ansur, bdims

from legtaper.leg.children import child_leg
from legtaper.model.lengths import Length
from legtaper.model.project import Project, Wearer
from legtaper_wizard.flow.questions.body import MEASURED
from legtaper_wizard.flow.steps import answer, slips


def _of(people: list[Wearer], key: str) -> list[float]:
    lengths: list[Length | None] = [getattr(one, key) for one in people]
    return [length.mm for length in lengths if length]


@pytest.mark.skipif(not ANSUR.exists(), reason="needs the table of ANSUR II")
@pytest.mark.parametrize("key", MEASURED)
def test_the_bounds_are_those_of_measured_people(key: str) -> None:
    """The largest of 6,575 adults; the least is a child of six, or that of the adults."""
    people = [one.wearer for one in bdims()] + [one.wearer for one, _ in ansur()]
    adults = _of(people, key)
    least, largest = MEASURED[key]
    assert largest == max(adults)
    children = [child_leg("f", 6), child_leg("m", 6)]
    known = [getattr(child, key) for child in children if key in child._fields]
    assert least == min(known or adults)


@pytest.mark.parametrize(
    ("key", "said", "asked"),
    [
        ("ankle", "33 cm", True),
        ("ankle", "29 cm", False),
        ("ankle", "9 cm", True),
        ("calf", "52 cm", False),
        ("calf", "60 cm", True),
        ("thigh", "87 cm", False),
        ("thigh", "24 cm", True),
        ("knee", "70 cm", True),
        ("hip", "134 cm", False),
        ("foot_entry", "45 cm", True),
    ],
)
def test_a_number_beyond_them_is_asked_about(key: str, said: str, *, asked: bool) -> None:
    """A tenth beyond; what somebody measured is never asked about."""
    project = answer(Project("Trial", "cm"), f"wearer.{key}", said)
    assert bool(slips(project, f"wearer.{key}")) == asked
