"""The ways out: the file format on one page, and the core as a library in a few lines."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

import legtaper
from legtaper.files.project_file import read_project
from legtaper.pattern import build

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_page_on_the_project_file_shows_one_that_works() -> None:
    """What stands on the page can be copied into a file and used."""
    page = (EXAMPLES / "project-file.md").read_text(encoding="utf-8")
    shown = re.search(r"```toml\n(.*?)```", page, re.DOTALL)
    assert shown
    pattern = build(read_project(shown[1]))
    assert not pattern.fit.failed
    assert pattern.fit.taper.circumference(0) == pytest.approx(
        (2 * (4.25 + 4.75) - 4 * 5 / 8) * 25.4
    )


def test_the_library_in_thirty_lines(tmp_path: Path) -> None:
    """The script runs as it stands; its hems are the block's 17 in less four take-ins.

    The foot needs 12 3/4 in, so the narrowest fails; nothing is printed but what it says.
    """
    script = EXAMPLES / "library.py"
    done = subprocess.run(
        [sys.executable, str(script)], capture_output=True, text=True, check=True, cwd=tmp_path
    )
    assert not done.stderr
    hems = [float(found) for found in re.findall(r": (\d+) mm", done.stdout)]
    assert hems == [round((17 - 4 * off) * 25.4) for off in (0.5, 0.75, 1, 1.25)]
    said = [line.split(", ")[-1] for line in done.stdout.splitlines()[:4]]
    assert said == ["pass", "pass", "pass", "fail"]
    assert f"legtaper {legtaper.__version__} saved 4" in done.stdout
    assert {path.name for path in tmp_path.iterdir()} >= {"made-in-code.svg", "made-in-code.toml"}
    lines = script.read_text().partition('"""\n')[2].splitlines()
    assert sum(bool(line.strip()) for line in lines) <= 30


def test_a_script_of_the_library_has_its_types() -> None:
    """`mypy --strict` finds nothing to say about what a user writes."""
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", str(EXAMPLES / "library.py")],
        capture_output=True, text=True, check=False, cwd=EXAMPLES.parent,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout
