"""What all commands share: their options, and one line where a call or an input is wrong."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from legtaper_wizard.cli.sections import Contents
from legtaper_wizard.crash import report
from legtaper_wizard.standard_streams import is_of_the_output, stand_in

# Read as numpy is imported: starting threads that nothing here uses takes longer than the rest.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

if TYPE_CHECKING:
    from legtaper.model.project import Project
    from legtaper.pattern import Pattern

FILE = click.argument("file", type=click.Path(path_type=Path))


def designs_on_the_line(_: click.Context, __: click.Parameter, typed: str) -> list[Any]:
    """Return what Tab offers for a design."""
    from legtaper_wizard.cli.completion import design_names

    return design_names(typed)


DESIGN = click.option("--design", "-d", metavar="NAME", shell_complete=designs_on_the_line,
                      help="Which design; else the current one: the one the file names so, else "
                           "the one accepted last, else the last.")  # fmt: skip
JSON = click.option("--json", "as_json", is_flag=True, help="One JSON object; every number in mm.")
FILES = click.argument("files", metavar="FILE...", nargs=-1, required=True,
                       type=click.Path(path_type=Path))  # fmt: skip
OUT = click.option("--out", "-o", metavar="OUT", type=click.Path(path_type=Path),
                   help="Write it to this file instead; - is standard output.")  # fmt: skip
FORCE = click.option("--force", "-f", is_flag=True,
                     help="Write over files that are already there.")  # fmt: skip

SURE = "If that is right, add --sure."
IF_SURE = click.option("--sure", is_flag=True, help="Take numbers that look like a slip, too.")


def here_or_before(context: click.Context, option: click.Parameter, given: bool) -> bool:
    """Return whether a flag stands behind the command or before it."""
    return given or bool(context.find_root().params.get(option.name or ""))


PLAIN = click.option("--plain", is_flag=True, callback=here_or_before,
                     help="Line by line, for screen readers and simple terminals.")  # fmt: skip
ASCII = click.option("--ascii", "ascii_only", is_flag=True, callback=here_or_before,
                     help="Draw with plain letters only.")  # fmt: skip


NOT_WRITTEN = 74  # EX_IOERR of sysexits.h


class Refusal(click.ClickException):
    """A wrong call or a wrong input: one line, exit status 2.

    says: what is wrong and what would be right. file, key: what it is about, where it is. status:
    another exit status, for what cannot be written.
    """

    exit_code = 2

    def __init__(self, says: str, file: Path | None = None, key: str = "", status: int = 2) -> None:
        from legtaper.files.atomic_write import shown_path

        self.file = shown_path(file) if file else None
        self.key, self.says, self.status = key or None, says, status
        super().__init__(": ".join(filter(None, (self.file, self.key, says))))

    def show(self, file: Any = None) -> None:
        """Print the one line."""
        from legtaper.model.safe_text import clean

        click.echo(f"legtaper: {clean(self.format_message(), 500)}", file=file or sys.stderr)

    def as_json(self) -> dict[str, Any]:
        """Return the object that is printed where `--json` was asked for."""
        from legtaper.model.safe_text import clean
        from legtaper.outputs.json_report import SCHEMA

        error = {"file": self.file, "key": self.key, "says": clean(self.says, 500)}
        return {"schema": SCHEMA, "error": error}


class Commands(Contents):
    """The group of all commands; a wrong call gets one line, too."""

    # The overloads of click only say whether it returns; this one does as it is told.
    def main(self, args: Sequence[str] | None = None, **extra: Any) -> Any:  # type: ignore[override]
        """Run, and leave with the exit status of the manual page."""
        standalone = extra.pop("standalone_mode", True)
        given = list(sys.argv[1:] if args is None else args)
        stand_in()
        try:
            status = self._status(given, **extra)
        except BrokenPipeError:
            _to_nowhere()
            status = NOT_WRITTEN
        except OSError as error:  # of the output itself: what a file says is told by the command
            status = _not_printed(error)
        except Exception as error:
            status = report(error)
        if not standalone:
            return status
        sys.exit(status)

    def _status(self, given: list[str], **extra: Any) -> Any:
        try:
            return super().main(given, standalone_mode=False, **extra)
        except click.ClickException as error:
            return _refuse(_in_one_line(error), as_json="--json" in given)
        except click.Abort:
            return 130

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; a reader who has left is no finding that fails."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError:  # click would leave with 1
            _to_nowhere()
            ctx.exit(NOT_WRITTEN)


def _in_one_line(error: click.ClickException) -> Refusal:
    if isinstance(error, Refusal):
        return error
    context = error.ctx if isinstance(error, click.UsageError) else None
    path = context.command_path if context else "legtaper"
    return Refusal(f"{' '.join(error.format_message().split())} See {path} --help")


def _refuse(refusal: Refusal, *, as_json: bool) -> int:
    refusal.show()
    if as_json:
        print_json(refusal.as_json())
    return refusal.status


def _not_printed(error: OSError) -> int:
    from legtaper.files.atomic_write import say_reason

    click.echo(f"legtaper: the answer could not be printed: {say_reason(error)}", err=True)
    _to_nowhere()
    return NOT_WRITTEN


def _to_nowhere() -> None:
    """Let Python write what is left at its end to nowhere, instead of trying once more."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)


@contextmanager
def one_line(subject: Path | None = None) -> Iterator[None]:
    """Turn what is wrong with the input into one line that names the file."""
    from legtaper.files.atomic_write import NotWrittenError, StoreError, say_reason

    try:
        yield
    except StoreError as error:
        status = NOT_WRITTEN if isinstance(error, NotWrittenError) else Refusal.exit_code
        raise Refusal(error.problem, error.path, status=status) from None
    except OSError as error:
        if is_of_the_output(error) or not subject:
            raise  # nobody reads on or can; or no file was named that could be the reason
        raise Refusal(say_reason(error), subject) from None
    except ValueError as error:
        if not _is_about_the_input(error):
            raise
        key = getattr(error, "key", "")
        says = getattr(error, "problem", str(error))
        raise Refusal(f"{says}{_way_out(error, subject)}", subject, key) from None


def _way_out(error: ValueError, subject: Path | None) -> str:
    from legtaper.files.atomic_write import shown_path
    from legtaper.model.project import NoDesignError

    needs = isinstance(error, NoDesignError) and subject
    return f" with: legtaper open {shown_path(subject)}" if needs and subject else ""


def _is_about_the_input(error: ValueError) -> bool:
    from legtaper.model.lengths import LengthError
    from legtaper.model.project import ProjectError
    from legtaper.outputs.papers import PaperError

    return isinstance(error, ProjectError | LengthError | PaperError)


def is_folder(path: Path) -> bool:
    """Whether a path leads to a folder; of a name that is too long the reading will tell."""
    return os.path.isdir(path)  # noqa: PTH112  `Path.is_dir` raises for that


def load_project(file: Path) -> Project:
    """Return the project of a file, "-" being standard input, or refuse in one line.

    The settings beside the file hold from then on.
    """
    from legtaper.files.store import load
    from legtaper_wizard.flow.settings import work_beside

    with one_line(file):
        if str(file) == "-":
            return _from_input()
        work_beside(file)
        return load(file)


def _from_input() -> Project:
    from legtaper.files.project_file import LARGEST, read_project

    return read_project(sys.stdin.buffer.read(LARGEST + 1))


def build_pattern(file: Path, design: str | None) -> Pattern:
    """Return the pattern of a design, or refuse in one line."""
    from legtaper.pattern import build

    project = load_project(file)
    with one_line(file):
        return build(project, design)


def json_text(report: Any) -> str:
    """Return one object, or a list of them, as text; numbers are rounded to four decimals."""
    import json

    from legtaper.outputs.json_report import rounded

    return json.dumps(rounded(report), indent=1, ensure_ascii=True, allow_nan=False)


def print_json(report: Any) -> None:
    """Print one object, or a list of them."""
    click.echo(json_text(report))


def give_out(text: str, out: Path | None, *, force: bool = False) -> None:
    """Print an answer, or write it to the file that was asked for instead."""
    from legtaper_wizard.flow.words import say

    if out is None or str(out) == "-":
        say(text)
        return
    from legtaper.files.atomic_write import shown_path, write_export

    with one_line(out):
        write_export(out, f"{text}\n".encode(), force=force)
    click.echo(f"Wrote {shown_path(out)}.", err=True)


def day_given(_: click.Context, __: click.Parameter, typed: str | None) -> date | None:
    """Return a day that was typed, or refuse in one line."""
    from legtaper.model.safe_text import clean
    from legtaper_wizard.flow.dates import read_date
    from legtaper_wizard.flow.settings import settings

    try:
        return read_date(typed, settings().dates, date.today()) if typed is not None else None
    except ValueError as error:
        raise click.BadParameter(f'"{clean(typed or "", 30)}" {error}.') from None
