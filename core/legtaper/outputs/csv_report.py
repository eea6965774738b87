"""Marks as comma-separated values, for a spreadsheet: every column says its unit in its header."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from legtaper.model.lengths import factor, say_length
from legtaper.model.project import Unit
from legtaper.model.safe_text import clean
from legtaper.outputs.json_report import PLACES, Json, marks_report
from legtaper.pattern import Fit

_NAME = 80  # characters
_SHOWN = ("height", "come_in", "from_grainline", "allowance")
"""What a person marks off, so that it stands in her unit beside the millimeters."""

_OTHER_WAY = {"height": "below", "come_in": "out"}
"""Which way a negative length goes: below the hem, out from the old line."""


def marks_rows(fit: Fit, step: str) -> list[Json]:
    """Return the rows of `marks --csv`, one for each mark, by column; what lies below the hem last.

    Lengths in mm end in `_mm`; what is marked off stands also in the project's unit, in inches
    as a decimal number and as the fraction of the ruler.
    """
    report, unit = marks_report(fit, step), fit.project.length_unit
    start = {key: _harmless(clean(report[key], _NAME)) for key in ("project", "design")}
    below = [
        {"edge": mark["edge"] or f"{mark['panel']} grainline", "level": mark["what"]}
        | {key: mark[key] for key in ("height", "from_grainline", "allowance")}
        for mark in report["below_hem"]
    ]
    return [start | _row(mark, unit, step) for mark in (*report["marks"], *below)]


def marks_csv(fits: Sequence[tuple[Fit, str]]) -> str:
    """Return the marks of one or more fits, each with the step it is rounded to, as one table.

    Designs in inches and in centimeters together give the columns of both; one leaves the other's
    empty.
    """
    rows = [row for fit, step in fits for row in marks_rows(fit, step)]
    columns = list(dict.fromkeys(key for row in rows for key in row))
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def _row(mark: Json, unit: Unit, step: str) -> Json:
    row: Json = {}
    for key, value in mark.items():
        if not isinstance(value, float):
            row[key] = _harmless(clean(value or "", _NAME))
            continue
        row[f"{key}_mm"] = round(value, PLACES) + 0.0
        if key in _SHOWN:
            row[f"{key}_{unit}"] = round(value / factor(unit), PLACES) + 0.0
            if step.endswith("in"):
                row[f"{key}_fraction"] = _fraction(key, value, unit, step)
    return row


def _fraction(key: str, mm: float, unit: Unit, step: str) -> str:
    """Say a length as the ruler reads it, by a word where it is negative.

    A spreadsheet may take what begins with a minus for a formula, and an apostrophe before it is
    read as part of the length.
    """
    said, word = say_length(mm, unit, step), _OTHER_WAY.get(key)
    return f"{said[1:]} {word}" if word and said.startswith("-") else _harmless(said)


def _harmless(cell: str) -> str:
    """Keep a spreadsheet from taking a name for a formula."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t", "\r") else cell
