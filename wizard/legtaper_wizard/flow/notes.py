"""What the answers of a step do: numbers and warnings in plain lines, live."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

from legtaper.leg.foot import foot_entry
from legtaper.model.lengths import say_both, say_length, say_small
from legtaper.model.project import SEAMS, Project, SeamName
from legtaper_wizard.flow.block_notes import block_notes
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.keys import say_level
from legtaper_wizard.flow.progress import say_problem, state
from legtaper_wizard.flow.round_answers import is_waiting, number_at
from legtaper_wizard.flow.round_notes import fitting_notes
from legtaper_wizard.flow.shapes import LAST, Cursor, Note, NoteKind
from legtaper_wizard.flow.steppers import blend_range, curve_range, seam_line
from legtaper_wizard.flow.texts import STEPS
from legtaper_wizard.flow.wearer_notes import wearer_notes

if TYPE_CHECKING:
    from legtaper.checks.base import Finding
    from legtaper.pattern import Fit

_WORST_FIRST: Mapping[NoteKind, int] = {
    "fail": 0, "caution": 1, "question": 2, "number": 3, "info": 3, "good": 4,
}  # fmt: skip
_KINDS: Mapping[str, NoteKind] = {
    "pass": "good", "caution": "caution", "fail": "fail", "unknown": "question",
}  # fmt: skip


def shows(project: Project, step_id: str, at: Cursor = LAST) -> tuple[Note, ...]:
    """Return what the answers of a step do, or what is still missing to say so.

    What is wrong comes first and what is well last; between are questions and numbers.
    """
    found = state(project, step_id, at)
    if found.marker == "locked":
        return tuple(Note("info", _sentence(reason)) for reason in found.reasons)
    return tuple(sorted(_SHOWS[step_id](project, at), key=lambda note: _WORST_FIRST[note.kind]))


def finding_note(finding: Finding) -> Note:
    """Return a finding as a note."""
    return Note(_KINDS[finding.status], finding.says)


def _findings(fit: Fit, step_id: str) -> Iterator[Note]:
    """Yield what the checks found that this step can mend."""
    from legtaper.checks.registry import checks_on

    ids = {check.id for check in checks_on(step_id)}
    yield from (finding_note(found) for found in fit.findings if found.id in ids)


def _reasons(project: Project, step_id: str, at: Cursor) -> Iterator[Note]:
    """Say what is wrong or still wanted, where nothing could be computed."""
    found, problem = state(project, step_id, at), standing(project, at).fit_problem
    kind: NoteKind = "fail" if found.marker == "attention" else "info"
    yield from (Note(kind, _sentence(reason)) for reason in found.reasons)
    if problem and not found.reasons:
        yield Note("info", f"The numbers wait for another answer. {say_problem(problem)}.")


def _sentence(reason: str) -> str:
    end = "" if reason.endswith(".") else "."
    return reason[:1].upper() + reason[1:] + end


def _project(project: Project, _: Cursor) -> Iterator[Note]:
    unit = "inches" if project.length_unit == "in" else "centimeters"
    yield Note("info", f"Lengths are shown in {unit}. You may type any unit at any time.")


def _block_test(project: Project, at: Cursor) -> Iterator[Note]:
    test, block = project.block_test, standing(project, at).block
    if test is None:
        yield Note(
            "question",
            "Sew the block as it is and judge it first; you may go on without, but then a fault "
            "of the block and a fault of the taper look alike.",
        )
        yield from (Note("info", line) for line in STEPS["block-test"].help)
        return
    if block is not None and test.fingerprint != block.fingerprint:
        yield from _reasons(project, "block-test", at)
    elif test.verdict == "hangs clean":
        yield Note("good", "The block was tested as it is and hangs clean.")
    if test.verdict == "needs fitting":
        yield Note(
            "caution",
            "Stop here and fit the block. A narrow leg keeps every fault and shows it more, and "
            "what you measure on this block will change. You can go on all the same.",
        )


def _liked(project: Project, _: Cursor) -> Iterator[Note]:
    from legtaper.leg.widths import liked_widths

    unit, block = project.length_unit, standing(project, LAST).block
    for liked in project.liked:
        for level, width in liked_widths(liked, project.fabric).items():
            text = f"{liked.garment}, {say_level(level)}: {say_both(width.measured, unit)} round"
            if abs(width.equal_ease - width.measured) > 0.05:
                text += f"; in this cloth {say_both(width.equal_ease, unit)} feels the same"
            if block and level in block.widths:
                has = block.widths[level]
                text += f"; the block has {say_length(has, unit)}"
            yield Note("number", text + ".")
    if fit := standing(project, LAST).fit:
        yield from _findings(fit, "liked")
    yield from _reasons(project, "liked", LAST)


def _narrowing(project: Project, at: Cursor) -> Iterator[Note]:
    fit = standing(project, at).fit
    if fit is None:
        yield from _reasons(project, "narrowing", at)
        return
    number = number_at(project, at)
    if number and not is_waiting(project, at):
        yield Note(
            "caution",
            f"This design was tried on in round {number}. To keep it as it was sewn, make the next "
            "one from it on the step of the fitting, and change that.",
        )
    for asked in fit.taper.asked:
        yield Note("number", _width_line(fit, asked.level))
    yield from _findings(fit, "narrowing")
    if fit.design.style == "follow":  # ruled seams take too long to try at every answer
        from legtaper.search.hem_widths import hem_widths, sentence

        yield Note("number", sentence(hem_widths(fit)))


def hem_widths_page(project: Project, at: Cursor, *, spoken: bool = False) -> list[str]:
    """Return which hem widths work, as lines of text; none while nothing can be computed.

    In columns with a chart, or `spoken` as one sentence for each.
    """
    from legtaper.search import hem_widths as widths

    fit = standing(project, at).fit
    if fit is None:
        return []
    found = widths.hem_widths(fit)
    if spoken:
        return [widths.sentence(found), *widths.spoken(found)]
    return [widths.sentence(found), "", *widths.table(found)]


def _width_line(fit: Fit, level: str) -> str:
    """Say how wide the leg was and is at a level, and what comes off."""
    unit = fit.project.length_unit
    has, now = fit.block.widths[level], fit.taper.finished[level]
    line = (
        f"{say_level(level).capitalize()}: block {say_length(has, unit)}, now {say_both(now, unit)}"
    )
    if abs(has - now) < 0.05:
        return line + ", nothing off."
    edges = {round(fit.taper.taken(edge, level), 6) for edge in fit.taper.seams}
    each = f", {say_both(edges.pop(), unit)} each edge" if len(edges) == 1 else ""
    word = "off" if has > now else "let out"
    return line + f"; {say_both(abs(has - now), unit)} {word}{each}."


def _blend(project: Project, at: Cursor) -> Iterator[Note]:
    fit = standing(project, at).fit
    if fit is None:
        yield from _reasons(project, "blend", at)
        return
    for level in ("thigh", "knee", "calf"):
        yield Note("number", _width_line(fit, level))
    for seam in SEAMS:
        yield from _blend_range(fit, seam)
    yield from _findings(fit, "blend")


def _blend_range(fit: Fit, seam: SeamName) -> Iterator[Note]:
    unit, trued = fit.project.length_unit, seam_line(fit, seam)
    if trued.eased is None:
        return
    low, high = blend_range(fit, seam)
    longest = curve_range(fit, seam)[1]
    yield Note(
        "number",
        f"{seam.capitalize()}: blends at {say_both(trued.blend, unit)}, may lie above "
        f"{say_length(low, unit)} and up to {say_length(high, unit)}; the curve is "
        f"{say_length(trued.curve, unit)} long, at most {say_length(longest, unit)}.",
        f"design.blend.{seam}",
    )
    if abs(trued.blend - high) < 1e-3:
        yield Note("info", f"The {seam} cannot blend higher than this.", f"design.blend.{seam}")


def _foot(project: Project, at: Cursor) -> Iterator[Note]:
    fit, unit = standing(project, at).fit, project.length_unit
    if fit is None:
        yield from _reasons(project, "foot", at)
        return
    yield from _findings(fit, "foot")
    foot = foot_entry(project.wearer)
    if foot is None:
        return
    narrowest = foot.mm / (1 + project.fabric.usable_stretch)
    estimate = f", estimated from {foot.estimated_from}" if foot.estimated_from else ""
    yield Note(
        "number", f"Narrowest hem without a slit: {say_both(narrowest, unit)} round{estimate}."
    )
    if fit.slit.needed and fit.slit.lowest:
        yield Note("number", f"Lowest slit that serves: {say_both(fit.slit.lowest, unit)}.")


def _hem(project: Project, at: Cursor) -> Iterator[Note]:
    fit, unit = standing(project, at).fit, project.length_unit
    if fit is None:
        yield from _reasons(project, "hem", at)
        return
    hem = fit.hem
    under = f", turned under {say_length(hem.turn_under, unit)}" if hem.turn_under else ""
    yield Note("number", f"Hem: {hem.style}, {say_both(hem.depth, unit)} deep{under}.")
    if hem.style != "faced":
        yield Note("number", _widening(fit))
    if hem.come_in:
        yield Note(
            "number",
            f"Each edge comes in by {say_small(hem.come_in, unit)} at each fold for the turn of "
            "the cloth.",
        )
    yield from _findings(fit, "hem")


def _widening(fit: Fit) -> str:
    """Say how much wider the upper edge of the fold-up must be than the hem line."""
    unit, depth = fit.project.length_unit, fit.hem.depth
    wider = float(fit.taper.circumference(depth) - fit.taper.circumference(0.0))
    return (
        f"{say_length(depth, unit)} up, the leg is {say_small(wider, unit)} wider round than at "
        "the hem; the fold-up widens by the same."
    )


def _pattern(project: Project, at: Cursor) -> Iterator[Note]:
    fit = standing(project, at).fit
    if fit is None:
        yield from _reasons(project, "pattern", at)
        return
    yield from map(finding_note, fit.findings)


_SHOWS: Mapping[str, Callable[[Project, Cursor], Iterator[Note]]] = {
    "project": _project,
    "wearer": wearer_notes,
    "block": block_notes,
    "block-test": _block_test,
    "liked": _liked,
    "narrowing": _narrowing,
    "blend": _blend,
    "foot": _foot,
    "hem": _hem,
    "pattern": _pattern,
    "fitting": fitting_notes,
}
