"""Widths: what a liked garment or a design asks for, as take-in on each of the four edges."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from legtaper.geometry.seam import ROUNDING
from legtaper.leg.block import Block
from legtaper.model.project import (
    PANELS,
    Design,
    Edge,
    Fabric,
    Liked,
    ProjectError,
    SeamName,
    Wearer,
    panel_of,
    seam_of,
)


class LikedWidth(NamedTuple):
    """A liked leg at one level, mm around the leg.

    measured: as it is; equal_ease: what the fabric of this project needs to feel the same; known:
    whether the body there is known, without which nobody can say what that is;
    front, back: the panels' shares where they were measured apart.
    """

    level: str
    measured: float
    equal_ease: float
    front: float | None = None
    back: float | None = None
    known: bool = True


_BODY = {"hem": "ankle"}
"""Where the body at a level has another name."""


def liked_widths(liked: Liked, fabric: Fabric, wearer: Wearer) -> dict[str, LikedWidth]:
    """Return the widths of a liked garment by level, with what feels the same in this fabric."""
    doubled = 2 if liked.measured == "flat" else 1

    def felt(level: str, width: float, *panels: float) -> LikedWidth:
        girth = getattr(wearer, _BODY.get(level, level), None)
        same = width if girth is None else _at_equal_ease(width, girth.mm, liked, fabric)
        front, back = panels or (None, None)
        return LikedWidth(level, width, same, front, back, girth is not None)

    widths = {level: felt(level, doubled * length.mm) for level, length in liked.width.items()}
    for level, front in liked.front_width.items():
        if level not in liked.back_width:
            continue
        back = liked.back_width[level]
        widths[level] = felt(level, front.mm + back.mm, front.mm, back.mm)
    return widths


def _at_equal_ease(width: float, girth: float, liked: Liked, fabric: Fabric) -> float:
    """Return the width that sits around a body of `girth` as the liked one does, all in mm.

    What stands off the body stays as it is in any fabric. What touches it was stretched by some
    share of what its own fabric gives; the new leg is stretched by the same share. Common practice.
    """
    gives = liked.usable_stretch
    if width > girth or gives <= 0:
        return width
    share = (girth / width - 1) / gives
    return girth / (1 + share * fabric.usable_stretch)


class AskedLevel(NamedTuple):
    """What a design asks for at one level, mm.

    height: on the panel where the level lies higher.
    take_in: the same on all four edges, before `extra`; `None` where only an extra is asked, so
    that the line there would be what the other levels make it.
    extra: added to both edges of a seam; room: left to the back panel, half on each of its edges.
    width: finished circumference, where that was asked.
    already_narrow: the block is no wider than asked, so the edges stay.
    """

    level: str
    height: float
    take_in: float | None
    extra: Mapping[SeamName, float]
    width: float | None = None
    already_narrow: bool = False
    room: float = 0.0

    def added(self, edge: Edge) -> float:
        """Return what comes off one edge besides what comes off all four."""
        on_back = self.room / 2 if panel_of(edge) == "back" else 0.0
        return self.extra.get(seam_of(edge), 0.0) - on_back

    def changes(self, edge: Edge) -> bool:
        """Return whether this level asks one edge to lie elsewhere than the old one."""
        added = self.added(edge)
        if self.take_in is None:
            return bool(added)
        return abs(self.take_in + added) >= ROUNDING

    def grown(self, across: float, along: float) -> AskedLevel:
        """Return it larger by `across` and `along`."""

        def wide(mm: float | None) -> float | None:
            return None if mm is None else mm * across

        extra = {seam: mm * across for seam, mm in self.extra.items()}
        return self._replace(
            height=self.height * along, take_in=wide(self.take_in), extra=extra,
            width=wide(self.width), room=self.room * across,
        )  # fmt: skip


def asked_levels(block: Block, design: Design) -> tuple[AskedLevel, ...]:
    """Return the levels of a design, hem first. Raises `ProjectError` naming the level."""
    key = f'design "{design.name}"'
    extras = sorted({level for lengths in design.extra.values() for level in lengths})
    shifts = list(design.shift)
    for part, levels in (
        ("take_in", list(design.take_in)),
        ("width", list(design.width)),
        ("extra", extras),
        ("shift", shifts),
        ("back_room", list(design.back_room)),
    ):
        for level in levels:
            if level in block.below:
                continue  # the leg ends above it
            if level not in block.heights:
                known = ", ".join(block.heights)
                raise ProjectError(f"{key}.{part}.{level}", f"no such level; the block has {known}")
            if not block.goes_round(level) and part != "extra":
                raise ProjectError(f"{key}.{part}.{level}", "above the crotch there is no leg")
    both = next((level for level in design.take_in if level in design.width), None)
    if both:
        raise ProjectError(f"{key}.width.{both}", "is in take_in too; keep one of the two")
    every = {"hem", *design.take_in, *design.width, *extras, *design.back_room} - block.below
    return tuple(
        _asked(block, design, level) for level in sorted(every, key=block.heights.__getitem__)
    )


def _asked(block: Block, design: Design, level: str) -> AskedLevel:
    extra: dict[SeamName, float] = {
        seam: lengths[level].mm for seam, lengths in design.extra.items() if level in lengths
    }
    height = max(block.height_on(name, level) for name in PANELS)
    room = design.back_room[level].mm if level in design.back_room else 0.0
    if level in design.take_in:
        return AskedLevel(level, height, design.take_in[level].mm, extra, room=room)
    if level not in design.width:
        return AskedLevel(level, height, 0.0 if level == "hem" else None, extra, room=room)
    wanted = design.width[level].mm
    take_in = take_in_for(block.widths[level], wanted, extras_at(design, level))
    return AskedLevel(level, height, max(0.0, take_in), extra, wanted, take_in < -1e-9, room)


def extras_at(design: Design, level: str) -> float:
    """Return what comes off two edges at a level, mm each, besides what comes off all four.

    The extras of both seams, less what is left to the back panel.
    """
    extra = sum(lengths[level].mm for lengths in design.extra.values() if level in lengths)
    return extra - (design.back_room[level].mm / 2 if level in design.back_room else 0.0)


def besides(design: Design, level: str) -> str:
    """Return what to say after "off each edge" where the edges do not give alike; "" or words."""
    if any(level in lengths for lengths in design.extra.values()):
        return " besides what was pinched"
    return ", less at the back" if level in design.back_room else ""


def take_in_for(block_width: float, wanted: float, extras: float = 0.0) -> float:
    """Return the take-in per edge, mm, that turns `block_width` into `wanted`.

    `extras` is what two edges give besides, as `extras_at` says it.
    """
    return (block_width - wanted - 2 * extras) / 4
