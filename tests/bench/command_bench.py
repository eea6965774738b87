"""Measure shell commands as whole processes, each against a script that draws the same lines.

The script imports numpy as it comes, with threads of its own; our commands keep it to one. What
that is worth shows beside `check`, where a line more has both on one.

`python tests/bench/command_bench.py [ROUNDS]`; processor time of the process, turn and turn about,
medians. The first round, which writes the byte code, is thrown away.
"""

from __future__ import annotations

import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

from legtaper.files.store import load
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.pattern import build
from legtaper_wizard.cli.main import main as main_command

HERE = Path(__file__).parent
LEGTAPER = str(Path(sys.executable).with_name("legtaper"))
EXAMPLE = HERE.parents[1] / "examples" / "courier.toml"
ROUNDS = 9
TARGET = 1.4
HELP_TARGET = 1.3
HELP_ROUNDS = 15  # they are short
LIMIT = 60  # s a process may take
Pair = tuple[Sequence[str], Sequence[str]]
TOLD, DRAWN = ("check", "marks"), ("svg", "pdf", "dxf")


def processor_time(command: Sequence[str], surroundings: dict[str, str]) -> float:
    """Return the ms of processor time that a whole process takes."""
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run(command, env=surroundings, stdout=subprocess.DEVNULL, check=False, timeout=LIMIT)
    after = getrusage(RUSAGE_CHILDREN)
    return 1000 * (after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)


def bare_help() -> str:
    """Return a program of click alone that has as many commands as ours."""
    many = '@main.command()\ndef c{i}(): "Do {i}."\n'
    commands = "".join(many.format(i=i) for i in range(len(main_command.commands)))
    return f"import click\n@click.group()\ndef main(): pass\n{commands}main(['--help'])"


def job_of(project: Path, pages: int) -> dict[str, object]:
    """Return what the baseline draws and prints: the lines of our own drawing."""
    drawing = draw_pattern(build(load(project)))
    told = {
        kind: subprocess.run(
            [LEGTAPER, kind, project], capture_output=True, text=True, check=False, timeout=LIMIT
        ).stdout
        for kind in TOLD
    }
    pieces = [
        {
            "name": piece.name,
            "strokes": [stroke.points.tolist() for stroke in piece.strokes],
            "labels": [(label.text, *map(float, label.at)) for label in piece.labels],
        }
        for piece in drawing.pieces
    ]
    size = {"width": drawing.width, "height": drawing.height}
    return {"pieces": pieces, "pages": pages, "says": told, **size}


def lines(rounds: int = ROUNDS) -> Iterator[str]:
    """Measure, and yield a line for each command."""
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home)
        surroundings = {**os.environ, "HOME": home}
        for name in ("PYTHONDONTWRITEBYTECODE", "OPENBLAS_NUM_THREADS"):
            surroundings.pop(name, None)  # the second is set by our own program, for itself
        project, job = folder / "mine.toml", folder / "lines.json"
        project.write_text(EXAMPLE.read_text())
        pdf = folder / "ours.pdf"
        subprocess.run([LEGTAPER, "export", project, pdf], check=False, capture_output=True,
                       timeout=LIMIT)  # fmt: skip
        pages = len(re.findall(rb"/Type /Page\b", pdf.read_bytes()))
        job.write_text(json.dumps(job_of(project, pages)))
        told = ([LEGTAPER, "--help"], [sys.executable, "-c", bare_help()])
        yield raced("legtaper --help / bare click", told, surroundings, HELP_ROUNDS, HELP_TARGET)
        bare = [sys.executable, str(HERE / "bare_command.py")]
        for kind in (*TOLD, *DRAWN):
            out = [str(folder / f"x.{kind}")] if kind in DRAWN else []
            verb = ["export", "-f"] if out else [kind]
            pair = ([LEGTAPER, *verb, str(project), *out],
                    [*bare, kind, str(project), str(job), *out])  # fmt: skip
            yield raced(f"legtaper {kind} / the same lines", pair, surroundings, rounds, TARGET)
            if kind == TOLD[0]:
                one = {**surroundings, "OPENBLAS_NUM_THREADS": "1"}
                name = f"legtaper {kind} / the same, numpy on one thread"
                yield raced(name, pair, one, rounds, None)
            if kind == "pdf":
                texts = [*bare, "paragraphs", *pair[1][len(bare) + 1 :]]
                name = "of it, with paragraphs loaded / without"
                yield raced(name, (texts, pair[1]), surroundings, rounds, None)


def raced(
    title: str, pair: Pair, surroundings: dict[str, str], rounds: int, target: float | None
) -> str:
    """Return the line of a command and of its baseline, run turn and turn about."""
    found: tuple[list[float], list[float]] = ([], [])
    for _ in range(rounds + 1):
        for command, times in zip(pair, found, strict=True):
            times.append(processor_time(command, surroundings))
    ours, plain = (statistics.median(times[1:]) for times in found)
    ratio = ours / plain
    most, verdict = "", ""
    if target is not None:
        most, verdict = f"{target:g}", "" if ratio <= target else "over"
    name = f"{title}, ms"
    return f"{name:<48}{ours:>9.0f}{plain:>9.0f}{ratio:>8.2f}{most:>8}  {verdict}"


def main(rounds: int = ROUNDS) -> None:
    """Print the table."""
    print(f"{rounds} rounds of whole processes, medians of processor time")
    for line in lines(rounds):
        print(line, flush=True)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
