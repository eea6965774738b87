"""Project files: TOML text to `Project` and back.

A file is checked in full when it is read, and again before it is given out to be written: what
this module returns, it can read. Every error names the key. The keys stand in `project_format`.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from legtaper.files.format import PROJECT, UNIT
from legtaper.files.tables import Known
from legtaper.files.values import Place, quoted
from legtaper.model.project import FORMAT, Project, ProjectError, Unit

if TYPE_CHECKING:
    from legtaper.files.toml_edit import Lines

LARGEST: Final = 2_000_000
"""Bytes. A project is a few thousand; far larger is some other file."""

_DEEPLY_DOTTED: Final = re.compile(
    r"""(?<![\w-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){1000}"""
)
_HEADER: Final = re.compile(r"\s*\[{1,2}([^\[\]]+)\]{1,2}\s*(?:#|$)")
_NOT_CLOSED: Final = "a text is not closed, or is broken over lines; put a quote at its end"
_PLAINER: Final = (
    (r"Duplicate inline table key .*", "the same key is here twice; keep one of the two"),
    (r"Cannot (declare|mutate) .*", "this table is in the file already; put the two together"),
    (r"Unterminated string|Expected \"'+\"|Illegal character '\\n'", _NOT_CLOSED),
    (r"Expected '=' .*", "no = where one was expected; write key = value"),
    (r"Unescaped .*", "a text has a backslash; write it twice"),
    (r"Invalid value", "no value that can be read; put texts and lengths in quotes"),
    (r"Expected newline .*", "more follows after the value; put texts and lengths in quotes"),
    (r"Invalid date .*", "no such day; write it like 2026-03-14"),
)
_NOT_TOML: Final = "not the TOML of a project file ({})"


class NewerFormatError(ProjectError):
    """The file is of a format that this version does not know, and must not be written to."""


def read_project(text: str | bytes) -> Project:
    """Return the project of a whole file. Raises `ProjectError`."""
    return _read(text)


@lru_cache(maxsize=2)  # what was written last is what the next save begins with
def _read(text: str | bytes) -> Project:
    return _project(_plain(text))


def write_project(project: Project, previous: str = "") -> str:
    """Return the project as the text of a file.

    What a person wrote in `previous`, the file as it was, stays as it is: comments, order, blank
    lines and the spelling of every value that means the same. Raises `ProjectError` where
    `previous` is no project file, or the project holds what a file must not.
    """
    from legtaper.files.toml_edit import edited, whole  # here: to open a project needs none

    old = _plain(previous) if previous.strip() else {}
    if old:
        _read(previous)
    at = Place("", project.length_unit)
    new = {"format": FORMAT} | PROJECT.write(project, _without_format(old) if old else None, at)
    text = edited(previous, old, new) if old else whole(new)
    if old and not _says(text, new):
        # The answers matter more than the remarks; the store has the file as it was.
        text = whole(new)
    read_project(text)
    return text


class Written(NamedTuple):
    """A project as a file holds it: the text, what that says, and the project read from it.

    lines: the text line by line, once they are known to say what it says as a whole.
    """

    text: str
    plain: Mapping[str, Any]
    project: Project
    lines: Lines | None = None

    @classmethod
    def of(cls, text: str) -> Written:
        """Read a whole file. Raises `ProjectError`."""
        return cls(text, _plain(text), _read(text))

    def changed(self, project: Project) -> Written:
        """Return the file changed as `write_project` does, from what is known of this one.

        Where values alone change, their lines are read back and no others. Raises `ProjectError`.
        """
        unit = project.length_unit
        if unit != self.project.length_unit or not (lines := self.lines):
            made = Written.of(write_project(project, self.text))
            from legtaper.files.toml_edit import Lines

            return made._replace(lines=Lines.of(made.text, made.plain))
        at = Place("", unit)
        old = _without_format(self.plain)
        new = {"format": FORMAT} | PROJECT.write(project, old, at, self.project)
        after = lines.edited(new)
        if not after or len(after.text) > LARGEST:
            return self._replace(lines=None).changed(project)
        known = Known(old, self.project)
        again = PROJECT.read(_without_format(after.says), at, known)
        return Written(after.text, after.says, again, after)


def _says(text: str, plain: dict[str, Any]) -> bool:
    try:
        return bool(_without_empty(_plain(text)) == _without_empty(plain))
    except ProjectError:
        return False


def _without_empty(plain: Any) -> Any:
    """Leave out tables with nothing in them: a table around removed ones may be gone as well."""
    if isinstance(plain, list):
        return [_without_empty(value) for value in plain]
    if not isinstance(plain, dict):
        return plain
    inner = {key: _without_empty(value) for key, value in plain.items()}
    return {key: value for key, value in inner.items() if value != {}}


def _project(plain: dict[str, Any]) -> Project:
    _check_format(plain)
    unit: Unit = UNIT.read(plain.get("length_unit", "in"), Place("length_unit", "in"))
    project: Project = PROJECT.read(_without_format(plain), Place("", unit))
    return project


def _without_format(plain: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in plain.items() if key != "format"}


def _check_format(plain: dict[str, Any]) -> None:
    if "format" not in plain:
        raise ProjectError("format", f"missing; begin the file with format = {FORMAT}")
    given = plain["format"]
    whole = isinstance(given, int) and not isinstance(given, bool)
    if whole and given < 1:
        raise ProjectError("format", f"there is no format {given}; write format = {FORMAT}")
    if not whole:
        raise ProjectError("format", f"must be a number; begin the file with format = {FORMAT}")
    if given > FORMAT:
        raise NewerFormatError(
            "format",
            f"this file is of format {given}, which this version cannot read; nothing was changed",
        )


@lru_cache(maxsize=2)
def _plain(text: str | bytes) -> dict[str, Any]:
    """Parse the TOML, to be looked at and not changed. Raises `ProjectError` with the line."""
    if len(text) > LARGEST:
        raise ProjectError("", f"larger than {LARGEST // 1_000_000} MB; this is no project file")
    try:
        decoded = text.decode() if isinstance(text, bytes) else text
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise ProjectError(f"line {line}", "not UTF-8; save the file as UTF-8 text") from None
    decoded = decoded.removeprefix("\ufeff")
    if _DEEPLY_DOTTED.search(decoded):  # slow in the square of the depth, so not even begun
        raise ProjectError("", _NOT_TOML.format("nested too deeply"))
    try:
        return tomllib.loads(decoded)
    except tomllib.TOMLDecodeError as error:
        raise _syntax_error(str(error), decoded) from None
    except RecursionError:
        raise ProjectError("", _NOT_TOML.format("nested too deeply")) from None
    except ValueError:  # a whole number of thousands of digits
        raise ProjectError("", _NOT_TOML.format("a number is too long")) from None


def _key_on(text: str, number: int) -> str:
    """Return the key that is set on a line, behind the name of its table; or else the line."""
    lines = text.split("\n")[:number]
    found = [_HEADER.match(line) for line in lines]
    table = next((header[1] + "." for header in reversed(found) if header), "")
    key, equals, _ = lines[-1].partition("=")
    return quoted(table + key.strip())[1:-1] if equals else f"line {number}"


def _syntax_error(message: str, text: str) -> ProjectError:
    """Say in plain words what the parser said about a line."""
    found = re.fullmatch(r"(.*?)(?: \(at (?:line (\d+), column \d+|end of document)\))?", message)
    problem, line = (found[1], found[2]) if found else (message, None)
    number = int(line) if line else text.rstrip().count("\n") + 1
    if problem == "Cannot overwrite a value":
        again = _key_on(text, number)
        return ProjectError(again, f"is here twice, again on line {number}; keep one of the two")
    for pattern, plain in _PLAINER:
        if re.fullmatch(pattern, problem):
            return ProjectError(f"line {number}", plain)
    reason = quoted(problem)[1:-1]
    return ProjectError(f"line {number}", _NOT_TOML.format(reason))
