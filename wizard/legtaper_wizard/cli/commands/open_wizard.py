"""The command `open`: the wizard on a project."""

from __future__ import annotations

import sys
from pathlib import Path

from legtaper_wizard.cli.options import ASCII, FILE, PLAIN, one_line
from legtaper_wizard.cli.sections import Section, command


@command("open", Section.BEGIN, 3)
@FILE
@PLAIN
@ASCII
def open_file(file: Path, plain: bool, ascii_only: bool) -> None:
    """Open the wizard on a project, where the work stopped.

    Line by line, a FILE that is not there can be begun.
    """
    from legtaper_wizard.cli.launch import start

    with one_line(file):
        sys.exit(start(file, plain=plain, ascii_only=ascii_only))
