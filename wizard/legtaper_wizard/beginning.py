"""A new project from a body or from a drawing: the text of its file, and what to say about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from legtaper.project import Unit
    from legtaper.starting.drafted import Draft


@dataclass(frozen=True, slots=True)
class Beginning:
    """The text of a new project file, and the lines that tell what stands in it."""

    text: str
    says: tuple[str, ...]


def from_body(pairs: Sequence[str], unit: Unit) -> Beginning:
    """Draft a block from texts such as "hip=41 in". Raises `ProjectError` naming the key."""
    from legtaper.lengths import LengthError, parse_length  # noqa: PLC0415
    from legtaper.project import Project, ProjectError, Wearer  # noqa: PLC0415
    from legtaper.project_file import write_project  # noqa: PLC0415
    from legtaper.starting.drafted import draft_table  # noqa: PLC0415
    from legtaper.starting.drafted_top import whole_table  # noqa: PLC0415

    given = {}
    for pair in pairs:
        key, equals, text = (part.strip() for part in pair.partition("="))
        if not equals or key in given:
            problem = "is given twice" if equals else "has no value"
            raise ProjectError(key or "--from-body", f"{problem}; write it like hip=41in")
        try:
            given[key] = parse_length(text, unit)
        except LengthError as error:
            raise ProjectError(key, str(error)) from None
    draft = draft_table(Wearer(), unit, given)
    table = whole_table(draft) if draft.reaches_waist else draft.table
    project = Project("Trousers from a drafted block", unit, draft.wearer, block=table)
    lines = tuple(draft_lines(draft, unit))
    remarks = "".join(f"# {line}\n" for line in lines)
    return Beginning(remarks + write_project(project), lines)


def draft_lines(draft: Draft, unit: Unit) -> list[str]:
    """Return the caution and every number of a draft, one a line, with its source."""
    from legtaper.lengths import say_length  # noqa: PLC0415

    lines = [draft.caution, *draft.notes]
    for number in draft.numbers:
        said = say_length(number.mm, unit)
        lines.append(f"{number.key} = {said} ({number.source}: {number.why})")
    return lines
