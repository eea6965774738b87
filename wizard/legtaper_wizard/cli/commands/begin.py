"""The command `begin`: a new project file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from legtaper_wizard.cli.options import FORCE, Refusal, one_line
from legtaper_wizard.cli.sections import Section, command
from legtaper_wizard.flow.examples import NAMES

if TYPE_CHECKING:
    from legtaper.model.project import Unit


@command("begin", Section.BEGIN, 2)
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("pairs", metavar="[KEY=VALUE]...", nargs=-1)
@click.option(
    "--from-example",
    "example",
    type=click.Choice(NAMES),
    help="Which invented example to begin from; else courier in inches, weekend in centimeters.",
)
@click.option("--from-body", is_flag=True,
              help="Draft a starting block from KEY=VALUE: hip=41in height=66in.")  # fmt: skip
@click.option("--from-svg", "svg", type=click.Path(path_type=Path),
              help="Take the block from outlines traced at true size.")  # fmt: skip
@click.option("--from-dxf", "dxf", type=click.Path(path_type=Path),
              help="The same from DXF: layers by ASTM D6673, or plain polylines.")  # fmt: skip
@click.option("--front", metavar="ID", help="The name of the front's outline in the drawing.")
@click.option("--back", metavar="ID", help="The name of the back's outline in the drawing.")
@click.option(
    "--px-per-inch", type=float, help="How many px of the SVG are an inch; 96 if not said."
)
@click.option("--drawing-unit", metavar="UNIT", help="The unit of a DXF that does not say its own.")
@click.option("--unit", type=click.Choice(["in", "cm"]), default="in", show_default=True,
              help="What a bare number means, and what lengths are shown in.")  # fmt: skip
@FORCE
def begin(  # noqa: PLR0913, PLR0917  click hands over one argument for each option
    file: Path, pairs: tuple[str, ...], example: str | None, from_body: bool, svg: Path | None,
    dxf: Path | None, front: str | None, back: str | None, px_per_inch: float | None,
    drawing_unit: str | None, unit: str, force: bool,
) -> None:  # fmt: skip
    """Begin a project FILE from an example, from a body or from a drawing.

    Change its numbers to your own, in the wizard or in an editor. A drafted block is a starting
    block: sew and fit it before you taper.

    With a drawing, KEY=VALUE says what would be guessed otherwise: hip=96cm and knee=43cm are
    heights above the hem; seam=15mm and hem=4cm are allowances to take off; front.up=left;
    front.crotch=120,430 and front.grainline=100,200,100,900 are places in the drawing, in mm.
    """
    from legtaper.files.atomic_write import shown_path
    from legtaper.files.store import save_new
    from legtaper.model.safe_text import clean
    from legtaper_wizard.flow import new_project as beginning
    from legtaper_wizard.flow.examples import example_text
    from legtaper_wizard.flow.words import say

    ways = sum((from_body, svg is not None, dxf is not None, example is not None))
    if ways > 1:
        raise Refusal("choose one of --from-example, --from-body, --from-svg and --from-dxf")
    if not (svg or dxf) and any((front, back, px_per_inch is not None, drawing_unit)):
        raise Refusal("--front, --back, --px-per-inch and --drawing-unit go with a drawing")
    if pairs and not (from_body or svg or dxf):
        raise Refusal(f"{pairs[0][:60]} is one argument too many; KEY=VALUE goes with --from-body")
    length_unit = cast("Unit", unit)
    if drawing := svg or dxf:
        with one_line(drawing):
            source = beginning.DrawingFile(
                drawing, ".svg" if svg else ".dxf", front, back, px_per_inch, drawing_unit
            )
            made = beginning.from_drawing(source, pairs, length_unit)
    elif from_body:
        with one_line(file):
            made = beginning.from_body(pairs, length_unit)
    else:
        says = "An invented example: every number in it is nobody's. Put in your own."
        name = example or {"in": "courier", "cm": "weekend"}[unit]
        made = beginning.Beginning(example_text(name), (says,))
    with one_line(file):
        save_new(file, made.text, force=force)
    for line in made.says:
        say(clean(line, 500))
    name = shown_path(file)
    click.echo(f"Wrote {name}. Change its numbers, or go on with: legtaper open {name}")
