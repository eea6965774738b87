"""The command `begin`: a new project file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from legtaper_wizard.cli.completion import UNITS, words
from legtaper_wizard.cli.options import FORCE, IF_SURE, one_line
from legtaper_wizard.cli.sections import Section, command
from legtaper_wizard.flow.examples import NAMES

_KEYS = ("name=", "wearer.hip=", "fabric.kind=", "design.take_in.hem=", "allowance.seam=",
         "hip=", "height=", "waist=", "knee=", "seam=", "hem=")  # fmt: skip


@command(
    "begin", Section.BEGIN, 2,
    epilog="\b\nFor example:\n"
    "  legtaper begin mine.toml --from-body hip=104cm waist=86cm height=172cm\n"
    "  legtaper begin anna.toml --like class.toml name=Anna wearer.hip=98cm\n"
    "  legtaper begin mine.toml --from-svg a.svg --front F --back B seam=15mm hem=4cm",
)  # fmt: skip
@click.argument("file", type=click.Path(path_type=Path))
@click.argument("pairs", metavar="[KEY=VALUE]...", nargs=-1, shell_complete=words(lambda: _KEYS))
@click.option(
    "--from-example",
    "example",
    type=click.Choice(NAMES),
    help="Which invented example to begin from; else courier in inches, weekend in centimeters.",
)
@click.option("--from-body", is_flag=True,
              help="Draft a starting block from KEY=VALUE: hip=41in height=66in.")  # fmt: skip
@click.option("--from-svg", "svg", metavar="DRAWING", type=click.Path(path_type=Path),
              help="Take the block from outlines traced at true size.")  # fmt: skip
@click.option("--from-dxf", "dxf", metavar="DRAWING", type=click.Path(path_type=Path),
              help="The same from DXF: layers by ASTM D6673, or plain polylines.")  # fmt: skip
@click.option("--like", metavar="MODEL", type=click.Path(path_type=Path),
              help="Take fabric, design, hem, allowances and unit of a project; no one's body. "
                   "Goes with --from-body or a drawing, too.")  # fmt: skip
@click.option("--front", metavar="ID", help="The name of the front's outline in the drawing; "
              "the command outlines lists them.")  # fmt: skip
@click.option("--back", metavar="ID", help="The name of the back's outline in the drawing.")
@click.option("--as-named", is_flag=True,
              help="Front and back are right, though the back is the smaller.")  # fmt: skip
@click.option("--px-per-inch", metavar="NUMBER", type=float,
              help="How many px of the SVG are an inch; 96 if not said.")  # fmt: skip
@click.option("--drawing-unit", metavar="UNIT", shell_complete=words(lambda: UNITS),
              help="The unit of a DXF that says none, or a wrong one.")  # fmt: skip
@click.option("--unit", type=click.Choice(["in", "cm"]),
              help="What a bare number means, and what lengths are shown in; left out: cm where "
                   "every length is given in cm or mm, else in.")  # fmt: skip
@IF_SURE
@FORCE
def begin(file: Path, pairs: tuple[str, ...], **given: Any) -> None:
    """Begin a project FILE from an example, a body, a drawing or a model.

    Change its numbers to your own, in the wizard or in an editor. A drafted block is a starting
    block: sew and fit it before you taper.

    KEY=VALUE sets any key of the project file: name=Anna, wearer.hip=98cm, fabric.kind=knit,
    design.take_in.hem=1in (of the current design), allowance.seam=15mm.

    With a drawing, KEY=VALUE says as well what would be guessed: hip=96cm and knee=43cm are
    heights above the hem; seam=15mm and hem=4cm are allowances to take off, front.hem=5cm of one
    panel, seam.inseam=2cm or back.seam.inseam=2cm of one edge; front.up=left;
    front.crotch=120,430 and front.grainline=100,200,100,900 are places in the drawing, in mm.
    """
    from legtaper.files.atomic_write import shown_path
    from legtaper.files.store import save_new
    from legtaper.model.safe_text import clean
    from legtaper_wizard.cli.beginning import made_of
    from legtaper_wizard.flow.words import say

    made = made_of(file, pairs, given)
    with one_line(file):
        save_new(file, made.text, force=given["force"])
    for line in made.says:
        say(clean(line, 500))
    name = shown_path(file)
    click.echo(f"Wrote {name}. Change its numbers, or go on with: legtaper open {name}")
