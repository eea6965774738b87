"""A dropped link, a lost terminal, a request to end: leave at once, with the terminal released.

Every accepted answer is on disk before it is shown, so there is nothing to save here. The
process ends by the signal it was sent, which frees its lock on the project. Nothing below waits
for the terminal: when a link stalls, whatever waits for it waits for ever.
"""

from __future__ import annotations

import os
import select
import signal
import sys
import termios
import threading
import time
from contextlib import suppress
from types import FrameType
from typing import Any

ENDING = (
    *(signal.SIGHUP, signal.SIGINT, signal.SIGTERM, signal.SIGQUIT),
    *(signal.SIGUSR1, signal.SIGUSR2, signal.SIGALRM),  # which end whoever does not expect them
)

_RELEASE = (
    b"\x18"  # whatever sequence was cut short
    b"\x1b[?2026l"  # synchronized output
    b"\x1b[?2004l"  # bracketed paste
    b"\x1b[?2048l"  # reports of the window's size
    b"\x1b[?1000l\x1b[?1003l\x1b[?1006l\x1b[?1015l\x1b[?1016l"  # mouse
    b"\x1b[?1004l"  # focus reports
    b"\x1b[<u"  # keyboard protocol
    b"\x1b[?7h"  # line wrap
    b"\x1b[?1049l\x1b[?25h\x1b[0m"  # the other screen, the cursor, the colors
)
_PATIENCE = 0.3  # s; how long a terminal that is busy may take to accept the release
_GRACE = 1.0  # s; how long the main thread may take to notice that the terminal is gone


def install() -> None:
    """End the process on each of `ENDING` and on a lost terminal. Call it before the app runs.

    SIGHUP is taken up even where it was ignored on entry: a terminal that is gone reads as empty
    for ever, and the app would try for ever. Plain handlers, because one that belongs to the
    event loop never runs while that waits for a stalled output. (The key ctrl+c sends no SIGINT
    while the app runs; another program may.)
    """
    stdin = sys.__stdin__.fileno() if sys.__stdin__ else 0
    attributes = None
    with suppress(termios.error):
        attributes = termios.tcgetattr(stdin)

    def end(number: int, _frame: FrameType | None) -> None:
        _release(stdin, attributes)
        _die_of(number)

    for number in ENDING:
        signal.signal(number, end)
    threading.Thread(target=_watch, args=(stdin,), name="lost-terminal", daemon=True).start()


def _die_of(number: int) -> None:
    signal.signal(number, signal.SIG_DFL)
    signal.pthread_sigmask(signal.SIG_UNBLOCK, {number})
    os.kill(os.getpid(), number)


def _watch(terminal: int) -> None:
    """Wait, without ever waking up in between, until the terminal is gone; then hang up.

    The kernel sends SIGHUP itself only to the processes in the foreground of a session.
    """
    poll = select.poll()
    poll.register(terminal, 0)  # hang-ups are reported whatever is asked for
    if not any(event & select.POLLHUP for _, event in poll.poll()):
        return  # not a terminal that can be watched
    os.kill(os.getpid(), signal.SIGHUP)
    time.sleep(_GRACE)
    os._exit(128 + signal.SIGHUP)  # the main thread is stuck outside Python


def _release(terminal: int, attributes: list[Any] | None) -> None:
    """Give the terminal back as it was, if it is ours and still there."""
    with suppress(OSError, termios.error):
        if attributes is None or not _is_drawn_on(terminal):
            return
        _write(terminal)
        signal.signal(signal.SIGTTOU, signal.SIG_IGN)
        termios.tcsetattr(terminal, termios.TCSANOW, attributes)


def _is_drawn_on(terminal: int) -> bool:
    """Whether the app has the terminal: it reads key by key, and no other job is in front."""
    if termios.tcgetattr(terminal)[3] & termios.ICANON:
        return False
    with suppress(OSError):  # not the terminal of this session: there are no jobs on it
        return os.tcgetpgrp(terminal) == os.getpgrp()
    return True


def _write(terminal: int) -> None:
    """Write the release without waiting for a terminal that accepts nothing.

    The terminal is opened again: to stop waiting on the old descriptor would also stop the shell
    from waiting, which shares it.
    """
    own = os.open(os.ttyname(terminal), os.O_WRONLY | os.O_NOCTTY | os.O_NONBLOCK)
    rest, until = _RELEASE, time.monotonic() + _PATIENCE
    while rest and time.monotonic() < until:
        try:
            rest = rest[os.write(own, rest) :]
        except BlockingIOError:  # the app's last words are still on their way
            time.sleep(0.01)
