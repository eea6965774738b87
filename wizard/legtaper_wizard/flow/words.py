"""What the commands print for people: fits, marks and limits as lines of text."""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from legtaper.model.safe_text import clean, wrapped
from legtaper.model.said_lengths import bound, fine_step, say_bound, say_fine
from legtaper.outputs.text_tables import heading, table_lines
from legtaper_wizard.flow.shapes import KINDS, SIGNS
from legtaper_wizard.terminal import look_here

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.model.project import Unit
    from legtaper.muslin.compare import Column
    from legtaper.pattern import Fit, Pattern
    from legtaper.search.hem_widths import HemWidths
    from legtaper.search.limits import Limits

MOST_ROUNDS = 8
"""How many rounds `compare` tells of on the screen; `--json` has all."""

_BESIDE = 30  # columns of a table beside those of the designs
_NARROWEST = 12
_SAME = 0.01  # mm; rounding


def check_text(pattern: Pattern) -> str:
    """Return the answer of `check`: what comes off, and every finding."""
    from legtaper.outputs.front_sheet import facts, widths_table

    fit = pattern.fit
    lines = [*heading(fit), "", *table_lines(widths_table(fit)), ""]
    lines += [*facts(pattern), "", *finding_lines(pattern), "", _verdict(pattern)]
    return "\n".join([*lines, *_awaited(fit)])


def _awaited(fit: Fit) -> list[str]:
    """Say that a printed muslin of this design waits for what was seen in it."""
    from legtaper.muslin.log import is_tried, last_of

    number = last_of(fit.project, fit.design.name)
    if number is None or is_tried(fit.project.rounds[number - 1]):
        return []
    return [f"Round {number} is printed: try it on and write down what you see."]


def finding_lines(pattern: Pattern) -> list[str]:
    """Return every finding on a line of its own, behind its marker."""
    return [f"{SIGNS[KINDS[found.status]]:<9} {found.says}" for found in pattern.findings]


def _verdict(pattern: Pattern) -> str:
    counts = {
        status: sum(found.status == status for found in pattern.findings)
        for status in ("fail", "caution", "unknown")
    }
    if counts["fail"]:
        return f"{counts['fail']} failed; change the design before you cut."
    if counts["caution"] or counts["unknown"]:
        warnings = "1 warning" if counts["caution"] == 1 else f"{counts['caution']} warnings"
        return f"Nothing fails. {warnings}, {counts['unknown']} unknown for lack of a measurement."
    return "All OK."


def say(text: str) -> None:
    """Print text: broken to the width of a terminal, as it is into a file or a pipe."""
    import click

    if sys.stdout.isatty():
        text = on_screen(text, shutil.get_terminal_size((80, 24)).columns)
    click.echo(text)


def on_screen(text: str, room: int) -> str:
    """Return text whose long lines are broken between words, set in below where they begin."""
    return "\n".join(row for line in text.split("\n") for row in _broken(line, room))


def _broken(line: str, room: int) -> list[str]:
    if len(line) <= room:
        return [line]
    start = len(line) - len(line.lstrip())
    marked = re.match(r"\[[^]]{1,9}\] *", line)
    indent = " " * (marked.end() if marked else start + 2)
    # Only the blanks between words are broken at; those that set a line in are kept.
    return wrapped(line, max(room, 20), indent)


def limits_text(found: Limits, widths: HemWidths, fit: Fit) -> str:
    """Return the answer of `limits`: sentences, and which hem widths work as a table."""
    from legtaper.checks.registry import fails_as
    from legtaper.leg.widths import besides
    from legtaper.search.hem_widths import table
    from legtaper.search.mended_widths import full_sentence

    unit = fit.project.length_unit
    lines = heading(fit)
    if found.narrowest_hem is None:
        lines.append(
            "Narrowest hem without a slit: unknown; measure around the heel and over the instep."
        )
    else:
        least = say_bound(found.narrowest_hem, unit, "at least")
        what = fit.foot.what if fit.foot else "foot"
        lines.append(
            f"Narrowest hem without a slit, by the {what}{' as estimated' * found.estimated} "
            f"alone: {least}; that is {_off_for(bound(found.narrowest_hem, unit, 'at least'), fit)}"
            f" off each edge{besides(fit.design, 'hem')}."
        )
    first = "nothing fails before the paper ends"
    if found.first_to_fail:
        first = f"beyond that, {fails_as(found.first_to_fail)}"
    most = say_bound(found.most_take_in, unit, "at most", fine_step(unit))
    more = besides(fit.design, "hem")
    lines.append(f"Most that can come off each edge at the hem{more}: {most}; {first}.")
    for seam, span in found.blend_range.items():
        if span is None:
            lines.append(f'The {seam} cannot be ruled straight anywhere; use the style "follow".')
        else:
            low = say_bound(span[0], unit, "at least") if span[0] else "the hem"
            high = say_bound(span[1], unit, "at most", fine_step(unit))
            lines.append(f"The {seam} may blend above {low} and up to {high}.")
    lines += ["", *_wrapped(full_sentence(fit, widths), 78), "", *table(widths)]
    lines += ["", "Cut lines that cross are not looked at in this table; check looks at them."]
    return "\n".join(lines)


def _off_for(hem: float, fit: Fit) -> str:
    """Say what comes off each edge for a hem, mm around: typed as said, never a narrower one."""
    from legtaper.search.sweep import widest_hem

    unit = fit.project.length_unit
    off = max(0.0, (widest_hem(fit) - hem) / 4)
    said = bound(off, unit, "at most", fine_step(unit))
    over = "a little over " * (off - said > _SAME)
    return over + say_fine(said, unit)


def compare_text(shown: Sequence[Column], *, width: int | None, ascii_only: bool) -> str:
    """Return the answer of `compare`: figures, what changed, the rounds, and the outlines."""
    room = _room(width)
    return "\n".join([*compare_figures(shown, room), "", *_overlay_lines(shown, room, ascii_only)])


def compare_figures(shown: Sequence[Column], room: int) -> list[str]:
    """Return figures, what changed, and the rounds, as lines of at most `room` columns."""
    lines = [clean(shown[0].fit.project.name or "A project without a name", 80)]
    for now in _now_lines(shown):
        lines += _wrapped(now, room)
    lines += compare_tables(shown, room)
    for head, says in _change_lines(shown):
        lines += ["", head, *(line for one in says for line in _wrapped(one, room, "  "))]
    return lines + _round_lines(shown, room)


def compare_sentences(shown: Sequence[Column]) -> list[str]:
    """Return what changed, a sentence or a few to a line, without a table."""
    lines = _now_lines(shown)
    for head, says in _change_lines(shown):
        lines += [f"{head}:", *says]
    return lines


def round_sentences(shown: Sequence[Column]) -> list[str]:
    """Return the rounds that belong to the columns, each a line."""
    return [line for line in _round_lines(shown, 10_000) if line]


def compare_tables(shown: Sequence[Column], room: int) -> list[str]:
    """Return the figures alone, each table with an empty line before it."""
    from legtaper.muslin.compare import tables

    found = [table for group in _groups(shown, room) for table in tables(group)]
    return [line for table in found for line in ("", *table_lines(table))]


def _now_lines(shown: Sequence[Column]) -> list[str]:
    from legtaper.muslin.log import next_step, sew_again, status

    project, block = shown[0].fit.project, shown[0].fit.block
    says = f"Now: {status(project, block)}. Next: {next_step(project, block)}."
    return [line for line in (says, sew_again(project, block)) if line]


def _change_lines(shown: Sequence[Column]) -> Iterator[tuple[str, list[str]]]:
    from legtaper.muslin.compare import changes, steps

    for before, after in steps(shown):
        yield f"From {before.label} to {after.label}", list(changes(before.fit, after.fit))


def which_text(fit: Fit) -> str:
    """Say which design was meant, whether it was accepted, and whether the block has changed."""
    from legtaper.muslin.log import accepted, current, sew_again

    project, says = fit.project, f"Design: {clean(fit.design.name, 60)}"
    number = accepted(project) if current(project).name == fit.design.name else None
    says += f", accepted in round {number}." if number else "."
    return " ".join(filter(None, [says, sew_again(project, fit.block)]))


def _room(width: int | None) -> int:
    return width or min(shutil.get_terminal_size((80, 24)).columns, 100)


def _wrapped(text: str, room: int, indent: str = "") -> list[str]:
    """Break a sentence into lines; what follows the first is set in further."""
    return wrapped(text, max(room, 20), indent + "  ", indent)


def _groups(shown: Sequence[Column], room: int) -> Iterator[Sequence[Column]]:
    """Split the columns so that a table fits across."""
    each = max(_NARROWEST, *(len(column.label) for column in shown)) + 2
    across = max((room - _BESIDE) // each, 1)
    for start in range(0, len(shown), across):
        yield shown[start : start + across]


def _round_lines(shown: Sequence[Column], room: int) -> list[str]:
    """Return the rounds that belong to the columns; of many the last."""
    from legtaper.muslin.log import round_text

    project, block = shown[0].fit.project, shown[0].fit.block
    names = {column.fit.design.name for column in shown if column.number is None}
    wanted = {column.number for column in shown}
    numbers = [
        number
        for number, one in enumerate(project.rounds, 1)
        if number in wanted or one.design in names
    ]
    lines = [""] if numbers else []
    if len(numbers) > MOST_ROUNDS:
        lines.append(f"The last {MOST_ROUNDS} of {len(numbers)} rounds:")
    for number in numbers[-MOST_ROUNDS:]:
        lines += _wrapped(round_text(project, number, block), room)
    return lines


def _overlay_lines(shown: Sequence[Column], room: int, ascii_only: bool) -> list[str]:
    from legtaper.muslin.compare import outlines
    from legtaper.outputs.leg_views import overlay_patterns, overlay_view
    from legtaper.outputs.terminal_plot import render

    ascii_only = ascii_only or not speaks_braille()
    made = outlines(shown)
    traces, tags = overlay_view(shown[0].fit.block, [outline.seams for outline in made])
    rows = render(traces, width=room, ascii_only=ascii_only, tags=tags)
    signs = {"old": ".", "other": "o", "new": "#"}
    words = {"old": "dotted:", "other": "dashed:", "new": "solid:"}
    legend = [
        f"{signs[pattern] if ascii_only else words[pattern]} {outline.label}"
        for outline, pattern in zip(made, overlay_patterns(len(made)), strict=True)
    ]
    return [*rows, "", *_wrapped("   ".join(legend), room)]


def outline_text(fit: Fit, *, view: str, width: int | None, ascii_only: bool) -> str:
    """Return the outline for the terminal, with a line that says which line is which."""
    from legtaper.outputs.leg_views import front_view, panels_view
    from legtaper.outputs.terminal_plot import render

    ascii_only = ascii_only or not speaks_braille()
    unit = fit.project.length_unit
    traces, tags = front_view(fit) if view == "front" else panels_view(fit.block, unit, fit)
    rows = render(traces, width=_room(width), ascii_only=ascii_only, tags=tags)
    old, new = (". block", "# narrowed") if ascii_only else ("dotted: block", "solid: narrowed")
    if view != "front" and fit.taper.crease("front") is not None:
        new += "   o crease line" if ascii_only else "   dashed: crease line"
    return "\n".join([*rows, "", f"{old}   {new}   {_view_words(view)}"])


def block_text(block: Block, unit: Unit, *, width: int | None, ascii_only: bool) -> str:
    """Return the outline of a block that nothing comes off yet."""
    from legtaper.outputs.leg_views import panels_view
    from legtaper.outputs.terminal_plot import render

    traces, tags = panels_view(block, unit)
    ascii_only = ascii_only or not speaks_braille()
    rows = render(traces, width=_room(width), ascii_only=ascii_only, tags=tags)
    words = "front at the left, back at the right; widths are around the leg of the block"
    return "\n".join([*rows, "", words])


def _view_words(view: str) -> str:
    if view == "front":
        return "left leg as the block, right leg narrowed, to scale"
    return "front at the left, back at the right; widths are around the narrowed leg"


def speaks_braille() -> bool:
    """Whether standard output can show braille dots."""
    return look_here().braille
