"""Where an answer lives in a project: out of it and into it, by the names along the way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar, cast

from legtaper.model.lengths import parse_length
from legtaper.model.project import Design, Project, Unit
from legtaper_wizard.flow.derived_state import chosen_design
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.shapes import Cursor

K = TypeVar("K")

FIRST_DESIGN = Design("first taper", slit="auto")
"""What the first answer about narrowing begins."""
_BLANK = Project(designs=(FIRST_DESIGN,))
"""What a cleared answer goes back to."""


def first_design(project: Project) -> Design:
    """Return the design that is begun where there is none, with what the settings say of it."""
    return cast("Design", _with_settings(FIRST_DESIGN, "design", project.length_unit))


def with_usual_lengths(project: Project) -> Project:
    """Return a new project with what the settings say of it; a design gets its part later."""
    return cast("Project", _with_settings(project, "allowance", project.length_unit))


def _with_settings(thing: object, table: str, unit: Unit) -> object:
    for key, text in settings().lengths.items():
        first, *rest = key.split(".")
        if first == table:
            path = rest if table == "design" else [first, *rest]
            thing = _put(thing, path, parse_length(text, unit))
    return thing


def get_path(project: Project, path: Sequence[str], cursor: Cursor) -> object:
    """Return what stands at a path, `None` where nothing does."""
    if path[0] == "design":
        return _walk(chosen_design(project, cursor), path[1:])
    return _walk(project, path)


def put_path(project: Project, path: Sequence[str], new: object, cursor: Cursor) -> Project:
    """Return the project with something at a path; `None` clears it to what a blank one has."""
    blank = get_path(_BLANK, path, Cursor()) if new is None else new
    if path[0] != "design":
        changed: Project = _put(project, path, blank)
        return changed
    design = chosen_design(project, cursor)
    if design is None and blank == get_path(_BLANK, path, Cursor()):
        return project  # to leave a question out begins no design
    return project.with_design(_put(design or first_design(project), path[1:], blank))


def with_entry(mapping: Mapping[K, Any], key: K, new: Any) -> dict[K, Any]:
    """Return the mapping with one entry set, or left out where `new` is `None`."""
    if new is not None:
        return {**mapping, key: new}
    return {name: old for name, old in mapping.items() if name != key}


def _walk(thing: Any, path: Sequence[str]) -> object:
    for name in path:
        thing = thing.get(name) if isinstance(thing, Mapping) else getattr(thing, name, None)
    return thing


def _put(thing: Any, path: Sequence[str], new: object) -> Any:
    """Return a dataclass or a mapping changed along a path; a mapping that is emptied goes."""
    name, rest = path[0], path[1:]
    if isinstance(thing, Mapping):
        inner = (_put(thing.get(name, {}), rest, new) or None) if rest else new
        return with_entry(thing, name, inner)
    return replace(thing, **{name: _put(getattr(thing, name), rest, new) if rest else new})
