"""How time and memory grow with the size of a project: a table of exponents.

`python tests/bench/growth.py` prints, for each thing that can be many, the time and the highest
memory at a small, a middle and a large number, and the exponent of the growth over the upper part:
1 is in proportion, 2 would be the square. Times are of the processor, medians; memory is what
Python and numpy asked for during one call.
"""

from __future__ import annotations

import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "core"))

import core_bench
import sample
import tracings

from legtaper.files.project_file import read_project, write_project
from legtaper.model.project import BlockTable, PanelOutline, Pinch, Project, Round
from legtaper.muslin import log as fittings
from legtaper.muslin import next_design as rounds
from legtaper.muslin.compare import changes, columns, latest, steps, tables
from legtaper.outputs import papers, pdf, svg
from legtaper.outputs.drawing import Drawing, Piece, Stroke
from legtaper.outputs.front_sheet import pattern_sheet
from legtaper.outputs.json_report import check_report
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.pattern import block_of, cut, fit

ROUNDS = 5
Work = Callable[[], object]


def with_levels(count: int) -> Project:
    """Return the sample project with that many levels, every seam measured at each."""
    table = sample.SAMPLE
    block = sample.block()
    added = {
        f"level_{i}": float(y)
        for i, y in enumerate(np.linspace(20, block.crotch - 3, max(0, count - len(table.height))))
        if min(abs(y - known) for known in block.heights.values()) > 0.05
    }
    reach = {
        edge: {**known, **{n: sample.length(float(block.reach(edge, y))) for n, y in added.items()}}
        for edge, known in table.reach.items()
    }
    heights = {**table.height, **{name: sample.length(y) for name, y in added.items()}}
    return sample.project(block=BlockTable("Many levels", heights, reach))


def with_points(count: int) -> Project:
    """Return the traced sample with about that many points on each panel's outline."""
    found = {}
    for name, outline in tracings.table().outline.items():
        ring = np.array([*outline.points, outline.points[0]])
        each = max(1, round(count / len(outline.points)))
        steps = np.arange(each) / each
        between = ring[:-1, None] + steps[:, None] * np.diff(ring, axis=0)[:, None]
        points = tuple(map(tuple, between.reshape(-1, 2).tolist()))
        corners = {role: each * index for role, index in outline.corners.items()}
        found[name] = PanelOutline(points, corners, outline.lines, outline.notches)
    return tracings.project(replace(tracings.table(), outline=found))


def with_designs(count: int) -> Project:
    """Return the sample project with that many designs; none is so narrow that more fails."""
    return sample.project(
        *(sample.design(f"design {i}", take_in=sample.lengths(hem=10.0 + i % 200 / 20))
          for i in range(count))
    )  # fmt: skip


def with_rounds(count: int) -> Project:
    """Return the sample project after that many rounds, each of a design made from the last."""
    project = sample.project(sample.design("design 0"))
    designs, done = [project.designs[0]], []
    for i in range(count):
        depth = sample.length("1/8" if i % 2 else "-1/8")
        done.append(
            Round(designs[-1].name, pinches=(Pinch("knee", "outseam", depth),), verdict="closer")
        )
        designs.append(
            replace(designs[0], name=f"design {i + 1}", parent=designs[-1].name, from_round=i + 1)
        )
    return replace(project, designs=tuple(designs[:-1]), rounds=tuple(done))


def recompute(project: Project) -> Work:
    """Return: block, fit, cut lines, drawing, report."""

    def work() -> None:
        pattern = cut(fit(project))
        draw_pattern(pattern)
        check_report(pattern)

    return work


def kept(project: Project) -> Work:
    """Return: the file written and read back."""
    return lambda: read_project(write_project(project))


def designs_shown(project: Project) -> Work:
    """Return: the latest designs side by side, beside writing and reading the file."""

    def work() -> None:
        read_project(write_project(project))
        tables(columns(project, latest(project)))

    return work


def all_compared(project: Project) -> Work:
    """Return: every design side by side, and what changed from one to the next."""

    def work() -> None:
        shown = columns(project)
        tables(shown)
        for before, after in steps(shown):
            changes(before.fit, after.fit)

    return work


def loaded(project: Project) -> Work:
    """Return: a file read that was not read before."""
    data = write_project(project).encode()
    return lambda: core_bench.first_read(data)


def rounds_told(project: Project) -> Work:
    """Return: status, history, what is out of date, and the next design."""
    block = block_of(project)

    def work() -> None:
        fittings.status(project, block)
        fittings.history(project)
        fittings.stale(project, block)
        fittings.next_step(project, block)
        rounds.next_design(project, block, len(project.rounds))

    return work


def tiled(count: int) -> Work:
    """Return: a PDF of about that many sheets, with lines on each."""
    side = round(count**0.5)
    a4 = papers.paper("a4")
    wide, tall = a4.room
    size = np.array([side * (wide - 10), side * (tall - 10)])
    strokes = []
    for i in range(side):
        for share in (i + 0.3, i + 0.7):
            across = np.linspace(0, size[0], 8 * side)
            up = np.full_like(across, share / side * size[1])
            strokes.append(Stroke("", "net", np.column_stack([across, up])))
    drawing = Drawing("Large", (Piece("large", "Large", tuple(strokes)),), *map(float, size), None)
    sheet = pattern_sheet(cut(fit(sample.project())))
    return lambda: pdf.render(replace(drawing), a4, sheet)  # a copy, of which nothing is known


def written(count: int) -> Work:
    """Return: the SVG of the traced sample with that many points."""
    drawing = draw_pattern(cut(fit(with_points(count))))
    return lambda: svg.render(drawing)


THINGS: tuple[tuple[str, tuple[int, ...], Callable[[int], Work]], ...] = (
    ("levels: recompute, cut, report", (5, 50, 158, 500), lambda n: recompute(with_levels(n))),
    ("levels: file written and read", (5, 50, 158, 500), lambda n: kept(with_levels(n))),
    (
        "outline points: block, fit, cut",
        (100, 1000, 10_000, 31_600, 100_000),
        lambda n: recompute(with_points(n)),
    ),
    ("outline points: SVG", (100, 1000, 10_000, 31_600, 100_000), written),
    ("designs: file, side by side", (1, 20, 63, 200), lambda n: designs_shown(with_designs(n))),
    (
        "designs: all compared",
        (1, 100, 375, 1500),
        lambda n: all_compared(with_designs(n)),
    ),
    ("rounds: a file loaded", (1, 150, 500, 1500), lambda n: loaded(with_rounds(n))),
    ("rounds: file written and read", (1, 50, 158, 500), lambda n: kept(with_rounds(n))),
    ("rounds: told, and the next design", (1, 50, 158, 500), lambda n: rounds_told(with_rounds(n))),
    ("sheets: tiled and a PDF", (1, 25, 81, 289), tiled),
)


def measure(work: Work) -> tuple[float, float]:
    """Return the median time in ms, and the highest memory in MB."""
    work()
    times: list[float] = []
    while len(times) < ROUNDS and sum(times) < 6:
        begun = time.process_time()
        work()
        times.append(time.process_time() - begun)
    tracemalloc.start()
    work()
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return 1000 * statistics.median(times), most / 1e6


def exponent(counts: tuple[int, ...], values: list[float]) -> float:
    """Return the growth from the middle number to the largest as a power of the number."""
    middle = len(counts) // 2
    return float(
        np.polyfit(np.log(counts[middle:]), np.log(np.maximum(values[middle:], 1e-9)), 1)[0]
    )


def main(only: str = "") -> None:
    """Measure and print the table as Markdown."""
    print("| what, how many | ms | exponent | MB | exponent |")
    print("|---|---|---|---|---|")
    for name, counts, make in THINGS:
        if only not in name:
            continue
        found = [measure(make(count)) for count in counts]
        times, sizes = [one[0] for one in found], [one[1] for one in found]
        shown = (0, len(counts) // 2, len(counts) - 1)
        cells = [", ".join(f"{counts[i]:,}" for i in shown)]
        cells += [", ".join(f"{values[i]:.3g}" for i in shown) for values in (times, sizes)]
        powers = [f"{exponent(counts, values):.2f}" for values in (times, sizes)]
        print(f"| {name}: {cells[0]} | {cells[1]} | {powers[0]} | {cells[2]} | {powers[1]} |")


if __name__ == "__main__":
    main(*sys.argv[1:2])
