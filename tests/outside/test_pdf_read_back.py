"""The PDF as others read it: pypdf for its pages and text, pdfium for what a printer would draw."""

from __future__ import annotations

import math
from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from legtaper.geometry.curves import Array
from legtaper.outputs.drawing import Drawing, Piece, Stroke
from legtaper.outputs.front_sheet import Sheet
from legtaper.outputs.papers import paper
from legtaper.outputs.pdf import render
from legtaper.outputs.printing import PrintJob
from legtaper.outputs.tiles import Section, Tiling, tile

EMPTY = Sheet("Invented", "", (), (), (), (), "")
SOLID = ("cut", "net", "grainline")


def _dark(pdf: bytes, page: int, dpi: float, lowest: float = math.inf) -> Array:
    """Return how dark each pixel of a page is, 0 to 1, first row at the top.

    lowest: how many mm of it, from its lower edge up; a sheet off a roll has 100 million pixels.
    """
    document = pypdfium2.PdfDocument(pdf)
    above = max(document[page].get_height() - lowest * 72 / 25.4, 0.0)
    bitmap = document[page].render(scale=dpi / 72, grayscale=True, crop=(0, 0, 0, above))
    shades = np.array(bitmap.to_numpy(), dtype=float).reshape(bitmap.height, bitmap.width)
    document.close()
    return 1 - shades / 255


def _center(dark: Array, near: int, reach: int) -> float:
    """Return where a line crosses a row of pixels, to a fraction of one."""
    part = dark[near - reach : near + reach + 1]
    return near - reach + float(part @ np.arange(len(part)) / part.sum())


def _runs(row: Array) -> list[tuple[int, int]]:
    """Return start and end of every stretch of dark pixels."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], row > 0.4, [0]])))
    return [(int(a), int(b)) for a, b in edges.reshape(-1, 2)]


def _squares(dark: Array, dpi: float) -> list[tuple[float, float]]:
    """Find every square whose upper edge is 49 to 52 mm long; return width and height in mm."""
    pixel, found = 25.4 / dpi, []
    seen: list[tuple[int, int]] = []
    for y in range(len(dark)):
        for a, b in _runs(dark[y]):
            if not 49 < (b - a) * pixel < 52 or any(abs(a - x) < 9 and y - r < 9 for x, r in seen):
                continue
            seen.append((a, y))
            deep = y + int(51 / pixel)
            quarter = (b - a) // 4
            # A quarter of the way in, where neither the words nor the other edges are.
            across, down = dark[y + quarter], dark[:, a + quarter]
            if down[y + int(49 / pixel) : deep + 5].max() < 0.4:
                continue  # the lower edge of a square
            low = next(r for r in range(y + int(49 / pixel), deep + 5) if down[r] > 0.4)
            width = _center(across, b - 2, 4) - _center(across, a + 2, 4)
            found.append(
                (width * pixel, (_center(down, low + 2, 4) - _center(down, y + 2, 4)) * pixel)
            )
    return found


@pytest.mark.parametrize("name", ["a4", "letter", "a3"])
def test_the_scale_squares_measure_true(two_panels: Drawing, sheet: Sheet, name: str) -> None:
    """On the first tile at 300 dpi: 50 mm and 2 in along both sides, to 0.1 mm."""
    pages = PdfReader(BytesIO(render(two_panels, paper(name), sheet))).pages
    first = next(i for i, page in enumerate(pages) if "pattern page 1 of" in page.extract_text())
    squares = sorted(_squares(_dark(render(two_panels, paper(name), sheet), first, 300), 300))
    assert len(squares) == 2
    assert squares[0] == pytest.approx((50.0, 50.0), abs=0.1)
    assert squares[1] == pytest.approx((50.8, 50.8), abs=0.1)


@pytest.mark.parametrize("name", ["a0", "roll:91cm"])
def test_the_scale_squares_measure_true_on_one_page(
    two_panels: Drawing, sheet: Sheet, name: str
) -> None:
    """On a large page at 150 dpi: 50 mm and 2 in, to 0.1 mm."""
    pdf = render(two_panels, paper(name), sheet)
    squares = sorted(_squares(_dark(pdf, len(PdfReader(BytesIO(pdf)).pages) - 1, 150), 150))
    assert squares == [
        pytest.approx((50.0, 50.0), abs=0.1),
        pytest.approx((50.8, 50.8), abs=0.1),
    ]


DPI = 150
PIXEL = 25.4 / DPI
WHITE = 12  # pixels


def _taped(pdf: bytes, tiling: Tiling, section: Section) -> tuple[Array, Array]:
    """Return a section's pages laid over each other by their frames, and the top left corner, mm.

    The frame is found on each page as a person finds it: the first line from the left and the top.
    """
    boxes = np.array([part.box for part in section.tiles])
    left, top = boxes[:, 0].min(), boxes[:, 3].max()
    size = np.ceil((boxes[:, 2:].max(axis=0) - boxes[:, :2].min(axis=0)) / PIXEL).astype(int) + 4
    whole = np.zeros((size[1], size[0]))
    before = len(PdfReader(BytesIO(pdf)).pages) - len(tiling.tiles) - 1
    for part, box in zip(section.tiles, boxes, strict=True):
        dark = _dark(pdf, before + tiling.number(part), DPI)
        x = int(np.flatnonzero((dark > 0.1).mean(axis=0) > 0.5)[0])
        y = int(np.flatnonzero((dark > 0.1).mean(axis=1) > 0.5)[0])
        tall, wide = np.floor((box[2:] - box[:2])[::-1] / PIXEL).astype(int)
        column, row = round((box[0] - left) / PIXEL), round((top - box[3]) / PIXEL)
        target = whole[row : row + tall, column : column + wide]
        np.maximum(target, dark[y : y + tall, x : x + wide], out=target)
    # A line may be the outermost thing on its sheet: white beside it is needed to measure it.
    return np.pad(whole, WHITE), np.array([left - WHITE * PIXEL, top + WHITE * PIXEL])


def _along(stroke: Stroke) -> Array:
    """Return points on a stroke, one every 3 mm or so."""
    ring = np.vstack([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
    return np.concatenate(
        [
            a + np.linspace(0, 1, 2 + int(np.hypot(*(b - a)) / 3))[:, None] * (b - a)
            for a, b in pairwise(ring)
        ]
    )


@pytest.mark.parametrize("name", ["a4", "letter", "a3"])
def test_taped_sheets_show_the_whole_drawing(two_panels: Drawing, sheet: Sheet, name: str) -> None:
    """Every solid line is there, within two pixels (0.34 mm), and 1000 mm measure 1000 mm."""
    tiling = tile(two_panels, paper(name))
    pdf = render(two_panels, paper(name), sheet)
    near = np.stack(np.meshgrid(range(-2, 3), range(-2, 3)), axis=-1).reshape(-1, 1, 2)
    for section in tiling.sections:
        whole, corner = _taped(pdf, tiling, section)
        (piece,) = section.pieces
        for stroke in piece.strokes:
            if stroke.layer in SOLID:
                pixels = ((_along(stroke) - corner) * (1, -1) / PIXEL).astype(int) + near
                shown = whole[pixels[..., 1], pixels[..., 0]].max(axis=0)
                assert (shown > 0.4).all(), stroke.id
        _measures_a_meter(piece, whole, corner)


def _measures_a_meter(piece: Piece, whole: Array, corner: Array) -> None:
    """Measure the piece along its grainline, from the hem to the top edge, as it lies."""
    flat = piece.box[2] - piece.box[0] > piece.box[3] - piece.box[1]
    left, top = corner
    x0, y0, x1, y1 = piece.box
    if flat:
        row = whole[int((top - (y0 + y1) / 2 - 20) / PIXEL)]
        ends = [_center(row, round((x - left) / PIXEL), 6) for x in (x0, x1)]
    else:
        column = whole[:, int(((x0 + x1) / 2 + 20 - left) / PIXEL)]
        ends = [_center(column, round((top - y) / PIXEL), 6) for y in (y1, y0)]
    assert (ends[1] - ends[0]) * PIXEL == pytest.approx(1000.0, abs=0.3)


def _rule_ends(dark: Array, dpi: float) -> tuple[float, float]:
    """Return the lengths, mm, from the first tick of the rule to those of 100 mm and of 4 in.

    The rule is the longest solid line in the lowest 100 mm of a page that is 95 to 110 mm long.
    """
    pixel = 25.4 / dpi
    for y in range(len(dark) - 1, len(dark) - int(100 / pixel), -1):
        for a, b in _runs(dark[y]):
            if 95 < (b - a) * pixel < 110:
                up, down = dark[y - int(1.3 / pixel)], dark[y + int(1.1 / pixel)]
                start = _center(up, a, 5), _center(down, a, 5)
                end = _center(up, a + round((b - a) * 100 / 101.6), 7), _center(down, b - 1, 5)
                return (end[0] - start[0]) * pixel, (end[1] - start[1]) * pixel
    raise AssertionError("no rule was found")


@pytest.mark.parametrize("correction", [(1.0, 1.0), (150 / 147.6, 250 / 252.0)])
@pytest.mark.parametrize("name", ["a4", "letter", "a3", "roll:91cm"])
def test_the_rule_on_every_page_is_true(
    two_panels: Drawing, name: str, correction: tuple[float, float]
) -> None:
    """Within 0.1 mm in 100 and in 4 in at 300 dpi, once the printer's error is counted in."""
    pdf = render(two_panels, paper(name), EMPTY, job=PrintJob(correction))
    first = 0
    pages = PdfReader(BytesIO(pdf)).pages
    while "pattern page 1 of" not in pages[first].extract_text():
        first += 1
    assert first > 0
    for number in range(first - 1, len(pages)):  # that of the rectangle has one, too
        wide = float(pages[number].mediabox.width) > float(pages[number].mediabox.height)
        by = correction[1 if wide and paper(name).is_sheet else 0]
        millimeters, inches = _rule_ends(_dark(pdf, number, 300, lowest=110), 300)
        assert millimeters / by == pytest.approx(100.0, abs=0.1)
        assert inches / by == pytest.approx(101.6, abs=0.1)


@pytest.mark.parametrize("correction", [(1.0, 1.0), (150 / 147.6, 250 / 252.0)])
@pytest.mark.parametrize("name", ["a4", "letter"])
def test_the_test_rectangle_measures_true(
    two_panels: Drawing, name: str, correction: tuple[float, float]
) -> None:
    """150 by 250 mm, to 0.1 mm, once the printer's error is counted in."""
    pdf = render(two_panels, paper(name), EMPTY, job=PrintJob(correction))
    page = next(
        number
        for number, page in enumerate(PdfReader(BytesIO(pdf)).pages)
        if "Test rectangle" in page.extract_text()
    )
    dark, pixel = _dark(pdf, page, 300), 25.4 / 300
    columns = np.flatnonzero((dark > 0.4).mean(axis=0) > 0.6)
    rows = np.flatnonzero((dark > 0.4).mean(axis=1) > 0.6)
    middle = dark[int(rows.mean()) + 40], dark[:, int(columns.mean())]
    across = _center(middle[0], int(columns[-1]), 5) - _center(middle[0], int(columns[0]), 5)
    up = _center(middle[1], int(rows[-1]), 5) - _center(middle[1], int(rows[0]), 5)
    assert across * pixel / correction[0] == pytest.approx(150.0, abs=0.1)
    assert up * pixel / correction[1] == pytest.approx(250.0, abs=0.1)


@pytest.mark.parametrize("name", ["a4", "letter"])
def test_a_place_left_out_would_show_nothing_to_cut(two_panels: Drawing, name: str) -> None:
    """No line to cut, sew or mark passes more than 0.5 mm into the middle of a place left out."""
    upright = np.array([(0.0, 0.0), (0.0, 800.0), (400.0, 800.0)])
    corner = replace(two_panels, pieces=(Piece("l", "L", (Stroke("l", "cut", upright),)),))
    (section,) = tile(corner, paper(name)).sections
    assert section.blank
    points = _along(section.pieces[0].strokes[0])
    printed = np.array([part.box for part in section.tiles])[:, None]
    for part in section.blank:
        x0, y0, x1, y1 = part.box
        inside = points[(points[:, 0] > x0) & (points[:, 0] < x1)
                        & (points[:, 1] > y0) & (points[:, 1] < y1)]  # fmt: skip
        shown = (printed[..., :2] - 0.5 <= inside) & (inside <= printed[..., 2:] + 0.5)
        assert shown.all(axis=2).any(axis=0).all()


def test_a_fold_on_a_seam_line_is_drawn_as_a_fold(two_panels: Drawing) -> None:
    """Dashed, with white between the dashes, though the seam line runs along it."""
    line = np.array([(0.0, 0.0), (120.0, 0.0)])
    strokes = (
        Stroke("n", "net", line),
        Stroke("f", "hem-fold", line),
        Stroke("c", "cut", line + 9),
    )
    alone = replace(two_panels, pieces=(Piece("l", "L", strokes),))
    dark = _dark(render(alone, paper("a4"), EMPTY, job=PrintJob(fronts=False)), 0, 300)
    rows = [sum(b - a > 30 for a, b in _runs(row)) for row in dark]
    assert max(rows) >= 8  # a dash of 8 mm every 14
