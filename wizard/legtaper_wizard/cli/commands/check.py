"""The command `check`: every finding."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, NoReturn

import click

from legtaper_wizard.cli.options import (
    DESIGN,
    FORCE,
    JSON,
    OUT,
    Refusal,
    build_pattern,
    give_out,
    is_folder,
    json_text,
    one_line,
)
from legtaper_wizard.cli.sections import Section, command


@command("check", Section.LOOK, 1)
@click.argument("files", metavar="FILE|DIR...", nargs=-1, required=True,
                type=click.Path(path_type=Path))  # fmt: skip
@DESIGN
@JSON
@click.option("--remedies", is_flag=True,
              help="Try what mends each finding, too; with --json, of one FILE.")  # fmt: skip
@OUT
@FORCE
def check(
    files: tuple[Path, ...], design: str | None, as_json: bool, remedies: bool, **written: Any
) -> None:
    """Say what is OK, a warning, failing or unknown. Exit status 1 if something fails.

    Of several files it says one line each; of a DIR who it is, at which step and round, what
    fails and what is next. With --json several make an array.
    """
    many = len(files) > 1 or is_folder(files[0])
    if remedies and (many or not as_json):
        raise Refusal("--remedies goes with --json and one FILE; else say: legtaper mend FILE")
    if many:
        _check_many(files, design, as_json=as_json, **written)
    file = files[0]
    pattern = build_pattern(file, design)
    with one_line(file):  # the cut lines are only drawn where they are asked for
        if as_json:
            from legtaper.outputs.json_report import check_report
            from legtaper.remedies.mend import mends

            text = json_text(check_report(pattern, mends(pattern) if remedies else None))
        else:
            from legtaper_wizard.flow.words import check_text

            text = check_text(pattern)
    give_out(text, **written)
    sys.exit(1 if pattern.failed else 0)


def _check_many(
    files: tuple[Path, ...], design: str | None, *, as_json: bool, out: Path | None, force: bool
) -> NoReturn:
    from legtaper_wizard.cli.overview import files_of, overview, reports

    if design is not None:
        raise Refusal("--design goes with one FILE")
    found = files_of(files)
    if as_json:
        made, worst = reports(found)
        text = json_text(made)
    else:
        text, worst = overview(found, whole=any(map(is_folder, files)))
    give_out(text, out, force=force)
    sys.exit(worst)
