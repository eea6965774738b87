"""How much paper a pattern takes, said before it is written."""

from __future__ import annotations

import math
from dataclasses import replace

from legtaper.outputs.formats import Options, drawn
from legtaper.outputs.papers import PaperError, paper
from legtaper.outputs.printing import TRUE, corrected
from legtaper.outputs.tiles import Tiling, tile
from legtaper.pattern import Pattern

_ROLLS = {"in": "roll:36in", "cm": "roll:91cm"}  # plotters' usual width; common practice


def tiling_of(pattern: Pattern, options: Options) -> Tiling:
    """Return the pages of a pattern. Raises `PaperError`."""
    return tile(drawn(pattern, options), corrected(paper(options.paper), options.correction))


def count_words(pattern: Pattern, options: Options) -> str:
    """Return how many sheets are printed, and what else there is to choose, in one line.

    "17 sheets of Letter; both legs 36; on a 36 in roll: one of 41 in". Raises `PaperError` where
    the paper does not serve.
    """
    unit = pattern.fit.project.length_unit
    parts = [_sheets(tiling_of(pattern, options), unit)]
    if options.leg == "narrowed":
        parts += [f"both legs {count}" for count in _others(pattern, replace(options, leg="both"))]
    elif options.leg == "both":
        narrowed = replace(options, leg="narrowed")
        parts += [f"the narrowed leg alone {count}" for count in _others(pattern, narrowed)]
    roll = paper(_ROLLS[unit])
    if paper(options.paper).tiled:
        try:
            long = tiling_of(pattern, replace(options, paper=roll.name, correction=TRUE))
        except PaperError:
            pass  # a leg that no such roll holds: nothing to choose
        else:
            length = _length(long, unit)
            parts.append(f"on a {roll.title}: one of {length}")
    return "; ".join(parts)


def _sheets(tiling: Tiling, unit: str) -> str:
    if not tiling.paper.is_sheet:
        length = _length(tiling, unit)
        return f"one sheet of {length} on the {tiling.paper.title}"
    count = len(tiling.tiles)
    return f"{count} sheet{'' if count == 1 else 's'} of {tiling.paper.title}"


def _others(pattern: Pattern, options: Options) -> list[str]:
    """Return the count of another choice; nothing where its paper is too small for it."""
    try:
        tiling = tiling_of(pattern, options)
    except PaperError:
        return []
    if tiling.paper.is_sheet:
        return [str(len(tiling.tiles))]
    unit = pattern.fit.project.length_unit
    return [_length(tiling, unit)]


def _length(tiling: Tiling, unit: str) -> str:
    """Return how long a piece of the roll is taken, up to the next whole inch or centimeter."""
    mm = tiling.paper.height * tiling.paper.correction[1]
    return f"{math.ceil(mm / 25.4)} in" if unit == "in" else f"{math.ceil(mm / 10)} cm"
