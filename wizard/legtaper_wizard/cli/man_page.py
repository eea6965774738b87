"""The man page, made from the same words as `--help`."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

import click

from legtaper.muslin.sewing import PARTS, TITLE
from legtaper.muslin.signs import in_order, sign_text
from legtaper_wizard.cli.sections import Contents
from legtaper_wizard.flow.glossary import GLOSSARY

_FILES = (
    ("NAME.toml", "The project: one wearer and one pair of trousers."),
    ("NAME.toml.bak", "The project as it was when the last session that changed it began."),
    (".NAME.toml.lock", "Held while a program writes; a lock left behind does no harm."),
)
_STATUS = (
    ("0", "Everything is OK; warnings are allowed."),
    ("1", "A finding fails."),
    ("2", "The input or the call is wrong; one line on standard error says what would be right."),
    ("70", "A fault of the program; standard error names the log with the details."),
    ("74", "An output cannot be written: a full disk, a folder that is locked, a closed pipe."),
    ("130", "Interrupted."),
)
_VARIABLES = (
    ("NO_COLOR", "Where set to anything, nothing rests on color and none is used."),
    ("TERM", "Where it is dumb, the wizard asks line by line, as with --plain."),
    ("LC_ALL, LC_TIME, LC_PAPER, LANG", "Dates and paper, unless the settings say otherwise."),
)


def man_page(root: Contents, version: str) -> str:
    """Return the whole program as one page of section 1, in roff.

    No date stands in it, so that the same version gives the same page.
    """
    with click.Context(root, info_name="legtaper") as context:
        return "\n".join(_page(root, context, version)) + "\n"


def _page(root: Contents, context: click.Context, version: str) -> Iterator[str]:
    about, _, more = _paragraphs(root).partition("\n\n")
    yield f'.TH LEGTAPER 1 "" "legtaper {_roff(version)}" "legtaper"'
    yield from (".SH NAME", rf"legtaper \- {_roff(about[:1].lower() + about[1:].rstrip('.'))}")
    yield from (".SH SYNOPSIS", r".B legtaper", r"[\fICOMMAND\fR] [\fIOPTIONS\fR]")
    yield from (".SH DESCRIPTION", _roff(more))
    for section, commands in root.by_section():
        yield f".SH {_roff(section.value.upper())}"
        for one in commands:
            yield from _command(one.whole(), one.name or "", context)
    yield from (".SH EXAMPLES", ".nf", *map(_roff, _examples(root)), ".fi")
    yield from _list("EXIT STATUS", _STATUS)
    yield from _list("FILES", _FILES)
    yield from _list("ENVIRONMENT", _VARIABLES)
    yield from _list("WORDS", tuple(GLOSSARY.items()))
    yield from _list(TITLE.upper(), tuple((part.name, part.says) for part in PARTS))
    yield ".SH WHAT A MUSLIN SHOWS"
    for sign in in_order():
        yield from (
            ".PP",
            ".nf",
            *(_roff(line) or r"\&" for line in sign_text(sign).splitlines()),
            ".fi",
        )


def _examples(root: Contents) -> Iterator[str]:
    """Return every call that a command gives as an example."""
    for _, commands in root.by_section():
        for one in commands:
            lines = (one.whole().epilog or "").removeprefix("\b\n").split("\n")[1:]
            yield from (line.strip() if "legtaper" in line else line for line in lines)


def _command(command: click.Command, name: str, parent: click.Context) -> Iterator[str]:
    context = click.Context(command, info_name=name, parent=parent)
    usage = " ".join(command.collect_usage_pieces(context))
    yield rf".SS legtaper {_roff(f'{name} {usage}')}"
    for paragraph in _paragraphs(command).split("\n\n"):
        yield from (".PP", _roff(paragraph))
    for option in command.get_params(context):
        record = option.get_help_record(context)
        if isinstance(option, click.Option) and record and "--help" not in option.opts:
            yield from (".TP", rf"\fB{_roff(record[0])}\fR", _roff(record[1]))
    if command.epilog:
        lines = command.epilog.removeprefix("\b\n").split("\n")
        yield from (".PP", ".nf", *(_roff(line) for line in lines), ".fi")


def _paragraphs(command: click.Command) -> str:
    """Return the help of a command, each paragraph in one line."""
    text = textwrap.dedent(command.help or "").strip()
    return "\n\n".join(" ".join(part.split()) for part in text.split("\n\n"))


def _list(heading: str, entries: tuple[tuple[str, str], ...]) -> Iterator[str]:
    yield f".SH {heading}"
    for name, words in entries:
        yield from (".TP", rf"\fB{_roff(name)}\fR", _roff(words))


def _roff(text: str) -> str:
    r"""Return text that roff prints as it stands.

    A backslash and a hyphen are escaped; `\&` keeps a leading dot or quote from being a request.
    """
    text = text.replace("\\", r"\e").replace("-", r"\-")
    return rf"\&{text}" if text[:1] in {".", "'"} else text
