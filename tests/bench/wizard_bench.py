"""Measure the wizard on a pty against a bare Textual app, in one run, turn and turn about.

`python tests/bench/wizard_bench.py [ROUNDS]` prints what is typical, the ratios and the targets.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import termios
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import cycle
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "wizard"))

from pty_terminal import PtyTerminal  # noqa: E402  after the path to it is set

LEGTAPER = Path(sys.executable).with_name("legtaper")
EXAMPLE = HERE.parents[1] / "examples" / "courier.toml"
SIZE = (120, 40)
ANSWER = "15 5/8 in"
TAKEN = ("15 1/2 in", "15 5/8 in", "15 3/4 in")
"""Answers that are taken, over and over; the first of a sitting also keeps a copy, and is not
timed."""
READY = "F10 quit"
DRAWN = "To scale."  # below the picture, which comes with all the rest
PAUSE = 0.12  # s between two keys
SLOW = 0.4  # s between two keys that are looked for; above what the drawing waits
ALL_SENT = 0.1  # s without output after which what follows from an answer is there
UNSEEN = 0.3  # s without output before a key is timed; a bare Input's cursor blinks every 0.5 s
FRAME = 1 / 60  # s at least between two paints of a bare app
ROUNDS = 6
BYTE_ROUNDS = 2
"""Rounds that count bytes: they hardly differ, and waiting for the last one takes long."""
PATIENCE = 60.0  # s for anything that is waited for


class Target(NamedTuple):
    """A measured thing: how it is called, in what unit, and what it may be.

    at_most: `None` says that the line only shows what others are made of.
    """

    name: str
    unit: str
    at_most: float | None
    ratio: bool


class Extent(NamedTuple):
    """How much is looked at in a round.

    starts: of each kind. keys, answers: how many are timed. back, on: steps. quiet: s. still: s
    without output after which no more is waited for; unseen: the same before a key is timed.
    pace: s between two keys; slow: the same where each is looked for.
    """

    starts: int = 3
    keys: int = 14
    answers: int = 6
    back: int = 5
    on: int = 8
    quiet: float = 3.0
    still: float = 0.5
    unseen: float = UNSEEN
    pace: float = PAUSE
    slow: float = SLOW


WHOLE, SHORT = Extent(), Extent(1, 1, 1, 1, 1, 0.1, 0.1, 0.1, 0.01, 0.01)

TARGETS = {
    "new": Target("form usable, start screen", "ms", 1.25, True),
    "form": Target("form usable, project resumed", "ms", 1.25, True),
    "drawn": Target("all of it drawn, project resumed", "ms", 1.5, True),
    "first": Target("form usable and all drawn, never opened", "ms", 1.5, True),
    "libraries": Target("of it, a bare app with the libraries of a form", "ms", None, True),
    "numpy": Target("of it, a bare app that loads numpy, drawn", "ms", None, True),
    "key": Target("first output for a key", "ms", 1.7, True),
    "saved": Target("an answer, typed and taken, to saved and shown", "ms", 1.5, True),
    "paused": Target("the same, taken 0.4 s after it was typed", "ms", 1.5, True),
    "filed": Target("of it, from Enter until the file is in its place", "ms", None, True),
    "shown": Target("of it, from then until all is shown", "ms", None, True),
    "exit": Target("exit", "ms", 1.1, True),
    "memory": Target("memory, highest", "MB", 1.5, True),
    "numpy memory": Target("of it, a bare app that loads numpy", "MB", None, True),
    "answer": Target("a key of a typed answer, with drawing", "bytes", 816, False),
    "slow": Target("a slowly typed key, with the drawing", "bytes", 800, False),
    "step": Target("a step change, mean of all", "bytes", 3500, False),
    "worst step": Target("a step change, the largest", "bytes", 3500, False),
    "idle": Target("idle", "bytes", 0, False),
}
BARE = (sys.executable, str(HERE / "bare_app.py"))
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1"}
"""As the wizard loads numpy."""
LIBRARIES = ("click", "filelock:FileLock", "tomllib", "json")
"""What a form needs of others besides Textual."""
BARE_SAVING = (sys.executable, str(HERE / "bare_saving.py"))

Samples = dict[str, list[float]]


def environ(home: Path) -> dict[str, str]:
    """Return the surroundings of a common terminal, with the folders of a new account."""
    names = ("PATH", "LD_LIBRARY_PATH", "PYTHONPATH")
    kept = {name: os.environ[name] for name in names if name in os.environ}
    return kept | {"TERM": "xterm-256color", "LANG": "C.UTF-8", "HOME": str(home)}


def usable(terminal: PtyTerminal) -> float:
    """Return the ms from the start until the form is drawn and a key shows in it."""
    until = time.monotonic() + PATIENCE
    while terminal.modes & termios.ICANON:  # before that, the kernel itself would show the key
        terminal.pump(0.001)
        in_time(until, terminal)
    while "#" not in terminal.text:  # what is typed before the form has the focus is lost
        terminal.type("#")
        terminal.pump(0.01)
        in_time(until, terminal)
    return (time.perf_counter() - terminal.started) * 1000


def in_time(until: float, terminal: PtyTerminal) -> None:
    """Raise `TimeoutError` with the screen where what is waited for does not come."""
    if time.monotonic() > until:
        raise TimeoutError(f"not within {PATIENCE:.0f} s; on the screen:\n{terminal.text}")


def painted(terminal: PtyTerminal, ready: str) -> float:
    """Return the ms from the start until the first paint."""
    terminal.wait_for(ready, patience=PATIENCE)
    return (time.perf_counter() - terminal.started) * 1000


def first_outputs(terminal: PtyTerminal, extent: Extent) -> list[float]:
    """Return the ms from each key to the first output for it."""
    waits = []
    for _ in range(extent.keys):
        terminal.settle(extent.unseen)
        begun = time.perf_counter()
        terminal.type("1")
        until = time.monotonic() + PATIENCE
        while not terminal.pump(1):
            in_time(until, terminal)
        waits.append((time.perf_counter() - begun) * 1000)
    return waits


def bytes_of(terminal: PtyTerminal, act: Callable[[], None], extent: Extent) -> int:
    """Return the bytes that come for an act, until nothing more does."""
    terminal.settle(extent.still)
    before = terminal.bytes_out
    act()
    terminal.settle(extent.still)
    return terminal.bytes_out - before


def leave(terminal: PtyTerminal, key: str) -> float:
    """Return the ms from the key that ends the program to its end."""
    begun = time.perf_counter()
    terminal.press(key)
    terminal.wait_exit()
    return (time.perf_counter() - begun) * 1000


def measure_starts(
    wizard: Samples, bare: Samples, surroundings: dict[str, str], project: Path, number: int
) -> None:
    """Add one sample of every start, turn and turn about.

    An account without a recent project is asked something else; a copy was never opened.
    """
    unopened = project.with_name(f"{project.stem}-{number}.toml")
    unopened.write_bytes(project.read_bytes())
    with PtyTerminal(BARE, surroundings, size=SIZE) as terminal:
        first = painted(terminal, "ready")
        for key in ("new", "form", "drawn", "first", "libraries", "numpy"):
            bare[key].append(first)
    with PtyTerminal([*BARE, "numpy"], surroundings | ONE_THREAD, size=SIZE) as terminal:
        wizard["numpy"].append(painted(terminal, "ready"))
    with PtyTerminal([*BARE, *LIBRARIES], surroundings, size=SIZE) as terminal:
        wizard["libraries"].append(painted(terminal, "ready"))
    with PtyTerminal([LEGTAPER], environ(project.parent / "new"), size=SIZE) as terminal:
        wizard["new"].append(usable(terminal))
    with PtyTerminal([LEGTAPER, "open", unopened], surroundings, size=SIZE) as terminal:
        wizard["first"].append(usable(terminal))
    with PtyTerminal([LEGTAPER, "open", project], surroundings, size=SIZE) as terminal:
        wizard["form"].append(usable(terminal))
    with PtyTerminal([LEGTAPER, "open", project], surroundings, size=SIZE) as terminal:
        wizard["drawn"].append(painted(terminal, DRAWN))


def measure_use(
    wizard: Samples, bare: Samples, surroundings: dict[str, str], project: Path, extent: Extent
) -> None:
    """Add samples of keys, memory and the end. The project is left where the wizard begins it."""
    with PtyTerminal(BARE, surroundings, size=SIZE) as terminal:
        painted(terminal, "ready")
        bare["key"] += first_outputs(terminal, extent)
        for key in ("memory", "numpy memory"):
            bare[key].append(terminal.peak_memory() / 1024)
        bare["exit"].append(leave(terminal, "ctrl+q"))
    with PtyTerminal([*BARE, "numpy"], surroundings | ONE_THREAD, size=SIZE) as terminal:
        painted(terminal, "ready")
        terminal.settle(extent.unseen)
        wizard["numpy memory"].append(terminal.peak_memory() / 1024)
    with PtyTerminal([LEGTAPER, "open", project], surroundings, size=SIZE) as terminal:
        usable(terminal)
        wizard["key"] += first_outputs(terminal, extent)
        terminal.settle(extent.still)
        wizard["memory"].append(terminal.peak_memory() / 1024)
        terminal.press("ctrl+u")  # the wizard asks about what it could not read before it ends
        terminal.settle(extent.still)
        wizard["exit"].append(leave(terminal, "f10"))


def measure_bytes(
    found: Samples, surroundings: dict[str, str], project: Path, extent: Extent
) -> None:
    """Add one sample of what only the wizard is asked: how much it sends."""
    with PtyTerminal([LEGTAPER, "open", project], surroundings, size=SIZE) as terminal:
        terminal.wait_for(DRAWN, patience=PATIENCE)
        found["idle"].append(bytes_of(terminal, lambda: terminal.settle(extent.quiet), extent))
        for name, pace in (("answer", extent.pace), ("slow", extent.slow)):
            terminal.press("ctrl+u")
            typed = bytes_of(terminal, lambda s=pace: at_an_even_pace(terminal, s), extent)
            found[name].append(typed / len(ANSWER))
    with PtyTerminal([LEGTAPER, "open", project], surroundings, size=SIZE) as terminal:
        terminal.wait_for(READY, patience=PATIENCE)
        walk = ["pageup"] * extent.back + ["pagedown"] * extent.on
        steps = [bytes_of(terminal, lambda key=key: terminal.press(key), extent) for key in walk]
        found["step"].append(statistics.mean(steps))
        found["worst step"].append(max(steps))


def measure_saving(
    wizard: Samples, bare: Samples, surroundings: dict[str, str], project: Path, extent: Extent
) -> None:
    """Add samples of answers taken, and of the same keys, bytes and cells in a bare app.

    Textual paints sixty times a second at most, so that an Enter right after a key waits for its
    turn to be shown, in a bare app as well: the Enters fall into all parts of such a turn alike.
    """
    turns, taken = range(extent.answers + 1), cycle(TAKEN)
    for key, pause in (("saved", 0.0), ("paused", SLOW)):
        answers = [next(taken) for _ in turns]
        waits = [pause or FRAME * turn / len(turns) for turn in turns]
        with PtyTerminal([LEGTAPER, "open", project], surroundings, size=SIZE) as terminal:
            terminal.wait_for(DRAWN, patience=PATIENCE)
            ours, cells = [], []
            for answer, wait in zip(answers, waits, strict=True):
                before = type_answer(terminal, answer, f"[{answer}", wait)
                ours.append(saved(terminal, project))
                now = looks(terminal)
                cells.append(sum(old != new for old, new in zip(before, now, strict=True)))
                terminal.press("up")
                terminal.settle(ALL_SENT)
        if answers[-1] not in project.read_text():
            raise ValueError(f"{answers[-1]} is not in the project")
        note(wizard, key, ours[1:])
        copy = project.with_name("plain.toml")
        copy.write_bytes(project.read_bytes())
        count = str(round(statistics.median(cells[1:])))
        with PtyTerminal([*BARE_SAVING, copy, count], surroundings, size=SIZE) as terminal:
            terminal.wait_for("ready", patience=PATIENCE)
            plain = []
            for answer, wait in zip(answers, waits, strict=True):
                terminal.settle(ALL_SENT)
                type_answer(terminal, answer, answer, wait)
                plain.append(saved(terminal, copy))
            note(bare, key, plain[1:])


def note(found: Samples, key: str, saves: Sequence[tuple[float, float]]) -> None:
    """Add several saves; of those after a pause what they are made of, too."""
    found[key] += [whole for _, whole in saves]
    if key == "paused":
        found["filed"] += [filed for filed, _ in saves]
        found["shown"] += [whole - filed for filed, whole in saves]


def type_answer(terminal: PtyTerminal, answer: str, shown: str, wait: float) -> list[object]:
    """Type an answer in the place of the one before; return what the screen shows a while on.

    wait: s from the last paint on, as far as the terminal is done with it by then.
    """
    terminal.press("ctrl+u")
    terminal.settle(ALL_SENT)  # in a bare app the key would overtake what is typed after it
    terminal.type(answer)
    terminal.wait_for(shown, patience=PATIENCE)
    begun, before = terminal.last_read, looks(terminal)
    while (left := begun + wait - time.perf_counter()) > 0:
        if terminal.pump(left):
            before = looks(terminal)
    return before


def looks(terminal: PtyTerminal) -> list[object]:
    """Return what each cell of the screen shows, and how."""
    screen = terminal.screen
    return [screen.buffer[y][x] for y in range(screen.lines) for x in range(screen.columns)]


def saved(terminal: PtyTerminal, path: Path) -> tuple[float, float]:
    """Return the ms from Enter until the file is another one, and until the last new cell came."""
    before, until = path.stat().st_ino, time.monotonic() + PATIENCE
    begun = time.perf_counter()
    terminal.press("enter")
    while path.stat().st_ino == before:
        terminal.pump(0.0002)
        in_time(until, terminal)
    filed = time.perf_counter() - begun
    while terminal.pump(ALL_SENT):
        in_time(until, terminal)
    return filed * 1000, (terminal.last_read - begun) * 1000


def at_an_even_pace(terminal: PtyTerminal, pace: float) -> None:
    """Type an answer as someone does who knows it."""
    for letter in ANSWER:
        terminal.type(letter)
        until = time.monotonic() + pace
        while (left := until - time.monotonic()) > 0:
            terminal.pump(left)


def typical(samples: Sequence[float]) -> float:
    """Return the mean of the middle half.

    As deaf to a pause of the machine as a median is, and steadier where waits lie far apart.
    """
    cut = len(samples) // 4
    return statistics.mean(sorted(samples)[cut : len(samples) - cut])


def in_halves(samples: Sequence[float]) -> tuple[Sequence[float], Sequence[float]]:
    """Return the samples of the first half of the run and those of the second."""
    middle = len(samples) // 2
    return samples[:middle] or samples, samples[middle:]


def table(wizard: Samples, bare: Samples) -> str:
    """Return what is typical, ratios and targets as lines of text.

    The last column has the same of either half of the run: how far they lie apart is how steady
    a line is.
    """
    rows = [("", "wizard", "bare", "ratio", "target", "", "by halves")]
    for key, target in TARGETS.items():
        ours, base = wizard[key], bare[key] if target.ratio else [1.0, 1.0]
        value = typical(ours) / typical(base)
        pairs = zip(in_halves(ours), in_halves(base), strict=True)
        halves = [typical(half) / typical(of) for half, of in pairs]
        most, verdict = "", ""
        if target.at_most is not None:
            most, verdict = f"{target.at_most:g}", "ok" if value <= target.at_most else "over"
        beside, ratio = (f"{typical(base):.4g}", f"{value:.2f}") if target.ratio else ("", "")
        steady = " ".join(f"{half:.3g}" for half in halves)
        name, ours_said = f"{target.name}, {target.unit}", f"{typical(ours):.4g}"
        rows.append((name, ours_said, beside, ratio, most, verdict, steady))
    return "\n".join(
        f"{row[0]:<52}{row[1]:>8}{row[2]:>8}{row[3]:>8}{row[4]:>8}  {row[5]:<5} {row[6]}"
        for row in rows
    )


def narrowing_next(folder: Path) -> Path:
    """Return a copy of the example that stands at the question how much comes off."""
    text = EXAMPLE.read_text()
    before, _, after = text.partition("[[design]]")
    project = folder / "courier.toml"
    project.write_text(
        before + "[allowance]" + after.partition("[allowance]")[2].partition("[[")[0]
    )
    return project


def sample(rounds: int, warm: int = 1, extent: Extent = WHOLE) -> tuple[Samples, Samples]:
    """Measure turn and turn about, each round in a new account.

    What the first `warm` rounds give, which are short, is thrown away.
    """
    wizard: Samples = defaultdict(list)
    bare: Samples = defaultdict(list)
    for done in range(rounds + warm):
        much = SHORT if done < warm else extent
        with tempfile.TemporaryDirectory() as folder:
            surroundings, project = environ(Path(folder)), narrowing_next(Path(folder))
            measure_use(wizard, bare, surroundings, project, much)
            for number in range(much.starts):
                measure_starts(wizard, bare, surroundings, project, number)
            if warm <= done < warm + BYTE_ROUNDS:
                measure_bytes(wizard, surroundings, project, much)
            measure_saving(wizard, bare, surroundings, project, much)
        if done < warm:
            wizard.clear()
            bare.clear()
    return wizard, bare


def main(rounds: int = ROUNDS) -> None:
    """Print the table."""
    wizard, bare = sample(rounds)
    print(f"{rounds} rounds at {SIZE[0]}x{SIZE[1]}, means of the middle halves")
    print(table(wizard, bare))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
