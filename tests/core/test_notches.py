"""Notches of a sewn pair meet: equally far from the hem along both seams."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import blocks
import numpy as np
import pytest
import sample
import tracings
from hypothesis import given, settings

from legtaper.leg.block import Block
from legtaper.leg.notches import notch_heights
from legtaper.model.project import SEWN, BlockTable, Design, Edge
from legtaper.pattern import block_of, build

IN = 25.4
APART = 0.05  # mm along the seam, to which every length of a seam is true


def along(block: Block, seams: Any, edge: Edge, y: float) -> float:
    """Return how far from the hem a height lies along a seam, by a fine polyline, mm."""
    side, slope = block.hem_of(edge)
    low = 0.0
    for _ in range(60):
        low = slope * side * float(seams[edge].at(low))
    heights = np.unique([low, *np.arange(low, y, 0.5), y])
    return float(np.hypot(np.diff(heights), np.diff(seams[edge].at(heights))).sum())


@settings(max_examples=25)
@given(blocks.tapers())
def test_front_and_back_notches_meet(made: tuple[BlockTable, Design]) -> None:
    """On any leg, narrowed or not; the front's knee and blend stand on their heights."""
    table, design = made
    fitted = sample.fitted(design, block=table)
    block, taper = fitted.block, fitted.taper
    blends: Any = {seam: taper.seams[front].blend for seam, (front, _) in SEWN.items()}
    for seams, ends in ((taper.seams, blends), (block.seams, {})):
        found = notch_heights(block, seams, ends)
        for front, back in SEWN.values():
            assert list(found[front]) == list(found[back])
            for name in found[front]:
                a = along(block, seams, front, found[front][name])
                b = along(block, seams, back, found[back][name])
                assert a == pytest.approx(b, abs=APART), name
            if "knee" in found[front]:
                knee = found[front]["knee"]
                assert knee == pytest.approx(block.heights["knee"], abs=10)
            assert all(y <= block.seam_top(back) for y in found[back].values())


def test_the_front_stands_on_the_level() -> None:
    """17 in on the front; on the sample's back inseam, which leans more, a little lower."""
    panels = build(sample.project()).narrowed
    heights = {
        name: {notch.level: notch.at[1] for notch in panel.notches if notch.edge == "inseam"}
        for name, panel in panels.items()
    }
    assert heights["front"]["knee"] == pytest.approx(17 * IN)
    assert heights["back"]["blend"] < heights["front"]["blend"] - 3


def test_a_pair_of_notches_in_a_drawing_stays_a_pair() -> None:
    """One on each outseam, as far from the hem: on the narrowed leg they still meet."""
    table = tracings.table()
    heights = {"front": 520.0, "back": 520.0}
    outline: Any = dict(table.outline)
    block = block_of(tracings.project(table))
    for name, y in heights.items():
        side = -1 if name == "front" else 1
        reach = float(block.reach(f"{name}_outseam", y))  # type: ignore[arg-type]
        outline[name] = replace(outline[name], notches=((side * reach, y),))
    pattern = build(tracings.project(replace(table, outline=outline)))
    block, seams = pattern.fit.block, pattern.fit.taper.seams
    found = {
        name: next(n for n in panel.notches if n.level == "own-1")
        for name, panel in pattern.narrowed.items()
    }
    assert {notch.edge for notch in found.values()} == {"outseam"}
    front, back = (along(block, seams, edge, found[edge.partition("_")[0]].at[1])  # type: ignore[index]
                   for edge in SEWN["outseam"])  # fmt: skip
    assert front == pytest.approx(back, abs=APART)


def test_a_lone_notch_of_a_drawing_stays_where_it_was() -> None:
    """A notch on the front alone, as for a pocket: the same height on the new seam."""
    table = tracings.table()
    block = block_of(tracings.project(table))
    at = (-float(block.reach("front_outseam", 520.0)), 520.0)
    outline: Any = {
        "front": replace(table.outline["front"], notches=(at,)),
        "back": replace(table.outline["back"], notches=()),
    }
    pattern = build(tracings.project(replace(table, outline=outline)))
    own = [n for n in pattern.narrowed["front"].notches if n.level.startswith("own")]
    assert [notch.at[1] for notch in own] == [pytest.approx(520.0)]
    assert not [n for n in pattern.narrowed["back"].notches if n.level.startswith("own")]
