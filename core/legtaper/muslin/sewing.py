"""How to sew it: one text for the printed sheet, the help of the wizard and the man page.

In the order in which it is done. A part that a pattern has no use for is left out of its sheet.
Common practice throughout.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

TITLE = "How to sew it"


@dataclass(frozen=True, slots=True)
class Work:
    """What is to be sewn: whether the top is missing, how the hem is made, what is printed.

    both: each piece is of one leg alone and says which, and which way up it lies. stretch: the
    fabric stretches.
    """

    own_top: bool = False
    slit: bool = False
    faced: bool = False
    double: bool = False
    muslin: bool = False
    both: bool = False
    stretch: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the work: its name, what to do, and for which work it is.

    counted: whether it is a step of the sewing, which has a number.
    """

    name: str
    says: str
    when: Callable[[Work], bool] = lambda _: True
    counted: bool = False


OWN_TOP = "Add your own top, with its allowances, before you cut"
"""First in the order of work, and on every piece, where a block ends at the hip or below."""

_TO_THE_RIGHT_SIDE = (
    "to the right side on the hem fold, sew its end on the seam line, and turn it back. Catch the "
    "allowances down. Sew a bar tack across the stop."
)

PARTS: tuple[Part, ...] = (
    Part(
        "Top",
        f"{OWN_TOP}: trace it from your own pattern, laid on by grainline, crotch and hip line.",
        lambda work: work.own_top,
    ),
    Part(
        "Face up, turn over",
        "Lay the paper on the right side of the fabric: face up is printed side up, turn over is "
        "printed side down. Right and left are the wearer's.",
    ),
    Part(
        "Write on the fabric",
        "Front or back, which leg, design and round, before you lift the paper.",
    ),
    Part(
        "Mark",
        "Trace seam lines (thin), notches, grainline, any folds and slit stop through to the wrong "
        "side. One notch: front; two: back.",
    ),
    # That the stitch suits the stretch, and is tried on a sample first: Utah State University
    # Extension, Considerations for Knit Fabrics. That it is a narrow zigzag: common practice.
    Part(
        "Stitch",
        "In fabric that stretches a narrow zigzag, or another stitch that stretches, and a needle "
        "for it. Try both on a scrap.",
        lambda work: work.stretch,
    ),
    Part(
        "Hem folds",
        "Press the hem fold, wrong sides together, and open it again.",
        lambda work: not work.faced and not work.double,
        counted=True,
    ),
    Part(
        "Hem folds",
        "Press the lower fold, then the hem fold, wrong sides together. Open the hem fold again.",
        lambda work: not work.faced and work.double,
        counted=True,
    ),
    Part(
        "Outseam",
        "Pin the notches first. Sew from the hem up. Press open.",
        lambda work: not work.slit,
        counted=True,
    ),
    Part(
        "Outseam",
        "Pin the notches first. Fasten off at the slit's stop and sew up from there. Press open.",
        lambda work: work.slit and not work.both,
        counted=True,
    ),
    Part(
        "Outseam",
        "Pin the notches first. On the narrowed leg fasten off at the slit's stop and sew up from "
        "there; on the other sew from the hem up. Press open.",
        lambda work: work.slit and work.both,
        counted=True,
    ),
    Part(
        "Slit",
        "Press its allowances back on the seam line. At both edges turn the fold-up "
        f"{_TO_THE_RIGHT_SIDE}",
        lambda work: work.slit and not work.faced and not work.double,
        counted=True,
    ),
    Part(
        "Slit",
        "Press its allowances back on the seam line. At both edges turn the fold-up, its lower "
        f"fold still folded, {_TO_THE_RIGHT_SIDE}",
        lambda work: work.slit and not work.faced and work.double,
        counted=True,
    ),
    Part(
        "Slit",
        "Press its allowances back on the seam line. Sew a bar tack across the stop.",
        lambda work: work.slit and work.faced,
        counted=True,
    ),
    Part("Inseam", "Notches first, from the hem up. Press open.", counted=True),
    Part(
        "Hem",
        "Fold it up again and sew it down without pulling it.",
        lambda work: not work.faced,
        counted=True,
    ),
    Part(
        "Facing",
        "Interface the facings. Join front and back facing at inseam and outseam; press open. Lay "
        "them on the hem edge, right sides together, notch on notch. Sew the lower edge, trim it, "
        "turn the facing in, press, and catch the upper edge by hand.",
        lambda work: work.faced and not work.slit,
        counted=True,
    ),
    Part(
        "Facing",
        "Interface the facings. Join front and back facing at the inseam, and at the outseam only "
        "where they reach above the slit; press open. Lay them on the hem edge, right sides "
        "together, notch on notch. Sew down one edge of the slit, along the lower edge and up the "
        "other, trim, turn the facing in, press, and catch its upper edge and the slit's "
        "allowances by hand.",
        lambda work: work.faced and work.slit,
        counted=True,
    ),
    Part(
        "In a muslin",
        "Long stitch; baste the hem. The wide outseams are there to let out.",
        lambda work: work.muslin,
    ),
)


def parts_for(work: Work) -> tuple[Part, ...]:
    """Return the parts that this work needs, in the order in which they are done, and numbered."""
    found, number = [], 0
    for part in PARTS:
        if part.when(work):
            number += part.counted
            name = f"{number}. {part.name}" if part.counted else part.name
            found.append(replace(part, name=name))
    return tuple(found)


def sewing_text(work: Work | None = None) -> str:
    """Return what a work needs, a paragraph each; without one all of it, for every kind of hem."""
    parts = parts_for(work) if work else PARTS
    return "\n\n".join(f"{part.name}: {part.says}" for part in parts)
