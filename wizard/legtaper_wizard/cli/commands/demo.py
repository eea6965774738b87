"""The command `demo`: the whole job on the example."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from legtaper_wizard.cli.options import ASCII, FORCE, one_line
from legtaper_wizard.cli.sections import Section, command

FILES = (
    "courier.toml",
    "marks.txt",
    "pattern.svg",
    "pattern-a4.pdf",
    "both-legs-a4.pdf",
    "pattern.dxf",
)


def run(folder: Path, ascii_only: bool, force: bool) -> int:
    """Print findings and outline of the example, write its pattern files; return 0 or 1."""
    from legtaper.files.atomic_write import PRIVATE, StoreError, say_reason, shown_path, write_new
    from legtaper.files.project_file import read_project
    from legtaper.outputs.formats import Options
    from legtaper.pattern import build
    from legtaper_wizard.flow.examples import example_text
    from legtaper_wizard.flow.words import check_text, outline_text, say
    from legtaper_wizard.flow.writing import write_pattern_file

    text = example_text("courier")
    pattern = build(read_project(text), "easy taper")
    there = [name for name in FILES if (folder / name).exists()]
    if there and not force:
        raise StoreError(folder / there[0], "is there already; use --force, or name another DIR")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(folder, f"cannot be made: {say_reason(error)}") from None
    say(check_text(pattern))
    click.echo()
    say(outline_text(pattern.fit, view="panels", width=None, ascii_only=ascii_only))
    click.echo()
    write_new(folder / FILES[0], text.encode(), force=force, mode=PRIVATE)
    for name in FILES[1:]:
        options = Options("both" if name.startswith("both") else "narrowed")
        write_pattern_file(pattern, folder / name, options, force=force)
    click.echo(f"Wrote {', '.join(FILES)} to {shown_path(folder)}.")
    click.echo(f"Open the project with: legtaper open {shown_path(folder / FILES[0])}")
    return 1 if pattern.failed else 0


@command("demo", Section.BEGIN, 1)
@click.argument("folder", metavar="[DIR]", default="legtaper-demo", type=click.Path(path_type=Path))
@ASCII
@FORCE
def demo(folder: Path, ascii_only: bool, force: bool) -> None:
    """Take an example through the whole job.

    Prints findings and outline, and writes the pattern files to DIR. Asks nothing.
    """
    with one_line(folder):
        sys.exit(run(folder, ascii_only, force))
