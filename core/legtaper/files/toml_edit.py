"""Change a TOML text so that it says something else, touching only the lines that differ.

Every comment stays, and stays where it stood: a new line goes behind the one it follows in the
format, never between a section and the remark written above it. tomlkit spells the values; it
does not place the lines, because it puts new keys behind such a remark.
"""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cached_property
from itertools import chain, zip_longest
from typing import Any, Literal, NamedTuple

KeyPath = tuple[str | int, ...]
"""Keys from the root inwards; an entry of an array of tables is a number counted from 0."""

_TOKEN = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'"
    r"|#[^\n]*|[\[\]{}=\n]",
    re.DOTALL,
)
_BARE = re.compile(r"[\w \t.-]+", re.ASCII)
_PLAIN = re.compile(r"[ !#-\[\]-~]*")
"""A text that needs nothing but quotes around it, as nearly every one does."""
_IDENTITY = ("name", "garment", "design", "level", "edge", "sign")
"""The keys that tell one entry of an array of tables from the next."""


class _Statement(NamedTuple):
    """One header, one `key = value` over all its lines, or one line that is neither.

    path: of the table or the value; section: index of the header above, -1 before the first,
    and of a header its own; home: path of that section; value: where it starts and stops.
    """

    text: str
    kind: Literal["header", "value", "comment", "blank"]
    path: KeyPath = ()
    section: int = -1
    home: KeyPath = ()
    value: tuple[int, int] = (0, 0)
    comments: tuple[str, ...] = ()


@dataclass(frozen=True)
class Lines:
    """A TOML text by its statements, and what it says.

    Where only single values change, that is known from their lines, and the rest is not parsed.
    """

    statements: Sequence[_Statement]
    says: Mapping[str, Any]

    @cached_property
    def text(self) -> str:
        """The text, every character of it."""
        return "".join(line.text for line in self.statements)

    @classmethod
    def of(cls, text: str, says: Mapping[str, Any]) -> Lines | None:
        """Return the lines of a text; `None` where they do not say one by one what it `says`."""
        if text.startswith("\ufeff"):  # which no statement begins with
            return None
        lines = cls(_statements(text), says)
        alone: dict[str, Any] = {}
        with suppress(ValueError, LookupError):
            for line in lines.statements:
                if line.kind == "header":
                    _open(alone, line.path)
                elif line.kind == "value":
                    alone = _with(alone, line.path, _value_alone(line))
        return lines if lines.text == text and alone == says else None

    def edited(self, new: Mapping[str, Any]) -> Lines | None:
        """Return the lines changed to say `new`, or `None` where more than values change."""
        edit = _Edit(self.text, self.statements)
        edit.table(self.says, new, ())
        if not edit.of_values_alone:
            return None
        says = self.says
        with suppress(ValueError, LookupError):
            for line in chain(edit.changed.values(), *edit.added.values()):
                says = _with(says, line.path, _value_alone(line))
        return Lines(self._after(edit), says) if says == new else None

    def _after(self, edit: _Edit) -> list[_Statement]:
        """Return the statements with the changed ones in their place, and the added ones."""
        statements: list[_Statement] = []
        if not edit.added:
            statements += self.statements
            for index, line in edit.changed.items():
                statements[index] = line
            return statements
        moved = {-1: -1}
        for index, line in enumerate(self.statements):
            moved[index] = len(statements)
            for one in (edit.changed.get(index, line), *edit.added.get(index, ())):
                section = moved[one.section]
                statements.append(one if section == one.section else one._replace(section=section))
        return statements


def _open(table: dict[str, Any], path: KeyPath) -> None:
    """Make the tables on a path, where they are not there yet."""
    inner: Any = table
    for name, after in zip_longest(path, path[1:]):
        empty: Any = [] if isinstance(after, int) else {}
        if isinstance(name, str):
            inner = inner.setdefault(name, empty)
        else:
            inner += [empty] * (name == len(inner))
            inner = inner[name]


def _with(plain: Any, path: KeyPath, value: Any) -> Any:
    """Return `plain` with one value put in, and everything beside its path the same object."""
    if not path:
        return value
    changed = plain.copy() if plain is not None else {}
    name = path[0]
    inner = changed[name] if isinstance(name, int) else changed.get(name)
    changed[name] = _with(inner, path[1:], value)
    return changed


def _value_alone(line: _Statement) -> Any:
    """Return what the value of one statement says, read by itself."""
    inner: Any = tomllib.loads(line.text)
    for name in line.path[len(line.home) :]:
        ((found, inner),) = inner.items()
        if found != name:
            raise LookupError(name)
    return inner


def whole(new: Mapping[str, Any]) -> str:
    """Return a TOML text that says `new`, from nothing."""
    return _section((), new, "\n").lstrip("\n")


def edited(text: str, old: Mapping[str, Any], new: Mapping[str, Any]) -> str:
    """Return the TOML text, which says `old`, changed to say `new`.

    The order of the keys of `new` says where each stands.

    What is equal before and after keeps its spelling. An inline table or array of which a part
    differs is written again, with its comments above it.
    """
    bom = "\ufeff" if text.startswith("\ufeff") else ""
    text = text.removeprefix("\ufeff")
    edit = _Edit(text, _statements(text))
    edit.table(old, new, ())
    return bom + edit.result()


def partners(
    old: Sequence[Mapping[str, Any]], new: Sequence[Mapping[str, Any]]
) -> list[tuple[int | None, int | None]]:
    """Pair the entries of two arrays of tables that are about the same thing, by index, in order.

    `None` stands on the other side of an entry that went or came.
    """
    before, after = _identities(old), _identities(new)
    if before[: len(after)] == after[: len(before)]:  # nothing moved; entries came or went behind
        return list(zip_longest(range(len(old)), range(len(new))))
    matcher = SequenceMatcher(None, before, after, autojunk=False)
    pairs: list[tuple[int | None, int | None]] = []
    for _, i, i_end, j, j_end in matcher.get_opcodes():
        both = min(i_end - i, j_end - j)
        pairs += [(i + k, j + k) for k in range(both)]
        pairs += [(k, None) for k in range(i + both, i_end)]
        pairs += [(None, k) for k in range(j + both, j_end)]
    return pairs


def _identities(entries: Sequence[Mapping[str, Any]]) -> list[tuple[str, ...]]:
    return [tuple(str(entry.get(key)) for key in _IDENTITY) for entry in entries]


class _Edit:
    """Collects what changes, by statement of the old text, and puts the new text together."""

    def __init__(self, text: str, lines: Sequence[_Statement]) -> None:
        self._lines = lines
        self.changed: dict[int, _Statement] = {}
        self.added: defaultdict[int, list[_Statement]] = defaultdict(list)
        self._eol = "\r\n" if "\r\n" in text else "\n"
        self._instead: dict[int, str] = {}
        self._before: defaultdict[int, str] = defaultdict(str)
        self._values: defaultdict[int, str] = defaultdict(str)
        self._sections: defaultdict[int, str] = defaultdict(str)

    @cached_property
    def _of_values(self) -> dict[KeyPath, int]:
        """Where each value stands, by its path."""
        return {line.path: i for i, line in enumerate(self._lines) if line.kind == "value"}

    @property
    def of_values_alone(self) -> bool:
        """Whether `changed` and `added`, statements by where they go, are all that changes."""
        written = {index: line.text for index, line in self.changed.items()}
        added = {index: "".join(line.text for line in new) for index, new in self.added.items()}
        elsewhere = self._before or self._sections
        return not elsewhere and (self._instead, self._values) == (written, added)

    def result(self) -> str:
        """Return the new text."""
        parts = []
        for index, line in enumerate(self._lines):
            text = self._instead.get(index, line.text)
            # A value goes before a section, which would take it in.
            after = self._values[index] + self._sections[index]
            if after and text and not text.endswith("\n"):
                text += self._eol
            parts.append(self._before[index] + text + after)
        return "".join(parts)

    def table(self, old: Mapping[str, Any], new: Mapping[str, Any], path: KeyPath) -> None:
        """Change one table; where it stands, and how, is looked up by `path`."""
        for name in old:
            if name not in new:
                self._remove((*path, name))
        earlier: list[KeyPath] = []
        for name, value in new.items():
            where = (*path, name)
            if name not in old:
                self._add(where, value, earlier)
                continue
            earlier.append(where)
            if value is not old[name] and value != old[name]:
                self._alter(where, old[name], value)

    def _alter(self, where: KeyPath, old: Any, new: Any) -> None:
        at = self._of_values.get(where)
        if at is not None:
            self._respell(at, new)
        elif isinstance(new, dict):
            self.table(old, new, where)
            if not new:
                self._keep_dotted(where)
        else:
            self._array(old, new, where)

    def _array(self, old: Sequence[Any], new: Sequence[Any], where: KeyPath) -> None:
        last = -1
        for was, now in partners(old, new):
            if now is None:
                self._remove((*where, was))  # type: ignore[arg-type]  # one of the two is given
            elif was is None:
                self._add_entry((*where, last), new[now])
            else:
                self.table(old[was], new[now], (*where, was))
            last = last if was is None else was

    def _respell(self, index: int, value: Any) -> None:
        line = self._lines[index]
        start, stop = line.value
        inside = [found[0].rstrip("\r") for found in _TOKEN.finditer(line.text[start:stop])]
        above = "".join(token + self._eol for token in inside if token.startswith("#"))
        spelled = _spell(value)
        self._instead[index] = above + line.text[:start] + spelled + line.text[stop:]
        if not above:
            ends = (start, start + len(spelled))
            self.changed[index] = line._replace(text=self._instead[index], value=ends)

    def _remove(self, path: KeyPath) -> None:
        """Take out a key or a table, but not the comments in it or beside it."""
        for index in self._find(lambda line: _within(line.path, path)):
            line = self._lines[index]
            self._instead[index] = "".join(comment + self._eol for comment in line.comments)
            if line.kind == "header" and index and self._lines[index - 1].kind == "blank":
                self._instead[index - 1] = ""

    def _keep_dotted(self, where: KeyPath) -> None:
        """Leave an empty table where dotted keys alone said that there is one."""
        inside = self._find(lambda line: _within(line.path, where))
        line = self._lines[inside[0]]
        if line.kind == "value":
            key = ".".join(str(name) for name in where[len(line.home) :])
            self._instead[inside[0]] += f"{key} = {{}}{self._eol}"

    def _add(self, where: KeyPath, value: Any, earlier: Sequence[KeyPath]) -> None:
        table = where[:-1]
        names = tuple(name for name in where if isinstance(name, str))
        if isinstance(value, dict) or _is_tables(value):
            self._add_section(table, _section(names, value, self._eol), earlier)
            return
        direct = self._find(lambda line: line.kind == "value" and line.path in earlier)
        head = self._find(lambda line: line.kind == "header" and line.path == table)
        dotted = self._find(lambda line: line.kind == "value" and _within(line.path, table))
        inner = [i for i in dotted if len(self._lines[i].home) < len(table)]
        if anchor := direct[-1:] or head or inner:
            line = self._lines[anchor[0]]
            home = len(table) if line.kind == "header" else len(line.home)
            key = ".".join(str(name) for name in where[home:])
            text = f"{key} = {_spell(value)}{self._eol}"
            self._values[anchor[0]] += text
            self._note_added(anchor[0], text, where)
        else:
            section = _section(names[:-1], {names[-1]: value}, self._eol)
            self._add_section(table, section, ())

    def _note_added(self, anchor: int, text: str, where: KeyPath) -> None:
        line = self._lines[anchor]
        own = line.home if line.kind == "value" else line.path
        if where[:-1] == own and line.text.endswith("\n"):
            start = text.index("=") + 2
            ends = (start, len(text.rstrip()))
            self.added[anchor].append(_Statement(text, "value", where, line.section, own, ends))

    def _add_section(self, table: KeyPath, text: str, earlier: Sequence[KeyPath]) -> None:
        """Put a section behind what it follows in `table`, or before all that is in it."""
        spots = self._find(
            lambda line: (
                (_within(line.path, table) and len(line.home) <= len(table))
                or any(_within(line.path, path) for path in earlier)
            )
        )
        if spots:
            self._sections[self._end(spots[-1])] += text
        else:
            self._put_before(table, text)

    def _add_entry(self, previous: KeyPath, entry: Mapping[str, Any]) -> None:
        names = tuple(name for name in previous if isinstance(name, str))
        text = _section(names, [entry], self._eol)
        spots = self._find(lambda line: _within(line.path, previous))
        if spots:
            self._sections[self._end(spots[-1])] += text
        else:
            self._put_before(previous[:-1], text)

    def _put_before(self, path: KeyPath, text: str) -> None:
        index = self._find(lambda line: _within(line.path, path))[0]
        while index and self._lines[index - 1].kind == "comment":
            index -= 1
        self._before[index] += text.removeprefix(self._eol) + self._eol

    def _end(self, index: int) -> int:
        """Return the last statement of the section that `index` stands in, remarks included."""
        line = self._lines[index]
        section = index if line.kind == "header" else line.section
        inside = self._find(lambda line: line.kind == "value" and line.section == section)
        last = max([section, *inside])
        remark = last
        while remark + 1 < len(self._lines) and self._lines[remark + 1].kind == "comment":
            remark += 1
        at_end = remark + 1 == len(self._lines) or self._lines[remark + 1].kind == "blank"
        return remark if at_end else last

    def _find(self, wanted: Callable[[_Statement], bool]) -> list[int]:
        return [
            index
            for index, line in enumerate(self._lines)
            if line.kind in ("header", "value") and wanted(line)
        ]


def _within(path: KeyPath, outer: KeyPath) -> bool:
    return path[: len(outer)] == outer


def _is_tables(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, dict) for one in value)


def _section(names: tuple[str, ...], value: Any, eol: str) -> str:
    """Return a table, or an array of tables, with its header, a blank line before each header."""
    if isinstance(value, list):
        head = f"{eol}[[{'.'.join(names)}]]{eol}"
        return "".join(head + _body(names, table, eol) for table in value)
    nested = [name for name in value if isinstance(value[name], dict) or _is_tables(value[name])]
    headed = names and (not nested or len(nested) < len(value))
    return (f"{eol}[{'.'.join(names)}]{eol}" if headed else "") + _body(names, value, eol)


def _body(names: tuple[str, ...], table: Mapping[str, Any], eol: str) -> str:
    lines, sections = "", ""
    for name, value in table.items():
        if isinstance(value, dict) or _is_tables(value):
            sections += _section((*names, name), value, eol)
        else:
            lines += f"{name} = {_spell(value)}{eol}"
    return lines + sections


def _spell(value: Any) -> str:
    """Return one value as TOML, on one line."""
    if isinstance(value, list):
        return f"[{', '.join(map(_spell, value))}]"
    if isinstance(value, dict):
        inside = ", ".join(f"{name} = {_spell(one)}" for name, one in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, str) and _PLAIN.fullmatch(value):
        return f'"{value}"'
    from tomlkit import item

    return str(item(value).as_string())


def _statements(text: str) -> list[_Statement]:
    """Split a valid TOML text, losing no character of it."""
    statements: list[_Statement] = []
    arrays: dict[KeyPath, int] = {}
    section, home = -1, KeyPath()
    for chunk, equals, stop, comments in _chunks(text):
        bare = chunk[:stop].strip()
        if not bare:
            kind: Literal["comment", "blank"] = "comment" if comments else "blank"
            statements.append(_Statement(chunk, kind, comments=comments))
        elif equals < 0:
            section, home = len(statements), _header_path(bare, arrays)
            statements.append(_Statement(chunk, "header", home, section, home, comments=comments))
        else:
            start = stop - len(chunk[equals + 1 : stop].lstrip())
            value = (start, len(chunk[:stop].rstrip()))
            path = home + _names(chunk[:equals])
            statements.append(_Statement(chunk, "value", path, section, home, value, comments))
    return statements


def _chunks(text: str) -> Iterator[tuple[str, int, int, tuple[str, ...]]]:
    """Yield each statement, where its first `=` and its closing remark stand, and all remarks."""
    start, depth, equals, stop = 0, 0, -1, -1
    comments: list[str] = []
    for found in _TOKEN.finditer(text):
        token, at = found[0], found.start() - start
        if token == "\n" and not depth:
            chunk = text[start : found.end()]
            yield chunk, equals, len(chunk) if stop < 0 else stop, tuple(comments)
            start, equals, stop, comments = found.end(), -1, -1, []
        elif token.startswith("#"):
            comments.append(token.rstrip("\r"))
            stop = stop if depth else at
        elif token == "=" and not depth and equals < 0:
            equals = at
        else:
            depth += (token in "[{") - (token in "]}")
    if chunk := text[start:]:
        yield chunk, equals, len(chunk) if stop < 0 else stop, tuple(comments)


def _names(key: str) -> tuple[str, ...]:
    """Return the parts of a dotted key, quotes resolved."""
    if _BARE.fullmatch(key):
        return tuple(map(str.strip, key.split(".")))
    names: tuple[str, ...] = ()
    inner: Any = tomllib.loads(f"{key.strip()} = 0")
    while isinstance(inner, dict):
        ((name, inner),) = inner.items()
        names += (name,)
    return names


def _header_path(header: str, arrays: dict[KeyPath, int]) -> KeyPath:
    """Return the path that a header opens, and count the entry that it begins."""
    is_entry = header.startswith("[[")
    names = _names(header.strip("[]"))
    path: KeyPath = ()
    for name in names[: -1 if is_entry else None]:
        path += (name,)
        path += (arrays[path],) if path in arrays else ()
    if is_entry:
        path += (names[-1],)
        arrays[path] = arrays.get(path, -1) + 1
        path += (arrays[path],)
    return path
