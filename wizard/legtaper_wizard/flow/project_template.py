"""Keys of a project file set in a call; a project made like another, without its body."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from difflib import get_close_matches
from typing import Any

from legtaper.model.project import BlockTable, Design, Project, ProjectError, Wearer

TABLES = ("wearer", "fabric", "block", "block_test", "design", "allowance")
"""What a dotted key may begin with; lists of many (liked, round) are for the wizard."""

_FIRST_DESIGN = "first taper"


def is_project_key(key: str) -> bool:
    """Whether a KEY of a call is one of the project file, rather than of a body or a drawing."""
    return key in ("name", "length_unit", "current") or key.partition(".")[0] in TABLES


def like(model: Project, name: str) -> Project:
    """Return a project with the fabric, design, hem, allowances and unit of another.

    Nobody's body comes along: no girths, block, liked garments or rounds, and of the design
    neither the heights of its blends nor what was moved, left or pinched out on somebody.
    """
    designs: tuple[Design, ...] = ()
    if model.designs:
        design = model.design()
        designs = (
            replace(
                design,
                blend={},
                curve={},
                extra={},
                shift={},
                back_room={},
                parent=None,
                from_round=None,
            ),
        )
    return Project(name, model.length_unit, Wearer(), model.fabric, BlockTable(),
                   designs=designs, allowance=model.allowance)  # fmt: skip


def with_keys(project: Project, pairs: Mapping[str, str]) -> Project:
    """Return the project with keys set, spelled as the file spells them: "wearer.hip", "name".

    "design.hem.depth" is of the design that is meant where none is named; where there is none,
    one is begun. Raises `ProjectError` naming a key that is not known, or a wrong value.
    """
    if not pairs:
        return project
    import tomlkit

    from legtaper.files.project_file import read_project, write_project

    if any(key.startswith("design.") for key in pairs) and not project.designs:
        project = project.with_design(Design(_FIRST_DESIGN))
    plain: Any = tomlkit.parse(write_project(project))
    for key, text in pairs.items():
        _set(plain, key, text, project)
    return read_project(tomlkit.dumps(plain))


def _set(plain: Any, key: str, text: str, project: Project) -> None:
    first, *rest = key.split(".")
    table = plain
    if first == "design":
        number = [one.name for one in project.designs].index(project.design().name)
        table, (first, *rest) = plain["design"][number], rest or [""]
    for inner in rest:
        table = table.setdefault(first, {})
        first = inner
        if not isinstance(table, dict):
            raise ProjectError(key, "is no key of a project")
    if not first:
        raise ProjectError(key, "is no key of a project; write it like design.hem.depth")
    table[first] = _value(key, text)


def _value(key: str, text: str) -> Any:
    """Return a value as TOML has it: a number for a percentage, a day for a date, else the text."""
    if key.endswith(".age") and re.fullmatch(r"\d{1,3}", text):
        return int(text)
    if key.endswith("_percent") and re.fullmatch(r"\d{1,3}(\.\d{1,3})?", text):
        return float(text)
    if key.endswith("date") and re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            raise ProjectError(key, "no such day; write it like 2026-03-14") from None
    return text


def nearest(key: str, known: tuple[str, ...]) -> str:
    """Return the advice for a key that is not known: the nearest that is, or all of them."""
    near = get_close_matches(key, known, n=1, cutoff=0.6)
    return f"did you mean {near[0]}?" if near else f"there are {', '.join(known)}"
