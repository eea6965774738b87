"""The command `mend`: changes of the design that were tried and mend what was found."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from legtaper_wizard.cli.options import (
    DESIGN,
    FILE,
    JSON,
    Refusal,
    build_pattern,
    one_line,
    print_json,
)
from legtaper_wizard.cli.sections import Section, command

if TYPE_CHECKING:
    from legtaper.pattern import Pattern
    from legtaper.remedies.mend import Mend, Mending


@command("mend", Section.LOOK, 6)
@FILE
@DESIGN
@click.option("--take", "number", metavar="N", type=click.IntRange(1),
              help="Make change N in the file; without it nothing is written.")  # fmt: skip
@JSON
def mend(file: Path, design: str | None, number: int | None, as_json: bool) -> None:
    """Say which changes mend what fails or is a warning; each was tried. --take makes one.

    They are numbered: what fails first, and of each finding the best first. Exit status 1 if
    something fails, with --take if something fails then.
    """
    from legtaper.outputs.json_report import mend_report
    from legtaper.remedies.mend import mends
    from legtaper_wizard.flow.mend_words import mend_lines
    from legtaper_wizard.flow.words import say

    pattern = build_pattern(file, design)
    with one_line(file):
        found = mends(pattern)
    says: list[str] = []
    if number is not None:
        chosen = _numbered(file, found, number)
        pattern = _taken(file, pattern, chosen)
        says = [f"Done: {chosen.says}", ""]
        with one_line(file):
            found = mends(pattern)
    if as_json:
        print_json(mend_report(pattern.fit, found))
    else:
        say("\n".join([*says, *mend_lines(found)]))
    sys.exit(1 if pattern.failed else 0)


def _numbered(file: Path, found: tuple[Mending, ...], number: int) -> Mend:
    known = {one.number: one for mending in found for one in mending.mends}
    if number not in known:
        has = f"they are numbered 1 to {len(known)}" if known else "there is none"
        raise Refusal(f"no change {number}; {has}", file, "--take")
    return known[number]


def _taken(file: Path, pattern: Pattern, chosen: Mend) -> Pattern:
    """Make a change in the file, and return the pattern it makes."""
    from legtaper.files.store import Store, StoreError
    from legtaper.pattern import build
    from legtaper.remedies.mend import take

    with one_line(file):
        store = Store.open(file, for_writing=True)
        try:
            if store.read_only:
                raise StoreError(file, f"not saved: {store.why_read_only}")
            name = pattern.fit.design.name
            project = take(store.project, name, chosen)
            store.save(project)
        finally:
            store.close()
        return build(project, name)
