"""Numbers of a block's table that look like a slip, each asked about with the most likely first."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from functools import lru_cache

from legtaper.model.lengths import say_length
from legtaper.model.levels import ABOVE_HEM, say_level
from legtaper.model.project import (
    EDGES,
    PANELS,
    BlockTable,
    Edge,
    PanelName,
    Project,
    Unit,
    seam_of,
)
from legtaper.model.said_lengths import say_apart
from legtaper_wizard.flow.derived_state import Known
from legtaper_wizard.flow.shapes import Note

_OFF_CURVE = 20.0
"""mm that a reach may lie off the curve through its neighbours before it is asked about:
common practice."""
_HOLLOW = {"inseam": 0.06, "outseam": 0.02}
"""A seam is hollow: for each mm between its neighbors it may lie this much further inside, an
inseam more than an outseam: common practice."""
_STEEP = 0.6
"""mm a seam may run out for each mm of height below the thigh before it is asked about: common
practice."""
_OFF_CENTER = 25.0
"""mm that the two sides of a panel may differ at the hem before they are asked about:
common practice."""

_EXCHANGED = 12.0
"""mm by which an outseam may lie further out than the inseam at the crotch, unasked:
common practice."""

_CROTCH = (300.0, 1000.0)
"""mm above the hem, a crotch from a child of two to a very tall adult: from memory."""
_OF_CROTCH = {
    "calf": (0.25, 0.6), "knee": (0.45, 0.72), "thigh": (0.75, 1.0),
    "hip": (1.0, 1.7), "high_hip": (1.05, 1.9),
}  # fmt: skip
"""Between which shares of the crotch's height a level usually lies: common practice."""

_ROUNDING = 1e-9  # mm; rounding

EXCHANGED_PANELS = " It is usually wider; are front and back exchanged?"
Points = Mapping[str, tuple[float, float]]
"""Level -> (height, reach) in mm, from the hem upwards."""


def odd_numbers(project: Project) -> tuple[Note, ...]:
    """Return what is asked about the table of a project, the number most likely wrong first."""
    return _odd_numbers(Known(project))


@lru_cache(maxsize=4)
def _odd_numbers(key: Known) -> tuple[Note, ...]:
    asked = _questions(key.project.block, key.project.length_unit)
    return (*asked, *_smaller_than_body(key.project))


def _points(table: BlockTable, edge: Edge) -> Points:
    """Return what is measured of an edge so far, in order of height."""
    heights = {"hem": 0.0} | {level: length.mm for level, length in table.height.items()}
    known = [
        (level, (heights[level], length.mm))
        for level, length in table.reach.get(edge, {}).items()
        if level in heights
    ]
    ordered = dict(sorted(known, key=lambda entry: entry[1][0]))
    apart = len({height for height, _ in ordered.values()}) == len(ordered)
    return ordered if apart else {}


def panel_width(table: BlockTable, name: PanelName, level: str) -> float | None:
    """Return how wide a panel is at a level, mm, where both its edges are measured there."""
    lengths = [table.reach.get(edge, {}).get(level) for edge in PANELS[name]]
    return sum(length.mm for length in lengths if length) if all(lengths) else None


def _smaller_than_body(project: Project) -> Iterator[Note]:
    """Ask where the measured rows do not go around the leg."""
    for level in ABOVE_HEM:
        around = measured_around(project.block, level)
        if around is not None and (text := smaller_than_body(project, level, around)):
            yield Note("question", text, _key("back_outseam", level))


def measured_around(table: BlockTable, level: str) -> float | None:
    """Return the width around the leg, mm, where all four edges are measured at a level."""
    front, back = (panel_width(table, name, level) for name in PANELS)
    return None if front is None or back is None else front + back


def smaller_than_body(project: Project, level: str, around: float) -> str:
    """Ask where so many mm, stretched as far as the fabric serves, do not go around the leg."""
    girth = getattr(project.wearer, level)
    stretched = around * (1 + project.fabric.usable_stretch)
    if girth is None or stretched >= girth.mm - _ROUNDING:
        return ""
    has, needs = say_apart(around, girth.mm, project.length_unit, around=True)
    where = say_level(level)
    return (
        f"At the {where} the block is {has} around, and the wearer's {where} {needs}. Is it "
        "measured right?"
    )


def _questions(table: BlockTable, unit: Unit) -> list[Note]:
    """Return what is asked, first about the numbers that are most likely the wrong ones."""
    panels = [*_narrow_back(table)]
    for name in reversed(PANELS):
        panels = [*_exchanged(table, name), *_off_center(table, name), *panels]
    asked = {note.key for note in panels}
    seams: list[Note] = []
    likely: set[str] = set()
    for edge in EDGES:
        given = _points(table, edge)
        if found := [*_off_curve(edge, given, unit), *_steep(edge, given, table, unit)]:
            seams += found
            known = asked | {note.key for note in found}
            level = _likeliest(edge, given, table, known)
            likely.add(_key(edge, level))
            if _key(edge, level) not in known:
                seams.append(_ask(edge, level, "this does not go with the levels beside it"))
    found = sorted((*seams, *panels), key=lambda note: note.key not in likely)
    return [*_odd_heights(table, unit), *found]


def _odd_heights(table: BlockTable, unit: Unit) -> Iterator[Note]:
    """Ask about a level that lies where no leg has it, by the crotch as far as that is known."""
    crotch = table.height.get("crotch")
    least, most = (crotch.mm, crotch.mm) if crotch else _CROTCH
    usual = {name: (low * least, high * most) for name, (low, high) in _OF_CROTCH.items()}
    for level, (low, high) in {**usual, "crotch": _CROTCH}.items():
        height = table.height.get(level)
        if height and not low - 1e-6 <= height.mm <= high + 1e-6:
            text = (
                f"{say_level(level).capitalize()} height: {height.text} is unusual; it usually "
                f"lies from {say_length(low, unit)} to {say_length(high, unit)} above the hem. "
                "Is it measured right?"
            )
            yield Note("question", text, f"block.height.{level}")


def _likeliest(edge: Edge, given: Points, table: BlockTable, asked: set[str]) -> str:
    """Return the level of an edge without which the fewest questions would be left.

    A wrong number bends the curve that its neighbors are held against. Of several that would do,
    one that is asked about comes first, and the hem before what lies above it.
    """

    def left(level: str) -> tuple[int, bool]:
        rest = {name: point for name, point in given.items() if name != level}
        found = [*_off_curve(edge, rest, "in"), *_steep(edge, rest, table, "in")]  # only counted
        return len(found), _key(edge, level) not in asked

    return min(given, key=left)


def _key(edge: Edge, level: str) -> str:
    return f"block.{edge.replace('_', '.')}.{level}"


def _ask(edge: Edge, level: str, odd: str) -> Note:
    key = _key(edge, level)
    return Note("question", f"{_label(edge, level)}: {odd}. Is it measured right?", key)


def _label(edge: Edge, level: str) -> str:
    return f"{edge.replace('_', ' ')} at the {say_level(level)}".capitalize()


def _off_curve(edge: Edge, given: Points, unit: Unit) -> Iterator[Note]:
    """Ask about an inner level that lies far off the curve through all the others."""
    from legtaper.geometry.curves import MonotoneCubic

    levels = list(given)
    for i in range(1, len(levels) - 1):
        others = [given[level] for level in levels if level != levels[i]]
        curve = MonotoneCubic.through(*zip(*others, strict=True))
        height, reach = given[levels[i]]
        off = reach - float(curve.at(height))
        gap = given[levels[i + 1]][0] - given[levels[i - 1]][0]
        inward = _OFF_CURVE + _HOLLOW[seam_of(edge)] * gap
        if not -inward <= off <= _OFF_CURVE:
            way = "further out" if off > 0 else "further in"
            yield _ask(
                edge,
                levels[i],
                f"{say_length(abs(off), unit)} {way} than the levels beside it suggest",
            )


def _steep(edge: Edge, given: Points, table: BlockTable, unit: Unit) -> Iterator[Note]:
    """Ask where a seam below the thigh runs out or in faster than a leg does."""
    top = table.height.get("thigh") or table.height.get("crotch")
    levels = list(given)
    for low, high in itertools.pairwise(levels):
        (y0, r0), (y1, r1) = given[low], given[high]
        if top and y1 <= top.mm and abs(r1 - r0) > _STEEP * (y1 - y0):
            yield _ask(
                edge,
                high,
                f"runs {say_length(abs(r1 - r0), unit)} sideways within "
                f"{say_length(y1 - y0, unit)} of height from the "
                f"{say_level(low)}",
            )


def _exchanged(table: BlockTable, name: PanelName) -> Iterator[Note]:
    inseam, outseam = (table.reach.get(edge, {}).get("crotch") for edge in PANELS[name])
    if inseam and outseam and outseam.mm - inseam.mm > _EXCHANGED:
        text = (
            f"At the crotch the {name} inseam is nearer the grainline than the outseam. "
            "Are inseam and outseam exchanged?"
        )
        yield Note("question", text, _key(PANELS[name][0], "crotch"))


def _off_center(table: BlockTable, name: PanelName) -> Iterator[Note]:
    inseam, outseam = (table.reach.get(edge, {}).get("hem") for edge in PANELS[name])
    if inseam and outseam and abs(inseam.mm - outseam.mm) > _OFF_CENTER:
        text = (
            f"At the hem the {name} reaches {outseam.text} to the outseam and {inseam.text} to the "
            "inseam. The grainline usually runs down the middle; is it measured right?"
        )
        odd = max(reversed(PANELS[name]), key=lambda edge: _jump(table, edge))
        yield Note("question", text, _key(odd, "hem"))


def _jump(table: BlockTable, edge: Edge) -> float:
    """Return how far a seam runs sideways from the hem to the next level, mm."""
    reaches = [reach for _, reach in _points(table, edge).values()]
    return abs(reaches[1] - reaches[0]) if len(reaches) > 1 else 0.0


def _narrow_back(table: BlockTable) -> Iterator[Note]:
    for level in ("hem", *(level for level in table.height if level != "hem")):
        front, back = (panel_width(table, name, level) for name in PANELS)
        if front is not None and back is not None and back < front:
            text = f"At the {say_level(level)} the back is narrower than the front."
            text += EXCHANGED_PANELS
            yield Note("question", text, _key("back_outseam", level))
