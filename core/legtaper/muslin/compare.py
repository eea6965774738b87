"""Designs and muslin rounds side by side: the figures, and what changed, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from legtaper.checks.registry import name_of
from legtaper.geometry.curves import Line
from legtaper.leg.block import Block
from legtaper.model.lengths import RULER_STEP, round_to, say_length, size_of
from legtaper.model.levels import ABOVE_HEM, say_level
from legtaper.model.project import EDGES, SEAMS, Edge, Project, SeamName, Unit, seam_of
from legtaper.model.safe_text import clean
from legtaper.model.said_lengths import say_apart, say_around, say_exact, say_fine
from legtaper.model.sheet_table import SheetTable
from legtaper.muslin.next_design import round_of
from legtaper.pattern import Fit, block_of, fit_design

MOST = 5
"""How many columns a page holds, and how many are compared where none is named."""

NO_CHANGE = ("Nothing changed.",)

_LABEL = 22  # characters of a column's head
_SHOWS = 0.05  # mm; less is rounding
_OPEN = 3  # outlines that can be told apart by their pattern


@dataclass(frozen=True)
class Column:
    """One design or one round to compare; `number` is that of the round."""

    label: str
    fit: Fit
    number: int | None = None


def latest(project: Project, most: int = MOST) -> tuple[str, ...]:
    """Return the names of the last designs, as many as can be read beside each other."""
    return tuple(design.name for design in project.designs[-most:])


def columns(
    project: Project, designs: Sequence[str] = (), numbers: Sequence[int] = ()
) -> tuple[Column, ...]:
    """Return what is to be compared: the named designs, then the rounds; all designs if none is.

    A round is compared by the design that was sewn in it. Raises `ProjectError`.
    """
    block = block_of(project)
    project.design()
    names = designs or ([] if numbers else [design.name for design in project.designs])
    known = {design.name: design for design in project.designs}
    fits: dict[str, Fit] = {}

    def fitted(name: str) -> Fit:
        if name not in fits:
            fits[name] = fit_design(project, known.get(name) or project.design(name), block)
        return fits[name]

    chosen = [Column(clean(name, _LABEL), fitted(name)) for name in dict.fromkeys(names)]
    for number in dict.fromkeys(numbers):
        name = round_of(project, number).design
        chosen.append(Column(clean(f"round {number}: {name}", _LABEL), fitted(name), number))
    return tuple(chosen)


# --- figures ---------------------------------------------------------------------------------


def ease(fit: Fit) -> dict[str, float]:
    """Return the finished width less the body girth, mm, at the levels that were measured."""
    girths = {level: getattr(fit.project.wearer, level) for level in ABOVE_HEM}
    widths = fit.taper.finished  # a leg may end above a level
    return {level: widths[level] - girth.mm for level, girth in girths.items()
            if girth and level in widths}  # fmt: skip


def hip_to_hem(fit: Fit) -> float | None:
    """Return how many times the hem goes into the hip girth; `None` where that is not known."""
    hip = fit.project.wearer.hip
    return hip.mm / fit.taper.finished["hem"] if hip else None


def taken(fit: Fit, seam: SeamName, level: str) -> float | None:
    """Return what comes off each edge of a seam, mm, the mean of front and back."""
    edges = [edge for edge in EDGES if seam_of(edge) == seam]
    if any(level not in fit.taper.reaches[edge] for edge in edges):
        return None
    return sum(fit.taper.taken(edge, level) for edge in edges) / len(edges)


def tables(shown: Sequence[Column]) -> tuple[SheetTable, ...]:
    """Return the figures as tables with a column for each design or round."""
    labels = tuple(column.label for column in shown)
    parts = (
        ("Width around the leg", ("Level", "Block", *labels), _width_rows(shown)),
        ("Comes off each edge", ("Level", "", *labels), _take_rows(shown)),
        ("Ease", ("Level", "", *labels), _ease_rows(shown)),
        ("And", ("", "", *labels), _other_rows(shown)),
    )
    return tuple(SheetTable(title, head, tuple(rows)) for title, head, rows in parts if rows)


def _unit(shown: Sequence[Column]) -> Unit:
    return shown[0].fit.project.length_unit


def _level(level: str) -> str:
    return clean(say_level(level), 20)


def _width_rows(shown: Sequence[Column]) -> list[tuple[str, ...]]:
    block, unit = _block(shown), _unit(shown)
    own = shown[0].fit.block
    if all(column.fit.block.start == own.start for column in shown):
        block = own  # as wide at the hem as the block is where all of them end
    rows = []
    for level in reversed(tuple(block.widths)):
        found = [column.fit.taper.finished.get(level) for column in shown]
        if any(mm is not None for mm in found):
            rows.append((_level(level), *_around([block.widths[level], *found], unit)))
    return rows


def _around(lengths: Sequence[float | None], unit: Unit) -> list[str]:
    """Say the lengths of a row, "-" where the leg ends above."""
    return ["-" if mm is None else say_around(mm, unit) for mm in lengths]


def _block(shown: Sequence[Column]) -> Block:
    """Return the block that all are made from, wherever their legs end."""
    block: Block = shown[0].fit.block
    return block.whole or block


def _take_rows(shown: Sequence[Column]) -> list[tuple[str, ...]]:
    """One row for a level, or one for each seam where the two differ.

    They are said as finely as a ruler shows, as the marking table has them.
    """
    block, unit = _block(shown), _unit(shown)
    rows = []
    for level, height in reversed(tuple(block.heights.items())):
        if height > block.top + 1e-6:
            continue
        said = {
            seam: ["" if mm is None else say_fine(mm, unit)
                   for column in shown for mm in [taken(column.fit, seam, level)]]
            for seam in SEAMS
        }  # fmt: skip
        if not any(text.strip("0 incm") for texts in said.values() for text in texts):
            continue  # nothing comes off there in any of them
        if said["outseam"] == said["inseam"]:
            rows.append((_level(level), "", *said["outseam"]))
        else:
            rows += [(_level(level), seam, *said[seam]) for seam in SEAMS if any(said[seam])]
    return rows


def _ease_rows(shown: Sequence[Column]) -> list[tuple[str, ...]]:
    """Return the eases as `check` and the table of hem widths say them: to what a tape shows."""
    found, unit = [ease(column.fit) for column in shown], _unit(shown)
    levels = dict.fromkeys(level for level in ABOVE_HEM for each in found if level in each)
    return [
        (_level(level), "", *_around([each.get(level) for each in found], unit)) for level in levels
    ]


def _other_rows(shown: Sequence[Column]) -> list[tuple[str, ...]]:
    unit = _unit(shown)

    def row(name: str, *says: str) -> tuple[str, ...]:
        return (name, "", *says)

    fits = [column.fit for column in shown]
    ratios = [hip_to_hem(fit) for fit in fits]
    seams = [
        row(edge.replace("_", " "), *(say_length(f.taper.seams[edge].length, unit) for f in fits))
        for edge in EDGES
    ]
    fails = [[f.id for f in fit.findings if f.status == "fail"] for fit in fits]
    return [
        row("hem opens to", *(say_around(_opening(fit), unit) for fit in fits)),
        *([row("hip girth", *(f"{ratio:.2f} x the hem" for ratio in ratios if ratio))]
          if ratios[0] else []),
        row("slit", *(_slit(fit) for fit in fits)),
        row("hem", *(_hem(fit) for fit in fits)),
        *seams,
        row("fails", *(str(len(ids)) if ids else "none" for ids in fails)),
        *([row("made from", *(clean(fit.design.parent or "-", _LABEL) for fit in fits))]
          if any(fit.design.parent for fit in fits) else []),
    ]  # fmt: skip


def _end(fit: Fit) -> str:
    """Say where the leg ends; what is less than a line's width lies at the block's hem."""
    y = fit.block.start
    if abs(y) <= _SHOWS:
        return "at the block's hem"
    way = "above" if y > 0 else "below"
    return f"{say_length(abs(y), fit.project.length_unit)} {way} the block's hem"


def _opening(fit: Fit) -> float:
    return fit.taper.finished["hem"] * (1 + fit.project.fabric.usable_stretch)


def _slit(fit: Fit) -> str:
    if fit.slit.height is None:
        return "none"
    return say_length(fit.slit.height, fit.project.length_unit)


def _hem(fit: Fit) -> str:
    return f"{fit.hem.style} {say_length(fit.hem.depth, fit.project.length_unit)}"


# --- the outlines ----------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Outline:
    """One of up to three outlines laid over each other."""

    label: str
    seams: Mapping[Edge, Line]


def outlines(shown: Sequence[Column]) -> tuple[Outline, ...]:
    """Return the outlines to lay over each other, the newest last: the last three at most.

    Where there is room for it, the block's comes first.
    """
    made: dict[str, Outline] = {}
    for column in shown:  # two rounds may have sewn the same design
        made[column.fit.design.name] = Outline(column.label, dict(column.fit.taper.seams))
    last = list(made.values())[-_OPEN:]
    block = Outline("block", _block(shown).seams)
    return tuple(last if len(last) == _OPEN else [block, *last])


# --- what changed ----------------------------------------------------------------------------


def steps(shown: Sequence[Column]) -> Iterator[tuple[Column, Column]]:
    """Return which column to hold against which: a design against what it was made from.

    Where that is not shown, against the column before it.
    """
    passed: dict[str | None, Column] = {}
    for before, after in pairwise(shown):
        passed[before.fit.design.name] = before
        yield passed.get(after.fit.design.parent, before), after


def changes(before: Fit, after: Fit) -> tuple[str, ...]:
    """Say what changed from one design to another, one sentence each."""
    said = (
        *_changed_widths(before, after),
        *_changed_seams(before, after),
        *_changed_room(before, after),
        *_changed_blends(before, after),
        *_changed_finish(before, after),
        *_changed_findings(before, after),
    )
    return said or NO_CHANGE


def _is_same(now: float, was: float, unit: Unit) -> bool:
    """Whether two lengths, mm, lie less than half a step of a ruler apart: nobody reads that."""
    return abs(now - was) < size_of(RULER_STEP[unit]) / 2 - 1e-6


def _apart(now: float, was: float, unit: Unit) -> tuple[str, str]:
    """Say two lengths so that they differ, as coarsely as is enough."""
    for say in (say_length, say_fine):
        if say(now, unit) != say(was, unit):
            return say(now, unit), say(was, unit)
    return say_exact(now, unit), say_exact(was, unit)


def _named(before: Fit, after: Fit) -> list[str]:
    asked = {level.level for fit in (before, after) for level in fit.taper.asked}
    return [level for level in after.block.heights if level in asked]


def _changed_widths(before: Fit, after: Fit) -> Iterator[str]:
    for level in _named(before, after):
        if level not in after.taper.finished or level not in before.taper.finished:
            continue
        now, was = after.taper.finished[level], before.taper.finished[level]
        if not _is_same(now, was, after.project.length_unit):
            new, old = say_apart(now, was, after.project.length_unit, around=True)
            yield f"The {_level(level)} is {new} around the leg, before {old}."


def _changed_seams(before: Fit, after: Fit) -> Iterator[str]:
    """Say level by level what comes off each seam where that is not alike, in one sentence."""
    unit = after.project.length_unit
    rows = []
    for level in _named(before, after):
        takes = {
            seam: (now, was)
            for seam in SEAMS
            if (now := taken(after, seam, level)) is not None
            and (was := taken(before, seam, level)) is not None
        }
        parts = {seam: _more(now, was, unit) for seam, (now, was) in takes.items()}
        if len(set(parts.values())) > 1:
            said = " and ".join(f"{seam} {part}" for seam, part in parts.items())
            evens = abs(sum(now - was for now, was in takes.values())) <= _SHOWS
            ends = ", as wide around" if evens else _evened(after, level)
            rows.append(f"{_level(level)}, {said}{ends}")
    if rows:
        yield f"Off each edge, front and back alike: {'; '.join(rows)}."


def _evened(fit: Fit, level: str) -> str:
    """Say what comes off each edge at a level where all of them take as much, else ""."""
    unit = fit.project.length_unit
    found = [mm for seam in SEAMS if (mm := taken(fit, seam, level)) is not None]
    each = {say_fine(mm, unit) for mm in found}
    return f", now {each.pop()} off all four" if len(each) == 1 and min(found) > 0 else ""


def _changed_room(before: Fit, after: Fit) -> Iterator[str]:
    """Say where the back panel keeps more than the front, or no longer does."""
    unit = after.project.length_unit
    for level in _named(before, after):
        now, was = (2 * one.taper.roomed("back_inseam", level) for one in (after, before))
        if not _is_same(now, was, unit):
            new, old = (say_length(mm, unit) if mm else "none" for mm in (now, was))
            yield f"At the {_level(level)} the back panel keeps {new} of room, before {old}."


def _more(now: float, was: float, unit: Unit) -> str:
    """Say by how much more comes off, as the difference of what the table says of both."""
    if _is_same(now, was, unit):
        return "as much as before"
    step = RULER_STEP[unit]
    size = say_fine(abs(round_to(now, step) - round_to(was, step)), unit)
    if size.startswith("0 "):
        size = say_exact(abs(now - was), unit)
    return f"{size} {'more' if now > was else 'less'}"


def _changed_blends(before: Fit, after: Fit) -> Iterator[str]:
    unit = after.project.length_unit
    for seam in SEAMS:
        edge = next(edge for edge in EDGES if seam_of(edge) == seam)
        new, old = after.taper.seams[edge], before.taper.seams[edge]
        if not _is_same(new.blend, old.blend, unit):
            now, was = _apart(new.blend, old.blend, unit)
            yield f"The {seam} blends at {now}, before at {was}."
        elif not _is_same(new.curve, old.curve, unit):
            now, was = _apart(new.curve, old.curve, unit)
            yield f"The curve of the {seam} is {now} long, before {was}."


def _changed_finish(before: Fit, after: Fit) -> Iterator[str]:
    if after.taper.style != before.taper.style:
        yield f"The style is {after.taper.style}, before {before.taper.style}."
    now, was = _end(after), _end(before)
    if now != was:
        yield f"The leg ends {now}, before {was}."
    for name, say in (("slit", _slit), ("hem", _hem)):
        if say(after) != say(before):
            yield f"The {name} is {say(after)}, before {say(before)}."


def _changed_findings(before: Fit, after: Fit) -> Iterator[str]:
    now = {"pass": "OK now", "caution": "a warning now", "fail": "fails now",
           "unknown": "unknown now"}  # fmt: skip
    once = {"pass": "it was OK", "caution": "it was a warning", "fail": "it failed",
            "unknown": "it was unknown"}  # fmt: skip
    was = {(found.id, found.where): found.status for found in before.findings}
    for found in after.findings:
        old = was.get((found.id, found.where), "pass")
        if found.status != old:
            name = name_of(found.id, found.where)
            yield f"{name}: {now[found.status]}; before, {once[old]}."
    gone = was.keys() - {(found.id, found.where) for found in after.findings}
    for kind, place in sorted(gone):
        if was[kind, place] != "pass":
            yield f"{name_of(kind, place)}: settled; before, {once[was[kind, place]]}."
