"""What was asked for, beside what the block has."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from legtaper.checks.base import Check, Finding, Leg, Status
from legtaper.leg.block import Block
from legtaper.leg.widths import liked_widths
from legtaper.model.levels import say_level
from legtaper.model.project import PANELS, Project, Unit
from legtaper.model.safe_text import clean
from legtaper.model.said_lengths import say_small

_SAME = 0.5  # mm; no more than a pencil line: common practice
_APART = 6.35
"""mm, 1/4 in, by which a liked garment's front and back may differ otherwise than the block's:
common practice."""


def _already_narrow(leg: Leg) -> Iterator[Finding]:
    for asked in leg.taper.asked:
        if asked.already_narrow and asked.width is not None:
            has = leg.taper.finished[asked.level]
            why = f"the block is already narrower, {leg.say_around(has)}, so the edges stay there"
            if asked.room:
                why = f"with the room on the back panel it comes to {leg.say_around(has)}"
            if any(asked.extra.values()):
                why = f"with the extra at a seam it comes to {leg.say_around(has)}"
            says = (
                f"You asked for {leg.say_around(asked.width)} at the {asked.level}; {why}. "
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
    yield from (one for _, one in liked_splits(leg.project, leg.block, leg.design.back_room))


def liked_splits(
    project: Project, block: Block, back_room: Collection[str] = ()
) -> Iterator[tuple[int, Finding]]:
    """Yield the number of each liked garment, and how front and back divide it, against the block.

    Numbers count from 0. One finding a garment: of the levels that differ from the block, else of
    all; its value and place are those of the level that differs most. back_room: levels with room
    on the back.
    """
    for number, liked in enumerate(project.liked):
        apart: dict[str, float] = {}
        parts: dict[str, str] = {}
        for width in liked_widths(liked, project.fabric, project.wearer).values():
            if width.front is None or width.back is None or not _has(block, width.level):
                continue
            more, own = width.back - width.front, _block_more(block, width.level)
            apart[width.level] = more - own
            says = [_wider(by, project.length_unit) for by in (more, own)]
            parts[width.level] = (
                f"{says[0]} at the {say_level(width.level)}, in the block {says[1]}"
            )
        if not apart:
            continue
        off = {level: by for level, by in apart.items() if abs(by) > _APART}
        told = off or apart
        worst = max(told, key=lambda level: abs(told[level]))
        lines = "; ".join(parts[level] for level in told)
        says_all = f"{clean(liked.garment, 60)}: compared with the front, the back is {lines}."
        if not set(told) <= set(back_room):
            says_all += (
                " Front and back still lose the same, so the block keeps its own difference."
            )
        status: Status = "caution" if off else "pass"
        yield number, Finding("liked-split", status, apart[worst], _APART, worst, says_all)


def _has(block: Block, level: str) -> bool:
    return block.heights.get(level) is not None and block.goes_round(level)


def _block_more(block: Block, level: str) -> float:
    """Return by how much the block's back is wider than its front at a level, mm."""
    height = block.heights[level]
    front, back = (
        float(block.reach(inseam, height) + block.reach(outseam, height))
        for inseam, outseam in PANELS.values()
    )
    return back - front


def _wider(by: float, unit: Unit) -> str:
    if abs(by) < _SAME:
        return "as wide"
    return f"{say_small(abs(by), unit)} {'wider' if by > 0 else 'narrower'}"


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
