"""A blank sheet to write measurements on, to hand out: one page, or lines of text."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from legtaper.outputs.drawing import Drawing, Label, Piece, Stroke
from legtaper.outputs.papers import Paper

TITLE = "Measurements for narrowed trousers"
_EDGE, _HEAD, _BLANK = 15.0, 24.0, 45.0  # mm
_TALLEST = 16.0  # mm of a row


class Row(NamedTuple):
    """One measurement: what it is called, and how it is taken."""

    label: str
    how: str


def sheet_drawing(rows: Sequence[Row], paper: Paper) -> Drawing:
    """Draw the sheet: name and date, then a row with a blank line for each measurement."""
    top = paper.height - _EDGE
    step = min(_TALLEST, (top - _HEAD - _EDGE) / len(rows))
    labels = [Label(TITLE, (_EDGE, top - 5), 5.0), Label("Name", (_EDGE, top - 15), 3.5),
              Label("Date", (paper.width / 2, top - 15), 3.5)]  # fmt: skip
    right = paper.width - _EDGE
    lines = [(_EDGE + 12, paper.width / 2 - 5, top - 15.5),
             (paper.width / 2 + 11, right, top - 15.5)]  # fmt: skip
    for number, row in enumerate(rows, 1):
        y = top - _HEAD - number * step
        labels += [Label(row.label, (_EDGE, y + 4.2), 3.6), Label(row.how, (_EDGE, y), 2.6)]
        lines.append((right - _BLANK, right, y - 0.5))
    strokes = [Stroke(f"blank-{n}", "internal", np.array([[x0, y], [x1, y]]))
               for n, (x0, x1, y) in enumerate(lines, 1)]  # fmt: skip
    piece = Piece("measurements", TITLE, tuple(strokes), tuple(labels))
    return Drawing(TITLE, (piece,), paper.width, paper.height, None, true_size=False)


def sheet_text(rows: Sequence[Row]) -> str:
    """Return the sheet as text, each measurement with a blank and how it is taken below."""
    wide = max(len(row.label) for row in rows)
    lines = [TITLE, "", f"{'Name':<{wide}}  {'_' * 30}", f"{'Date':<{wide}}  {'_' * 30}", ""]
    for row in rows:
        lines += [f"{row.label:<{wide}}  {'_' * 14}", f"{'':<{wide}}  {row.how}"]
    return "\n".join(lines)
