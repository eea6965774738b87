"""The wizard killed at random moments while it is answered: what was shown as saved is saved."""

from __future__ import annotations

import random
import re
import shutil
import signal
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import cycle, islice
from pathlib import Path

import pytest
from pty_terminal import PtyTerminal

from faults import EXAMPLE, KILLS, LEGTAPER, surroundings
from legtaper.files.store import Store, load

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="reads processes as Linux shows them"
)

ROWS = {
    "Height": "height", "Waist": "waist", "High hip": "high_hip", "Hip": "hip", "Thigh": "thigh",
    "Knee": "knee", "Knee, bent": "knee_bent", "Calf": "calf", "Ankle": "ankle",
}  # fmt: skip
SHOWN = re.compile(r"^[^>] (\w[\w, ]*?)  +(\d+\.\d+ cm)\s+=", re.MULTILINE)  # not the cursor's row
OTHERS = ("term", "hup", "hang up", "stall", "stop and hang up")
AT_ONCE = 2
EARLY, LATE = 0.2, 1.9  # s after the start


@dataclass
class Seen:
    """What the kills showed."""

    kills: int = 0
    others: int = 0
    shown: int = 0


def _end(terminal: PtyTerminal, way: str) -> None:
    """End the wizard in one way; where nobody reads, it must end all the same."""
    process = terminal.process
    if way == "stall":  # what is drawn from here on stays unread
        terminal.press(*["ctrl+l"] * 30)
        process.send_signal(signal.SIGTERM)
    elif way == "hang up":
        terminal.hang_up()
    elif way == "stop and hang up":
        process.send_signal(signal.SIGSTOP)
        terminal.hang_up()
        process.send_signal(signal.SIGCONT)
    else:
        process.send_signal(
            {"kill": signal.SIGKILL, "term": signal.SIGTERM, "hup": signal.SIGHUP}[way]
        )
    terminal.wait_exit(reading=way in ("kill", "term", "hup"))


def _answer_until(terminal: PtyTerminal, chance: random.Random, until: float, serial: int) -> int:
    """Type answers that count upwards, as fast as they come, until a moment; return the count."""
    for sign, keys in (("F10 quit", ["f3"]), ("All steps", ["2"]), ("Step 2 of", [])):
        while sign not in terminal.text:
            if time.monotonic() > until or terminal.process.poll() is not None:
                return serial
            terminal.pump(0.01)
        terminal.press(*keys)
    while time.monotonic() < until and terminal.process.poll() is None:
        serial += 1
        # Enter behind it agrees where the answer looks like a slip, as 40 cm of height does.
        leaving = chance.choice(("\r", "\t", "\x1b[B"))
        terminal.send("\x15" + f"{40 + serial / 1000:.3f} cm" + leaving + "\r")
        if serial % 5 == 0:
            terminal.press(*["up"] * 4)
        terminal.settle(0.03, chance.choice((0.02, 0.1, 0.3)))
    return serial


def _once(
    file: Path, chance: random.Random, end: tuple[str, float], serial: int, seen: Seen
) -> int:
    """Open, answer, end, and compare what stood on the screen with what is in the file.

    end: in which way, and how many seconds after the start.
    """
    way, after = end
    with PtyTerminal([LEGTAPER, "open", file], surroundings(file.parent)) as terminal:
        serial = _answer_until(terminal, chance, time.monotonic() + after, serial)
        _end(terminal, way)
        text = terminal.text
    wearer = load(file).wearer
    for label, value in SHOWN.findall(text):
        if label in ROWS:
            saved = getattr(wearer, ROWS[label]).mm
            assert saved >= float(value.removesuffix(" cm")) * 10 - 1e-6, (label, value, saved)
            seen.shown += 1
    again = Store.open(file, for_writing=True)
    assert not again.read_only, again.why_read_only
    again.close()
    load(again.backup if again.backup.exists() else file)
    assert not list(file.parent.glob("*.part")), "a half-written file was left for good"
    return serial


def _kills(number: int, folder: Path) -> Seen:
    """Kill the wizard over one file its share of times, and end it in other ways in between."""
    folder.mkdir()
    file = folder / "courier.toml"
    shutil.copy(EXAMPLE, file)
    chance, seen, serial = random.Random(number), Seen(), 0
    others = [*islice(cycle(OTHERS), max(len(OTHERS), KILLS // 3))][number::AT_ONCE]
    ways = ["kill"] * (KILLS // AT_ONCE) + others
    # One in each part of the time, in any order: few already come early, late and in between.
    moments = [EARLY + (LATE - EARLY) * (i + chance.random()) / len(ways) for i in range(len(ways))]
    chance.shuffle(ways)
    chance.shuffle(moments)
    for end in zip(ways, moments, strict=True):
        serial = _once(file, chance, end, serial, seen)
        if end[0] == "kill":
            seen.kills += 1
        else:
            seen.others += 1
    return seen


def test_what_was_shown_as_saved_survives_every_end(tmp_path: Path) -> None:
    """After each kill the file loads, holds every answer on the screen, and can be had again."""
    with ThreadPoolExecutor(AT_ONCE) as pool:
        found = list(pool.map(lambda n: _kills(n, tmp_path / str(n)), range(AT_ONCE)))
    kills, shown = sum(one.kills for one in found), sum(one.shown for one in found)
    print(f"{kills} kills, {sum(one.others for one in found)} other ends, {shown} answers compared")
    assert kills >= KILLS // AT_ONCE * AT_ONCE
    assert shown > kills
