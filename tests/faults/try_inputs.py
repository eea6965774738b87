"""Give spoiled files to the commands, within limits of time and memory; a process of its own.

Called as `try_inputs.py KIND FIRST COUNT FOLDER`: the seeds FIRST to FIRST + COUNT - 1 in FOLDER.
Prints one JSON object of what was tried and what went wrong.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import sys
import time
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from types import FrameType

from click.testing import CliRunner
from mutate import DXF_WORDS, SVG_WORDS, TOML_WORDS, mutated

from legtaper_wizard.cli import main as cli

EXAMPLES = Path(__file__).parents[2] / "examples"
MOST_SECONDS = 2.0
MOST_MEMORY = 500_000_000
FAULT = "a fault in the program"

OUTLINES = {"svg": ("front", "back"), "dxf": ("unaltered-front", "unaltered-back")}
DESIGN = '[[design]]\nname = "some"\n[design.take_in]\nhem = "10 mm"\n'

Call = tuple[Sequence[str], str]


@dataclass
class Tried:
    """What came of it."""

    inputs: int = 0
    commands: int = 0
    accepted: int = 0
    slowest: float = 0.0
    wrong: list[str] = field(default_factory=list)


class TookTooLongError(BaseException):
    """Not to be caught by what is tried."""


def _too_long(_number: int, _frame: FrameType | None) -> None:
    raise TookTooLongError


def _calls(kind: str, file: Path, seed: int) -> Iterator[Call]:
    """Give the calls for one input: the one that says whether it can be read, and one or two more.

    What each is, goes round with the seed, so that every command meets every kind of spoiling.
    """
    if kind != "toml":
        made = file.with_name("made.toml")
        made.unlink(missing_ok=True)
        front, back = OUTLINES[kind]
        drawing = [f"--from-{kind}", str(file), "--front", front, "--back", back]
        yield ["begin", str(made), *drawing], ""
        with made.open("a") as project:
            project.write(DESIGN)
        yield ["check", str(made), "--json"], ""
        if seed % 3 == 0:
            out = str(file.with_name("out.svg"))
            yield ["export", str(made), out, "--leg", "both", "--force"], ""
        return
    name = str(file)
    yield ["check", name, "--json"], ""
    out = [file.with_name(f"out.{ending}") for ending in ("svg", "dxf", "pdf")]
    more: list[Call] = [
        (["check", name], ""),
        (["draw", name, "--width", "80"], ""),
        (["draw", name, "--view", "front", "--ascii"], ""),
        (["marks", name, "--csv"], ""),
        (["marks", name, "--json"], ""),
        (["compare", name], ""),
        (["compare", name, "--json"], ""),
        (["round", name], ""),
        (["round", name, "--printed"], ""),
        (["export", name, str(out[0]), "--leg", "both", "--force"], ""),
        (["export", name, str(out[1]), "--force"], ""),
        (["open", name, "--plain"], "answers\nsteps\n\nmore\n\nback\n5/8\nundo\nquit\n"),
        (["limits", name, "--json"], ""),
        (["export", name, str(out[2]), "--force"], ""),
    ]
    yield more[seed % len(more)]


def _unsafe(text: str) -> str:
    """Return the first character that a terminal must not get, or ""."""
    kinds = ("Cc", "Cf", "Cs")
    odd = (c for c in text if c not in "\n\u200c\u200d" and unicodedata.category(c) in kinds)
    return next(odd, "")


def _wrong(call: Call, status: int | None, out: str, err: str) -> str:
    """Return what is wrong with an answer, or ""."""
    if FAULT in err or "Traceback" in out + err:
        return f"a traceback: {_log()}"
    if status not in (0, 1, 2):
        return f"exit status {status}"
    if status == 2 and err.count("\n") != 1 and "--plain" not in call[0]:
        return f"{err.count(chr(10))} lines of error"
    told = [line for line in err.splitlines() if ": [FAILS] " not in line]
    if (status == 0 and err) or (status == 1 and told):  # a pattern that fails is written and told
        return f"on standard error: {err[:300]}"
    if odd := _unsafe(out + err):
        return f"{odd!r} on the terminal"
    if status != 2 and "--json" in call[0]:
        json.loads(out, parse_constant=_no_number)
    return ""


def _no_number(name: str) -> float:
    raise ValueError(f"{name} is no JSON")


def _log() -> str:
    return "\n".join(path.read_text() for path in Path.home().rglob("fault.log"))[-900:]


def _try(kind: str, seed: int, data: bytes, folder: Path, tried: Tried) -> None:
    file = folder / f"spoiled.{kind}"
    for number, call in enumerate(_calls(kind, file, seed)):
        file.write_bytes(data)
        begun = time.process_time()
        signal.setitimer(signal.ITIMER_REAL, 20)
        try:
            result = CliRunner().invoke(cli.main, call[0], input=call[1])
            out, err, status = result.stdout, result.stderr, result.exit_code
        except TookTooLongError:
            tried.wrong.append(f"seed {seed}: {call[0][0]} takes for ever")
            return
        finally:
            signal.setitimer(signal.ITIMER_REAL, 0)
        took = time.process_time() - begun
        tried.commands += 1
        tried.slowest = max(tried.slowest, took)
        wrong = _wrong(call, status, out, err)
        if took > MOST_SECONDS:
            wrong = wrong or f"took {took:.1f} s"
        changes = call[0][0] == "open" or bool({"--printed", "both"} & set(call[0]))
        if file.read_bytes() != data and not (changes and status != 2):
            wrong = wrong or "changed its input"
        if wrong:
            tried.wrong.append(f"seed {seed}: {' '.join(call[0])}: {wrong}")
        if status == 2:
            return
        tried.accepted += number == 0


def sources(kind: str) -> list[bytes]:
    """Return the good files to spoil."""
    found = [path.read_bytes() for path in sorted(EXAMPLES.glob(f"*.{kind}"))]
    if kind == "toml":
        found.append((EXAMPLES.parent / "tests/core/data/contract_sample.toml").read_bytes())
    return found


WORDS = {"toml": TOML_WORDS, "svg": SVG_WORDS, "dxf": DXF_WORDS}


def main() -> None:
    """Try the seeds that the call names."""
    kind, first, count, folder = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), Path(sys.argv[4])
    os.environ |= {"HOME": str(folder), "XDG_STATE_HOME": str(folder), "COLUMNS": "80"}
    good, tried = sources(kind), Tried()
    for seed in range(14 if kind == "toml" else 1):  # all is imported before memory is counted
        _try(kind, seed, good[0], folder, Tried())
    signal.signal(signal.SIGALRM, _too_long)
    pages = int(Path("/proc/self/statm").read_text().split()[0])
    most = pages * os.sysconf("SC_PAGE_SIZE") + MOST_MEMORY
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    for seed in range(first, first + count):
        _try(kind, seed, mutated(seed, good, WORDS[kind]), folder, tried)
        tried.inputs += 1
    print(json.dumps(asdict(tried)))


if __name__ == "__main__":
    main()
