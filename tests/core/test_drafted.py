"""Drafted blocks: what they are made of, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest
import sample

from legtaper.block import Block
from legtaper.project import PANELS, ProjectError, Wearer
from legtaper.starting.drafted import (
    BODY,
    CAUTION,
    CHOICES,
    LEAST_EASE,
    Draft,
    draft_table,
)
from legtaper.starting.measured import block_from_table

MEASURED = sample.wearer(
    height="66", hip="41", thigh="24", knee="15 1/2", calf="14 3/4", foot_entry="12 3/4"
)


def drafted(unit: Any = "in", **given: str | float) -> Draft:
    """Return the draft for the measured wearer, with these numbers changed."""
    return draft_table(MEASURED, unit, sample.lengths(**given))


def block_of(draft: Draft, unit: Any = "in") -> Block:
    """Return the block of a draft."""
    return block_from_table(draft.table, unit)


def test_every_number_is_shown_with_its_source() -> None:
    """What was measured is "given", the rest is estimated or chosen, each with a reason."""
    numbers = {number.key: number for number in drafted().numbers}
    assert numbers["hip"].source == numbers["thigh"].source == "given"
    assert numbers["inside_leg"].source == "estimated"
    assert numbers["ease_knee"].source == "chosen"
    assert all(number.why for number in numbers.values())
    assert set(CHOICES) <= set(numbers)
    assert drafted().caution == CAUTION


def test_what_is_missing_is_estimated_and_labelled() -> None:
    """With hip and height alone the girths are estimates on the wide side."""
    draft = draft_table(sample.wearer(hip=1000.0, height=1700.0), "cm")
    sources = {number.key: number.source for number in draft.numbers}
    assert {sources[key] for key in ("inside_leg", "thigh", "knee", "calf")} == {"estimated"}
    assert draft.number("thigh") == pytest.approx(631)
    assert draft.number("inside_leg") == pytest.approx(0.482 * 1700)


CHANGES: dict[str, str | float] = {
    "ease_hip": 90.0, "ease_thigh": 160.0, "ease_knee": 120.0, "ease_calf": 200.0,
    "back_wider": 60.0, "crotch_drop": 40.0, "hem_from_floor": 90.0, "hip_above_crotch": 130.0,
    "front_fork": 80.0, "back_fork": 200.0, "hem": 600.0, "inside_leg": 900.0, "hip": 1150.0,
    "thigh": 720.0, "knee": 500.0, "calf": 470.0,
}  # fmt: skip


@pytest.mark.parametrize("key", CHANGES)
def test_every_number_can_be_changed(key: str) -> None:
    """A number that is given is used as it is, and the block is another one for it."""
    changed = drafted(**{key: CHANGES[key]})
    assert changed.number(key) == CHANGES[key]
    assert next(n.source for n in changed.numbers if n.key == key) == "given"
    assert block_of(changed).fingerprint != block_of(drafted()).fingerprint


def test_knee_and_hem_lie_centred_on_the_grainline() -> None:
    """Below the knee inseam and outseam reach alike, so that the crease hangs straight."""
    reach = drafted().table.reach
    for inseam, outseam in PANELS.values():
        for level in ("hem", "calf", "knee"):
            assert reach[inseam][level] == reach[outseam][level]


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_the_back_is_wider_than_the_front(unit: Any) -> None:
    """At every level the back panel is wider, by what was chosen for it below the knee."""
    block = block_of(drafted(unit), unit)
    for level, y in block.heights.items():
        front, back = (
            sum(float(block.reach(edge, y)) for edge in pair if edge in block.edges_at(y))
            for pair in PANELS.values()
        )
        assert back > front, level
    assert float(block.reach("back_inseam", 0) - block.reach("front_inseam", 0)) == pytest.approx(
        {"in": 12.7, "cm": 12.0}[unit], abs=1.6
    )


def test_a_narrow_hem_does_not_pinch_the_calf() -> None:
    """Where the leg would be too narrow at the calf, it keeps the calf's own ease there."""
    draft = drafted(hem=300.0, calf=420.0)
    block = block_of(draft)
    assert float(block.circumference(block.heights["calf"])) >= 420 + 76.2
    assert float(block.circumference(0)) == pytest.approx(300, abs=6.4)


def test_the_hem_lets_the_foot_through() -> None:
    """A foot larger than the straight leg widens the hem."""
    draft = drafted(foot_entry=520.0)
    assert float(block_of(draft).circumference(0)) >= 520


def test_what_was_measured_stays_with_the_wearer() -> None:
    """Measurements given to the draft are the wearer's from then on; choices are not."""
    draft = draft_table(Wearer(), "cm", sample.lengths(hip=1000.0, inside_leg=780.0, ease_hip=80.0))
    assert draft.wearer == sample.wearer(hip=1000.0)


@pytest.mark.parametrize(
    ("given", "key", "says"),
    [
        ({"height": 1700.0}, "hip", "missing"),
        ({"hip": 1000.0}, "inside_leg", "missing"),
        ({"hip": 1000.0, "height": 1700.0, "shoe": 40.0}, "shoe", "no number of the draft"),
        ({"hip": 104.0, "height": 1700.0}, "hip", "must lie from"),
        ({"hip": 1000.0, "height": 170.0}, "height", "must lie from"),
        ({"hip": 1000.0, "height": 1700.0, "knee": 800.0}, "knee", "measure both again"),
        ({"hip": 1000.0, "height": 1700.0, "thigh": 300.0}, "thigh", "measure both again"),
        ({"hip": 1000.0, "height": 1700.0, "ease_knee": 20.0}, "ease_knee", "must lie from"),
        ({"hip": 1000.0, "height": 1700.0, "hem": 50.0}, "hem", "must lie from"),
    ],
)
def test_what_cannot_be_is_refused_by_its_key(given: Any, key: str, says: str) -> None:
    """A missing, unknown or unlikely number is named with what would be right."""
    with pytest.raises(ProjectError) as caught:
        draft_table(Wearer(), "cm", sample.lengths(**given))
    assert caught.value.key == key
    assert says in caught.value.problem


def test_ease_is_never_below_the_least() -> None:
    """The least ease itself is allowed, and is then what the block has at the knee."""
    block = block_of(drafted(ease_knee=LEAST_EASE, hem=350.0))
    ease = float(block.circumference(block.heights["knee"])) - 15.5 * 25.4
    assert LEAST_EASE <= ease <= LEAST_EASE + 6.4


def test_the_body_s_keys_are_the_wearer_s() -> None:
    """Whatever the project knows of a wearer may be given to a draft."""
    assert {"hip", "knee_bent", "foot_length", "inside_leg"} <= set(BODY)
