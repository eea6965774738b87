"""Hypothesis strategies: plausible measured blocks, and plausible designs for one of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import sample
from hypothesis import strategies as st

from legtaper.block_sources.measured import block_from_table
from legtaper.leg.block import Block
from legtaper.model.project import SEAMS, BlockTable, Design, Fabric, HemPlan, SeamName

LEG = ("hem", "calf", "knee")


def _mm(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda mm: round(mm, 2))


@st.composite
def tables(draw: st.DrawFn) -> BlockTable:
    """Return a table whose leg is 320 to 640 mm round at the hem, and wider at the back."""
    crotch = draw(_mm(620, 900))
    knee = round(crotch * draw(_mm(0.5, 0.65)), 2)
    heights = {"knee": knee, "crotch": crotch, "hip": crotch + draw(_mm(120, 260))}
    if draw(st.booleans()):
        heights["calf"] = round(knee * draw(_mm(0.5, 0.7)), 2)
    if draw(st.booleans()):
        heights["thigh"] = crotch - draw(_mm(10, 60))
    hem = draw(_mm(80, 150))
    shin = hem + draw(_mm(-25, 40))
    front_outseam = {"hem": hem, "knee": shin}
    front_outseam["crotch"] = shin + draw(_mm(0, 50))
    front_outseam["hip"] = front_outseam["crotch"] + draw(_mm(-5, 30))
    front_inseam = {"hem": hem, "knee": shin, "crotch": shin + draw(_mm(20, 100))}
    if "calf" in heights and draw(st.booleans()):
        front_inseam["calf"] = front_outseam["calf"] = (hem + shin) / 2 + draw(_mm(-5, 8))
    wider = draw(_mm(0, 20))
    back_outseam = {level: reach + wider for level, reach in front_outseam.items()}
    back_inseam = {level: reach + wider for level, reach in front_inseam.items()}
    back_inseam["crotch"] += draw(_mm(0, 40))
    return sample.table(
        heights,
        {
            "front_outseam": front_outseam,
            "front_inseam": front_inseam,
            "back_outseam": back_outseam,
            "back_inseam": back_inseam,
        },
    )


@st.composite
def take_ins(draw: st.DrawFn, block: Block) -> Mapping[str, float]:
    """Return take-ins by level: up to a third at the hem and further up, a tenth at the thigh."""
    higher = draw(st.sets(st.sampled_from(("calf", "knee", "thigh")), max_size=2))
    asked = {}
    for level in ("hem", *(name for name in block.heights if name in higher)):
        least = min(float(block.reach(edge, block.heights[level])) for edge in block.seams)
        share = 0.1 if level == "thigh" else 0.35
        asked[level] = draw(st.one_of(st.just(0.0), _mm(1, share * least)))
    return asked


@st.composite
def designs(draw: st.DrawFn, block: Block, style: str = "follow") -> Design:
    """Return a design that asks for take-ins or widths, with its own blends and curves or not."""
    asked = draw(take_ins(block))
    last = max((block.heights[level] for level, take in asked.items() if take), default=0.0)
    blend: dict[SeamName, Any] = {}
    curve: dict[SeamName, Any] = {}
    for seam in SEAMS:
        top = block.blend_top(seam)
        if draw(st.booleans()):
            height = last + draw(st.floats(0.2, 1)) * (top - last)
            blend[seam] = sample.length(height)
            room = height - last
            if style == "follow" and room > 10 and draw(st.booleans()):
                # What is longer than the marks leave room for is shortened.
                curve[seam] = sample.length(max(5.0, draw(st.floats(0.05, 1.5)) * room))
    parts: Any = {"blend": blend, "curve": curve, "style": style}
    if draw(st.booleans()):
        return sample.design(take_in=sample.lengths(**asked), **parts)
    width = {
        level: float(block.circumference(block.heights[level])) - 4 * take
        for level, take in asked.items()
    }
    return sample.design(take_in={}, width=sample.lengths(**width), **parts)


@st.composite
def blocks(draw: st.DrawFn) -> Block:
    """Return a plausible block."""
    return block_from_table(draw(tables()), "in")


@st.composite
def tapers(draw: st.DrawFn, style: str = "follow") -> tuple[BlockTable, Design]:
    """Return a plausible table with a design for its block."""
    table = draw(tables())
    return table, draw(designs(block_from_table(table, "in"), style))


@st.composite
def changed(draw: st.DrawFn, style: str = "follow") -> tuple[BlockTable, Design, Fabric]:
    """Return a table, a fabric, and a design with another end, a moved leg, room at the back."""
    table, design = draw(tapers(style))
    crotch = table.height["crotch"].mm
    ends = draw(st.none() | _mm(-0.15 * crotch, 0.6 * crotch))
    height = None if not ends else sample.length(ends)
    moved = draw(st.sets(st.sampled_from(("hem", "knee")), max_size=2))
    shift = {level: sample.length(draw(_mm(-20, 20))) for level in sorted(moved)}
    roomy = draw(st.none() | st.sampled_from([level for level in LEG if level in table.height]))
    room = {roomy: sample.length(draw(_mm(1, 30)))} if roomy else {}
    shrinks = draw(st.sampled_from([(0.0, 0.0), (3.0, 2.0), (7.5, 0.0)]))
    fabric = Fabric("", "woven", 0.0, None, *shrinks)
    design = replace(design, hem=HemPlan(height=height), shift=shift, back_room=room)
    if roomy:  # as of a take-in: the seam runs out over a fifth of what is above it, or more
        block, mark = block_from_table(table, "in"), table.height[roomy].mm
        tops = {seam: block.blend_top(seam) for seam in design.blend}
        kept = {
            seam: length
            for seam, length in design.blend.items()
            if length.mm >= mark + 0.2 * (tops[seam] - mark)
        }
        design = replace(design, blend=kept)
    return table, design, fabric
