"""Rules of two extension leaflets on fitting trousers, each against what the findings say.

Nebraska Extension EC73-455 (1973), "Pants Measurement Chart": the width of the hem at least the
instep measurement; ease of 1 to 2 in at thigh, knee and calf. New Mexico State C-209: the opening
goes around heel and instep; ease at the thigh 1 to 2 in, at the knee at least 1 in.
"""

from __future__ import annotations

from typing import Any

import pytest
import sample

from legtaper.checks.ease import EASE_MINIMUM

IN = 25.4


def _status(name: str, design: Any, **girths: str) -> str:
    fitted = sample.fitted(design, wearer=sample.wearer(**girths))
    return next(found.status for found in fitted.findings if found.id == name)


@pytest.mark.parametrize(
    ("hem", "instep", "status"),
    [("13", "13", "caution"), ("13 1/4", "13", "pass"), ("12 7/8", "13", "fail")],
)
def test_the_hem_is_at_least_the_instep(hem: str, instep: str, status: str) -> None:
    """EC73-455 and C-209: as wide as the instep is enough, if with a tug; an eighth less is not."""
    assert _status("hem-opening", sample.wide(hem=hem), foot_entry=instep) == status


@pytest.mark.parametrize("level", ["thigh", "knee", "calf"])
@pytest.mark.parametrize(
    ("ease", "status"), [(2.0, "pass"), (1.5, "pass"), (1.0, "pass"), (0.75, "caution")]
)
def test_the_ease_is_one_to_two_inches(level: str, ease: float, status: str) -> None:
    """Within the range of EC73-455 the finding passes; below 1 in it cautions."""
    design = sample.design(take_in={}, width=sample.lengths(**{level: "17", "hem": "16"}))
    assert _status(f"ease-{level}", design, **{level: f"{17 - ease} in"}) == status


@pytest.mark.parametrize("level", ["thigh", "knee", "calf"])
def test_the_least_ease_is_shown(level: str) -> None:
    """The sentence names the least of the range as the least, and never as what is usual."""
    found = next(f for f in sample.fitted().findings if f.id == f"ease-{level}")
    assert found.says.endswith("firm fabric needs at least 1 in.")
    assert found.limit == EASE_MINIMUM["in"] == IN
