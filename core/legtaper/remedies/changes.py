"""A change of a design: dotted keys as the project file spells them, and what each becomes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from legtaper.files.format import DESIGN
from legtaper.files.values import Place
from legtaper.model.project import Design, Unit

Change = Mapping[str, str | None]
"""Key below the design, as "blend.style" or "width.knee", to its new text; `None` takes it away."""


def changed(design: Design, change: Change, unit: Unit) -> Design:
    """Return a design with keys changed, read as the file is. Raises `ProjectError` naming one."""
    at = Place(f'design "{design.name}"', unit)
    table = DESIGN.write(design, None, at)
    for key, text in change.items():
        _put(table, key.split("."), text)
    made: Design = DESIGN.read(table, at)
    return made


def _put(table: dict[str, Any], path: list[str], text: str | None) -> None:
    for name in path[:-1]:
        table = table.setdefault(name, {})
    if text is None:
        table.pop(path[-1], None)
    else:
        table[path[-1]] = text
