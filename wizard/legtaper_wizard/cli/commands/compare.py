"""The command `compare`: designs and rounds side by side."""

from __future__ import annotations

from pathlib import Path

import click

from legtaper_wizard.cli.options import (
    ASCII,
    FILE,
    FORCE,
    JSON,
    Refusal,
    designs_on_the_line,
    load_project,
    one_line,
    print_json,
)
from legtaper_wizard.cli.sections import Section, command


@command("compare", Section.ROUNDS, 2)
@FILE
@click.option("--design", "designs", metavar="NAME", multiple=True,
              shell_complete=designs_on_the_line,
              help="Which design; may be given more than once. Left out: all of them.")  # fmt: skip
@click.option("--round", "numbers", metavar="N", type=click.IntRange(1), multiple=True,
              help="Which muslin round, by its number; may be given more than once.")  # fmt: skip
@JSON
@ASCII
@click.option(
    "--width", type=click.IntRange(40, 400), help="Columns to write in; else the terminal's."
)
@click.option("--out", "-o", metavar="PAGE", type=click.Path(path_type=Path),
              help="Write one page instead; PAGE ends in .pdf or .svg.")  # fmt: skip
@FORCE
def compare(  # noqa: PLR0913, PLR0917  click hands over one argument for each option
    file: Path,
    designs: tuple[str, ...],
    numbers: tuple[int, ...],
    as_json: bool,
    ascii_only: bool,
    width: int | None,
    out: Path | None,
    force: bool,
) -> None:
    """Set designs and muslin rounds side by side.

    Widths, take-ins, ease, hem, slit and seams, what changed from one to the next, what was seen
    in the rounds, and up to three outlines over each other. Of many designs the screen and the
    page show the last ones unless some are named.
    """
    from legtaper.muslin.compare import columns, latest
    from legtaper_wizard.flow.words import compare_text

    if as_json and out:
        raise Refusal("choose --json or --out, not both")
    project = load_project(file)
    with one_line(file):
        if not (designs or numbers or as_json):
            designs = latest(project)
        shown = columns(project, designs, numbers)
        if as_json:
            from legtaper.outputs.json_report import compare_report

            print_json(compare_report(shown))
        elif out:
            from legtaper_wizard.flow.writing import write_compare_page

            click.echo(write_compare_page(shown, out, force=force))
        else:
            click.echo(compare_text(shown, width=width, ascii_only=ascii_only))
