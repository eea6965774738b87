"""What was found by trying, one fixed case each; and the honesty of errors."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
from pathlib import Path

import pytest
import sample
from app_driver import driving
from click.testing import CliRunner, Result

from faults import EXAMPLE, LEGTAPER, surroundings
from legtaper.model.project import Allowance, ProjectError, Wearer
from legtaper.pattern import build
from legtaper.search.hem_widths import HemWidths, sentence
from legtaper_wizard.cli import main as cli
from legtaper_wizard.flow import words
from legtaper_wizard.flow.session import Session

OUTLINE = EXAMPLE.with_name("outline.dxf")
LONG = "n" * 5_000


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a copy of the example, in a new account."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.chdir(tmp_path)
    return Path(shutil.copy(EXAMPLE, tmp_path / "courier.toml"))


def run(*arguments: object, typed: str = "") -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(cli.main, [str(one) for one in arguments], input=typed)


def assert_one_line(done: Result, says: str) -> None:
    """Check for a refusal in one line that can be read to its end."""
    assert done.exit_code == 2, done.output
    assert done.stderr.count("\n") == 1
    assert says in done.stderr
    assert len(done.stderr) < 600


@pytest.mark.parametrize(
    "words",
    [
        ["export", "courier.toml", f"{LONG}.svg"], ["demo", LONG], ["open", f"{LONG}.toml"],
        ["open", f"{LONG}.toml", "--plain"], ["begin", "new.toml", "--from-svg", LONG],
        ["check", LONG], ["compare", "courier.toml", "--out", f"{LONG}.pdf"],
    ],
)  # fmt: skip
def test_a_name_that_is_too_long(file: Path, words: list[str]) -> None:
    """It is the reason that is said, not lost behind the name, and no fault of the program."""
    assert file.exists()
    assert_one_line(run(*words), "the name is too long")


def test_a_library_that_logs_is_not_heard(file: Path) -> None:
    """Tables with the wrong entities were told of line by line, in the words of the file."""
    text = OUTLINE.read_text()
    spoiled = file.with_name("spoiled.dxf")
    at = text.index("STYLE\n", text.index("TABLE\n  2\nSTYLE"))
    spoiled.write_text(text[:at] + text[at:].replace("  0\nSTYLE\n", "  0\nCIRCLE\n", 1))
    done = subprocess.run(
        [LEGTAPER, "begin", "new.toml", "--from-dxf", spoiled],
        env=surroundings(file.parent), cwd=file.parent, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.stderr.count("\n") <= 1, done.stderr


def test_an_allowance_without_room_is_said_where_it_is_cut(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cut lines are drawn late; their refusal is one line of `check`, and no limit to `limits`."""

    def no_room(*_: object) -> None:
        raise ProjectError("allowance", "this outline has no room for it")

    monkeypatch.setattr("legtaper.leg.panel.offset_edge", no_room)
    assert_one_line(run("check", file), "courier.toml: allowance: this outline has no room for it")
    assert_one_line(run("export", file, "out.svg"), "has no room for it")
    assert run("limits", file).exit_code == 0


async def test_the_wizard_says_that_there_is_no_room(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Asked for pattern files, it tells what stands in the way and goes on."""

    def no_room(*_: object) -> None:
        raise ProjectError("allowance", "this outline has no room for it")

    monkeypatch.setattr("legtaper.leg.panel.offset_edge", no_room)
    async with driving(Session.open(file)) as on:
        await on.press("f9")
        assert "has no room for it" in on.text
        assert on.app.fault is None


def test_a_cut_line_that_crosses_itself_says_where() -> None:
    """An allowance far wider than a tiny slit is high: found, placed, and failing everywhere."""
    design = sample.design(
        take_in={},
        width=sample.lengths(hem=320.0),
        extra={"outseam": sample.lengths(hem=76.0)},
        slit=sample.length(0.75),
    )
    heights = {"knee": 310.0, "crotch": 620.0, "hip": 740.0}
    out = dict.fromkeys(("hem", "knee", "crotch", "hip"), 80.0)
    reach = {"hem": 80.0, "knee": 80.0, "crotch": 100.0}
    table = sample.table(
        heights,
        {"front_outseam": out, "back_outseam": out, "front_inseam": reach, "back_inseam": reach},
    )
    wide = Allowance(None, {"outseam": sample.length(100.0)})
    pattern = build(sample.project(design, block=table, allowance=wide, wearer=Wearer()))
    found = [one for one in pattern.findings if one.id == "cut-line"]
    assert [one.where for one in found] == ["front", "back"]
    assert {one.status for one in found} == {"fail"}
    assert "crosses itself at the hem line" in found[0].says
    assert found[0].value == pytest.approx(0.0, abs=1.0)
    assert pattern.failed
    assert found[0].says in words.check_text(pattern)


# --- honest errors -------------------------------------------------------------------------------


def _spoil(monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(*_: object, **__: object) -> None:
        raise ZeroDivisionError("made for\nthis test")

    monkeypatch.setattr("legtaper.pattern.fit", fault)


@pytest.mark.parametrize("command", ["check", "draw", "marks", "limits"])
def test_a_fault_of_a_command_is_one_line_and_a_log(
    file: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    """The line names the log and what to do; the log, for its owner alone, has the traceback."""
    _spoil(monkeypatch)
    before = file.read_bytes()
    done = run(command, file)
    assert done.exit_code == 70
    assert done.output.count("\n") == 1
    assert "Start it again" in done.stderr
    (log,) = file.parent.rglob("fault.log")
    assert str(log) in done.stderr
    assert "made for\nthis test" in log.read_text()
    assert stat.S_IMODE(log.stat().st_mode) == 0o600
    assert file.read_bytes() == before


def test_a_log_that_is_a_trap(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A link in the place of the log is taken away, and what it leads to is not written to."""
    _spoil(monkeypatch)
    run("check", file)
    (log,) = file.parent.rglob("fault.log")
    log.unlink()
    log.symlink_to(file)
    before = file.read_bytes()
    run("check", file)
    assert file.read_bytes() == before
    assert not log.is_symlink()


def test_a_log_that_cannot_be_written(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Then that is said instead, still in one line."""
    _spoil(monkeypatch)
    monkeypatch.setenv("XDG_STATE_HOME", str(file))
    done = run("check", file)
    assert (done.exit_code, done.output.count("\n")) == (70, 1)
    assert "could not be written down" in done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is full")
def test_an_answer_that_cannot_be_printed(file: Path) -> None:
    """A full disk behind the output is said in one line."""
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [LEGTAPER, "check", file],
            env=surroundings(file.parent), stdout=full, stderr=subprocess.PIPE, text=True,
            check=False,
        )  # fmt: skip
    assert done.returncode == 74
    assert done.stderr == "legtaper: the answer could not be printed: the disk is full\n"


def test_nobody_reads_on(file: Path) -> None:
    """An output that is closed early ends it without a word."""
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [LEGTAPER, "check", file],
        env=surroundings(file.parent), stdout=write, stderr=subprocess.PIPE, text=True, check=False,
    )  # fmt: skip
    os.close(write)
    assert done.stderr == ""


def test_the_sentence_on_hem_widths_names_each_run_that_works() -> None:
    """Between two hems that work there may be one that does not; neither hides the other."""
    runs = (
        ("without a slit", 290.0, 305.0),
        ("no", 280.0, 289.0),
        ("without a slit", 150.0, 279.0),
    )
    found = HemWidths((), runs, True, "cm", 150.0, "")
    assert sentence(found) == (
        "Hem widths that work: without a slit from 29 cm to 30.5 cm; "
        "without a slit from 15 cm to 27.9 cm."
    )
