"""One module a command. Whatever is here and is a command is one of the program."""

from __future__ import annotations

import pkgutil
from collections.abc import Iterable, Iterator, MutableMapping
from importlib import import_module

import click

from legtaper_wizard.cli.sections import Command


class ByName(MutableMapping[str, click.Command]):
    """The commands of this folder by their names, each loaded when it is asked for.

    A command is in the module of its name; short ones share a module, so where none has the
    name that is asked for, and where all are listed, all are loaded.
    """

    def __init__(self) -> None:
        self._loaded: dict[str, click.Command] = {}
        self._modules = {found.name for found in pkgutil.iter_modules(__path__)}

    def __getitem__(self, name: str) -> click.Command:
        if name not in self._loaded:
            self._load([name] if name in self._modules else sorted(self._modules))
        return self._loaded[name]

    def __iter__(self) -> Iterator[str]:
        self._load(sorted(self._modules))
        return iter(self._loaded)

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def __setitem__(self, name: str, one: click.Command) -> None:
        self._loaded[name] = one

    def __delitem__(self, name: str) -> None:
        del self._loaded[name]

    def _load(self, modules: Iterable[str]) -> None:
        for name in modules:
            self._modules.discard(name)
            for one in vars(import_module(f"{__name__}.{name}")).values():
                if isinstance(one, Command):
                    self[one.name or ""] = one
