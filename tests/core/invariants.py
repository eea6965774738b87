"""What must hold for every leg, whoever wears it: each measured from outside, on points."""

from __future__ import annotations

import numpy as np
import shapely

from legtaper.geometry.curves import Array
from legtaper.leg.block import OUTSEAM_SIDE
from legtaper.leg.panel import Panel
from legtaper.leg.taper import Taper
from legtaper.model.project import EDGES, PANELS, SEAMS, Edge, seam_of
from legtaper.pattern import Fit, Pattern

WIDTH_TOLERANCE = 0.1  # mm, round the leg
INSIDE_TOLERANCE = 0.05  # mm
FOLD_TOLERANCE = 0.05  # mm
KINK_TOLERANCE = 0.1  # degrees


def heights_of(taper: Taper, edge: Edge) -> Array:
    """Return heights all the way up a seam, every 4 mm, with each place where its formula turns."""
    seam = taper.seams[edge]
    top = taper.block.blend_top(seam_of(edge))
    named = [y for y in taper.block.heights.values() if y < top]
    start = taper.block.start
    turns = [y for y in (*seam.knots, seam.blend, seam.blend - seam.curve) if start < y < top]
    return np.unique([*np.arange(start, top, 4.0), *named, *turns, top])


def assert_inside(taper: Taper, tolerance: float = INSIDE_TOLERANCE) -> None:
    """Check that no new seam lies outside the old one."""
    for edge in EDGES:
        y = heights_of(taper, edge)
        moved = taper.seams[edge].shift  # what was asked to lie elsewhere is no fault
        reach = taper.seams[edge].at(y) + (moved.at(y) if moved else 0.0)
        # Nor is room on the back: a corner eased round a mark outside swings up to 1 mm beyond it,
        # or as far as `blend` says.
        out = max((-take for _, take in taper.seams[edge].controls), default=0.0)
        outside = float((reach - taper.block.seams[edge].at(y)).max()) - max(0.0, out)
        swings = [swing for _, swing in taper.seams[edge].off_ruler]
        most = tolerance if out <= 0 else max(1.0, *swings, tolerance)
        assert outside <= most, f"{edge} lies {outside} mm outside the old seam"


def assert_old_above_blend(taper: Taper) -> None:
    """Check that above the blend the new seam is the old one."""
    for edge in EDGES:
        y = heights_of(taper, edge)
        moved = taper.seams[edge].shift
        y = y[y >= max(taper.seams[edge].blend, moved.knots[-1] if moved else 0.0)]
        apart = np.abs(taper.seams[edge].at(y) - taper.block.seams[edge].at(y)).max(initial=0)
        assert apart <= 1e-9, f"{edge} is changed above its blend, by {apart} mm"


def assert_alike(taper: Taper) -> None:
    """Check that the same comes off all four edges at every asked level."""
    for asked in taper.asked:
        if asked.take_in is None:
            continue  # room at the back alone is left on lines that other levels make
        taken = [
            taper.taken(edge, asked.level)
            - taper.shifted(edge, asked.level)
            + (asked.room / 2 if edge.startswith("back") else 0.0)
            for edge in EDGES
        ]
        assert max(taken) - min(taken) <= 1e-6, f"{taken} at the {asked.level}"


def assert_widths(taper: Taper) -> None:
    """Check that every asked width is met, and that no asked take-in is moved."""
    for asked in taper.asked:
        y = asked.height
        finished = sum(float(taper.seams[edge].at(y)) for edge in EDGES)
        block = sum(float(taper.block.seams[edge].at(y)) for edge in EDGES)
        if asked.take_in is None:
            continue  # as wide as the lines of other levels and the room make it
        wanted = block - 4 * asked.take_in + asked.room
        if asked.width is not None and not asked.already_narrow:
            wanted = asked.width
        assert abs(finished - wanted) <= WIDTH_TOLERANCE, f"{finished}, asked {wanted}"


def assert_smooth(taper: Taper) -> None:
    """Check for kinks that the old seam did not have, with chords of 0.0001 mm either side."""
    hair = 1e-4
    for edge in EDGES:
        y = heights_of(taper, edge)[1:-1]
        turns = []
        for line in (taper.seams[edge], taper.block.seams[edge]):
            below, here, above = line.at(y - hair), line.at(y), line.at(y + hair)
            turns.append(np.arctan((above - here) / hair) - np.arctan((here - below) / hair))
        kink = float(np.degrees(np.abs(turns[0]) - np.abs(turns[1])).max())
        assert kink <= KINK_TOLERANCE, f"{edge} bends by {kink} degrees"


def assert_sum(taper: Taper) -> None:
    """Check that the four reaches of a level add up to the width around the leg there."""
    y = np.linspace(0, taper.block.crotch, 101)
    total = np.sum([taper.reach(edge, y) for edge in EDGES], axis=0)
    assert np.allclose(total, taper.circumference(y), rtol=0, atol=1e-9)


def polyline_length(taper: Taper, edge: Edge, *, old: bool = False, parts: int = 2) -> float:
    """Return the length of a seam as a polyline from hem to top, mm: `parts` chords in 4 mm."""
    y = heights_of(taper, edge)
    y = np.unique(np.linspace(y[:-1], y[1:], parts + 1))
    line = taper.block.seams[edge] if old else taper.seams[edge]
    return float(np.hypot(np.diff(y), np.diff(line.at(y))).sum())


def sewn_apart(taper: Taper, seam: str, *, parts: int = 2) -> float:
    """Return how much more front and back of a seam differ than they did in the block, mm."""
    front, back = (edge for edge in EDGES if seam_of(edge) == seam)
    new, old = (
        polyline_length(taper, front, old=before, parts=parts)
        - polyline_length(taper, back, old=before, parts=parts)
        for before in (False, True)
    )
    return abs(new - old)


def assert_sewn_pairs(taper: Taper, at_most: float) -> None:
    """Check that front and back of each seam still sew together as in the block."""
    for seam in SEAMS:
        apart = sewn_apart(taper, seam)
        assert apart <= at_most, f"the {seam} differs by {apart} mm more than in the block"


def assert_folds_onto_seams(fit: Fit, panel: Panel) -> None:
    """Check that the part below the hem, folded up again, lies on the two seams above it."""
    x, y = panel.shape.hem_below.T
    y = y - fit.block.start
    depth, side = fit.hem.depth, OUTSEAM_SIDE[panel.name]
    # Unfolded in the hem line; what lies below the second fold comes down again from there.
    up = fit.block.start + np.where(-y > depth, 2 * depth + y, -y)
    inseam, outseam = PANELS[panel.name]
    seam = np.where(x * side > 0, fit.taper.reach(outseam, up), fit.taper.reach(inseam, up))
    off = float(np.abs(np.abs(x) - seam).max())
    assert off <= FOLD_TOLERANCE, f"the fold-up lies {off} mm off the seams"
    lowest = depth + fit.hem.turn_under
    assert abs(float(y.min()) + lowest) <= FOLD_TOLERANCE


def assert_cut_line(panel: Panel) -> None:
    """Check that the cut line crosses nothing and holds the net outline with its hem."""
    cut = shapely.Polygon(panel.shape.cut)
    assert cut.is_valid, shapely.is_valid_reason(cut)
    net = shapely.Polygon(panel.shape.net)
    assert net.is_valid, shapely.is_valid_reason(net)
    grown = cut.buffer(0.01)  # mm; less could not be cut
    assert grown.covers(net)
    if len(panel.shape.hem_below):
        assert grown.covers(shapely.LineString(panel.shape.hem_below))


def assert_every_invariant(fit: Fit, *, inside: float = INSIDE_TOLERANCE) -> None:
    """Check everything that holds for the four new seams of a fit."""
    assert_inside(fit.taper, inside)
    assert_old_above_blend(fit.taper)
    assert_alike(fit.taper)
    assert_widths(fit.taper)
    assert_smooth(fit.taper)
    assert_sum(fit.taper)


def assert_cuttable(pattern: Pattern) -> None:
    """Check that both panels can be cut, and that their hems fold onto the seams."""
    for panel in pattern.narrowed.values():
        assert_cut_line(panel)
        if pattern.fit.hem.style != "faced":
            assert_folds_onto_seams(pattern.drawn, panel)
