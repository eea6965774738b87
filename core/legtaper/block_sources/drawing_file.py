"""From the bytes of a drawing to the table of a block: the one page that names every step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from legtaper.block_sources.imported import block_from_outline, outline_table
from legtaper.block_sources.panel_outline import Asked, Proposal, propose_pair
from legtaper.block_sources.svg_reading import PX_PER_INCH, other_scales, read_svg
from legtaper.block_sources.traced import Traced, check_size, named
from legtaper.model.cancel import Going, wanted
from legtaper.model.lengths import Length, say_length
from legtaper.model.project import BlockTable, PanelName, ProjectError, Unit
from legtaper.model.safe_text import clean

Kind = Literal[".svg", ".dxf"]

_TWO_SIZES = 0.06
"""By which share front and back may differ in length: neighboring sizes differ by less than a
back that is cut higher at the waist does, so only coarse mistakes are asked about
(common practice)."""
_LARGER_FRONT = 0.97  # a back is the larger panel in ordinary trousers: common practice


@dataclass(frozen=True, eq=False)
class Tracing:
    """The outlines of a drawing, and the scale it was read in, for when a size is unlikely."""

    outlines: tuple[Traced, ...]
    scale: str
    others: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Wanted:
    """What a person says about a drawing: which outline is which panel, and the rest."""

    front: str
    back: str
    asked: Mapping[PanelName, Asked] = field(default_factory=dict)
    height: Mapping[str, Length] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Imported:
    """A block from a drawing: its table, the proposals behind it, and what to tell about it."""

    table: BlockTable
    panels: Mapping[PanelName, Proposal]
    says: tuple[str, ...]


def read_drawing(
    data: bytes,
    kind: Kind,
    px_per_inch: float | None = None,
    unit: str | None = None,
    going: Going = wanted,
) -> Tracing:
    """Read a drawing; nothing else is opened. Raises `ProjectError` in one line.

    `px_per_inch` is for SVG in px, `unit` for DXF that does not say its own. Raises `Cancelled`
    soon after `going` said no; a large drawing takes seconds.
    """
    if kind == ".svg":
        px = PX_PER_INCH if px_per_inch is None else px_per_inch
        return Tracing(read_svg(data, px, going), f"px at {px:g}", tuple(other_scales(px)))
    from legtaper.block_sources import dxf_reading as dxf

    found, used = dxf.read_with_unit(data, unit, going)  # type: ignore[arg-type]  # it checks the unit
    return Tracing(found, used, tuple(dxf.other_units(used)))


def import_block(tracing: Tracing, wanted: Wanted, unit: Unit, label: str = "") -> Imported:
    """Make a block of two outlines of a drawing. Raises `ProjectError` naming panel or corner."""
    traced: dict[PanelName, Traced] = {
        "front": named(tracing.outlines, wanted.front, "front"),
        "back": named(tracing.outlines, wanted.back, "back"),
    }
    for name, one in traced.items():
        check_size(one, name, unit, tracing.scale, tracing.others)
    panels = propose_pair(traced["front"], traced["back"], wanted.asked)
    outlines = {name: panel.outline for name, panel in panels.items()}
    table = outline_table(outlines, label, wanted.height)
    block_from_outline(table, unit)  # what makes no block is refused here, and not saved
    says = [line for name, panel in panels.items() for line in _told(name, panel, unit)]
    says += [_scale_told(tracing, traced["front"], unit), *_knee_told(wanted)]
    return Imported(table, panels, tuple(says))


def check_pair(tracing: Tracing, names: tuple[str, str], unit: Unit, *, sure: bool) -> None:
    """Ask about names of front and back that are one outline, exchanged, or of two sizes.

    sure: whether they were confirmed; then only one outline named twice is refused. Raises
    `ProjectError` with the question.
    """
    front, back = (named(tracing.outlines, name, role)
                   for name, role in zip(names, ("front", "back"), strict=True))  # fmt: skip
    if front is back:
        raise ProjectError("back", f'"{clean(front.id, 40)}" is named for the front and the back; '
                           "name the outline of the back")  # fmt: skip
    if sure:
        return
    a, b = front.longest, back.longest
    if abs(a - b) > _TWO_SIZES * min(a, b):
        sizes = f"{say_length(a, unit)} and {say_length(b, unit)}"
        raise ProjectError("back", f"front and back are {sizes} long: are they of one size? "
                           "Name the two of one size, or add --as-named")  # fmt: skip
    if back.area < front.area * _LARGER_FRONT:
        raise ProjectError(
            "back", f'"{clean(back.id, 40)}" is smaller than "{clean(front.id, 40)}", and a back '
            "is the larger: are the two exchanged? If they are right, add --as-named")  # fmt: skip


def _scale_told(tracing: Tracing, front: Traced, unit: Unit) -> str:
    """Say how the drawing was read and what that makes."""
    return f"Read with {tracing.scale}: the front is {say_length(front.longest, unit)} long."


def _knee_told(wanted: Wanted) -> list[str]:
    if "knee" in wanted.height:
        return []
    return ["The knee was placed by common proportions; say it with knee=, its height."]


def _told(name: PanelName, panel: Proposal, unit: Unit) -> list[str]:
    """Return what was understood of a panel, to be looked at before it counts."""
    points = panel.outline.points
    ends = [points[panel.outline.corners[role]] for role in ("hem_inseam", "hem_outseam")]
    hem, crotch, hip, top = (
        say_length(mm, unit)
        for mm in (
            abs(ends[0][0] - ends[1][0]),
            panel.height("crotch"),
            panel.height("hip"),
            max(y for _, y in points),
        )
    )
    first = f"{name.capitalize()}: hem {hem} wide, crotch {crotch} and hip {hip} above it"
    return [f"{first}, {top} long in all.", *(f"{name.capitalize()}: {say}" for say in panel.says)]
