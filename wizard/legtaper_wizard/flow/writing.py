"""Pattern files: render in memory, then write each in one step."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    from legtaper.muslin.compare import Column
    from legtaper.outputs.pattern_drawing import LegChoice
    from legtaper.pattern import Pattern

Progress = Callable[[int, int], bool]
"""Called with pages done and pages in all; returning False cancels."""

KINDS = (".svg", ".pdf", ".dxf")


def render_pattern(
    pattern: Pattern,
    kind: str,
    paper: str = "a4",
    leg: str = "narrowed",
    progress: Progress | None = None,
) -> bytes:
    """Return the bytes of one pattern file; `kind` is .svg, .pdf or .dxf.

    Raises `PaperError` for a paper that is unknown or too small.
    """
    from legtaper.outputs.pattern_drawing import draw_pattern

    drawing = draw_pattern(pattern, cast("LegChoice", leg), _today())
    if kind == ".svg":
        from legtaper.outputs import svg

        return svg.render(drawing).encode()
    if kind == ".dxf":
        from legtaper.outputs import dxf

        return dxf.render(drawing)
    from legtaper.outputs import pdf, tiles
    from legtaper.outputs.front_sheet import pattern_sheet

    sheet = pattern_sheet(pattern, on=_today(), leg=cast("LegChoice", leg))
    return pdf.render(drawing, tiles.paper(paper), sheet, progress=progress)


def _today() -> date:
    """Return the day that goes on a sheet.

    SOURCE_DATE_EPOCH sets it, as the convention of reproducible builds has it, so that the same
    project gives the same bytes.
    """
    try:
        return datetime.fromtimestamp(int(os.environ["SOURCE_DATE_EPOCH"]), UTC).date()
    except (KeyError, ValueError, OverflowError, OSError):
        return date.today()


def write_pattern_file(  # noqa: PLR0913  the options are named at every call
    pattern: Pattern,
    out: Path,
    *,
    paper: str = "a4",
    leg: str = "narrowed",
    force: bool = False,
    progress: Progress | None = None,
) -> str:
    """Write one pattern file and return a sentence that says what and where.

    Raises `StoreError` where the file exists (without `force`) or cannot be written.
    """
    from legtaper.files.atomic_write import StoreError, shown_path, write_output

    kind = out.suffix.lower()
    if kind not in KINDS:
        raise StoreError(out, "the name of the file must end in .svg, .pdf or .dxf")
    # Said before the work, and once more where it is written. `os.path` also bears a long name.
    if os.path.exists(out) and not force:  # noqa: PTH110
        raise StoreError(out, "is there already; use --force to write over it")
    data = render_pattern(pattern, kind, paper, leg, progress)
    write_output(out, data, force=force)
    return f"Wrote {shown_path(out)}, {_what(leg)} at true size."


def _what(leg: str) -> str:
    return {
        "narrowed": "the narrowed leg",
        "unaltered": "the unaltered leg",
        "both": "the narrowed and the unaltered leg",
    }[leg]


def write_compare_page(shown: Sequence[Column], out: Path, *, force: bool = False) -> str:
    """Write designs and rounds side by side as one page and return a sentence that says where.

    Raises `StoreError` where the file exists (without `force`) or cannot be written, and
    `ProjectError` for more columns than a page holds.
    """
    from legtaper.files.atomic_write import StoreError, shown_path, write_output
    from legtaper.outputs.compare_page import compare_page

    kind = out.suffix.lower()
    if kind not in (".svg", ".pdf"):
        raise StoreError(out, "the name of the page must end in .pdf or .svg")
    drawing = compare_page(shown, _today())
    if kind == ".svg":
        from legtaper.outputs import svg

        data = svg.render(drawing).encode()
    else:
        from legtaper.outputs import pdf

        data = pdf.render_page(drawing)
    write_output(out, data, force=force)
    return f"Wrote {shown_path(out)}, {len(shown)} side by side on one page."
