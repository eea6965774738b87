"""Tables of a project file: which dataclass each becomes, key by key, and lists of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import MISSING, dataclass, fields
from difflib import get_close_matches
from functools import cached_property
from typing import Any

from legtaper.files.toml_edit import partners
from legtaper.files.values import Kind, Place, as_table, quoted, say_kind


@dataclass(frozen=True)
class Entry:
    """One key of a table. `to` is the attribute, or "attribute.key" where that is a mapping."""

    path: str
    kind: Kind
    to: str = ""
    required: str = ""
    """What to do where the key is missing; empty where it may be."""
    always: bool = False
    """Written into a new table even where it says what is understood without it."""

    @property
    def target(self) -> tuple[str, ...]:
        """The attribute and, for a mapping, the key in it."""
        return tuple((self.to or self.path).split("."))


@dataclass(frozen=True)
class Record:
    """A table that becomes one dataclass. `check` looks at what no single key can tell."""

    makes: Callable[..., Any]
    entries: tuple[Entry, ...]
    check: Callable[[Any, Place], None] | None = None

    def read(self, plain: Any, at: Place) -> Any:
        """Return the dataclass. Raises `ProjectError`."""
        given: dict[str, Any] = {}
        for entry, value, place in self._found(plain, self._tree, at):
            _put(given, entry.target, entry.kind.read(value, place))
        for entry in self.entries:
            if entry.required and entry.target[0] not in given:
                raise at.inside(entry.path).wrong(f"missing; {entry.required}")
        made = self.makes(**given)
        if self.check:
            self.check(made, at)
        return made

    def write(self, value: Any, old: Any, at: Place) -> dict[str, Any]:
        """Return the table. What is not given, and was not in the file, is left out."""
        table: dict[str, Any] = {}
        _keep_empty_tables(table, self._tree, old)
        for entry in self.entries:
            now, before = _value(value, entry.target), _dig(old, entry.path)
            said = before is not None or entry.required or (entry.always and old is None)
            if now is None or (not said and now == self._default(entry)):
                continue
            written = entry.kind.write(now, before, at.inside(entry.path))
            if written is not None:
                _put(table, tuple(entry.path.split(".")), written)
        return table

    @cached_property
    def _tree(self) -> dict[str, Any]:
        """The entries by key, nested as the tables are."""
        tree: dict[str, Any] = {}
        for entry in self.entries:
            _put(tree, tuple(entry.path.split(".")), entry)
        return tree

    def _found(
        self, plain: Any, tree: Mapping[str, Any], at: Place
    ) -> Iterator[tuple[Entry, Any, Place]]:
        for name, value in as_table(plain, at).items():
            place = at.inside(name)
            if name not in tree:
                raise place.wrong(_unknown(name, tree))
            if isinstance(tree[name], Entry):
                yield tree[name], value, place
            else:
                yield from self._found(value, tree[name], place)

    def _default(self, entry: Entry) -> Any:
        if len(entry.target) > 1:
            return None
        of = next(field for field in fields(self.makes) if field.name == entry.target[0])  # type: ignore[arg-type]  # always a dataclass
        return of.default if of.default_factory is MISSING else of.default_factory()


@dataclass(frozen=True)
class Many:
    """A list of tables. Errors call an entry by its number or, if `named`, by its name."""

    record: Record
    named: bool = False

    def read(self, plain: Any, at: Place) -> tuple[Any, ...]:
        """Return the entries. Raises `ProjectError`."""
        if not isinstance(plain, list):
            raise at.wrong(f"must be tables begun with double brackets, not {say_kind(plain)}")
        return tuple(
            self.record.read(table, at.entry(self._label(number, table)))
            for number, table in enumerate(plain, 1)
        )

    def write(self, value: Sequence[Any], old: Any, at: Place) -> list[Any] | None:
        """Return the tables, each with the one of the file that is about the same thing."""
        if not value:
            return [] if old == [] else None
        places = [at.entry(str(number)) for number in range(1, len(value) + 1)]
        pairs = zip(value, places, strict=True)
        fresh = [self.record.write(one, None, place) for one, place in pairs]
        return fresh if not old else self._beside(value, fresh, old, places)

    def _beside(
        self, value: Sequence[Any], fresh: list[Any], old: list[Any], places: list[Place]
    ) -> list[Any]:
        before = {new: was for was, new in partners(old, fresh) if was is not None}
        return [
            self.record.write(value[new], old[before[new]], place) if new in before else fresh[new]
            for new, place in enumerate(places)
        ]

    def _label(self, number: int, table: object) -> str:
        name = table.get("name") if self.named and isinstance(table, dict) else None
        return quoted(name) if isinstance(name, str) and name.strip() else str(number)


def _unknown(name: str, tree: Mapping[str, Any]) -> str:
    near = get_close_matches(name, tree, 1)
    return "not a known key; " + (f"did you mean {near[0]}?" if near else f"use {', '.join(tree)}")


def _put(table: dict[str, Any], path: tuple[str, ...], value: Any) -> None:
    *outer, last = path
    for name in outer:
        table = table.setdefault(name, {})
    table[last] = value


def _dig(plain: Any, path: str) -> Any:
    for name in path.split("."):
        plain = plain.get(name) if plain else None
    return plain


def _value(value: Any, target: tuple[str, ...]) -> Any:
    now = getattr(value, target[0])
    return now.get(target[1]) if len(target) > 1 else now


def _keep_empty_tables(table: dict[str, Any], tree: Mapping[str, Any], old: Any) -> None:
    """Put in the tables that stand in the file, so that their heads stay when they run empty."""
    for name, branch in tree.items():
        if isinstance(branch, dict) and old and name in old:
            _keep_empty_tables(table.setdefault(name, {}), branch, old[name])
