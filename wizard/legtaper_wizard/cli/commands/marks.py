"""The command `marks`: the marking table."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from legtaper_wizard.cli.options import (
    DESIGN,
    FILES,
    FORCE,
    JSON,
    OUT,
    Refusal,
    build_pattern,
    give_out,
    json_text,
)
from legtaper_wizard.cli.sections import Command, Section, command

if TYPE_CHECKING:
    from legtaper.pattern import Fit


def _with_steps(marks: Command) -> None:
    """Add the options, one of which names the steps of a ruler."""
    from legtaper.model.lengths import STEPS

    for add in (
        FILES,
        DESIGN,
        click.option(
            "--round-to",
            "step",
            type=click.Choice(list(STEPS)),
            help="What your ruler shows; 1/16 in or 1 mm if left out.",
        ),
        click.option(
            "--csv",
            "as_csv",
            is_flag=True,
            help="Comma-separated, for a spreadsheet, as an OUT in .csv is.",
        ),
        JSON,
        OUT,
        FORCE,
    ):
        add(marks)


@command("marks", Section.PAPER, 1, later=_with_steps)
def marks(files: tuple[Path, ...], design: str | None, step: str | None, **given: Any) -> None:
    """Print the marks for ruler and pencil.

    For each seam edge: how far to come in from the old line, the new distance from the
    grainline, where the straight part ends and the points of the curve. Several FILEs give one
    table each, with --csv one for all, with --json an array.
    """
    from legtaper_wizard.cli.many import for_each
    from legtaper_wizard.flow.settings import settings

    out: Path | None = given["out"]
    as_csv = given["as_csv"] or (out is not None and out.suffix.lower() == ".csv")
    if as_csv and given["as_json"]:
        raise Refusal("choose --csv or --json, not both")
    fits: list[tuple[Fit, str]] = []

    def work(file: Path) -> int:
        fitted = build_pattern(file, design).fit
        fits.append((fitted, step or settings().step_for(fitted.project.length_unit)))
        return 0

    status = for_each(files, work)
    text = _csv(fits) if as_csv else _json(fits, files) if given["as_json"] else _tables(fits)
    if fits:
        give_out(text, out, force=given["force"])
    sys.exit(status)


def _csv(fits: list[tuple[Fit, str]]) -> str:
    from legtaper.outputs.csv_report import marks_csv

    return marks_csv(fits).removesuffix("\n")


def _json(fits: list[tuple[Fit, str]], files: tuple[Path, ...]) -> str:
    from legtaper.outputs.json_report import marks_report

    made = [marks_report(fit, step) for fit, step in fits]
    return json_text(made if len(files) > 1 else made[0])


def _tables(fits: list[tuple[Fit, str]]) -> str:
    from legtaper.outputs.marks_text import marks_text

    return "\n\n".join(marks_text(fit, step) for fit, step in fits)
