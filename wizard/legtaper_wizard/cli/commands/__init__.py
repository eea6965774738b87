"""One module a command. Whatever is here and is a command is one of the program."""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator
from importlib import import_module

from legtaper_wizard.cli.sections import Command


def all_commands() -> Iterator[Command]:
    """Return every command that a module of this folder makes."""
    for found in pkgutil.iter_modules(__path__):
        module = import_module(f"{__name__}.{found.name}")
        yield from (one for one in vars(module).values() if isinstance(one, Command))
