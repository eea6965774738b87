"""Seams that are sewn together: inseam and outseam of a panel, front and back of a seam."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np

from legtaper.checks.base import Check, Finding, Leg, Measured, Status, least
from legtaper.checks.tested_block import hangs_clean
from legtaper.geometry.curves import Array
from legtaper.leg.block import Block
from legtaper.leg.pairs import SewnPair, lowering, own_pairs, sewn_pairs
from legtaper.model.project import EDGES, PANELS, SEAMS, SEWN, Edge, Project, SeamName, Unit
from legtaper.model.said_lengths import say_ruled, say_small

_PASSES_BELOW, _CAUTIONS_BELOW = 1.5, 3.0
"""mm, the whole difference from hem to knee: it twists the leg (common practice)."""

_PASSES_ABOVE, _CAUTIONS_ABOVE = 3.0, 6.0
"""mm added by the narrowing above the knee: common practice."""

_OWN_PER_LENGTH = 6.0 / 300.0
"""What a block's own seams may differ by above the knee, over their length: common practice."""

_STRETCHED = 12.7
"""mm by which a back inseam may be the shorter one and stretched to the front: common practice."""

_TOLD = 0.5  # mm; less shows neither on paper nor in the sewing: common practice
_SEVERITY: Final[dict[Status, int]] = {"pass": 0, "unknown": 1, "caution": 2, "fail": 3}

_ALIKE: Mapping[str, float] = {"hem": 2.0, "knee": 3.0}
"""mm by which what comes off two edges may differ and still be called alike: common practice."""

_UNLIKE = 6.35  # mm, 1/4 in: common practice

_NOTHING = 0.05  # mm; rounding

_BELOW, _ABOVE = "From hem to knee", "Above the knee"
_TWISTS = "A difference below the knee twists the leg"
_REDRAW = ": redraw the longer edge of the block as long as the other"

_BESIDE: tuple[tuple[Edge, Edge], ...] = (
    *PANELS.values(),
    ("front_inseam", "back_inseam"),
    ("front_outseam", "back_outseam"),
)


def _balance(leg: Leg) -> Iterator[Finding]:
    """Compare what comes off: inseam with outseam of a panel, front with back of a seam.

    Knee and bottom lie equally far each side of the center line: G. F. Hertzer, Garment Cutting in
    the Twentieth Century (1892). The bounds are common practice.
    """
    for level, alike in _ALIKE.items():
        if level not in leg.block.heights:
            continue
        moved = leg.taper.shifted("front_inseam", level)
        taken = {edge: _unasked(leg, edge, level) for edge in EDGES}
        one, other = max(_BESIDE, key=lambda pair: abs(taken[pair[0]] - taken[pair[1]]))
        apart = abs(taken[one] - taken[other])
        status: Status = "pass" if apart <= _UNLIKE + 1e-9 else "caution"
        says = f"All four edges change alike at the {level}, so the crease stays in the middle."
        if apart > alike + 1e-9:
            edges = " and ".join(_off(leg, edge, taken[edge]) for edge in (one, other))
            says = f"The edges change unalike at the {level}: {edges}.{_unasked_why(leg, level)}"
        if abs(moved) > _NOTHING:
            to = "outseam" if moved > 0 else "inseam"
            says += (
                f" The center of the leg is {leg.say_small(abs(moved))} nearer the {to} there, as"
            )
            says += " asked."
        if room := 2 * leg.taper.roomed("back_inseam", level):
            says += f" The back panel keeps {leg.say_small(room)} more there, as asked."
        yield Finding("balance", status, apart, _UNLIKE, level, says)


def _unasked_why(leg: Leg, level: str) -> str:
    """Say why the edges give unlike at a level where nothing was asked for, nor at a seam.

    A line from the hem runs out at the blend, so the seam that blends higher gives more on the way.
    """
    asked, design = {one.level for one in leg.taper.asked}, leg.design
    otherwise = any((*design.extra.values(), design.shift, design.back_room))
    if design.style != "follow" or otherwise or level in asked:
        return ""
    lower, higher = sorted(SEAMS, key=lambda seam: _blend(leg, seam))
    gives = [_unasked(leg, SEWN[seam][0], level) for seam in (lower, higher)]
    if _blend(leg, higher) - _blend(leg, lower) < _NOTHING or gives[1] < gives[0]:
        return ""
    return (
        f" Nothing was asked for there, and the {higher} blends higher, so it gives more on the "
        f"way; a width asked for at the {level} takes the same off all edges."
    )


def _blend(leg: Leg, seam: SeamName) -> float:
    """Return the height at which a seam runs into the block's own, mm."""
    return leg.taper.seams[SEWN[seam][0]].blend


def _unasked(leg: Leg, edge: Edge, level: str) -> float:
    """Return what came off an edge, mm, but for what it was asked to differ from the others by."""
    taper = leg.taper
    return taper.taken(edge, level) - taper.shifted(edge, level) + taper.roomed(edge, level)


def _off(leg: Leg, edge: Edge, taken: float) -> str:
    said = leg.say_small(abs(taken)) if abs(taken) >= _NOTHING else "nothing"
    word = "added to" if taken <= -_NOTHING else "off"
    return f"{said} {word} the {edge.replace('_', ' ')}"


def _more_below(leg: Measured, seam: SeamName) -> Array:
    """Return how much longer the back is than the front from hem to knee, mm."""
    front, back = SEWN[seam]
    return leg.knee_length(back) - leg.knee_length(front)


def _added_above(leg: Measured, seam: SeamName) -> Array:
    """Return how much more the back is longer above the knee than it is in the block, mm."""
    front, back = SEWN[seam]
    own = leg.block.lengths, leg.block.knee_lengths
    had = (own[0][back] - own[1][back]) - (own[0][front] - own[1][front])
    return leg.length(back) - leg.length(front) - _more_below(leg, seam) - had


def _pair_margin(leg: Measured) -> Array:
    below = [_CAUTIONS_BELOW - np.abs(_more_below(leg, seam)) for seam in SEAMS]
    above = [_CAUTIONS_ABOVE - np.abs(_added_above(leg, seam)) for seam in SEAMS]
    return least([*below, *above])


def _sewn_pair(leg: Leg) -> Iterator[Finding]:
    yield from (_pair_finding(leg, pair) for pair in sewn_pairs(leg.taper))


def _pair_finding(leg: Leg, pair: SewnPair) -> Finding:
    """Judge a pair by what is worst: below the knee all, above it what was added, the block's."""
    added = pair.above_knee - pair.block_above_knee
    own = _too_much_in_block(pair) and not hangs_clean(leg.project, leg.block)
    judged: list[tuple[Status, float, float]] = [
        _by_limits(abs(pair.below_knee), _PASSES_BELOW, _CAUTIONS_BELOW),
        _by_limits(abs(added), _PASSES_ABOVE, _CAUTIONS_ABOVE),
        ("caution" if own else "pass", abs(pair.block_above_knee), _most_in_block(pair)),
    ]
    status, value, limit = max(judged, key=lambda one: (_SEVERITY[one[0]], one[1] / one[2]))
    says = " ".join((*_where_longer(leg, pair, added), *_what_to_do(leg, pair, added)))
    return Finding("sewn-pair", status, value, limit, pair.seam, says)


def _by_limits(apart: float, passes: float, cautions: float) -> tuple[Status, float, float]:
    if apart <= passes:
        return "pass", apart, passes
    return ("caution", apart, passes) if apart <= cautions else ("fail", apart, cautions)


def _most_in_block(pair: SewnPair) -> float:
    """Return by how much a block's own pair may differ above the knee, mm."""
    usual = _OWN_PER_LENGTH * pair.length_above
    stretched = pair.seam == "inseam" and pair.block_above_knee < 0
    return max(usual, _STRETCHED) if stretched else usual


def _too_much_in_block(pair: SewnPair) -> bool:
    return abs(pair.block_above_knee) > _most_in_block(pair)


def _where_longer(leg: Leg, pair: SewnPair, added: float) -> Iterator[str]:
    below, above = pair.below_knee, pair.above_knee
    if abs(below) < _TOLD and abs(above) < _TOLD:
        yield f"Front and back {pair.seam} are equally long, below the knee and above it."
        return
    if abs(below) < _TOLD:
        yield f"{_BELOW} front and back {pair.seam} are equally long."
    else:
        says = _longer_there(_BELOW, pair.seam, below, leg.project.length_unit)
        yield f"{says}{_in_block(leg, below, pair.block_below_knee)}."
    if abs(above) < _TOLD:
        yield f"{_ABOVE} they are equally long{_in_block(leg, 0.0, above - added)}."
    else:
        yield (
            f"{_ABOVE} the {_longer(above)} is {leg.say_small(abs(above))} longer"
            f"{_in_block(leg, above, above - added)}."
        )


def _longer(difference: float) -> str:
    return "back" if difference > 0 else "front"


def _in_block(leg: Leg, now: float, had: float) -> str:
    """Say what the block had beside what there is now, mm; back less front."""
    if abs(now - had) < _TOLD:
        return ", as in the block" if abs(now) >= _TOLD else ""
    if abs(had) < _TOLD:
        return "; in the block they were equally long"
    whose = "" if now * had > 0 else f"the {_longer(had)} "
    return f"; in the block {whose}by {leg.say_small(abs(had))}"


def _what_to_do(leg: Leg, pair: SewnPair, added: float) -> Iterator[str]:
    """Say what to do about a difference: a plain act of sewing, or a change of the block."""
    if abs(pair.below_knee) > _PASSES_BELOW:
        own = abs(pair.below_knee - pair.block_below_knee) < _TOLD
        yield f"{_TWISTS}{_REDRAW if own else ''}."
    if abs(added) > _PASSES_ABOVE:
        yield f"The narrowing added {leg.say_small(abs(added))}."
    if _too_much_in_block(pair):
        yield _own_cure(
            leg.block, leg.project.length_unit, pair, clean=hangs_clean(leg.project, leg.block)
        )
    elif abs(pair.above_knee) > _PASSES_BELOW:
        yield f"{_sewn_in(pair, leg.project.length_unit)} above the highest notch as you sew."


def sewing_in(leg: Leg) -> Iterator[tuple[SeamName, str]]:
    """Yield each seam of which one panel is eased or stretched in above the knee: how and why."""
    for pair in sewn_pairs(leg.taper):
        if abs(pair.above_knee) > _PASSES_BELOW:
            amount = leg.say_small(abs(pair.above_knee))
            if _stretches(pair):
                yield pair.seam, f"stretch the back, which is {amount} shorter"
            else:
                yield pair.seam, f"ease in the {_longer(pair.above_knee)}, which is {amount} longer"


def _stretches(pair: SewnPair) -> bool:
    return pair.seam == "inseam" and pair.above_knee < 0


def uneven_in_block(project: Project, block: Block) -> Iterator[tuple[Status, SeamName, str]]:
    """Yield where front and back of a block differ, and what to do, as the check has it later."""
    unit, clean = project.length_unit, hangs_clean(project, block)
    for pair in own_pairs(block):
        if abs(pair.below_knee) > _PASSES_BELOW:
            says = _longer_there(_BELOW, pair.seam, pair.below_knee, unit)
            yield "caution", pair.seam, f"{says}. {_TWISTS}{_REDRAW}."
        if abs(pair.above_knee) > _PASSES_BELOW:
            cure = f"{_sewn_in(pair, unit)} above the highest notch as you sew."
            if _too_much_in_block(pair):
                cure = _own_cure(block, unit, pair, clean=clean)
            says = _longer_there(_ABOVE, pair.seam, pair.above_knee, unit)
            much = _too_much_in_block(pair) and not clean
            yield "caution" if much else "pass", pair.seam, f"{says}. {cure}"


def _longer_there(where: str, seam: SeamName, difference: float, unit: Unit) -> str:
    by = say_small(abs(difference), unit)
    return (
        f"{where} the {_longer(difference)} {seam} is {by} longer than the {_longer(-difference)}"
    )


def _sewn_in(pair: SewnPair, unit: Unit) -> str:
    amount = say_small(abs(pair.above_knee), unit)
    if _stretches(pair):
        return f"Stretch the back by {amount}"
    return f"Ease the {_longer(pair.above_knee)} in by {amount}"


def _own_cure(block: Block, unit: Unit, pair: SewnPair, *, clean: bool) -> str:
    """Say what to do about seams that the block itself has unequal above the knee."""
    cure = (
        "measure both seams of the block from the hem up, and redraw the longer one as long as "
        "the other"
    )
    if pair.seam == "inseam" and pair.block_above_knee > 0:
        by = say_ruled(lowering(block), unit)
        cure = f"lower its back crotch point by {by}, and the block's inseams are equally long"
    if clean:
        return (
            "The block has that itself; it was tested and hangs clean. "
            f"{_sewn_in(pair, unit)} above the highest notch as you sew, or {cure}."
        )
    return f"That is more than eases in well, and the block's own: {cure}."


CHECKS = (
    Check(
        "balance", "Balance", _balance, ("narrowing", "blend"),
        moves=("width knee", "even out", "blend both", "style"),
    ),
    Check(
        "sewn-pair", "Front and back sewn together", _sewn_pair, ("blend",),
        "front and back sew unevenly", _pair_margin,
        moves=(
            "blend outseam", "blend inseam", "blend both", "curve outseam", "curve inseam",
            "width knee", "style",
        ),
    ),
)  # fmt: skip
