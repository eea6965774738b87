"""The marking table as tables to read: marks by seam, below the hem, and the widths it makes."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.model.lengths import say_length
from legtaper.model.levels import say_level
from legtaper.model.project import SEAMS, SeamName, seam_of
from legtaper.model.safe_text import clean
from legtaper.model.said_lengths import say_around
from legtaper.model.sheet_table import SheetTable
from legtaper.outputs.marking_table import Mark, MarkingTable, marking_table
from legtaper.pattern import Fit

_STEPS = {"1/8in": "1/8 in", "1/16in": "1/16 in", "1mm": "1 mm"}

_NOTE = (
    "Come in from the old line, or measure from the grainline. From a mark up to the next: ruler, "
    "draw a straight line; curve, join the marks smoothly; old seam, nothing changes. Two words: "
    "front/back. Edges are rounded so that all four make the width around the leg."
)


def marks_tables(fit: Fit, step: str) -> Iterator[SheetTable]:
    """Yield the whole marking table of a fit: both seams, below the hem, around the leg."""
    table = marking_table(fit, step)
    for seam in SEAMS:
        yield _seam_table(table, seam)
    yield _hem_table(table)
    yield _widths_table(table)


def _seam_table(table: MarkingTable, seam: SeamName) -> SheetTable:
    """Return the marks of one seam, front beside back, from the top down.

    What joins a mark to the next one up stands once in a row; where front and back differ in
    that, the front's stands first.
    """
    by_height: dict[float, dict[str, Mark]] = {}
    for mark in table.marks:
        if seam_of(mark.edge) == seam:
            by_height.setdefault(mark.height, {})[mark.edge.partition("_")[0]] = mark

    def cells(mark: Mark | None) -> tuple[str, str]:
        if mark is None:
            return "", ""
        return table.bare(mark.come_in), table.bare(mark.from_grainline)

    rows = []
    for height in sorted(by_height, reverse=True):
        pair = by_height[height]
        some = next(iter(pair.values()))
        where = (table.bare(height), clean(say_level(some.level), 30))
        up = "/".join(dict.fromkeys(mark.up for mark in pair.values()))
        rows.append((*where, up, *cells(pair.get("front")), *cells(pair.get("back"))))
    header = (
        f"Above {table.fit.block.hem_name}", "Level", "Up to next",
        "Front: come in", "from grainline", "Back: come in", "from grainline",
    )  # fmt: skip
    note = _NOTE if seam == SEAMS[-1] else ""
    title = f"{seam.capitalize()}, in {table.unit}, rounded to {_STEPS[table.step]}"
    return SheetTable(title, header, tuple(rows), note)


def _hem_table(table: MarkingTable) -> SheetTable:
    rows = []
    for mark in table.below_hem:
        where = "grainline" if mark.edge is None else seam_of(mark.edge)
        up = mark.height
        side = "below" if up < 0 else "above" if up > 0 else ""
        beside = "" if mark.beside is None else table.bare(mark.beside)
        rows.append((
            mark.panel.capitalize(), where, mark.what,
            f"{table.bare(abs(up))} {side}".rstrip(), table.bare(mark.from_grainline), beside,
        ))  # fmt: skip
    hem = table.fit.block.hem_name
    header = ("Panel", "Edge", "Mark", f"from {hem}", "from grainline", "Allowance")
    curved = any(mark.what == "hem curve" for mark in table.below_hem)
    line = "line between the hem's corners" if curved and hem == "hem" else hem
    note = f"Heights count from where the {line} crosses the grainline. "
    if curved:
        note += (
            "Draw the hem, and the facing's top, as a smooth curve from corner to corner through "
            "its mark at the grainline; rule each side."
        )
    else:
        note += "Rule from corner to corner, and down each side."
    note += _once_washed(table)
    title = f"Below the hem and at the slit, in {table.unit}"
    return SheetTable(title, header, tuple(rows), note)


def _once_washed(table: MarkingTable) -> str:
    """Say hem and slit of the washed leg, which the sheet tells, where they are marked larger."""
    if table.fit is table.washed:
        return ""
    fit, unit = table.washed, table.fit.project.length_unit
    slit = "" if fit.slit.height is None else f" and the slit {say_length(fit.slit.height, unit)}"
    return (
        f" Marked before the wash; once washed the hem is {say_length(fit.hem.depth, unit)} deep"
        f"{slit}."
    )


def _widths_table(table: MarkingTable) -> SheetTable:
    """Return what both columns make around the leg, beside what they should, and once washed."""
    unit, washed = table.fit.project.length_unit, table.washed.taper.finished
    made = [table.after_coming_in, table.after_rounding, table.fit.taper.finished]
    shrinks = table.fit is not table.washed
    if shrinks:
        made.append(washed)
    rows = tuple(
        (clean(say_level(level), 30), *(say_around(widths[level], unit) for widths in made))
        for level in reversed(tuple(made[1]))
    )
    header: tuple[str, ...] = ("Level", "by coming in", "from the grainline", "the leg")
    if shrinks:
        header = (*header[:3], "before washing", "once washed")
    return SheetTable("Around the leg, as marked", header, rows)
