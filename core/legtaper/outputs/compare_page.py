"""Designs and rounds side by side on one printed page: figures, outlines and what changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

import numpy as np

from legtaper.model.project import ProjectError
from legtaper.model.safe_text import clean, fit, wrapped
from legtaper.model.sheet_table import SheetTable
from legtaper.muslin.compare import MOST, Column, changes, outlines, steps, tables
from legtaper.muslin.log import round_text, status
from legtaper.outputs.drawing import Box, Drawing, Label, Layer, Piece, Stroke
from legtaper.outputs.leg_views import overlay_patterns, overlay_view
from legtaper.outputs.terminal_plot import Pattern

_PAGE = (297.0, 210.0)  # A4, the long side across: ISO 216
_EDGE = 12.0
_GUTTER = 8.0
_RIGHT = 100.0  # mm for outlines and words; the rest is for the tables
_TITLE, _SMALL = 6.0, 3.2
_TALLEST_ROW, _TEXT = 4.4, 0.62  # mm, and the size of its letters as a share of it
_OUTLINES = 78.0  # mm high
_LAYERS: dict[Pattern, Layer] = {"old": "join", "other": "block", "new": "net"}
"""Dotted, dashed and solid, as on the screen; the layers only lend their dashes here."""


def compare_page(shown: Sequence[Column], on: date | None = None) -> Drawing:
    """Draw up to `MOST` columns on one page; `on` is printed under the title.

    Raises `ProjectError` for more.
    """
    if len(shown) > MOST:
        raise ProjectError("", f"a page holds {MOST} side by side; name no more with --design "
                               "and --round")  # fmt: skip
    wide, tall = _PAGE
    project = shown[0].fit.project
    title = clean(project.name or "Trousers", 60)
    day = f", {on.isoformat()}" if on else ""
    top = tall - _EDGE - _TITLE
    under = f"Side by side{day}. {status(project, shown[0].fit.block)}."
    labels = [
        Label(title, (_EDGE, top), _TITLE),
        Label(clean(under, 150), (_EDGE, top - 6), _SMALL),
    ]
    left = _EDGE, _EDGE, wide - _EDGE - _RIGHT - _GUTTER, top - 12
    right = wide - _EDGE - _RIGHT, _EDGE, wide - _EDGE, top - 12
    labels += _tables(tables(shown), left, len(shown))
    strokes = _outlines(shown, (right[0], right[3] - _OUTLINES, right[2], right[3]))
    legend, samples = _legend(shown, right[0], right[3] - _OUTLINES - 6)
    foot = right[3] - _OUTLINES - 6 - 5 * len(samples) - 3
    labels += [*legend, *_words(shown, (right[0], right[1], right[2], foot))]
    piece = Piece("comparison", "Designs side by side", (*strokes, *samples), tuple(labels))
    return Drawing(f"{title}: side by side", (piece,), wide, tall, None, true_size=False)


def _tables(shown: Sequence[SheetTable], box: Box, count: int) -> Iterator[Label]:
    """Set the tables below each other, in rows as high as the page allows."""
    x0, low, x1, top = box
    rows = sum(len(table.rows) + 3 for table in shown)
    step = min(_TALLEST_ROW, (top - low) / rows)
    size = _TEXT * step
    first, second = 26.0, 19.0
    each = (x1 - x0 - first - second) / count
    starts = [x0, x0 + first, *(x0 + first + second + each * i for i in range(count))]
    widths = [first, second, *[each] * count]
    y = top
    for table in shown:
        y -= step
        yield Label(table.title, (x0, y), size * 1.15)
        for row in (table.header, *table.rows):
            y -= step
            for x, width, cell in zip(starts, widths, row, strict=True):
                if cell:
                    yield Label(fit(cell, int(width / (0.6 * size))), (x, y), size)
        y -= step


def _outlines(shown: Sequence[Column], box: Box) -> list[Stroke]:
    """Scale the outlines into a box, all alike."""
    traces, _ = overlay_view(shown[0].fit.block, [outline.seams for outline in outlines(shown)])
    points = np.vstack([trace.points for trace in traces])
    low, size = points.min(axis=0), np.ptp(points, axis=0)
    corner = np.array(box[:2])
    shrink = float(((np.array(box[2:]) - corner) / size).min())
    return [
        Stroke(f"outline-{number}", _LAYERS[trace.pattern], (trace.points - low) * shrink + corner)
        for number, trace in enumerate(traces, 1)
    ]


def _legend(shown: Sequence[Column], x: float, y: float) -> tuple[list[Label], list[Stroke]]:
    made = outlines(shown)
    labels, samples = [], []
    for number, (one, pattern) in enumerate(zip(made, overlay_patterns(len(made)), strict=True)):
        at = y - 5 * number
        line = np.array([(x, at + 1), (x + 24, at + 1)])
        samples.append(Stroke(f"sample-{number + 1}", _LAYERS[pattern], line))
        labels.append(Label(one.label, (x + 28, at), _SMALL))
    return labels, samples


def _words(shown: Sequence[Column], box: Box) -> Iterator[Label]:
    """Write what changed and what was seen, as far as there is room."""
    x0, low, x1, top = box
    size, step = 2.4, 3.4
    across, room = int((x1 - x0) / (0.6 * size)), int((top - low) / step)
    lines: list[str] = []
    for text in _paragraphs(shown):
        lines += wrapped(text, across, "  ")
    if len(lines) > room:
        lines = [*lines[: room - 1], "... more on the screen: legtaper compare"]
    for number, line in enumerate(lines):
        yield Label(line, (x0, top - step * (number + 1)), size)


def _paragraphs(shown: Sequence[Column]) -> Iterator[str]:
    for before, after in steps(shown):
        yield f"{before.label} -> {after.label}:"
        yield from changes(before.fit, after.fit)
    for column in shown:
        project, block = column.fit.project, column.fit.block
        if column.number is not None:
            yield round_text(project, column.number, block)
            continue
        for number, one in enumerate(project.rounds, 1):
            if one.design == column.fit.design.name:
                yield round_text(project, number, block)
