"""What a command says of itself, and the group of all: the help follows the order of the work."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import Enum
from typing import Any

import click


class Section(Enum):
    """The headings of the help, as they follow one another in the work."""

    BEGIN = "Begin"
    LOOK = "Look at the design"
    PAPER = "Take it to paper"
    ROUNDS = "Sew, try on, go round again"
    REFERENCE = "Look things up"


class Command(click.Command):
    """A command that carries where it stands in the help: its section and its place in it.

    later: adds, once they are asked for, options that name what the core offers. The help of the
    program needs none of them, so it does not wait for the core.
    """

    section: Section
    place: int
    later: Callable[[Command], None] | None = None

    def whole(self) -> Command:
        """Return the command with all its options."""
        if self.later:
            later, self.later = self.later, None
            later(self)
        return self


def command(
    name: str,
    section: Section,
    place: int,
    later: Callable[[Command], None] | None = None,
    of: type[Command] = Command,
    **says: Any,
) -> Callable[[Callable[..., Any]], Command]:
    """Make a command of a function, as `click.command` does, with its section and place."""

    def made(function: Callable[..., Any]) -> Command:
        one: Command = click.command(name, cls=of, **says)(function)
        one.section, one.place, one.later = section, place, later
        return one

    return made


class Contents(click.Group):
    """A group whose help reads like a table of contents."""

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command with its options."""
        one = super().get_command(ctx, cmd_name)
        return one.whole() if isinstance(one, Command) else one

    def by_section(self) -> Iterator[tuple[Section, list[Command]]]:
        """Return the commands of each section, in the order of the work."""
        known = [one for one in self.commands.values() if isinstance(one, Command)]
        for section in Section:
            found = [one for one in known if one.section is section]
            yield section, sorted(found, key=lambda one: (one.place, one.name or ""))

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - as click has it
        """Return the names in the order of the work."""
        return [one.name or "" for _, found in self.by_section() for one in found]

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002 - as click has it
        formatter: click.HelpFormatter,
    ) -> None:
        """Write the commands below their headings, each with its whole first sentence."""
        for section, found in self.by_section():
            with formatter.section(section.value):
                formatter.write_dl([(one.name or "", one.get_short_help_str(200))
                                    for one in found])  # fmt: skip
