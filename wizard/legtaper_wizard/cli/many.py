"""Many files in one call: each is worked on, what fails is told, and the rest goes on."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import click

from legtaper_wizard.cli.options import Refusal

SOME_FAILED = 1


def for_each(files: Sequence[Path], work: Callable[[Path], int]) -> int:
    """Do the work on each file and return the exit status.

    A refusal of the only file is raised. Of several it is told and the rest is still done: then
    the status is 1, and that of the refusal where not one file could be worked on.
    """
    if len(files) == 1:
        return work(files[0])
    done, refused = [], []
    for number, file in enumerate(files, 1):
        _show(f"{number} of {len(files)}: {file.name[:40]}")
        try:
            done.append(work(file))
        except Refusal as refusal:
            _show("")
            refusal.show()
            refused.append(refusal.status)
    _show("")
    if not done:
        return max(refused)
    return max([*done, SOME_FAILED if refused else 0])


def _show(line: str) -> None:
    """Show how far it is, in one line of a terminal that is written over; nothing in a pipe."""
    if sys.stderr.isatty():
        shown = "".join(c if c.isprintable() else "?" for c in line)
        click.echo(f"\r{shown:<60}\r{shown}", err=True, nl=False)
