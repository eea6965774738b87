"""Changes of a design that a sign in the muslin asks for, each with its amount.

Every change takes the fit that was sewn and the spot where the sign was seen, and returns the
design that comes of it, or `None` where there is nothing to change there. Whether it helps is for
the checks to say. The amounts are starts: common practice, but where a source is named.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from legtaper.geometry.seam import TruedSeam
from legtaper.leg.block import Block
from legtaper.model.lengths import Length, parse_length, say_length
from legtaper.model.project import (
    EDGES,
    LEGS,
    SEAMS,
    Design,
    Pinch,
    Project,
    ProjectError,
    Round,
    SeamName,
    Unit,
    seam_of,
)
from legtaper.model.safe_text import clean
from legtaper.muslin.next_design import even_out, next_design
from legtaper.pattern import Fit

_LEAST = 1.0  # mm; a smaller change cannot be sewn: common practice
_LEAST_ROOM = 3.0  # mm around the leg; less is not felt: common practice
_SHALLOWEST = 12.0  # mm of a fold-up: common practice
_SHORTEST = 20.0  # mm of a curve: common practice

_SPENT = "the block has no more there"

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
        return ", ".join(word for word in (self.legs, self.level, self.seam) if word)

    @property
    def is_the_blocks(self) -> bool:
        """Whether the unaltered leg shows it, so that narrowing is not its cause."""
        return self.legs in ("unaltered", "both")


def read_spot(text: str, block: Block) -> Spot:
    """Read a spot, its words in any order. Raises `ProjectError` for a word it cannot place."""
    found: dict[str, str] = {}
    levels = {level.replace("_", " "): level for level in block.heights}
    for word in (part.strip().lower() for part in text.split(",") if part.strip()):
        if word in LEGS:
            found["legs"] = word
        elif word in SEAMS:
            found["seam"] = word
        elif word.replace("_", " ") in levels:
            found["level"] = levels[word.replace("_", " ")]
        else:
            raise ProjectError(
                "sign",
                f'"{clean(word, 30)}" is no place; say which leg ({", ".join(LEGS)}), a level '
                f"({', '.join(levels)}) or a seam ({', '.join(SEAMS)}), with commas between",
            )
    return Spot(**found)


Amount = Mapping[Unit, str]
"""How much, by the unit that the project is shown in."""
HALF_INCH: Amount = {"in": "1/2 in", "cm": "1.2 cm"}
INCH: Amount = {"in": "1 in", "cm": "2.5 cm"}
TWO_INCHES: Amount = {"in": "2 in", "cm": "5 cm"}
_TO_SPARE: Amount = {"in": "1/4 in", "cm": "0.6 cm"}
EIGHTH: Amount = {"in": "1/8 in", "cm": "0.3 cm"}


@dataclass(frozen=True, slots=True)
class Cure:
    """One change: what it is, in words with an {amount}, and the design that it makes.

    spent: what is so where there is nothing to change; "" where that need not be told.
    """

    says: str
    apply: Callable[[Fit, Spot], Design | None]
    amount: Amount | None = None
    spent: str = ""

    def text(self, unit: Unit) -> str:
        """Say the change with its amount."""
        return self.says.format(amount=self.amount[unit] if self.amount else "")


def _mm(amount: Amount, fit: Fit) -> float:
    unit = fit.project.length_unit
    return parse_length(amount[unit], unit).mm


def _length(mm: float, fit: Fit) -> Length:
    """Return a length as a ruler shows it."""
    unit = fit.project.length_unit
    return parse_length(say_length(mm, unit), unit)


# --- width around the leg ---------------------------------------------------------------------


def room(levels: tuple[str, ...], amount: Amount) -> Cure:
    """Return more width around the leg at the levels; without one, at the level of the spot.

    It never asks for more than the block has there.
    """

    def apply(fit: Fit, spot: Spot) -> Design | None:
        here = levels or ((spot.level,) if spot.level in fit.taper.finished else ("knee",))
        design = fit.design
        for level in here:
            design = _wider(fit, design, level, fit.taper.finished[level] + _mm(amount, fit))
        return None if design is fit.design else design

    where = " and ".join(f"the {level}" for level in levels) or "that level"
    return Cure(f"{{amount}} more around the leg at {where}", apply, amount, _SPENT)


def _wider(fit: Fit, design: Design, level: str, wanted: float) -> Design:
    most = float(fit.block.circumference(fit.block.heights[level]))
    mm = min(wanted, most)
    if mm - fit.taper.finished[level] < _LEAST_ROOM:
        return design  # the block itself has no more there
    take_in = {name: length for name, length in design.take_in.items() if name != level}
    return replace(design, take_in=take_in, width={**design.width, level: _length(mm, fit)})


def foot_passes() -> Cure:
    """Return the hem wider by the least that lets the foot through without force."""

    def apply(fit: Fit, _: Spot) -> Design | None:
        need, now = 0.0, fit.taper.finished["hem"]
        if fit.foot is not None:
            need = fit.foot.mm / (1 + fit.project.fabric.usable_stretch) + _mm(_TO_SPARE, fit)
        if need - now < _LEAST_ROOM:  # by the numbers it passes, and yet it tugs
            need = now + _mm(HALF_INCH, fit)
        design = _wider(fit, fit.design, "hem", need)
        return None if design is fit.design else design

    return Cure("the hem wider by the least that lets the foot through", apply, None, _SPENT)


def slit() -> Cure:
    """Return a slit as high as the foot needs it."""

    def apply(fit: Fit, _: Spot) -> Design | None:
        return None if fit.design.slit == "auto" else replace(fit.design, slit="auto")

    return Cure("a slit as high as the foot needs it", apply)


def pinch(level: str, seam: SeamName, amount: Amount) -> Cure:
    """Return the seam taken in at a level by so much on each of its edges, as a pinch does."""

    def apply(fit: Fit, _: Spot) -> Design | None:
        unit = fit.project.length_unit
        one = Pinch(level, seam, parse_length(amount[unit], unit))
        project = fit.project.with_design(fit.design)
        project = replace(project, rounds=(*project.rounds, Round(fit.design.name, pinches=(one,))))
        return next_design(project, fit.block, len(project.rounds), fit.design.name)

    return Cure(f"{{amount}} taken off each edge of the {seam} at the {level}", apply, amount)


def even() -> Cure:
    """Return the same off all four edges, where one seam took more than the other."""

    def apply(fit: Fit, _: Spot) -> Design | None:
        if not any(fit.design.extra.values()):
            return None
        project: Project = fit.project.with_design(fit.design)
        return even_out(project, fit.block, fit.design)

    return Cure("the same off all four edges", apply)


# --- where and how the seams blend -------------------------------------------------------------


def blend(by: int, amount: Amount, seams: tuple[SeamName, ...] = ()) -> Cure:
    """Return the blend higher (`by` 1) or lower (-1); without seams, that of the spot, or both."""

    def apply(fit: Fit, spot: Spot) -> Design | None:
        design = fit.design
        for seam in seams or _seams(spot):
            now = _trued(fit, seam).blend
            new = min(now + by * _mm(amount, fit), fit.block.blend_top(seam))
            if abs(new - now) >= _LEAST and new > 0:
                curve = {name: mm for name, mm in design.curve.items() if name != seam or by > 0}
                blends = {**design.blend, seam: _length(new, fit)}
                design = replace(design, blend=blends, curve=curve)
        return None if design is fit.design else design

    what = f"the {' and '.join(seams)} blended" if seams else "the blend"
    return Cure(f"{what} {{amount}} {'higher' if by > 0 else 'lower'}", apply, amount)


def curve(by: int, amount: Amount) -> Cure:
    """Return the curve below the blend longer (`by` 1) or shorter (-1)."""

    def apply(fit: Fit, spot: Spot) -> Design | None:
        design = fit.design
        for seam in _seams(spot):
            trued = _trued(fit, seam)
            if trued.eased is None:
                continue
            new = max(trued.curve + by * _mm(amount, fit), _SHORTEST)
            if abs(new - trued.curve) >= _LEAST:
                design = replace(design, curve={**design.curve, seam: _length(new, fit)})
        return None if design is fit.design else design

    return Cure(f"the curve {{amount}} {'longer' if by > 0 else 'shorter'}", apply, amount)


def _seams(spot: Spot) -> tuple[SeamName, ...]:
    return tuple(seam for seam in SEAMS if seam == spot.seam) or SEAMS


def _trued(fit: Fit, seam: SeamName) -> TruedSeam:
    return next(fit.taper.seams[edge] for edge in EDGES if seam_of(edge) == seam)


# --- the hem -----------------------------------------------------------------------------------


def shallower(amount: Amount) -> Cure:
    """Return a fold-up that is less deep."""

    def apply(fit: Fit, _: Spot) -> Design | None:
        new = max(fit.hem.depth - _mm(amount, fit), _SHALLOWEST + fit.hem.turn_under)
        if fit.hem.style == "faced" or fit.hem.depth - new < _LEAST:
            return None
        return replace(fit.design, hem=replace(fit.design.hem, depth=_length(new, fit)))

    return Cure("a fold-up {amount} less deep", apply, amount)


def faced() -> Cure:
    """Return a shaped hem with a facing."""

    def apply(fit: Fit, _: Spot) -> Design | None:
        if fit.hem.style == "faced":
            return None
        return replace(fit.design, hem=replace(fit.design.hem, style="faced", turn_under=None))

    return Cure("a shaped hem with a facing", apply)
