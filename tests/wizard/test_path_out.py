"""The ways out: the file format on one page, and the core as a library in a few lines."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

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


def test_the_core_is_a_library_in_a_few_lines() -> None:
    """The script runs as it stands; the hems are the block's 17 1/2 in less four take-ins."""
    script = EXAMPLES / "library.py"
    done = subprocess.run([sys.executable, str(script)], capture_output=True, text=True, check=True)
    hems = [float(found) for found in re.findall(r": (\d+) mm", done.stdout)]
    assert hems == [round((17.5 - 4 * off) * 25.4) for off in (0.5, 0.75, 1, 1.25)]
    said = [line.split(", ")[-1] for line in done.stdout.splitlines()]
    assert said == ["pass", "pass", "pass", "caution"]  # a slit for a foot of 12 3/4 in
    lines = script.read_text().partition('"""\n')[2].splitlines()
    assert sum(bool(line.strip()) for line in lines) <= 12
