"""How to sew it: one text for the printed sheet, the help of the wizard and the man page.

In the order in which it is done. A part that a pattern has no use for is left out of its sheet.
Common practice throughout.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

TITLE = "How to sew it"


@dataclass(frozen=True, slots=True)
class Work:
    """What is to be sewn: whether the top is missing, how the hem is made, what is printed.

    both: each piece is of one leg alone and says which, and which way up it lies.
    """

    own_top: bool = False
    slit: bool = False
    faced: bool = False
    double: bool = False
    muslin: bool = False
    both: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the work: its name, what to do, and for which work it is."""

    name: str
    says: str
    when: Callable[[Work], bool] = lambda _: True


OWN_TOP = "Add your own top, with its allowances, before you cut"
"""First in the order of work, and on every piece, where a block ends at the hip or below."""

PARTS: tuple[Part, ...] = (
    Part(
        "Top",
        f"{OWN_TOP}: trace it from your own pattern, laid on by grainline, crotch and hip line.",
        lambda work: work.own_top,
    ),
    Part(
        "Left and right",
        "On the right side of the fabric, printed side up: right leg; printed side down: left leg.",
        lambda work: not work.both,
    ),
    Part(
        "Write on the fabric",
        "Front or back, which leg, design and round, before you lift the paper.",
    ),
    Part(
        "Mark",
        "Seam lines (thin), notches, folds, slit stop and grainline, on the wrong side. One notch: "
        "front; two: back.",
    ),
    Part(
        "1. Outseam",
        "Pin the notches first. Sew from the hem up. Press open.",
        lambda work: not work.slit,
    ),
    Part(
        "1. Outseam",
        "Pin the notches first. Sew from the slit's stop up. Press open.",
        lambda work: work.slit,
    ),
    Part(
        "2. Slit",
        "Fasten off at the stop; press the wide allowances back on the seam line. Turn the fold-up "
        "to the right side on the hem fold, sew down each edge of the slit on the seam line, turn "
        "it back. Sew a bar tack across the stop.",
        lambda work: work.slit and not work.faced,
    ),
    Part(
        "2. Slit",
        "Fasten off at the stop; press the wide allowances back on the seam line. The facing is "
        "sewn around the corner, down the edges of the slit. Sew a bar tack across the stop.",
        lambda work: work.slit and work.faced,
    ),
    Part(
        "3. Inseam",
        "Notches first, from the hem up. Press open.",
    ),
    Part(
        "4. Hem",
        "Press the hem fold, wrong sides together, then sew it down without pulling it.",
        lambda work: not work.faced and not work.double,
    ),
    Part(
        "4. Hem, turned under",
        "Press the lower fold first, then the hem fold, wrong sides together. Sew it down without "
        "pulling it.",
        lambda work: work.double and not work.faced,
    ),
    Part(
        "4. Facing",
        "Interface the facings. Join front and back facing at the inseam, and at the outseam "
        "above a slit; press open. Lay them on the hem edge, right sides together, notch on notch. "
        "Sew the lower edge, trim it, turn the facing in, press, and catch the upper edge by hand.",
        lambda work: work.faced,
    ),
    Part(
        "In a muslin",
        "Long stitch; baste the hem. The wide outseams are there to let out.",
        lambda work: work.muslin,
    ),
)


def parts_for(work: Work) -> tuple[Part, ...]:
    """Return the parts that this work needs, in the order in which they are done."""
    return tuple(part for part in PARTS if part.when(work))


def sewing_text() -> str:
    """Return the whole of it, a paragraph each."""
    return "\n\n".join(f"{part.name}: {part.says}" for part in PARTS)
