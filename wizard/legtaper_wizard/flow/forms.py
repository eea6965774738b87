"""Which questions a step asks, given what is answered so far."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from legtaper.model.lengths import from_mm, parse_length, say_length
from legtaper.model.levels import LEVELS
from legtaper.model.project import SEAMS, Project, SeamName
from legtaper_wizard.flow.answers import STRETCH_SAMPLE, value
from legtaper_wizard.flow.dates import say_date
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.keys import LEG_LEVELS, level_of, rule_of
from legtaper_wizard.flow.round_answers import TRIALS, is_waiting, pinchable, round_at
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.shapes import LAST, Cursor, Field
from legtaper_wizard.flow.steppers import blend_range, seam_line
from legtaper_wizard.flow.texts import words_of

if TYPE_CHECKING:
    from legtaper.pattern import Fit

_WEARER = (
    "height", "waist", "high_hip", "hip", "thigh", "knee", "knee_bent", "calf", "ankle",
    "foot_entry", "foot_length",
)  # fmt: skip
_FABRIC = ("description", "kind", "stretch_test", "stretch_percent", "thickness")


def fields_of(step_id: str, project: Project, at: Cursor = LAST) -> tuple[Field, ...]:
    """Return the questions of a step in the order in which they are asked."""
    return tuple(_FORMS[step_id](project, at))


def field_of(project: Project, key: str) -> Field:
    """Return one question by its key, with its words."""
    rule = rule_of(key)
    words = words_of(key, STRETCH_SAMPLE[project.length_unit].text)
    return Field(
        key,
        words.label,
        rule.kind if rule else "text",
        words.how,
        choices=rule.choices if rule else (),
        if_skipped=words.if_skipped,
        level=level_of(key),
    )


def _project(project: Project, _: Cursor) -> Iterator[Field]:
    yield replace(field_of(project, "name"), optional=False, if_skipped="the project has no name")
    yield replace(field_of(project, "length_unit"), placeholder="in")


def _wearer(project: Project, _: Cursor) -> Iterator[Field]:
    for name in _WEARER:
        yield replace(field_of(project, f"wearer.{name}"), group="wearer")
    for name in _FABRIC:
        usual = {"kind": "woven", "stretch_percent": "0"}.get(name, "")
        field = field_of(project, f"fabric.{name}")
        yield replace(field, group="cloth", placeholder=usual)


# --- the block -------------------------------------------------------------------------------


def block_levels(project: Project) -> tuple[str, ...]:
    """Return the levels of the block's table, from the hem upwards: the usual and the given."""
    given = project.block.height
    usual = [level for level in LEVELS if level != "hem"]
    added = [level for level in given if level not in LEVELS]
    return ("hem", *_placed(usual, added, project))


def _placed(usual: list[str], added: list[str], project: Project) -> list[str]:
    """Return the usual levels in their order, with every added one where its height puts it."""
    given, ordered = project.block.height, list(usual)
    for level in sorted(added, key=lambda name: given[name].mm):
        above = [
            i
            for i, name in enumerate(ordered)
            if name in given and given[name].mm > given[level].mm
        ]
        ordered.insert(above[0] if above else len(ordered), level)
    return ordered


def _block(project: Project, _: Cursor) -> Iterator[Field]:
    table = project.block
    yield field_of(project, "block.label")
    for level in block_levels(project):
        wrong_hem = level == "hem" and "hem" in table.height and table.height["hem"].mm != 0
        if level != "hem" or wrong_hem:
            field = field_of(project, f"block.height.{level}")
            needed = level == "crotch" or (level == "hip" and "high_hip" not in table.height)
            placed = field.if_skipped if level in LEG_LEVELS else ""
            skipped = _UNFINISHED if needed else placed
            field = replace(field, optional=not needed, if_skipped=skipped, group="height")
            yield _drawn(project, field) if table.outline else field
    if table.outline:
        return  # the seams were taken from a drawing
    for panel in ("front", "back"):
        for seam in SEAMS:
            yield from _edge(project, panel, seam)


def _drawn(project: Project, field: Field) -> Field:
    """Return the height of a level as a drawing gives it, or as it is placed on one."""
    found = standing(project, LAST).block
    if found is None or field.level not in found.heights:
        return replace(field, optional=True, if_skipped="the drawing does not give it")
    said = say_length(found.heights[field.level], project.length_unit)
    skipped = field.if_skipped
    if field.level not in found.estimated:
        skipped = "the drawing gives it; to move it, take the drawing in again"
    return replace(field, optional=True, placeholder=said, if_skipped=skipped)


_UNFINISHED = "the block stays unfinished"
_USUAL_ROWS = ("knee", "crotch", "hip")
"""The levels a table begins with, before any height is given."""


def _edge(project: Project, panel: str, seam: SeamName) -> Iterator[Field]:
    heights = project.block.height
    above = [level for level, height in heights.items() if _above_crotch(project, height.mm)]
    for level in block_levels(project):
        key = f"block.{panel}.{seam}.{level}"
        asked = level == "hem" or level in heights or (not heights and level in _USUAL_ROWS)
        over = seam == "inseam" and (level in ("hip", "high_hip") or level in above)
        if value(project, key) or (asked and not over):
            field, needed = field_of(project, key), level in _needed(project, seam)
            yield replace(
                field,
                optional=not needed,
                if_skipped=_UNFINISHED if needed else field.if_skipped,
                group=f"{panel} {seam}",
            )


def _above_crotch(project: Project, mm: float) -> bool:
    crotch = project.block.height.get("crotch")
    return crotch is not None and mm > crotch.mm


def _needed(project: Project, seam: SeamName) -> tuple[str, str]:
    """Return the two levels at which a seam must be given: its ends."""
    if seam == "inseam":
        return ("hem", "crotch")
    block = standing(project, LAST).block
    if block is not None:
        return ("hem", block.fullest)
    only_high = "high_hip" in project.block.height and "hip" not in project.block.height
    return ("hem", "high_hip" if only_high else "hip")


# --- test, liked garments, narrowing -----------------------------------------------------------


def _block_test(project: Project, _: Cursor) -> Iterator[Field]:
    yield field_of(project, "block_test.verdict")
    if project.block_test is not None:
        today = say_date(date.today(), settings().dates)
        dated = field_of(project, "block_test.date")
        yield replace(dated, placeholder=today, takes_placeholder=True)
        yield field_of(project, "block_test.notes")


def leg_levels(project: Project, at: Cursor = LAST) -> tuple[str, ...]:
    """Return the levels a width may be asked for at: hem first, then upwards to the crotch."""
    named = set(LEG_LEVELS)
    crotch = _crotch(project)
    if crotch is not None:
        named |= {lv for lv, h in project.block.height.items() if h.mm < crotch}
    if design := chosen_design(project, at):
        named |= {*design.take_in, *design.width}
    order = [*block_levels(project), *sorted(named)]
    return tuple(sorted(named, key=order.index))


def _crotch(project: Project) -> float | None:
    """Return the height of the crotch, mm: as it was measured, or as a drawing has it."""
    if project.block.outline:
        found = standing(project, LAST).block
        return found.crotch if found else None
    given = project.block.height.get("crotch")
    return given.mm if given else None


def _liked(project: Project, at: Cursor) -> Iterator[Field]:
    start = f"liked.{at.liked}"
    yield field_of(project, f"{start}.garment")
    if at.liked >= len(project.liked):
        return  # the name comes first: without a garment there is nothing to measure
    given = project.liked[at.liked]
    yield replace(field_of(project, f"{start}.measured"), placeholder="flat")
    yield replace(field_of(project, f"{start}.stretch_percent"), placeholder="0")
    for part, group in (("width", "whole leg"), ("front_width", "front"), ("back_width", "back")):
        levels = list(leg_levels(project, at))
        levels += [level for level in getattr(given, part) if level not in levels]
        for level in levels:
            yield replace(field_of(project, f"{start}.{part}.{level}"), group=group)


def _narrowing(project: Project, at: Cursor) -> Iterator[Field]:
    for level in leg_levels(project, at):
        yield replace(field_of(project, f"design.take_in.{level}"), group="take-in")
        yield replace(field_of(project, f"design.width.{level}"), group="width")
    design = chosen_design(project, at)
    for seam, lengths in (design.extra if design else {}).items():
        for level in lengths:
            field = field_of(project, f"design.extra.{seam}.{level}")
            yield replace(field, group=f"extra at the {seam}")


# --- blend, foot, hem, pattern -----------------------------------------------------------------


def _blend(project: Project, at: Cursor) -> Iterator[Field]:
    fit = standing(project, at).fit
    for seam in SEAMS:
        usual = _usual_blend(fit, seam) if fit else ""
        field = field_of(project, f"design.blend.{seam}")
        yield replace(field, placeholder=usual, takes_placeholder=bool(usual), group="blend")
    yield replace(field_of(project, "design.blend.style"), placeholder="follow")
    for seam in SEAMS:
        field = field_of(project, f"design.blend.{seam}_curve")
        yield replace(field, placeholder=_usual_curve(fit, seam) if fit else "", group="curve")


def _usual_blend(fit: Fit, seam: SeamName) -> str:
    """Return where the seam blends unless told, as a length that can be recorded.

    It is rounded for reading, but not above what the block allows.
    """
    if seam in fit.design.blend:
        return fit.design.blend[seam].text
    mm, unit = seam_line(fit, seam).blend, fit.project.length_unit
    rounded = say_length(mm, unit)
    return rounded if _in_range(fit, seam, rounded) else from_mm(mm, unit).text


def _in_range(fit: Fit, seam: SeamName, text: str) -> bool:
    mm = parse_length(text, fit.project.length_unit).mm
    low, high = blend_range(fit, seam)
    return low < mm <= high


def _usual_curve(fit: Fit, seam: SeamName) -> str:
    trued = seam_line(fit, seam)
    return say_length(trued.curve, fit.project.length_unit) if trued.curve else ""


def _foot(project: Project, at: Cursor) -> Iterator[Field]:
    yield field_of(project, "wearer.foot_entry")
    fit = standing(project, at).fit
    field = field_of(project, "design.slit.height")
    if fit is None or fit.slit.needed or fit.slit.height is not None:
        yield replace(field, placeholder="auto")


def _hem(project: Project, at: Cursor) -> Iterator[Field]:
    from legtaper.leg.hem import DEPTH, TURN_UNDER

    unit = project.length_unit
    yield replace(field_of(project, "design.hem.style"), placeholder="single")
    depth = from_mm(DEPTH[unit], unit).text
    yield replace(field_of(project, "design.hem.depth"), placeholder=depth)
    design = chosen_design(project, at)
    if design and (design.hem.style == "double" or design.hem.turn_under):
        under = from_mm(TURN_UNDER[unit], unit).text
        yield replace(field_of(project, "design.hem.turn_under"), placeholder=under)


def _pattern(project: Project, _: Cursor) -> Iterator[Field]:
    from legtaper.geometry.offset import SEAM, SLIT

    unit, given = project.length_unit, project.allowance
    seam = given.seam.text if given.seam else from_mm(SEAM[unit], unit).text
    usual_seam = from_mm(SEAM[unit], unit).text
    yield replace(field_of(project, "allowance.seam"), placeholder=usual_seam)
    seam_mm = given.seam.mm if given.seam else SEAM[unit]
    slit = from_mm(max(seam_mm, SLIT[unit]), unit).text
    whole = any("waist_outseam" in panel.corners for panel in project.block.outline.values())
    for edge in ("outseam", "inseam", "slit", "waist", "crotch"):
        if edge in ("waist", "crotch") and edge not in given.edges and not whole:
            continue  # a leg measured by levels has no such edge
        field = field_of(project, f"allowance.{edge}")
        yield replace(field, placeholder=slit if edge == "slit" else seam)


def _fitting(project: Project, at: Cursor) -> Iterator[Field]:
    one, block = round_at(project, at), standing(project, at).block
    if one is None or block is None:
        if block is not None and chosen_design(project, at):
            yield field_of(project, "round.printed")
        return
    dated = field_of(project, "round.date")
    today = say_date(date.today(), settings().dates)
    yield replace(dated, placeholder=today, takes_placeholder=is_waiting(project, at))
    for trial in TRIALS:
        yield replace(field_of(project, f"round.trial.{trial}"), group="trials")
    yield field_of(project, "round.notes")
    for seam in SEAMS:
        levels = list(pinchable(block, seam))
        levels += [p.level for p in one.pinches if p.edge == seam and p.level not in levels]
        for level in dict.fromkeys(levels):
            field = field_of(project, f"round.pinch.{seam}.{level}")
            yield replace(field, group=f"pinched {seam}")
    yield field_of(project, "round.verdict")


_FORMS: dict[str, Callable[[Project, Cursor], Iterator[Field]]] = {
    "project": _project,
    "wearer": _wearer,
    "block": _block,
    "block-test": _block_test,
    "liked": _liked,
    "narrowing": _narrowing,
    "blend": _blend,
    "foot": _foot,
    "hem": _hem,
    "pattern": _pattern,
    "fitting": _fitting,
}
