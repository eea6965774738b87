"""What the block's table says so far: widths, what is missing, and numbers worth a second look."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from legtaper.model.lengths import from_mm
from legtaper.model.levels import ABOVE_HEM, say_level
from legtaper.model.project import (
    PANELS,
    Project,
    Unit,
)
from legtaper.model.said_lengths import say_around
from legtaper_wizard.flow.questions import label_of
from legtaper_wizard.flow.questions.odd_block import (
    EXCHANGED_PANELS,
    measured_around,
    odd_numbers,
    panel_width,
    smaller_than_body,
)
from legtaper_wizard.flow.shapes import Note, NoteKind, StepState
from legtaper_wizard.flow.steps.block_levels import block_is_empty, missing_numbers, top_level
from legtaper_wizard.flow.steps.step import Work

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.model.lengths import Length

_OTHER_WAYS = (
    "There are two other ways to a block: drafted from measurements, or taken from a drawing at "
    "true size (SVG or DXF)."
)


def block_notes(work: Work, found: StepState) -> Iterator[Note]:
    """Yield what is missing or wrong, questions, and the widths as far as they are known."""
    project, block = work.project, work.block
    missing = missing_numbers(project)
    if missing:
        yield _missing(missing)
    elif found.marker == "attention":
        yield from (Note("fail", reason + ".") for reason in found.reasons)
    if block_is_empty(project):
        yield Note("info", _OTHER_WAYS)
    yield from odd_numbers(project)
    yield from _widths(project)
    if block is not None and project.block.outline:
        yield from _drawn_widths(project, block)
    if block is not None:
        from legtaper.checks.sewn_pairs import uneven_in_block

        yield from _smaller_than_body(project, block)
        placed = [say_level(level) for level in block.heights if level in block.estimated]
        if placed:
            yield Note("info", f"Placed at a usual height, as not measured: {', '.join(placed)}.")
        for status, seam, says in uneven_in_block(project, block):
            kind: NoteKind = "info" if status == "pass" else "caution"
            top = "crotch" if seam == "inseam" else top_level(project)
            yield Note(kind, says, "" if project.block.outline else f"block.back.{seam}.{top}")
        yield Note("good", "The block is complete.")


def _smaller_than_body(project: Project, block: Block) -> Iterator[Note]:
    """Ask where a block does not go around the leg at a level that no row measures."""
    for level in ABOVE_HEM:
        if level not in block.widths or measured_around(project.block, level) is not None:
            continue
        if text := smaller_than_body(project, level, block.widths[level]):
            yield Note("question", text)


def _drawn_widths(project: Project, block: Block) -> Iterator[Note]:
    """Yield front, back and whole at the levels of an outline, from the hem to below the crotch."""
    unit = project.length_unit
    for level, y in block.heights.items():
        if y < block.crotch - 1e-9:
            front, back = (
                sum(float(block.reach(edge, y)) for edge in edges) for edges in PANELS.values()
            )
            yield _width_note(level, front, back, unit)
    hem_front, hem_back = (
        sum(float(block.reach(edge, 0.0)) for edge in edges) for edges in PANELS.values()
    )
    if hem_back < hem_front:
        yield Note("question", f"At the hem the back is narrower than the front.{EXCHANGED_PANELS}")


def _width_note(
    level: str, front: float, back: float, unit: Unit, own: Length | None = None
) -> Note:
    """Say how wide both panels are; `own` is the height that the back has the level at."""
    at = f" at its own height of {from_mm(own.mm, unit).text}" if own else ""
    return Note(
        "number",
        f"{say_level(level).capitalize()}: front {say_around(front, unit)}, back "
        f"{say_around(back, unit)}{at}, {say_around(front + back, unit)} around the leg.",
    )


def _missing(keys: tuple[str, ...]) -> Note:
    labels = [label_of(key) for key in keys]
    shown = ", ".join(label[:1].lower() + label[1:] for label in labels[:3])
    more = f" and {len(labels) - 3} more" if len(labels) > 3 else ""
    return Note("info", f"Still missing: {shown}{more}.", keys[0])


def _widths(project: Project) -> Iterator[Note]:
    """Yield front, back and whole at every level where all four edges are measured."""
    table, unit = project.block, project.length_unit
    levels = ["hem", *(level for level in table.height if level != "hem")]
    for level in levels:
        halves = {name: panel_width(table, name, level) for name in PANELS}
        front, back = halves["front"], halves["back"]
        if front is not None and back is not None:
            own = table.panel_height.get("back", {}).get(level)
            yield _width_note(level, front, back, unit, own)
