"""The sheet in front of a PDF pattern: facts, plan, tables, findings, cautions, further pages.

Imports reportlab, so only `pdf.py` imports this, when it draws. Everything here is in points.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.lib import colors
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph, Spacer, Table

from legtaper.model.sheet_table import SheetTable
from legtaper.outputs.assembly_plan import assembly
from legtaper.outputs.drawing import Drawing, Label
from legtaper.outputs.front_sheet import Sheet, SheetList, SheetPage, SheetSteps
from legtaper.outputs.pdf_text import BOLD, REGULAR, markup, printable, width, write
from legtaper.outputs.tiles import Tile, Tiling

_SIDE, _TOP, _FOOT = 18 * mm, 16 * mm, 18 * mm  # white round the text; the foot holds the footer
_GREY = colors.Color(0.35, 0.35, 0.35)
_PALE = colors.Color(0.75, 0.75, 0.75)

_BODY = ParagraphStyle("body", fontName=REGULAR, fontSize=8.5, leading=12)
_SMALL = ParagraphStyle("small", _BODY, fontSize=7.5, leading=10.5, textColor=_GREY)
_TITLE = ParagraphStyle("title", _BODY, fontName=BOLD, fontSize=15, leading=19)
_SUBTITLE = ParagraphStyle("subtitle", _BODY, fontSize=10, leading=14, textColor=_GREY)
_HEADING = ParagraphStyle("heading", _BODY, fontName=BOLD, fontSize=10, leading=13)
_CELL = ParagraphStyle("cell", _BODY, fontSize=8, leading=10.5)
_HEAD = ParagraphStyle("head", _CELL, fontName=BOLD)
_CELL_SIDE = 2 * mm
_LEAD = ParagraphStyle("lead", _BODY, spaceAfter=4)
_STEP = ParagraphStyle("step", _LEAD, leftIndent=5 * mm, bulletFontName=REGULAR, bulletFontSize=8.5)

_WORK = ParagraphStyle("work", _BODY, fontSize=9, leading=11.5)
_WORK_NAME = ParagraphStyle("work-name", _WORK, fontName=BOLD)

_TAG = ParagraphStyle(
    "tag", _BODY, fontName=BOLD, fontSize=7.5, leading=9, alignment=1, borderPadding=(1.5, 0, 2, 0)
)
# The word says the status; the frame lets the eye find it, and neither needs color.
_TAGS = {
    "fails": ParagraphStyle("fails", _TAG, textColor=colors.white, backColor=colors.black),
    "warning": ParagraphStyle("warning", _TAG, borderWidth=0.8, borderColor=colors.black),
    "unknown": ParagraphStyle(
        "unknown", _TAG, fontName=REGULAR, borderWidth=0.4, borderColor=_GREY
    ),
    "pass": ParagraphStyle("pass", _TAG, fontName=REGULAR),
}


@dataclass(frozen=True)
class Item:
    """A part of the text; `room` points must be left on the page, or it goes to the next one.

    `opens` has it begin a page; where it `may_follow`, only if all that belongs to it does not fit
    below what is before it.
    """

    part: Any
    room: float = 0.0
    opens: bool = False
    may_follow: bool = False


@dataclass(frozen=True)
class Placed:
    """A part of the text in its place: the height of its lower edge in points."""

    part: Any
    y: float


def compose(
    sheet: Sheet, drawing: Drawing, pages: tuple[Tiling, Tile], wide: float
) -> tuple[Item, ...]:
    """Return the parts of the sheet in reading order, for a column `wide` points wide.

    pages: those of the pattern, and the one with the scale squares.
    """
    tiling, measured = pages
    items = [Item(_text(sheet.title, _TITLE))]
    if sheet.subtitle:
        items.append(Item(_text(sheet.subtitle, _SUBTITLE)))
    items += [_gap(2), *_facts(sheet.facts, wide)]
    together = "Putting the pages together" if len(tiling.tiles) > 1 else "The page"
    items += [*_heading(together, 40), Item(assembly(tiling, measured, wide))]
    if sheet.findings:
        items += [*_heading("What the checks found", 16), Item(_findings(sheet.findings, wide))]
    cautions = tuple(dict.fromkeys((*sheet.cautions, *drawing.notes)))
    if cautions:
        items += _heading("Take care", 16)
        items += [Item(_text(caution, _BODY)) for caution in cautions]
    for table in sheet.tables:
        items += [*_heading(table.title, 22), Item(_table(table, wide))]
        if table.note:
            items += [_gap(1), Item(_text(table.note, _SMALL))]
    for page in sheet.pages:
        items += _own_page(page, wide)
    return tuple(items)


def _own_page(page: SheetPage, wide: float) -> list[Item]:
    items = [Item(_text(page.title, _TITLE), opens=True, may_follow=page.may_follow), _gap(2)]
    for part in page.parts:
        if isinstance(part, SheetSteps):
            items += _steps(part, wide)
            continue
        items += _heading(part.title, 12) if part.title else []
        items += [Item(_table(part, wide))] if isinstance(part, SheetTable) else _listed(part, wide)
        items.append(_gap(2))
    return items


def column(page: tuple[float, float]) -> tuple[float, float]:
    """Return width and height of the text on a page, points."""
    return page[0] - 2 * _SIDE, page[1] - _TOP - _FOOT


def paginate(
    canvas: Canvas, items: Sequence[Item], page: tuple[float, float]
) -> list[list[Placed]]:
    """Break the parts into pages from the top down, each page full but the last of a run.

    A run begins where a part opens a page. Where its last page would hold next to nothing, the
    pages before it end a little higher.
    """
    tall = column(page)[1]
    pages: list[list[Placed]] = []
    for run in _together(canvas, _runs(items), page):
        made = _fill(canvas, run, page, tall)
        for spared in _SPARED if _is_sparse(made, page) else ():
            evened = _fill(canvas, run, page, tall - spared)
            if len(evened) == len(made) and not _is_sparse(evened, page):
                made = evened
                break
        pages += made
    return pages


_SPARSE = 25 * mm
_SPARED = tuple(step * 10 * mm for step in range(1, 10))


def _is_sparse(pages: Sequence[Sequence[Placed]], page: tuple[float, float]) -> bool:
    """Whether the last of several pages holds next to nothing."""
    lowest = min((placed.y for placed in pages[-1]), default=0.0)
    return len(pages) > 1 and page[1] - _TOP - lowest < _SPARSE


def _runs(items: Sequence[Item]) -> list[list[Item]]:
    runs: list[list[Item]] = [[]]
    for item in items:
        if item.opens and runs[-1]:
            runs.append([])
        runs[-1].append(item)
    return runs


def _together(
    canvas: Canvas, runs: Sequence[Sequence[Item]], page: tuple[float, float]
) -> list[list[Item]]:
    """Put each run that may follow the one before behind it, where that takes no more pages."""
    tall = column(page)[1]
    found: list[list[Item]] = []
    for run in runs:
        if found and run[0].may_follow:
            both = [*found[-1], _gap(6), *run]
            if len(_fill(canvas, both, page, tall)) == len(_fill(canvas, found[-1], page, tall)):
                found[-1] = both
                continue
        found.append(list(run))
    return found


def _fill(
    canvas: Canvas, items: Sequence[Item], page: tuple[float, float], tall: float
) -> list[list[Placed]]:
    """Break one run of parts into pages of which the upper `tall` points are used."""
    wide, whole = column(page)
    foot = _FOOT + whole - tall
    pages: list[list[Placed]] = [[]]
    left = tall
    queue = list(items)
    while queue:
        item = queue.pop(0)
        if not pages[-1] and isinstance(item.part, Spacer):
            continue
        height = item.part.wrapOn(canvas, wide, left)[1]
        if max(height, item.room) <= left:
            left -= height
            pages[-1].append(Placed(item.part, foot + left))
            continue
        parts = item.part.splitOn(canvas, wide, left) if item.room <= left else []
        # Only a split that leaves less to place is one: else there would be no end to it.
        if len(parts) > 1 and parts[-1].wrapOn(canvas, wide, tall)[1] < height:
            queue[:0] = [Item(part) for part in parts]
        elif pages[-1]:
            queue.insert(0, item)
            pages.append([])
            left = tall
        else:  # taller than a page and in one piece: better cut off at the foot than lost
            pages[-1].append(Placed(item.part, foot + tall - height))
            left = 0.0
    return pages


def draw(
    canvas: Canvas, parts: Iterable[Placed], footer: tuple[str, str], page: tuple[float, float]
) -> None:
    """Draw one page of the sheet; at its foot stand the footer and the number of the page."""
    for placed in parts:
        placed.part.drawOn(canvas, _SIDE, placed.y)
    canvas.setStrokeColor(_PALE)
    canvas.setLineWidth(0.5)
    canvas.line(_SIDE, _FOOT - 4 * mm, page[0] - _SIDE, _FOOT - 4 * mm)
    canvas.setFillColor(_GREY)
    say, number = footer
    right = page[0] - _SIDE
    write(canvas, Label(number, (right, _FOOT - 8 * mm), 7.5, anchor="end"))
    room = right - _SIDE - width(number, 7.5) - 6 * mm
    write(canvas, Label(say, (_SIDE, _FOOT - 8 * mm), 7.5), room=room)


# --- parts ----------------------------------------------------------------------------------


def _text(text: str, style: ParagraphStyle) -> Paragraph:
    return Paragraph(markup(printable(text, 600)), style)


def _gap(millimetres: float) -> Item:
    return Item(Spacer(1, millimetres * mm))


def _heading(text: str, below: float) -> list[Item]:
    """Return a heading that stays with at least `below` mm of what follows."""
    return [
        _gap(4),
        Item(_text(text, _HEADING), room=_HEADING.leading + below * mm),
        _gap(1.2),
    ]


def _facts(facts: Sequence[str], wide: float) -> list[Item]:
    """Set the facts in two columns, read downwards; a few short ones in one."""
    if not facts:
        return []
    columns = 2 if len(facts) > 3 else 1
    rows = math.ceil(len(facts) / columns)
    cells = [_text(fact, _BODY) for fact in facts] + [""] * (rows * columns - len(facts))
    grid = [cells[row::rows] for row in range(rows)]
    return [Item(Table(grid, [wide / columns] * columns, style=_bare(0.4)))]


def _listed(lines: SheetList, wide: float) -> list[Item]:
    """Set lines below each other, with a box to tick in front of each where that is wanted."""
    if not lines.to_tick:
        return [Item(_text(line, _LEAD)) for line in lines.lines]
    box = 9 * mm
    rows = [[_text("[\u00a0\u00a0\u00a0]", _BODY), _text(line, _BODY)] for line in lines.lines]
    return [Item(Table(rows, [box, wide - box], style=_bare(0.9)))]


def _steps(part: SheetSteps, wide: float) -> list[Item]:
    """Set each step beside its name, larger than the rest: it is read from a table at work."""
    name = 40 * mm
    return [
        Item(Table([[_text(title, _WORK_NAME), _text(says, _WORK)]], [name, wide - name],
                   style=_bare(0.6)))
        for title, says in part.steps
    ]  # fmt: skip


def _bare(between: float) -> list[tuple[Any, ...]]:
    """Return a table style without lines, `between` mm above and below every row."""
    whole = (0, 0), (-1, -1)
    return [
        ("FONT", *whole, REGULAR, _BODY.fontSize, _BODY.leading),  # else one that is not embedded
        ("VALIGN", *whole, "TOP"),
        ("LEFTPADDING", *whole, 0),
        ("RIGHTPADDING", *whole, 3 * mm),
        ("TOPPADDING", *whole, between * mm),
        ("BOTTOMPADDING", *whole, between * mm),
    ]


def _findings(findings: Sequence[tuple[str, str]], wide: float) -> Table:
    rows = [
        [_text(status, _TAGS.get(status, _TAGS["unknown"])), _text(sentence, _BODY)]
        for status, sentence in findings
    ]
    tag = 19 * mm
    style = [*_bare(0.9), ("RIGHTPADDING", (0, 0), (0, -1), 4 * mm)]
    return Table(rows, [tag, wide - tag], style=style)


# --- tables ---------------------------------------------------------------------------------


def _table(table: SheetTable, wide: float) -> Table:
    """Set a table: numbers to the right, a rule under the header, hairlines between rows."""
    count = max(len(table.header), *(len(row) for row in table.rows), 1)
    texts = [[printable(cell) for cell in (*row, *[""] * count)[:count]] for row in table.rows]
    header = [printable(cell) for cell in (*table.header, *[""] * count)[:count]]
    to_right = [_all_numbers([row[i] for row in texts]) for i in range(count)]
    widths = _column_widths(header, texts, wide)
    rows = [_row(header, _HEAD, widths, to_right)]
    rows += [_row(row, _CELL, widths, to_right) for row in texts]
    style = [
        *_bare(0.6),
        ("FONT", (0, 0), (-1, 0), BOLD, _CELL.fontSize, _CELL.leading),
        ("FONT", (0, 1), (-1, -1), REGULAR, _CELL.fontSize, _CELL.leading),
        *(("ALIGN", (i, 0), (i, -1), "RIGHT") for i, right in enumerate(to_right) if right),
        ("LEFTPADDING", (0, 0), (-1, -1), _CELL_SIDE),
        ("RIGHTPADDING", (0, 0), (-1, -1), _CELL_SIDE),
        ("LINEBELOW", (0, 0), (-1, 0), 0.7, colors.black),
        ("LINEBELOW", (0, 1), (-1, -1), 0.25, _PALE),
    ]
    return Table(rows, widths, style=style, repeatRows=1, hAlign="LEFT")


def _row(
    texts: Sequence[str], style: ParagraphStyle, widths: Sequence[float], to_right: Sequence[bool]
) -> list[Any]:
    """Return the cells of a row: plain text, which is set in a third of the time, or paragraphs.

    Where one cell wraps all are paragraphs, so that their lines stand level.
    """
    room = [size - 2 * _CELL_SIDE for size in widths]
    lengths = [width(text, style.fontSize, style.fontName) for text in texts]
    if all(length <= most for length, most in zip(lengths, room, strict=True)):
        return list(texts)
    return [_cell(text, style, right) for text, right in zip(texts, to_right, strict=True)]


def _cell(text: str, style: ParagraphStyle, to_right: bool) -> Paragraph:
    aligned = ParagraphStyle("right", style, alignment=2) if to_right else style
    return Paragraph(markup(text), aligned)


def _all_numbers(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if cell not in ("", "-")]
    return bool(filled) and all(cell.lstrip("+-−")[:1].isdigit() for cell in filled)


def _column_widths(
    header: Sequence[str], rows: Sequence[Sequence[str]], wide: float
) -> list[float]:
    """Give each column what its longest cell takes; where that is too much, the long ones wrap."""
    padding = 2 * _CELL_SIDE + 0.5  # a hair, so that rounding does not wrap the longest cell
    wanted = [
        max(width(head, 8, BOLD), *(width(row[i], 8) for row in rows), 0.0) + padding
        for i, head in enumerate(header)
    ]
    spare = wide - sum(wanted)
    if spare >= 0:
        return [size + min(spare / len(wanted), 5 * mm) for size in wanted]
    limit = max(wanted)
    while sum(min(size, limit) for size in wanted) > wide:
        limit *= 0.95
    return [min(size, limit) for size in wanted]
