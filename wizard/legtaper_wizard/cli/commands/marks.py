"""The command `marks`: the marking table."""

from __future__ import annotations

from pathlib import Path

import click

from legtaper_wizard.cli.options import DESIGN, FILE, JSON, Refusal, build_pattern, print_json
from legtaper_wizard.cli.sections import Section, command


@command("marks", Section.PAPER, 1)
@FILE
@DESIGN
@click.option("--round-to", "step", type=click.Choice(["1/8in", "1/16in", "1mm"]),
              help="What your ruler shows; 1/8 in or 1 mm if left out.")  # fmt: skip
@click.option("--csv", "as_csv", is_flag=True, help="Comma-separated, for a spreadsheet.")
@JSON
def marks(file: Path, design: str | None, step: str | None, as_csv: bool, as_json: bool) -> None:
    """Print the marks for ruler and pencil.

    For each seam edge: how far to come in from the old line, the new distance from the
    grainline, where the straight part ends and the points of the curve.
    """
    from legtaper.outputs.csv_report import marks_csv
    from legtaper.outputs.json_report import marks_report
    from legtaper.outputs.marking_table import DEFAULT_STEP
    from legtaper.outputs.marks_text import marks_text
    from legtaper_wizard.flow.words import say

    if as_csv and as_json:
        raise Refusal("choose --csv or --json, not both")
    fitted = build_pattern(file, design).fit
    step = step or DEFAULT_STEP[fitted.project.length_unit]
    if as_json:
        print_json(marks_report(fitted, step))
    elif as_csv:
        click.echo(marks_csv([(fitted, step)]), nl=False)
    else:
        say(marks_text(fitted, step))
