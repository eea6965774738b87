"""The command `check`: every finding."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import NoReturn

import click

from legtaper_wizard.cli.options import (
    DESIGN,
    JSON,
    Refusal,
    build_pattern,
    one_line,
    print_json,
)
from legtaper_wizard.cli.sections import Section, command


@command("check", Section.LOOK, 1)
@click.argument("files", metavar="FILE...", nargs=-1, required=True,
                type=click.Path(path_type=Path))  # fmt: skip
@DESIGN
@JSON
def check(files: tuple[Path, ...], design: str | None, as_json: bool) -> None:
    """Say what is well, what wants care and what fails. Exit status 1 if something fails.

    Of several files it says one line each, and where each project stands.
    """
    from legtaper.outputs.json_report import check_report
    from legtaper_wizard.flow.words import check_text, say

    if len(files) > 1:
        _check_many(files, design, as_json)
    file = files[0]
    pattern = build_pattern(file, design)
    with one_line(file):  # the cut lines are only drawn where they are asked for
        report = check_report(pattern) if as_json else {}
        text = "" if as_json else check_text(pattern)
    if as_json:
        print_json(report)
    else:
        say(text)
    sys.exit(1 if pattern.failed else 0)


def _check_many(files: tuple[Path, ...], design: str | None, as_json: bool) -> NoReturn:
    from legtaper_wizard.cli.overview import overview, reports
    from legtaper_wizard.flow.words import say

    if design is not None:
        raise Refusal("--design goes with one FILE")
    if as_json:
        made, worst = reports(files)
        print_json(made)
        sys.exit(worst)
    lines, worst = overview(files)
    say("\n".join(lines))
    sys.exit(worst)
