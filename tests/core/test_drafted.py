"""Drafted blocks: what they are made of, and what is refused."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import sample

from legtaper.block_sources.drafted import (
    BODY,
    CAUTION,
    CHOICES,
    LEAST_EASE,
    Draft,
    draft_table,
)
from legtaper.block_sources.drafted_top import whole_table
from legtaper.block_sources.imported import block_from_outline
from legtaper.block_sources.measured import block_from_table
from legtaper.leg.block import Block
from legtaper.model.project import PANELS, BlockTable, ProjectError, Wearer
from legtaper.model.said_lengths import say_ruled

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
    "ease_waist": 60.0, "back_wider": 60.0, "crotch_drop": 40.0, "hem_from_floor": 90.0,
    "rise": 300.0, "hip_above_crotch": 130.0, "front_fork": 80.0, "back_fork": 200.0,
    "hem": 600.0, "inside_leg": 900.0, "hip": 1150.0, "waist": 900.0, "thigh": 720.0,
    "knee": 500.0, "calf": 470.0,
}  # fmt: skip


@pytest.mark.parametrize("key", CHANGES)
def test_every_number_can_be_changed(key: str) -> None:
    """A number that is given is used as it is, and the block is another one for it."""
    changed = drafted(**{key: CHANGES[key]})
    assert changed.number(key) == CHANGES[key]
    assert next(n.source for n in changed.numbers if n.key == key) == "given"
    before, after = whole(), whole_table(drafted(**{"waist": "34 in", key: CHANGES[key]}))
    assert after.outline != before.outline


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
    for level in block.heights:
        front, back = (
            sum(block.reaches[edge][level] for edge in pair if edge in block.edges_at(level))
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
        ({"hip": 104.0, "height": 1700.0}, "hip", "is out of range"),
        ({"hip": 1000.0, "height": 170.0}, "height", "is out of range"),
        ({"hip": 1000.0, "height": 1700.0, "knee": 800.0}, "knee", "measure both again"),
        ({"hip": 1000.0, "height": 1700.0, "thigh": 300.0}, "thigh", "measure both again"),
        ({"hip": 1000.0, "height": 1700.0, "ease_knee": 20.0}, "ease_knee", "is out of range"),
        ({"hip": 1000.0, "height": 1700.0, "hem": 50.0}, "hem", "is out of range"),
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


def whole(**given: str | float) -> BlockTable:
    """Return the whole piece drafted for the measured wearer with a waist."""
    return whole_table(drafted(waist="34 in", **given))


def test_without_a_waist_the_leg_alone_is_drafted() -> None:
    """The note says what to measure to get the rest; with a waist it is there."""
    assert not drafted().reaches_waist
    assert any("Give the waist" in note for note in drafted().notes)
    assert drafted(waist="34 in").reaches_waist


def test_the_whole_piece_has_the_leg_of_the_draft() -> None:
    """Levels, reaches and seam lengths of the leg are the table's own."""
    leg, piece = block_of(drafted()), block_from_outline(whole(), "in")
    for name in PANELS:
        own = {level: leg.height_on(name, level) for level in leg.heights}
        assert {level: piece.height_on(name, level) for level in own} == pytest.approx(
            own, abs=1e-3
        )
    for edge, reaches in leg.reaches.items():
        assert piece.reaches[edge] == pytest.approx(reaches, abs=0.02)


@pytest.mark.parametrize("unit", ["in", "cm"])
def test_the_back_crotch_point_is_lowered_until_the_inseams_match(unit: Any) -> None:
    """By 5/8 in or 16 mm here, and the draft says so; the thigh goes with it."""
    draft = drafted(unit)
    block = block_of(draft, unit)
    lowered = block.height_on("front", "crotch") - block.height_on("back", "crotch")
    assert lowered == pytest.approx({"in": 15.875, "cm": 16.0}[unit])
    assert block.height_on("front", "thigh") - block.height_on("back", "thigh") == pytest.approx(
        lowered
    )
    apart = block.lengths["back_inseam"] - block.lengths["front_inseam"]
    assert abs(apart) <= {"in": 25.4 / 32, "cm": 0.5}[unit]
    said = say_ruled(lowered, unit)
    assert any(f"crotch point is drawn {said} lower" in note for note in draft.notes)


@pytest.mark.parametrize("waist", ["30", "34", "44"])
def test_hip_and_waist_come_out_with_their_ease(waist: str) -> None:
    """Across both panels lie half the hip girth and, darts closed, half the waist, with ease."""
    table = whole_table(drafted(waist=waist))
    block, hips, waists = block_from_outline(table, "in"), 0.0, 0.0
    for name, rest in block.rests.items():
        center, side = rest.waist[-1], rest.waist[0]
        darts = [math.dist(line[0], line[-1]) for line in rest.lines]
        waists += abs(center[0] - side[0]) - sum(darts) * abs(center[0] - side[0]) / math.dist(
            center, side
        )
        hip = table.outline[name].points[table.outline[name].corners["hip"]]
        across = rest.crotch[np.argmin(np.abs(rest.crotch[:, 1] - hip[1]))]
        hips += abs(across[0] - hip[0])
    assert hips == pytest.approx((41 * 25.4 + 50.8) / 2, abs=4)
    assert waists == pytest.approx((float(waist) * 25.4 + 25.4) / 2, abs=4)


def test_the_back_of_the_whole_piece_is_the_larger() -> None:
    """The back has the longer crotch seam, and its waist rises to the center."""
    rests = block_from_outline(whole(), "in").rests
    lengths = {n: float(np.hypot(*np.diff(r.crotch, axis=0).T).sum()) for n, r in rests.items()}
    assert lengths["back"] > lengths["front"] + 30
    assert rests["back"].waist[-1][1] > rests["back"].waist[0][1]


def test_a_calf_is_estimated_from_the_knee_where_that_was_measured() -> None:
    """The knee says more about the calf than the hip does: 1.083 of it, the upper bound."""
    draft = draft_table(sample.wearer(hip="41", height="66", knee="15"), "in")
    assert draft.number("calf") == pytest.approx(1.083 * 15 * 25.4)
    assert "knee" in next(number.why for number in draft.numbers if number.key == "calf")


@pytest.mark.parametrize(("bent", "knee"), [("14", "14"), ("17", None), ("20", None)])
def test_an_estimated_knee_is_no_larger_than_the_bent_one(bent: str, knee: str | None) -> None:
    """From a hip of 41 in 16.81 in (0.410 of it): a bent knee of 14 in is taken instead."""
    draft = draft_table(sample.wearer(hip="41", height="66", knee_bent=bent), "in")
    found = draft.number("knee")
    assert found <= sample.length(bent).mm
    assert found == pytest.approx(sample.length(knee).mm if knee else 0.410 * 41 * 25.4)
