"""Little memory, few open files: the answer, or one line that says what is lacking."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

resource = pytest.importorskip("resource")

EXAMPLE = Path(__file__).parents[2] / "examples" / "courier.toml"
LEGTAPER = Path(sys.executable).with_name("legtaper")


def checked(home: Path, kind: int, most: int) -> subprocess.CompletedProcess[str]:
    """Run `check` with so much of a resource."""

    def limit() -> None:
        resource.setrlimit(kind, (most, most))

    return subprocess.run(
        [LEGTAPER, "check", EXAMPLE],
        env={"HOME": str(home), "PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"},
        preexec_fn=limit,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


def test_too_little_memory_is_said_in_one_line(tmp_path: Path) -> None:
    """Where the libraries can not be loaded, that is no fault of the program."""
    done = checked(tmp_path, resource.RLIMIT_AS, 150_000 * 1024)
    if done.returncode == 0 or not done.stderr.startswith("legtaper:"):
        pytest.skip("so much is enough here, or too little for Python itself")
    assert done.returncode == 70
    assert "too little memory" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_few_open_files_are_enough(tmp_path: Path) -> None:
    """Sixteen do; nothing is left open that is read."""
    done = checked(tmp_path, resource.RLIMIT_NOFILE, 16)
    assert done.returncode == 0, done.stderr
    assert "Nothing fails" in done.stdout
