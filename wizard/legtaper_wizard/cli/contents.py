"""The list of commands in `--help`, in the order of the work rather than of the alphabet."""

from __future__ import annotations

import click

SECTIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Begin", ("demo", "begin", "open")),
    ("Look at the design", ("check", "draw", "limits")),
    ("Take it to paper", ("marks", "export")),
    ("Sew, try on, go round again", ("round", "compare")),
    ("Look things up", ("glossary", "manual", "settings", "completion")),
)
"""Headings and the commands below each, as they follow one another in the work."""


class Contents(click.Group):
    """A group whose help reads like a table of contents."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - as click has it
        """Return the names in the order of the work."""
        order = [name for _, names in SECTIONS for name in names]
        return [name for name in order if name in self.commands]

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002 - as click has it
        formatter: click.HelpFormatter,
    ) -> None:
        """Write the commands below their headings, each with its whole first sentence."""
        for heading, names in SECTIONS:
            with formatter.section(heading):
                formatter.write_dl([(name, self.commands[name].get_short_help_str(200))
                                    for name in names])  # fmt: skip
