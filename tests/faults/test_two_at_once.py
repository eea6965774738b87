"""Several at once over one file: nobody's change is lost, and who may not write is told."""

from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import filelock
import pytest
from pty_terminal import PtyTerminal

from faults import EXAMPLE, LEGTAPER, surroundings
from legtaper.files.store import ChangedOnDiskError, Store, load
from legtaper_wizard.flow.session import Session

ROUNDS = 10
ADD = """
import sys, time
from dataclasses import replace
from pathlib import Path
from legtaper.model.project import Liked
from legtaper.files.store import Store, StoreError
who, rounds = sys.argv[2], int(sys.argv[3])
done, until = 0, time.monotonic() + 60
while done < rounds and time.monotonic() < until:
    try:
        store = Store.open(Path(sys.argv[1]), for_writing=True)
        if store.read_only:
            continue
        try:
            added = Liked(f"{who}-{done}")
            store.save(replace(store.project, liked=(*store.project.liked, added)))
            done += 1
        finally:
            store.close()
    except StoreError:
        pass
print(done)
"""


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a copy of the example, in a new account."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    file = tmp_path / "courier.toml"
    shutil.copy(EXAMPLE, file)
    return file


def test_writers_in_a_race_lose_nothing(file: Path, tmp_path: Path) -> None:
    """Three processes that add as fast as they can: everything each of them saved is there."""
    argv = [sys.executable, "-c", ADD, str(file)]
    racing = [
        subprocess.Popen(
            [*argv, who, str(ROUNDS)],
            env=surroundings(tmp_path),
            stdout=subprocess.PIPE,
            text=True,
        )
        for who in "abc"
    ]
    assert [process.communicate(timeout=90)[0].strip() for process in racing] == [str(ROUNDS)] * 3
    names = {liked.garment for liked in load(file).liked}
    assert {f"{who}-{number}" for who in "abc" for number in range(ROUNDS)} <= names


@pytest.fixture
def _no_locks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let locks be granted to everyone, as a network disk does that keeps them to one machine."""
    monkeypatch.setattr(filelock.FileLock, "acquire", lambda *_, **__: None)
    monkeypatch.setattr(filelock.FileLock, "release", lambda *_, **__: None)


@pytest.mark.usefixtures("_no_locks")
def test_where_locks_do_not_reach_the_change_is_noticed(file: Path) -> None:
    """Both have the project; whoever saves second is asked, and both states are kept."""
    first, second = Session.open(file), Session.open(file)
    assert not second.read_only
    first.answer("allowance.seam", "3/4 in")
    with pytest.raises(ChangedOnDiskError):
        second.answer("wearer.hip", "41 in")
    copy = second.keep_mine()
    second.answer("wearer.hip", "41 in")
    assert copy is not None
    assert load(copy).allowance == first.project.allowance
    with pytest.raises(ChangedOnDiskError):
        first.answer("allowance.seam", "1 in")
    theirs = first.take_theirs()
    assert load(theirs).allowance.seam is not None
    assert first.project == second.project == load(file)


@pytest.mark.usefixtures("_no_locks")
def test_a_save_between_writing_and_renaming(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It stops the rename: what the other session saved stays."""
    first, second = (Store.open(file, for_writing=True) for _ in range(2))
    first.save(replace(first.project, name="one"))
    second.take_up(file.read_bytes())
    real: Callable[..., None] = Path.chmod

    def chmod(path: Path, mode: int) -> None:
        real(path, mode)
        monkeypatch.setattr(Path, "chmod", real)
        second.save(replace(second.project, name="two"))

    monkeypatch.setattr(Path, "chmod", chmod)
    with pytest.raises(ChangedOnDiskError):
        first.save(replace(first.project, name="three"))
    assert load(file).name == "two"


def _run(tmp_path: Path, *arguments: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [LEGTAPER, *map(str, arguments)],
        env=surroundings(tmp_path),
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


def test_a_command_beside_the_wizard(file: Path, tmp_path: Path) -> None:
    """Commands that read, read; one that would write is refused in a line that says who has it."""
    with PtyTerminal([LEGTAPER, "open", file], surroundings(tmp_path)) as wizard:
        wizard.wait_for("F10 quit")
        before = file.read_bytes()
        done = _run(tmp_path, "round", file, "--printed")
        assert done.returncode == 2
        assert f"process {wizard.process.pid}" in done.stderr
        assert done.stderr.count("\n") == 1
        done = _run(tmp_path, "begin", file, "--force")
        assert (done.returncode, done.stderr.count("\n")) == (2, 1)
        assert file.read_bytes() == before
        assert _run(tmp_path, "check", file, "--json").returncode in (0, 1)
        wizard.type("3/4 in")
        wizard.press("enter")
        wizard.wait_for("Saved ")
        wizard.settle()
        wizard.press("f10")
        assert wizard.wait_exit() == 0
    assert _run(tmp_path, "round", file, "--printed").returncode == 0
    found = load(file)
    assert found.allowance.seam is not None
    assert found.allowance.seam.text == "3/4 in"
    assert found.rounds[-1].printed is not None


def test_a_wizard_that_came_second_writes_nothing(file: Path, tmp_path: Path) -> None:
    """Not even when the first has gone: what was saved meanwhile stays."""
    holder = Store.open(file, for_writing=True)
    with PtyTerminal([LEGTAPER, "open", file], surroundings(tmp_path)) as wizard:
        wizard.wait_for("Look only")
        holder.save(replace(holder.project, name="Renamed meanwhile"))
        holder.close()
        assert _run(tmp_path, "round", file, "--printed").returncode == 0
        before = file.read_bytes()
        wizard.type("3/4 in")
        wizard.press("enter")
        wizard.settle()
        wizard.press("f10", "f10")
        wizard.wait_exit()
    assert file.read_bytes() == before
