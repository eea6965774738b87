"""The commands. Each reads a project, asks the core, and prints or writes what it answers."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, cast

import click

from legtaper.outputs.formats import LEGS, Options, suffix_words
from legtaper.outputs.papers import paper_words
from legtaper_wizard.cli.options import (
    ASCII,
    DESIGN,
    FILE,
    FORCE,
    JSON,
    PLAIN,
    Commands,
    Refusal,
    build_pattern,
    day_given,
    designs_on_the_line,
    load_project,
    one_line,
    print_json,
)
from legtaper_wizard.cli.reference import change_or_show, completion, explain_words, manual
from legtaper_wizard.flow.examples import NAMES

if TYPE_CHECKING:
    from legtaper.model.project import Unit
    from legtaper.outputs.pattern_drawing import LegChoice


@click.group(
    cls=Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)
@PLAIN
@ASCII
@click.version_option(package_name="legtaper")
@click.pass_context
def main(context: click.Context, plain: bool, ascii_only: bool) -> None:
    """Narrow the legs of a trouser block that hangs well, step by step.

    Without a command the wizard opens; with --plain it asks line by line. It asks, draws, warns and
    remembers; everything it asks stands in one project file, which the commands below read.
    """
    if context.invoked_subcommand is None:
        from legtaper_wizard.cli.launch import start

        sys.exit(start(None, plain=plain, ascii_only=ascii_only))
    if plain or ascii_only:
        raise Refusal("--plain and --ascii go behind a command, as in: legtaper open FILE --plain")


@main.command("open")
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


@main.command()
@click.argument("folder", metavar="[DIR]", default="legtaper-demo", type=click.Path(path_type=Path))
@ASCII
@FORCE
def demo(folder: Path, ascii_only: bool, force: bool) -> None:
    """Take an example through the whole job.

    Prints findings and outline, and writes the pattern files to DIR. Asks nothing.
    """
    from legtaper_wizard.cli.commands.demo import run

    with one_line(folder):
        sys.exit(run(folder, ascii_only, force))


@main.command()
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


@main.command()
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
    from legtaper_wizard.cli.commands.overview import overview
    from legtaper_wizard.flow.words import say

    if design is not None or as_json:
        raise Refusal("--design and --json go with one FILE")
    lines, worst = overview(files)
    say("\n".join(lines))
    sys.exit(worst)


@main.command()
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
    from legtaper.pattern import block_of
    from legtaper_wizard.flow.words import block_text, outline_text, say

    project = load_project(file)
    if not project.designs and design is None:
        with one_line(file):
            block = block_of(project)
        say(block_text(block, project.length_unit, width=width, ascii_only=ascii_only))
        return
    fit = build_pattern(file, design).fit
    say(outline_text(fit, view=view, width=width, ascii_only=ascii_only))


@main.command()
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
    from legtaper.outputs.json_report import marks_report
    from legtaper.outputs.marking_table import DEFAULT_STEP
    from legtaper.outputs.marks_text import marks_csv, marks_text
    from legtaper_wizard.flow.words import say

    if as_csv and as_json:
        raise Refusal("choose --csv or --json, not both")
    fitted = build_pattern(file, design).fit
    step = step or DEFAULT_STEP[fitted.project.length_unit]
    if as_json:
        print_json(marks_report(fitted, step))
    elif as_csv:
        click.echo(marks_csv(fitted, step), nl=False)
    else:
        say(marks_text(fitted, step))


@main.command(
    help=f"Write the pattern at true size, or its marking table. OUT ends in {suffix_words()}."
)
@FILE
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--design", metavar="NAME", shell_complete=designs_on_the_line,
              help="Which design; else the accepted or current one, else the last.")  # fmt: skip
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
    from legtaper.muslin.log import current
    from legtaper.pattern import build
    from legtaper_wizard.flow.settings import settings
    from legtaper_wizard.flow.words import say, which_text
    from legtaper_wizard.flow.writing import write_pattern_file

    project, paper = load_project(file), paper or settings().paper or "a4"
    options = Options(cast("LegChoice", leg), paper)
    with one_line(file):
        pattern = build(project, design or current(project).name)
        click.echo(write_pattern_file(pattern, out, options, force=force))
        say(which_text(pattern.fit))
        if leg == "both":
            click.echo("When the test is printed, note it with: legtaper round FILE --printed")


@main.command()
@FILE
@DESIGN
@JSON
def limits(file: Path, design: str | None, as_json: bool) -> None:
    """Say how narrow, how much and how high at most.

    The narrowest hem that the foot passes without a slit, the most that can come off each edge
    before a finding fails, how high the new seams may blend, and which hem widths work.
    """
    from legtaper.outputs.json_report import limits_report
    from legtaper.search.hem_widths import hem_widths
    from legtaper.search.limits import limits as find_limits
    from legtaper_wizard.flow.words import limits_text, say

    fitted = build_pattern(file, design).fit
    found = find_limits(fitted)
    if as_json:
        print_json(limits_report(found, hem_widths(fitted)))
    else:
        say(limits_text(found, hem_widths(fitted), fitted))


@main.command()
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
@click.option("--out", metavar="PAGE", type=click.Path(path_type=Path),
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


@main.command(
    "round",
    epilog="\b\nFor example, two commands:\n"
    "  legtaper round mine.toml --printed\n"
    "  legtaper round mine.toml --seen stand --trouble sit\n"
    '    --pinch knee:outseam:-1/4in --verdict closer --next "taper 2"',
)
@FILE
@click.option("--design", metavar="NAME", shell_complete=designs_on_the_line,
              help="Which design was sewn; else the current one.")  # fmt: skip
@click.option("--printed", is_flag=True, help="Note that the test was printed; try it on later.")
@click.option("--date", "on", metavar="DAY", callback=day_given,
              help="When: 2026-03-14, yesterday, or as your settings say; else today.")  # fmt: skip
@click.option("--pinch", "pinches", metavar="LEVEL:SEAM:DEPTH", multiple=True,
              help="A fold pinched out, as knee:outseam:1/4in; a minus lets out.")  # fmt: skip
@click.option("--seen", metavar="WHAT", multiple=True, help="What of the checklist was tried.")
@click.option("--trouble", metavar="WHAT", multiple=True, help="What of it did not go well.")
@click.option("--notes", metavar="TEXT", default="", help="What was seen, in your own words.")
@click.option("--verdict", type=click.Choice(["closer", "too far", "done"]),
              help="Done accepts the design: export then means it.")  # fmt: skip
@click.option("--next", "next_name", metavar="NAME",
              help="Make the next design from the pinches, under this name.")  # fmt: skip
@click.option("--spread", type=click.Choice(["even", "as-pinched"]), default="even",
              show_default=True, help="Whether --next evens them out over all edges.")  # fmt: skip
@click.option("--back", metavar="N", type=click.IntRange(1),
              help="Go on from the design of round N again; nothing is deleted.")  # fmt: skip
@click.option("--accept", metavar="N", type=click.IntRange(1),
              help="Accept the design of round N, as the verdict done does.")  # fmt: skip
def muslin_round(file: Path, **given: Any) -> None:
    """Write down a muslin round, or tell of all.

    Without an option it only reads: the rounds so far, where work stands and what comes next.
    --pinch, --seen and --trouble may be given more than once. The checklist: stand, sit, "climb a
    step", "bend the knee", "put the foot through".
    """
    from legtaper_wizard.cli.commands.round import Wish, run
    from legtaper_wizard.flow.words import say

    with one_line(file):
        say(run(file, Wish(**given)))


for looked_up in (explain_words, manual, change_or_show, completion):
    main.add_command(looked_up)
