"""The PDF as others read it: pypdf for its pages and text, pdfium for what a printer would draw."""

from __future__ import annotations

from io import BytesIO
from itertools import pairwise

import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from legtaper.geometry.curves import Array
from legtaper.outputs.drawing import Drawing, Stroke
from legtaper.outputs.front_sheet import Sheet
from legtaper.outputs.papers import Paper, paper
from legtaper.outputs.pdf import render
from legtaper.outputs.tiles import Tiling, tile

SOLID = ("cut", "net", "grainline")


def _dark(pdf: bytes, page: int, dpi: float) -> Array:
    """Return how dark each pixel of a page is, 0 to 1, first row at the top."""
    document = pypdfium2.PdfDocument(pdf)
    bitmap = document[page].render(scale=dpi / 72, grayscale=True)
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


def _taped(pdf: bytes, tiling: Tiling) -> tuple[Array, Array]:
    """Return the pages laid over each other by their printed frames, and the top left corner, mm.

    The frame is found on each page as a person finds it: the first line from the left and the top.
    """
    boxes = np.array([part.box for part in tiling.tiles])
    left, top = boxes[:, 0].min(), boxes[:, 3].max()
    size = np.ceil((boxes[:, 2:].max(axis=0) - boxes[:, :2].min(axis=0)) / PIXEL).astype(int) + 4
    whole = np.zeros((size[1], size[0]))
    first = len(PdfReader(BytesIO(pdf)).pages) - len(boxes)
    for number, box in enumerate(boxes):
        dark = _dark(pdf, first + number, DPI)
        x = int(np.flatnonzero((dark > 0.1).mean(axis=0) > 0.5)[0])
        y = int(np.flatnonzero((dark > 0.1).mean(axis=1) > 0.5)[0])
        tall, wide = np.floor((box[2:] - box[:2])[::-1] / PIXEL).astype(int)
        column, row = round((box[0] - left) / PIXEL), round((top - box[3]) / PIXEL)
        target = whole[row : row + tall, column : column + wide]
        np.maximum(target, dark[y : y + tall, x : x + wide], out=target)
    return whole, np.array([left, top])


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
    whole, (left, top) = _taped(render(two_panels, paper(name), sheet), tiling)
    near = np.stack(np.meshgrid(range(-2, 3), range(-2, 3)), axis=-1).reshape(-1, 1, 2)
    for piece in two_panels.pieces:
        for stroke in piece.strokes:
            if stroke.layer in SOLID:
                pixels = ((_along(stroke) - (left, top)) * (1, -1) / PIXEL).astype(int) + near
                shown = whole[pixels[..., 1], pixels[..., 0]].max(axis=0)
                assert (shown > 0.4).all(), stroke.id
    x0, y0, _, y1 = two_panels.pieces[0].box
    column = whole[:, int((x0 + 60 - left) / PIXEL)]
    ends = [_center(column, round((top - y) / PIXEL), 6) for y in (y1, y0)]
    assert (ends[1] - ends[0]) * PIXEL == pytest.approx(1000.0, abs=0.3)


def test_a_tile_left_out_would_be_white(two_panels: Drawing, sheet: Sheet) -> None:
    """On one large page, the place of every tile that is left out holds not one dark pixel."""
    tiling = tile(two_panels, paper("a4"))
    large = Paper("a0", two_panels.width + 100, two_panels.height + 100)
    pdf = render(two_panels, large, sheet)
    dark = _dark(pdf, len(PdfReader(BytesIO(pdf)).pages) - 1, DPI)
    page = tile(two_panels, large).paper
    left = (page.width - two_panels.width) / 2
    bottom = page.height - page.margin - (page.room[1] + two_panels.height) / 2
    assert tiling.blank
    for part in tiling.blank:
        x0, y0, x1, y1 = np.clip(part.box, 0, [two_panels.width - 1, 1e9] * 2)
        rows = slice(
            int((page.height - bottom - y1) / PIXEL),
            int((page.height - bottom - max(y0, 1)) / PIXEL),
        )
        columns = slice(int((left + x0) / PIXEL), int((left + x1) / PIXEL))
        assert dark[rows, columns].size > 0
        assert dark[rows, columns].max() < 0.1
