"""Standard input and output that were closed before the program began, as by `>&-` of a shell."""

from __future__ import annotations

import errno
import os
import sys


def stand_in() -> None:
    """Put something in the place of each one that is closed.

    Else the next file that is opened, be it a project, would have its number. Input ends at once,
    what is printed is refused by the system as by a full disk, and errors go to nowhere.
    """
    for name in ("stdin", "stdout", "stderr"):
        if getattr(sys, name) is None:
            # Gets the lowest number that is free, which is that of the one that is closed.
            nowhere = os.open(os.devnull, os.O_WRONLY if name == "stderr" else os.O_RDONLY)
            how = "r" if name == "stdin" else "w"
            setattr(sys, name, os.fdopen(nowhere, how, encoding="utf-8", closefd=False))


def is_of_the_output(error: OSError) -> bool:
    """Whether an error came of printing: of a file the system says the name, but for this one.

    Where the working folder is gone it names none either.
    """
    return error.filename is None and error.errno != errno.ENOENT
