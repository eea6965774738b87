"""Project files on disk: one writer at a time, saved whole, with the state before kept beside.

Beside `trousers.toml` there may stand
- `.trousers.toml.lock`, held by the session that may write; the system lets go of it when that
  session ends, however it ends, so a file left over means nothing;
- `trousers.toml.bak`, the project as it was when the last session that changed it began.
"""

from __future__ import annotations

import getpass
import os
import socket
import stat
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from legtaper.files.atomic_write import (
    PRIVATE,
    StoreError,
    clear_unfinished,
    read_plain,
    refuse_special,
    replace_file,
    resolved,
    say_reason,
    told,
    write_new,
    write_output,
    write_protected,
)
from legtaper.files.project_file import LARGEST, NewerFormatError, Written, read_project
from legtaper.model.project import Project, ProjectError
from legtaper.model.safe_text import clean

if TYPE_CHECKING:
    from filelock import BaseFileLock

__all__ = [
    "ChangedOnDiskError",
    "Held",
    "Store",
    "StoreError",
    "backup_of",
    "load",
    "save_new",
    "write_output",
]


class ChangedOnDiskError(StoreError):
    """Another program changed the file since it was read; saving would undo that."""


class Held(NamedTuple):
    """The session that has the project open for writing."""

    who: str


def backup_of(path: Path) -> Path:
    """Return where the state before the last session's changes is kept."""
    return path.with_name(f"{path.name}.bak")


def load(path: Path) -> Project:
    """Return the project of a file, which is only read.

    Raises `StoreError`, or `ProjectError` where the text is wrong: then the caller names the
    file. Where there is a good backup, the error names it.
    """
    return _parsed(_read(path), path)


def save_new(path: Path, text: str, *, force: bool = False) -> None:
    """Write a new project file that only its owner can read.

    An existing file is only replaced with `force`, and never while another session has it
    open or where it is of a newer format; what it held goes into the backup. Raises
    `StoreError`, or `ProjectError` for a wrong text.
    """
    read_project(text)
    target = resolved(path)
    with told(path):
        replaces = force and target.exists()
        if replaces:
            refuse_special(target)
    if not replaces:
        write_new(path, text.encode(), force=False, mode=PRIVATE)
        return
    lock = _Lock(target)
    if lock.held_by:
        raise StoreError(path, f"is open in another session ({lock.held_by.who})")
    try:
        _refuse_newer(target)
        if not write_protected(target):
            before, mode = _read(target), stat.S_IMODE(target.stat().st_mode)
            replace_file(backup_of(target), before, mode)
        write_new(path, text.encode(), force=True, mode=PRIVATE)
    finally:
        lock.release()


class Store:
    """One open project file. What it holds is what was read or saved last."""

    def __init__(self, path: Path, data: bytes, lock: _Lock | None) -> None:
        self.path = path
        self.project = _parsed(data, path)
        self._data = data
        self._written: Written | None = None
        self._lock = lock
        self._backed_up = False

    @classmethod
    def open(cls, path: Path, *, for_writing: bool) -> Store:
        """Open a project file; a symbolic link stays one, and the file it leads to is meant.

        Where it cannot be had for writing, it is `read_only`: `held_by` says who has it, and
        `why_read_only` says it in a sentence. Raises `StoreError` or `ProjectError`.
        """
        target = resolved(path)
        _read(target)  # so that no lock is left beside what cannot be read
        lock = _Lock(target) if for_writing else None
        try:
            store = cls(target, _read(target), lock)
        except BaseException:
            if lock:
                lock.release()
            raise
        if not store.read_only:
            clear_unfinished(target)
            clear_unfinished(store.backup)
        return store

    @property
    def text(self) -> str:
        """The text of the file."""
        return self._data.decode()

    @property
    def read_only(self) -> bool:
        """Whether `save` is refused."""
        return self._lock is None or not self._lock.is_ours

    @property
    def held_by(self) -> Held | None:
        """The other session that has the project open for writing."""
        return self._lock.held_by if self._lock else None

    @property
    def why_read_only(self) -> str:
        """Why nothing can be saved, or ""."""
        if not self.read_only:
            return ""
        return self._lock.problem if self._lock else "opened for reading only"

    @property
    def backup(self) -> Path:
        """Where the state before this session's changes is kept, once there are any."""
        return backup_of(self.path)

    def save(self, project: Project) -> datetime:
        """Write the project and return when it was safe on disk.

        Nothing is lost on the way: either the file says `project` afterwards or it is as it
        was. Raises `StoreError`, or `ProjectError` for a project that no file can hold.
        """
        self._refuse_where_read_only()
        before = self._written or Written.of(self.text)
        written = before.changed(project)
        data = written.text.encode()
        if data == self._data or not self._backed_up:
            self._refuse_unless_on_disk(self._data)
        if data != self._data:
            if not self._backed_up:
                replace_file(self.backup, self._data, self.mode)
                self._backed_up = True
            self._replace(data)
        self._data, self.project, self._written = data, project, written
        return _now()

    def overrule(self, theirs: bytes | None) -> None:
        """Put the state of this session over what another program has written.

        theirs: what that is, `None` where the file is gone. The caller has kept it. Raises
        `ChangedOnDiskError` where something else is there by now, or `StoreError`.
        """
        self._refuse_unless_on_disk(theirs)
        self._put(self._data, theirs)

    def take_up(self, theirs: bytes) -> None:
        """Go on with what another program has written; the file stays as it is.

        Raises `ProjectError` where that is no project, and `StoreError` as `overrule` does.
        """
        project = _parsed(theirs, self.path)
        self._refuse_unless_on_disk(theirs)
        self._data, self.project, self._written = theirs, project, None
        self._backed_up = False

    def on_disk(self, most: int = LARGEST) -> bytes | None:
        """Return what the file holds now, or `None` where it cannot be read.

        most: bytes; of a larger file only one byte more is read.
        """
        try:
            return _read(self.path, most)
        except StoreError:
            return None

    @property
    def mode(self) -> int:
        """Who may read and write the file; where it is gone, its owner alone.

        A link that has come into its place says nothing of that.
        """
        try:
            mode = self.path.lstat().st_mode
        except OSError:
            return PRIVATE
        return stat.S_IMODE(mode) if stat.S_ISREG(mode) else PRIVATE

    def close(self) -> None:
        """Let other sessions write. A closed store is read-only."""
        if self._lock:
            self._lock.release()
        self._lock = None

    def _refuse_where_read_only(self) -> None:
        if self.read_only:
            raise StoreError(self.path, f"not saved: {self.why_read_only}")

    def _refuse_unless_on_disk(self, data: bytes | None) -> None:
        self._refuse_where_read_only()
        if write_protected(self.path):
            raise StoreError(self.path, "not saved: the file is write-protected by now; allow it")
        found = self.on_disk(LARGEST if data is None else len(data))
        if found != data:
            what = "another program changed the file"
            if found is None:
                what = "the file was moved or deleted"
            raise ChangedOnDiskError(
                self.path, f"not saved: {what}; open it again, or save elsewhere"
            )

    def _replace(self, data: bytes) -> None:
        """Put `data` in the place of what was read or saved last."""
        try:
            self._put(data, self._data)
        except ChangedOnDiskError:
            raise
        except StoreError:  # of a file that is gone or was changed, too, that is to be told
            self._refuse_unless_on_disk(self._data)
            raise

    def _put(self, data: bytes, before: bytes | None) -> None:
        # Looked at once more at the last moment: the lock binds no editor, and on some network
        # disks not even other sessions.
        replace_file(
            self.path, data, self.mode, last_look=lambda: self._refuse_unless_on_disk(before)
        )


class _Lock:
    """The right to write one project, or the reason why it could not be had."""

    def __init__(self, target: Path) -> None:
        from filelock import FileLock, Timeout

        self.held_by: Held | None = None
        self.problem = ""
        self._lock: BaseFileLock | None = None
        path = target.with_name(f".{target.name}.lock")
        if write_protected(target):
            self.problem = "the file is write-protected"
            return
        if _is_odd(path):
            self.problem = f"{clean(path.name, 60)} beside it is no plain file; remove that"
            return
        try:
            # With the mode of the project: who may write that must be able to lock it.
            mode = stat.S_IMODE(target.stat().st_mode) & 0o666 | PRIVATE
            lock = FileLock(path, timeout=0, mode=mode, thread_local=False)
            lock.acquire()
        except Timeout:
            self.held_by = Held(_holder(path))
            self.problem = f"open in another session ({self.held_by.who})"
        except (OSError, NotImplementedError) as error:
            reason = say_reason(error) if isinstance(error, OSError) else "this disk has no locks"
            self.problem = f"the folder can't be written to: {reason}"
        else:
            self._lock = lock
            # Who we are is a courtesy to others; the lock holds without it.
            with suppress(OSError):
                path.write_text(_ourselves(), "utf-8")

    @property
    def is_ours(self) -> bool:
        return self._lock is not None

    def release(self) -> None:
        if self._lock:
            self._lock.release()
        self._lock = None


def _now() -> datetime:
    """Return the time here; where the zone is a day or more from the world's, the world's."""
    try:
        return datetime.now().astimezone()
    except ValueError:
        return datetime.now(UTC)


def _ourselves() -> str:
    try:
        user = getpass.getuser()
    except (KeyError, OSError):  # an account without a name
        user = f"user {os.getuid()}"
    since = _now().strftime("%Y-%m-%d %H:%M")
    return f"{user}@{socket.gethostname()}, process {os.getpid()}, since {since}"


def _is_odd(lock: Path) -> bool:
    """Whether another user left a link or a pipe there, to have us write or wait elsewhere."""
    try:
        return not stat.S_ISREG(lock.lstat().st_mode)
    except OSError:
        return False  # none there yet, or the lock itself says why not


def _holder(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return clean(file.read(400).decode()) or "which one is not known"
    except (OSError, UnicodeDecodeError):
        return "which one is not known"


def _read(path: Path, most: int = LARGEST) -> bytes:
    try:
        return read_plain(path, most)  # the format refuses what is larger than the largest
    except FileNotFoundError:
        raise StoreError(path, "not found; check the name and the folder") from None
    except PermissionError:
        raise StoreError(path, "reading it is not allowed") from None
    except OSError as error:
        raise StoreError(path, f"not read: {say_reason(error)}") from None


def _parsed(data: bytes, path: Path) -> Project:
    try:
        return read_project(data)
    except NewerFormatError:
        raise
    except ProjectError as error:
        backup = backup_of(path)
        if not _is_good(backup):
            raise
        raise ProjectError(
            error.key, f"{error.problem}; an earlier state is in {backup.name}, to be copied back"
        ) from None


def _is_good(backup: Path) -> bool:
    try:
        read_project(_read(backup))
    except (StoreError, ProjectError):
        return False
    return True


def _refuse_newer(target: Path) -> None:
    try:
        read_project(_read(target))
    except NewerFormatError as error:
        raise StoreError(target, str(error)) from None
    except ProjectError:
        pass  # whatever it is, it was asked to be replaced
