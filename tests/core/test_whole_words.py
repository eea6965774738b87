from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import sample
import shapely
from shapely import affinity

from legtaper import build, load
from legtaper.outputs.drawing import Drawing, Label, Piece
from legtaper.outputs.papers import paper
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.outputs.piece_words import Printing
from legtaper.outputs.tiles import OVERLAP, Section, Tiling, tile
from legtaper.outputs.whole_words import pages_of

EXAMPLES = Path(__file__).parents[2] / "examples"
NO_ROOM = {("knit", "letter", "both"): 4, ("faced", "a4", "both"): 4}
"""How many words find no room on a sheet that shows them whole."""

NAMES = ("courier", "cropped", "knit", "shifted", "weekend", "faced")


def _drawing(name: str, leg: Any) -> Drawing:
    faced = sample.project(sample.design(hem=sample.hem("faced")))
    project = faced if name == "faced" else load(EXAMPLES / f"{name}.toml")
    return draw_pattern(build(project), Printing(leg))


def _box(label: Label) -> Any:
    """Return the room of a label, its letters 0.55 of their height wide."""
    wide = 0.55 * label.size * len(label.text)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[label.anchor]
    flat = shapely.box(left, -0.2 * label.size, left + wide, 0.75 * label.size)
    return affinity.translate(affinity.rotate(flat, label.angle, origin=(0, 0)), *label.at)


def _diamonds(tiling: Tiling, section: Section) -> dict[str, list[Any]]:
    """Return the diamonds on each sheet: where the middles of strips meet its other edges.

    Each is 6 mm from tip to tip, in the middle of the overlap.
    """
    found: dict[str, list[Any]] = {part.name: [] for part in section.tiles}
    half = OVERLAP / 2
    for part in section.tiles:
        x0, y0, x1, y1 = part.box
        for down, right in ((0, 1), (0, -1), (1, 0), (-1, 0)):
            if tiling.beside(part, down, right) is None:
                continue
            across = [x1 - half if right > 0 else x0 + half] if right else [x0 + half, x1 - half]
            up = [y0 + half if down > 0 else y1 - half] if down else [y0 + half, y1 - half]
            found[part.name] += [shapely.Point(x, y).buffer(3) for x in across for y in up]
    return found


def _cut_words(tiling: Tiling) -> list[str]:
    """Return the words that no sheet shows whole and clear of its diamonds."""
    cut = []
    for section in (one for one in tiling.sections if len(one.tiles) > 1):
        marks = _diamonds(tiling, section)
        for label in (label for piece in section.pieces for label in piece.labels):
            box = _box(label)
            if not any(
                shapely.box(*part.box).contains(box)
                and not any(mark.intersects(box) for mark in marks[part.name])
                for part in section.tiles
            ):
                cut.append(label.text)
    return cut


@pytest.mark.parametrize("leg", ["narrowed", "both"])
@pytest.mark.parametrize("on", ["a4", "letter", "a3"])
@pytest.mark.parametrize("name", NAMES)
def test_words_are_whole_on_a_sheet(name: str, on: str, leg: Any) -> None:
    """All but the name of a hip line at the point of a panel, and where a narrow leg is full."""
    drawing = _drawing(name, leg)
    cut = [text for text in _cut_words(pages_of(drawing, paper(on))) if "hip line" not in text]
    before = _cut_words(tile(drawing, paper(on)))
    assert len(cut) <= NO_ROOM.get((name, on, leg), 0), cut
    assert (name, on) != ("courier", "a4") or len(before) > 8


@pytest.mark.parametrize("name", NAMES)
def test_moved_words_stay_on_their_piece_and_off_its_lines(name: str) -> None:
    """Within the cutting line, over no line and over no other words."""
    drawing = _drawing(name, "both")
    moved = 0
    for section in pages_of(drawing, paper("letter")).sections:
        for piece in section.pieces:
            (cut,) = (piece.outline(s).points for s in piece.strokes if s.layer == "cut")
            for label in _newly_placed(drawing, piece):
                box = _box(label)
                moved += 1
                assert shapely.Polygon(cut).contains(box), label.text
                for stroke in piece.strokes:
                    assert not shapely.LineString(stroke.points).intersects(box), stroke.id
                others = (_box(other) for other in piece.labels if other is not label)
                assert not any(other.intersects(box) for other in others), label.text
    assert moved


def _newly_placed(drawing: Drawing, piece: Piece) -> list[Label]:
    """Return the labels that lie otherwise on a piece than where it was drawn."""
    (drawn,) = (one for one in drawing.pieces if one.name == piece.name)
    if piece.strokes[0].points[0].tolist() != drawn.strokes[0].points[0].tolist():
        for quarters in range(4):
            turned = drawn.turned(quarters)
            to = piece.strokes[0].points[0] - turned.strokes[0].points[0]
            shifted = turned.moved(*to.tolist())
            if np.allclose(shifted.strokes[0].points, piece.strokes[0].points):
                drawn = shifted
                break
    at = [(la.text, round(la.at[0], 3), round(la.at[1], 3)) for la in drawn.labels]
    return [la for la in piece.labels
            if (la.text, round(la.at[0], 3), round(la.at[1], 3)) not in at]  # fmt: skip


def test_words_about_a_piece_stay_one_block() -> None:
    """Moved together: the lines keep their order and their gaps, and one sheet shows them all."""
    for section in pages_of(_drawing("courier", "both"), paper("a4")).sections:
        for piece in section.pieces:
            block = [label for label in piece.labels if label.free]
            boxes = shapely.unary_union([_box(label) for label in block])
            if len(section.tiles) > 1:
                assert any(shapely.box(*part.box).contains(boxes) for part in section.tiles)
            along = {tuple(np.round(np.subtract(low.at, high.at), 3).tolist())
                     for high, low in pairwise(block)}  # fmt: skip
            assert len(along) == 1, along
