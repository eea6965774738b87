"""The whole job on the example, without questions."""

from __future__ import annotations

from pathlib import Path

import click

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
    from legtaper.files.atomic_write import StoreError, shown_path, write_output
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
        raise StoreError(folder, f"cannot be made: {error.strerror}") from None
    say(check_text(pattern))
    click.echo()
    say(outline_text(pattern.fit, view="panels", width=None, ascii_only=ascii_only))
    click.echo()
    write_output(folder / FILES[0], text.encode(), force=force)
    for name in FILES[1:]:
        options = Options("both" if name.startswith("both") else "narrowed")
        write_pattern_file(pattern, folder / name, options, force=force)
    click.echo(f"Wrote {', '.join(FILES)} to {shown_path(folder)}.")
    click.echo(f"Open the project with: legtaper open {shown_path(folder / FILES[0])}")
    return 1 if pattern.failed else 0
