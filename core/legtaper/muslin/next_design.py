"""Muslin pinches -> the next design: what was sewn, less what was pinched out of it.

A pinch of depth p at a seam takes p off each of the two edges there, so 2p around the leg. What
was sewn counts: at every level that the design names or the pinches name, the new seams take what
the old ones took, and the pinches more. A design made here differs from the one before by
its `extra`, and by its `width` where one was asked for.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from legtaper.leg.block import Block
from legtaper.leg.taper import Taper, taper
from legtaper.model.lengths import Length, factor, from_mm, parse_length, say_length
from legtaper.model.project import (
    EDGES,
    SEAMS,
    Design,
    Edge,
    Lengths,
    Project,
    ProjectError,
    Round,
    SeamName,
    Unit,
    seam_of,
)

At = tuple[SeamName, str]
"""A seam at a level."""

_COUNTED = re.compile(r"(.+) ([0-9]{1,4})")
_SAME = 0.01  # mm; finer than any pencil, coarser than what the spelling of lengths adds up to
_LONGEST = 11  # characters of a length that a person would still write: 17 15/16 in
_FINEST = 4  # decimals, in inches or centimeters
_HAIR = 1e-9  # mm; an extra of exactly nothing would not be asked for
_HOLDS = 0.003  # mm; above the last of these decimals
_NOTHING = 0.0013  # mm; half of what the last of these decimals says


def round_of(project: Project, number: int) -> Round:
    """Return a round by its number, counted from 1. Raises `ProjectError`."""
    if not 1 <= number <= len(project.rounds):
        known = f"the last one is {len(project.rounds)}" if project.rounds else "there is none yet"
        raise ProjectError("round", f"there is no round {number}; {known}")
    return project.rounds[number - 1]


def depths(one: Round) -> dict[At, float]:
    """Return what was pinched at each seam and level, mm; the same place twice adds up."""
    found: dict[At, list[float]] = {}
    for pinch in one.pinches:
        found.setdefault((pinch.edge, pinch.level), []).append(pinch.depth.mm)
    sums = {at: math.fsum(each) for at, each in found.items()}
    return {at: mm for at, mm in sums.items() if abs(mm) > _NOTHING}


def check_pinches(block: Block, one: Round, unit: Unit) -> None:
    """Raise `ProjectError` where a pinch is at a level or seam that a new seam cannot reach."""
    for number, pinch in enumerate(one.pinches, 1):
        key = f"pinch {number}.level"
        if pinch.level not in block.heights:
            known = ", ".join(block.heights)
            raise ProjectError(key, f'no level "{pinch.level}"; the block has {known}')
        top = block.blend_top(pinch.edge)
        if block.heights[pinch.level] >= top - 1e-6:
            raise ProjectError(
                key,
                f"at the {pinch.level} the {pinch.edge} is the block's own, from "
                f"{say_length(top, unit)} up; pinch at a lower level, or fit the block itself",
            )


def only_holds(extra: Length) -> bool:
    """Whether an extra is so small that it only keeps a seam where it was at that level."""
    return 0 < abs(extra.mm) < _HOLDS


def next_name(project: Project, name: str) -> str:
    """Return a free name for what follows a design: "easy taper", "easy taper 2" and so on."""
    counted = _COUNTED.fullmatch(name)
    stem, number = (counted[1], int(counted[2])) if counted else (name, 1)
    taken = {design.name for design in project.designs}
    return next(free for n in range(number + 1, 100_000) if (free := f"{stem} {n}") not in taken)


def next_design(project: Project, block: Block, number: int, name: str | None = None) -> Design:
    """Return the design that was sewn in a round, with the pinches of that round.

    At each level that the design names, and at each that was pinched, both seams take what
    they took and the pinches more, to 0.003 mm; in the style "straight" as the mean of front and
    back. A blend that would lie no higher than a pinch goes back to the default. Pinched back to
    where an earlier design was, it asks for the same as that one. Raises `ProjectError`.
    """
    one, unit = round_of(project, number), project.length_unit
    old = project.design(one.design)
    check_pinches(block, one, unit)
    takes = depths(one)
    new = replace(old, name=name or next_name(project, old.name), parent=old.name,
                  from_round=number)  # fmt: skip
    if not takes:
        return new
    sewn = taper(block, old, unit)
    places = {*_between(old), *takes, *_held(block, takes)}
    levels = {at: _mean_take(sewn, at) + takes.get(at, 0.0) for at in places}
    typed = [pinch.depth for pinch in one.pinches]
    new = _pinched(new, takes, unit, typed)
    wanted = {at: mm for at, mm in levels.items() if not _is_named(new, at[1])}
    new = _settled(new, wanted, block, unit, typed)
    return _as_an_earlier(project, block, new)


def even_out(
    project: Project, block: Block, design: Design, levels: Collection[str] | None = None
) -> Design:
    """Return a design that takes the same off all four edges where one seam took more.

    What comes off around the leg stays, to 0.01 mm. Below the crotch every level with an `extra`
    is evened out, or those of `levels`. A level that would be let out has its take-in 0 and
    equal extras.
    """
    unit = project.length_unit
    before = taper(block, design, unit)
    named = {level for at in design.extra.values() for level in at}
    chosen = [
        level
        for level, height in block.heights.items()
        if level in named and height < block.crotch and (levels is None or level in levels)
    ]
    kept = {at: _mean_take(before, at) for at in _between(design) if at[1] not in chosen}
    for level in chosen:
        finished = before.finished[level]
        share = (block.widths[level] - finished) / 4
        design = _evened(design, level, share, finished, unit)
    return _settled(design, kept, block, unit, ())


def ancestors(project: Project, design: Design) -> Iterator[Design]:
    """Return the designs that one was made from, the last one first."""
    known = {one.name: one for one in project.designs}
    seen = {design.name}
    while design.parent in known and design.parent not in seen:
        seen.add(design.parent)
        design = known[design.parent]
        yield design


# --- what a design asks for, changed ---------------------------------------------------------


def _is_named(design: Design, level: str) -> bool:
    """Whether a level has a take-in of its own; the hem always has."""
    return level == "hem" or level in design.take_in or level in design.width


def _between(design: Design) -> list[At]:
    """Return where a design only has an extra or room at the back, on the line of its levels."""
    rooms = dict.fromkeys(SEAMS, design.back_room)
    return [
        (seam, level)
        for at in (design.extra, rooms)
        for seam, lengths in at.items()
        for level, length in lengths.items()
        if length.mm and not _is_named(design, level)
    ]


def _held(block: Block, takes: Mapping[At, float]) -> set[At]:
    """Return where a seam must stay because the other one was pinched at that level.

    Else what it was pinched at another level would move it there too, and the width around the leg
    would not be the old one less the pinches.
    """
    changed = {seam for seam, _ in takes}
    return {
        (seam, level)
        for seam in changed
        for _, level in takes
        if block.heights[level] < block.blend_top(seam) - 1e-6
    }


def _mean_take(tapered: Taper, at: At) -> float:
    """Return what comes off a seam at a level, mm: front and back are alike but for a ruled one."""
    seam, level = at
    return sum(tapered.taken(edge, level) for edge in _edges(seam)) / 2


def _edges(seam: SeamName) -> list[Edge]:
    return [edge for edge in EDGES if seam_of(edge) == seam]


def _with_extra(design: Design, at: At, extra: Length | None) -> Design:
    seam, level = at
    lengths = {name: length for name, length in design.extra.get(seam, {}).items() if name != level}
    if extra is not None:
        lengths[level] = extra
    rest = {name: mapping for name, mapping in design.extra.items() if name != seam}
    return replace(design, extra={**rest, seam: lengths} if lengths else rest)


def _without(lengths: Lengths, level: str) -> Lengths:
    return {name: length for name, length in lengths.items() if name != level}


def _pinched(
    design: Design, takes: Mapping[At, float], unit: Unit, typed: Sequence[Length]
) -> Design:
    """Pinch the seams at levels that have a take-in or a width of their own."""
    for at, depth in takes.items():
        if _is_named(design, at[1]):
            before = design.extra.get(at[0], {}).get(at[1])
            extra = depth + (before.mm if before else 0.0)
            said = _exactly(extra, unit, typed) if abs(extra) > _NOTHING else None
            design = _with_extra(design, at, said)
    # An asked circumference stays exact whatever the extras are, so it has to come in as well.
    width = dict(design.width)
    for level, asked in design.width.items():
        depth = math.fsum(depth for (_, where), depth in takes.items() if where == level)
        if depth:
            width[level] = _exactly(asked.mm - 2 * depth, unit, ())
    return replace(design, width=width)


def _evened(design: Design, level: str, share: float, finished: float, unit: Unit) -> Design:
    """Ask for `share` off every edge at a level and for nothing more on either seam."""
    for seam in SEAMS:
        design = _with_extra(design, (seam, level), None)
    if share < -_NOTHING:
        out = _spelled(share, unit, ())
        for seam in SEAMS:
            design = _with_extra(design, (seam, level), out)
        take_in = {**design.take_in, level: from_mm(0.0, unit)}
        return replace(design, take_in=take_in, width=_without(design.width, level))
    if level in design.width or not _is_named(design, level):
        said = _spelled(finished, unit, list(design.width.values()))
        return replace(design, width={**design.width, level: said})
    said = _spelled(max(share, 0.0), unit, list(design.take_in.values()))
    return replace(design, take_in={**design.take_in, level: said})


def _settled(
    design: Design, wanted: Mapping[At, float], block: Block, unit: Unit, typed: Sequence[Length]
) -> Design:
    """Choose the extras so that each seam takes what is wanted at levels that have only that."""
    before = [length for lengths in design.extra.values() for length in lengths.values()]
    while True:
        settled = _with_extras(
            design, _extras(design, wanted, block, unit), unit, [*typed, *before]
        )
        roomy = _with_room(settled, block, unit)
        if roomy == settled:
            return settled
        design = replace(design, blend=roomy.blend, curve=roomy.curve)  # and so another line


def _extras(
    design: Design, wanted: Mapping[At, float], block: Block, unit: Unit
) -> dict[At, float]:
    """Return the extras, mm: each is added to what the line takes off there anyway.

    That line may move a little with the highest level that is asked for, so it is measured with
    none of them and then once more with all.
    """
    plain = design
    for at in wanted:
        plain = _with_extra(plain, at, None)
    made = taper(block, _with_room(plain, block, unit), unit)
    guess = {at: mm - _mean_take(made, at) or _HAIR for at, mm in wanted.items()}
    for at, mm in guess.items():
        plain = _with_extra(plain, at, Length(mm, ""))
    made = taper(block, _with_room(plain, block, unit), unit)
    return {at: guess[at] + mm - _mean_take(made, at) for at, mm in wanted.items()}


def _with_extras(
    design: Design, extras: Mapping[At, float], unit: Unit, known: Sequence[Length]
) -> Design:
    zero = {at for at, mm in extras.items() if abs(mm) < _NOTHING}
    for at, mm in extras.items():
        # Where others stay, a level that is given up would follow them instead of staying.
        alone = all(other in zero for other in extras if other[0] == at[0])
        said = None
        if at not in zero:
            said = _spelled(mm, unit, known)
        elif not alone:
            least = math.copysign(10**-_FINEST, mm)
            said = parse_length(f"{least:.{_FINEST}f} {unit}", unit, signed=True)
        design = _with_extra(design, at, said)
    return design


def _with_room(design: Design, block: Block, unit: Unit) -> Design:
    """Give up a blend or a curve that has no room with the levels asked for."""
    while True:
        try:
            taper(block, design, unit)
        except ProjectError as error:
            roomier = design
            for seam in SEAMS:
                if error.key.endswith(f".blend.{seam}"):
                    roomier = replace(design, blend=_other_seams(design.blend, seam))
                elif error.key.endswith(f".blend.{seam}_curve"):
                    roomier = replace(design, curve=_other_seams(design.curve, seam))
            if roomier == design:
                raise
            design = roomier
        else:
            return design


def _other_seams(lengths: Mapping[SeamName, Length], seam: SeamName) -> dict[SeamName, Length]:
    return {name: length for name, length in lengths.items() if name != seam}


def _as_an_earlier(project: Project, block: Block, new: Design) -> Design:
    """Ask for what an earlier design of the same rounds asked for, where that is the same."""
    unit = project.length_unit
    made = taper(block, new, unit)
    child = new
    for old in ancestors(project, new):
        if child.from_round is None:
            break
        child = old
        if not (new.blend.items() <= old.blend.items() and new.curve.items() <= old.curve.items()):
            continue  # changed by hand since, and so not the same any more
        as_old = replace(new, take_in=old.take_in, width=old.width, extra=old.extra,
                         blend=old.blend, curve=old.curve)  # fmt: skip
        if _takes_the_same(made, taper(block, as_old, unit)):
            return as_old
    return new


def _takes_the_same(one: Taper, other: Taper) -> bool:
    """Whether two tapers take the same wherever either was asked for something."""
    places = {
        (seam, asked.level)
        for asked in (*one.asked, *other.asked)
        for seam in SEAMS
        if asked.take_in is not None or asked.extra.get(seam)
    }
    return all(abs(_mean_take(one, at) - _mean_take(other, at)) < _SAME for at in places)


def _exactly(mm: float, unit: Unit, known: Sequence[Length]) -> Length:
    """Return a length as it was typed where it says that, else one whose text says it exactly."""
    same = (length for length in known if abs(length.mm - mm) < 1e-6)
    return next(same, None) or from_mm(mm, unit)


def _spelled(mm: float, unit: Unit, known: Sequence[Length]) -> Length:
    """Return a length as `_exactly` does, but a long text cut to four decimals."""
    exact = _exactly(mm, unit, known)
    if len(exact.text) <= _LONGEST or exact in known:
        return exact
    short = f"{mm / factor(unit):.{_FINEST}f}".rstrip("0").rstrip(".")
    return parse_length(f"{short} {unit}", unit, signed=True)
