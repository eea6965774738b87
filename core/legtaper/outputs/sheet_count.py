"""How much paper a pattern takes, said before it is written."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from legtaper.outputs.formats import Options, drawn, fronts_of
from legtaper.outputs.papers import PaperError, paper
from legtaper.outputs.piece_words import LegChoice
from legtaper.outputs.printing import TRUE, corrected
from legtaper.outputs.tiles import Tiling
from legtaper.outputs.whole_words import pages_of
from legtaper.pattern import Pattern

_ROLLS = {"in": "roll:36in", "cm": "roll:91cm"}  # plotters' usual width; common practice
_TAKES: Mapping[LegChoice, str] = {
    "narrowed": "The narrowed leg takes",
    "both": "Both legs take",
    "unaltered": "The leg as the block takes",
}
_OTHER: Mapping[LegChoice, LegChoice] = {"narrowed": "both", "both": "narrowed"}
"""The choice that is told beside each."""


def tiling_of(pattern: Pattern, options: Options) -> Tiling:
    """Return the pages of a pattern. Raises `PaperError`."""
    return pages_of(drawn(pattern, options), corrected(paper(options.paper), options.correction))


def count_lines(pattern: Pattern, options: Options) -> tuple[str, ...]:
    """Return how much paper the legs take that are asked for, and what else there is to choose.

    "The narrowed leg takes 17 sheets of Letter, and 2 more to read.", "Both legs take 36.", "Of a
    36 in roll the narrowed leg takes 41 in." Raises `PaperError` where the paper is too small.
    """
    unit = pattern.fit.project.length_unit
    who = _TAKES[options.leg]
    tiling = tiling_of(pattern, options)
    taken = _paper_taken(tiling, unit)
    if tiling.paper.is_sheet and (fronts := fronts_of(pattern, options, tiling)):
        taken += f", and {fronts} more to read"
    lines = [f"{who} {taken}."]
    if other := _OTHER.get(options.leg):
        count = _taken(pattern, replace(options, leg=other))
        lines += [f"{_TAKES[other]} {count}."] if count else []
    roll = paper(_ROLLS[unit])
    if paper(options.paper).tiled:
        length = _taken(pattern, replace(options, paper=roll.name, correction=TRUE))
        said = f"Of a {roll.title} {who[0].lower()}{who[1:]} {length}."
        lines += [said] if length else []  # a leg that no such roll holds: nothing to choose
    return tuple(lines)


def _paper_taken(tiling: Tiling, unit: str) -> str:
    if not tiling.paper.is_sheet:
        return f"{_length(tiling, unit)} of a {tiling.paper.title}"
    count = len(tiling.tiles)
    return f"{count} sheet{'' if count == 1 else 's'} of {tiling.paper.title}"


def _taken(pattern: Pattern, options: Options) -> str:
    """Return what another choice takes; "" where its paper is too small for it."""
    try:
        tiling = tiling_of(pattern, options)
    except PaperError:
        return ""
    if tiling.paper.is_sheet:
        return str(len(tiling.tiles))
    return _length(tiling, pattern.fit.project.length_unit)


def _length(tiling: Tiling, unit: str) -> str:
    """Return how long a piece of the roll is taken, up to the next whole inch or centimeter."""
    mm = tiling.paper.height * tiling.paper.correction[1]
    return f"{math.ceil(mm / 25.4)} in" if unit == "in" else f"{math.ceil(mm / 10)} cm"
