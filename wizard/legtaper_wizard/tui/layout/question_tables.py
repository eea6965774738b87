"""Questions that belong together as a table: levels down, groups across."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from legtaper.model.levels import say_level
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import wrap

_TITLES: Mapping[str, str] = {
    "height": "Height",
    "take-in": "or take off per edge",
    "width": "Finished width",
    "whole leg": "Whole leg",
    "front": "Front panel",
    "back": "Back panel",
    "wearer": "Wearer",
    "cloth": "Fabric",
    "trials": "In the muslin",
}
_BY_ROW = "Enter goes row by row, from the hem up"
_BY_LEVEL = "Enter: next level; Right: take off"
_BY_COLUMN = "Enter goes down a column, from the hem up"
_NARROWEST = 12  # columns that a cell needs for a length such as 10 13/16 in and its brackets
_WIDEST = 20


class Table(NamedTuple):
    """Rows are levels; `columns` hold the stop of each level, or nothing, by group."""

    levels: tuple[str, ...]
    columns: Mapping[str, Mapping[str, Stop]]

    @property
    def order(self) -> str:
        """Say in which order Enter goes through the cells."""
        down = any(stop.field and stop.field.down for stop in self.stops)
        one_of_two = {"width", "take-in"} <= set(self.columns)
        return _BY_COLUMN if down else _BY_LEVEL if one_of_two else _BY_ROW

    @property
    def stops(self) -> tuple[Stop, ...]:
        """Return every stop of the table."""
        return tuple(stop for column in self.columns.values() for stop in column.values())

    @property
    def label_width(self) -> int:
        """Return how many columns the names of the levels take."""
        return max(len(say(level)) for level in self.levels)

    def cell_width(self, room: int) -> int:
        """Return how wide each column is, 0 where they do not fit side by side."""
        each = (room - self.label_width - 4) // len(self.columns)
        return min(each, _WIDEST) if each >= _NARROWEST else 0

    def header(self, cell: int) -> list[list[str]]:
        """Return the titles of the columns as lines of cells."""
        titles = [_title_lines(group, cell - 1) for group in self.columns]
        tall = max(map(len, titles))
        padded = [[""] * (tall - len(title)) + title for title in titles]
        return [[title[row] for title in padded] for row in range(tall)]

    def beside(self, stop: Stop, down: int) -> Stop | None:
        """Return the next stop in the same column, `down` rows on, or nothing at its end."""
        for column in self.columns.values():
            ordered = [column[level] for level in self.levels if level in column]
            if stop in ordered:
                i = ordered.index(stop) + down
                return ordered[i] if 0 <= i < len(ordered) else None
        return None

    def after(self, stop: Stop) -> Stop | None:
        """Return the head of the next column, where a column goes on there; else nothing."""
        columns = list(self.columns.values())
        here = next(i for i, column in enumerate(columns) if stop in column.values())
        if not (stop.field and stop.field.across) or here + 1 == len(columns):
            return None
        return next(columns[here + 1][at] for at in self.levels if at in columns[here + 1])

    def row(self, level: str) -> list[Stop]:
        """Return the stops of a row, from the left."""
        return [column[level] for column in self.columns.values() if level in column]

    @property
    def rows(self) -> list[list[Stop]]:
        """Return the rows that have stops, from the top."""
        return [row for level in self.levels if (row := self.row(level))]

    def across(self, stop: Stop, right: int) -> Stop:
        """Return the stop so many cells on in the same row; at its end the same stop."""
        row = next(row for row in self.rows if stop in row)
        return row[max(0, min(row.index(stop) + right, len(row) - 1))]


def in_rows(stops: Sequence[Stop]) -> tuple[Stop, ...]:
    """Return the stops with those of a table row by row, in the place of the first of them."""
    table = table_of(stops)
    if table is None:
        return tuple(stops)
    ordered = [stop for row in table.rows for stop in row]
    cells = {stop.id for stop in ordered}
    first = next(number for number, stop in enumerate(stops) if stop.id in cells)
    rest = [stop for stop in stops[first:] if stop.id not in cells]
    return (*stops[:first], *ordered, *rest)


def table_of(stops: Sequence[Stop]) -> Table | None:
    """Return the table that the questions of a step make, or nothing where they make none."""
    columns: dict[str, dict[str, Stop]] = {"height": {}}  # first, though the hem has none
    for stop in stops:
        if stop.field and stop.field.group and stop.field.level:
            columns.setdefault(stop.field.group, {})[stop.field.level] = stop
    columns = {group: column for group, column in columns.items() if column}
    shared = [column for column in columns.values() if len(column) > 1]
    if len(shared) < 2:
        return None
    longest = max(columns.values(), key=len)
    levels = list(longest)
    levels += [level for column in columns.values() for level in column if level not in levels]
    return Table(_from_the_hem(levels), columns)


def _from_the_hem(levels: list[str]) -> tuple[str, ...]:
    """Put the hem first: it has no question of its height, as that is 0."""
    return tuple(sorted(dict.fromkeys(levels), key=lambda level: level != "hem"))


def _title_lines(group: str, room: int) -> list[str]:
    """Return a title; panel and seam stand below each other."""
    from legtaper.model.project import SEAMS

    words = group.split()
    if words[-1] in SEAMS and len(words) == 2:
        return [words[0].capitalize(), words[1]]
    return wrap(title_of(group), room)


def title_of(group: str) -> str:
    """Return the title of a group of questions."""
    return _TITLES.get(group, group[:1].upper() + group[1:])


def say(level: str) -> str:
    """Return a level as people write it."""
    return say_level(level).capitalize()
