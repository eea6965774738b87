"""A fault of the program: the details go to a log, one line goes to the person.

Little is imported before it is needed: where memory has run out, not even that may be had.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

FAULT = 70  # EX_SOFTWARE of sysexits.h
_NO_ROOM = ("failed to map segment", "annot allocate memory")
"""What the loader of a system says where there is no memory for a library."""


def report(error: BaseException) -> int:
    """Log a fault, say where the log is and that nothing answered is lost; return the status."""
    lacking = _lacks_memory(error)
    try:
        details = f"Details, to send along if you report it: {_log(error)}"
    except Exception as trouble:  # a full disk, or too little memory for this, too
        lacking = lacking or _lacks_memory(trouble)
        details = f"The details could not be written down: {_why(trouble)}"
    what = f"legtaper: a fault in the program ended it ({type(error).__name__})."
    if lacking:
        what = "legtaper: there is too little memory to go on; end other programs, or allow more."
    safe = "The project is safe: every answer was saved when it was given. Start it again to go on."
    with suppress(OSError):  # nobody may be there to read it
        print(f"{what} {safe} {details}", file=sys.stderr)
    return FAULT


def _lacks_memory(error: BaseException) -> bool:
    """Whether memory ran out, also where a library could not be loaded for that."""
    cause: BaseException | None = error
    while cause is not None:
        if isinstance(cause, MemoryError) or any(sign in str(cause) for sign in _NO_ROOM):
            return True
        cause = cause.__cause__ or cause.__context__
    return False


def _why(trouble: Exception) -> str:
    if not isinstance(trouble, OSError):
        return type(trouble).__name__
    from legtaper.model.safe_text import clean

    return clean(str(trouble), 200)


def _log(error: BaseException) -> Path:
    """Write the traceback where only its owner may read it: it can quote what was typed."""
    import platform
    import traceback
    from importlib.metadata import version

    from platformdirs import user_log_path

    from legtaper import __version__

    path = user_log_path("legtaper", appauthor=False, ensure_exists=True) / "fault.log"
    path.unlink(missing_ok=True)  # an older log, or a link to somewhere else
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "w", encoding="utf-8", errors="backslashreplace") as log:
        log.write(f"legtaper {__version__}, textual {version('textual')}, ")
        log.write(f"Python {platform.python_version()}, {platform.platform()}\n\n")
        log.write("".join(traceback.format_exception(error)))
    return path
