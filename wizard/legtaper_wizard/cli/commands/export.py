"""The command `export`: the pattern at true size."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from legtaper.outputs.formats import LEGS, Options, suffix_words
from legtaper.outputs.papers import paper_words
from legtaper_wizard.cli.options import DESIGN, FILE, FORCE, load_project, one_line
from legtaper_wizard.cli.sections import Section, command

if TYPE_CHECKING:
    from legtaper.outputs.piece_words import LegChoice


@command("export", Section.PAPER, 2,
         help=f"Write the pattern at true size, or its marking table. OUT ends in {suffix_words()}."
         )  # fmt: skip
@FILE
@click.argument("out", type=click.Path(path_type=Path))
@DESIGN
@click.option("--paper", metavar="PAPER",
              help=f"{paper_words()} (PDF only). "
                   "Left out: what the settings or the locale say, else a4.")  # fmt: skip
@click.option("--leg", type=click.Choice(list(LEGS)), default="narrowed",
              show_default=True, help="Which leg to print; both for the muslin test.")  # fmt: skip
@FORCE
def export(  # noqa: PLR0913, PLR0917  click hands over one argument for each option
    file: Path, out: Path, design: str | None, paper: str | None, leg: str, force: bool
) -> None:
    """Write the pattern at true size, or its marking table. Its suffix says which."""
    from legtaper.pattern import build
    from legtaper_wizard.flow.settings import settings
    from legtaper_wizard.flow.words import say, which_text
    from legtaper_wizard.flow.writing import write_pattern_file

    project, paper = load_project(file), paper or settings().paper or "a4"
    options = Options(cast("LegChoice", leg), paper)
    with one_line(file):
        pattern = build(project, design)
        click.echo(write_pattern_file(pattern, out, options, force=force))
        say(which_text(pattern.fit))
        if leg == "both":
            click.echo("When the test is printed, note it with: legtaper round FILE --printed")
