"""The command `round`: a muslin round written down."""

from __future__ import annotations

from pathlib import Path
from typing import Any, get_args

import click

from legtaper_wizard.cli.completion import unquoted, words
from legtaper_wizard.cli.options import (
    FILE,
    IF_SURE,
    JSON,
    day_given,
    designs_on_the_line,
    one_line,
    print_json,
)
from legtaper_wizard.cli.sections import Section, command


def _plain_trial(typed: str) -> str:
    """Return an item of the checklist as the file spells it, from one typed without quotes."""
    from legtaper.model.project import CHECKLIST

    return next((one for one in CHECKLIST if unquoted(one) == unquoted(typed)), typed)


def _trials() -> list[str]:
    from legtaper.model.project import CHECKLIST

    return list(map(unquoted, CHECKLIST))


def _verdicts() -> dict[str, str]:
    """Return every verdict by how it is typed."""
    from legtaper.model.project import Verdict

    return {unquoted(one): one for one in get_args(Verdict)}


def _verdict(_: click.Context, __: click.Parameter, typed: str | None) -> str | None:
    if typed is None:
        return None
    known = _verdicts()
    if unquoted(typed) not in known:
        raise click.BadParameter(f'"{typed[:30]}" is none; there are {", ".join(known)}.')
    return known[unquoted(typed)]


@command(
    "round",
    Section.ROUNDS,
    1,
    epilog="\b\nFor example, two commands:\n"
    "  legtaper round mine.toml --printed\n"
    "  legtaper round mine.toml --tried stand --problem sit\n"
    '    --pinch knee:outseam:-1/4in --verdict closer --next "taper 2"',
)
@FILE
@click.option("--design", metavar="NAME", shell_complete=designs_on_the_line,
              help="Which design was sewn; else the current one.")  # fmt: skip
@click.option("--printed", is_flag=True, help="Note that the test was printed; try it on later.")
@click.option("--date", "on", metavar="DATE", callback=day_given,
              help="When: 2026-03-14, yesterday, or as your settings say; else today.")  # fmt: skip
@click.option("--pinch", "pinches", metavar="LEVEL:SEAM:DEPTH", multiple=True,
              help="A fold pinched out, as knee:outseam:1/4in; a minus lets out.")  # fmt: skip
@click.option("--tried", "seen", metavar="WHAT", multiple=True, shell_complete=words(_trials),
              help="What of the checklist was tried.")  # fmt: skip
@click.option("--problem", "trouble", metavar="WHAT", multiple=True,
              shell_complete=words(_trials), help="What of it did not go well.")  # fmt: skip
@click.option("--seen", "older_seen", multiple=True, hidden=True)
@click.option("--trouble", "older_trouble", multiple=True, hidden=True)
@click.option("--sign", "signs", metavar="SIGN[:CAUSE[:WHERE]]", multiple=True,
              help="A sign that was seen; WHERE is which leg, level, seam: riding-hem::narrowed. "
                   "The command signs lists them.")  # fmt: skip
@click.option("--gone", metavar="SIGN", multiple=True,
              help="A sign of the round before that is not there any more.")  # fmt: skip
@click.option("--cure", metavar="N", type=click.IntRange(1),
              help="Make the next design with cure N of those that the round offers.")  # fmt: skip
@click.option("--notes", metavar="TEXT", default="", help="What was seen, in your own words.")
@click.option("--verdict", metavar="closer|too-far|done", callback=_verdict,
              shell_complete=words(_verdicts),
              help="Done accepts the design: export then means it.")  # fmt: skip
@click.option("--next", "next_name", metavar="NAME",
              help="Make the next design from the pinches, under this name.")  # fmt: skip
@click.option("--spread", type=click.Choice(["even", "as-pinched"]), default="even",
              show_default=True, help="Whether --next evens them out over all edges.")  # fmt: skip
@click.option("--back", "older_back", type=click.IntRange(1), hidden=True)
@click.option("--go-back", "back", metavar="N", type=click.IntRange(1),
              help="Go on from the design of round N again; nothing is deleted.")  # fmt: skip
@click.option("--accept", metavar="N", type=click.IntRange(1),
              help="Accept the design of round N, as the verdict done does.")  # fmt: skip
@IF_SURE
@JSON
def muslin_round(file: Path, as_json: bool, **given: Any) -> None:
    """Write down a muslin round, or tell of all.

    Without an option it only reads: the rounds so far, what is done and what comes next; with
    --json after writing, too. --pinch, --tried, --problem and --sign may be given more than once.
    The checklist: put-the-foot-through, stand, bend-the-knee, sit, climb-a-step.
    """
    from legtaper_wizard.cli.round_writing import Wish, rounds_json, run
    from legtaper_wizard.flow.words import say

    for name, older in (("seen", "older_seen"), ("trouble", "older_trouble")):
        given[name] = tuple(map(_plain_trial, (*given[name], *given.pop(older))))
    given["back"] = given["back"] or given.pop("older_back")
    given.pop("older_back", None)
    with one_line(file):
        says = run(file, Wish(**given))
        if as_json:
            print_json(rounds_json(file))
            return
    say(says)
