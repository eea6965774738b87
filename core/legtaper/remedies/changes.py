"""A change of a design: dotted keys as the project file spells them, and what each becomes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from legtaper.files.format import DESIGN
from legtaper.files.values import Place
from legtaper.model.project import Design, Unit

Change = Mapping[str, str | None]
"""Key below the design, as "blend.style" or "width.knee", to its new text; `None` takes it away."""

_LINEAGE = ("name", "parent", "from_round")
"""Keys that say which design it is, and not what it asks for."""


def changed(design: Design, change: Change, unit: Unit) -> Design:
    """Return a design with keys changed, read as the file is. Raises `ProjectError` naming one."""
    at = Place(f'design "{design.name}"', unit)
    table = DESIGN.write(design, None, at)
    for key, text in change.items():
        _put(table, key.split("."), text)
    made: Design = DESIGN.read(table, at)
    return made


def difference(before: Design, after: Design, unit: Unit) -> Change:
    """Return the change that makes one design ask for what another asks for."""
    old, new = (dict(_flat(DESIGN.write(one, None, Place("", unit)))) for one in (before, after))
    keys = [key for key in {**old, **new} if key.partition(".")[0] not in _LINEAGE]
    return {key: new.get(key) for key in keys if new.get(key) != old.get(key)}


def _flat(table: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{above}{key}.")
        else:
            yield above + key, value


def _put(table: dict[str, Any], path: list[str], text: str | None) -> None:
    """Put a text at a path; with the last key of a table the table goes, as if never written."""
    name, *rest = path
    if rest:
        _put(table.setdefault(name, {}), rest, text)
        if not table[name]:
            del table[name]
    elif text is None:
        table.pop(name, None)
    else:
        table[name] = text
