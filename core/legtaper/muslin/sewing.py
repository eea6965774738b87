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
    """What is to be sewn: whether the top is missing, how the hem is made, what is printed."""

    own_top: bool = False
    slit: bool = False
    faced: bool = False
    double: bool = False
    muslin: bool = False


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
        f"{OWN_TOP}: lay the leg under your own pattern, grainline on grainline, crotch line on "
        "crotch line, hip line on hip line, and trace its top.",
        lambda work: work.own_top,
    ),
    Part(
        "Left and right",
        "Face up, a piece lies with its print upwards on the right side of the fabric: that is the "
        "right leg. Turned over it is the left leg. Sew a left front to a left back.",
    ),
    Part(
        "Write on the fabric",
        "Front or back, left or right, narrowed or as the block, the design and the round; mark "
        "the right side. Do it before you lift the paper.",
    ),
    Part(
        "Mark",
        "Seam lines (thin), notches, fold lines, slit stop and grainline, on the wrong side. One "
        "notch is the front, two are the back; notches at the same height meet. What one edge has "
        "more between two notches is eased in there.",
    ),
    Part(
        "1. Outseam",
        "Pin the notches first, then between them. Sew from the hem up; with a slit, from its stop "
        "up. Press the seam open.",
    ),
    Part(
        "2. Slit",
        "Fasten off at the stop. Press the wide allowances back along the seam line. At the "
        "bottom turn the fold-up to the right side on the hem fold, sew down each edge of the slit "
        "on the seam line, and turn it back: corner and fold-up then meet. Sew a bar tack "
        "across the stop.",
        lambda work: work.slit and not work.faced,
    ),
    Part(
        "2. Slit",
        "Fasten off at the stop. Press the wide allowances back along the seam line. The facing is "
        "sewn around the corner, down the edges of the slit. Sew a bar tack across the stop.",
        lambda work: work.slit and work.faced,
    ),
    Part(
        "3. Inseam",
        "Right sides together, notches first, from the hem up. Press the seam open.",
    ),
    Part(
        "4. Hem",
        "Press the fold on the hem fold line, wrong sides together, before you sew it down. The "
        "fold-up mirrors the leg, so it lies flat: do not pull it.",
        lambda work: not work.faced,
    ),
    Part(
        "Turn under",
        "Press the lower fold first, the edge turned under, then the hem fold.",
        lambda work: work.double and not work.faced,
    ),
    Part(
        "4. Facing",
        "Put interfacing on the wrong side of the facings. Join front and back facing at the "
        "inseam, and at the outseam above a slit; press open. Lay them right sides together on the "
        "hem edge, outseam to outseam, notch on notch. Sew the lower edge, trim it, turn the "
        "facing in, press the edge, and catch the upper edge by hand.",
        lambda work: work.faced,
    ),
    Part(
        "In a muslin",
        "Use a long stitch. Baste the hem, do not finish it. The wide outseams are there to let "
        "out.",
        lambda work: work.muslin,
    ),
)


def parts_for(work: Work) -> tuple[Part, ...]:
    """Return the parts that this work needs, in the order in which they are done."""
    return tuple(part for part in PARTS if part.when(work))


def sewing_text() -> str:
    """Return the whole of it, a paragraph each."""
    return "\n\n".join(f"{part.name}: {part.says}" for part in PARTS)
