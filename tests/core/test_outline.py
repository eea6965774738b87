"""Proposals: corners, grainline and hip of a traced outline, and saying them otherwise."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import tracings
from tracings import NAMES

from legtaper.block_sources.drawing_file import Wanted, import_block, read_drawing
from legtaper.block_sources.panel_outline import Asked, propose, propose_pair
from legtaper.block_sources.traced import Traced
from legtaper.model.project import PanelName, ProjectError


def traced(name: PanelName = "front", turn: float = 0.0, **parts: Any) -> Traced:
    """Return a panel as it stands on a sheet, turned by degrees."""
    cos, sin = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    points = np.array(tracings.outline(name).points) @ [[cos, sin], [-sin, cos]] + (200, 300)
    return replace(Traced(name, points, closed=True), **parts)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("turn", [0, 15, 90, 135, 180, 270])
def test_the_corners_are_found_however_the_panel_lies(name: PanelName, turn: float) -> None:
    """Without a word said, each corner is the one of the piece, and the hem lies at the bottom."""
    proposal = propose(traced(name, turn), name)
    wanted = tracings.outline(name)
    for role, number in wanted.corners.items():
        if role != "hip":
            x, y = wanted.points[number]
            there = proposal.outline.points[proposal.outline.corners[role]]
            assert there == pytest.approx((x, y), abs=1.0), role
            drawn = traced(name, turn).points[number]
            assert proposal.corner(role) == pytest.approx(tuple(drawn), abs=0.01)


def test_a_fly_and_a_dart_cut_into_the_waist_are_no_corners_of_it() -> None:
    """The waist runs from the outseam to the center, whatever is cut into it or grown on below."""
    outline = tracings.outline("front")
    ring = [np.array(point) for point in outline.points]
    side, middle = (ring[outline.corners[role]] for role in ("waist_outseam", "waist_center"))
    at = (side + middle) / 2
    dart = [at + (-8, 0), at + (0, -90), at + (8, 0)]
    low = outline.corners["waist_center"] + 1
    fly = [ring[low] + (38, 70), ring[low] + (38, 12), ring[low] + (2, 4)]
    fly[0][1] = middle[1] - 60
    cut = ring[: outline.corners["waist_center"]] + dart + [middle, middle + (1, -60), *fly]
    points = np.array(cut + ring[low:])
    proposal = propose(Traced("front", points, closed=True), "front")
    assert proposal.corner("waist_outseam") == pytest.approx(tuple(side), abs=0.1)
    assert proposal.corner("waist_center") == pytest.approx(tuple(middle), abs=0.1)
    assert proposal.corner("crotch") == pytest.approx(tuple(ring[0]), abs=0.1)


def test_a_shaky_hand_does_not_mislead() -> None:
    """Points that are off by a third of a millimeter give the same corners, within 2 mm."""
    sheet = traced("back", 20)
    shaky = sheet.points + np.random.default_rng(3).normal(0, 0.1, sheet.points.shape)
    proposal = propose(replace(sheet, points=shaky), "back")
    for role, number in tracings.outline("back").corners.items():
        if role != "hip":
            assert proposal.corner(role) == pytest.approx(tuple(sheet.points[number]), abs=2), role


def test_the_grainline_is_proposed_through_hem_and_knee() -> None:
    """Centered at hem and knee; the sentence says that it was guessed."""
    proposal = propose(traced(turn=7), "front")
    corners = proposal.outline.corners
    ends = [proposal.outline.points[corners[role]][0] for role in ("hem_inseam", "hem_outseam")]
    assert sum(ends) == pytest.approx(0, abs=0.01)
    assert "The grainline was laid through the middle of hem and knee." in proposal.says


def test_a_grainline_that_is_said_is_upright() -> None:
    """The drawing's points of the grainline come to lie at x = 0."""
    sheet = traced()
    line = ((210.0, 340.0), (206.0, 900.0))
    proposal = propose(sheet, "front", Asked(grainline=line))
    shift = proposal.drawn - np.array(line[0])
    along = np.subtract(line[1], line[0]) / np.hypot(*np.subtract(line[1], line[0]))
    across = shift @ np.array([along[1], -along[0]])
    assert np.abs(across) == pytest.approx(
        np.abs(np.array(proposal.outline.points)[:, 0]), abs=0.01
    )


def test_a_corner_that_is_said_is_kept() -> None:
    """A point near the outline becomes the corner; the others are still proposed."""
    sheet = traced()
    number = tracings.outline("front").corners["waist_center"]
    near = sheet.points[number] - (40.0, 2.0)
    proposal = propose(sheet, "front", Asked(corners={"waist_center": tuple(near)}))
    assert proposal.corner("waist_center") == pytest.approx(tuple(near + (0, 2)), abs=0.6)
    assert proposal.corner("crotch") == pytest.approx(tuple(sheet.points[0]), abs=0.01)


def test_a_corner_steps_along_the_outline() -> None:
    """Arrow keys move a corner point by point; what comes out can be asked for."""
    proposal = propose(traced(), "front")
    here, there = proposal.corner("crotch"), proposal.stepped("crotch", 2)
    assert here != there
    moved = propose(traced(), "front", Asked(corners={"crotch": there}))
    assert moved.corner("crotch") == pytest.approx(there, abs=0.01)
    assert moved.height("crotch") < proposal.height("crotch")
    assert proposal.stepped("crotch", 0) == here


@pytest.mark.parametrize("hip", [800.0, 900.0])
def test_the_hip_may_be_anywhere_above_the_crotch(hip: float) -> None:
    """The level that is said is marked on the outseam."""
    assert propose(traced(), "front", Asked(hip=hip)).height("hip") == pytest.approx(hip, abs=0.5)


def test_front_and_back_get_the_same_hip() -> None:
    """What is proposed for a pair lies at one height."""
    pair = propose_pair(traced("front"), traced("back"), {})
    heights = [pair[name].height("hip") for name in NAMES]
    assert heights[0] == pytest.approx(heights[1], abs=0.5)


@pytest.mark.parametrize(
    ("asked", "key", "says"),
    [
        (Asked(hip=100.0), "hip", "above the crotch"),
        (Asked(hip=3000.0), "hip", "below the waist"),
        (Asked(seam=150.0), "front", "more than the outline has"),
        (Asked(corners={"crotch": (200.0, 300.0)}), "front", "say where they are"),
        (Asked(grainline=((9.0, 9.0), (9.0, 9.0)), up="top"), "front.grainline", "up to the"),
        (Asked(up="bottom"), "front", ""),
    ],
    ids=range(6),
)
def test_what_cannot_be_is_refused(asked: Asked, key: str, says: str) -> None:
    """Corners, levels and allowances that make no panel are named."""
    with pytest.raises(ProjectError) as caught:
        propose(traced(), "front", asked)
    assert caught.value.key == key
    assert says in caught.value.problem


def test_the_import_tells_what_it_understood() -> None:
    """One line a panel with its measures, to be looked at before it counts."""
    tracing = read_drawing(tracings.drawing(), ".svg")
    made = import_block(tracing, Wanted("front", "back"), "in", "Traced")
    assert made.table.label == "Traced"
    assert [say.split(":")[0] for say in made.says if "long in all" in say] == ["Front", "Back"]
    assert "hem 8 5/8 in wide" in made.says[0]
