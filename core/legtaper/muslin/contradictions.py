"""A seam pinched in where a sign of the same round asks for more room.

The next design would take away there what the cure gives, so it is told before either is made.
"""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.model.levels import say_level
from legtaper.model.project import SEAMS, Round, SeenSign, Unit
from legtaper.model.safe_text import clean
from legtaper.muslin.next_design import At, depths
from legtaper.muslin.open_things import open_signs, say_pinch, short_words
from legtaper.muslin.sign_parts import Cause
from legtaper.muslin.signs import BY_ID

_LONGEST = 20  # characters of a level in a sentence


def contradicted(one: Round) -> Iterator[tuple[At, SeenSign]]:
    """Yield each seam and level that was pinched in, with a sign that asks for room there.

    A sign that was seen at one seam says nothing of the other.
    """
    for at, mm in depths(one).items():
        for seen in open_signs(one):
            if mm > 0 and _is_tight(seen, at):
                yield at, seen


def contradictions(one: Round, unit: Unit) -> Iterator[str]:
    """Say each of them in two sentences: what was written down, and what it comes to."""
    pinched = depths(one)
    for at, seen in contradicted(one):
        yield (
            f'You {say_pinch(at, pinched[at], unit)}, and wrote down "{short_words(seen).lower()}",'
            f" which asks for more room there. One takes what the other gives: {_way_out(seen)}."
        )


def look_again(one: Round) -> str:
    """Say what to do first where a round contradicts itself; "" where it does not."""
    for (seam, level), seen in contradicted(one):
        where = f"the {clean(say_level(level), _LONGEST)}, {seam}"
        if BY_ID[seen.sign].first:
            return f"leave out the pinch at {where}, for a sign asks for more room there"
        return f"look again at {where}: it was pinched in there, and a sign asks for more room"
    return ""


def _way_out(seen: SeenSign) -> str:
    """Say which of the two goes; where a wearer may come to harm that is no question."""
    return "leave the pinch out" if BY_ID[seen.sign].first else "look again which of them holds"


def _is_tight(seen: SeenSign, at: At) -> bool:
    """Whether whatever may have caused a sign is mended by room at that seam and level."""
    words = [say_level(word.strip().lower()) for word in seen.where.split(",")]
    seams = [seam for seam in SEAMS if seam in words]
    causes = [one for one in BY_ID[seen.sign].causes if not one.of_block]
    said = [one for one in causes if one.id == seen.cause] or [one for one in causes if one.cures]
    tight = all(_gives_room(cause, say_level(at[1]), words) for cause in said)
    return tight and bool(said) and (not seams or at[0] in seams)


def _gives_room(cause: Cause, level: str, words: list[str]) -> bool:
    """Whether the first cure of a cause that gives room gives it at a level."""
    first = next((cure for cure in cause.cures if cure.gives_room is not None), None)
    if first is None or first.gives_room is None:
        return False
    return level in (first.gives_room or words)
