"""Real limits of a system, where they can be made: a full disk, a read-only mount, a file size.

What is made needs the rights of an administrator; where they are missing, a test is skipped.
"""

from __future__ import annotations

import resource
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from faults import EXAMPLE
from legtaper.files.store import StoreError, load
from legtaper_wizard.flow.session import Session

LEGTAPER = Path(sys.executable).with_name("legtaper")
HEIGHT = "wearer.height"


def _run(*arguments: object, most: int | None = None) -> subprocess.CompletedProcess[str]:
    """Run a command, with files of at most so many bytes."""

    def limit() -> None:
        if most is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    return subprocess.run(
        [LEGTAPER, *map(str, arguments)],
        capture_output=True, text=True, timeout=60, check=False, preexec_fn=limit,
    )  # fmt: skip


def _mounted(folder: Path, *how: str) -> None:
    try:
        subprocess.run(["mount", *how, str(folder)], check=True, capture_output=True, timeout=20)
    except (OSError, subprocess.SubprocessError):
        pytest.skip("nothing can be mounted here")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Return a disk of 64 kB with a project on it."""
    disk = tmp_path / "disk"
    disk.mkdir()
    _mounted(disk, "-t", "tmpfs", "-o", "size=64k", "tmpfs")
    try:
        shutil.copy(EXAMPLE, disk / "courier.toml")
        yield disk
    finally:
        subprocess.run(["umount", "-l", str(disk)], check=False)


@pytest.fixture(autouse=True)
def new_account(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the list of recent projects away from the real one."""
    monkeypatch.setenv("HOME", str(tmp_path))


def _fill(disk: Path) -> None:
    with (disk / "ballast").open("wb", buffering=0) as file:
        try:
            while file.write(b"x" * 1024):
                pass
        except OSError:
            return


def test_an_answer_on_a_full_disk_is_refused_and_the_file_is_whole(small_disk: Path) -> None:
    """The disk is really full; the project is as it was, and goes on once there is room."""
    file = small_disk / "courier.toml"
    before = file.read_bytes()
    session = Session.open(file)
    _fill(small_disk)
    with pytest.raises(StoreError, match="the disk is full"):
        session.answer(HEIGHT, "70 in")
    assert file.read_bytes() == before
    (small_disk / "ballast").unlink()
    session.answer(HEIGHT, "70 in")
    session.close()
    height = load(file).wearer.height
    assert height is not None
    assert height.text == "70 in"


def test_an_export_to_a_full_disk_leaves_nothing_behind(small_disk: Path) -> None:
    """One line, and no half a file."""
    _fill(small_disk)
    done = _run("export", EXAMPLE, small_disk / "leg.pdf")
    assert done.returncode != 0
    assert done.stderr.count("\n") == 1
    assert "the disk is full" in done.stderr
    assert not [one for one in small_disk.iterdir() if "leg" in one.name]


def test_a_read_only_mount_is_said_in_one_line(tmp_path: Path) -> None:
    """A project there can be looked at, and nothing is written."""
    real, seen = tmp_path / "real", tmp_path / "seen"
    real.mkdir()
    seen.mkdir()
    shutil.copy(EXAMPLE, real / "courier.toml")
    _mounted(seen, "--bind", str(real))
    try:
        _mounted(seen, "-o", "remount,ro,bind")
        assert _run("check", seen / "courier.toml").returncode == 0
        done = _run("export", seen / "courier.toml", seen / "leg.svg")
        assert done.returncode != 0
        assert (done.stderr.count("\n"), "read-only" in done.stderr) == (1, True)
        session = Session.open(seen / "courier.toml")
        with pytest.raises(StoreError):
            session.answer(HEIGHT, "70 in")
        session.close()
    finally:
        subprocess.run(["umount", "-l", str(seen)], check=False)
    assert (real / "courier.toml").read_bytes() == EXAMPLE.read_bytes()


@pytest.mark.parametrize("most", [0, 1024, 4096])
def test_files_may_not_grow(tmp_path: Path, most: int) -> None:
    """Where the system allows no file of that size, one line says so and nothing is left."""
    project = tmp_path / "courier.toml"
    shutil.copy(EXAMPLE, project)
    for out in ("leg.pdf", "leg.svg", "leg.dxf"):
        done = _run("export", project, tmp_path / out, most=most)
        assert done.returncode != 0
        assert done.stderr.count("\n") == 1
        assert "Traceback" not in done.stderr
    assert [one.name for one in tmp_path.iterdir()] == ["courier.toml"]
    assert project.read_bytes() == EXAMPLE.read_bytes()


@pytest.mark.parametrize("cache", ["none", "cut short"])
def test_a_drawing_leaves_nothing_in_the_home(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, cache: str
) -> None:
    """The library for DXF keeps no list of fonts, and reads no spoiled one of another program."""
    kept = tmp_path / "cache" / "ezdxf" / "font_manager_cache.json"
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    if cache == "cut short":
        kept.parent.mkdir(parents=True)
        kept.write_text('{"version": 2, "font-')
    done = _run("export", EXAMPLE, tmp_path / "leg.dxf")
    assert (done.returncode, done.stderr) == (0, "")
    assert kept.exists() == (cache == "cut short")
    assert not (tmp_path / ".cache").exists()
