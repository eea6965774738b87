"""The command `open`: the wizard on a project."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from legtaper_wizard.cli.options import ASCII, FILE, PLAIN, one_line
from legtaper_wizard.cli.sections import Section, command


@command("open", Section.BEGIN, 3)
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
