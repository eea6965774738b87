"""The command `sheet`: a blank measuring sheet to hand out."""

from __future__ import annotations

from pathlib import Path

import click

from legtaper_wizard.cli.options import FORCE, OUT, Refusal, give_out, one_line
from legtaper_wizard.cli.sections import Section, command


@command("sheet", Section.BEGIN, 5)
@OUT
@click.option("--paper", type=click.Choice(["a4", "letter"]),
              help="Of a PDF; left out: what the settings or the locale say.")  # fmt: skip
@FORCE
def sheet(out: Path | None, paper: str | None, force: bool) -> None:
    """Print a blank measuring sheet, or write it as one page where OUT ends in .pdf."""
    from legtaper.model.project import Project
    from legtaper.outputs.measuring_sheet import Row, sheet_drawing, sheet_text
    from legtaper_wizard.flow.settings import settings
    from legtaper_wizard.flow.steps.wearer_step import STEP

    rows = [Row(one.label, one.how) for one in STEP.fields(Project())
            if one.key.startswith("wearer.")]  # fmt: skip
    if out is None or out.suffix.lower() in ("", ".txt"):
        give_out(sheet_text(rows), out, force=force)
        return
    if out.suffix.lower() != ".pdf":
        raise Refusal("the name of the sheet ends in .pdf or .txt", out)
    from legtaper.files.atomic_write import shown_path, write_export
    from legtaper.outputs import pdf
    from legtaper.outputs.papers import PAPERS

    usual = settings().paper
    size = PAPERS[paper or (usual if usual in ("a4", "letter") else "a4")]
    with one_line(out):
        write_export(out, pdf.render_page(sheet_drawing(rows, size)), force=force)
    click.echo(f"Wrote {shown_path(out)}, one page.")
