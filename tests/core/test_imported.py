"""Blocks from traced outlines: as the block typed in by level, and the whole piece with it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import invariants
import numpy as np
import pytest
import sample
import shapely
import tracings

from legtaper.block_sources.imported import block_from_outline
from legtaper.checks.cutting import uncuttable
from legtaper.files.project_file import read_project, write_project
from legtaper.geometry.curves import reflect
from legtaper.leg.block import OUTSEAM_SIDE, Block
from legtaper.leg.waist_and_crotch import own_notches
from legtaper.model.project import (
    EDGES,
    PANELS,
    BlockTable,
    Design,
    PanelName,
    PanelOutline,
    ProjectError,
    seam_of,
)
from legtaper.outputs.marking_table import marks
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.pattern import Pattern, block_of, build

AGREE = 0.5  # mm, between a block imported and the same one typed in


def traced(block: Block, step: float = 4.0) -> BlockTable:
    """Return the outlines of a block measured by level, as one would trace them."""
    panels: dict[PanelName, PanelOutline] = {}
    for name, (inseam, outseam) in PANELS.items():
        side = OUTSEAM_SIDE[name]
        inner, outer = (
            np.column_stack([s * block.reach(edge, y), y])
            for edge, s, y in (
                (inseam, -side, np.linspace(block.crotch, 0, int(block.crotch / step))),
                (outseam, side, np.linspace(0, block.top, int(block.top / step))),
            )
        )
        points = tuple(map(tuple, np.vstack([inner, outer]).tolist()))
        corners: Any = {"crotch": 0, "hem_inseam": len(inner) - 1, "hem_outseam": len(inner)}
        panels[name] = PanelOutline(points, corners | {"hip": len(points) - 1})
    heights = {level: sample.length(y) for level, y in block.heights.items()
               if level in ("calf", "knee", "thigh")}  # fmt: skip
    return BlockTable("Traced", heights, {}, panels)


DESIGNS = [
    sample.design(),
    sample.wide(hem="13", knee="17"),
    sample.wide(hem="12", calf="15 1/2", knee="17"),
    sample.design(hem=sample.hem("double"), slit=sample.length("3")),
    sample.design(hem=sample.hem("faced")),
    sample.design(blend={"outseam": sample.length("34"), "inseam": sample.length("26")}),
]


def both(design: Design) -> tuple[Pattern, Pattern]:
    """Return the pattern on the typed block, and on the same one traced."""
    typed = sample.project(design)
    return build(typed), build(replace(typed, block=traced(sample.block())))


@pytest.mark.parametrize("design", DESIGNS)
def test_imported_and_typed_agree(design: Design) -> None:
    """Widths at all levels, blends, seam lengths, cut edges and outlines: within half a mm."""
    typed, imported = both(design)
    for level, width in typed.fit.taper.finished.items():
        assert imported.fit.taper.finished[level] == pytest.approx(width, abs=AGREE)
    for edge in EDGES:
        one, other = typed.fit.taper.seams[edge], imported.fit.taper.seams[edge]
        assert (other.blend, other.curve) == pytest.approx((one.blend, one.curve), abs=AGREE)
        assert other.length == pytest.approx(one.length, abs=AGREE)
        y = np.linspace(0, typed.fit.block.blend_top(seam_of(edge)), 200)
        assert other.at(y) == pytest.approx(one.at(y), abs=AGREE / 4)
    for name, panel in typed.narrowed.items():
        shapes = panel.shape, imported.narrowed[name].shape
        for part in ("net", "cut", "hem_below"):
            rings = [getattr(shape, part) for shape in shapes]
            if len(rings[0]):
                off = shapely.hausdorff_distance(*(shapely.LineString(ring) for ring in rings))
                assert off <= AGREE, part
        assert shapes[1].cut_edge == pytest.approx(shapes[0].cut_edge, abs=AGREE)


@pytest.mark.parametrize("design", DESIGNS)
def test_findings_are_the_same(design: Design) -> None:
    """What passes, is a warning or fails does not depend on how the block came in."""
    typed, imported = both(design)
    for one, other in zip(typed.fit.findings, imported.fit.findings, strict=True):
        assert (one.id, one.status) == (other.id, other.status), one.says


@pytest.mark.parametrize("step", [4.0, 25.0, 90.0])
def test_a_coarse_outline_makes_no_new_kink(step: float) -> None:
    """The corners of the traced line are the block's own; the taper adds none that counts."""
    block = traced(sample.block(), step)
    pattern = build(replace(sample.project(sample.wide(hem="12", knee="16 1/2")), block=block))
    invariants.assert_every_invariant(pattern.fit)
    assert all(found.status != "fail" for found in pattern.fit.findings if found.id == "blend")


def test_the_marks_work_from_the_traced_seam() -> None:
    """New distance and come-in add up to the traced line's own distance, at every mark."""
    fit = build(tracings.project()).fit
    for mark in marks(fit, "1mm"):
        old = float(fit.block.reach(mark.edge, mark.height))
        assert mark.exact_come_in + mark.exact_from_grainline == pytest.approx(old)


# --- the whole piece -------------------------------------------------------------------------


def whole(design: Design | None = None, block: BlockTable | None = None) -> Pattern:
    """Return the pattern on the invented whole pieces."""
    return build(replace(tracings.project(block), designs=(design or sample.design(),)))


def test_the_taper_changes_the_leg_alone() -> None:
    """Above the blend the net outline is the traced one: waist, hip curve and crotch seam."""
    pattern = whole()
    for name, panel in pattern.narrowed.items():
        old = shapely.Polygon(tracings.outline(name).points)
        new = shapely.Polygon(panel.shape.net)
        assert new.is_valid
        assert old.buffer(0.05).covers(new)
        above = shapely.box(-1000, pattern.fit.block.crotch, 1000, 2000)
        part, whole_part = new.intersection(above), old.intersection(above)
        outseam = pattern.fit.taper.seams[PANELS[name][1]]
        assert outseam.blend == pytest.approx(pattern.fit.block.top)
        assert part.symmetric_difference(whole_part).area < 0.005 * whole_part.area
        high = shapely.box(-1000, pattern.fit.block.top, 1000, 2000)
        assert new.intersection(high).symmetric_difference(old.intersection(high)).area < 1


def test_the_outline_of_a_whole_piece_has_every_point_of_waist_and_crotch() -> None:
    """In their order, each within 0.01 mm: none is cut off, none is there twice."""
    pattern = whole()
    for name, panel in pattern.narrowed.items():
        rest = pattern.fit.block.rests[name]
        traced = shapely.LineString(panel.shape.net)
        for line in (rest.waist, rest.crotch):
            assert shapely.distance(shapely.points(line), traced).max() < 0.01
        steps = np.hypot(*np.diff(panel.shape.net, axis=0).T)
        assert steps.min() > 1e-6


def test_the_cut_line_goes_all_the_way_round() -> None:
    """Closed, and outside the net line by the allowance of each edge, waist and crotch too."""
    edges: Any = {"waist": sample.length(30.0), "crotch": sample.length(10.0)}
    allowance = replace(tracings.project().allowance, seam=sample.length(15.0), edges=edges)
    pattern = build(replace(tracings.project(), allowance=allowance))
    for name, panel in pattern.narrowed.items():
        cut = shapely.LinearRing(panel.shape.cut)
        assert cut.is_simple
        rest = pattern.fit.block.rests[name]
        for line, width in ((rest.waist, 30.0), (rest.crotch, 10.0)):
            at = np.linspace(0.3, 0.7, 20)
            spots = shapely.line_interpolate_point(shapely.LineString(line), at, normalized=True)
            off = shapely.distance(cut, spots)
            assert off == pytest.approx(np.full(len(off), width), abs=0.05)
        invariants.assert_cut_line(panel)
    assert uncuttable(pattern.narrowed) == ()


def test_a_whole_piece_has_no_join() -> None:
    """Nothing is laid under another pattern: no dashed top, no label that says so."""
    drawing = draw_pattern(whole())
    ids = {stroke.id for piece in drawing.pieces for stroke in piece.strokes}
    assert not any("join" in one for one in ids)
    assert {"front-line-1", "back-line-1"} <= ids
    words = [label.text for piece in drawing.pieces for label in piece.labels]
    assert not any("lay under" in text for text in words)


def test_darts_stay_and_notches_are_carried() -> None:
    """The dart lies where it was; the notch of the crotch seam is cut into its edge there."""
    pattern = whole()
    for name, panel in pattern.narrowed.items():
        outline = tracings.outline(name)
        assert panel.lines[0] == pytest.approx(np.array(outline.lines[0]))
        own = [notch for notch in panel.notches if notch.level.startswith("own")]
        assert [notch.at for notch in own] == [pytest.approx(outline.notches[1], abs=0.01)]
        out = np.array(own[0].at) + 5 * np.array(own[0].outward)
        assert not shapely.Polygon(outline.points).contains(shapely.Point(out))


def test_a_notch_below_the_blend_moves_with_the_seam() -> None:
    """A traced notch on the leg is at the same height, on the new seam."""
    table = tracings.table()
    y = 250.0
    block = block_of(tracings.project())
    at = (-float(block.reach("front_outseam", y)), y)
    front = replace(table.outline["front"], notches=(at,))
    pattern = whole(block=replace(table, outline={**table.outline, "front": front}))
    (notch,) = [n for n in pattern.narrowed["front"].notches if n.level == "own-1"]
    reach = float(pattern.fit.taper.reach("front_outseam", y))
    assert notch.at == pytest.approx((-reach, y))
    assert reach < -at[0] - 5


def test_a_notch_right_below_the_crotch_point_is_the_inseams() -> None:
    """2 mm below the point and on the inseam it moves with the seam, though the crotch is as near.

    One at no edge is left out.
    """
    table = tracings.table()
    block = block_of(tracings.project())
    y = float(block.seams["front_inseam"].knots[-1]) - 2.0
    on = float(block.reach("front_inseam", y)), y
    front = replace(table.outline["front"], notches=(on, (0.0, 400.0)))
    marked = replace(table, outline={**table.outline, "front": front})
    rest = block_of(tracings.project(marked)).rests["front"]
    seams = block.seams["front_inseam"], block.seams["front_outseam"]
    on_seams, above = own_notches(rest, seams, OUTSEAM_SIDE["front"])
    assert on_seams == {"inseam": [pytest.approx(y)], "outseam": []}
    assert above == []


@pytest.mark.parametrize("design", DESIGNS)
def test_every_invariant_holds_for_whole_pieces(design: Design) -> None:
    """The invariants hold on traced seams as on measured ones."""
    pattern = whole(design)
    invariants.assert_every_invariant(pattern.fit)
    invariants.assert_cuttable(pattern)


def test_the_file_keeps_the_outline() -> None:
    """Written and read again, the project is the same, points, corners, darts and notches."""
    project = tracings.project()
    assert read_project(write_project(project)) == project


def test_the_fingerprint_is_of_the_points() -> None:
    """A moved point of the outline is another block."""
    table = tracings.table()
    front = table.outline["front"]
    points = ((front.points[0][0] + 0.5, front.points[0][1]), *front.points[1:])
    moved = replace(table, outline={**table.outline, "front": replace(front, points=points)})
    prints = {block_from_outline(one, "in").fingerprint for one in (table, moved)}
    assert len(prints) == 2


# --- hems that are not square or not straight -------------------------------------------------


@pytest.mark.parametrize("rise", [12.0, -9.0, 20.0])
@pytest.mark.parametrize("style", ["single", "double"])
def test_a_slanting_hem_is_mirrored_in_its_own_line(rise: float, style: str) -> None:
    """The fold runs from corner to corner, and folded up the part below lies on the seams."""
    pattern = whole(sample.design(hem=sample.hem(style)), tracings.slanted(rise))
    for name, panel in pattern.narrowed.items():
        start, end = panel.shape.folds[0]
        slope = (end[1] - start[1]) / (end[0] - start[0])
        assert slope == pytest.approx(pattern.fit.block.hem_slope(name))
        assert np.sign(slope) == np.sign(rise * OUTSEAM_SIDE[name])
        below = panel.shape.hem_below
        depth = pattern.fit.hem.depth
        along = (end - start) / np.hypot(*(end - start))
        far = (below - start) @ np.array([-along[1], along[0]])
        assert far.max() <= 1e-6
        assert far.min() == pytest.approx(-depth - pattern.fit.hem.turn_under)
        folded = reflect(below[far >= -depth - 1e-9], tuple(start), tuple(end))
        off = shapely.distance(shapely.LineString(panel.shape.net), shapely.points(folded))
        inside = folded[:, 1] > max(start[1], end[1])
        outer = np.concatenate([off[inside][:3], off[inside][-3:]])
        assert outer.max() <= 0.06
        invariants.assert_cut_line(panel)


@pytest.mark.parametrize("rise", [0.0, 12.0, -9.0])
def test_both_edges_of_a_slit_are_equally_long_from_their_hem_corners(rise: float) -> None:
    """60 mm up from the outseam's own corner, slanting or not, and what is sewn above it meets."""
    pattern = whole(sample.design(slit=sample.length(60.0)), tracings.slanted(rise))
    along = []
    for panel in pattern.narrowed.values():
        assert panel.slit is not None
        fold = panel.shape.folds[0]
        corner = fold[np.abs(fold - panel.slit[0]).sum(axis=1).argmin()]
        assert panel.slit[-1, 1] - corner[1] == pytest.approx(60, abs=0.05)
        along.append(shapely.LineString(panel.slit).length)
        assert shapely.Point(panel.slit[0]).distance(shapely.Point(corner)) < 1e-6
    assert along[0] == pytest.approx(along[1], abs=0.05)


def test_a_slanting_hem_still_meets_across_the_seam() -> None:
    """Front and back rise alike towards the outseam: their corners add up as without the slant."""
    square = {f.where: f.value for f in whole().fit.findings if f.id == "hem-join"}
    slant = whole(block=tracings.slanted(12.0)).fit.findings
    for found in (one for one in slant if one.id == "hem-join"):
        sign = -1 if found.where == "inseam" else 1
        angle = np.degrees(np.arctan(12 / 219)) + np.degrees(np.arctan(12 / 244))
        assert found.value == pytest.approx(square[found.where] + sign * angle, abs=1)


def test_a_curved_hem_is_faced_and_says_why() -> None:
    """It cannot fold flat: a facing of the same curve, with a finding that gives the reason."""
    pattern = whole(block=tracings.slanted(0.0, bow=8.0))
    assert pattern.fit.hem.style == "faced"
    (found,) = [one for one in pattern.fit.findings if one.id == "hem-shape"]
    assert found.status == "caution"
    assert found.value == pytest.approx(8.0, abs=0.2)
    assert "cannot fold flat" in found.says
    for panel in pattern.narrowed.values():
        (curve,) = panel.shape.folds
        assert panel.shape.facing is not None
        chord = shapely.LineString([curve[0], curve[-1]])
        assert max(chord.distance(shapely.Point(p)) for p in curve) == pytest.approx(8, abs=0.2)
        assert shapely.Polygon(panel.shape.facing.net).is_valid
        invariants.assert_cut_line(panel)


def test_a_straight_hem_has_no_such_finding() -> None:
    """Blocks with a straight hem fold as they did, and nothing is said."""
    assert not [one for one in whole().fit.findings if one.id == "hem-shape"]
    assert whole().fit.hem.style == "single"


# --- what is refused -------------------------------------------------------------------------


def changed(name: PanelName = "front", **parts: Any) -> BlockTable:
    """Return the whole pieces with parts of one outline changed."""
    table = tracings.table()
    return replace(table, outline={**table.outline, name: replace(table.outline[name], **parts)})


def corners_without(role: str) -> dict[str, int]:
    """Return the front's corners but one."""
    return {one: n for one, n in tracings.outline("front").corners.items() if one != role}


@pytest.mark.parametrize(
    ("table", "key", "says"),
    [
        (replace(tracings.table(), outline={"front": tracings.outline("front")}),
         "block.outline.back", "missing"),
        (changed(corners={}), "block.outline.front.corners.crotch", "missing"),
        (changed(corners=corners_without("waist_center")),
         "block.outline.front.corners.waist_center", "missing"),
        (changed(corners={**corners_without("hip"), "hip": 1}),
         "block.outline.front.corners", "in the order"),
        (changed(points=tuple((x + 300, y) for x, y in tracings.outline("front").points)),
         "block.outline.front", "outside the grainline"),
        (changed(points=tuple((x, -y) for x, y in tracings.outline("front").points)),
         "block.outline.front", ""),
        (changed(points=tuple((x / 10, y / 10) for x, y in tracings.outline("front").points)),
         "block.outline.front.corners.crotch", "points count in mm"),
        (tracings.slanted(120.0), "block.outline.front", "too steep"),
        (replace(tracings.table(), height={"crotch": sample.length("20")}),
         "block.height.crotch", "leave this out"),
        (replace(tracings.table(), height={"knee": sample.length("40")}),
         "block.height.crotch", "above the knee"),
    ],
    ids=range(10),
)  # fmt: skip
def test_an_outline_that_makes_no_block_is_refused_by_name(
    table: BlockTable, key: str, says: str
) -> None:
    """What is missing or wrong is named as the file names it."""
    with pytest.raises(ProjectError) as caught:
        block_from_outline(table, "in")
    assert caught.value.key.startswith(key)
    assert says in caught.value.problem


@pytest.mark.parametrize("rise", [12.0, -20.0])
def test_seams_are_measured_from_a_slanting_hem(rise: float) -> None:
    """A new seam is as long as its line on the piece, from the corner of the hem upwards."""
    pattern = whole(block=tracings.slanted(rise))
    for name, panel in pattern.narrowed.items():
        for edge in PANELS[name]:
            side = OUTSEAM_SIDE[name] * (1 if seam_of(edge) == "outseam" else -1)
            corner = panel.shape.folds[0][0 if side < 0 else 1]
            top = float(pattern.fit.block.seams[edge].knots[-1])
            y = np.linspace(corner[1], top, 4000)
            line = np.column_stack([pattern.fit.taper.reach(edge, y), y])
            length = float(np.hypot(*np.diff(line, axis=0).T).sum())
            assert pattern.fit.taper.lengths[edge] == pytest.approx(length, abs=0.05)


def test_front_and_back_may_end_at_different_crotch_heights() -> None:
    """A back crotch point set lower is kept; the crotch level is that of the lower one."""
    table = tracings.table()
    back = table.outline["back"]
    first = next(n for n, (_, y) in enumerate(back.points) if y <= 757)
    corners: Any = {role: max(0, number - first) for role, number in back.corners.items()}
    lower = replace(back, points=back.points[first:-6], corners=corners)
    pattern = whole(block=replace(table, outline={**table.outline, "back": lower}))
    crotch = pattern.fit.block.crotch
    assert crotch == pytest.approx(back.points[first][1], abs=1)
    assert float(pattern.fit.block.seams["front_inseam"].knots[-1]) > crotch + 10
    invariants.assert_every_invariant(pattern.fit)
    invariants.assert_cuttable(pattern)
