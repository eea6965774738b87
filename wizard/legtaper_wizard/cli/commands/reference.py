"""The commands that look something up: words, the man page, settings, the Tab key."""

from __future__ import annotations

from typing import cast

import click

from legtaper_wizard.cli.options import Refusal, one_line
from legtaper_wizard.cli.sections import Contents, Section, command


@command("glossary", Section.REFERENCE, 1)
@click.argument("word", default="")
def explain_words(word: str) -> None:
    """Say what the words of the trade mean here, or only WORD."""
    from legtaper_wizard.flow.glossary import glossary_text
    from legtaper_wizard.flow.words import say

    text = glossary_text(word)
    if not text:
        raise Refusal(f'there is no word with "{word}" in it; legtaper glossary lists them all')
    say(text)


@command("signs", Section.REFERENCE, 5)
@click.argument("name", metavar="[SIGN]", default="")
def explain_signs(name: str) -> None:
    """Say what a muslin may show and what mends it, or all about one SIGN."""
    from legtaper.muslin.signs import in_order, sign_named, sign_text
    from legtaper_wizard.flow.words import say

    with one_line():
        if name:
            click.echo(sign_text(sign_named(name)))
            return
    width = max(len(sign.id) for sign in in_order())
    for sign in in_order():
        say(f"{sign.id:<{width}}  {sign.words}")


@command("sewing", Section.REFERENCE, 6)
def explain_sewing() -> None:
    """Say how a narrowed leg is marked, sewn, slit and hemmed."""
    from legtaper.muslin.sewing import sewing_text
    from legtaper_wizard.flow.words import say

    say(sewing_text())


@command("manual", Section.REFERENCE, 2)
@click.pass_context
def manual(context: click.Context) -> None:
    """Print the man page, for: legtaper manual | man -l - ."""
    from legtaper import __version__
    from legtaper_wizard.cli.man_page import man_page

    click.echo(man_page(_whole(context), __version__), nl=False)


@command("help", Section.REFERENCE, 0)
@click.argument("name", metavar="[COMMAND]", default="")
@click.pass_context
def explain(context: click.Context, name: str) -> None:
    """Say what the program does, or one COMMAND, as --help does."""
    root = _whole(context)
    if not name:
        click.echo(root.get_help(context.find_root()))
        return
    known = root.get_command(context, name)
    if known is None:
        raise Refusal(f"there is no command {name[:30]}; legtaper help lists them all")
    with click.Context(known, info_name=name, parent=context.find_root()) as inner:
        click.echo(known.get_help(inner))


def _whole(context: click.Context) -> Contents:
    """Return the group that all commands are in."""
    return cast("Contents", context.find_root().command)


@command("settings", Section.REFERENCE, 3)
@click.argument("pairs", metavar="[KEY=VALUE]...", nargs=-1)
def change_or_show(pairs: tuple[str, ...]) -> None:
    """Show or change what is usual: paper, unit, hem, allowance, ruler, days."""
    from legtaper_wizard.flow.settings import change_settings, read_pair, settings_text

    try:
        wanted = dict(read_pair(pair) for pair in pairs)
    except ValueError as error:
        raise Refusal(str(error)) from None
    with one_line():
        if wanted:
            change_settings(wanted)
        click.echo(settings_text())


@command(
    "completion",
    Section.REFERENCE,
    4,
    epilog="\b\nWhere it goes:\n"
    '  bash  in ~/.bashrc: eval "$(legtaper completion bash)"\n'
    '  zsh   in ~/.zshrc:  eval "$(legtaper completion zsh)"\n'
    "  fish  legtaper completion fish > ~/.config/fish/completions/legtaper.fish",
)
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
@click.pass_context
def completion(context: click.Context, shell: str) -> None:
    """Print what makes Tab complete commands, options, files and designs.

    For the shell bash, zsh or fish.
    """
    from legtaper_wizard.cli.completion import script

    click.echo(script(_whole(context), shell), nl=False)
