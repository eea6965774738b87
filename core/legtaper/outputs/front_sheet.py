"""The sheet that goes with a pattern, as plain text data: what a person keeps at the machine."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from legtaper.geometry.offset import allowance_widths
from legtaper.model.lengths import say_length, say_small
from legtaper.model.levels import say_level
from legtaper.model.project import CHECKLIST, SEAMS, AllowanceEdge, SeamName, Trial, seam_of
from legtaper.model.safe_text import clean
from legtaper.model.sheet_table import SheetTable
from legtaper.muslin.log import history, stamp
from legtaper.outputs.marking_table import DEFAULT_STEP, Mark, marks
from legtaper.outputs.pattern_drawing import CAUTIONS, LegChoice
from legtaper.pattern import Fit, Pattern


@dataclass(frozen=True)
class SheetList:
    """Lines under a heading; where `to_tick`, each has a box in front of it."""

    title: str
    lines: tuple[str, ...]
    to_tick: bool = False


@dataclass(frozen=True)
class Sheet:
    """All that the sheet says, in the order in which it is read.

    facts: one line each. findings: (status, sentence). cautions: said once. lists: stand right
    after the facts.
    """

    title: str
    subtitle: str
    facts: tuple[str, ...]
    tables: tuple[SheetTable, ...]
    findings: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    footer: str
    lists: tuple[SheetList, ...] = ()


def pattern_sheet(
    pattern: Pattern,
    step: str | None = None,
    on: date | None = None,
    leg: LegChoice = "narrowed",
) -> Sheet:
    """Return the sheet of one design; lengths in the marks are rounded to `step`.

    With both legs it is the sheet of a test, and says how to sew it and what to try in it.
    """
    fit = pattern.fit
    step = step or DEFAULT_STEP[fit.project.length_unit]
    when = stamp(fit.project, fit.design, on)
    went_before = history(fit.project)
    lists = [SheetList("What went before", went_before)] if went_before else []
    if leg == "both":
        lists += test_lists(pattern)
    return Sheet(
        title=clean(fit.project.name or "Trousers", 80),
        subtitle=f"Design: {clean(fit.design.name, 60)}. {when.capitalize()}.",
        facts=facts(pattern),
        tables=(widths_table(fit), *(marks_table(fit, seam, step) for seam in SEAMS)),
        findings=tuple((found.status, found.says) for found in pattern.findings),
        cautions=CAUTIONS,
        footer="One leg: front and back. Marks are heights above the hem, along the grainline.",
        lists=tuple(lists),
    )


_TRIALS: dict[Trial, str] = {
    "stand": "the creases hang straight, and alike on both legs",
    "sit": "thigh and knee do not bind, and the hem stays where it is",
    "climb a step": "the leg slides over the knee and back",
    "bend the knee": "nothing pulls at the back of the knee or at the calf",
    "put the foot through": "heel and instep pass without force",
}
"""What to look for in each part of the checklist. Common practice."""


def test_lists(pattern: Pattern) -> tuple[SheetList, ...]:
    """Return what to heed when the test is sewn, and the checklist for trying it on."""
    fit = pattern.fit
    unit = fit.project.length_unit
    widths = allowance_widths(fit.project.allowance, unit)
    levels = {
        "hip" if notch.level == fit.block.fullest else notch.level: None
        for panel in pattern.narrowed.values()
        for notch in sorted(panel.notches, key=lambda notch: notch.at[1])
    }
    sew = (
        "Cut one leg from the pieces named unaltered and the other from those named narrowed; "
        "write the names on the cloth.",
        f"Sew on the thin solid line: allowances outseam {say_length(widths['outseam'], unit)}, "
        f"inseam {say_length(widths['inseam'], unit)}.",
        f"Match the notches, single on the front and double on the back: {', '.join(levels)}.",
        "Use a long stitch, press the seams open, and pin the hem up on its fold line.",
    )
    write = (
        "Pinched out at a seam: level, outseam or inseam, depth of the fold (minus lets out): "
        "______________________________",
        "Closer, too far or done: ______________    Day: ______________",
    )
    tries = tuple(f"{trial}: {_TRIALS[trial]}" for trial in CHECKLIST)
    return (
        SheetList("Sewing the test", sew),
        SheetList("Trying it on", tries, to_tick=True),
        SheetList("Write down", write),
    )


def facts(pattern: Pattern) -> tuple[str, ...]:
    """Return the answers that cutting and sewing need, one line each."""
    fit, unit = pattern.fit, pattern.fit.project.length_unit

    def say(mm: float) -> str:
        return say_length(mm, unit)

    blends = [
        f"{seam} blends into the old seam at {say(trued.blend)}, over a curve of {say(trued.curve)}"
        for seam in SEAMS
        for trued in [next(t for edge, t in fit.taper.seams.items() if seam_of(edge) == seam)]
        if trued.eased is not None
    ]
    hem = f"Hem: {fit.hem.style}, {say(fit.hem.depth)} deep"
    if fit.hem.turn_under:
        hem += f", turned under {say(fit.hem.turn_under)}"
    if fit.hem.come_in:
        hem += f"; each cut edge comes in {say_small(fit.hem.come_in, unit)} for the turn of cloth"
    slit = "Slit: none"
    if fit.slit.height is not None:
        slit = f"Slit: {say(fit.slit.height)} up the outseam from the hem"
    widths = allowance_widths(fit.project.allowance, unit)
    edges: list[AllowanceEdge] = ["outseam", "inseam", "slit"]
    if any(rest.whole for rest in fit.block.rests.values()):
        edges += ["waist", "crotch"]
    allowances = ", ".join(f"{edge} {say(widths[edge])}" for edge in edges)
    narrow = f"Round the hem: {say(float(fit.block.circumference(0.0)))} in the block"
    narrow += f", {say(float(fit.taper.circumference(0.0)))} finished"
    return (
        f"{narrow}.",
        *(f"The {blend}." for blend in blends),
        f"{hem}.",
        f"{slit}.",
        f"Allowances outside the seam line: {allowances}.",
    )


def widths_table(fit: Fit) -> SheetTable:
    """Return the widths round the leg by level, as the block has them and finished."""
    unit = fit.project.length_unit
    rows = []
    for level, y in reversed(tuple(fit.block.heights.items())):
        if not fit.block.goes_round(level):
            continue
        old, new = fit.block.widths[level], fit.taper.finished[level]
        placed = " (placed)" if level in fit.block.estimated else ""
        rows.append(
            (
                clean(say_level(level), 30) + placed,
                say_length(y, unit),
                say_length(old, unit),
                say_length(new, unit),
                say_length(old - new, unit),
            )
        )
    header = ("Level", "Above hem", "Block", "Finished", "Comes off")
    return SheetTable("Width around the leg", header, tuple(rows))


_STEPS = {"1/8in": "1/8 in", "1/16in": "1/16 in", "1mm": "1 mm"}


def marks_table(fit: Fit, seam: SeamName, step: str) -> SheetTable:
    """Return the marks of one seam, front beside back, from the top down.

    The part of the seam stands once in a row where it is the same on both panels throughout.
    """
    unit = fit.project.length_unit
    by_height: dict[float, dict[str, Mark]] = {}
    for mark in marks(fit, step):
        if seam_of(mark.edge) == seam:
            by_height.setdefault(mark.height, {})[mark.edge.partition("_")[0]] = mark
    parts = [{mark.part for mark in pair.values()} for pair in by_height.values()]
    once = all(len(names) == 1 for names in parts)

    def cells(mark: Mark | None) -> tuple[str, ...]:
        if mark is None:
            return ("", "") if once else ("", "", "")
        come_in = say_length(mark.come_in, unit, step)
        place = (come_in, say_length(mark.from_grainline, unit, step))
        return place if once else (*place, mark.part)

    rows = []
    for height in sorted(by_height, reverse=True):
        pair = by_height[height]
        some = next(iter(pair.values()))
        where = (say_length(height, unit, step), clean(say_level(some.level), 30))
        part = (some.part,) if once else ()
        rows.append((*where, *part, *cells(pair.get("front")), *cells(pair.get("back"))))
    each = () if once else ("part",)
    header = (
        "Above hem", "Level", *(("Part",) if once else ()), "Front: come in", "from grainline",
        *each, "Back: come in", "from grainline", *each,
    )  # fmt: skip
    note = (
        "Come in from the old line, or measure from the grainline. Straight: rule between the "
        "marks. Curve: join the marks smoothly. Old seam: nothing changes."
    )
    if fit.design.style == "follow":
        note = (
            "Come in from the old line, or measure from the grainline. Straight: what comes off "
            "runs evenly, so the new line keeps the old one's shape. Curve: join the marks "
            "smoothly. Old seam: nothing changes."
        )
    return SheetTable(f"{seam.capitalize()}: rounded to {_STEPS[step]}", header, tuple(rows), note)
