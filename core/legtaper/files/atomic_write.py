"""Write files whole or not at all: beside the old one first, then in its place."""

from __future__ import annotations

import errno
import os
import re
import stat
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

PRIVATE: Final = 0o600
_UNFINISHED: Final = ".part"  # how the name of a file ends that is not in its place yet

_LONGEST_SHOWN: Final = 200
_OF_A_PROJECT: Final = (".toml", ".bak", ".lock")
_PROJECT: Final = re.compile(rb"^\s*format\s*=\s*\d", re.MULTILINE)
_LOOK_AT: Final = 4000  # bytes

_REASONS: Final = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EACCES: "writing there is not allowed",
    errno.EPERM: "writing there is not allowed",
    errno.EROFS: "that disk is read-only",
    errno.ENOENT: "the folder does not exist",
    errno.ENOTDIR: "the folder does not exist",
    errno.ENAMETOOLONG: "the name is too long",
    errno.EISDIR: "a folder has that name",
    errno.EBADF: "it is closed",
}
_ADRIFT: Final = "the folder you are in is gone; go to another one"

_WRONG_NAME: Final = (errno.ENOENT, errno.ENOTDIR, errno.ENAMETOOLONG, errno.EISDIR)
"""What another name would mend, and no change of the system."""


class StoreError(Exception):
    """A file could not be read or written. `str(error)` is one line that names the file."""

    def __init__(self, path: Path, problem: str) -> None:
        super().__init__(f"{shown_path(path)}: {problem}")
        self.path = path
        self.problem = problem


class NotWrittenError(StoreError):
    """The system refused to write where the call itself was right: a full disk, a locked folder."""


def shown_path(path: Path) -> str:
    """Return a path as one safe line; of a very long one the end, so that what follows is read."""
    shown = "".join(c if c.isprintable() else "?" for c in str(path))
    return shown if len(shown) <= _LONGEST_SHOWN else f"...{shown[-_LONGEST_SHOWN:]}"


def say_reason(error: OSError) -> str:
    """Say in plain words why the system refused."""
    if error.errno == errno.ENOENT and _is_adrift():
        return _ADRIFT
    return _REASONS.get(error.errno or 0) or (error.strerror or str(error)).lower()


def _is_adrift() -> bool:
    """Whether the working folder was deleted: every name that begins in it leads nowhere."""
    try:
        os.getcwd()  # noqa: PTH109  the question itself
    except OSError:
        return True
    return False


def write_output(path: Path, data: bytes, *, force: bool) -> None:
    """Write an exported file. Raises `StoreError`.

    An existing file is only replaced with `force`, and then keeps its mode.
    """
    write_new(path, data, force=force, mode=None)


def write_export(path: Path, data: bytes, *, force: bool) -> None:
    """Write an exported file as `write_output` does, but never over a project or what is its own.

    Not with `force` either, and not through a link. Raises `StoreError`.
    """
    target = resolved(path)
    with told(path):
        if target.suffix in _OF_A_PROJECT or _is_project(target):
            raise StoreError(path, "is a project or belongs to one; choose another name")
    write_output(path, data, force=force)


def _is_project(path: Path) -> bool:
    """Whether a file begins like a project: whatever its name, nobody means to lose it."""
    if not path.is_file():
        return False
    return _PROJECT.search(read_plain(path, _LOOK_AT)) is not None


def write_new(path: Path, data: bytes, *, force: bool, mode: int | None) -> None:
    """Write a file that must not exist yet, unless `force`. Raises `StoreError`.

    mode: of a new file; `None` takes what the umask leaves.
    """
    target = resolved(path)
    with told(path):
        refuse_special(target)
        if not force and target.exists():  # said before the work, and made sure of below
            raise FileExistsError
        if write_protected(target):  # a rename would pass over that
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        with _beside(target, data) as part:
            try:
                # Whoever creates the name has it; a link or a check before would leave a gap.
                claim = os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, mode or 0o666)
            except FileExistsError:
                if not force:
                    raise
                part.chmod(stat.S_IMODE(target.stat().st_mode))
                _replace(part, target)
                return
            given = stat.S_IMODE(os.fstat(claim).st_mode)
            os.close(claim)
            try:
                part.chmod(given)
                _replace(part, target)
            except BaseException:
                target.unlink()
                raise


def replace_file(
    path: Path, data: bytes, mode: int, last_look: Callable[[], None] | None = None
) -> None:
    """Put `data` in the place of a file, which keeps its old state if anything fails.

    path: with no symbolic link left in it. `last_look` is called when all is written but the
    rename; what it raises stops that. Raises `StoreError`.
    """
    with told(path), _beside(path, data, mode) as part:
        if last_look:
            last_look()
        _replace(part, path)


def clear_unfinished(path: Path) -> None:
    """Remove what a killed process left half-written beside `path`, which no other may be writing.

    Between the name and the ending stand the eight characters that `tempfile` chose.
    """
    name = re.sub(r"([*?[])", r"[\1]", path.name)
    for part in path.parent.glob(f".{name}.????????{_UNFINISHED}"):
        with suppress(OSError):
            part.unlink()


def write_protected(path: Path) -> bool:
    """Whether there is a file that we may not write to, whatever the folder allows."""
    return not os.access(path, os.W_OK) and path.exists()


def refuse_special(path: Path) -> None:
    """Raise `StoreError` where the path leads to something that is not a plain file."""
    if path.is_file():
        return
    if path.is_dir():
        raise StoreError(path, "is a folder; name a file")
    if path.exists():
        raise StoreError(path, "is not a plain file")


def read_plain(path: Path, most: int) -> bytes:
    """Return what is in a plain file, no more than one byte above `most`.

    Raises `StoreError` where it is a folder, a pipe or a device, else what the system raises.
    """
    refuse_special(path)
    with path.open("rb") as file:
        return file.read(most + 1)


def resolved(path: Path) -> Path:
    """Return the path with every symbolic link followed. Raises `StoreError`."""
    try:
        return path.resolve()
    except FileNotFoundError:
        raise StoreError(path, _ADRIFT) from None
    except (OSError, RuntimeError):  # RuntimeError before Python 3.13
        raise StoreError(path, "links that lead in a circle; name the file itself") from None


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what the system says about writing `path` into a `StoreError`."""
    try:
        yield
    except FileExistsError:
        problem = "exists already and was not overwritten; choose another name or use --force"
        raise StoreError(path, problem) from None
    except OSError as error:
        kind = StoreError if error.errno in _WRONG_NAME else NotWrittenError
        raise kind(path, f"not written: {say_reason(error)}; nothing was changed") from None


@contextmanager
def _beside(target: Path, data: bytes, mode: int = PRIVATE) -> Iterator[Path]:
    """Write `data` to a new file beside `target`, which is gone afterwards unless all went well."""
    descriptor, name = tempfile.mkstemp(_UNFINISHED, f".{target.name}.", target.parent)
    part = Path(name)
    try:
        try:
            rest = memoryview(data)
            while rest:
                rest = rest[os.write(descriptor, rest) :]
            if mode != PRIVATE:  # which it is made with
                part.chmod(mode)
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
        yield part
    except BaseException:
        with suppress(FileNotFoundError):
            part.unlink()
        raise


def _replace(part: Path, target: Path) -> None:
    os.replace(part, target)  # noqa: PTH105 - the one step that counts, named as in POSIX
    # The rename is done; where a folder cannot be synced it reaches the disk a little later.
    with suppress(OSError):
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
