"""Inputs and outputs that are closed, a folder that is gone, odd settings of the system around."""

from __future__ import annotations

import os
import resource
import shutil
import stat
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from faults import EXAMPLE, LEGTAPER, surroundings
from legtaper.files.store import Store
from legtaper_wizard.terminal import prepare

CLOSED = "legtaper: the answer could not be printed: it is closed\n"
FULL = "legtaper: the answer could not be printed: the disk is full\n"


def _run(
    home: Path, *words: object, first: Callable[[], None] | None = None, **around: str
) -> subprocess.CompletedProcess[str]:
    """Run a command beside a copy of the example, after something else in its process."""
    shutil.copy(EXAMPLE, home / "p.toml")
    return subprocess.run(
        [LEGTAPER, *map(str, words)],
        env=surroundings(home) | around, cwd=home, preexec_fn=first, stdin=subprocess.DEVNULL,
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


def _closing(*numbers: int) -> Callable[[], None]:
    def close() -> None:
        for number in numbers:
            os.close(number)

    return close


def _printing_on_a_full_disk() -> None:
    os.dup2(os.open("/dev/full", os.O_WRONLY), 1)


def _in_a_folder_that_is_gone() -> None:
    Path("gone").mkdir()
    os.chdir("gone")
    Path("../gone").rmdir()


@pytest.mark.parametrize(
    "words",
    [
        ("check", "p.toml"), ("check", "p.toml", "--json"), ("mend", "p.toml", "--take", "1"),
        ("export", "p.toml", "leg.svg"), ("export", "p.toml", "leg.pdf"), ("compare", "p.toml"),
        ("export", "p.toml", "--out", "-", "--format", "svg"), ("begin", "new.toml"), ("sheet",),
    ],
    ids=" ".join,
)  # fmt: skip
def test_an_output_that_is_closed_is_told_as_a_full_disk_is(
    tmp_path: Path, words: tuple[str, ...]
) -> None:
    """`legtaper check p.toml >&-` was a fault of the program."""
    done = _run(tmp_path, *words, first=_closing(1))
    assert (done.returncode, done.stderr) == (74, CLOSED)
    assert not list(tmp_path.rglob("fault.log"))
    (tmp_path / "full").mkdir()
    done = _run(tmp_path / "full", *words, first=_printing_on_a_full_disk)
    assert (done.returncode, done.stderr) == (74, FULL)


def test_no_file_takes_the_place_of_what_is_closed(tmp_path: Path) -> None:
    """With all three closed a change is made as ever, and the file is a project afterwards."""
    assert _run(tmp_path, "export", "p.toml", "leg.dxf", first=_closing(0, 1, 2)).returncode == 74
    assert _run(tmp_path, "export", "p.toml", "two.dxf").returncode == 0
    first, second = ((tmp_path / name).read_text() for name in ("leg.dxf", "two.dxf"))
    assert len(first.splitlines()) == len(second.splitlines())


def test_an_input_that_is_closed_is_empty(tmp_path: Path) -> None:
    """A project from there has no first line; the wizard says that it can not be talked to."""
    done = _run(tmp_path, "check", "-", first=_closing(0))
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "begin the file with format = 1" in done.stderr
    done = _run(tmp_path, "open", "p.toml", first=_closing(0))
    assert (done.returncode, "open both" in done.stderr) == (2, True)


def test_prompts_that_nobody_can_read_are_no_fault(tmp_path: Path) -> None:
    """A full disk behind the line prompts is said in one line."""
    done = _run(tmp_path, "open", "p.toml", first=_printing_on_a_full_disk)
    assert (done.returncode, done.stderr) == (74, FULL)


@pytest.mark.parametrize(
    "words",
    [
        ("begin", "new.toml"), ("open", "--new", "new.toml"), ("demo",),
        ("export", "{home}/p.toml", "--into", "out", "--format", "svg"),
        ("export", "{home}/p.toml", "leg.svg"), ("export", "{home}/p.toml", "{home}/leg.pdf"),
    ],
    ids=" ".join,
)  # fmt: skip
def test_a_working_folder_that_is_gone_is_named_as_the_reason(
    tmp_path: Path, words: tuple[str, ...]
) -> None:
    """It was told as links in a circle, or the project was."""
    words = tuple(word.format(home=tmp_path) for word in words)
    done = _run(tmp_path, *words, first=_in_a_folder_that_is_gone)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1), done.stderr
    assert "the folder you are in is gone" in done.stderr


def test_a_clock_beyond_a_day_from_the_worlds_stops_nothing(tmp_path: Path) -> None:
    """A time zone that POSIX allows and a day does not hold kept every session from opening."""
    done = _run(tmp_path, "mend", "p.toml", "--take", "1", TZ="XXX-167:59:59")
    assert (done.returncode, done.stderr) == (0, "")
    done = _run(tmp_path, "open", "p.toml", "--plain", TZ="XXX-167:59:59")
    assert (done.returncode, done.stderr) == (0, "")


def test_a_folder_is_never_begun_over(tmp_path: Path) -> None:
    """Not even the topmost, which has no name of its own."""
    for folder in ("/", "."):
        done = _run(tmp_path, "begin", folder, "--force")
        assert (done.returncode, done.stderr.count("\n")) == (2, 1)
        assert "is a folder; name a file" in done.stderr


def test_settings_for_other_apps_are_passed_over() -> None:
    """A color system that does not exist, or keys to press at the start, are not for this one."""
    around = {"TEXTUAL_COLOR_SYSTEM": "none", "TEXTUAL_PRESS": "f10", "TEXTUAL_ANIMATIONS": "full"}
    prepare(around)
    assert "TEXTUAL_COLOR_SYSTEM" not in around
    assert "TEXTUAL_PRESS" not in around
    assert around["TEXTUAL_ANIMATIONS"] == "full"


def test_a_link_in_the_place_of_a_project_opens_it_to_nobody(tmp_path: Path) -> None:
    """What another link leads to may be read by all; the project that is put back may not."""
    file = tmp_path / "p.toml"
    shutil.copy(EXAMPLE, file)
    file.chmod(0o600)
    store = Store.open(file, for_writing=True)
    file.unlink()
    file.symlink_to("/dev/null")
    store.overrule(None)
    store.close()
    assert stat.S_IMODE(file.lstat().st_mode) == 0o600


def test_memory_that_is_lacking_even_for_the_log(tmp_path: Path) -> None:
    """Where what writes the log cannot be loaded either, there still is the one line."""
    seen = set()
    for megabytes in (40, 50, 60, 92, 101, 107):
        most = megabytes << 20
        done = _run(
            tmp_path, "export", "p.toml", "leg.dxf", "--force",
            first=lambda most=most: resource.setrlimit(resource.RLIMIT_DATA, (most, most)),
        )  # fmt: skip
        if done.returncode == 0 or "OpenBLAS" in done.stderr:
            continue
        assert (done.returncode, done.stderr.count("\n")) == (70, 1), done.stderr
        assert done.stderr.startswith("legtaper: ")
        seen.add("too little memory" in done.stderr)
    if not seen:
        pytest.skip("no such limit is kept here")
    assert True in seen  # some failures of libraries do not say that it was memory


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--out", "leg.pdf", "--format", "svg"), "by its name this is pdf, and --format says svg"),
        (("leg.txt", "--format", "pdf,svg"), "is no project; with --format, say by --out"),
        (("--out", ".svg"), "put a name before the ending, as in leg.svg"),
    ],
)
def test_an_order_that_says_two_things_is_refused(
    tmp_path: Path, words: tuple[str, ...], says: str
) -> None:
    """A PDF was written where SVG was asked for, and ".svg" was told to end in .svg."""
    done = _run(tmp_path, "export", "p.toml", *words)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert says in done.stderr
    assert not [one for one in tmp_path.iterdir() if one.suffix in (".pdf", ".svg", ".txt")]


def test_settings_of_an_editor_that_begins_with_a_mark_of_its_bytes(tmp_path: Path) -> None:
    """UTF-8 with a byte order mark was said to be no TOML."""
    (tmp_path / "legtaper-settings.toml").write_text('paper = "a3"\n', "utf-8-sig")
    done = _run(tmp_path, "settings")
    assert (done.returncode, done.stderr) == (0, "")
    assert "paper: a3" in done.stdout
