"""What the words mean that the screens, the sheets and the commands use."""

from __future__ import annotations

from collections.abc import Mapping

GLOSSARY: Mapping[str, str] = {
    "allowance": "Fabric outside the seam line that the seam needs. It is added last, after "
    "the narrowing.",
    "balance": "Whether all four edges lose the same at a level. Where they do not, the crease "
    "leaves the middle of the panel or the leg twists.",
    "blend": "The height above the hem at which the new seam meets the old one. Above it nothing "
    "changes.",
    "block": "A trouser pattern that fits one body at waist and hip, without style and, here, "
    "without allowances; some call it a sloper. The legs are taken from it.",
    "crease line": "The line a pressed leg folds on. On a leg that is even beside its "
    "grainline the two are the same; where the leg's center is moved, it runs through the moved "
    "centers.",
    "crotch point": "Where the inseam ends at the top and meets the crotch seam.",
    "curve": "The part below the blend in which the new seam eases into the old one.",
    "cut line": "Where the scissors go: the seam line and its allowance.",
    "ease": "Room between body and fabric: the leg's width less the body's girth at that level. "
    "Negative where a stretch fabric is stretched to fit.",
    "extra": "What one seam loses at a level beyond the others, on both of its edges.",
    "facing": "A separate strip that finishes a hem which cannot be folded up.",
    "finding": "One thing that was checked, with its number and its bound. It is OK, a warning, "
    "fails, or is unknown where a measurement is missing.",
    "fold-up": "The part of a hem that is folded to the inside. It has to widen again where the "
    "leg narrows, so it is drawn as the leg's mirror image; in thick fabric a little "
    "narrower, to lie inside.",
    "foot entry": "The girth around the heel and over the instep, toes pointed: what a hem without "
    "a slit must let through.",
    "grainline": "The line on each panel that runs along the lengthwise threads and hangs plumb. "
    "All measuring starts from it.",
    "hem": "The lower end of the leg. The finished hem line is height 0.",
    "inseam": "The seam on the inner side of the leg, from crotch point to hem.",
    "level": "A line square across the grainline at one height: hem, calf, knee, thigh, crotch, "
    "hip.",
    "liked width": "The leg width of a garment you like to wear, measured at the same levels.",
    "muslin": "A test garment in cheap fabric. For a test of the taper one leg is sewn as the "
    "block has it and one narrowed.",
    "notch": "A short mark across a seam line that says where front and back meet.",
    "outseam": "The seam on the outer side of the leg, from waist to hem.",
    "panel": "One pattern piece of the leg: front or back.",
    "pinch": "A fold taken up at a seam while the muslin is worn. A pinch of one depth takes that "
    "depth from each of the two edges that meet there.",
    "reach": "How far a seam is from the grainline, square across, at one level.",
    "recovery": "How far a fabric that was stretched goes back. One that stays longer bags at the "
    "knee.",
    "room at the back": "What the back panel alone keeps at a level, as for a full calf, half of "
    "it at each of its seams.",
    "round": "One muslin, sewn, tried on and written down.",
    "rule": "To draw a line straight along a ruler: a ruled seam runs straight from mark to mark, "
    "in the style straight.",
    "seam line": "Where the needle goes: the pattern without allowances.",
    "slit": "An opening at the lower end of the outseam, for a foot that the hem does not pass.",
    "stretch": "How much longer a strip of the fabric can be pulled crosswise, in percent. Half of "
    "it counts as usable.",
    "take off": "How much comes off each edge at a level. Four edges make the leg: it grows "
    "narrower by four times as much.",
    "taper": "To narrow a leg towards its hem; also the leg so narrowed.",
    "trousers": "Pants: what the project is one pair of.",
    "true": "To redraw lines so that they run into one another across a seam without a corner, or "
    "so that seams that are sewn together are equally long.",
    "turn under": "The raw edge of a double hem, folded in before the hem is folded up.",
}
"""Each word of the trade and what is meant by it here, in the order of the alphabet."""


def glossary_text(word: str = "") -> str:
    """Return the words that hold `word`, or all of them, a paragraph each; "" where none does.

    The word itself comes first; what only has its letters in it is left out then.
    """
    wanted = word.strip().lower()
    holding = [name for name in GLOSSARY if wanted in name]
    whole = [name for name in holding if set(wanted.split()) <= set(name.split())]
    found = sorted(whole or holding, key=lambda name: name != wanted)
    return "\n\n".join(f"{name}: {GLOSSARY[name]}" for name in found)
