"""What fabric and seams show in the muslin, what tells its causes apart, and what mends it.

The unaltered leg is the control: what both legs show is not the narrowing's doing. All is common
practice but where a source stands beside it. Said of fabric and seams, never of a body.
"""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from types import MappingProxyType

from legtaper.model.project import SEAMS, ProjectError, SeenSign
from legtaper.model.safe_text import clean
from legtaper.muslin import cures
from legtaper.muslin.cures import FIVE_EIGHTHS, HALF_INCH, INCH, TWO_INCHES
from legtaper.muslin.sign_parts import GONE, POSES, VIEWS, Cause, Sign


def _of_block(says: str) -> Cause:
    return Cause("block", "Both legs show it.", "It is the block's, not the narrowing's.",
                 instead=says, of_block=True)  # fmt: skip


_FABRIC = "This is the fabric, not the pattern: "

SIGNS: tuple[Sign, ...] = (
    Sign(
        "folds-under-seat",
        "Folds or slanting wrinkles under the seat, behind the thigh",
        "Standing",
        "back",
        "Do both legs show them? Pull the hem gently down: do they go? Then pin a fold down the "
        "back crease: do they go?",
        (
            "   .-----.  ",
            "  (  seat ) ",
            "  |\\ \\  / | ",
            "  | \\ \\/  | ",
            "  |   |   | ",
            "  |   |   | ",
        ),
        (
            Cause(
                "calf",
                "Pulling the hem down smooths them.",
                "The calf holds the leg up.",
                (
                    cures.room_at_back("calf", HALF_INCH),
                    cures.room(("calf",), HALF_INCH),
                    cures.room(("calf", "knee"), HALF_INCH),
                ),
            ),
            Cause(
                "spare-width",
                "A fold pinned down the back crease smooths them.",
                "Width is left below the seat.",
                (
                    cures.blend(1, HALF_INCH, ("inseam",)),
                    cures.pinch("thigh", "inseam", cures.EIGHTH),
                ),
            ),
            _of_block(
                "This is the seat or the back crotch of the block: fit the block, and do not "
                "narrow further."
            ),
        ),
    ),
    Sign(
        "slanting-lines",
        "Lines that run slanting to one spot at the knee or the calf",
        "Standing",
        "side",
        "Where do the lines meet? It is tight there. Towards which seam do they point?",
        (
            "  |\\      | ",
            "  | \\     | ",
            "  |--->*  | ",
            "  | /     | ",
            "  |/      | ",
        ),
        (
            Cause(
                "tight-spot",
                "The lines meet on the narrowed leg alone.",
                "It is tight where they meet.",
                (cures.room((), HALF_INCH),),
            ),
            _of_block("Let the block out at that level first."),
        ),
    ),
    Sign(
        "swinging-seam",
        "A seam swings to the front or the back on its way down",
        "Standing",
        "side",
        "Measure how far the seam moves between knee and hem: over 1 in (2.5 cm) the leg is "
        "twisted. Does one leg turn, or do both turn the same way?",
        (
            "  |  :    | ",
            "  |  :    | ",
            "  |   \\   | ",
            "  |    \\  | ",
            "  |_____\\_| ",
        ),
        (
            Cause(
                "uneven",
                "The narrowed leg turns alone, and one seam took more than the other.",
                "The two seams gave unlike.",
                (cures.even(),),
                made_by=cures.gave_unlike,
            ),
            Cause(
                "sewing",
                "The narrowed leg turns alone, and all edges gave alike.",
                "One edge was eased or stretched while it was sewn.",
                instead="Unpick that seam, lay the two edges on each other from the hem up, notch "
                "on notch, and sew it again: 1/4 in (6 mm) sewn off at one seam turns a leg.",
                made_by=cures.gave_alike,
            ),
            Cause(
                "fabric",
                "Both legs turn the same way.",
                "The fabric was cut off grain, or it shrank.",
                instead=_FABRIC + "straighten it, wash it, and cut again.",
                of_block=True,
            ),
        ),
        "1 in (2.54 cm) between knee and hem: Cone Mills; 1/4 in at one seam: common practice",
    ),
    Sign(
        "leaning-crease",
        "The crease leans in or out below the knee; the hem is off the middle of the foot",
        "Standing",
        "front",
        "Stand with the feet together: what touches first, the knees or the ankles?",
        (
            "   |   |   ",
            "   |   |   ",
            "    \\   \\  ",
            "     \\   \\ ",
            "      |__| ",
        ),
        (
            Cause(
                "ankles-touch",
                "The ankles touch first.",
                "The leg has to hang further out, towards the outseam.",
                (cures.lean("outseam", FIVE_EIGHTHS),),
            ),
            Cause(
                "knees-touch",
                "The knees touch first.",
                "The leg has to hang further in, towards the inseam.",
                (cures.lean("inseam", FIVE_EIGHTHS),),
            ),
        ),
        "G. F. Hertzer, Garment Cutting in the Twentieth Century (1892)",
    ),
    Sign(
        "riding-hem",
        "The hem rides up when you sit and stays up; the calf catches",
        "Sitting",
        "side",
        "Sit, then stand up: does it fall back by itself?",
        (
            "  ______    ",
            " |      |   ",
            " '----. |   ",
            "      |^|   ",
            "      |_|   ",
            "       |    ",
        ),
        (
            Cause(
                "calf",
                "It stays up until you pull it down.",
                "The leg is tight at the calf.",
                (
                    cures.room_at_back("calf", HALF_INCH),
                    cures.room(("calf",), HALF_INCH),
                    cures.room(("calf",), INCH),
                ),
            ),
            Cause(
                "fabric",
                "A stretch fabric stays where it was pulled.",
                "The stretch does not come back.",
                instead=_FABRIC + "take one that recovers, or give the calf ease without stretch.",
            ),
            _of_block("Let the block out at the calf first."),
        ),
    ),
    Sign(
        "binding-knee",
        "It binds over the knee; level lines at the bent knee",
        "Knee up",
        "side",
        "Put a foot on a chair, then climb a step.",
        (
            "   _____    ",
            "  |    _\\   ",
            "  |___|_|=  ",
            "      |  |= ",
            "      |  |  ",
        ),
        (
            Cause(
                "knee",
                "The lines run across the bent knee.",
                "The knee needs more room.",
                (cures.room(("knee",), HALF_INCH), cures.blend(-1, INCH, SEAMS)),
            ),
            _of_block("Let the block out at the knee first."),
        ),
    ),
    Sign(
        "tight-thigh",
        "Level lines across the upper thigh; tight at the crotch point",
        "Standing",
        "front",
        "Does the unaltered leg show them, too?",
        (
            "  |       | ",
            "  |=======| ",
            "  |=======| ",
            "  |       | ",
            "   |     |  ",
        ),
        (
            Cause(
                "blend",
                "The narrowed leg shows them alone.",
                "The new seam takes width out of the upper thigh.",
                (
                    cures.blend(-1, INCH),
                    cures.curve(1, TWO_INCHES),
                    cures.room(("thigh",), HALF_INCH),
                ),
            ),
            _of_block("Let the block out at the thigh first."),
        ),
    ),
    Sign(
        "loose-folds",
        "Loose upright folds at the inner or outer thigh",
        "Standing",
        "back",
        "At which seam? Pinch the fold: how deep is it? Write that down as a pinch, too.",
        (
            "  |    | |  ",
            "  |    | |  ",
            "  |    |||  ",
            "   |    |   ",
            "   |    |   ",
        ),
        (
            Cause(
                "spare-width",
                "The narrowed leg shows them.",
                "Width is left at that seam.",
                (cures.blend(1, INCH), cures.curve(-1, TWO_INCHES)),
            ),
            _of_block("Take the block in there first."),
        ),
    ),
    Sign(
        "bump-at-blend",
        "A bump or a hollow where the new seam meets the old one",
        "Standing",
        "side",
        "Press it first, then look again.",
        (
            "  |     |   ",
            "  |     )   ",
            "  |     |   ",
            "  |    /    ",
            "  |   |     ",
        ),
        (
            Cause(
                "curve",
                "Pressing does not help, and both seams of the leg show it.",
                "The curve turns too quickly for this fabric.",
                (
                    cures.curve(1, TWO_INCHES, SEAMS),
                    cures.blend(1, HALF_INCH, SEAMS),
                    cures.blend(-1, HALF_INCH, SEAMS),
                ),
            ),
            Cause(
                "sewing",
                "One seam shows it.",
                "It was sewn off the line.",
                instead="Sew that stretch again, on the line.",
            ),
        ),
    ),
    Sign(
        "rippling-hem",
        "The hem ripples, pulls or shows a step at the seams",
        "Standing",
        "front",
        "Is the turned-up edge shorter or longer than the leg it meets?",
        (
            "  |       | ",
            "  |       | ",
            "  |~~~~~~~| ",
            "   \\_/\\_/\\| ",
        ),
        (
            Cause(
                "depth",
                "The turned-up edge does not match the leg, and the hem is deep.",
                "A deep fold-up meets a leg of another width.",
                (cures.shallower(HALF_INCH), cures.faced()),
            ),
            Cause(
                "sewing",
                "The fold-up was drawn for another leg than the one that was sewn.",
                "Pinches moved the seams after the fold-up was drawn.",
                instead="Fold the hem, trace the sewn seams through, and cut the fold-up by them.",
            ),
        ),
    ),
    Sign(
        "hem-at-foot",
        "The hem breaks on the foot, or hangs clear of it",
        "Standing",
        "side",
        "Look in the shoes that will be worn.",
        (
            "  |     |   ",
            "  |     |   ",
            "  |__ __/_  ",
            "  (__v____) ",
        ),
        (
            Cause(
                "long",
                "It breaks.",
                "The leg is long for these shoes.",
                (cures.leg_end(1, HALF_INCH),),
            ),
            Cause(
                "short",
                "It hangs clear.",
                "The leg is short for these shoes.",
                (cures.leg_end(-1, HALF_INCH),),
            ),
        ),
    ),
    Sign(
        "tight-foot",
        "The foot goes through with a tug, or not at all",
        "Putting it on",
        "front",
        "Point the toes: with a bare foot first, then in a sock.",
        (
            "  |   |     ",
            "  |___|     ",
            "  / | \\__   ",
            " (__|____)  ",
        ),
        (
            Cause(
                "hem",
                "It happens without a sock, too.",
                "The hem is narrower than heel and instep.",
                (cures.foot_passes(), cures.slit()),
            ),
        ),
        "Nebraska Extension EC73-455 (1973); New Mexico State University C-209",
        first=True,
    ),
    Sign(
        "caught-hem",
        "The heel or a stair catches the hem",
        "Climbing a step",
        "side",
        "Walk, and climb stairs with a hand on the rail. First of all this is a fall.",
        (
            "  |     |   ",
            "  |_____|_  ",
            "  (__X____) ",
            " ____|      ",
            "     |____  ",
        ),
        (
            Cause(
                "long",
                "The hem reaches under the heel or the toe.",
                "The leg is too long.",
                (cures.leg_end(1, HALF_INCH),),
                "Mend this before anything else.",
            ),
        ),
        first=True,
    ),
    Sign(
        "bagging-knees",
        "The knees bag after an hour",
        "After an hour",
        "side",
        "Measure around the leg at the knee, sit for an hour, measure again.",
        (
            "  |    |    ",
            "  |    \\    ",
            "  |     )   ",
            "  |    /    ",
            "  |    |    ",
        ),
        (
            Cause(
                "fabric",
                "The second measure is larger.",
                "The fabric does not recover.",
                (cures.room(("knee",), HALF_INCH),),
                instead=_FABRIC + "take one that recovers, or make the knee wider.",
            ),
        ),
    ),
    Sign(
        "pain",
        "Pain, numbness, marks on the skin, swelling",
        "After an hour",
        "front",
        "Take it off at once.",
        (
            "  |     |   ",
            "  | !!! |   ",
            "  | !!! |   ",
            "  |     |   ",
        ),
        (
            Cause(
                "tight",
                "Anything of it was felt or seen.",
                "Loosen it at once, and see a doctor. Hours of squatting in tight pants have "
                "damaged muscle and nerve.",
                (cures.room(("calf", "knee", "thigh"), INCH), cures.room(("calf", "knee"), INCH)),
            ),
        ),
        "Wai, Thompson, Kimber, J. Neurol. Neurosurg. Psychiatry 87 (2016), 782",
        first=True,
    ),
)

BY_ID: Mapping[str, Sign] = MappingProxyType({sign.id: sign for sign in SIGNS})


def sign_named(name: str) -> Sign:
    """Return a sign by its name. Raises `ProjectError` that names the nearest, or all of them."""
    if name in BY_ID:
        return BY_ID[name]
    near = get_close_matches(name, BY_ID, 1)
    known = f"did you mean {near[0]}?" if near else f"use {', '.join(BY_ID)}"
    raise ProjectError("sign", f'there is no sign "{clean(name, 30)}"; {known}')


def in_order() -> tuple[Sign, ...]:
    """Return the signs in the order in which one tries on: by pose, then side, front and back."""
    return tuple(sorted(SIGNS, key=lambda one: (POSES.index(one.pose), VIEWS.index(one.view))))


def words_of(seen: SeenSign) -> str:
    """Return the words of a sign; one that another version wrote is told by its name."""
    known = BY_ID.get(seen.sign)
    return known.words if known else clean(seen.sign, 40)


def told(seen: SeenSign) -> str:
    """Say a sign of a round in one sentence."""
    where = f" ({clean(seen.where, 60)})" if seen.where else ""
    if seen.cause == GONE:
        return f"Gone: {words_of(seen).lower()}{where}."
    known = BY_ID.get(seen.sign)
    cause = next((c.says for c in known.causes if c.id == seen.cause), "") if known else ""
    return " ".join(filter(None, [f"Seen: {words_of(seen).lower()}{where}.", cause]))


def sign_text(sign: Sign) -> str:
    """Return all about a sign: words, drawing, what to look at, and its causes."""
    lines = [f"{sign.id}: {sign.words}", "", *(f"    {row}".rstrip() for row in sign.drawing), ""]
    lines.append(f"{sign.pose}, from the {sign.view}. {sign.look}")
    for cause in sign.causes:
        lines.append(f"- {cause.id}: {cause.tell} {cause.says} {_mends(cause)}".rstrip())
    return "\n".join([*lines, f"Source: {sign.source}."])


def _mends(cause: Cause) -> str:
    """Return what mends a cause, its amounts in inches and centimeters."""
    ways = [
        cure.says.format(amount=f"{cure.amount['in']} ({cure.amount['cm']})" if cure.amount else "")
        for cure in cause.cures
    ]
    return " ".join(filter(None, [f"Try: {'; or '.join(ways)}." if ways else "", cause.instead]))
