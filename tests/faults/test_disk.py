"""Disks that fill up, folders that close or go, links, editors: one state or the other is there."""

from __future__ import annotations

import errno
import os
import shutil
import stat
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from faults import EXAMPLE
from legtaper.files.store import ChangedOnDiskError, Store, StoreError, backup_of, load, save_new
from legtaper.model.project import ProjectError
from legtaper_wizard.flow.session import Session

CALLS = ("write", "fsync", "replace", "open", "chmod", "close")
MOST_CALLS = 45
"""More than one session makes; the last ones are never reached, and then nothing fails."""


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a copy of the example, in a new account."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    file = tmp_path / "work" / "courier.toml"
    file.parent.mkdir()
    shutil.copy(EXAMPLE, file)
    file.chmod(0o640)
    return file


class Failing:
    """Lets the disk be full from the nth call on that would change it, or only at that call."""

    def __init__(self, at: int, *, for_good: bool) -> None:
        self.at, self.for_good, self.count, self.failed = at, for_good, 0, False

    def instead_of(self, name: str) -> Callable[..., Any]:
        """Return what stands in the place of a function of `os`."""
        real: Callable[..., Any] = getattr(os, name)

        def call(*args: Any, **kwargs: Any) -> Any:
            changes = name != "open" or args[1] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)
            if changes:
                self.count += 1
            if changes and (self.count == self.at or (self.for_good and self.count > self.at)):
                self.failed = True
                if name == "close":
                    real(*args, **kwargs)
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return real(*args, **kwargs)

        return call


def _work(file: Path) -> list[str]:
    """Work as a session does, going on after what fails; return the answers that were taken."""
    taken: list[str] = []
    try:
        session = Session.open(file)
    except StoreError:
        return taken
    session.remember()
    for number in range(2):
        answer = f"{number + 1}/16 in"
        try:
            session.answer("allowance.seam", answer)
        except StoreError:
            continue
        else:
            taken.append(answer)
    session.close()
    return taken


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "from then on"])
def test_a_full_disk_at_every_call(file: Path, tmp_path: Path, for_good: bool) -> None:
    """Wherever it fails, every answer that was taken is in the file, and nothing else is lost."""
    original, faults = file.read_bytes(), 0
    for at in range(1, MOST_CALLS):
        shutil.rmtree(file.parent)
        file.parent.mkdir()
        file.write_bytes(original)
        file.chmod(0o640)
        failing = Failing(at, for_good=for_good)
        with pytest.MonkeyPatch.context() as patch:
            for name in CALLS:
                patch.setattr(os, name, failing.instead_of(name))
            taken = _work(file)
        faults += failing.failed
        seam = load(file).allowance.seam
        assert (seam.text if seam else "") == (taken[-1] if taken else "5/8 in"), at
        assert stat.S_IMODE(file.stat().st_mode) == 0o640
        backup = backup_of(file)
        if taken:
            assert backup.read_bytes() == original
        elif backup.exists():
            load(backup)
        Store.open(file, for_writing=True).close()  # which clears what is half written
        assert not list(tmp_path.rglob("work/*.part"))
    assert faults > 20
    assert faults < MOST_CALLS - 1, "the session makes more calls than were tried"


def test_a_real_full_disk(file: Path) -> None:
    """Where no file may grow, the reason is said and the file stays as it was."""
    import resource
    import signal

    session, before = Session.open(file), file.read_bytes()
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    old = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, limits[1]))
    try:
        with pytest.raises(StoreError, match="nothing was changed"):
            session.answer("allowance.seam", "3/4 in")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
        signal.signal(signal.SIGXFSZ, old)
    assert file.read_bytes() == before
    session.answer("allowance.seam", "3/4 in")
    session.close()


def test_a_file_that_turns_read_only(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protected while it is open, it is not passed over by the rename."""
    session, before = Session.open(file), file.read_bytes()
    monkeypatch.setattr(os, "access", lambda *_: False)  # as for anyone but the superuser
    with pytest.raises(StoreError, match="write-protected"):
        session.answer("allowance.seam", "3/4 in")
    assert file.read_bytes() == before
    monkeypatch.undo()
    session.answer("allowance.seam", "3/4 in")
    session.close()


def test_a_folder_that_turns_read_only(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer that cannot be written is not taken."""
    session, before = Session.open(file), file.read_bytes()

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "denied")

    with monkeypatch.context() as patch:
        patch.setattr("tempfile.mkstemp", refused)
        with pytest.raises(StoreError, match="writing there is not allowed; nothing was changed"):
            session.answer("allowance.seam", "3/4 in")
    assert file.read_bytes() == before
    session.close()


def test_a_folder_that_is_deleted(file: Path) -> None:
    """It is said; once the folder is back, keeping mine writes the whole project again."""
    session = Session.open(file)
    session.answer("allowance.seam", "3/4 in")
    shutil.rmtree(file.parent)
    with pytest.raises(ChangedOnDiskError):
        session.answer("allowance.seam", "1 in")
    with pytest.raises(StoreError, match="the folder does not exist"):
        session.keep_mine()
    file.parent.mkdir()
    assert session.keep_mine() is None
    assert load(file) == session.project
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    session.close()


@pytest.mark.parametrize("relative", [True, False])
def test_a_link_stays_a_link(file: Path, tmp_path: Path, relative: bool) -> None:
    """What it leads to is saved, with lock and backup beside that."""
    link = tmp_path / "link.toml"
    link.symlink_to(Path("work/courier.toml") if relative else file)
    session = Session.open(link)
    session.answer("allowance.seam", "3/4 in")
    assert link.is_symlink()
    assert load(file) == session.project
    assert backup_of(file).exists()
    assert not list(tmp_path.glob("link.toml.*"))
    session.close()


# --- an editor ---------------------------------------------------------------------------------


def _edit(file: Path) -> bytes:
    """Save as an editor does: a new file in the place of the old one."""
    theirs = file.read_bytes() + b"\n# by hand\n"
    other = file.with_name("editor.tmp")
    other.write_bytes(theirs)
    other.replace(file)
    return theirs


def test_an_editor_at_the_last_moment(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is saved while the answer is on its way to the disk is noticed before the rename."""
    session = Session.open(file)
    session.answer("allowance.seam", "3/4 in")
    real, theirs = os.fsync, []

    def fsync(descriptor: int) -> None:
        real(descriptor)
        if not theirs:
            theirs.append(_edit(file))

    monkeypatch.setattr(os, "fsync", fsync)
    with pytest.raises(ChangedOnDiskError):
        session.answer("allowance.seam", "1 in")
    assert file.read_bytes() == theirs[0]
    copy = session.keep_mine()
    assert copy is not None
    assert copy.read_bytes() == theirs[0]
    assert load(file).allowance.seam == session.project.allowance.seam
    session.close()


def test_nobody_comes_between_when_she_chooses(file: Path) -> None:
    """While one of two states is put in place the project stays hers alone."""
    session = Session.open(file)
    session.answer("allowance.seam", "3/4 in")
    _edit(file)
    session.keep_mine()
    assert Session.open(file).read_only
    _edit(file)
    session.take_theirs()
    assert Session.open(file).read_only
    session.answer("allowance.seam", "1 in")
    assert load(file) == session.project
    session.close()


def test_a_copy_has_no_more_readers_than_the_project(file: Path) -> None:
    """Backup, lock and both kinds of copy are as private as the project is."""
    old = os.umask(0)
    try:
        for mode in (0o600, 0o640, 0o644):
            file.chmod(mode)
            session = Session.open(file)
            session.answer("allowance.seam", f"{mode}.5 mm"[-6:])
            _edit(file).decode()
            file.chmod(mode)
            session.keep_mine()
            _edit(file)
            file.chmod(mode)
            session.take_theirs()
            for beside in file.parent.iterdir():
                assert stat.S_IMODE(beside.stat().st_mode) & ~mode == 0, (beside.name, oct(mode))
            session.close()
            for copy in file.parent.glob("*(*"):
                copy.unlink()
    finally:
        os.umask(old)


def test_a_file_too_large_for_a_copy_is_left_alone(file: Path) -> None:
    """What has become of the file is no project; it is neither copied in part nor replaced."""
    session = Session.open(file)
    file.write_bytes(b"x" * 3_000_000)
    with pytest.raises(StoreError, match="larger now than any project"):
        session.keep_mine()
    assert file.stat().st_size == 3_000_000
    session.close()


# --- what was there before ---------------------------------------------------------------------


def test_a_spoiled_file_leads_back_to_the_backup(file: Path) -> None:
    """The error names the backup, and copied back as it says it is the project again."""
    session, before = Session.open(file), file.read_bytes()
    session.answer("allowance.seam", "3/4 in")
    session.close()
    file.write_bytes(file.read_bytes().replace(b"format = 1", b"format = [", 1))
    with pytest.raises(ProjectError, match=r"in courier\.toml\.bak, to be copied back"):
        load(file)
    shutil.copy(backup_of(file), file)
    assert file.read_bytes() == before
    load(file)


def test_begun_anew_by_force_the_old_project_is_kept(file: Path) -> None:
    """`begin --force` puts what it replaces into the backup, unread by others."""
    before = file.read_bytes()
    save_new(file, 'format = 1\nname = "new"\n', force=True)
    assert load(file).name == "new"
    assert backup_of(file).read_bytes() == before
    assert stat.S_IMODE(backup_of(file).stat().st_mode) == 0o640


# --- what others leave beside it ---------------------------------------------------------------


def test_a_lock_that_is_a_trap(file: Path, tmp_path: Path) -> None:
    """A link or a pipe in the place of the lock is neither followed nor waited for."""
    victim = tmp_path / "victim"
    victim.write_text("precious")
    lock = file.with_name(f".{file.name}.lock")
    for leave in (lambda: lock.symlink_to(victim), lambda: os.mkfifo(lock)):
        leave()
        store = Store.open(file, for_writing=True)
        assert store.read_only
        assert "is no plain file; remove that" in store.why_read_only
        assert victim.read_text() == "precious"
        lock.unlink()
    lock.write_bytes(b"\x1b[2Jx" * 1_000_000)
    store = Store.open(file, for_writing=True)
    assert not store.read_only
    store.close()


def test_a_backup_that_is_a_trap(file: Path, tmp_path: Path) -> None:
    """A link in the place of the backup is replaced, and what it leads to stays."""
    victim = tmp_path / "victim"
    victim.write_text("precious")
    backup_of(file).symlink_to(victim)
    store = Store.open(file, for_writing=True)
    store.save(replace(store.project, name="other"))
    assert victim.read_text() == "precious"
    assert not backup_of(file).is_symlink()
    store.close()
