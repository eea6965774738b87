"""The command `round`: a muslin round written down."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from legtaper_wizard.cli.options import FILE, day_given, designs_on_the_line, one_line
from legtaper_wizard.cli.sections import Section, command


@command(
    "round",
    Section.ROUNDS,
    1,
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
@click.option("--sign", "signs", metavar="SIGN[:CAUSE[:WHERE]]", multiple=True,
              help="A sign that was seen; WHERE is which leg, level, seam: riding-hem::narrowed. "
                   "The command signs lists them.")  # fmt: skip
@click.option("--gone", metavar="SIGN", multiple=True,
              help="A sign of the round before that is not there any more.")  # fmt: skip
@click.option("--cure", metavar="N", type=click.IntRange(1),
              help="Make the next design with cure N of those that the round offers.")  # fmt: skip
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
    --pinch, --seen, --trouble and --sign may be given more than once. The checklist: stand, sit,
    "climb a step", "bend the knee", "put the foot through".
    """
    from legtaper_wizard.cli.round_writing import Wish, run
    from legtaper_wizard.flow.words import say

    with one_line(file):
        say(run(file, Wish(**given)))
