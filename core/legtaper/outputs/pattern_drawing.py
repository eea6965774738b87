"""Pattern -> Drawing: every panel as a piece with its lines, levels, notches and labels."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Literal

import numpy as np

from legtaper.geometry.curves import Array, Line, foot
from legtaper.leg.block import OUTSEAM_SIDE
from legtaper.leg.panel import STEP, Panel
from legtaper.leg.waist_and_crotch import Notch
from legtaper.model.lengths import say_length
from legtaper.model.levels import say_level
from legtaper.model.project import PANELS, PanelName, Unit
from legtaper.model.safe_text import clean
from legtaper.outputs.drawing import Drawing, Label, Piece, Stroke, label_box, lay_out
from legtaper.outputs.facing_drawing import facing_piece, hem_notches
from legtaper.outputs.piece_words import (
    PAIR,
    OneLeg,
    Place,
    Printing,
    panel_lines,
    piece_title,
)
from legtaper.pattern import Pattern

CAUTIONS = (
    "Sew a test in cheap fabric first. Blades, needles and irons hurt.",
    "A hem that passes only with force or catches a heel, a leg that binds: a risk to circulation "
    "or balance. Loosen it.",
    "Work or protective clothing: local rules and its maker. Medical: ask who prescribed it.",
)
"""Printed once on every sheet. Common practice."""

_HAIR = 0.2  # mm; ends that a reader of drawings joins lie ten times nearer
_WORDS = 32.0  # mm to each side, the words over a hem line
_STEP: dict[Unit, str | None] = {"in": "1/16in", "cm": None}  # as fine as a ruler
_TOLD = 0.8  # mm, half of 1/16 in: common practice
_BESIDE = 8.0  # mm from the grainline to the words beside it
_CLEAR = 2.0  # mm between words and a seam
_SMALLEST = 0.6  # of their size; smaller words are not read at a table: common practice
_NOTCH = 6.0  # mm long, and mm between the two of a double notch


def draw_pattern(pattern: Pattern, printing: Printing = PAIR) -> Drawing:
    """Lay out the pieces of one leg, or of both, on one sheet.

    Both legs are a muslin, and so is the block as it is: their outseams have wide allowances.
    """
    cut = pattern if printing.leg == "narrowed" else pattern.for_test
    pieces = _pieces(cut, printing)
    title = clean(pattern.fit.project.name or "Trousers", 60)
    size = clean(pattern.fit.design.name, 60)
    return replace(lay_out(title, pieces, notes=CAUTIONS), size=size)


def _pieces(pattern: Pattern, printing: Printing) -> Iterator[Piece]:
    found = [(leg, panel) for leg in printing.legs for panel in _panels(pattern, leg)]
    count = sum(1 if panel.shape.facing is None else 2 for _, panel in found)
    number = 1
    for leg, panel in found:
        place = Place(panel.name, leg, number, count)
        yield _panel_piece(pattern, panel, printing, place)
        if panel.shape.facing is not None:
            number += 1
            key = f"{_prefix(panel.name, leg)}-facing"
            place = replace(place, number=number, facing=True)
            yield facing_piece(panel, panel.shape.facing, printing, place, key)
        number += 1


def _panels(pattern: Pattern, leg: OneLeg) -> tuple[Panel, ...]:
    return tuple((pattern.unaltered if leg == "unaltered" else pattern.narrowed).values())


def _prefix(name: PanelName, leg: OneLeg) -> str:
    return name if leg == "narrowed" else f"unaltered-{name}"


def _panel_piece(pattern: Pattern, panel: Panel, printing: Printing, place: Place) -> Piece:
    prefix = _prefix(panel.name, place.leg)
    block = pattern.drawn.block
    strokes = [
        Stroke(f"{prefix}-cut", "cut", panel.shape.cut),
        Stroke(f"{prefix}-net", "net", panel.shape.net),
        Stroke(
            f"{prefix}-grainline",
            "grainline",
            np.array([(0.0, block.start + 30.0), (0.0, block.height_on(panel.name, "crotch"))]),
        ),
    ]
    if panel.join is not None:
        strokes.append(Stroke(f"{prefix}-join", "join", panel.join))
    strokes += [
        Stroke(f"{prefix}-line-{number}", "internal", line)
        for number, line in enumerate(panel.lines, 1)
    ]
    crease = pattern.drawn.taper.crease(panel.name) if place.leg == "narrowed" else None
    if crease is not None:
        strokes.append(Stroke(f"{prefix}-crease", "crease", crease))
    if place.leg == "narrowed":
        old = block_outline(pattern, panel.name)
        strokes.insert(1, Stroke(f"{prefix}-block", "block", old))
    if len(panel.shape.hem_below):
        strokes.append(Stroke(f"{prefix}-hem-below", "net", _apart(panel.shape.hem_below)))
    strokes += _slit_strokes(prefix, panel)
    strokes += _notch_strokes(prefix, panel)
    if panel.shape.facing is None:
        strokes += _fold_strokes(prefix, panel)
    else:  # its hem line is a seam, and is in the net outline
        strokes += hem_notches(prefix, panel, panel.shape.facing)
    lines, names = _levels(pattern, panel, prefix, crease)
    every = (*strokes, *lines)
    words = panel_lines(pattern.fit, printing, place, {stroke.layer for stroke in every})
    labels = names + _words(pattern, panel, words, crease)
    if crease is not None:
        labels += (_crease_label(crease),)
    quantity = 1 if printing.side(place.leg) else 2
    return Piece(prefix, piece_title(printing, place), every, labels, quantity)


def block_outline(pattern: Pattern, name: PanelName) -> Array:
    """Return the old seams of a panel as one line from crotch point around the hem to the hip."""
    block, side = pattern.drawn.block, OUTSEAM_SIDE[name]
    inseam, outseam = PANELS[name]
    slope = block.hem_slope(name)
    inner = _sampled(block.seams[inseam], block.seam_top(inseam), -side, slope)
    outer = _sampled(block.seams[outseam], block.height_on(name, block.fullest), side, slope)
    return np.vstack([inner[::-1], outer])


def _apart(line: Array) -> Array:
    """Return a line without a hair at both ends, so that no reader joins it to what it meets."""
    ends = [
        end + _HAIR * (inner - end) / np.hypot(*(inner - end))
        for end, inner in ((line[0], line[1]), (line[-1], line[-2]))
    ]
    return np.vstack([ends[0], line[1:-1], ends[1]])


def _sampled(seam: Line, top: float, side: int, slope: float) -> Array:
    start = foot(seam, side, slope)
    y = np.linspace(start, top, int((top - start) / STEP) + 2)
    return np.column_stack([side * seam.at(y), y])


def _slit_strokes(prefix: str, panel: Panel) -> list[Stroke]:
    if panel.slit is None:
        return []
    stop = panel.slit[-1]
    side = OUTSEAM_SIDE[panel.name]
    tack = np.array([stop - (side * 8, 0), stop + (side * 4, 0)])
    return [
        Stroke(f"{prefix}-slit", "slit", panel.slit),
        Stroke(f"{prefix}-slit-stop", "slit", tack),
    ]


def _notch_strokes(prefix: str, panel: Panel) -> list[Stroke]:
    """Return the notches, cut inwards from the cutting line: front single, back double."""
    strokes = []
    for notch in panel.notches:
        for number, shift in enumerate((0.0,) if panel.name == "front" else (-0.5, 0.5)):
            ends = _notch_ends(notch, shift * _NOTCH)
            strokes.append(
                Stroke(f"{prefix}-notch-{notch.edge}-{notch.level}-{number + 1}", "notch", ends)
            )
    return strokes


def _notch_ends(notch: Notch, along: float) -> Array:
    out = np.array(notch.outward)
    edge = np.array(notch.at) + out * notch.allowance + along * np.array([-out[1], out[0]])
    return np.array([edge, edge - out * _deep(notch.allowance)])


def _deep(allowance: float) -> float:
    """Return how deep a notch is cut, mm: not past the seam line, but deep enough to be seen."""
    return min(_NOTCH, max(allowance, 3.0))


def _fold_strokes(prefix: str, panel: Panel) -> list[Stroke]:
    """Return the folds of a hem, and a single notch at both ends of each."""
    folds, notches = [], []
    inseam, outseam = (-OUTSEAM_SIDE[panel.name], OUTSEAM_SIDE[panel.name])
    for number, fold in enumerate(panel.shape.folds, 1):
        name = "" if number == 1 else f"-{number}"
        folds.append(Stroke(f"{prefix}-hem-fold{name}", "hem-fold", fold))
        for edge, side in (("inseam", inseam), ("outseam", outseam)):
            ends = _fold_notch(panel.shape.cut, fold if side > 0 else fold[::-1])
            notches.append(Stroke(f"{prefix}-notch-{edge}-fold{name}-1", "notch", ends))
    return folds + notches


def _fold_notch(cut: Array, fold: Array) -> Array:
    """Return a notch from where a fold, carried on past its last point, meets the cutting line."""
    along = (fold[-1] - fold[0]) / np.hypot(*(fold[-1] - fold[0]))
    beyond = cut - fold[-1]
    over = beyond @ np.array([-along[1], along[0]])
    out = beyond @ along
    crossed = np.flatnonzero((over[:-1] < 0) != (over[1:] < 0))
    share = over[crossed] / (over[crossed] - over[crossed + 1])
    found = out[crossed] + share * (out[crossed + 1] - out[crossed])
    allowance = float(found[np.abs(found).argmin()])
    edge = fold[-1] + allowance * along
    return np.array([edge, edge - along * _deep(allowance)])


def _beside(crease: Array | None, y: float) -> float:
    """Return where words begin at a height, x in mm: right of the grainline and of the crease."""
    return _BESIDE + (0.0 if crease is None else max(0.0, float(np.interp(y, *crease.T[::-1]))))


def _levels(
    pattern: Pattern, panel: Panel, prefix: str, crease: Array | None
) -> tuple[tuple[Stroke, ...], tuple[Label, ...]]:
    """Return the level lines across a panel and their names beside the grainline."""
    block, side = pattern.drawn.block, OUTSEAM_SIDE[panel.name]
    strokes, labels, beside_grain = [], [], []
    ring = np.vstack([panel.shape.net, panel.shape.net[:1]])
    for level in block.heights:
        y = block.height_on(panel.name, level)
        if level == "hem" or y > block.height_on(panel.name, block.fullest) + 1e-6:
            continue
        left, right = _across(ring, panel, y, side)
        strokes.append(
            Stroke(f"{prefix}-level-{level}", "level", np.array([(left, y), (right, y)]))
        )
        unit = pattern.fit.project.length_unit
        height = say_length(y - block.start, unit, _STEP[unit])
        shown = clean(say_level(level), 20)
        words = f"{shown} line, {height} above the hem"
        other: PanelName = "back" if panel.name == "front" else "front"
        beside = block.height_on(other, level)
        if abs(beside - y) > _TOLD:  # else one of the two would be taken for a misprint
            words += f" ({other}: {say_length(beside - block.start, unit, _STEP[unit])})"
        if block.goes_round(level):
            beside_grain.append(Label(words, (_beside(crease, y), y + 2), 3.5))
        else:  # near the hip point only the inner side has room, and above it no line runs
            tip = right if side > 0 else left
            anchor: Literal["start", "end"] = "end" if side > 0 else "start"
            top = panel.join is not None and y > block.height_on(panel.name, block.fullest) - 1e-6
            below = y + 1.5 if top else y - 7
            labels.append(Label(words, (tip - side * 12, below), 3.5, anchor=anchor))
    return tuple(strokes), (*_fitted(beside_grain, _fitting(beside_grain, panel)), *labels)


def _across(ring: Array, panel: Panel, y: float, side: int) -> tuple[float, float]:
    """Return the x at which the net outline, closed by the join as `ring`, crosses height `y`."""
    below = ring[:, 1] <= y
    crossed = np.flatnonzero(below[:-1] != below[1:])
    low, high = ring[crossed], ring[crossed + 1]
    if len(low) < 2 and panel.join is not None:  # the very top: only the hip point
        tip = float(panel.join[1, 0])
        return min(tip, tip - side * 60), max(tip, tip - side * 60)
    xs = low[:, 0] + (y - low[:, 1]) / (high[:, 1] - low[:, 1]) * (high[:, 0] - low[:, 0])
    return float(xs.min()), float(xs.max())


def _words(
    pattern: Pattern, panel: Panel, lines: Iterable[tuple[str, float]], crease: Array | None
) -> tuple[Label, ...]:
    knee = pattern.drawn.block.heights.get("knee", pattern.drawn.block.start)
    thigh = pattern.drawn.block.heights.get("thigh", pattern.drawn.block.crotch)
    said = [(text, size) for text, size in lines if text]
    top = thigh - 45
    labels = [
        Label(text, (_BESIDE, top - 9 * number), size, free=True)
        for number, (text, size) in enumerate(said)
    ]
    labels = _fitted(labels, len(labels) * [min(_fitting(labels, panel))])
    labels.append(_grain_label((knee + thigh) / 2, crease))
    if panel.join is not None:
        labels += [_join_label(panel.join, share) for share in (0.27, 0.73)]
    y = _above(panel.shape.folds[0]) + 3.0
    hem = Label(_hem_words(pattern, panel), (0.0, y), 3.5, anchor="middle")
    if crease is not None:  # which would run through the words
        hem = Label(hem.text, (_beside(crease, y), y), 3.5)
    labels.append(hem)
    if panel.slit is not None:
        x, y = panel.slit[-1]
        side = OUTSEAM_SIDE[panel.name]
        stop = Label(
            "slit to here; bar tack",
            (x - side * 10, y + 2),
            3,
            anchor="end" if side > 0 else "start",
        )
        labels.append(stop)
    return tuple(labels)


def _fitting(labels: Sequence[Label], panel: Panel) -> list[float]:
    """Return by how much words right of the grainline are made smaller for a narrow leg: 1 or less.

    So that no seam runs through any of them, as long as they can be read.
    """
    said = [(label.at[0], label_box(label)[2], label.at[1], label.size) for label in labels]
    left, right, low, size = np.array(said).reshape(-1, 4).T
    edge = _right_edge(panel.shape.net, np.array([low, low + size])).min(axis=0)
    by = (edge - _CLEAR - left) / (right - left)
    return [float(share) for share in np.clip(by, _SMALLEST, 1.0)]


def _fitted(labels: Iterable[Label], by: Iterable[float]) -> list[Label]:
    return [replace(one, size=share * one.size) for one, share in zip(labels, by, strict=True)]


def _right_edge(outline: Array, heights: Array) -> Array:
    """Return the greatest x at which a closed outline crosses each height, else inf."""
    (x0, y0), (x1, y1) = outline.T, np.roll(outline, -1, axis=0).T
    y = heights[..., None]
    xs = x0 + (y - y0) / np.where(y0 == y1, 1.0, y1 - y0) * (x1 - x0)
    edge = np.where((y0 <= y) != (y1 <= y), xs, -np.inf).max(axis=-1)
    return np.where(np.isfinite(edge), edge, np.inf)


def _grain_label(y: float, crease: Array | None) -> Label:
    """Name the grainline at a height, on the side where no crease line runs."""
    at_left = crease is None or float(np.interp(y, *crease.T[::-1])) > 0
    return Label("grainline", (-3.0 if at_left else 6.0, y), 4, angle=90, anchor="middle")


def _above(hem: Array) -> float:
    """Return the greatest height of a hem line where words stand over its middle."""
    line = hem[np.argsort(hem[:, 0])]
    return float(np.interp(np.linspace(-_WORDS, _WORDS, 9), *line.T).max())


def _crease_label(crease: Array) -> Label:
    """Name the crease line where it is farthest from the grainline, upright beside it."""
    x, y = (float(mm) for mm in crease[np.abs(crease[:, 0]).argmax()])
    out = 4.5 if x > 0 else -2.0
    return Label("crease line", (x + out, max(y, float(crease[0, 1])) + 60.0), 4, angle=90)


def _join_label(join: Array, share: float) -> Label:
    (x0, y0), (x1, y1) = join
    (x0, y0), (x1, y1) = ((x0, y0), (x1, y1)) if x0 < x1 else ((x1, y1), (x0, y0))
    angle = float(np.degrees(np.arctan2(y1 - y0, x1 - x0)))
    words = "no seam: your own top"
    x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
    at = x + 6 * np.sin(np.radians(angle)), y - 6
    return Label(words, (float(at[0]), float(at[1])), 3.5, angle=angle, anchor="middle")


def _hem_words(pattern: Pattern, panel: Panel) -> str:
    hem, unit = pattern.drawn.hem, pattern.fit.project.length_unit
    depth = say_length(hem.depth, unit)
    if panel.shape.facing is not None:
        return f"hem edge; facing {depth} deep"
    if hem.turn_under:
        return f"fold up {depth}, turn under {say_length(hem.turn_under, unit)}"
    return f"fold up {depth} here"
