"""The moves that a sign in the muslin asks for, each with its amount.

A move takes the fit that was sewn and the spot where the sign was seen, and returns the change of
the design, empty where there is nothing to change there. It is tried as what mends a check is
(`remedies/trying.py`). The amounts are starts: common practice, but where a source is named.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Literal, get_args

from legtaper.checks.base import edges_of
from legtaper.geometry.seam import TruedSeam
from legtaper.leg.block import Block
from legtaper.model.lengths import Length, from_mm, parse_length, say_length
from legtaper.model.levels import say_level
from legtaper.model.project import (
    LEGS,
    SEAMS,
    Design,
    Pinch,
    ProjectError,
    Round,
    SeamName,
    Unit,
)
from legtaper.model.safe_text import clean
from legtaper.model.sentences import listed
from legtaper.muslin.next_design import even_out, next_design
from legtaper.pattern import Fit
from legtaper.remedies.changes import Change, difference
from legtaper.remedies.moves import blended, faced_hem, on_ruler, roomier_back

_LEAST = 1.0  # mm; a smaller change cannot be sewn: common practice
_LEAST_ROOM = 3.0  # mm around the leg; less is not felt: common practice
_SHALLOWEST = 12.0  # mm of a fold-up: common practice
_SHORTEST = 20.0  # mm of a curve: common practice

_NOTHING = 0.01  # mm; rounding

_SPENT = "the block has no more there"

Part = Literal["legs", "level", "seam"]
PARTS: tuple[Part, ...] = get_args(Part)
"""What a spot says: on which leg, at which level, at which seam; in the order of its words."""

Legs = str
"""Which leg shows a sign: "narrowed", "unaltered" or "both"; "" is not said."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a sign was seen: on which leg, at which level, at which seam; "" is not said."""

    legs: Legs = ""
    level: str = ""
    seam: SeamName | str = ""

    def __str__(self) -> str:
        """Spell it as the project file does: "narrowed, knee, outseam"."""
        return ", ".join(filter(None, (getattr(self, part) for part in PARTS)))

    @property
    def is_the_blocks(self) -> bool:
        """Whether the unaltered leg shows it, so that narrowing is not its cause."""
        return self.legs in ("unaltered", "both")


def part_of(word: str, block: Block) -> tuple[Part, str] | None:
    """Return which part of a spot a word is, and its name there; `None` for what is no place."""
    said = word.strip().lower()
    levels = {say_level(level): level for level in block.heights}
    if said in LEGS:
        return "legs", said
    if said in SEAMS:
        return "seam", said
    level = levels.get(say_level(said))
    return ("level", level) if level else None


def read_spot(text: str, block: Block) -> Spot:
    """Read a spot, its words in any order. Raises `ProjectError` for a word it cannot place."""
    found: dict[str, str] = {}
    for word in (part for part in text.split(",") if part.strip()):
        placed = part_of(word, block)
        if placed is None:
            levels = ", ".join(map(say_level, block.heights))
            raise ProjectError(
                "sign",
                f'"{clean(word.strip().lower(), 30)}" is no place; say which leg '
                f"({', '.join(LEGS)}), a level ({levels}) or a seam ({', '.join(SEAMS)}), with "
                "commas between",
            )
        found[placed[0]] = placed[1]
    return Spot(**found)


def moved_to(where: str, part: Part, name: str, block: Block) -> str:
    """Return a spot as it is written, with one of its parts another; "" takes that part out."""
    words = [word.strip() for word in where.split(",") if word.strip()]
    placed = {found[0]: found[1] for word in words if (found := part_of(word, block))}
    placed[part] = name
    kept = [placed.get(one, "") for one in PARTS]
    others = [word for word in words if part_of(word, block) is None]
    return ", ".join(word for word in (*kept, *others) if word)


Amount = Mapping[Unit, str]
"""How much, by the unit that the project is shown in."""
HALF_INCH: Amount = {"in": "1/2 in", "cm": "1.2 cm"}
INCH: Amount = {"in": "1 in", "cm": "2.5 cm"}
TWO_INCHES: Amount = {"in": "2 in", "cm": "5 cm"}
_TO_SPARE: Amount = {"in": "1/4 in", "cm": "0.6 cm"}
EIGHTH: Amount = {"in": "1/8 in", "cm": "0.3 cm"}
FIVE_EIGHTHS: Amount = {"in": "5/8 in", "cm": "1.6 cm"}


@dataclass(frozen=True, slots=True)
class Cure:
    """One change: what it is, in words with an {amount}, and the move that makes it.

    spent: what is so where there is nothing to change; "" where that need not be told. goes_by:
    which part of the spot it depends on. gives_room: the levels at which it makes the leg wider,
    none of them for that of the spot; `None` where it is another change.
    """

    says: str
    move: Callable[[Fit, Spot], Change]
    amount: Amount | None = None
    spent: str = ""
    goes_by: Part | None = None
    gives_room: tuple[str, ...] | None = None

    def text(self, unit: Unit) -> str:
        """Say the change with its amount."""
        return self.says.format(amount=self.amount[unit] if self.amount else "")


def _mm(amount: Amount, fit: Fit) -> float:
    unit = fit.project.length_unit
    return parse_length(amount[unit], unit).mm


def _said(mm: float, fit: Fit, most: float = math.inf) -> str:
    """Return a length as a ruler shows it, the nearest mark or the last one up to the most."""
    unit = fit.project.length_unit
    said = say_length(mm, unit)
    return said if parse_length(said, unit).mm <= most else on_ruler(most, unit, up=False)[1]


# --- width around the leg ---------------------------------------------------------------------


def room(levels: tuple[str, ...], amount: Amount) -> Cure:
    """Return more width around the leg at the levels; without one, at the level of the spot.

    It never asks for more than the block has there.
    """

    def move(fit: Fit, spot: Spot) -> Change:
        here = levels or ((spot.level,) if spot.level in fit.taper.finished else ("knee",))
        change: dict[str, str | None] = {}
        for level in here:
            change |= _wider(fit, level, fit.taper.finished[level] + _mm(amount, fit))
        return change

    where = listed([f"the {level}" for level in levels]) or "that level"
    goes_by: Part | None = None if levels else "level"
    says = f"{{amount}} more around the leg at {where}"
    return Cure(says, move, amount, _SPENT, goes_by, levels)


def room_at_back(level: str, amount: Amount) -> Cure:
    """Return more width at a level on the back panel alone, never more than the block has there."""

    def move(fit: Fit, _: Spot) -> Change:
        at_hand = level in fit.taper.finished
        return roomier_back(fit, level, _mm(amount, fit)) if at_hand else {}

    says = f"{{amount}} more on the back panel alone at the {level}"
    return Cure(says, move, amount, _SPENT, gives_room=(level,))


def _wider(fit: Fit, level: str, wanted: float) -> Change:
    most = float(fit.block.circumference(fit.block.heights[level]))
    if min(wanted, most) - fit.taper.finished[level] < _LEAST_ROOM:
        return {}  # the block itself has no more there
    taken: Change = {f"take_in.{level}": None} if level in fit.design.take_in else {}
    return {**taken, f"width.{level}": _said(wanted, fit, most)}


def foot_passes() -> Cure:
    """Return the hem as wide as lets the foot through without force, and no wider."""

    def move(fit: Fit, _: Spot) -> Change:
        need, now = 0.0, fit.taper.finished["hem"]
        if fit.foot is not None:
            need = fit.foot.mm / (1 + fit.project.fabric.usable_stretch) + _mm(_TO_SPARE, fit)
        if need - now < _LEAST_ROOM:  # by the numbers it passes, and yet it tugs
            need = now + _mm(HALF_INCH, fit)
        return _wider(fit, "hem", need)

    says = "the hem as wide as the foot needs it, and no wider"
    return Cure(says, move, None, _SPENT, gives_room=("hem",))


def slit() -> Cure:
    """Return a slit as high as the foot needs it."""

    def move(fit: Fit, _: Spot) -> Change:
        return {} if fit.design.slit == "auto" else {"slit.height": "auto"}

    return Cure("a slit as high as the foot needs it", move)


def pinch(level: str, seam: SeamName, amount: Amount) -> Cure:
    """Return the seam taken in at a level by so much on each of its edges, as a pinch does."""

    def move(fit: Fit, _: Spot) -> Change:
        unit = fit.project.length_unit
        one = Pinch(level, seam, parse_length(amount[unit], unit))
        project = fit.project.with_design(fit.design)
        project = replace(project, rounds=(*project.rounds, Round(fit.design.name, pinches=(one,))))
        pinched = next_design(project, fit.block, len(project.rounds), fit.design.name)
        return difference(fit.design, pinched, unit)

    return Cure(f"{{amount}} taken off each edge of the {seam} at the {level}", move, amount)


def gave_unlike(design: Design) -> bool:
    """Whether a design takes more off one seam than off the other somewhere."""
    return any(design.extra.values())


def gave_alike(design: Design) -> bool:
    """Whether a design takes the same off all edges."""
    return not gave_unlike(design)


def even() -> Cure:
    """Return the same off all four edges, where one seam took more than the other."""

    def move(fit: Fit, _: Spot) -> Change:
        if not gave_unlike(fit.design):
            return {}
        project = fit.project.with_design(fit.design)
        evened = even_out(project, fit.block, fit.design)
        return difference(fit.design, evened, project.length_unit)

    return Cure("the same off all four edges", move)


def lean(seam: SeamName, amount: Amount) -> Cure:
    """Return the center of the leg moved towards a seam at the hem, and by half at the knee."""

    def move(fit: Fit, _: Spot) -> Change:
        way = 1 if seam == "outseam" else -1
        by = {"hem": way * _mm(amount, fit), "knee": way * _mm(amount, fit) / 2}
        return {
            f"shift.{level}": _added(fit.design.shift.get(level), mm, fit)
            for level, mm in by.items()
            if level in fit.block.heights
        }

    what = f"the center of the leg moved {{amount}} towards the {seam}"
    return Cure(f"{what} at the hem, half of it at the knee", move, amount)


def _added(asked: Length | None, mm: float, fit: Fit) -> str | None:
    """Return what was asked for and so much more; `None` where the two come to nothing."""
    total = (asked.mm if asked else 0.0) + mm
    return from_mm(total, fit.project.length_unit).text if abs(total) > _NOTHING else None


# --- where and how the seams blend -------------------------------------------------------------


def blend(by: int, amount: Amount, seams: tuple[SeamName, ...] = ()) -> Cure:
    """Return the blend higher (`by` 1) or lower (-1); without seams, that of the spot, or both."""

    def move(fit: Fit, spot: Spot) -> Change:
        change: dict[str, str | None] = {}
        for seam in seams or _seams(spot):
            now = _trued(fit, seam).blend
            new, top = now + by * _mm(amount, fit), fit.block.blend_top(seam)
            if abs(min(new, top) - now) >= _LEAST and new > 0:
                change |= blended(fit, seam, _said(new, fit, top), keep_curve=by > 0)
        return change

    what = "the blend" if seams in ((), SEAMS) else f"the {' and '.join(seams)} blended"
    says = f"{what} {{amount}} {'higher' if by > 0 else 'lower'}"
    return Cure(says, move, amount, goes_by=None if seams else "seam")


def curve(by: int, amount: Amount, seams: tuple[SeamName, ...] = ()) -> Cure:
    """Return the curve below the blend longer (`by` 1) or shorter (-1), as `blend` does."""

    def move(fit: Fit, spot: Spot) -> Change:
        change: dict[str, str | None] = {}
        for seam in seams or _seams(spot):
            trued = _trued(fit, seam)
            if trued.eased is None:
                continue
            new = max(trued.curve + by * _mm(amount, fit), _SHORTEST)
            if abs(new - trued.curve) >= _LEAST:
                change[f"blend.{seam}_curve"] = _said(new, fit)
        return change

    says = f"the curve {{amount}} {'longer' if by > 0 else 'shorter'}"
    return Cure(says, move, amount, goes_by=None if seams else "seam")


def _seams(spot: Spot) -> tuple[SeamName, ...]:
    return tuple(seam for seam in SEAMS if seam == spot.seam) or SEAMS


def _trued(fit: Fit, seam: SeamName) -> TruedSeam:
    return fit.taper.seams[edges_of(seam)[0]]


# --- the hem -----------------------------------------------------------------------------------


def shallower(amount: Amount) -> Cure:
    """Return a fold-up that is less deep."""

    def move(fit: Fit, _: Spot) -> Change:
        new = max(fit.hem.depth - _mm(amount, fit), _SHALLOWEST + fit.hem.turn_under)
        if fit.hem.style == "faced" or fit.hem.depth - new < _LEAST:
            return {}
        return {"hem.depth": _said(new, fit)}

    return Cure("a fold-up {amount} less deep", move, amount)


def faced() -> Cure:
    """Return a shaped hem with a facing."""
    return Cure("a shaped hem with a facing", lambda fit, _: faced_hem(fit))


def leg_end(by: int, amount: Amount) -> Cure:
    """Return the leg ended higher (`by` 1) or lower (-1)."""

    def move(fit: Fit, _: Spot) -> Change:
        return {"hem.height": _added(fit.design.hem.height, by * _mm(amount, fit), fit)}

    return Cure(f"a leg that ends {{amount}} {'higher' if by > 0 else 'lower'}", move, amount)
