import errno
import json
import os
import signal
import subprocess
import sys
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import filelock
import pytest

from legtaper.files.project_file import NewerFormatError, read_project
from legtaper.files.recent import recent, remember
from legtaper.files.store import (
    ChangedOnDiskError,
    Store,
    StoreError,
    load,
    save_new,
)
from legtaper.model.lengths import parse_length
from legtaper.model.project import Project, ProjectError, Wearer

TEXT = '# mine\nformat = 1\nname = "first"  # a name\n\n[wearer]\nhip = "41 in"\n'
BROKEN = "format = 1\n[wearer\n"
NEWER = "format = 2\n"

HOLDER = """
import sys, time
from pathlib import Path
from legtaper.files.store import Store
store = Store.open(Path(sys.argv[1]), for_writing=True)
print("read-only" if store.read_only else "writing", flush=True)
time.sleep(60)
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Return a project file of a person's own."""
    path = tmp_path / "trousers.toml"
    path.write_text(TEXT)
    return path


def holder(path: Path) -> subprocess.Popen[str]:
    """Return another process that has opened the project, once it has."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "writing\n"
    return process


def renamed(store: Store, name: str) -> Project:
    """Return the project of the store under another name."""
    return replace(store.project, name=name)


def no_space(*_: object, **__: object) -> None:
    """Stand in for a system call on a full disk."""
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


# --- opening and saving ----------------------------------------------------------------------


def test_what_is_saved_is_on_disk(path: Path) -> None:
    """The comments of the person are kept, and the time of the save is told."""
    store = Store.open(path, for_writing=True)
    saved = store.save(renamed(store, "second"))
    assert path.read_text() == TEXT.replace("first", "second") == store.text
    assert store.project.name == "second"
    assert saved.tzinfo is not None
    assert abs((datetime.now().astimezone() - saved).total_seconds()) < 60
    store.close()
    assert load(path) == store.project


def test_saving_again_and_again_needs_no_opening(path: Path) -> None:
    """Every save starts from the one before it."""
    store = Store.open(path, for_writing=True)
    for name in ("second", "third", "fourth"):
        store.save(renamed(store, name))
    assert load(path).name == "fourth"


def test_the_backup_is_the_state_before_the_session(path: Path) -> None:
    """It is made at the first change, stays during the session, and moves with the next one."""
    store = Store.open(path, for_writing=True)
    store.save(store.project)
    assert not store.backup.exists()
    store.save(renamed(store, "second"))
    store.save(renamed(store, "third"))
    assert store.backup.name == "trousers.toml.bak"
    assert store.backup.read_text() == TEXT
    store.close()
    again = Store.open(path, for_writing=True)
    again.save(renamed(again, "fourth"))
    assert load(again.backup).name == "third"


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_file_backup_and_lock_keep_to_the_mode_of_the_project(path: Path, mode: int) -> None:
    """Who may not read the project may not read its backup either."""
    path.chmod(mode)
    store = Store.open(path, for_writing=True)
    store.save(renamed(store, "second"))
    lock = path.with_name(".trousers.toml.lock")
    for file in (path, store.backup, lock):
        assert file.stat().st_mode & 0o777 == mode


def test_a_symbolic_link_stays_one(tmp_path: Path, path: Path) -> None:
    """The file that it leads to is locked, backed up and changed."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    link = elsewhere / "link.toml"
    link.symlink_to(path)
    store = Store.open(link, for_writing=True)
    store.save(renamed(store, "second"))
    assert link.is_symlink()
    assert load(path).name == "second"
    assert [file.name for file in elsewhere.iterdir()] == ["link.toml"]
    assert Store.open(path, for_writing=True).held_by is not None


def test_opening_for_reading_leaves_no_trace(path: Path) -> None:
    """No lock is taken, nothing is written, and saving is refused."""
    store = Store.open(path, for_writing=False)
    assert store.read_only
    with pytest.raises(StoreError, match="not saved: opened for reading only"):
        store.save(renamed(store, "second"))
    assert [file.name for file in path.parent.iterdir()] == ["trousers.toml"]


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(lambda path: path.write_text(TEXT.replace("41", "42")), id="edited"),
        pytest.param(lambda path: path.write_text(BROKEN), id="broken"),
        pytest.param(lambda path: path.unlink(), id="removed"),
    ],
)
def test_a_change_by_another_program_is_never_undone(path: Path, change: object) -> None:
    """Even one that keeps size and time of the file; what is on disk stays as it is."""
    store = Store.open(path, for_writing=True)
    times = path.stat()
    change(path)  # type: ignore[operator]  # one of the functions above
    if path.exists():
        os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))
    now = path.read_text() if path.exists() else None
    says = "another program changed the file" if path.exists() else "was moved or deleted"
    with pytest.raises(ChangedOnDiskError, match=says):
        store.save(renamed(store, "second"))
    assert (path.read_text() if path.exists() else None) == now
    assert not store.backup.exists()


def test_a_file_that_was_only_touched_is_not_changed(path: Path) -> None:
    """Another time on the same text is no reason to refuse."""
    store = Store.open(path, for_writing=True)
    os.utime(path, (1, 1))
    store.save(renamed(store, "second"))
    assert load(path).name == "second"


@pytest.mark.parametrize("call", ["write", "fsync", "replace"])
def test_a_full_disk_loses_nothing(path: Path, monkeypatch: pytest.MonkeyPatch, call: str) -> None:
    """The file stays as it was, nothing half-written is left, and the next save may succeed."""
    store = Store.open(path, for_writing=True)
    with monkeypatch.context() as patch:
        patch.setattr(os, call, no_space)
        with pytest.raises(StoreError, match="the disk is full; nothing was changed"):
            store.save(renamed(store, "second"))
    names = {file.name for file in path.parent.iterdir()}
    assert names == {"trousers.toml", ".trousers.toml.lock"}
    assert path.read_text() == TEXT
    assert store.project.name == "first"
    store.save(renamed(store, "second"))
    assert load(path).name == "second"


def test_a_project_that_no_file_can_hold_is_not_saved(path: Path) -> None:
    """The key is named, and the file stays as it was."""
    store = Store.open(path, for_writing=True)
    negative = Wearer(hip=parse_length("-1 in", "in", signed=True))
    with pytest.raises(ProjectError, match=r"wearer\.hip: "):
        store.save(replace(store.project, wearer=negative))
    assert path.read_text() == TEXT


# --- who may write ---------------------------------------------------------------------------


def test_the_second_session_can_only_read(path: Path) -> None:
    """It is told who has the project, and may write once the first one is closed."""
    first = Store.open(path, for_writing=True)
    second = Store.open(path, for_writing=True)
    third = Store.open(path, for_writing=True)
    for late in (second, third):
        assert late.read_only
        assert late.held_by is not None
        assert f"process {os.getpid()}, since " in late.held_by.who
        assert late.held_by.who in late.why_read_only
        with pytest.raises(StoreError, match="not saved: open in another session"):
            late.save(renamed(late, "theirs"))
    first.save(renamed(first, "second"))
    first.close()
    assert first.read_only
    fourth = Store.open(path, for_writing=True)
    assert (fourth.read_only, fourth.held_by, fourth.why_read_only) == (False, None, "")
    assert fourth.project.name == "second"


def test_another_process_holds_the_project_until_it_is_killed(path: Path) -> None:
    """A session that died without closing never keeps anybody out."""
    process = holder(path)
    try:
        late = Store.open(path, for_writing=True)
        assert late.held_by is not None
        assert f"process {process.pid}" in late.held_by.who
        with pytest.raises(StoreError, match="is open in another session"):
            save_new(path, TEXT, force=True)
    finally:
        process.send_signal(signal.SIGKILL)
        process.communicate()
    assert not Store.open(path, for_writing=True).read_only


def test_what_a_killed_session_left_half_written_is_cleared(path: Path) -> None:
    """Of this project only: another one nearby may be in the middle of a save."""
    leftovers = [path.with_name(f".{name}.abcd_123.part") for name in (path.name, "a.toml")]
    for leftover in leftovers:
        leftover.write_text("half")
    Store.open(path, for_writing=True)
    assert [leftover.exists() for leftover in leftovers] == [False, True]


def test_a_folder_without_write_access_opens_for_reading(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The project can be looked at; why it cannot be saved is said at once, not at the end."""

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "denied")

    monkeypatch.setattr(filelock.FileLock, "acquire", refused)
    store = Store.open(path, for_writing=True)
    assert store.project.name == "first"
    assert (store.read_only, store.held_by) == (True, None)
    assert store.why_read_only == "the folder can't be written to: writing there is not allowed"


def test_a_write_protected_file_opens_for_reading(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Saving by renaming could pass over the protection, but it is there for a reason."""
    monkeypatch.setattr(os, "access", lambda *_: False)  # as for anyone but the superuser
    store = Store.open(path, for_writing=True)
    assert (store.read_only, store.why_read_only) == (True, "the file is write-protected")
    with pytest.raises(StoreError, match="writing there is not allowed"):
        save_new(path, TEXT, force=True)
    assert [file.name for file in path.parent.iterdir()] == ["trousers.toml"]


# --- what is wrong with a file ---------------------------------------------------------------


def test_a_broken_file_names_the_backup(path: Path) -> None:
    """Only where the backup is a project itself; nothing is restored or written unasked."""
    path.write_text(BROKEN)
    backup = path.with_name("trousers.toml.bak")
    for text, named in ((BROKEN, False), (TEXT, True)):
        backup.write_text(text)
        for opens in (load, lambda path: Store.open(path, for_writing=True)):
            with pytest.raises(ProjectError) as caught:
                opens(path)
            assert ("an earlier state is in trousers.toml.bak" in str(caught.value)) == named
    assert path.read_text() == BROKEN
    path.write_text(TEXT)
    assert not Store.open(path, for_writing=True).read_only


def test_a_newer_format_is_never_written_to(path: Path) -> None:
    """Neither opened nor overwritten, not even with force."""
    path.write_text(NEWER)
    with pytest.raises(NewerFormatError):
        Store.open(path, for_writing=True)
    with pytest.raises(StoreError, match="of format 2, which this version cannot read"):
        save_new(path, TEXT, force=True)
    assert path.read_text() == NEWER


def test_what_cannot_be_opened_is_said_in_one_line(tmp_path: Path) -> None:
    """A missing file, a folder, a pipe, a circle of links; and no lock is left beside them."""
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "circle").symlink_to(tmp_path / "circle")
    for name, says in (
        ("none.toml", r"none\.toml: not found"),
        (".", "is a folder"),
        ("pipe", "is not a plain file"),
        ("circle", "circle"),
    ):
        for opens in (load, lambda path: Store.open(path, for_writing=True)):
            with pytest.raises(StoreError, match=says):
                opens(tmp_path / name)
    assert {file.name for file in tmp_path.iterdir()} == {"pipe", "circle"}


def test_a_far_too_large_file_is_refused_unread(tmp_path: Path) -> None:
    """A sparse file of many gigabytes is answered at once."""
    huge = tmp_path / "huge.toml"
    with huge.open("wb") as file:
        file.truncate(50_000_000_000)
    with pytest.raises(ProjectError, match="larger than 2 MB"):
        load(huge)


# --- new files -------------------------------------------------------------------------------


def test_a_new_project_is_private(tmp_path: Path) -> None:
    """Measurements of a body are for the owner of the file alone."""
    path = tmp_path / "new.toml"
    save_new(path, TEXT)
    assert path.stat().st_mode & 0o777 == 0o600
    assert path.read_text() == TEXT


def test_a_new_project_does_not_replace_one_unasked(path: Path) -> None:
    """With force it does, and keeps the mode."""
    other = TEXT.replace("first", "other")
    path.chmod(0o640)
    with pytest.raises(StoreError, match="exists already"):
        save_new(path, other)
    assert path.read_text() == TEXT
    save_new(path, other, force=True)
    assert path.read_text() == other
    assert path.stat().st_mode & 0o777 == 0o640
    assert not Store.open(path, for_writing=True).read_only


def test_a_new_project_must_be_one(tmp_path: Path) -> None:
    """A text that could not be read again is not written."""
    with pytest.raises(ProjectError):
        save_new(tmp_path / "new.toml", BROKEN)
    assert list(tmp_path.iterdir()) == []


# --- recently opened -------------------------------------------------------------------------


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return where the list is kept, away from the real one."""
    state = tmp_path / "state"
    monkeypatch.setattr("platformdirs.user_state_path", lambda *_, **__: state / "legtaper")
    return state / "legtaper" / "recent.json"


def test_recent_projects_are_listed_last_first(tmp_path: Path, state: Path) -> None:
    """Each once, at most twenty, and only those that are still there."""
    paths = [tmp_path / f"{number}.toml" for number in range(25)]
    assert recent() == []
    for path in paths:
        path.write_text(TEXT)
        remember(path)
    remember(paths[10])
    paths[24].unlink()
    listed = recent()
    assert listed[:2] == [paths[10], paths[23]]
    assert len(listed) == 19
    assert len(json.loads(state.read_text())) == 20
    assert state.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(
    "content", [b"", b"{", b"\xff", b'{"a": 1}', b'[1, null, "\\u0000"]', b"[" * 100_000]
)
def test_a_broken_list_is_an_empty_one(path: Path, state: Path, content: bytes) -> None:
    """And is mended by the next project that is opened."""
    state.parent.mkdir(parents=True)
    state.write_bytes(content)
    assert recent() == []
    remember(path)
    assert recent() == [path]


@pytest.mark.parametrize("odd", ["pipe", "device", "huge", "folder"])
def test_something_odd_in_place_of_the_list_holds_nothing_up(
    path: Path, state: Path, odd: str
) -> None:
    """A pipe, a device, a folder or a huge file there is passed over, and not written through."""
    state.parent.mkdir(parents=True)
    if odd == "pipe":
        os.mkfifo(state)
    elif odd == "device":
        state.symlink_to("/dev/zero")
    elif odd == "folder":
        state.mkdir()
    else:
        state.write_bytes(b'["' + b"x" * 1_000_000 + b'"]')
    assert recent() == []
    remember(path)
    assert recent() == ([path] if odd == "huge" else [])
    assert odd != "device" or state.is_symlink()


def test_a_home_that_cannot_be_written_to_does_not_matter(path: Path, state: Path) -> None:
    """The list is a convenience."""
    state.parent.parent.write_text("a file where the folder should be")
    remember(path)
    assert recent() == []


def test_the_text_of_a_project_is_what_was_read(path: Path) -> None:
    """For a copy elsewhere, when it cannot be saved in its place."""
    store = Store.open(path, for_writing=False)
    assert store.text == TEXT
    assert read_project(store.text) == store.project
