"""A table of texts, as sheets, pages and the terminal show it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SheetTable:
    """One table: a row may be shorter than `header`, the rest of it is then empty."""

    title: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
