"""Start the wizard: on the screen, or line by line where there is none to draw on."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path

from legtaper_wizard import terminal
from legtaper_wizard.lasting import lasting
from legtaper_wizard.standard_streams import is_of_the_output

REFUSED = 2
INTERRUPTED = 130  # 128 + SIGINT, as a shell reports it
_TURN = 0.001  # s that the threads which read keys and write the screen may have to wait


def start(
    path: Path | None, *, plain: bool = False, ascii_only: bool = False, new: bool = False
) -> int:
    """Run the wizard on a project, or where one is chosen; return the exit status.

    A file that is not there is offered to be begun at the line prompts, else refused; with `new`
    it is begun, and one that is there is refused. Raises `StoreError` or `ProjectError` for a
    file that cannot be read or understood.
    """
    missing = path is not None and _is_missing(path)
    if not missing and None in (sys.stdin, sys.stdout, sys.__stdin__, sys.__stdout__):
        return _refuse("there is no input or no output to talk through; open both")
    look = terminal.look_here(plain=plain, ascii_only=ascii_only)
    if path is not None and missing and not new and not (look.plain and terminal.can_answer()):
        return _no_such_file(path)
    try:
        return _run_plain(path, look, new) if look.plain else _run_app(path, look, new)
    except KeyboardInterrupt:
        print("\nStopped. Every answer so far is saved.", file=sys.stderr)
        return INTERRUPTED
    except Exception as error:
        if _is_said_elsewhere(error, look):
            raise
        from legtaper_wizard.crash import report

        return report(error)


def _is_said_elsewhere(error: Exception, look: terminal.Look) -> bool:
    """Whether it is the commands' business: said in one line, or nobody can read on."""
    from legtaper.files.atomic_write import StoreError  # what a start without them does not load
    from legtaper.model.project import ProjectError

    if isinstance(error, OSError):
        return isinstance(error, BrokenPipeError) or (look.plain and is_of_the_output(error))
    return isinstance(error, StoreError | ProjectError)


def _run_app(path: Path | None, look: terminal.Look, new: bool) -> int:
    terminal.prepare(os.environ)
    if os.name == "posix":
        from legtaper_wizard import signals

        signals.install()
    sys.setswitchinterval(_TURN)
    with lasting():
        from legtaper_wizard.tui.app import app_for, run_app

        app = app_for(path, look, new=new)
    status = run_app(app)
    gc.freeze()
    return status


def _run_plain(path: Path | None, look: terminal.Look, new: bool) -> int:
    from legtaper_wizard import prompts as plain

    return plain.run(path, stdin=sys.stdin, stdout=sys.stdout, ascii_only=look.ascii_only, new=new)


def _is_missing(path: Path) -> bool:
    try:
        path.stat()
    except FileNotFoundError:
        return True
    except OSError:
        return False  # it may be there; the store says what stands in the way
    return False


def _no_such_file(path: Path) -> int:
    from legtaper.files.atomic_write import shown_path

    return _refuse(
        f"{shown_path(path)}: there is no such file; legtaper open --new {path} begins it, and "
        f"legtaper begin {path} one from an example"
    )


def _refuse(problem: str) -> int:
    from legtaper.model.safe_text import clean

    print(f"legtaper: {clean(problem, 500)}", file=sys.stderr)
    return REFUSED
