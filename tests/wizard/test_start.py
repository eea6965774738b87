from __future__ import annotations

import io
import stat
import sys
from pathlib import Path

import platformdirs
import pytest

from legtaper.files.store import load
from legtaper_wizard import crash
from legtaper_wizard.cli.launch import start


def test_a_missing_file_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Opening a file that is not there says so once, names both ways to begin, and ends with 2."""
    missing = tmp_path / "new\x1b[31m.toml"
    assert start(missing) == 2
    says = capsys.readouterr().err
    assert says.count("\n") == 1
    assert "legtaper begin" in says
    assert "legtaper open --new" in says
    assert "\x1b" not in says
    assert not missing.exists()


class Person(io.StringIO):
    """Somebody at a terminal who types these lines."""

    def isatty(self) -> bool:
        """Say that it is one."""
        return True


@pytest.mark.parametrize("typed", ["", "Y", "yes"])
@pytest.mark.usefixtures("new_account")
def test_line_by_line_a_missing_file_is_offered_to_be_begun(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed: str
) -> None:
    """Enter or a yes begins it, its name is the project's, and the unit is the next question."""
    out, missing = Person(), tmp_path / "my trousers.toml"
    monkeypatch.setattr(sys, "stdin", Person(f"{typed}\n\n2\n"))
    monkeypatch.setattr(sys, "stdout", out)
    assert start(missing, plain=True) == 0
    assert f"New project my trousers, in {missing}? yes or no [yes]:" in out.getvalue()
    assert "Name of the project [my trousers]:" in out.getvalue()
    assert (load(missing).name, load(missing).length_unit) == ("my trousers", "cm")


@pytest.mark.parametrize("lines", ["N\n", "", "perhaps\nno\n"])
def test_a_missing_file_is_not_begun_without_a_yes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lines: str
) -> None:
    """A no, the end of the input, or a no after something else leave no file."""
    out, missing = Person(), tmp_path / "mine.toml"
    monkeypatch.setattr(sys, "stdin", Person(lines))
    monkeypatch.setattr(sys, "stdout", out)
    assert start(missing, plain=True) == 0
    assert "Nothing was begun." in out.getvalue()
    assert out.getvalue().count("New project mine") == 1 + lines.startswith("perhaps")
    assert not missing.exists()


def test_a_missing_file_is_refused_where_nobody_can_be_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """From a pipe `--plain` begins nothing."""
    assert start(tmp_path / "mine.toml", plain=True) == 2
    assert "no such file" in capsys.readouterr().err


def test_without_any_input_it_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A process that was started with its input closed is refused in one line."""
    monkeypatch.setattr(sys, "stdin", None)
    assert start(None) == 2
    assert capsys.readouterr().err.count("\n") == 1


@pytest.fixture
def log_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return where logs go during the test."""

    def here(*_: object, ensure_exists: bool, **__: object) -> Path:
        folder = tmp_path / "logs"
        folder.mkdir(exist_ok=ensure_exists)
        return folder

    monkeypatch.setattr(platformdirs, "user_log_path", here)
    return tmp_path / "logs"


def _fault() -> Exception:
    try:
        raise KeyError("knee")
    except KeyError as error:
        return error


def test_a_fault_goes_to_a_log_of_its_owner(
    log_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A fault is one line for the person; the traceback is in a log that only she may read."""
    log_folder.mkdir()
    aim = log_folder / "aim"
    aim.write_text("stays")
    (log_folder / "fault.log").symlink_to(aim)
    assert crash.report(_fault()) == 70
    says = capsys.readouterr().err
    log = log_folder / "fault.log"
    assert says.count("\n") == 1
    assert str(log) in says
    assert "project is safe" in says
    assert 'raise KeyError("knee")' in log.read_text()
    assert stat.S_IMODE(log.stat().st_mode) == 0o600
    assert aim.read_text() == "stays"


def test_a_log_that_cannot_be_written_is_no_second_fault(
    log_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where the log cannot be written, the line says that instead."""
    (log_folder / "fault.log").mkdir(parents=True)
    assert crash.report(_fault()) == 70
    assert "could not be written" in capsys.readouterr().err
