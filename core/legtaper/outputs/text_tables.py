"""Tables and headings as lines of text, for a terminal or a text file."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from legtaper.model.safe_text import clean, wrapped
from legtaper.model.sheet_table import SheetTable

if TYPE_CHECKING:
    from legtaper.pattern import Fit

PAGE = 80
"""Columns of a terminal that a table has to fit in."""

_NARROW = 8  # columns that stacked words may always take


def heading(fit: Fit) -> list[str]:
    """Return the lines that name project and design."""
    name = clean(fit.project.name or "A project without a name", 80)
    return [name, f"Design: {clean(fit.design.name, 60)}"]


def table_lines(table: SheetTable) -> list[str]:
    """Return a table with aligned columns, two spaces apart.

    The words above a column are stacked where the table would be wider than a page of text.
    """
    rows = [table.header, *table.rows]
    if sum(max(len(row[i]) for row in rows if i < len(row)) + 2
           for i in range(len(table.header))) > PAGE:  # fmt: skip
        rows = [*_stacked(table), *table.rows]
    widths = [max(len(row[i]) for row in rows if i < len(row)) for i in range(len(table.header))]
    lines = [table.title]
    for row in rows:
        cells = (f"{cell:<{width}}" for cell, width in zip(row, widths, strict=False))
        lines.append(("  " + "  ".join(cells)).rstrip())
    return [*lines, *(wrapped(table.note, PAGE - 2, "  ", "  ") if table.note else [])]


def _stacked(table: SheetTable) -> list[tuple[str, ...]]:
    """Return the header in as many rows as it needs to be no wider than what stands below it."""
    columns = []
    for place, words in enumerate(table.header):
        below = max((len(row[place]) for row in table.rows if place < len(row)), default=0)
        longest = max((len(word) for word in words.split()), default=0)
        columns.append(textwrap.wrap(words, max(below, longest, _NARROW)) if words else [])
    tall = max(map(len, columns))
    stacks = [[""] * (tall - len(column)) + column for column in columns]
    return list(zip(*stacks, strict=True))
