"""What stands on a piece: which it is, of which leg, how it is cut, design, round and day."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from legtaper.model.project import PanelName, Side
from legtaper.model.safe_text import clean
from legtaper.muslin.log import stamp
from legtaper.outputs.drawing import SEEN, Layer
from legtaper.pattern import Fit

LegChoice = Literal["narrowed", "unaltered", "both"]
OneLeg = Literal["narrowed", "unaltered"]

_LEGS: dict[OneLeg, str] = {"narrowed": "narrowed", "unaltered": "as the block"}
_PAIRS: dict[OneLeg, str] = {"narrowed": "narrowed leg", "unaltered": "leg as the block"}
_NAME = 40


@dataclass(frozen=True, slots=True)
class Printing:
    """What is printed: which leg or both, on which day, and which leg is the narrowed one.

    One leg alone is for both sides, as a pair; of two legs each has its side.
    """

    leg: LegChoice = "narrowed"
    on: date | None = None
    narrowed: Side = "right"

    @property
    def legs(self) -> tuple[OneLeg, ...]:
        """Return the legs in the order in which they are drawn."""
        return ("narrowed", "unaltered") if self.leg == "both" else (self.leg,)

    def side(self, leg: OneLeg) -> Side | None:
        """Return the side of a leg, `None` where its pieces are for both."""
        if self.leg != "both":
            return None
        other: Side = "left" if self.narrowed == "right" else "right"
        return self.narrowed if leg == "narrowed" else other


PAIR = Printing()
"""The narrowed leg, its pieces for both sides, without a day."""


@dataclass(frozen=True, slots=True)
class Place:
    """Which piece it is: of which leg and panel, and the how manieth of how many."""

    panel: PanelName
    leg: OneLeg
    number: int
    count: int
    facing: bool = False


def leg_words(printing: Printing, leg: OneLeg) -> str:
    """Return the name of a leg: "RIGHT LEG, narrowed", or "narrowed leg" for a pair."""
    side = printing.side(leg)
    return f"{side.upper()} LEG, {_LEGS[leg]}" if side else _PAIRS[leg]


def cut_words(printing: Printing, place: Place) -> tuple[str, str]:
    """Return how often a piece is cut, and which way up it lies on the right side of the fabric.

    Face up, front and back give the right leg: the outseam of the front lies at its left, that of
    the back at its right. A facing ends up inside out, so it lies the other way up.
    """
    side = printing.side(place.leg)
    if side is None:
        up, over = ("LEFT", "RIGHT") if place.facing else ("RIGHT", "LEFT")
        return "cut 2 (one pair)", f"{up} face up, {over} turn over"
    is_up = (side == "right") != place.facing
    return "cut 1", "face up" if is_up else "turn over"


def piece_title(printing: Printing, place: Place) -> str:
    """Return the name of a piece, as lists and drawing programs show it."""
    part = f"{place.panel.capitalize()}{' hem facing' if place.facing else ''}"
    return f"{part}, {leg_words(printing, place.leg)}"


def panel_lines(
    fit: Fit, printing: Printing, place: Place, layers: Collection[Layer]
) -> Iterator[tuple[str, float]]:
    """Yield the lines of words in a panel, from the top down, each with its size in mm.

    layers: of the lines that are drawn; a panel with a join has no top of its own.
    """
    yield f"{place.panel.upper()} - {leg_words(printing, place.leg)}", 6
    if "join" in layers:
        yield "ADD YOUR OWN TOP, with its allowances, before you cut", 4
    count, up = cut_words(printing, place)
    numbered = f"piece {place.number} of {place.count}: {count}"
    if printing.side(place.leg):
        yield f"{numbered}, {up}", 4
    else:  # which is too long for one line of a narrow leg
        yield numbered, 4
        yield up, 4
    if place.leg == "narrowed":
        yield f"design: {clean(fit.design.name, _NAME)}", 4
    yield clean(fit.project.name, _NAME), 4
    is_test = printing.leg != "narrowed"
    yield stamp(fit.project, fit.design, printing.on, is_test=is_test), 4
    yield from ((line, 4) for line in _line_words(layers))


def _line_words(layers: Collection[Layer]) -> list[str]:
    """Return what each line on a piece is, by its look, three to a row."""
    said = [words for layer, words in SEEN.items() if layer in layers]
    return ["; ".join(said[at : at + 3]) for at in range(0, len(said), 3)]


def facing_lines(printing: Printing, place: Place) -> tuple[str, str]:
    """Return the two lines of words in a facing."""
    name = f"{place.panel.upper()} HEM FACING - {leg_words(printing, place.leg)}"
    joint = ", " if printing.side(place.leg) else ": "
    number = f"piece {place.number} of {place.count}"
    return name, f"{number}: {joint.join(cut_words(printing, place))}; the same of interfacing"
