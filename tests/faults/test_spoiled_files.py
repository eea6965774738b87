"""Spoiled projects and drawings: never a traceback, a long wait, much memory or a changed input."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from faults import INPUTS, surroundings

TRY = Path(__file__).with_name("try_inputs.py")
PROCESSES = 2
LEAST_READ = 0.05  # of the inputs: with fewer that can be read, little but the parser is tried


def run(kind: str, first: int, count: int, folder: Path) -> dict[str, Any]:
    """Try some seeds in a process of their own and return what came of it."""
    folder.mkdir()
    environ = surroundings(folder) | {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    environ["PYTHONPATH"] = os.environ.get("PYTHONPATH", "")
    done = subprocess.run(
        [sys.executable, str(TRY), kind, str(first), str(count), str(folder)],
        env=environ, capture_output=True, text=True, check=False, timeout=3600,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.mark.skipif(sys.platform != "linux", reason="limits memory as Linux counts it")
@pytest.mark.parametrize(("kind", "share"), [("toml", 1), ("svg", 4), ("dxf", 4)])
def test_spoiled_files_are_refused_in_one_line_or_used(
    tmp_path: Path, kind: str, share: int
) -> None:
    """Whatever is spoiled in a file, each command ends with 0, 1 or 2 and says why in one line.

    Nothing that a terminal would obey is printed, nothing takes over 2 s or 500 MB more than a
    good file, JSON stays JSON, and a command that only reads leaves the file as it was.
    """
    each = INPUTS // share // PROCESSES
    with ThreadPoolExecutor(PROCESSES) as pool:
        found = list(
            pool.map(
                lambda number: run(kind, number * each, each, tmp_path / str(number)),
                range(PROCESSES),
            )
        )
    assert [line for one in found for line in one["wrong"]] == []
    assert sum(one["inputs"] for one in found) == each * PROCESSES
    assert sum(one["accepted"] for one in found) > LEAST_READ * each * PROCESSES
