"""Little memory, few open files: the answer, or one line that says what is lacking."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

resource = pytest.importorskip("resource")

EXAMPLE = Path(__file__).parents[2] / "examples" / "courier.toml"
LEGTAPER = Path(sys.executable).with_name("legtaper")


def run(home: Path, kind: int, most: int, *words: str) -> subprocess.CompletedProcess[str]:
    """Run a command on a copy of the example, in its folder, with so much of a resource."""

    def limit() -> None:
        resource.setrlimit(kind, (most, most))

    shutil.copy(EXAMPLE, home / "p.toml")
    return subprocess.run(
        [LEGTAPER, *words],
        cwd=home,
        env={"HOME": str(home), "PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"},
        preexec_fn=limit,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


@pytest.mark.parametrize("words", [("check", "p.toml"), ("export", "p.toml", "out.pdf")])
def test_too_little_memory_is_said_in_one_line(tmp_path: Path, words: tuple[str, ...]) -> None:
    """Where the libraries can not be loaded, that is no fault of the program; no file is begun."""
    done = run(tmp_path, resource.RLIMIT_AS, 150_000 * 1024, *words)
    if done.returncode == 0 or not done.stderr.startswith("legtaper:"):
        pytest.skip("so much is enough here, or too little for Python itself")
    assert done.returncode == 70
    assert "too little memory" in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert not list(tmp_path.glob("*out*"))


@pytest.mark.parametrize(
    "words",
    [("check", "p.toml"), ("mend", "p.toml", "--take", "1"), ("export", "p.toml", "out.dxf"),
     ("export", "p.toml", "--leg", "both", "--out", "out.pdf")],
    ids=" ".join,
)  # fmt: skip
def test_few_open_files_are_enough(tmp_path: Path, words: tuple[str, ...]) -> None:
    """Eight do for reading, saving and writing; nothing is left open that is read."""
    done = run(tmp_path, resource.RLIMIT_NOFILE, 8, *words)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()
