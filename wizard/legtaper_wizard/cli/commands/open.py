"""The command `open`: the wizard on a project."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from legtaper_wizard.cli.options import ASCII, FILE, PLAIN, Refusal, one_line
from legtaper_wizard.cli.sections import Command, Section, command


class _Open(Command):
    """The command that people call for the wizard itself, which opens without a file, too."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the call; where only FILE is missing, say what begins without one."""
        flags = " ".join(one for one in args if one in ("--plain", "--ascii"))
        try:
            return super().parse_args(ctx, args)
        except click.MissingParameter:
            begins = f"legtaper {flags}".strip()
            raise Refusal(
                f"open takes a FILE; without one the wizard opens with: {begins}"
            ) from None


@command("open", Section.BEGIN, 3, of=_Open)
@FILE
@click.option("--new", is_flag=True, help="Begin FILE, which is refused where it is there.")
@PLAIN
@ASCII
def open_file(file: Path, new: bool, plain: bool, ascii_only: bool) -> None:
    """Open the wizard on a project, where the work was left, or begin one with --new.

    Line by line, answers may come from a pipe: the first that is not taken ends it with status 2.
    """
    from legtaper_wizard.cli.launch import start

    with one_line(file):
        sys.exit(start(file, plain=plain, ascii_only=ascii_only, new=new))
