"""The program: the group that every command of `commands` stands in, and the wizard without one."""

from __future__ import annotations

import sys

import click

from legtaper import __version__
from legtaper_wizard.cli.commands import ByName
from legtaper_wizard.cli.options import ASCII, PLAIN, Commands, Refusal


@click.group(
    cls=Commands,
    commands=ByName(),
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@PLAIN
@ASCII
@click.version_option(__version__, "-V", "--version")
@click.pass_context
def main(context: click.Context, plain: bool, ascii_only: bool) -> None:
    """Narrow the legs of a trouser block that hangs well, step by step.

    Without a command the wizard opens; with --plain it asks line by line. It asks, draws, warns and
    remembers; everything it asks is kept in one project file, which the commands below read.
    """
    if context.invoked_subcommand is None:
        from legtaper_wizard.cli.launch import start

        sys.exit(start(None, plain=plain, ascii_only=ascii_only))
    called = main.get_command(context, context.invoked_subcommand)
    known = {option for one in called.params for option in one.opts} if called else set()
    for option, given in (("--plain", plain), ("--ascii", ascii_only)):
        if given and option not in known:
            raise Refusal(f"{context.invoked_subcommand} has no {option}; leave it out")
