"""Random bytes from a bad line, in the wizard and at the line prompts: nothing breaks."""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pty_terminal import PtyTerminal

from faults import EXAMPLE
from legtaper.files.store import load

pytestmark = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="reads /proc")

LEGTAPER = Path(sys.executable).with_name("legtaper")
KEYS = (b"\x1b[A", b"\x1b[B", b"\t", b"\r", b"\x1b", b"5/8 in", b"\x1b[6~", b"\x1b[5~", b"\x7f")
SESSIONS = int(os.environ.get("LEGTAPER_NOISE", "3"))


def noise(chance: random.Random) -> bytes:
    """Return some bytes: most of them noise, some of them keys, none that would end the program."""
    parts = [
        chance.choice(KEYS) if chance.random() < 0.4 else chance.randbytes(chance.randrange(1, 30))
        for _ in range(20)
    ]
    return b"".join(parts).translate(None, b"\x03\x11\x1a\x04\x1c")


@pytest.fixture
def surroundings(tmp_path: Path) -> dict[str, str]:
    """Return a common terminal of a new account."""
    return {"PATH": os.environ["PATH"], "TERM": "xterm-256color", "LANG": "C.UTF-8",
            "HOME": str(tmp_path)}  # fmt: skip


@pytest.mark.parametrize("seed", range(SESSIONS))
def test_the_wizard_goes_on(tmp_path: Path, surroundings: dict[str, str], seed: int) -> None:
    """After a burst of noise the wizard still draws, and what is on disk is a project."""
    chance, project = random.Random(seed), tmp_path / "courier.toml"
    shutil.copy(EXAMPLE, project)
    with PtyTerminal([LEGTAPER, "open", project], surroundings, size=(80, 24)) as terminal:
        terminal.wait_for("F10 quit")
        for _ in range(6):
            terminal.send(noise(chance))
            terminal.settle()
            assert terminal.process.poll() is None, terminal.text
        assert "Traceback" not in terminal.text
    assert load(project).name
    assert not list(tmp_path.rglob("fault.log"))


@pytest.mark.parametrize("seed", range(SESSIONS))
def test_the_line_prompts_end_soundly(
    tmp_path: Path, surroundings: dict[str, str], seed: int
) -> None:
    """Whatever comes through a pipe, the prompts end without a fault of the program."""
    chance, project = random.Random(seed), tmp_path / "courier.toml"
    shutil.copy(EXAMPLE, project)
    typed = b"\n".join(noise(chance) for _ in range(12)) + b"\nquit\n"
    done = subprocess.run(
        [LEGTAPER, "open", project, "--plain"],
        input=typed, capture_output=True, timeout=60, env=surroundings, check=False,
    )  # fmt: skip
    assert done.returncode in (0, 2), done.stderr
    assert b"Traceback" not in done.stdout + done.stderr
    assert b"fault in the program" not in done.stderr
    assert load(project).name
