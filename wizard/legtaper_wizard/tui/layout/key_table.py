"""What the keys do: one table for the bindings, the line of keys and the list of commands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from legtaper_wizard.flow.command_table import commands_of
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import Line, width


class Command(NamedTuple):
    """Something a key does. `also` is for terminals where the first key does not arrive."""

    id: str
    key: str
    short: str
    also: str = ""

    @property
    def words(self) -> str:
        """Return what it does, as every face says it."""
        return next(known.words for known in commands_of("screen") if known.id == self.id)

    @property
    def shown(self) -> str:
        """Return the key as it is written for people."""
        return shown_key(self.key)


COMMANDS = (
    Command("help", "f1", "help", "ctrl+g"),
    Command("outline", "f2", "outline", "ctrl+o"),
    Command("steps", "f3", "steps", "ctrl+t"),
    Command("fold", "f4", "fold"),
    Command("undo", "f5", "undo"),
    Command("redo", "f6", "redo"),
    Command("more", "f7", "more"),
    Command("notes", "f8", "notes"),
    Command("glossary", "ctrl+r", "words", "f12"),
    Command("mend", "f11", "mend", "ctrl+backslash"),
    Command("write", "f9", "write"),
    Command("leave", "f10", "quit"),
    Command("compare", "ctrl+f", "compare"),
    Command("all", "ctrl+p", "all commands"),
    Command("next", "pagedown", "next", "ctrl+n"),
    Command("back", "pageup", "back", "ctrl+y"),
    Command("redraw", "ctrl+l", "redraw"),
    Command("pause", "ctrl+z", "pause"),
)

_NAMES = {"ctrl+backslash": "Ctrl-\\", "pagedown": "PgDn", "pageup": "PgUp"}
_ALWAYS = ("help", "all", "leave")
_WHERE_THERE_IS_ROOM = (
    "more", "mend", "steps", "undo", "write", "notes", "outline", "redo", "glossary", "compare",
    "fold",
)  # fmt: skip


def shown_key(key: str) -> str:
    """Return a key as it is written for people: F1, Ctrl-P, PgDn."""
    if key in _NAMES:
        return _NAMES[key]
    if key.startswith("ctrl+"):
        return f"Ctrl-{key.removeprefix('ctrl+').upper()}"
    return key.upper()


def key_line(keys: Sequence[tuple[str, str]], room: int, urgent: Sequence[str] = ()) -> Line:
    """Return keys in one line with those for other steps, and for help and the way out at its end.

    keys: as `keys_here` has them; `urgent` commands are shown in any case. Ctrl-P lists what has
    no room.
    """
    known = {command.id: command for command in COMMANDS}
    here = [*keys, ("PgUp/PgDn", "step")]
    some = [
        (known[name].shown, known[name].short)
        for name in _WHERE_THERE_IS_ROOM
        if name not in urgent
    ]
    always = [(known[name].shown, known[name].short) for name in (*urgent, *_ALWAYS)]
    taken = sum(len(key) + len(words) + 2 for key, words in always)
    parts: list[tuple[str, str]] = []
    for key, words in (*here, *some):
        taken += len(key) + len(words) + 2
        if taken > room:
            break
        parts.append((key, words))
    return filled([*parts, *always], room)


def keys_here(
    stop: Stop | None,
    fine: tuple[str, str] = ("", ""),
    *,
    listed: bool = False,
    pointed: bool = False,
) -> list[tuple[str, str]]:
    """Return the keys that work on a stop, and what they do.

    fine: a usual and a fine step of the arrow keys. listed: whether options stand below each
    other. pointed: whether one is pointed at that is not taken; where none was chosen before,
    Enter alone takes it.
    """
    if stop is None:
        return []
    if stop.kind != "question":
        does = ("Enter", "do it" if stop.kind == "button" else "go there")
        return [does, ("Arrows" if stop.kind == "button" else "Up/Down", "move")]
    if stop.field and stop.field.kind == "choice":
        ways, move = ("Up/Down", "Tab") if listed else ("Left/Right", "Up/Down")
        leaves = ("Esc", "drop") if pointed and stop.unchosen else (move, "move")
        return [(ways, "choose"), ("Enter", "take"), leaves]
    if nudged(stop) and fine[0]:
        return [
            ("Left/Right", fine[0]),
            ("[ or ]", fine[1]),
            ("Enter", "take"),
            ("Up/Down", "move"),
        ]
    cell = stop.field is not None and bool(stop.field.group and stop.field.level)
    return [("Enter", "take"), ("Tab/arrows" if cell else "Tab/Up/Down", "move")]


def nudged(stop: Stop) -> bool:
    """Whether the arrow keys move the answer of a question."""
    return stop.field is not None and stop.field.moves


def filled(parts: Sequence[tuple[str, str]], room: int) -> Line:
    """Return keys and words in one line, as many as fit, closer together where that helps."""
    wide = sum(len(key) + len(words) + 3 for key, words in parts) - 1
    between = "  " if wide <= room else " "
    line: Line = ()
    for key, words in parts:
        gap: Line = ((between if line else " ", ""),)
        longer: Line = (*line, *gap, (key, "strong"), (f" {words}", ""))
        if width(longer) > room:
            break
        line = longer
    return line
