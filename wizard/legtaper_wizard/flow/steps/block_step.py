"""The step in which the block is measured, drafted or taken from a drawing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from legtaper.model.lengths import say_length
from legtaper.model.levels import LEG_LEVELS, LEVELS, say_level
from legtaper.model.project import PANELS, SEAMS, BlockTable, PanelName, Project, SeamName
from legtaper_wizard.flow.answers import answer, value
from legtaper_wizard.flow.derived_state import Problem
from legtaper_wizard.flow.questions import label_of
from legtaper_wizard.flow.questions.block_table import (
    BACK_CROTCH,
    HEIGHT,
    HEM_HEIGHT,
    LABEL,
    LEVELS_DRAWN,
    REACH,
)
from legtaper_wizard.flow.shapes import Action, AnswerError, Cursor, Field, StepState
from legtaper_wizard.flow.steps.block_levels import (
    USUAL_ROWS,
    block_is_empty,
    block_levels,
    ends_of,
    missing_numbers,
    top_level,
)
from legtaper_wizard.flow.steps.block_notes import block_notes
from legtaper_wizard.flow.steps.step import DONE, Step, Work, say_problem, still_open, wrong

DRAFT: Final = "draft-block"
TRACE: Final = "trace-block"
_UNFINISHED = "the block stays unfinished"
_LEVEL_NAME = re.compile(r"[a-z][a-z0-9 _-]{0,29}")


# --- questions -----------------------------------------------------------------------------------


def _asks(work: Work) -> Iterator[Field]:
    table = work.project.block
    yield work.ask(LABEL)
    if table.panel_height and not table.outline:
        yield work.ask(BACK_CROTCH)
    for level in block_levels(work.project):
        if level != "hem":
            yield _height(work, level)
        elif "hem" in table.height and table.height["hem"].mm != 0:
            yield _height(work, level)  # a file has it wrong
    if table.outline:
        return  # the seams were taken from a drawing
    for panel in PANELS:
        for seam in SEAMS:
            yield from _edge(work, panel, seam)


def _height(work: Work, level: str) -> Field:
    table = work.project.block
    field = work.ask(HEM_HEIGHT) if level == "hem" else work.ask(HEIGHT, level=level)
    needed = level == "crotch" or (level == "hip" and "high_hip" not in table.height)
    placed = field.if_skipped if level in LEG_LEVELS else ""
    field = field._replace(optional=not needed, if_skipped=_UNFINISHED if needed else placed)
    return _drawn(work, field) if table.outline else field


def _drawn(work: Work, field: Field) -> Field:
    """Return the height of a level as a drawing gives it, or as it is placed on one."""
    found = work.block
    if found is None or field.level not in found.heights:
        return field._replace(optional=True, if_skipped="the drawing does not give it")
    said = say_length(found.heights[field.level], work.unit)
    skipped = field.if_skipped
    if field.level not in found.estimated:
        skipped = "the drawing gives it; to move it, take the drawing in again"
    return field._replace(optional=True, placeholder=said, if_skipped=skipped)


def _edge(work: Work, panel: PanelName, seam: SeamName) -> Iterator[Field]:
    heights, crotch = work.project.block.height, work.project.block.height.get("crotch")
    above = [level for level, height in heights.items() if crotch and height.mm > crotch.mm]
    always = ("hem", "crotch", top_level(work.project))  # whose numbers a block cannot do without
    for level in block_levels(work.project):
        asked = level in always or level in heights or level in USUAL_ROWS
        over = seam == "inseam" and (level in ("hip", "high_hip") or level in above)
        field = work.ask(REACH, panel=panel, seam=seam, level=level)
        if value(work.project, field.key) or (asked and not over):
            needed = level in ends_of(work.project, seam)
            skipped = _UNFINISHED if needed else field.if_skipped
            yield field._replace(optional=not needed, if_skipped=skipped)


# --- where it stands -----------------------------------------------------------------------------


def _status(work: Work) -> StepState:
    if work.block is not None:
        return DONE
    missing = missing_numbers(work.project)
    if missing:
        return still_open(*(f"{label_of(key)} is missing" for key in missing))
    return wrong(say_problem(work.found.block_problem or Problem("", "the block cannot be drawn")))


def _answered(project: Project) -> bool:
    return project.block != BlockTable()


# --- actions -------------------------------------------------------------------------------------


def _actions(work: Work) -> Iterator[Action]:
    yield Action(DRAFT, "Have a starting block drafted", at_hand=True)
    yield Action(TRACE, "Take the block from a drawing", at_hand=True)
    if not block_is_empty(work.project):
        label = "Empty the block, to measure it by level"
        yield Action("empty-block", label, _empty, takes_away=True)
    name = Field("level.name", "Name of the level", "text", "Small letters, such as mid thigh.")
    height = Field(
        "level.height", "Its height", "length", "Up the grainline from the finished hem."
    )
    if not table_has_back(work):
        label = "Give the back crotch point its own height"
        yield Action("back-crotch", label, _back_crotch, (work.ask(BACK_CROTCH),), at_hand=True)
    yield Action("add-level", "Add a level", _add_level, (name, height), at_hand=True)
    for level in work.project.block.height:
        if level not in LEVELS:
            yield _remove_level(level)


def table_has_back(work: Work) -> bool:
    """Whether the back's own heights are asked for, or come from a drawing."""
    return bool(work.project.block.panel_height or work.project.block.outline)


def _back_crotch(project: Project, texts: tuple[str, ...], at: Cursor) -> Project:
    return answer(project, BACK_CROTCH.key, texts[0], at)


def _empty(project: Project, _: tuple[str, ...], __: Cursor) -> Project:
    return replace(project, block=BlockTable(project.block.label))


def _add_level(project: Project, texts: tuple[str, ...], _: Cursor) -> Project:
    name = texts[0].strip()
    if not _LEVEL_NAME.fullmatch(name):
        raise AnswerError("level.name", "a level has a short name in small letters, like mid thigh")
    level = name.replace(" ", "_")
    if level in project.block.height or level in LEVELS:
        raise AnswerError("level.name", f"there is a level {name} already")
    if not texts[1].strip():
        raise AnswerError("level.height", "a level needs its height above the hem")
    try:
        return answer(project, f"block.height.{level}", texts[1])
    except AnswerError as error:
        raise AnswerError("level.height", str(error)) from None


def _remove_level(level: str) -> Action:
    def does(project: Project, _: tuple[str, ...], __: Cursor) -> Project:
        table = project.block
        height = {name: mm for name, mm in table.height.items() if name != level}
        reach = {
            edge: {name: mm for name, mm in lengths.items() if name != level}
            for edge, lengths in table.reach.items()
        }
        return replace(project, block=replace(table, height=height, reach=reach))

    label = f"Remove the level {say_level(level)}"
    return Action(f"remove-level.{level}", label, does, takes_away=True)


STEP = Step(
    id="block",
    title="Block",
    short="Block",
    why="The block is your own trouser pattern that fits at waist and hip. Draw the grainline "
    "down each panel, square lines across it at each level, and measure from the grainline "
    "to the seam line.",
    help=(
        "Heights run up the grainline from the finished hem line.",
        "If your pattern has seam allowances, measure to the seam line inside them.",
        "The grainline runs down the middle of the leg; where knee and hem are even beside "
        "it, the crease line is there too.",
        "A block may be left half measured and finished later.",
        "There are two other ways to a block. A starting block is drafted from the "
        "wearer's girths and heights: sew and fit it before you taper. Or trace your pattern "
        "at true size in a drawing program, each panel one closed outline, and take the SVG "
        "or DXF file.",
    ),
    asks=_asks,
    notes=block_notes,
    status=_status,
    answered=_answered,
    actions=_actions,
    drawing=LEVELS_DRAWN,
)
