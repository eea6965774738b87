"""Pattern files: rendered as the table of formats has it, and each written in one step."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from legtaper.muslin.compare import Column
    from legtaper.outputs.formats import Options
    from legtaper.pattern import Pattern


def today() -> date:
    """Return the day that goes on a sheet.

    SOURCE_DATE_EPOCH sets it, as the convention of reproducible builds has it, so that the same
    project gives the same bytes.
    """
    try:
        return datetime.fromtimestamp(int(os.environ["SOURCE_DATE_EPOCH"]), UTC).date()
    except (KeyError, ValueError, OverflowError, OSError):
        return date.today()


def write_pattern_file(
    pattern: Pattern, out: Path, options: Options | None = None, *, force: bool = False
) -> str:
    """Write one pattern file, as its suffix asks, and return a sentence that says what and where.

    Raises `StoreError` where the file exists (without `force`) or cannot be written, and
    `PaperError` for a paper that is unknown or too small.
    """
    from legtaper.files.atomic_write import StoreError, shown_path, write_export
    from legtaper.outputs.formats import Options, format_of

    try:
        row = format_of(out)
    except ValueError as error:
        raise StoreError(out, str(error)) from None
    # Said before the work, and once more where it is written. `os.path` also bears a long name.
    if os.path.exists(out) and not force:  # noqa: PTH110
        raise StoreError(out, "is there already; use --force to write over it")
    options = replace(options or Options(), on=today())
    write_export(out, row.render(pattern, options, out.suffix.lower()), force=force)
    return f"Wrote {shown_path(out)}, {row.words(options)}."


def write_compare_page(shown: Sequence[Column], out: Path, *, force: bool = False) -> str:
    """Write designs and rounds side by side as one page and return a sentence that says where.

    Raises `StoreError` where the file exists (without `force`) or cannot be written, and
    `ProjectError` for more columns than a page holds.
    """
    from legtaper.files.atomic_write import StoreError, shown_path, write_export
    from legtaper.outputs.compare_page import compare_page

    kind = out.suffix.lower()
    if kind not in (".svg", ".pdf"):
        raise StoreError(out, "the name of the page must end in .pdf or .svg")
    drawing = compare_page(shown, today())
    if kind == ".svg":
        from legtaper.outputs import svg

        data = svg.render(drawing).encode()
    else:
        from legtaper.outputs import pdf

        data = pdf.render_page(drawing)
    write_export(out, data, force=force)
    return f"Wrote {shown_path(out)}, {len(shown)} side by side on one page."
