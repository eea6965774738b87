"""Speed of the core, as ratios to plain chains of the same sizes.

Run with: pytest tests/bench --benchmark-only

Each benchmark prints its ratio; the baseline is timed in the same process, interleaved.
"""

from __future__ import annotations

import io
import statistics
import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np
import pytest
import shapely

from legtaper.outputs import pdf, tiles
from legtaper.pattern import block_of, cut, fit_design
from legtaper.pieces import draw_pattern
from legtaper.project import EDGES
from legtaper.project_file import read_project
from legtaper.sheet import pattern_sheet
from legtaper.sweep import sweep
from legtaper_wizard.examples import example_text

PROJECT = read_project(example_text("courier"))
DESIGN = PROJECT.designs[0]
BLOCK = block_of(PROJECT)
FIT = fit_design(PROJECT, DESIGN, BLOCK)
KNOTS = {
    edge: (BLOCK.seams[edge].knots, BLOCK.seams[edge].at(BLOCK.seams[edge].knots)) for edge in EDGES
}


def ratio(ours: Callable[[], object], plain: Callable[[], object], rounds: int = 15) -> float:
    """Return median time of `ours` over median of `plain`, run in turn in this process."""
    mine, base = [], []
    for call in (ours, plain):
        call()
    for _ in range(rounds):
        for call, times in ((ours, mine), (plain, base)):
            start = time.perf_counter()
            call()
            times.append(time.perf_counter() - start)
    return statistics.median(mine) / statistics.median(base)


def plain_recompute() -> float:
    """Do seams, lengths, circumferences and comparisons, each in the fewest numpy calls."""
    total = 0.0
    levels = np.array([y for y in BLOCK.heights.values() if y <= BLOCK.crotch])
    widths = np.zeros(len(levels))
    for edge in EDGES:
        blend, curve, take = FIT.taper.seams[edge].blend, FIT.taper.seams[edge].curve, 15.875
        v = blend - curve / 2

        def eased(
            y: np.ndarray, v: float = v, curve: float = curve, take: float = take
        ) -> np.ndarray:
            d = v - y
            return (
                take
                / v
                * (
                    np.clip(d + curve / 2, 0, curve) ** 2 / (2 * curve)
                    + np.maximum(d - curve / 2, 0)
                )
            )

        top = BLOCK.seams[edge].knots[-1]
        for line in (BLOCK.seams[edge].at, lambda y, e=edge: BLOCK.seams[e].at(y) - eased(y)):
            y = np.linspace(0, top, 161)
            reach = line(y)
            total += float(np.hypot(np.diff(y), np.diff(reach)).sum())
            widths += line(levels)
            total += float(np.diff(np.arctan(np.diff(reach) / np.diff(y))).max())
        total += float((BLOCK.seams[edge].at(y) - reach).min())
    return total + float(widths.sum())


def plain_full() -> float:
    """Do the recompute, net and cut outlines of the leg, and which A4 pages they touch."""
    total = plain_recompute()
    lines = []
    for inseam, outseam in ((EDGES[0], EDGES[1]), (EDGES[2], EDGES[3])):
        rows = []
        for edge, side in ((inseam, 1), (outseam, -1)):
            y = np.linspace(0, BLOCK.blend_top("inseam" if edge == inseam else "outseam"), 200)
            points = np.column_stack([side * BLOCK.seams[edge].at(y), y])
            beside = shapely.LineString(points).offset_curve(15.875, join_style="mitre")
            rows += [shapely.get_coordinates(beside), points[y < 38] * (1, -1)]
            lines += [shapely.LineString(points), beside]
        total += shapely.Polygon(np.vstack(rows)).length
    lines += [shapely.box(x, x, x + 80, x + 4) for x in range(60)]  # labels, notches, levels
    tree = shapely.STRtree(lines)
    for across, along in ((190, 277), (277, 190)):
        x, y = np.meshgrid(np.arange(0, 900, across), np.arange(0, 1040, along))
        pages = shapely.box(x.ravel(), y.ravel(), x.ravel() + across, y.ravel() + along)
        total += len(tree.query(pages, predicate="intersects")[0])
    return total


def report(name: str, value: float, target: float, capsys: pytest.CaptureFixture[str]) -> None:
    """Print one ratio beside its target."""
    with capsys.disabled():
        print(f"\n{name:<28} {value:5.2f} x baseline (target {target})")


def test_recompute(benchmark: Callable[..., object], capsys: pytest.CaptureFixture[str]) -> None:
    """One change: seams, lengths, widths and all findings."""
    benchmark(lambda: fit_design(PROJECT, DESIGN, BLOCK))
    report(
        "recompute", ratio(lambda: fit_design(PROJECT, DESIGN, BLOCK), plain_recompute), 3, capsys
    )


def plain_sweep(takes: np.ndarray) -> float:
    """Do widths, ease, slit and seam lengths of the hem-only taper as bare array arithmetic."""
    weights = takes[:, None]
    levels = np.array([y for y in BLOCK.heights.values() if y <= BLOCK.crotch])
    y = np.linspace(0, BLOCK.crotch, 129)
    widths, around = np.zeros((len(takes), len(levels))), np.zeros((len(takes), len(y)))
    total = np.zeros(len(takes))
    for edge in EDGES:
        seam = FIT.taper.seams[edge]
        corner = seam.blend - seam.curve / 2
        shapes = [
            (
                np.clip(corner - at + seam.curve / 2, 0, seam.curve) ** 2 / (2 * seam.curve)
                + np.maximum(corner - at - seam.curve / 2, 0)
            )
            / corner
            for at in (levels, y, np.linspace(0, BLOCK.seams[edge].knots[-1], 65))
        ]
        widths += BLOCK.seams[edge].at(levels) - weights * shapes[0]
        around += BLOCK.seams[edge].at(y) - weights * shapes[1]
        high = np.linspace(0, BLOCK.seams[edge].knots[-1], 65)
        run = np.diff(high)
        rise = np.diff(BLOCK.seams[edge].at(high)) - weights * np.diff(shapes[2])
        total += np.sqrt(run**2 + rise**2).sum(axis=1)
    slit = y[(around >= 12.625 * 25.4).argmax(axis=1)]
    fails = (widths < 300).argmax(axis=1)
    return float(total.sum() + slit.sum() + fails.sum())


def test_sweep(benchmark: Callable[..., object], capsys: pytest.CaptureFixture[str]) -> None:
    """Ten thousand take-ins at the hem, with slits and findings, against plain arithmetic."""
    takes = np.linspace(1, 70, 10_000)
    parts = np.array_split(takes, 20)  # the plain one, too, by rows that stay in the cache

    def plain() -> float:
        return sum(plain_sweep(part) for part in parts)

    benchmark(lambda: sweep(FIT, takes))
    report("sweep of 10,000", ratio(lambda: sweep(FIT, takes), plain), 2, capsys)


def test_full(benchmark: Callable[..., object], capsys: pytest.CaptureFixture[str]) -> None:
    """The whole pattern with cut lines, laid out and tiled for A4, against outlines alone."""

    def full() -> object:
        drawing = draw_pattern(cut(fit_design(PROJECT, DESIGN, BLOCK)))
        return tiles.tile(drawing, tiles.paper("a4"))

    benchmark(full)
    report("cut lines and tiles", ratio(full, plain_full), 1.5, capsys)


def test_pdf(benchmark: Callable[..., object], capsys: pytest.CaptureFixture[str]) -> None:
    """The A4 PDF against bare reportlab drawing the same form on as many pages."""
    from reportlab.lib.pagesizes import A4
    from reportlab.pdfgen.canvas import Canvas

    pattern = cut(FIT)
    drawing, sheet, paper = draw_pattern(pattern), pattern_sheet(pattern), tiles.paper("a4")
    pages = len(tiles.tile(drawing, paper).tiles)

    def bare() -> bytes:
        out = io.BytesIO()
        canvas = Canvas(out, pagesize=A4, invariant=1)
        canvas.beginForm("all")
        for piece in drawing.pieces:
            for stroke in piece.strokes:
                path = canvas.beginPath()
                path.moveTo(*stroke.points[0])
                for x, y in stroke.points[1:]:
                    path.lineTo(x, y)
                canvas.drawPath(path)
            for label in piece.labels:
                canvas.drawString(*label.at, label.text)
        canvas.endForm()
        for _ in range(pages):
            canvas.doForm("all")
            canvas.showPage()
        canvas.save()
        return out.getvalue()

    benchmark(lambda: pdf.render(drawing, paper, sheet))
    report("A4 PDF", ratio(lambda: pdf.render(drawing, paper, sheet), bare, 9), 1.5, capsys)


def test_help(benchmark: Callable[..., object], capsys: pytest.CaptureFixture[str]) -> None:
    """`legtaper --help` against a bare click program of as many commands."""
    bare = (
        "import click\n@click.group()\ndef main(): pass\n"
        + "".join(f"@main.command()\ndef c{i}(): 'Do {i}.'\n" for i in range(10))
        + "main(['--help'])"
    )
    ours = [sys.executable, "-c", "from legtaper_wizard.cli import main; main(['--help'])"]

    def run(command: list[str]) -> None:
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)

    benchmark.pedantic(lambda: run(ours), rounds=3)  # type: ignore[attr-defined]
    report(
        "--help",
        ratio(lambda: run(ours), lambda: run([sys.executable, "-c", bare]), 11),
        1.5,
        capsys,
    )
