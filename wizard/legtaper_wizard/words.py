"""What the commands print for people: fits, marks and limits as lines of text."""

from __future__ import annotations

import csv
import io
import shutil
from collections.abc import Sequence
from typing import TYPE_CHECKING

from legtaper.lengths import say_length
from legtaper.plain_text import clean
from legtaper.sheet import SheetTable, facts, marks_table, widths_table
from legtaper_wizard.terminal import look_here

if TYPE_CHECKING:
    from legtaper.limits import Limits
    from legtaper.pattern import Fit, Pattern

MARKERS = {"pass": "[ok]", "caution": "[care]", "fail": "[FAIL]", "unknown": "[?]"}
"""Text before a finding, so that nothing rests on color."""


def check_text(pattern: Pattern) -> str:
    """Return the answer of `check`: what comes off, and every finding."""
    fit = pattern.fit
    lines = [*_heading(fit), "", *table_lines(widths_table(fit)), ""]
    lines += [*facts(pattern), "", *finding_lines(fit), "", _verdict(fit)]
    return "\n".join(lines)


def _heading(fit: Fit) -> list[str]:
    name = clean(fit.project.name or "A project without a name", 80)
    return [name, f"Design: {clean(fit.design.name, 60)}"]


def finding_lines(fit: Fit) -> list[str]:
    """Return every finding on a line of its own, behind its marker."""
    return [f"{MARKERS[found.status]:<6} {found.says}" for found in fit.findings]


def _verdict(fit: Fit) -> str:
    counts = {
        status: sum(found.status == status for found in fit.findings)
        for status in ("fail", "caution", "unknown")
    }
    if counts["fail"]:
        return f"{counts['fail']} to change before you cut."
    if counts["caution"] or counts["unknown"]:
        return (
            f"Nothing fails. {counts['caution']} to keep an eye on, "
            f"{counts['unknown']} not known for want of a measurement."
        )
    return "All well."


def table_lines(table: SheetTable) -> list[str]:
    """Return a table with aligned columns, two spaces apart."""
    rows = [table.header, *table.rows]
    widths = [max(len(row[i]) for row in rows if i < len(row)) for i in range(len(table.header))]
    lines = [table.title]
    for row in rows:
        cells = (f"{cell:<{width}}" for cell, width in zip(row, widths, strict=False))
        lines.append(("  " + "  ".join(cells)).rstrip())
    return lines + ([f"  {table.note}"] if table.note else [])


def marks_text(fit: Fit, step: str) -> str:
    """Return the answer of `marks`: both seams, and the widths that the rounded marks give."""
    from legtaper.marks import after_rounding  # noqa: PLC0415

    unit = fit.project.length_unit
    lines = _heading(fit)
    for seam in ("outseam", "inseam"):
        lines += ["", *table_lines(marks_table(fit, seam, step))]
    rows = tuple(
        (clean(level.replace("_", " "), 30), say_length(mm, unit, step), _exact(fit, level))
        for level, mm in reversed(tuple(after_rounding(fit, step).items()))
    )
    table = SheetTable("Round the leg", ("Level", "after rounding", "exact"), rows)
    return "\n".join([*lines, "", *table_lines(table)])


def _exact(fit: Fit, level: str) -> str:
    from legtaper.lengths import say_exact  # noqa: PLC0415

    width = float(fit.taper.circumference(fit.block.heights[level]))
    return say_exact(width, fit.project.length_unit)


def marks_csv(fit: Fit, step: str) -> str:
    """Return the marks as comma-separated values, lengths in mm."""
    from legtaper.report import marks_report  # noqa: PLC0415

    rows = marks_report(fit, step)["marks"]
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    for row in rows:
        writer.writerow(row | {"level": _harmless(row["level"])})
    return out.getvalue()


def _harmless(cell: str) -> str:
    """Keep a spreadsheet from taking a level's name for a formula."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t") else cell


def limits_text(found: Limits, fit: Fit) -> str:
    """Return the answer of `limits` in sentences."""
    unit = fit.project.length_unit
    lines = _heading(fit)
    if found.narrowest_hem is None:
        lines.append(
            "Narrowest hem without a slit: not known; measure round the heel and over the instep."
        )
    else:
        estimate = " (by an estimate of the foot entry)" if found.estimated else ""
        lines.append(
            f"Narrowest hem without a slit: {say_length(found.narrowest_hem, unit)}{estimate}."
        )
    first = "nothing fails before the paper ends"
    if found.first_to_fail:
        first = f"beyond that {found.first_to_fail} fails"
    most = say_length(found.most_take_in, unit)
    lines.append(f"Most that can come off each edge at the hem: {most}; {first}.")
    if found.without_slit is not None:
        lines.append(f"Most without a slit: {say_length(found.without_slit, unit)}.")
    for seam, span in found.blend_range.items():
        if span is None:
            lines.append(f'The {seam} cannot be ruled straight anywhere; use the style "follow".')
        else:
            low = say_length(span[0], unit) if span[0] else "the hem"
            lines.append(f"The {seam} may blend above {low} and up to {say_length(span[1], unit)}.")
    return "\n".join(lines)


def compare_text(fits: Sequence[Fit]) -> str:
    """Return the answer of `compare`: a column for the block and one for each design."""
    first = fits[0]
    unit, block = first.project.length_unit, first.block
    names = [clean(fit.design.name, 24) for fit in fits]
    rows = []
    for level, y in reversed(tuple(block.heights.items())):
        if y > block.crotch:
            continue
        widths = [say_length(float(fit.taper.circumference(y)), unit) for fit in fits]
        old = say_length(float(block.circumference(y)), unit)
        rows.append((clean(level.replace("_", " "), 30), old, *widths))
    slits = [say_length(fit.slit.height, unit) if fit.slit.height else "none" for fit in fits]
    rows.append(("slit", "none", *slits))
    fails = [str(sum(found.status == "fail" for found in fit.findings)) for fit in fits]
    rows.append(("fails", "", *fails))
    table = SheetTable("Width round the leg", ("Level", "Block", *names), tuple(rows))
    lines = [clean(first.project.name or "A project without a name", 80), *table_lines(table)]
    for number, sewn in enumerate(first.project.rounds, 1):
        when = f", {sewn.date.isoformat()}" if sewn.date else ""
        lines.append(f"Round {number}: {clean(sewn.design, 40)}{when}. {clean(sewn.notes, 200)}")
        lines += [
            f"  pinched {clean(pinch.depth.text, 20)} at the {clean(pinch.level, 20)}, {pinch.edge}"
            for pinch in sewn.pinches
        ]
    return "\n".join(lines)


def outline_text(fit: Fit, *, view: str, width: int | None, ascii_only: bool) -> str:
    """Return the outline for the terminal, with a line that says which line is which."""
    from legtaper.outputs.text_outline import render  # noqa: PLC0415
    from legtaper.views import front_view, panels_view  # noqa: PLC0415

    ascii_only = ascii_only or not speaks_braille()
    unit = fit.project.length_unit
    traces, tags = front_view(fit) if view == "front" else panels_view(fit.block, unit, fit)
    columns = width or min(shutil.get_terminal_size((80, 24)).columns, 100)
    rows = render(traces, width=columns, ascii_only=ascii_only, tags=tags)
    old, new = (". block", "# narrowed") if ascii_only else ("dotted: block", "solid: narrowed")
    return "\n".join([*rows, "", f"{old}   {new}   {_view_words(view)}"])


def _view_words(view: str) -> str:
    if view == "front":
        return "left leg as the block, right leg narrowed, to scale"
    return "front at the left, back at the right; widths are round the narrowed leg"


def speaks_braille() -> bool:
    """Whether standard output can show braille dots."""
    return look_here().braille
