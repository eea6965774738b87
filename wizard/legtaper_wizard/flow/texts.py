"""The words of the wizard: what each step is for, and how each question is answered."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from legtaper_wizard.flow.dates import say_date
from legtaper_wizard.flow.settings import settings


class StepWords(NamedTuple):
    """title; why: two or three sentences; help: more for F1, one paragraph each."""

    title: str
    why: str
    help: tuple[str, ...] = ()


class Words(NamedTuple):
    """label; how to measure or type it; what is so without it; common slips for F1."""

    label: str
    how: str
    if_skipped: str = ""
    slips: str = ""


STEPS: Mapping[str, StepWords] = {
    "project": StepWords(
        "Project",
        "One project is one wearer and one pair of trousers. Give it a name you will know it by, "
        "and the unit on your tape.",
        (
            "Any length may be typed in inches or centimeters, as 2 1/2 in, 2.5 in or 6.5 cm. "
            "A bare number takes the project's unit.",
            "Everything is saved after each answer. You can stop at any time and go on later.",
        ),
    ),
    "wearer": StepWords(
        "Wearer and cloth",
        "A leg must leave room to sit, to climb and to get the foot through. These girths let "
        "the program say how much room is left. Skip what you cannot measure; each says what "
        "then stays unknown.",
        (
            "Measure over thin clothes or underwear, the tape level and close without pulling.",
            "Measure both legs and take the larger.",
        ),
    ),
    "block": StepWords(
        "Block",
        "The block is your own trouser pattern that fits at waist and hip. Draw the grainline "
        "down each panel, square lines across it at each level, and measure from the grainline "
        "to the stitching line.",
        (
            "Heights run up the grainline from the finished hem line.",
            "If your pattern has seam allowances, measure to the stitching line inside them.",
            "The grainline runs down the middle of the leg; where knee and hem lie evenly beside "
            "it, the crease line does too.",
            "A block may be left half measured and finished later.",
            "Two other ways to a block are under more. A starting block is drafted from the "
            "wearer's girths and heights: sew and fit it before you taper. Or trace your pattern "
            "at true size in a drawing program, each panel one closed outline, and take the SVG "
            "or DXF file.",
        ),
    ),
    "block-test": StepWords(
        "Test of the block",
        "A taper keeps every fault the block has, and a narrow leg shows them more. So sew the "
        "block first as it is, in cheap cloth, and judge it before anything comes off.",
        (
            "Sewing the muslin: cut both legs from the unaltered block in cheap cloth of like "
            "weight, add 1 in (2.5 cm) allowances, mark grainline, knee and hip lines, and sew "
            "with a long stitch. Turn up the hem.",
            "Look at it standing, in profile, sitting and on a stair: the grainline should hang "
            "plumb, the crotch neither pull nor drop, the hip lie smooth, the side seam run "
            "straight down.",
            "If it pulls, twists or folds, fit the block first. Narrowing a leg that twists makes "
            "it twist more, and you could not tell which of the two was the cause.",
        ),
    ),
    "liked": StepWords(
        "Legs you like",
        "Trousers you like to wear say more than a table. Measure their legs at the same levels. "
        "You may measure several pairs, or none.",
        (
            "Lay the leg flat, smooth it without stretching, and measure straight across from "
            "seam to seam, square to the crease.",
            "Find the knee level by measuring up from the hem as far as on your block.",
            "A width in stretch cloth does not carry over to firm cloth unchanged; both numbers "
            "are shown.",
        ),
    ),
    "narrowing": StepWords(
        "How narrow",
        "Say for the hem, and where you like for knee, calf and thigh, either how much comes off "
        "each edge or how wide the leg shall be. The same comes off all four edges, so the crease "
        "line stays centered and the back keeps its greater width.",
        (
            "5/8 in off each edge is 2 1/2 in off round the leg, because a leg has four edges: "
            "front and back, inseam and outseam.",
            "The hem alone is enough for most tapers. Ask at the knee when the leg should be "
            "close from the knee down.",
            "A level is asked for in one way only: the last answer replaces the other.",
        ),
    ),
    "blend": StepWords(
        "How high it blends",
        "The new seam runs into the old one at the blend. A higher blend or a shorter curve takes "
        "more out of the thigh; a lower one leaves the thigh as it is.",
        (
            "The outseam may blend as high as the level the trousers hang from, the inseam as "
            "high as the crotch point. Both must blend above the highest level you asked for.",
            "The style follow keeps the line of the old seam. The style straight gives a line a "
            "yardstick can mark, where that stays inside the old seam.",
        ),
    ),
    "foot": StepWords(
        "Does the foot pass",
        "The hem must let the foot through: round the heel and over the instep, toes pointed. "
        "Where it does not, the outseam gets a slit, or the hem is left wider.",
        (
            "The slit reaches up to where the leg is as wide as the foot needs. If that is above "
            "the calf, a zip or buttons serve better.",
        ),
    ),
    "hem": StepWords(
        "Hem",
        "A tapered leg is narrower at the hem than above it. The fold-up must widen downwards as "
        "the leg above it does, as in a mirror, or it will not lie flat inside.",
        (
            "Where the true hem line curves by more than 3 mm, a fold-up cannot lie flat; a "
            "facing with the leg's own shape does.",
        ),
    ),
    "pattern": StepWords(
        "Pattern",
        "The answers make a pattern now. Look it over, set the allowances, and write it at true "
        "size.",
        (
            "Allowances come last, outside the finished seam line. Each edge may differ.",
            "Print a page with the scale square first and measure it before you cut.",
        ),
    ),
    "fitting": StepWords(
        "Muslin fitting",
        "Sew one leg as it was and one narrowed, try both on, and write down what you see and "
        "pinch. The next design is this one less the pinches.",
        (
            "Test in cheap cloth. Write both legs from here, or mark them out by ruler, and say "
            "when. Then try on: stand, sit, climb a step, bend the knee, put the foot through.",
            "A fold pinched at a seam is measured as it stands off, from the seam to the pin. It "
            "takes its depth off each of the two edges there; a minus lets out. An emptied cell "
            "takes a pinch away.",
            "Evened out over four edges, the crease line stays centered and the back keeps its "
            "greater width. As pinched, only the pinched seam gives.",
            "Nothing that was sewn is taken out. Under F7 you can go back to any round.",
        ),
    ),
}

_GIRTH = "Tape level, close but not pulled."

FIELDS: Mapping[str, Words] = {
    "name": Words("Name of the project", "A few words, such as Courier trousers."),
    "length_unit": Words(
        "Unit", "What lengths are shown in, and what a bare number means. Any unit may be typed."
    ),
    "wearer.height": Words(
        "Height",
        "Standing against a wall without shoes.",
        "the foot entry cannot be estimated from ankle and height",
        "5 ft 6 in and 66 in are both understood.",
    ),
    "wearer.waist": Words(
        "Waist", f"Where the trousers shall sit. {_GIRTH}", "nothing here depends on it"
    ),
    "wearer.high_hip": Words(
        "High hip",
        f"Round the body about 4 in (10 cm) below the waist. {_GIRTH}",
        "whether the leg hangs from the hip or the high hip is read from the block",
    ),
    "wearer.hip": Words(
        "Hip",
        f"Round the fullest level below the waist. {_GIRTH}",
        "hip and hem in proportion stay unknown",
    ),
    "wearer.thigh": Words(
        "Thigh",
        f"Just below the crotch, standing. {_GIRTH}",
        "ease at the thigh stays unknown",
    ),
    "wearer.knee": Words(
        "Knee", f"Over the kneecap, leg straight. {_GIRTH}", "ease at the knee stays unknown"
    ),
    "wearer.knee_bent": Words(
        "Knee, bent",
        "Over the kneecap, sitting with the knee well bent.",
        "whether the leg binds when sitting stays unknown",
        "It is larger than the knee standing.",
    ),
    "wearer.calf": Words(
        "Calf", f"At the fullest place. {_GIRTH}", "ease at the calf stays unknown"
    ),
    "wearer.ankle": Words(
        "Ankle",
        f"At the narrowest place above the ankle bone. {_GIRTH}",
        "the foot entry cannot be estimated from ankle and height",
    ),
    "wearer.foot_entry": Words(
        "Foot entry",
        "Point the toes; measure round the heel and over the instep.",
        "whether the foot passes stays unknown, or is estimated",
        "Round the heel, not the ankle: it is the largest girth the hem must let through.",
    ),
    "wearer.foot_length": Words(
        "Foot length",
        "Heel to longest toe, standing. Only used to estimate the foot entry.",
        "nothing is lost where the foot entry is measured",
    ),
    "fabric.description": Words("Cloth", "A few words, such as 8 oz twill."),
    "fabric.kind": Words("Kind of cloth", "Firm woven cloth, woven cloth with stretch, or a knit."),
    "fabric.stretch_test": Words(
        "Stretch test",
        "Fold the cloth, mark {sample} crosswise, stretch it as far as it goes without force: "
        "what do the {sample} come to?",
        "stretch counts as none",
        "It fills in the stretch below.",
    ),
    "fabric.stretch_percent": Words(
        "Stretch, percent",
        "Crosswise, as measured. Half of it counts as usable.",
        "stretch counts as none",
    ),
    "fabric.thickness": Words(
        "Thickness",
        "Of one layer. Fold it to four layers, measure them, and divide by four.",
        "cloth counts as thin, so the fold-up is not brought in for the turn of the cloth",
    ),
    "block.label": Words("Block label", "What is written on the paper, to know it by."),
    "block.height": Words(
        "Height of the {level}",
        "Up the grainline from the finished hem to the {level} line.",
        "the {level} level is placed at a usual height and marked as estimated",
    ),
    "block.reach": Words(
        "{panel} {seam} at the {level}",
        "From the grainline square across to the {seam} stitching line of the {panel}.",
        "the seam is drawn through the levels beside it",
        "Measure to the stitching line, not to the cut edge.",
    ),
    "block_test.verdict": Words(
        "Verdict",
        "What did the muslin of the unaltered block show?",
        "whether the block hangs well stays unknown",
    ),
    "block_test.date": Words("Date of the test", "When it was tried on: {day}, or today."),
    "block_test.notes": Words("Notes", "What you saw, in your own words."),
    "liked.garment": Words("Garment", "What you call it, such as Grey corduroys."),
    "liked.measured": Words(
        "Measured", "Flat from seam to seam, which is doubled; or all the way round."
    ),
    "liked.stretch_percent": Words(
        "Stretch of its cloth, percent",
        "Crosswise: the gain over the length at rest. 0 for firm cloth.",
        "its cloth counts as firm",
    ),
    "liked.width": Words(
        "Width at the {level}", "Across the leg at the {level}, square to the crease."
    ),
    "liked.front_width": Words(
        "Front panel at the {level}", "The front alone, from seam to seam; needs the back too."
    ),
    "liked.back_width": Words(
        "Back panel at the {level}", "The back alone, from seam to seam; needs the front too."
    ),
    "design.take_in": Words(
        "Take in at the {level}",
        "Off each of the four edges at the {level}.",
    ),
    "design.width": Words(
        "Or finished width, {level}",
        "All the way round the finished leg at the {level}.",
        "nothing is asked for at the {level}",
    ),
    "design.extra": Words(
        "Extra at the {seam}, {level}",
        "Added to both edges of the {seam} at the {level}; a negative length lets out.",
    ),
    "design.blend": Words(
        "{seam} blends at",
        "Height above the hem where the new {seam} meets the old one.",
        "the usual height serves",
    ),
    "design.curve": Words(
        "Length of the {seam} curve",
        "How far below the blend the curve begins.",
        "half the way from the highest asked level to the blend",
    ),
    "design.blend.style": Words("Style", "How the new seam runs below the blend."),
    "design.hem.style": Words("Hem style", "How the hem is finished."),
    "design.hem.depth": Words(
        "Hem depth", "From the fold to the upper edge of the hem.", "the usual depth serves"
    ),
    "design.hem.turn_under": Words(
        "Turn under", "What is turned under at the raw edge.", "the usual depth serves"
    ),
    "design.slit.height": Words(
        "Slit at the outseam",
        "auto makes it as high as the foot needs, none leaves it out; or type a height above the "
        "hem.",
    ),
    "allowance.seam": Words(
        "Seam allowance", "Outside the stitching line, all edges.", "the usual one serves"
    ),
    "allowance.edge": Words(
        "Allowance at the {edge}", "Where this edge differs.", "the seam allowance serves"
    ),
    "round.printed": Words(
        "Test printed or marked out",
        "When you printed both legs, or marked them out: today, or as 2026-03-14.",
        "the round is not begun",
    ),
    "round.date": Words("Tried on", "The day: {day}, or today."),
    "round.trial.stand": Words("Stand", "Front, back and profile: does the leg hang straight?"),
    "round.trial.sit": Words("Sit", "Does thigh or knee bind?"),
    "round.trial.climb": Words("Climb a step", "Does the leg pull at knee or thigh?"),
    "round.trial.bend": Words("Bend the knee", "Does it bind, or slide up and stay there?"),
    "round.trial.foot": Words("Put the foot through", "Does the hem pass heel and instep?"),
    "round.notes": Words("Notes", "What you saw, in your own words."),
    "round.pinch": Words(
        "Pinched at the {level}, {seam}",
        "Depth of the fold pinned at the {seam}, from seam to pin. A minus lets out.",
    ),
    "round.verdict": Words("Verdict", "Next to what you want. Done accepts the design."),
}

_FAMILIES = (
    (r"block\.height\.(?P<level>.+)", "block.height"),
    (r"block\.(?P<panel>front|back)\.(?P<seam>outseam|inseam)\.(?P<level>.+)", "block.reach"),
    (r"liked\.\d+\.(?P<part>width|front_width|back_width)\.(?P<level>.+)", "liked.{part}"),
    (r"liked\.\d+\.(?P<part>\w+)", "liked.{part}"),
    (r"design\.(?P<part>take_in|width)\.(?P<level>.+)", "design.{part}"),
    (r"design\.extra\.(?P<seam>outseam|inseam)\.(?P<level>.+)", "design.extra"),
    (r"design\.blend\.(?P<seam>outseam|inseam)", "design.blend"),
    (r"design\.blend\.(?P<seam>outseam|inseam)_curve", "design.curve"),
    (r"round\.pinch\.(?P<seam>outseam|inseam)\.(?P<level>.+)", "round.pinch"),
    (r"allowance\.(?P<edge>outseam|inseam|waist|crotch|slit)", "allowance.edge"),
)


def words_of(key: str, sample: str = "") -> Words:
    """Return the words of a question, its level, panel and seam filled in.

    `sample` is the length of cloth that the stretch test begins with. An unknown key is its own
    label.
    """
    for pattern, family in _FAMILIES:
        if found := re.fullmatch(pattern, key):
            parts = {name: part.replace("_", " ") for name, part in found.groupdict().items()}
            words = FIELDS.get(family.format(**found.groupdict()), Words(key, ""))
            return _filled(words, parts)
    # Only a date asks the settings how a day is written.
    day = say_date(date(2026, 3, 14), settings().dates) if key.endswith(".date") else ""
    return _filled(FIELDS.get(key, Words(key, "")), {"sample": sample, "day": day})


def _filled(words: Words, parts: Mapping[str, str]) -> Words:
    label, how, if_skipped, slips = (text.format(**parts) for text in words)
    return Words(label[:1].upper() + label[1:], how, if_skipped, slips)


def help_text(step_id: str, field_key: str | None = None) -> str:
    """Return the F1 help of a step, or of one question in it: paragraphs, a blank line between."""
    step = STEPS[step_id]
    if field_key is None:
        return "\n\n".join((step.title, step.why, *step.help))
    words = words_of(field_key, "4 in (10 cm)")
    skipped = f"If you skip it: {words.if_skipped}." if words.if_skipped else ""
    parts = (words.label, words.how, words.slips, skipped, step.why, *step.help)
    return "\n\n".join(part for part in parts if part)
