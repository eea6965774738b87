"""The moves that may mend a finding: what can be changed, on ruler steps, the least change first.

A check names its moves (`Check.moves`). A move yields changes; whether one helps is for the checks
to say. What the wearer asked for at a level is changed only where it is what was found fault with.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

from legtaper.checks.base import Finding, edges_of
from legtaper.checks.ease import BENT_MINIMUM, EASE_MINIMUM
from legtaper.leg.taper import nearest_ruled_blend
from legtaper.leg.widths import extras_at, take_in_for
from legtaper.model.lengths import say_length
from legtaper.model.levels import ABOVE_HEM
from legtaper.model.project import PANELS, SEAMS, SeamName, Unit
from legtaper.pattern import Fit
from legtaper.remedies.changes import Change

_FINE: Mapping[Unit, tuple[float, str]] = {"in": (25.4 / 8, "1/8in"), "cm": (1.0, "1mm")}
_FINEST: Mapping[Unit, tuple[float, str]] = {"in": (25.4 / 16, "1/16in"), "cm": (1.0, "1mm")}
_COARSE: Mapping[Unit, float] = {"in": 25.4, "cm": 20.0}
_HEM_STEP: Mapping[Unit, float] = {"in": 12.7, "cm": 10.0}
_ROOM: Mapping[Unit, float] = {"in": 6.35, "cm": 5.0}
_MOST_ROOM = 6  # steps of it that are tried on the back panel alone
_MOST = 30  # changes that one move yields
NEARLY = 13.0
"""mm, 1/2 in: a hem that lacks less is made wider before anything else:
common practice."""

_TUG = 6.35  # mm, what a hem in firm fabric has to spare: common practice
_DEPTHS: Mapping[Unit, tuple[str, ...]] = {
    "in": ("1 1/4 in", "1 in", "3/4 in", "1/2 in"), "cm": ("3 cm", "2.5 cm", "2 cm", "1 cm"),
}  # fmt: skip


def on_ruler(mm: float, unit: Unit, *, up: bool = True, finest: bool = False) -> tuple[float, str]:
    """Return the mark of a ruler at or beyond a length: mm, and its text in the unit."""
    step, name = (_FINEST if finest else _FINE)[unit]
    count = math.ceil(mm / step - 1e-6) if up else math.floor(mm / step + 1e-6)
    mark = count * step
    said = say_length(mark, unit, name) if unit == "in" else say_length(mark, unit)
    return mark, said


def asked_width(fit: Fit, level: str, mm: float, *, up: bool = True) -> Change:
    """Return the change that makes a level at least (or at most) so wide, as it was asked for."""
    design, unit = fit.design, fit.project.length_unit
    if level in design.take_in:
        own = float(fit.block.circumference(fit.block.heights[level]))
        take = max(0.0, take_in_for(own, mm, extras_at(design, level)))
        return {f"take_in.{level}": on_ruler(take, unit, up=not up, finest=True)[1]}
    return {f"width.{level}": on_ruler(mm, unit, up=up)[1]}


# --- each move -------------------------------------------------------------------------------


def _wider_hem(fit: Fit, finding: Finding) -> Iterator[Change]:
    """Yield hems wider by the least that may do, then for a failure by steps up to the block's."""
    now, unit = fit.taper.finished["hem"], fit.project.length_unit
    block = fit.block.widths["hem"]
    stretch = 1 + fit.project.fabric.usable_stretch
    wanted = []
    if finding.id in ("hem-opening", "slit") and fit.foot:
        wanted = [fit.foot.mm / stretch, fit.foot.mm / stretch + _TUG]
    if finding.id == "ease-ankle" and fit.project.wearer.ankle:
        wanted = [fit.project.wearer.ankle.mm / stretch]
    step = max(_HEM_STEP[unit], (block - now) / _MOST)
    steps = [now + step * count for count in range(1, _MOST + 1)]
    for width in (*wanted, *(steps if finding.status == "fail" else ())):
        if now + 0.01 < width <= block:
            yield asked_width(fit, "hem", width)


def _slit(fit: Fit, _: Finding) -> Iterator[Change]:
    """Yield the slit that the program places, and the lowest that the hem leaves open."""
    if fit.design.slit != "auto":
        yield {"slit.height": "auto"}
    least = on_ruler(fit.slit.shortest, fit.project.length_unit)[1]
    yield {"slit.height": least}
    if fit.design.slit != "none":
        yield {"slit.height": "none"}


def _blend(seam: SeamName) -> Callable[[Fit, Finding], Iterator[Change]]:
    def heights(fit: Fit, _: Finding) -> Iterator[Change]:
        unit = fit.project.length_unit
        now = max(fit.taper.seams[edge].blend for edge in edges_of(seam))
        if fit.design.style == "straight":
            near = nearest_ruled_blend(fit.taper, fit.design, seam, unit)
            if near is not None and abs(near.mm - now) > 0.5:
                yield blended(fit, seam, near.text)
        for mark in _marks(fit, seam, now):
            yield blended(fit, seam, on_ruler(mark, unit)[1])

    return heights


def _below_pocket(fit: Fit, _: Finding) -> Iterator[Change]:
    """Yield the outseam blended where the pocket ends, then lower and lower."""
    end, unit = fit.project.block.pocket_end, fit.project.length_unit
    if end is None:
        return
    mark, said = on_ruler(end.mm, unit, up=False)
    if mark > fit.taper.last_asked("outseam"):
        yield blended(fit, "outseam", said)
    for lower in _marks(fit, "outseam", end.mm):
        if lower < mark:
            yield blended(fit, "outseam", on_ruler(lower, unit)[1])


def _marks(fit: Fit, seam: SeamName, now: float) -> list[float]:
    """Return the heights at which a seam may blend, the nearest first."""
    step, top = _COARSE[fit.project.length_unit], fit.block.blend_top(seam)
    low = fit.taper.last_asked(seam)
    marks = [count * step for count in range(math.ceil(low / step) + 1, int(top / step) + 1)]
    marks = [mark for mark in marks if abs(mark - now) > step / 4]
    return sorted(marks, key=lambda mark: abs(mark - now))[:_MOST]


def blended(fit: Fit, seam: SeamName, height: str, *, keep_curve: bool = False) -> Change:
    """Return the change of a blend; a curve that was asked for below the old one goes with it."""
    change: dict[str, str | None] = {f"blend.{seam}": height}
    if seam in fit.design.curve and not keep_curve:
        change[f"blend.{seam}_curve"] = None
    return change


def _both_blends(fit: Fit, _: Finding) -> Iterator[Change]:
    """Yield both seams blended at one height, from the highest downwards."""
    top = max(fit.taper.seams[edge].blend for edge in edges_of("inseam"))
    lowest = max(fit.taper.last_asked(seam) for seam in SEAMS)
    step, unit = _COARSE[fit.project.length_unit], fit.project.length_unit
    mark = math.floor(top / step + 1e-6) * step
    while mark > lowest + step / 2:
        height, change = on_ruler(mark, unit)[1], dict[str, str | None]()
        for seam in SEAMS:
            if abs(fit.taper.seams[edges_of(seam)[0]].blend - mark) > step / 4:
                change |= blended(fit, seam, height)
        yield change
        mark -= step


def _curve(seam: SeamName) -> Callable[[Fit, Finding], Iterator[Change]]:
    def lengths(fit: Fit, _: Finding) -> Iterator[Change]:
        unit, trued = fit.project.length_unit, fit.taper.seams[edges_of(seam)[0]]
        if trued.eased is None:
            return
        step, last = 2 * _COARSE[unit], fit.taper.last_asked(seam)
        most = 0.9 * (trued.blend - last) if last else trued.blend
        marks = [count * step for count in range(1, int(most / step) + 1)]
        for mark in sorted(marks, key=lambda mark: abs(mark - trued.curve)):
            if abs(mark - trued.curve) > step / 4:
                yield {f"blend.{seam}_curve": on_ruler(mark, unit)[1]}

    return lengths


def _width_at(level: str) -> Callable[[Fit, Finding], Iterator[Change]]:
    def widths(fit: Fit, finding: Finding) -> Iterator[Change]:
        """Yield a width there: what an ease needs, or else what is there, alike on all edges."""
        given = {*fit.design.width, *fit.design.take_in}
        if level not in fit.taper.finished or (level in given and finding.where != level):
            return
        now, block = fit.taper.finished[level], fit.block.widths[level]
        wanted = _wanted(fit, finding, level)
        if not wanted and level not in given:
            wanted = [now]
        for width in wanted:
            if now - 0.01 <= width <= block - 0.5:
                yield asked_width(fit, level, width)
        if level in given and wanted and max(wanted) > block - 0.5:
            kind = "width" if level in fit.design.width else "take_in"
            yield {f"{kind}.{level}": None}

    return widths


def _wanted(fit: Fit, finding: Finding, level: str) -> list[float]:
    """Return the widths that the ease at a level needs, mm: not to fail, and to pass."""
    if finding.id == "ease-calf-up" and level == "calf" and finding.value is not None:
        lacks = (finding.limit or 0.0) - finding.value
        return [fit.taper.finished[level] + share * lacks for share in (1.0, 1.5, 2.0, 3.0)]
    if finding.id not in ("ease-knee-bent", f"ease-{level}") or finding.where != level:
        return []
    bent = finding.id == "ease-knee-bent"
    girth = getattr(fit.project.wearer, "knee_bent" if bent else level)
    fabric, unit = fit.project.fabric, fit.project.length_unit
    least = BENT_MINIMUM[unit] if bent else EASE_MINIMUM[unit]
    if fabric.kind == "knit":
        least = 0.0
    elif fabric.stretches:
        least = 0.0 if bent else least / 2
    return [girth.mm / (1 + fabric.usable_stretch), girth.mm + least]


def _room_at_back(fit: Fit, finding: Finding) -> Iterator[Change]:
    """Yield room on the back panel alone where the leg catches, as far as the block has some."""
    level, unit = finding.where, fit.project.length_unit
    if level not in fit.taper.finished:
        return
    for count in range(1, _MOST_ROOM + 1):
        if change := roomier_back(fit, level, count * _ROOM[unit]):
            yield change


def roomier_back(fit: Fit, level: str, room: float) -> Change:
    """Return the change that leaves the back panel alone `room` mm more, the front as it is.

    Nothing where the block's back has no more there.
    """
    design, unit = fit.design, fit.project.length_unit
    if room > 2 * min(fit.taper.taken(edge, level) for edge in PANELS["back"]) + 1e-6:
        return {}
    had = design.back_room[level].mm if level in design.back_room else 0.0
    asked = design.width.get(level)
    wider: Change = asked_width(fit, level, asked.mm + room) if asked else {}
    return {**wider, f"back_room.{level}": on_ruler(had + room, unit)[1]}


def _style(fit: Fit, _: Finding) -> Iterator[Change]:
    yield {"blend.style": "straight" if fit.design.style == "follow" else "follow"}


def faced_hem(fit: Fit) -> Change:
    """Return the change that faces the hem; empty where it is faced already."""
    if fit.hem.style == "faced":
        return {}
    no_fold: Change = {"hem.turn_under": None} if fit.design.hem.turn_under else {}
    return {"hem.style": "faced", **no_fold}


def _faced(fit: Fit, _: Finding) -> Iterator[Change]:
    if change := faced_hem(fit):
        yield change


def _depth(fit: Fit, _: Finding) -> Iterator[Change]:
    for text in _DEPTHS[fit.project.length_unit]:
        yield {"hem.depth": text}


def _even(fit: Fit, _: Finding) -> Iterator[Change]:
    """Yield the same off all edges where one seam gives more: at each level, and at all."""
    found: list[Change] = []
    for level in dict.fromkeys(name for at in fit.design.extra.values() for name in at):
        change: dict[str, str | None] = {
            f"extra.{seam}.{level}": None
            for seam in SEAMS
            if level in fit.design.extra.get(seam, {})
        }
        if level in fit.design.take_in:
            taken = fit.block.widths[level] - fit.taper.finished[level]
            text = on_ruler(max(0.0, taken / 4), fit.project.length_unit, finest=True)[1]
            change[f"take_in.{level}"] = text
        elif level not in fit.design.width and level in fit.block.widths:
            change |= asked_width(fit, level, fit.taper.finished[level])
        found.append(change)
    yield from found
    if len(found) > 1:
        yield {key: text for change in found for key, text in change.items()}


def _unasked(fit: Fit, finding: Finding) -> Iterator[Change]:
    """Yield a level no longer asked for: its extras gone, its width, and all that is said of it."""
    level, design = finding.where, fit.design
    extras: dict[str, str | None] = {
        f"extra.{seam}.{level}": None for seam, levels in design.extra.items() if level in levels
    }
    asked: dict[str, str | None] = {
        f"{part}.{level}": None
        for part in ("width", "take_in", "shift", "back_room")
        if level in getattr(design, part)
    }
    yield from (change for change in (extras, asked) if change)
    if extras and asked:
        yield {**extras, **asked}


def _without(fit: Fit, _: Finding) -> Iterator[Change]:
    """Yield each width above the hem left to the taper, from the thigh down, and all of them."""
    design = fit.design
    found: list[Change] = []
    for level in ABOVE_HEM:
        asked: Change = {
            f"{part}.{level}": None
            for part in ("width", "take_in")
            if level in getattr(design, part)
        }
        if asked:
            found.append(asked)
    yield from found
    if len(found) > 1:
        yield {key: text for change in found for key, text in change.items()}


def _usual_blend(_fit: Fit, _: Finding) -> Iterator[Change]:
    yield {"blend.outseam": None}


Move = Callable[[Fit, Finding], Iterator[Change]]

MOVES: Mapping[str, Move] = {
    "wider hem": _wider_hem,
    "slit": _slit,
    "blend outseam": _blend("outseam"),
    "blend inseam": _blend("inseam"),
    "blend both": _both_blends,
    "curve outseam": _curve("outseam"),
    "curve inseam": _curve("inseam"),
    "width calf": _width_at("calf"),
    "width knee": _width_at("knee"),
    "width thigh": _width_at("thigh"),
    "room at the back": _room_at_back,
    "style": _style,
    "faced hem": _faced,
    "shallower hem": _depth,
    "even out": _even,
    "not asked": _unasked,
    "usual blend": _usual_blend,
    "below the pocket": _below_pocket,
    "width left open": _without,
}
"""What a check may name in `Check.moves`."""
