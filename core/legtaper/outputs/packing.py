"""Boxes side by side on a strip or on sheets: in shelves, each turned where that saves length."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from legtaper.geometry.curves import Point

_MOST_TURNED = 8  # of more boxes only all upright and all turned are tried


@dataclass(frozen=True)
class Spot:
    """Where a box lies: `index` of those given, its lower left corner, and whether it is turned."""

    index: int
    x: float
    y: float
    turned: bool


@dataclass(frozen=True)
class _Shelf:
    length: float
    used: float
    spots: tuple[Spot, ...]


def on_strip(sizes: Sequence[Point], width: float, gap: float) -> tuple[list[Spot], float] | None:
    """Return where boxes lie on a strip so that it is short, and its length; y runs along it.

    Nothing where a box is wider than the strip either way.
    """
    found = min(
        (
            shelves
            for turns in _turns(len(sizes))
            if (shelves := _shelves(sizes, turns, width, gap))
        ),
        key=lambda shelves: sum(shelf.length for shelf in shelves) + gap * len(shelves),
        default=None,
    )
    if found is None:
        return None
    spots, y = [], 0.0
    for shelf in found:
        spots += [Spot(spot.index, spot.x, y, spot.turned) for spot in shelf.spots]
        y += shelf.length + gap
    return spots, y - gap


def on_sheets(sizes: Sequence[Point], room: Point, gap: float) -> list[list[Spot]]:
    """Return where boxes lie on the fewest sheets that shelves need; each box fits one sheet."""
    best: list[list[Spot]] = []
    for turns in _turns(len(sizes)):
        shelves = _shelves(sizes, turns, room[0], gap)
        if shelves is None or any(shelf.length > room[1] for shelf in shelves):
            continue
        sheets = _sheets(shelves, room[1], gap)
        if not best or len(sheets) < len(best):
            best = sheets
    return best or [[_alone(index, size, room)] for index, size in enumerate(sizes)]


def _alone(index: int, size: Point, room: Point) -> Spot:
    return Spot(index, 0.0, 0.0, not (size[0] <= room[0] and size[1] <= room[1]))


def _turns(count: int) -> Iterator[tuple[bool, ...]]:
    if count <= _MOST_TURNED:
        yield from product((False, True), repeat=count)
    else:
        yield from ((turned,) * count for turned in (False, True))


def _shelves(
    sizes: Sequence[Point], turns: Sequence[bool], width: float, gap: float
) -> list[_Shelf] | None:
    """Put each box, longest first, on the first shelf that has room for it."""
    lying = [(b, a) if turned else (a, b) for (a, b), turned in zip(sizes, turns, strict=True)]
    if any(across > width for across, _ in lying):
        return None
    shelves: list[_Shelf] = []
    for index in sorted(range(len(sizes)), key=lambda i: (-lying[i][1], i)):
        across, along = lying[index]
        at = next(
            (n for n, shelf in enumerate(shelves) if shelf.used + gap + across <= width), None
        )
        if at is None:
            shelves.append(_Shelf(along, across, (Spot(index, 0.0, 0.0, turns[index]),)))
        else:
            shelf = shelves[at]
            spot = Spot(index, shelf.used + gap, 0.0, turns[index])
            used = shelf.used + gap + across
            shelves[at] = _Shelf(shelf.length, used, (*shelf.spots, spot))
    return shelves


def _sheets(shelves: Sequence[_Shelf], tall: float, gap: float) -> list[list[Spot]]:
    sheets: list[list[Spot]] = []
    filled: list[float] = []
    for shelf in shelves:
        at = next((n for n, y in enumerate(filled) if y + gap + shelf.length <= tall), None)
        y = 0.0 if at is None else filled[at] + gap
        spots = [Spot(spot.index, spot.x, y, spot.turned) for spot in shelf.spots]
        if at is None:
            sheets.append(spots)
            filled.append(shelf.length)
        else:
            sheets[at] += spots
            filled[at] = y + shelf.length
    return sheets
