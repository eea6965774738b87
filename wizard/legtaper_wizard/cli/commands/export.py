"""The command `export`: the pattern at true size."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import click

from legtaper_wizard.cli.completion import words
from legtaper_wizard.cli.options import DESIGN, FORCE, Refusal, one_line
from legtaper_wizard.cli.sections import Command, Section, command

if TYPE_CHECKING:
    from legtaper.model.project import Side
    from legtaper.outputs.formats import Options
    from legtaper.outputs.printing import Correction


Adds = tuple[Callable[[Any], Any], ...]
"""What adds an argument or an option to a command."""


def _with_formats(export: Command) -> None:
    """Add what names the formats, the papers and the looks."""
    from legtaper.outputs.formats import suffix_words

    export.help = f"{export.help}\n\n" + (
        f"One FILE goes to OUT, which ends in {suffix_words()}; - is standard output. "
        "Several FILEs go to --into DIR, under names made of project and design. "
        "A finding that fails is told and makes the exit status 1; the files are written. "
        "Both legs are a muslin, which then counts as printed in FILE. The unaltered leg "
        "needs no design."
    )
    for add in (*_where_to(), *_which_leg(), *_how_printed(), FORCE):
        add(export)


def _where_to() -> Adds:
    """Return what says which projects are written, in which formats, and where to."""
    from legtaper.outputs.formats import FORMATS

    path: Any = click.Path(path_type=Path)
    return (
        click.argument("paths", metavar="FILE... [OUT]", nargs=-1, required=True, type=path),
        DESIGN,
        click.option("--out", "-o", metavar="OUT", type=path,
                     help="The file to write, the same as OUT behind FILE."),
        click.option("--into", metavar="DIR", type=path,
                     help="The folder to write to; it is made where it is not there."),
        click.option("--format", "formats", metavar="KINDS", shell_complete=words(lambda: FORMATS),
                     help=f"What to write with --into: {', '.join(FORMATS)}, with commas between; "
                     "pdf if left out."),
    )  # fmt: skip


def _which_leg() -> Adds:
    """Return what says which leg is in the files."""
    from legtaper.outputs.formats import LEGS

    return (
        click.option("--leg", type=click.Choice(list(LEGS)), default="narrowed", show_default=True,
                     help="Which leg to print; both for the muslin test."),
        click.option("--narrowed", type=click.Choice(["left", "right"]),
                     help="Of both legs, which is the narrowed one; right where left out."),
    )  # fmt: skip


def _how_printed() -> Adds:
    """Return what says how pages, lines and words look."""
    from legtaper.outputs.papers import PAPERS, paper_words
    from legtaper.outputs.printing import LOOKS, Words

    return (
        click.option("--paper", metavar="PAPER", shell_complete=words(lambda: PAPERS),
                     help=f"{paper_words()} (PDF only). "
                     "Left out: what the settings or the locale say, else a4."),
        click.option("--measured", metavar="WIDTHxHEIGHT",
                     help="What the printed test rectangle of 150 x 250 mm measures, with units, "
                     "as 147.6mmx246mm: the pages are drawn to make up for it, now and later on "
                     "that paper. 150mmx250mm ends it."),
        click.option("--only", type=click.Choice(["pattern"]),
                     help="The pattern alone, without the sheets in front."),
        click.option("--look", type=click.Choice(list(LOOKS)), default="plain", show_default=True,
                     help="Of the PDF: ink-saving is thin and gray; projector has heavy lines, "
                     "nothing filled, and a grid."),
        click.option("--words", type=click.Choice(get_args(Words)), default="text",
                     show_default=True, help="Of SVG and DXF, for a cutter: text, outlines in "
                     "place of letters, or none."),
    )  # fmt: skip


@command("export", Section.PAPER, 2, later=_with_formats,
         epilog="\b\nFor example:\n"
                "  legtaper export mine.toml mine.pdf --paper letter\n"
                "  legtaper export *.toml --into patterns --format pdf,marks")  # fmt: skip
def export(paths: tuple[Path, ...], out: Path | None, into: Path | None, **given: Any) -> None:
    """Write the pattern at true size, or its marking table."""
    from legtaper_wizard.cli.exporting import Job, make_folder, sort_out
    from legtaper_wizard.cli.many import for_each

    files, out, formats = sort_out(paths, out, into, given["formats"])
    left_open = frozenset(name for name in ("paper", "measured") if given[name] is None)
    job = Job(
        given["design"], _options(given), given["force"], out, into, formats, by_settings=left_open
    )
    if into:
        make_folder(into)
    sys.exit(for_each(files, job))


def _options(given: dict[str, Any]) -> Options:
    """Return what was asked of the files. A new option is added above, and its value here."""
    from legtaper.outputs.formats import Options
    from legtaper_wizard.flow.settings import settings

    if given["narrowed"] and given["leg"] != "both":
        raise Refusal("--narrowed says which of both legs it is; give it with --leg both")
    kept = settings()
    paper = given["paper"] or kept.paper or "a4"
    side: Side = given["narrowed"] or "right"
    return Options(
        leg=given["leg"],
        paper=paper,
        narrowed=side,
        correction=_measured(given["measured"], paper) or kept.correction_for(paper),
        fronts=given["only"] != "pattern",
        look=given["look"],
        words=given["words"],
    )


def _measured(typed: str | None, paper: str) -> Correction | None:
    """Return the correction for a printed rectangle that was measured, and keep it."""
    from legtaper.outputs.papers import PaperError
    from legtaper.outputs.papers import paper as read_paper
    from legtaper.outputs.printing import TRUE, read_measured
    from legtaper_wizard.flow.settings import change_settings, measured_key

    if typed is None:
        return None
    try:
        read_paper(paper)
        correction = read_measured(typed)
    except PaperError as error:
        raise Refusal(str(error), key="--measured") from None
    with one_line():
        change_settings({measured_key(paper): "" if correction == TRUE else typed})
    return correction
