"""What a round leaves open, in the order in which it is mended: harm, then pinches, then signs."""

from __future__ import annotations

from legtaper.model.lengths import from_mm
from legtaper.model.levels import say_level
from legtaper.model.project import Round, SeenSign, Unit
from legtaper.model.safe_text import clean
from legtaper.model.said_lengths import say_exact
from legtaper.muslin.next_design import At, depths
from legtaper.muslin.sign_parts import GONE
from legtaper.muslin.signs import BY_ID, SIGNS, words_of

_SHORT = 10  # characters of a length in a sentence; what is longer is said in decimals
_LONGEST = 20  # characters of a level in a sentence


def open_signs(one: Round) -> tuple[SeenSign, ...]:
    """Return the signs that are still there, those first by which a wearer may come to harm."""
    order = [sign.id for sign in sorted(SIGNS, key=lambda sign: not sign.first)]
    still = [seen for seen in one.signs if seen.cause != GONE and seen.sign in BY_ID]
    return tuple(sorted(still, key=lambda seen: order.index(seen.sign)))


def pinches_go_first(one: Round) -> bool:
    """Whether the pinches are mended before any sign: every next design takes them up.

    Only a sign by which a wearer may come to harm goes before them. The order is common practice.
    """
    return bool(depths(one)) and not any(BY_ID[seen.sign].first for seen in open_signs(one))


def short_words(seen: SeenSign) -> str:
    """Return the words of a sign, as far as they tell it from others."""
    return words_of(seen).partition(";")[0]


def say_pinch(at: At, mm: float, unit: Unit) -> str:
    """Say what was pinched at a seam and level: "pinched 1/2 in at the calf, outseam"."""
    seam, level = at
    text = from_mm(abs(mm), unit).text
    size = text if len(text) <= _SHORT else say_exact(abs(mm), unit)
    verb = "pinched" if mm > 0 else "let out"
    return f"{verb} {size} at the {clean(say_level(level), _LONGEST)}, {seam}"
