"""Tables of a project file: which dataclass each becomes, key by key, and lists of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import MISSING, dataclass, fields
from difflib import get_close_matches
from functools import cached_property
from typing import Any, NamedTuple

from legtaper.files.values import Kind, Place, as_table, quoted, say_kind


@dataclass(frozen=True, eq=False)
class Entry:
    """One key of a table. `to` is the attribute, or "attribute.key" where that is a mapping."""

    path: str
    kind: Kind
    to: str = ""
    required: str = ""
    """What to do where the key is missing; empty where it may be."""
    always: bool = False
    """Written into a new table even where it says what is understood without it."""

    @cached_property
    def target(self) -> tuple[str, ...]:
        """The attribute and, for a mapping, the key in it."""
        return tuple((self.to or self.path).split("."))

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """The keys from this table inwards."""
        return tuple(self.path.split("."))


class Known(NamedTuple):
    """A table or list that was read before: what the file held, and what it was read as.

    Under the same unit, and what is the same object in `plain` means the same.
    """

    plain: Any
    value: Any

    def of(self, entry: Entry) -> Known:
        """Return what is known of one key; `None` twice where the file had none."""
        if self.plain is None:
            return self
        return Known(_dig(self.plain, entry.keys), _value(self.value, entry.target))


_NOTHING = Known(None, None)


@dataclass(frozen=True, eq=False)
class Record:
    """A table that becomes one dataclass. `check` looks at what no single key can tell."""

    makes: Callable[..., Any]
    entries: tuple[Entry, ...]
    check: Callable[[Any, Place], None] | None = None

    def read(self, plain: Any, at: Place, known: Known = _NOTHING) -> Any:
        """Return the dataclass; what is `known` is not read again. Raises `ProjectError`."""
        given: dict[str, Any] = {}
        for entry, value, place in self._found(plain, self._tree, at):
            _put(given, entry.target, _read(entry.kind, value, place, known.of(entry)))
        for entry in self.entries:
            if entry.required and entry.target[0] not in given:
                raise at.inside(entry.path).wrong(f"missing; {entry.required}")
        made = self.makes(**given)
        if self.check:
            self.check(made, at)
        return made

    def write(self, value: Any, old: Any, at: Place, was: Any = None) -> dict[str, Any]:
        """Return the table. What is not given, and was not in the file, is left out.

        was: what `old` was read as, under the same unit; what still equals it stays as it is.
        """
        table: dict[str, Any] = {}
        _keep_empty_tables(table, self._tree, old)
        for entry in self.entries:
            now, before = _value(value, entry.target), _dig(old, entry.keys)
            known = None if was is None else _value(was, entry.target)
            if was is not None and now == known:
                if before is not None:
                    _put(table, entry.keys, before)
                continue
            said = before is not None or entry.required or (entry.always and old is None)
            if now is None or (not said and now == self._default(entry)):
                continue
            written = _write(entry.kind, now, before, at.inside(entry.path), known)
            if written is not None:
                _put(table, entry.keys, written)
        return table

    @cached_property
    def _tree(self) -> dict[str, Any]:
        """The entries by key, nested as the tables are."""
        tree: dict[str, Any] = {}
        for entry in self.entries:
            _put(tree, entry.keys, entry)
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
        return self._defaults[entry.target[0]] if len(entry.target) == 1 else None

    @cached_property
    def _defaults(self) -> dict[str, Any]:
        return {
            of.name: of.default if of.default_factory is MISSING else of.default_factory()
            for of in fields(self.makes)  # type: ignore[arg-type]  # always a dataclass
        }


class Many(NamedTuple):
    """A list of tables. Errors call an entry by its number or, if `named`, by its name."""

    record: Record
    named: bool = False

    def read(self, plain: Any, at: Place, known: Known = _NOTHING) -> tuple[Any, ...]:
        """Return the entries; those `known` are not read again. Raises `ProjectError`."""
        if not isinstance(plain, list):
            raise at.wrong(f"must be tables begun with double brackets, not {say_kind(plain)}")
        before = [Known(*pair) for pair in zip(known.plain or (), known.value or (), strict=True)]
        before += [_NOTHING] * (len(plain) - len(before))
        return tuple(
            beside.value
            if beside.plain is table
            else self.record.read(table, at.entry(self._label(number, table)), beside)
            for number, (table, beside) in enumerate(zip(plain, before, strict=False), 1)
        )

    def write(
        self, value: Sequence[Any], old: Any, at: Place, was: Sequence[Any] | None = None
    ) -> list[Any] | None:
        """Return the tables, each with the one of the file that is about the same thing.

        was: what `old` was read as, under the same unit.
        """
        if not value:
            return [] if old == [] else None
        places = [at.entry(str(number)) for number in range(1, len(value) + 1)]
        known = (was or ())[: len(value)]
        # What stayed as it was, in its place, is about the same thing whatever else came or went.
        fresh = [
            old[i] if i < len(known) and known[i] == one else self.record.write(one, None, place)
            for i, (one, place) in enumerate(zip(value, places, strict=True))
        ]
        if not old:
            return fresh
        from legtaper.files.toml_edit import partners  # here: to open a project needs none

        before = {new: gone for gone, new in partners(old, fresh) if gone is not None}
        return [
            self._beside(value[new], old, was, before[new], place) if new in before else fresh[new]
            for new, place in enumerate(places)
        ]

    def _beside(
        self, one: Any, old: list[Any], was: Sequence[Any] | None, index: int, at: Place
    ) -> Any:
        if was is None:
            return self.record.write(one, old[index], at)
        same = one == was[index]
        return old[index] if same else self.record.write(one, old[index], at, was[index])

    def _label(self, number: int, table: object) -> str:
        name = table.get("name") if self.named and isinstance(table, dict) else None
        return quoted(name) if isinstance(name, str) and name.strip() else str(number)


def _unknown(name: str, tree: Mapping[str, Any]) -> str:
    near = get_close_matches(name, tree, 1)
    return "not a known key; " + (f"did you mean {near[0]}?" if near else f"use {', '.join(tree)}")


def _read(kind: Kind, plain: Any, at: Place, known: Known) -> Any:
    if known.plain is plain:
        return known.value
    return kind.read(plain, at, known) if isinstance(kind, Record | Many) else kind.read(plain, at)


def _write(kind: Kind, now: Any, before: Any, at: Place, was: Any) -> Any:
    if before is not None and isinstance(kind, Record | Many):
        return kind.write(now, before, at, was)
    return kind.write(now, before, at)


def _put(table: dict[str, Any], path: tuple[str, ...], value: Any) -> None:
    *outer, last = path
    for name in outer:
        table = table.setdefault(name, {})
    table[last] = value


def _dig(plain: Any, keys: tuple[str, ...]) -> Any:
    for name in keys:
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
