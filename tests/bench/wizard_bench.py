"""Measure the wizard on a pty against a bare Textual app, in one run, turn and turn about.

`python tests/bench/wizard_bench.py [ROUNDS]` prints the medians, their ratios and the targets.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import termios
import time
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "wizard"))

from pty_terminal import PtyTerminal  # noqa: E402  after the path to it is set

LEGTAPER = Path(sys.executable).with_name("legtaper")
EXAMPLE = HERE.parents[1] / "examples" / "courier.toml"
SIZE = (120, 40)
ANSWER = "2 1/2 in"
PAUSE = 0.12  # s between two keys of someone who types with care
ROUNDS = 9


class Program(NamedTuple):
    """What to run, what shows that its form is there, and how it is left."""

    argv: tuple[str, ...]
    ready: str
    leave: str = "ctrl+q"


class Target(NamedTuple):
    """A measured thing: how it is called, in what unit, and what it may be."""

    name: str
    unit: str
    at_most: float
    ratio: bool


TARGETS = {
    "form": Target("form usable, new project", "ms", 1.35, True),
    "resume": Target("form usable, resumed project", "ms", 1.35, True),
    "key": Target("first output for a key", "ms", 2.2, True),
    "exit": Target("exit", "ms", 1.1, True),
    "memory": Target("memory, highest", "MB", 1.5, True),
    "help": Target("legtaper --help, against bare click", "ms", 1.5, True),
    "answer": Target("bytes a key, over a typed answer", "bytes", 1000, False),
    "step": Target("bytes a step change", "bytes", 6000, False),
    "idle": Target("bytes when idle, in 3 s", "bytes", 0, False),
}

Samples = dict[str, list[float]]


def environ(home: Path) -> dict[str, str]:
    """Return the surroundings of a common terminal, with the folders of a new account."""
    kept = {name: os.environ[name] for name in ("PATH", "LD_LIBRARY_PATH") if name in os.environ}
    return kept | {"TERM": "xterm-256color", "LANG": "C.UTF-8", "HOME": str(home)}


def usable(terminal: PtyTerminal, ready: str) -> float:
    """Return the ms from the start until the form is drawn and a key shows in it."""
    while terminal.modes & termios.ICANON:  # before that, the kernel itself would show the key
        terminal.pump(0.001)
    terminal.type("7")
    terminal.wait_for(ready)
    terminal.wait_for("7")
    return (time.perf_counter() - terminal.started) * 1000


def painted(terminal: PtyTerminal, ready: str) -> float:
    """Return the ms from the start until the first paint."""
    terminal.wait_for(ready)
    return (time.perf_counter() - terminal.started) * 1000


def first_output(terminal: PtyTerminal, keys: int = 9) -> float:
    """Return the median ms from a key to the first output for it."""
    waits = []
    for _ in range(keys):
        terminal.settle(0.4)
        begun = time.perf_counter()
        terminal.type("1")
        while not terminal.pump(1):
            pass
        waits.append((time.perf_counter() - begun) * 1000)
    return statistics.median(waits)


def bytes_of(terminal: PtyTerminal, act: Callable[[], None]) -> int:
    """Return the bytes that come for an act, until nothing more does."""
    terminal.settle(0.5)
    before = terminal.bytes_out
    act()
    terminal.settle(0.5)
    return terminal.bytes_out - before


def leave(terminal: PtyTerminal, key: str) -> float:
    """Return the ms from the key that ends the program to its end."""
    begun = time.perf_counter()
    terminal.press(key)
    terminal.wait_exit()
    return (time.perf_counter() - begun) * 1000
