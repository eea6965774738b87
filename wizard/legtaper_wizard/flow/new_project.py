"""A new project from a body or from a drawing: the text of its file, and what to say about it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal, cast

if TYPE_CHECKING:
    from legtaper.block_sources.drafted import Draft
    from legtaper.block_sources.drawing_file import Tracing, Wanted
    from legtaper.block_sources.panel_outline import Asked, Up
    from legtaper.model.lengths import Length
    from legtaper.model.project import (
        AllowanceEdge,
        BlockTable,
        CornerRole,
        PanelName,
        Project,
        ProjectError,
        Unit,
        Wearer,
    )


@dataclass(frozen=True, slots=True)
class Beginning:
    """The text of a new project file, and what to say of it; whether a block was drafted."""

    text: str
    says: tuple[str, ...]
    drafted: bool = False


def unit_of(pairs: Mapping[str, str], usual: Unit | None = None) -> Unit:
    """Return the unit of a project where none was said: cm where every length is metric.

    usual: of the settings, where no length says its own.
    """
    metric = [re.search(r"\d\s*(cm|mm)\s*$", text, re.I) for text in pairs.values()]
    other = [re.search(r"""\d\s*(in|inch|inches|ft|"|')\s*$""", text, re.I)
             for text in pairs.values()]  # fmt: skip
    if not any(metric) and not any(other):
        return usual or "in"
    return "cm" if any(metric) and not any(other) else "in"


def from_body(pairs: Mapping[str, str], unit: Unit, base: Project | None = None) -> Beginning:
    """Draft a block from texts by key, such as "41 in" for "hip", for a new project or `base`.

    Raises `ProjectError` naming the key.
    """
    from legtaper.files.project_file import write_project
    from legtaper.model.project import Project, Wearer

    draft = draft_from(base.wearer if base else Wearer(), unit, pairs)
    started = base or Project("Trousers from a drafted block", unit)
    project = replace(started, wearer=draft.wearer, block=table_of(draft))
    lines = tuple(draft_lines(draft, unit))
    remarks = "".join(f"# {line}\n" for line in lines)
    return Beginning(remarks + write_project(project), lines, drafted=True)


def draft_from(wearer: Wearer, unit: Unit, texts: Mapping[str, str]) -> Draft:
    """Draft a block from texts by key, such as "41 in" for "hip". Raises `ProjectError`."""
    from legtaper.block_sources.drafted import draft_table

    return draft_table(wearer, unit, {key: length(key, text, unit) for key, text in texts.items()})


def table_of(draft: Draft) -> BlockTable:
    """Return the block of a draft: whole pieces where the waist is known, else the leg."""
    from legtaper.block_sources.drafted_top import whole_table

    return whole_table(draft) if draft.reaches_waist else draft.table


def pairs_of(pairs: Sequence[str], example: str) -> dict[str, str]:
    """Return texts such as "hip=41 in" by key. Raises `ProjectError`."""
    from legtaper.model.project import ProjectError

    given: dict[str, str] = {}
    for pair in pairs:
        key, equals, text = (part.strip() for part in pair.partition("="))
        if not equals or key in given:
            problem = "is given twice" if equals else "has no value"
            raise ProjectError(key or "KEY=VALUE", f"{problem}; write it like {example}")
        given[key] = text
    return given


def length(key: str, text: str, unit: Unit) -> Length:
    """Read a length; a bare number keeps the unit it was typed in. Raises `ProjectError`."""
    from legtaper.model.lengths import LengthError, parse_length
    from legtaper.model.project import ProjectError

    try:
        read, other = parse_length(text, unit), parse_length(text, "mm")
    except LengthError as error:
        raise ProjectError(key, str(error)) from None
    return read if read.mm == other.mm else replace(read, text=f"{read.text} {unit}")


@dataclass(frozen=True, slots=True)
class DrawingFile:
    """A drawing and how to read it: the names of both panels, and its scale or unit."""

    path: Path
    kind: Literal[".svg", ".dxf"]
    front: str | None
    back: str | None
    px_per_inch: float | None = None
    drawing_unit: str | None = None
    as_named: bool = False


def from_drawing(
    drawing: DrawingFile, pairs: Mapping[str, str], unit: Unit, base: Project | None = None
) -> Beginning:
    """Make a project of two outlines of a drawing. Raises `ProjectError` in one line.

    `pairs` say otherwise what would be proposed: "hip=96cm", "knee=43cm" (heights above the hem),
    "seam=15mm" and "hem=4cm" (allowances to take off; of a panel "front.hem", of an edge
    "seam.inseam" or "front.seam.inseam"), "front.up=left", "front.crotch=120,430" (a place in the
    drawing, mm) and "front.grainline=100,200,100,900".
    """
    from legtaper.block_sources.drawing_file import check_pair, import_block, read_drawing
    from legtaper.files.project_file import write_project
    from legtaper.model.project import Project, ProjectError

    tracing = read_drawing(
        bytes_of(drawing.path), drawing.kind, drawing.px_per_inch, drawing.drawing_unit
    )
    for option, name in (("--front", drawing.front), ("--back", drawing.back)):
        if name is None:
            known = listed(tracing, unit)
            raise ProjectError(option, f"say which outline that is; the drawing has {known}")
    names = (drawing.front or "", drawing.back or "")
    wanted = _wanted(drawing, pairs, unit)
    check_pair(tracing, names, unit, sure=drawing.as_named)
    made = import_block(tracing, wanted, unit, drawing.path.stem)
    project = replace(base or Project("Trousers from a traced block", unit), block=made.table)
    return Beginning(write_project(project), made.says)


def listed(tracing: Tracing, unit: Unit) -> str:
    """Return every outline of a drawing with its size, or that it has none, for a sentence."""
    from legtaper.model.lengths import say_length
    from legtaper.model.safe_text import clean

    rows = []
    for one in tracing.outlines:
        wide, high = (say_length(mm, unit) for mm in one.size)
        rows.append(f"{clean(one.id, 30)} ({wide} by {high})")
    return ", ".join(rows) or "no closed outline of the size of a leg"


def bytes_of(path: Path) -> bytes:
    """Return what a drawing holds, and not much more than may be read of it."""
    from legtaper.block_sources.traced import LARGEST
    from legtaper.model.project import ProjectError

    if not path.is_file():
        raise ProjectError("", "there is no such file" if not path.exists() else "is no plain file")
    try:
        with path.open("rb") as file:
            return file.read(LARGEST + 1)
    except OSError as error:
        raise ProjectError("", f"can't be read ({error.strerror})") from None


def _wanted(drawing: DrawingFile, pairs: Mapping[str, str], unit: Unit) -> Wanted:
    from legtaper.block_sources.drawing_file import Wanted
    from legtaper.block_sources.panel_outline import Asked

    asked: dict[PanelName, Asked] = {"front": Asked(), "back": Asked()}
    height: dict[str, Length] = {}
    down = -1.0 if drawing.kind == ".svg" else 1.0  # y runs down in an SVG file
    for key, text in pairs.items():
        panel, dot, part = key.partition(".")
        both: list[PanelName] = ["front", "back"]
        names = [name for name in both if panel == name] if dot else []
        said = part if names else key
        if said in ("seam", "hem", "hip") or said.startswith("seam."):
            mm = length(key, text, unit).mm
            for name in names or both:
                asked[name] = _with_length(asked[name], key, said, mm)
        elif names:
            asked[names[0]] = _panel_pair(asked[names[0]], key, part, text, down)
        elif key in _HEIGHTS:
            height[key] = length(key, text, unit)
        else:
            raise _no_such_key(key)
    return Wanted(drawing.front or "", drawing.back or "", asked, height)


_HEIGHTS = ("calf", "knee", "thigh", "high_hip")


def _no_such_key(key: str) -> ProjectError:
    from legtaper.model.project import ProjectError
    from legtaper_wizard.flow.project_template import nearest

    known = (*_HEIGHTS, "hip", "seam", "hem", "seam.inseam", "seam.outseam", "front.up", "back.up")
    if key in ("inseam", "outseam", "waist", "crotch"):
        return ProjectError(key, "is no level; allowances are seam= and hem=, of one edge "
                                 f"seam.{key}=")  # fmt: skip
    return ProjectError(key, f"is no level and no allowance; {nearest(key, known)}")


def _with_length(asked: Asked, key: str, said: str, mm: float) -> Asked:
    """Return what was asked with an allowance or the height of the hip; `said` is the key's end."""
    from typing import get_args

    from legtaper.model.project import AllowanceEdge, ProjectError

    whole, _, edge = said.partition(".")
    if not edge:
        if whole == "seam":
            return replace(asked, seam=mm)
        return replace(asked, hem=mm) if whole == "hem" else replace(asked, hip=mm)
    known = [one for one in get_args(AllowanceEdge) if one != "slit"]
    if edge not in known:
        raise ProjectError(key, f"names no edge; there are {', '.join(known)}")
    return replace(asked, edges={**asked.edges, cast("AllowanceEdge", edge): mm})


def _panel_pair(asked: Asked, key: str, part: str, text: str, down: float) -> Asked:
    """Return what was asked of a panel with one pair added."""
    from typing import get_args

    from legtaper.block_sources.panel_outline import Up
    from legtaper.model.project import CornerRole, ProjectError

    if part == "up":
        if text not in get_args(Up):
            raise ProjectError(key, f"must be one of {', '.join(get_args(Up))}")
        return replace(asked, up=cast("Up", text))
    parts = [one.strip() for one in text.split(",")]
    plain = all(re.fullmatch(r"-?\d{1,6}(?:\.\d{1,6})?", one) for one in parts)
    numbers = [float(one) for one in parts] if plain else []
    places = [(x, down * y) for x, y in zip(numbers[::2], numbers[1::2], strict=False)]
    if part == "grainline" and len(numbers) == 4:
        return replace(asked, grainline=(places[0], places[1]))
    if part in get_args(CornerRole) and len(numbers) == 2:
        role = cast("CornerRole", part)
        return replace(asked, corners={**asked.corners, role: places[0]})
    roles = ", ".join((*get_args(CornerRole), "grainline", "up"))
    raise ProjectError(key, f"write a place in mm like front.crotch=120,430; there are {roles}")


def draft_lines(draft: Draft, unit: Unit) -> list[str]:
    """Return the caution and every number of a draft, one a line, with its source."""
    from legtaper.model.lengths import say_length

    lines = [draft.caution, *draft.notes]
    for number in draft.numbers:
        said = say_length(number.mm, unit)
        lines.append(f"{number.key} = {said} ({number.source}: {number.why})")
    return lines
