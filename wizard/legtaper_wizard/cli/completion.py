"""Help for the shell's Tab key: the script for a shell, and the names a project file holds."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from pathlib import Path

import click
from click.shell_completion import CompletionItem, get_completion_class, split_arg_string

SHELLS = ("bash", "zsh", "fish")
UNITS = ("mm", "cm", "in")
"""What a drawing may be in."""
_LARGEST = 1_000_000


def script(root: click.Command, shell: str) -> str:
    """Return the lines that a shell reads so that Tab completes commands, options and files."""
    kind = get_completion_class(shell)
    if kind is None:
        raise ValueError(f"{shell} is not a shell known here; use {', '.join(SHELLS)}")
    return kind(root, {}, "legtaper", "_LEGTAPER_COMPLETE").source()


def unquoted(text: str) -> str:
    """Return a value of several words so that a shell needs no quotes: "too far" as "too-far"."""
    return text.strip().lower().replace(" ", "-")


def words(
    known: Callable[[], Iterable[str]],
) -> Callable[[click.Context, click.Parameter, str], list[CompletionItem]]:
    """Return what offers words, known once a Tab asks for them.

    Of several with commas between, the last is completed.
    """

    def offer(_: click.Context, __: click.Parameter, typed: str) -> list[CompletionItem]:
        before, comma, last = typed.rpartition(",")
        return [CompletionItem(f"{before}{comma}{one}") for one in known() if one.startswith(last)]

    return offer


def design_names(typed: str) -> list[CompletionItem]:
    """Return the designs of the project on the line; nothing where it can't be read.

    click gives no argument while the option before the cursor wants a value, so the line is read
    here, from the variable that its scripts for all shells fill.
    """
    words = split_arg_string(os.environ.get("COMP_WORDS", ""))
    names = [name for word in words if word.endswith(".toml") for name in _names_in(Path(word))]
    return [CompletionItem(name) for name in names if name.startswith(typed) and name.isprintable()]


def _names_in(file: Path) -> list[str]:
    import tomllib

    try:
        with file.open("rb") as opened:
            project = tomllib.loads(opened.read(_LARGEST).decode())
        return [str(design["name"]) for design in project["design"]]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return []  # the shell is waiting for a Tab; the command itself will say what is wrong
