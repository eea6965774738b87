"""What was asked for, beside what the block has."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.checks.base import Check, Finding, Leg, Status
from legtaper.leg.widths import LikedWidth, liked_widths
from legtaper.model.project import PANELS
from legtaper.model.safe_text import clean

_SAME = 0.5  # mm; no more than a pencil line: common practice
_APART = 6.35
"""mm, 1/4 in, by which a liked garment's front and back may differ otherwise than the block's:
common practice."""


def _already_narrow(leg: Leg) -> Iterator[Finding]:
    for asked in leg.taper.asked:
        if asked.already_narrow and asked.width is not None:
            has = leg.taper.finished[asked.level]
            why = f"the block is already narrower, {leg.say(has)}, so the edges stay there"
            if asked.room:
                why = f"with the room on the back panel it comes to {leg.say(has)}"
            if any(asked.extra.values()):
                why = f"with the extra at a seam it comes to {leg.say(has)}"
            says = (
                f"You asked for {leg.say(asked.width)} at the {asked.level}; {why}. "
                "A taper never lets out."
            )
            yield Finding("already-narrow", "caution", has, asked.width, asked.level, says)


def _below_the_end(leg: Leg) -> Iterator[Finding]:
    """Say what was asked for where the leg has ended already."""
    design = leg.design
    parts = (
        design.take_in, design.width, design.shift, design.back_room, *design.extra.values(),
    )  # fmt: skip
    for level in sorted(leg.block.below & {level for part in parts for level in part}):
        ends = leg.say(leg.block.start)
        says = f"What was asked for at the {level} is not used: the leg ends above it, at {ends}."
        yield Finding("below-the-end", "caution", leg.block.start, None, level, says)


def _liked_split(leg: Leg) -> Iterator[Finding]:
    for liked in leg.project.liked:
        for width in liked_widths(liked, leg.project.fabric, leg.project.wearer).values():
            height = leg.block.heights.get(width.level)
            if height is not None and leg.block.goes_round(width.level):
                yield from _split(leg, clean(liked.garment, 60), width, height)


def _split(leg: Leg, garment: str, width: LikedWidth, height: float) -> Iterator[Finding]:
    if width.front is None or width.back is None:
        return
    liked_more = width.back - width.front
    front, back = (
        float(leg.block.reach(inseam, height) + leg.block.reach(outseam, height))
        for inseam, outseam in PANELS.values()
    )
    apart = liked_more - (back - front)
    status: Status = "pass" if abs(apart) <= _APART else "caution"
    says = (
        f"{garment}: the back is {_wider(leg, liked_more)} the front at the {width.level}; in the "
        f"block it is {_wider(leg, back - front)} the front."
    )
    if width.level not in leg.design.back_room:
        says += " Front and back still lose the same, so the block keeps its own difference."
    yield Finding("liked-split", status, apart, _APART, width.level, says)


def _wider(leg: Leg, by: float) -> str:
    if abs(by) < _SAME:
        return "as wide as"
    return f"{leg.say_small(abs(by))} {'wider' if by > 0 else 'narrower'} than"


CHECKS = (
    Check(
        "already-narrow", "What was asked", _already_narrow, ("narrowing",), moves=("not asked",)
    ),
    Check(
        "below-the-end", "Asked below the end", _below_the_end, ("hem", "narrowing"),
        moves=("not asked",),
    ),
    Check("liked-split", "Liked widths", _liked_split, steps=("liked",)),
)  # fmt: skip
