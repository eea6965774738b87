"""The page for a class: its four commands, run as they stand, in one shell."""

from __future__ import annotations

import csv
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = [row[0] for row in csv.reader((EXAMPLES / "students.csv").open(encoding="utf-8"))]


@pytest.mark.skipif(os.name != "posix", reason="the page is for a POSIX shell")
def test_twelve_students_by_four_commands(tmp_path: Path) -> None:
    """Begun from one model, told of as an overview, exported, and marked in one table.

    The commands are those of the page; only three students are taken, to be quick.
    """
    page = (EXAMPLES / "class.md").read_text(encoding="utf-8")
    begin, check, export, marks = re.findall(r"```sh\n(.*?)\n```", page, re.DOTALL)
    assert len(NAMES) == 12
    for name in ("weekend.toml", "students.csv"):
        shutil.copy(EXAMPLES / name, tmp_path / name)
    three = (tmp_path / "students.csv").read_text().splitlines()[:3]
    (tmp_path / "students.csv").write_text("\n".join(three) + "\n")

    def shell(command: str) -> subprocess.CompletedProcess[str]:
        path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
        return subprocess.run(["sh", "-c", command], cwd=tmp_path, text=True, capture_output=True,
                              check=False, env={**os.environ, "PATH": path})  # fmt: skip

    made = shell(begin)
    assert made.returncode == 0, made.stderr
    assert sorted(one.stem for one in (tmp_path / "class").iterdir()) == sorted(NAMES[:3])
    told = shell(check)
    assert told.returncode in (0, 1), told.stderr
    assert [name in told.stdout for name in NAMES[:3]] == [True] * 3
    assert told.stdout.count("Next: ") == 3
    written = shell(export)
    assert written.returncode in (0, 1), written.stderr
    endings = [one.suffix for one in (tmp_path / "patterns").iterdir()]
    assert (endings.count(".pdf"), endings.count(".txt")) == (3, 3)
    assert shell(marks).returncode == 0
    rows = list(csv.DictReader((tmp_path / "patterns" / "marks.csv").open(encoding="utf-8")))
    assert {row["project"] for row in rows} == set(NAMES[:3])
