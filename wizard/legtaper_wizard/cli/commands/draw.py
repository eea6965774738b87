"""The command `draw`: the outline as text."""

from __future__ import annotations

from pathlib import Path

import click

from legtaper_wizard.cli.options import ASCII, DESIGN, FILE, build_pattern, load_project, one_line
from legtaper_wizard.cli.sections import Section, command


@command("draw", Section.LOOK, 2)
@FILE
@DESIGN
@ASCII
@click.option(
    "--width", type=click.IntRange(20, 400), help="Columns to draw in; else the terminal's."
)
@click.option("--view", type=click.Choice(["panels", "front"]), default="panels", show_default=True,
              help="Both panels, or one leg as the block beside one narrowed.")  # fmt: skip
def draw(file: Path, design: str | None, ascii_only: bool, width: int | None, view: str) -> None:
    """Draw the outline as text, old line and new; the block alone while there is no design."""
    from legtaper.model.safe_text import clean
    from legtaper.outputs.text_tables import heading
    from legtaper.pattern import block_of
    from legtaper_wizard.flow.words import block_text, outline_text, say

    project = load_project(file)
    if not project.designs and design is None:
        with one_line(file):
            block = block_of(project)
        say(f"{clean(project.name or 'A project without a name', 80)}\n")
        say(block_text(block, project.length_unit, width=width, ascii_only=ascii_only))
        return
    fit = build_pattern(file, design).fit
    say("\n".join([*heading(fit), ""]))
    say(outline_text(fit, view=view, width=width, ascii_only=ascii_only))
