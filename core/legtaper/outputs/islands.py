"""Sheets that touch by corners alone cannot be taped: which empty sheets join them by edges."""

from __future__ import annotations

from collections.abc import Collection, Iterator

Cell = tuple[int, int]
"""Row and column of a sheet in its grid."""


def bridges(cells: Collection[Cell]) -> tuple[Cell, ...]:
    """Return the few empty sheets with which all of `cells` are joined by whole edges.

    One after the other: the sheet that touches most islands, or, where none touches two, a
    straight way between the two that lie nearest. For two islands no fewer do.
    """
    taken, found = set(cells), set[Cell]()
    while len(islands := _islands(taken)) > 1:
        touching = {
            cell: sum(not island.isdisjoint(_beside(cell)) for island in islands)
            for island in islands
            for one in island
            for cell in _beside(one)
            if cell not in taken
        }
        cell = max(sorted(touching), key=lambda cell: touching[cell])
        way = {cell} if touching[cell] > 1 else _way(islands)
        taken |= way
        found |= way
    return tuple(sorted(found))


def _beside(cell: Cell) -> tuple[Cell, ...]:
    row, column = cell
    return (row + 1, column), (row - 1, column), (row, column + 1), (row, column - 1)


def _islands(cells: Collection[Cell]) -> list[set[Cell]]:
    """Return the groups of sheets that are joined by edges."""
    left, found = set(cells), []
    while left:
        island, edge = set[Cell](), {left.pop()}
        while edge:
            island |= edge
            edge = {other for cell in edge for other in _beside(cell)} & left
            left -= edge
        found.append(island)
    return found


def _way(islands: list[set[Cell]]) -> set[Cell]:
    """Return the sheets on a shortest way from the first island to the nearest other one."""
    first, others = islands[0], set().union(*islands[1:])
    start, end = min(
        ((one, other) for one in sorted(first) for other in sorted(others)),
        key=lambda pair: abs(pair[0][0] - pair[1][0]) + abs(pair[0][1] - pair[1][1]),
    )
    return set(_steps(start, end)) - {start, end}


def _steps(start: Cell, end: Cell) -> Iterator[Cell]:
    """Yield the sheets from one to another, first along the columns and then along the rows."""
    (row, column), (last_row, last_column) = start, end
    while column != last_column:
        column += 1 if column < last_column else -1
        yield row, column
    while row != last_row:
        row += 1 if row < last_row else -1
        yield row, column
