"""What the step says: hints for the question the cursor is on, notes, and the table of widths."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from legtaper.model.levels import say_level
from legtaper.model.safe_text import clean, columns
from legtaper.model.said_lengths import say_around
from legtaper_wizard.flow.shapes import SIGNS, Note
from legtaper_wizard.tui.layout.key_table import nudged
from legtaper_wizard.tui.layout.stop import BACK, COMPARE, NEXT, WRITE, Stop
from legtaper_wizard.tui.layout.styled_text import Line, cut, hang, plain, put, width, wrap

if TYPE_CHECKING:
    from legtaper.pattern import Fit

_STYLES: Mapping[str, str] = {
    "good": "good", "caution": "care", "fail": "fail", "question": "care", "unknown": "care",
}  # fmt: skip
"""The style of the sign before a note; the others have none."""

SERIOUS = ("question", "fail", "caution", "unknown")
"""Notes that come before the numbers: what was just typed and may be a slip before all others."""
_ASIDE = ("number", "question", "caution", "fail", "info")
"""Notes that stand beside their question; the last kind only where it is moved by keys."""
_EASE = ("ease-thigh", "ease-knee", "ease-calf")

_SENTENCE_END = re.compile(r"(?<=[.!?]) +")
_NOTE = "What you type replaces it; the End key goes behind it, to add something."

_BUTTONS = {
    WRITE: "PDF, SVG, DXF and the marking table, at true size.",
    BACK: "Answers stay when you go back.",
    NEXT: "",
    COMPARE: "Designs and rounds beside each other: figures, what changed, outlines.",
}
_HEADING = ("", "Block", "Now", "Ease")


class HintRoom(NamedTuple):
    """Columns and rows for hints, and how many of the rows are taken from the notes."""

    width: int
    rows: int
    taken: int = 0


def hint_lines(
    stop: Stop, live: str, notes: Sequence[Note], room: HintRoom, at_once: str = ""
) -> list[Line]:
    """Return what helps with one stop; what is so without an answer takes no row of the notes.

    live: what would be understood of what is typed; it goes before all else. Only whole sentences
    are said of how to measure and of the notes of this question, which go first where the arrow
    keys move its answer. at_once: how its whole row is answered, or all that was
    understood, where there is a line left.
    """
    across, rows = room.width - 2, room.rows
    field = stop.field
    if field is None:
        text = _BUTTONS.get(stop.id, "Enter goes there." if stop.kind == "link" else "")
        text = stop.action.hint if stop.action else text
        whole = whole_rows([text], across, rows) or wrap(text, across)[:rows]
        return [plain(row, "dim") for row in whole]
    said = [] if live else _below(stop, notes, across, rows - room.taken)
    most = rows if nudged(stop) else max(rows - 1, 1)
    last = wrap(live, across)[:most] or whole_rows(said, across, most)
    first = whole_rows([field.how], across, rows - len(last))
    if not first and not nudged(stop) and not live:  # what a note says is under F8, too
        first, last = whole_rows([field.how], across, rows) or wrap(field.how, across)[:rows], []
    lines = [
        *(plain(row, "dim") for row in first),
        *(plain(row, "strong" if live else "") for row in last),
    ]
    too = wrap(at_once, across) if at_once and not live else []
    return [*lines, *(plain(text, "dim") for text in too)] if len(lines + too) <= rows else lines


def _below(stop: Stop, notes: Sequence[Note], across: int, rows: int) -> list[str]:
    """Return what stands below how to measure: notes, or what is so without an answer."""
    if told := [clean(_answerable(note), 400) for note in beside(stop, notes)]:
        return told
    field = stop.field
    if field is None or stop.said:
        return [_NOTE] if field and field.kind == "note" else []
    if field.takes_placeholder:
        comes = f": {field.placeholder_is}" if field.placeholder_is else ""
        return [f"Suggested{comes}; Enter takes it."]
    skipped = f"If you skip it: {field.if_skipped}."
    fits = len(wrap(field.how, across)) + len(wrap(skipped, across)) <= rows
    return [skipped] if field.if_skipped and fits else []


def whole_rows(texts: Sequence[str], across: int, rows: int) -> list[str]:
    """Return texts below each other, as many whole sentences as the rows have room for."""
    kept: list[str] = []
    for text in texts:
        sentences = _SENTENCE_END.split(text)
        ways = (wrap(" ".join(sentences[:n]), across) for n in range(len(sentences), 0, -1))
        kept += (found := next((way for way in ways if len(kept) + len(way) <= rows), []))
        if found != wrap(text, across):
            break
    return kept


def _answerable(note: Note) -> str:
    """Return a note, where it asks with how it is answered."""
    asks = note.kind == "question" and note.text.endswith("?")
    return f"{note.text} Leave it, or type the right one." if asks else note.text


def beside(stop: Stop | None, notes: Sequence[Note]) -> list[Note]:
    """Return the notes that are about one question and stand beside it."""
    if stop is None:
        return []
    kinds = _ASIDE if nudged(stop) else _ASIDE[:-1]
    return [note for note in notes if note.key == stop.id and note.kind in kinds]


def sign_of(note: Note) -> str:
    """Return what stands before a note on the screen."""
    return SIGNS[note.kind] or "-"


def whole(note: Note) -> str:
    """Return all that a note says, cleaned: the page it stands on scrolls."""
    return clean(note.text, max(len(note.text), 1))


def note_lines(notes: Sequence[Note], across: int) -> list[Line]:
    """Return every note behind its sign, wrapped."""
    lines: list[Line] = []
    for note in notes:
        sign, style = sign_of(note), _STYLES.get(note.kind, "")
        words = style if note.kind == "fail" else ""
        lines += hang(sign, whole(note), across, style, words)
    return lines


def fitted(lines: Sequence[Line], across: int, rows: int) -> list[Line]:
    """Return as many lines as there are rows, and how many more notes there are.

    A table counts as one. That is said at the end of the last line, where it has room and ends its
    note, else in a line of its own, so that no note is left without its end. Of one longer than all
    rows, whole sentences are left, where the first one has room.
    """
    shown = list(lines[:rows])
    if len(lines) <= rows or not rows:
        return shown
    if _heads(shown[-1]):
        return [*shown[:-1], plain(_hidden(lines, rows - 1), "dim")]
    more = _hidden(lines, rows, short=True)
    if not _goes_on(lines[rows]) and width(shown[-1]) + len(more) + 2 <= across:
        shown[-1] = put(shown[-1], across - len(more), more, "dim")
        return shown
    whole = next((i for i in range(rows - 1, 0, -1) if not _goes_on(lines[i])), 0)
    kept = shown[:whole] or _whole_sentences(shown[: rows - 1])
    return [*kept, plain(_hidden(lines, len(kept)), "dim")]


def _hidden(lines: Sequence[Line], shown: int, *, short: bool = False) -> str:
    """Say how many notes begin behind the lines that are shown."""
    begin = [not _goes_on(line) for line in lines]
    for heading in (y for y, line in enumerate(lines) if _heads(line)):
        begin[heading] = True
        for y in range(heading + 1, len(lines)):
            if len(lines[y]) > 1:  # a note begins with its sign, a row of the table has none
                break
            begin[y] = False
    count = sum(begin[shown:])
    if not count:
        return "F8: the rest"
    return f"F8: +{count}" if short else f"F8: {count} more"


def _whole_sentences(lines: list[Line]) -> list[Line]:
    """Return the rows of one note up to the last end of a sentence in them, or all without one."""
    for i in range(len(lines) - 1, -1, -1):
        ends = [end.start() for end in _SENTENCE_END.finditer(f"{_text(lines[i])} ")]
        if ends:
            return [*lines[:i], cut(lines[i], columns(_text(lines[i])[: ends[-1]]), "")]
    return lines


def _text(line: Line) -> str:
    return "".join(text for text, _ in line)


def _goes_on(line: Line) -> bool:
    """Whether a line is a further one of the note before it."""
    return _text(line).startswith(" ")


def _heads(line: Line) -> bool:
    """Whether a line is the heading of the table of widths, of no use without a row below it."""
    return _text(line).split() == list(_HEADING[1:])


def width_lines(fit: Fit, hem: bool) -> list[Line]:
    """Return the width around the leg by level, then and now, and the ease where it is known.

    `hem` says whether the hem is in it.
    """
    unit, block = fit.project.length_unit, fit.block
    ease = {f.where: f.value for f in fit.findings if f.id in _EASE and f.value is not None}
    rows = [_HEADING]
    for level, y in reversed(tuple(block.heights.items())):
        if y < block.crotch - 1e-9 and (hem or y > 0):
            old, new = block.widths[level], fit.taper.finished[level]
            room = say_around(ease[level], unit) if level in ease else "-"
            name = say_level(level).capitalize()
            rows.append((name, say_around(old, unit), say_around(new, unit), room))
    wide = [max(len(row[i]) for row in rows) for i in range(4)]
    texts = ["  ".join(f"{cell:<{w}}" for cell, w in zip(row, wide, strict=True)) for row in rows]
    return [plain(text.rstrip(), "" if i else "dim") for i, text in enumerate(texts)]
