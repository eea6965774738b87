"""The sheet that goes with a pattern, as plain text data: what a person keeps at the machine."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from legtaper.checks.base import Finding
from legtaper.checks.registry import check_of
from legtaper.checks.sewn_pairs import sewing_in
from legtaper.leg.block import OUTSEAM_SIDE
from legtaper.leg.slit import longer_along
from legtaper.model.lengths import say_length
from legtaper.model.levels import say_level
from legtaper.model.project import SEAMS, AllowanceEdge, seam_of
from legtaper.model.safe_text import clean
from legtaper.model.said_lengths import say_around, say_less, say_small, say_up_to
from legtaper.model.sheet_table import SheetTable
from legtaper.muslin import sewing
from legtaper.muslin.advice import look_text
from legtaper.muslin.log import history, stamp
from legtaper.muslin.sewing import Work, parts_for
from legtaper.muslin.signs import in_order
from legtaper.outputs.pattern_drawing import CAUTIONS
from legtaper.outputs.piece_words import PAIR, LegChoice, Printing, leg_words
from legtaper.pattern import Fit, Pattern


@dataclass(frozen=True)
class SheetList:
    """Lines under a heading; where `to_tick`, each has a box in front of it."""

    title: str
    lines: tuple[str, ...]
    to_tick: bool = False


@dataclass(frozen=True)
class SheetSteps:
    """Parts of the work, each a name and what to do."""

    steps: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class SheetPage:
    """A page of its own behind the others: steps, lists and tables under one heading.

    may_follow: whether it stands below what is before it, where all of it has room there.
    """

    title: str
    parts: tuple[SheetSteps | SheetList | SheetTable, ...]
    may_follow: bool = False


@dataclass(frozen=True)
class Sheet:
    """All that the sheet says, in the order in which it is read.

    facts: one line each. findings: (status, sentence). cautions: said once. pages: each on a page
    of its own, at the end.
    """

    title: str
    subtitle: str
    facts: tuple[str, ...]
    tables: tuple[SheetTable, ...]
    findings: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    footer: str
    pages: tuple[SheetPage, ...] = ()


_LEVEL = 0.5  # mm; a hem that slants by less looks level: common practice

_PLANNED = ("liked",)  # steps whose checks are of no use once the pattern is made

_SAYS = {"fail": "fails", "caution": "warning"}
"""What a sheet tells of the checks, in its words; what is well needs no paper."""

_UNTESTED = {"tested": "unknown"}
"""What a garment's sheet tells where it is unknown, too: a muslin is there to find it out."""


def pattern_sheet(pattern: Pattern, printing: Printing = PAIR) -> Sheet:
    """Return the sheet of one design.

    With both legs, or the block as it is, it is the sheet of a muslin and ends with a page to fill
    in while trying on. It has no marks for a ruler: the lines lie behind it at true size.
    """
    fit, shown = pattern.fit, pattern
    is_muslin = printing.leg != "narrowed"
    if is_muslin:
        shown = pattern.for_test
    when = stamp(fit.project, fit.design, printing.on, is_test=is_muslin)
    what = f"Design: {clean(fit.design.name, 60)}. " if not fit.is_the_block else ""
    pages = [sewing_page(shown, printing)]
    warned = [
        finding
        for finding in shown.findings
        if _status(finding, is_muslin) and check_of(finding.id).steps != _PLANNED
    ]
    told = tuple((_status(finding, is_muslin), finding.says) for finding in warned)
    uneven = {finding.where for finding in warned if finding.id == "sewn-pair"}
    if is_muslin:
        pages.append(trying_page(fit, printing))
    title = clean(fit.project.name or "Trousers", 80)
    return Sheet(
        title=title,
        subtitle=f"{what}{when.capitalize()}.",
        facts=(
            *_before_the_wash(shown),
            *_sewn_in(fit, uneven),
            *_hem_corners(shown, printing),
            *making(shown),
        ),
        tables=(_finished_table(fit, printing),),
        findings=told,
        cautions=CAUTIONS,
        footer=title,
        pages=tuple(pages),
    )


def _status(finding: Finding, is_muslin: bool) -> str:
    """Return the word before a finding, "" where the sheet does not tell it."""
    unknown = _UNTESTED.get(finding.id, "") if finding.status == "unknown" else ""
    return _SAYS.get(finding.status, "" if is_muslin else unknown)


def work_of(pattern: Pattern, leg: LegChoice) -> Work:
    """Return what there is to sew of a pattern: of one leg of it, or of both for a muslin."""
    fit = pattern.fit
    panels = pattern.unaltered if leg == "unaltered" else pattern.narrowed
    return Work(
        own_top=any(panel.join is not None for panel in panels.values()),
        slit=any(panel.slit is not None for panel in panels.values()),
        faced=fit.hem.style == "faced",
        double=fit.hem.turn_under > 0,
        muslin=leg != "narrowed",
        both=leg == "both",
        stretch=fit.project.fabric.kind == "knit" or fit.project.fabric.stretches,
    )


def sewing_page(pattern: Pattern, printing: Printing) -> SheetPage:
    """Return the page that says how to sew it, without what this pattern has no use for."""
    steps = tuple((part.name, part.says) for part in parts_for(work_of(pattern, printing.leg)))
    return SheetPage(sewing.TITLE, (SheetSteps(steps),), may_follow=True)


def trying_page(fit: Fit, printing: Printing) -> SheetPage:
    """Return the page to fill in while trying on: the signs in the order in which one looks."""
    legs = [leg_words(printing, leg).replace(" LEG,", ":") for leg in printing.legs]
    box = "[\u00a0\u00a0\u00a0]"
    looks = [f"{sign.pose}, {sign.view}" for sign in in_order()]
    rows = tuple(
        ("" if look == above else look, sign.words, *[box] * len(legs))
        for sign, look, above in zip(in_order(), looks, ["", *looks], strict=False)
    )
    signs = SheetTable("", ("Look", "Tick what you see", *legs), rows)
    blank = "_" * 14
    pinches = SheetTable(
        "Pinched out of the narrowed leg (minus: let out)",
        ("Level", "Seam", "Depth, from seam to pin"),
        ((blank, "outseam / inseam", blank),) * 3,
    )
    verdict = "Verdict, against the leg you would like: closer / too far / done"
    if fit.is_the_block:
        verdict = "Verdict: hangs clean / needs fitting"
    ends = SheetList(
        "", (f"Day: {blank}", f"{verdict}. Then type it all into legtaper, step Muslin fitting.")
    )
    asked = look_text(fit.project, fit.design)
    before = (SheetList("From the last round", asked, to_tick=True),) if asked else ()
    went = history(fit.project)[:-1]
    past = (SheetList("What went before", went),) if went else ()
    return SheetPage("Trying it on", (*before, signs, pinches, ends, *past))


def facts(pattern: Pattern) -> tuple[str, ...]:
    """Return the answers that drawing, cutting and sewing need, one line each."""
    fit, unit = pattern.fit, pattern.fit.project.length_unit

    def say(mm: float) -> str:
        return say_length(mm, unit)

    around = f"Around the hem: {say_around(fit.block.widths['hem'], unit)} in the block"
    if not fit.is_the_block:
        around += f", {say_around(fit.taper.finished['hem'], unit)} finished"
    blends = [
        f"{seam} blends into the old seam at "
        f"{say_up_to(trued.blend, fit.block.blend_top(seam), unit)}, "
        f"over a curve of {say(trued.curve)}"
        for seam in SEAMS
        for trued in [next(t for edge, t in fit.taper.seams.items() if seam_of(edge) == seam)]
        if trued.changed
    ]
    return f"{around}.", *(f"The {blend}." for blend in blends), *making(pattern)


def making(pattern: Pattern) -> tuple[str, ...]:
    """Return what a person at the machine has to know of hem, slit and allowances."""
    fit, unit = pattern.fit, pattern.fit.project.length_unit

    def say(mm: float) -> str:
        return say_length(mm, unit)

    hem = f"Hem: {fit.hem.style}, {say(fit.hem.depth)} deep"
    if fit.hem.turn_under:
        hem += f", turned under {say(fit.hem.turn_under)}"
    if fit.hem.come_in:
        hem += f"; each cut edge comes in {say_small(fit.hem.come_in, unit)} for the turn of fabric"
    edges: list[AllowanceEdge] = ["outseam", "inseam"]
    slit = []
    if fit.slit.height is not None:
        along = longer_along(fit.block, fit.taper.seams, fit.slit.height, unit)
        high = f"{say(fit.slit.height)} high, {along}" if along else say(fit.slit.height)
        slit = [f"Slit: {high} up the outseam from the hem."]
        edges.append("slit")
    if any(rest.whole for rest in fit.block.rests.values()):
        edges += ["waist", "crotch"]
    allowances = ", ".join(f"{edge} {say(pattern.allowance[edge])}" for edge in edges)
    if fit.hem.style == "faced":
        allowances += f", hem edge {say(pattern.allowance['inseam'])}"
    return f"{hem}.", *slit, f"Allowances outside the seam line: {allowances}."


def _sewn_in(fit: Fit, uneven: Collection[str]) -> Iterator[str]:
    """Yield which panel is eased or stretched to the other, but for seams that are warned of.

    The block as it is has no narrowed seams to tell of.
    """
    if fit.is_the_block:
        return
    for seam, how in sewing_in(fit.leg):
        if seam not in uneven:
            yield f"Narrowed leg, sewing the {seam}: above its highest notch {how}."


def _before_the_wash(pattern: Pattern) -> Iterator[str]:
    """Yield by how much the paper is larger than the leg will be, where the fabric shrinks."""
    if pattern.drawn is not pattern.fit:
        grown = pattern.fit.project.fabric.grown_in_words("longer", "wider")
        yield (
            f"For fabric that is not washed yet: the leg is drawn {grown}. Draw your own top so, "
            "too. Widths, hem and slit are said as they are once washed."
        )


def _hem_corners(pattern: Pattern, printing: Printing) -> Iterator[str]:
    """Yield where a hem that slants ends at its seams, beside its height at the grainline."""
    start, unit = pattern.drawn.block.start, pattern.fit.project.length_unit
    panels = pattern.unaltered if printing.leg == "unaltered" else pattern.narrowed
    for name, panel in panels.items():
        ends = sorted(panel.shape.folds[0][[0, -1]].tolist(), key=lambda at: at[0])
        corners = dict(zip(SEAMS, ends[:: -OUTSEAM_SIDE[name]], strict=True))
        said = [
            f"{seam} {say_small(abs(y - start), unit)} {'higher' if y > start else 'lower'}"
            for seam, (_, y) in corners.items()
            if abs(y - start) > _LEVEL
        ]
        if said:
            yield f"{name.capitalize()} hem, beside its height at the grainline: {', '.join(said)}."


def _finished_table(fit: Fit, printing: Printing) -> SheetTable:
    """Return the widths around each leg that is printed: what a person measures on it sewn."""
    whole = widths_table(fit)
    levels, _, *columns = zip(whole.header, *whole.rows, strict=True)  # a row of each column
    shown = {"unaltered": columns[:1], "narrowed": columns[1:2]}
    rows = (row for leg in sorted(printing.legs, reverse=True) for row in shown[leg])
    return SheetTable(whole.title, levels, tuple(rows))


def widths_table(fit: Fit) -> SheetTable:
    """Return the widths around the leg by level, as the block has them and finished."""
    unit = fit.project.length_unit
    rows = []
    for level, y in reversed(tuple(fit.block.heights.items())):
        if not fit.block.goes_round(level):
            continue
        old, new = fit.block.widths[level], fit.taper.finished[level]
        placed = " (placed)" if level in fit.block.estimated else ""
        name = clean(say_level(level), 30) + placed
        widths = (say_around(old, unit),) if fit.is_the_block else say_less(old, new, unit)
        rows.append((name, say_length(y, unit), *widths))
    header: tuple[str, ...] = ("Level", f"Above {fit.block.hem_name}", "Block")
    if not fit.is_the_block:
        header += ("Finished", "Comes off")
    washed = "" if fit.grown is fit else ", once washed"
    return SheetTable(f"Width around the leg{washed}", header, tuple(rows))
