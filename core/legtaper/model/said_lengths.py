"""Lengths as a person is told them: how finely, rounded to which side, and beside another one."""

from __future__ import annotations

import math
import re
from typing import Final, Literal

from legtaper.model.lengths import (
    RULER_STEP,
    STEPS,
    Length,
    decimal,
    default_step,
    factor,
    mixed,
    round_to,
    say_length,
)

_ALIKE: Final = 0.01  # mm
_FOUND: Final = 2e-4  # steps

Side = Literal["at least", "at most"]


def bound(mm: float, unit: str, side: Side, step: str | None = None) -> float:
    """Return the length, mm, at or beyond a bound that is said exactly: up for a least, else down.

    A bound that was searched for lies up to 1e-4 mm beside the length that it is. step: see
    `say_length`.
    """
    parts, of = STEPS[step or default_step(unit)]
    steps = mm * parts / factor(of)
    count = math.ceil(steps - _FOUND) if side == "at least" else math.floor(steps + _FOUND)
    return count * factor(of) / parts


def say_bound(mm: float, unit: str, side: Side, step: str | None = None) -> str:
    """Say a bound so that what is said keeps it: rounded up where it is a least, else down."""
    return say_length(bound(mm, unit, side, step), unit, step)


def fine_step(unit: str) -> str | None:
    """Return the step, for `say_length`, of what is a ruler's matter rather than a tape's."""
    return RULER_STEP[unit] if unit == "in" else None  # in cm and mm both read a millimeter


def say_fine(mm: float, unit: str) -> str:
    """Say a length to what a ruler shows, in the unit that is counted in: 1/16 in, or 1 mm."""
    return say_length(mm, unit, fine_step(unit))


def say_up_to(mm: float, top: float, unit: str) -> str:
    """Say a length that must not be more than `top`, mm: where its nearest is, what is below."""
    if round_to(mm, default_step(unit)) <= top + _ALIKE:
        return say_length(mm, unit)
    return say_bound(mm, unit, "at most", fine_step(unit))


def say_small(mm: float, unit: str) -> str:
    """Say a length that is small for a tape: "2.4 mm", or "3/32 in" in inches.

    From 1 cm on it is no longer small, and is said in centimeters where those are counted in.

    What rounds to nothing is said to be less than what shows. `unit` is "in", or "cm" or "mm".
    """
    if unit == "cm" and abs(mm) >= 10:
        return say_length(mm, unit)
    if unit != "in":
        return f"{mm:.1f} mm" if abs(mm) >= 0.05 else "less than 0.1 mm"
    count = math.floor(abs(mm) * 32 / factor("in") + 0.5)
    return f"{mixed(count, 32)} in" if count else "less than 1/32 in"


def say_apart(first: float, second: float, unit: str, *, around: bool = False) -> tuple[str, str]:
    """Say two lengths with as many digits as it takes to show that they differ.

    Less than 0.01 mm apart counts as alike. `around`: as `say_around` does.
    """
    steps = [fine_step(unit)] if around else [None, fine_step(unit)]
    ways = [[say_length(mm, unit, step) for mm in (first, second)] for step in steps]
    for places in (2, 3, 4):
        exact = (decimal(mm / factor(unit), places) for mm in (first, second))
        ways.append([f"{value} {unit}" for value in exact])
    apart = (way for way in ways if way[0] != way[1])
    one, other = next(apart, ways[-1]) if abs(first - second) >= _ALIKE else ways[0]
    return one, other


def say_less(was: float, now: float, unit: str) -> tuple[str, str, str]:
    """Say two widths around the leg and by how much the second is less: the three add up."""
    step = fine_step(unit) or default_step(unit)
    first, second = round_to(was, step), round_to(now, step)
    return say_around(was, unit), say_around(now, unit), say_around(first - second, unit)


def say_ruled(mm: float, unit: str) -> str:
    """Say a length to what a ruler shows, as it is read there: the nearest 1/16 in, or mm."""
    return say_length(mm, unit, RULER_STEP[unit])


def say_around(mm: float, unit: str, *, exact: bool = False) -> str:
    """Say a width around the leg, or the ease that it leaves: to 1/16 in, else to 1 mm.

    Whatever shows a width asks this. `exact`: the exact one beside it, as `say_both` does.
    """
    return _both(mm, unit, fine_step(unit)) if exact else say_fine(mm, unit)


def say_exact(mm: float, unit: str) -> str:
    """Say a length in decimals, "2.53 in" or "6.43 cm"; a third one where that makes it exact."""
    value = mm / factor(unit)
    return f"{decimal(value, 3 if _is_thousandths(value) else 2)} {unit}"


def say_both(mm: float, unit: str) -> str:
    """Say the rounded length, with the exact one beside it where they differ: "2 1/2 in (2.53)"."""
    return _both(mm, unit, None)


def _both(mm: float, unit: str, step: str | None) -> str:
    rounded = say_length(mm, unit, step)
    apart = abs(round_to(mm, step or default_step(unit)) - mm) / factor(unit)
    # Less would not show in two decimals.
    return rounded if apart < 0.005 else f"{rounded} ({say_exact(mm, unit).split()[0]})"


_FEET = re.compile(r"\d ?(?:ft|feet|foot|['’′](?!['’′]))")


def understood(length: Length) -> str:
    """Echo what was typed and how it was read: "2 1/2 in = 63.5 mm", "5'6 = 66 in = 1676.4 mm"."""
    feet = f"{say_exact(length.mm, 'in')} = " if _FEET.search(length.text) else ""
    return f"{length.text} = {feet}{say_exact(length.mm, 'mm')}"


def _is_thousandths(value: float) -> bool:
    return abs(value - round(value, 3)) < 1e-9
