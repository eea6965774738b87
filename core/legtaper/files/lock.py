"""The right to write a file: one process has it at a time, and the system ends it with that one."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

LetGo = Callable[[], object]


def hold(path: Path, mode: int) -> LetGo:
    """Hold the lock that `path` is, made with `mode` where it is not there; return what ends that.

    Raises `BlockingIOError` where it is held already, `OSError` or `NotImplementedError` where it
    cannot be had, the second where the disk knows no locks.
    """
    try:
        import fcntl
    except ImportError:
        return _hold_by_library(path, mode)
    flags = os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC
    descriptor = os.open(path, flags, mode)
    try:
        with suppress(PermissionError):  # of another owner, who may still let us lock it
            os.fchmod(descriptor, mode)
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        os.close(descriptor)
        if error.errno == errno.ENOSYS:
            raise NotImplementedError from None
        if error.errno == errno.EACCES:  # as some disks say that it is held
            raise BlockingIOError(errno.EAGAIN, os.strerror(errno.EAGAIN)) from None
        raise

    def let_go() -> None:
        with suppress(OSError):  # what a full disk says of a file that is closed all the same
            fcntl.flock(descriptor, fcntl.LOCK_UN)
            os.close(descriptor)

    return let_go


def _hold_by_library(path: Path, mode: int) -> LetGo:
    """Do the same where the system has no such locks; to load what knows the others takes 9 ms."""
    from filelock import FileLock, Timeout

    lock = FileLock(path, timeout=0, mode=mode, thread_local=False)
    try:
        lock.acquire()
    except Timeout:
        raise BlockingIOError(errno.EAGAIN, os.strerror(errno.EAGAIN)) from None
    return lock.release
