"""The questions of a step as lines, and where each is answered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from types import MappingProxyType
from typing import NamedTuple

from legtaper.model.safe_text import clean, columns, fit
from legtaper_wizard.tui.layout.choice_lines import (
    LONG,
    Option,
    choice_lines,
    label_lines,
    side_by_side,
)
from legtaper_wizard.tui.layout.question_tables import Table, say, table_of, title_of
from legtaper_wizard.tui.layout.stop import BACK, COMPARE, NEXT, WRITE, Stop
from legtaper_wizard.tui.layout.styled_text import Line, Run, hang, plain, put, width, wrap

_LABEL = 28  # columns a label may take beside its answer
_ANSWER = 18  # columns of the answer to a measured question
_LEAST_ANSWER = 13
_LEAST_ECHO = 22
_EMPTY = "." * 10
_MEASURED = ("length", "signed", "percent", "date")


class Looks(NamedTuple):
    """What the lines depend on besides the questions.

    here: id of the stop the cursor is on. draft: what is typed or chosen there and not taken
    yet. refused: why the last try was not taken. echoes and marks: by key, what an answer was
    understood as, and a sign where it wants a second look.
    """

    width: int
    here: str = ""
    draft: str | None = None
    refused: str = ""
    echoes: Mapping[str, str] = MappingProxyType({})
    marks: Mapping[str, str] = MappingProxyType({})
    more: str = "..."


class Place(NamedTuple):
    """Where a stop is answered. `glyph` is what points at it; "" where text is typed.

    lines: the first line of a choice that is listed and the line after it; the choice that is
    pointed at stands on `line`, between them.
    """

    line: int
    x: int
    width: int
    glyph: str = ""
    lines: tuple[int, int] = (0, 0)

    @property
    def listed(self) -> bool:
        """Whether it is a choice whose options stand below each other."""
        return self.lines[1] > self.lines[0]

    def moved(self, by: int) -> Place:
        """Return the place so many lines on."""
        return self._replace(line=self.line + by)


class Layout(NamedTuple):
    """The lines of a form, and the places of its stops by id.

    head: first line of the head of a table and the line after it. end: the line after the table.
    below: how many lines say why the last answer was not taken.
    """

    lines: tuple[Line, ...]
    places: Mapping[str, Place]
    head: tuple[int, int] = (0, 0)
    end: int = 0
    below: int = 0

    def first_line(self, here: str, top: int, room: int) -> int:
        """Return which line is shown first so that the cursor's is shown, near to `top`."""
        if here not in self.places or len(self.lines) <= room:
            return 0
        place = self.places[here]
        first, last = place.lines[0], place.lines[1] - 1
        if not place.listed or last - first + self.below > room - 1:
            first = last = place.line
        low, high = last + self.below - room + 2, first - 1 - self._kept(first)
        if high <= self.head[0]:
            high = 0
        low = min(low, place.line)  # where it is answered goes before what is said below it
        return max(0, min(max(min(top, high), low), len(self.lines) - room))

    def shown(self, top: int, room: int) -> list[Line]:
        """Return the lines from `top`; the head of a table stays while its rows are shown."""
        lines = list(self.lines[top : top + room])
        start, stop = self.head
        if start < top and top + stop - start < self.end:
            lines[: stop - start] = self.lines[start:stop]
        return lines

    def lists(self, here: str) -> bool:
        """Whether a stop is a choice whose options stand below each other."""
        return here in self.places and self.places[here].listed

    def below_or_above(self, here: str, by: int, aim: int | None) -> tuple[str, int]:
        """Return the stop one row below or above another, and the column it was looked for in.

        It is the nearest to column `aim`; `None` aims at where `here` stands among others of its
        row, and else at the first. At the last row and the first it is `here` itself.
        """
        rows = self._rows
        at = next((i for i, row in enumerate(rows) if here in row), 0)
        if aim is None:
            aim = self.places[here].x if here in self.places and len(rows[at]) > 1 else 0
        there = at + by
        if not 0 <= there < len(rows):
            return here, aim
        return min(rows[there], key=lambda stop: abs(self.places[stop].x - aim)), aim

    def along(self, here: str, by: int) -> str:
        """Return the stop so many places on in the same row; at its end the same stop."""
        row = next((row for row in self._rows if here in row), [here])
        return row[max(0, min(row.index(here) + by, len(row) - 1))]

    @property
    def _rows(self) -> list[list[str]]:
        """The ids of the stops by rows, from the top and from the left."""
        rows: dict[int, list[str]] = {}
        for stop, place in sorted(self.places.items(), key=lambda one: (one[1].line, one[1].x)):
            rows.setdefault(place.line, []).append(stop)
        return list(rows.values())

    def _kept(self, line: int) -> int:
        start, stop = self.head
        return stop - start if start < line < self.end else 0


def lay_out(stops: Sequence[Stop], looks: Looks) -> Layout:
    """Return the form of a step: its table where that fits, lists, buttons and lines."""
    table = table_of(stops)
    cell = table.cell_width(looks.width) if table else 0
    in_table = {stop.id for stop in table.stops} if table and cell else set()
    listed = [stop for stop in stops if stop.id not in in_table]
    builder = _Builder(listed, looks, set() if cell or not table else set(table.stops))
    for kind, found in groupby(stops, lambda stop: _kind(stop, in_table)):
        if kind == "table" and table:
            builder.table(table, cell)
        elif kind == "list":
            builder.questions(list(found))
        elif kind == "link":
            builder.links(list(found))
        else:
            builder.buttons(list(found))
    return builder.layout()


def _kind(stop: Stop, in_table: set[str]) -> str:
    if stop.id in in_table:
        return "table"
    if stop.id in (BACK, COMPARE, NEXT, WRITE):
        return "ways"
    return {"question": "list", "button": "buttons", "link": "link"}[stop.kind]


class _Builder:
    """Lines and places, added from the top down.

    rows: what is asked row by row, but has no room as a table, and so is headed by its level.
    """

    def __init__(self, stops: Sequence[Stop], looks: Looks, rows: set[Stop]) -> None:
        self.looks = looks
        self.rows = rows
        self.lines: list[Line] = []
        self.places: dict[str, Place] = {}
        self.head = (0, 0)
        self.end = self.below = 0
        self.headed = _headed(stops)
        labels = [columns(self._label(stop)) for stop in stops if stop.kind == "question"]
        room = looks.width - 5 - _LEAST_ANSWER
        self.label_width = max(1, min(max(labels, default=0), _LABEL, room))

    def layout(self) -> Layout:
        return Layout(tuple(self.lines), self.places, self.head, self.end, self.below)

    def _here(self, stop: Stop) -> bool:
        return stop.id == self.looks.here

    def _said(self, stop: Stop) -> str:
        draft = self.looks.draft if self._here(stop) else None
        return stop.said if draft is None else draft

    def _refused(self, stop: Stop) -> None:
        """Say below a question why its answer was not taken."""
        rows = self._why_refused(stop)
        self.lines += rows
        self.below = len(rows) or self.below

    def _why_refused(self, stop: Stop) -> list[Line]:
        if not self._here(stop) or not self.looks.refused:
            return []
        rows = hang("!", clean(self.looks.refused, 400), self.looks.width - 3, "fail", "fail")
        return [(("  ", ""), *row) for row in rows]

    # --- a table -----------------------------------------------------------------------------

    def table(self, table: Table, cell: int) -> None:
        left = table.label_width + 4
        start = len(self.lines)
        for titles in table.header(cell):
            line: Line = ()
            for i, title in enumerate(titles):
                line = put(line, left + i * cell + 1, title, "dim")
            self.lines.append(line)
        self.head = (start, len(self.lines))
        for level in table.levels:
            self._row(table, level, left, cell)
        self.end = len(self.lines)

    def _row(self, table: Table, level: str, left: int, cell: int) -> None:
        stops = [column.get(level) for column in table.columns.values()]
        here = next((stop for stop in stops if stop and self._here(stop)), None)
        line = put(plain(">" if here else " ", "strong"), 2, say(level), "strong" if here else "")
        for i, (group, stop) in enumerate(zip(table.columns, stops, strict=True)):
            if stop:
                line = self._cell(line, stop, left + i * cell, cell - 1)
            elif group == "height" and level == "hem":
                line = put(line, left + i * cell + 1, "0", "dim")  # by what a height is
        self.lines.append(line)
        if here:
            self._refused(here)

    def _cell(self, line: Line, stop: Stop, x: int, room: int) -> Line:
        """Add a cell: a sign or a bracket, the answer, a bracket."""
        inner = room - 2
        self.places[stop.id] = Place(len(self.lines), x + 1, inner)
        if self._here(stop):
            return put(put(line, x, "[", "strong"), x + 1 + inner, "]", "strong")
        text, style = self._answer(stop, inner)
        line = put(line, x, *self._mark(stop))
        return put(line, x + 1, text, style)

    def _mark(self, stop: Stop) -> tuple[str, str]:
        mark = self.looks.marks.get(stop.id, "")
        return mark, {"!": "fail", "?": "care"}.get(mark, "")

    def _answer(self, stop: Stop, room: int) -> tuple[str, str]:
        said = self._said(stop)
        if said:
            listed = stop.field is not None and stop.field.kind == "choice"
            words = dict(stop.field.choices).get(said, said) if stop.field and listed else said
            return fit(words, room, self.looks.more), ""
        usual = stop.field.placeholder if stop.field else ""
        return fit(usual or _EMPTY[:room], room, self.looks.more), "dim"

    # --- a list ------------------------------------------------------------------------------

    def questions(self, stops: list[Stop]) -> None:
        """Add questions below each other, headed by their group where that is a large one."""
        last = ""
        for stop in stops:
            head = self._head(stop)
            if head and head != last:
                self.lines.append(((head, "dim"),))
            last = head
            self._question(stop)

    def _head(self, stop: Stop) -> str:
        """Return what heads a question: its level where that makes a row, or its large group."""
        if stop in self.rows and stop.field:
            return say(stop.field.level)
        return title_of(_group(stop)) if _group(stop) in self.headed else ""

    def _label(self, stop: Stop) -> str:
        """Return the label; below a heading that says the rest, a level or a group is enough."""
        if stop in self.rows:
            return title_of(_group(stop))
        level = stop.field.level if stop.field else ""
        return say(level) if level and _group(stop) in self.headed else stop.label

    def _question(self, stop: Stop) -> None:
        here = self._here(stop)
        mark, style = (">", "strong") if here else self._mark(stop)
        sign, label = (mark or " ", style), (self._label(stop), "strong" if here else "")
        choices = stop.field.choices if stop.field and stop.field.kind == "choice" else ()
        if choices and (here or len(choices) <= LONG):
            self._choices(stop, sign, label)
        else:  # of a long list, too, what is chosen is enough where the cursor is elsewhere
            first, *more = label_lines(sign, label, self.label_width)
            self._typed(stop, first)
            self.lines += more
            self._refused(stop)

    def _typed(self, stop: Stop, line: Line) -> None:
        x, room = self.label_width + 4, self.looks.width - self.label_width - 5
        measured = stop.field is not None and stop.field.kind in _MEASURED
        wide = min(_ANSWER, room) if measured else room
        echo = self.looks.echoes.get(stop.id, "")
        self.places[stop.id] = Place(len(self.lines), x, wide)
        if self._here(stop):
            line = put(put(line, x - 1, "[", "strong"), x + wide, "]", "strong")
        else:  # words that hold unasked may be longer than a length, and have no echo beside them
            line = put(line, x, *self._answer(stop, wide if echo else room))
        beside = self.looks.width - x - wide - 2
        if measured and echo and beside >= _LEAST_ECHO:
            echo = fit(echo, beside, self.looks.more)
            line = put(line, x + wide + 2, echo, "" if self._here(stop) else "dim")
        self.lines.append(line)

    def _choices(self, stop: Stop, sign: Run, label: Run) -> None:
        """Add a choice; above a list, what is asked stays in sight while it is moved."""
        x, start = self.label_width + 4, len(self.lines)
        made = choice_lines(sign, label, self._options(stop), x, self.looks.width)
        refused = self._why_refused(stop) if made.above else []
        self.lines += [*made.lines[: made.above], *refused, *made.lines[made.above :]]
        at = start + made.line + (len(refused) if made.line >= made.above else 0)
        lines = (start, len(self.lines)) if made.listed else (0, 0)
        self.places[stop.id] = Place(at, made.x, 1, ">", lines)
        if made.above and self._here(stop):
            self.head, self.end = (start, start + made.above + len(refused)), len(self.lines)
        if not made.above:
            self._refused(stop)

    def _options(self, stop: Stop) -> list[Option]:
        """Return every option, pointed at or answered, or else what holds without an answer."""
        field, here = stop.field, self._here(stop)
        chosen = self._said(stop) or (field.placeholder if field else "")
        return [
            Option(label, value == chosen, "strong" if value == chosen and here else "")
            for value, label in (field.choices if field else ())
        ]

    # --- buttons and lines that lead back ----------------------------------------------------

    def buttons(self, stops: list[Stop]) -> None:
        """Add buttons, as many in a line as fit; one that is longer takes lines of its own."""
        line: Line = ()
        row: list[Stop] = []
        for stop in stops:
            text, *more = wrap(f"[ {stop.label} ]", self.looks.width - 3)
            if line and width(line) + 2 + columns(text) > self.looks.width:
                self._button_row(line, row)
                line, row = (), []
            x = width(line) + 2
            self.places[stop.id] = Place(len(self.lines), x, 1, "[")
            style = "focus" if self._here(stop) else ""
            line = put(line, x, text, style)
            row.append(stop)
            for text in more:
                self.lines.append(line)
                line = put((), x + 2, text, style)
            if more:
                self._button_row(line, row)
                line, row = (), []
        if row:
            self._button_row(line, row)

    def _button_row(self, line: Line, stops: list[Stop]) -> None:
        self.lines.append(line)
        for stop in stops:
            self._refused(stop)

    def links(self, stops: list[Stop]) -> None:
        """Add lines that lead somewhere, below what heads them."""
        for head, found in groupby(stops, lambda stop: stop.head):
            self.lines.append(plain(head, "dim"))
            for stop in found:
                self._link(stop)

    def _link(self, stop: Stop) -> None:
        here = self._here(stop)
        style = "strong" if here else ""
        x = min(_LABEL + 4, self.looks.width // 2)
        label = label_lines((">" if here else " ", "strong"), (stop.label, style), x - 4)
        self.places[stop.id] = Place(len(self.lines), 0, 1, ">")
        said = [plain(row, style) for row in wrap(stop.said, self.looks.width - x)]
        self.lines += side_by_side(label, said, x)
        self._refused(stop)


def _headed(stops: Sequence[Stop]) -> set[str]:
    """Return the groups of more than two questions."""
    groups = [_group(stop) for stop in stops]
    return {group for group in groups if group and groups.count(group) > 2}


def _group(stop: Stop) -> str:
    return stop.field.group if stop.field else ""
