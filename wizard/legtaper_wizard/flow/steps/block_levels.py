"""Which levels the block's table has, and which of its numbers are needed."""

from __future__ import annotations

from legtaper.model.levels import LEG_LEVELS, LEVELS
from legtaper.model.project import PANELS, Project, SeamName
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.shapes import LAST, Cursor

USUAL_ROWS = ("knee", "crotch", "hip")
"""The levels whose row a table has from the beginning, before any height is given."""


def block_is_empty(project: Project) -> bool:
    """Whether no number of a block is there yet."""
    table = project.block
    return not (table.height or table.reach or table.outline)


def block_levels(project: Project) -> tuple[str, ...]:
    """Return the levels of the block's table, from the hem upwards: the usual and the given."""
    given = project.block.height
    usual = [level for level in LEVELS if level != "hem"]
    added = [level for level in given if level not in LEVELS]
    return ("hem", *_placed(usual, added, project))


def _placed(usual: list[str], added: list[str], project: Project) -> list[str]:
    """Return the usual levels in their order, with every added one where its height puts it."""
    given = project.block.height
    waiting = sorted(added, key=lambda name: given[name].mm)
    ordered: list[str] = []
    for level in usual:
        if level in given:
            below = [name for name in waiting if given[name].mm < given[level].mm]
            ordered += below
            waiting = waiting[len(below) :]
        ordered.append(level)
    return ordered + waiting


def leg_levels(project: Project, at: Cursor = LAST) -> tuple[str, ...]:
    """Return the levels a width may be asked for at: hem first, then upwards to the crotch."""
    named = set(LEG_LEVELS)
    crotch = _crotch(project)
    if crotch is not None:
        named |= {lv for lv, h in project.block.height.items() if h.mm < crotch}
    if design := chosen_design(project, at):
        named |= {*design.take_in, *design.width}
    order = dict.fromkeys([*block_levels(project), *sorted(named)])
    return tuple(level for level in order if level in named)


def _crotch(project: Project) -> float | None:
    """Return the height of the crotch, mm: as it was measured, or as a drawing has it."""
    if project.block.outline:
        found = standing(project, LAST).block
        return found.crotch if found else None
    given = project.block.height.get("crotch")
    return given.mm if given else None


def ends_of(project: Project, seam: SeamName) -> tuple[str, str]:
    """Return the two levels at which a seam must be given: its ends."""
    if seam == "inseam":
        return ("hem", "crotch")
    block = standing(project, LAST).block
    return ("hem", block.fullest if block is not None else top_level(project))


def top_level(project: Project) -> str:
    """Return the level up to which an outseam has to be measured."""
    height = project.block.height
    return "high_hip" if "high_hip" in height and "hip" not in height else "hip"


def waits_for_height(project: Project, key: str) -> bool:
    """Whether a question is a cell of a level whose height was passed by."""
    part, _, level = key.removeprefix("block.").rpartition(".")
    if not key.startswith("block.") or part.partition(".")[0] not in PANELS:
        return False
    heights = project.block.height
    needed = level in ("hem", "crotch", top_level(project))
    return bool(heights) and not needed and level not in heights


def missing_numbers(project: Project) -> tuple[str, ...]:
    """Return the keys of the numbers without which there is no block."""
    table = project.block
    if table.outline:
        return ()
    missing = [] if "crotch" in table.height else ["block.height.crotch"]
    top = top_level(project)
    if top not in table.height:
        missing.append("block.height.hip")
    measured = {level for reach in table.reach.values() for level in reach}
    unplaced = measured - {"hem", "crotch", top, *table.height}
    missing += [f"block.height.{level}" for level in LEVELS if level in unplaced]
    for inseam, outseam in PANELS.values():
        for edge, end in ((outseam, top), (inseam, "crotch")):
            given = table.reach.get(edge, {})
            start = f"block.{edge.replace('_', '.')}"
            missing += [f"{start}.{level}" for level in ("hem", end) if level not in given]
    return tuple(missing)
