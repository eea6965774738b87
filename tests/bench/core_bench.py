"""The core against plain chains of the same sizes, each timed in turn with its baseline.

Times are of the processor, which other work on the machine touches least; where a disk or another
process does the work they are of the clock. Each race is run turn and turn about for some seconds,
so that a second run finds the same medians. Nothing here knows a target's reason: `run.py` prints
the table, DEVELOPERS.md says what it means.
"""

from __future__ import annotations

import io
import os
import statistics
import tempfile
import time
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from itertools import cycle
from pathlib import Path
from typing import Any, NamedTuple
from unittest import mock
from xml.etree import ElementTree as ET

import numpy as np
import shapely

from legtaper.files import project_file
from legtaper.files.project_file import read_project
from legtaper.files.store import Store
from legtaper.model import lengths
from legtaper.model.lengths import parse_length
from legtaper.model.project import EDGES, Project
from legtaper.outputs import dxf, papers, pdf, svg, tiles
from legtaper.outputs.drawing import Drawing
from legtaper.outputs.front_sheet import pattern_sheet
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.outputs.printing import PrintJob
from legtaper.pattern import block_of, cut, fit_design
from legtaper.remedies.mend import mendings
from legtaper.search.sweep import sweep
from legtaper_wizard.flow.examples import example_text

TEXT = example_text("courier")
PROJECT = read_project(TEXT)
DESIGN = PROJECT.designs[0]
BLOCK = block_of(PROJECT)
FIT = fit_design(PROJECT, DESIGN, BLOCK)
PATTERN = cut(FIT)
DRAWING, SHEET = draw_pattern(PATTERN), pattern_sheet(PATTERN)
A4 = papers.paper("a4")
RULED = replace(DESIGN, take_in={}, width={"hem": parse_length("11 in", "in")}, style="straight")
TAKES = np.linspace(1, 70, 10_000)

SECONDS = 8.0
"""How long a race is run."""
LEAST_ROUNDS = 11

Work = Callable[[], object]


class Race(NamedTuple):
    """Something of ours, the plain way to the same end, and what the ratio may be.

    A target of `None` says that the line only shows what another one is made of.
    """

    name: str
    ours: Work
    plain: Work
    target: float | None
    clock: Callable[[], float] = time.process_time

    def run(self, seconds: float = SECONDS) -> tuple[float, float]:
        """Return the median ms of ours and of the plain way, in turn after a warm-up."""
        found: dict[Work, list[float]] = {self.ours: [], self.plain: []}
        for work in (*found, *found):
            work()
        until = time.monotonic() + seconds
        while time.monotonic() < until or len(found[self.plain]) < LEAST_ROUNDS:
            for work, times in found.items():
                begun = self.clock()
                work()
                times.append(1000 * (self.clock() - begun))
        return statistics.median(found[self.ours]), statistics.median(found[self.plain])


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


def plain_full(*, sheets: bool = True) -> float:
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
    if not sheets:
        return total
    tree = shapely.STRtree(lines)
    for across, along in ((190, 277), (277, 190)):
        x, y = np.meshgrid(np.arange(0, 900, across), np.arange(0, 1040, along))
        pages = shapely.box(x.ravel(), y.ravel(), x.ravel() + across, y.ravel() + along)
        total += len(tree.query(pages, predicate="intersects")[0])
    return total


def plain_search() -> int:
    """Slide a grid under each piece, upright and turned, 20 mm at a time: the fewest sheets hit.

    Ours slides it 2 mm at a time, and counts a sheet only where its neighbors do not show as much.
    """
    counts = []
    for page in (A4, A4.turned()):
        wide, tall = (side - tiles.OVERLAP for side in page.room)
        total = 0
        for piece in DRAWING.pieces:
            points = tiles.needed_points(piece)
            fewest = len(points)
            for turned in (points, points[:, ::-1]):
                at = turned - turned.min(axis=0)
                for dx in np.arange(0, wide, 20):
                    for dy in np.arange(0, tall, 20):
                        columns, rows = ((at + (dx, dy)) / (wide, tall)).astype(int).T
                        fewest = min(fewest, np.count_nonzero(np.bincount(rows * 100 + columns)))
            total += fewest
        counts.append(total)
    return min(counts)


def _plain_sweep(takes: np.ndarray) -> float:
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


def plain_sweep() -> float:
    """Do the sweep by rows that stay in the processor's cache, as ours does."""
    return sum(_plain_sweep(part) for part in np.array_split(TAKES, 20))


def drawn() -> Drawing:
    """Do the whole pattern with cut lines, laid out."""
    return draw_pattern(cut(fit_design(PROJECT, DESIGN, BLOCK)))


def full() -> object:
    """Do the same and tile it for A4."""
    return tiles.tile(drawn(), A4)


def printed(*, fronts: bool = True) -> bytes:
    """Print a copy of the drawing, of which nothing is known from the time before."""
    return pdf.render(replace(DRAWING), A4, SHEET, job=PrintJob(fronts=fronts))


def _texts() -> list[tuple[str, str, float]]:
    """Return every text on our PDF beside the drawing itself, with its font and size."""
    from reportlab.pdfgen.textobject import PDFTextObject

    found: list[tuple[str, str, float]] = []
    write = PDFTextObject._formatText

    def noting(self: Any, text: Any) -> Any:
        found.append((str(text), self._fontname, self._fontsize))
        return write(self, text)

    with mock.patch.object(PDFTextObject, "_formatText", noting):
        printed()
    return found


def _plain_form(canvas: Any) -> None:
    canvas.beginForm("all")
    for piece in DRAWING.pieces:
        for stroke in piece.strokes:
            path = canvas.beginPath()
            path.moveTo(*stroke.points[0])
            for x, y in stroke.points[1:]:
                path.lineTo(x, y)
            canvas.drawPath(path)
        for label in piece.labels:
            canvas.drawString(*label.at, label.text)
    canvas.endForm()


def plain_pdf(texts: list[tuple[str, str, float]] | None) -> bytes:
    """Place the drawing as a form on as many pages; with `texts`, write them all, in our fonts.

    Which part of it lies on which page is searched for as in ours. The texts stand in lines below
    each other: no table is laid out and no room is looked for.
    """
    from reportlab.lib.pagesizes import A4 as PAGE
    from reportlab.pdfgen.canvas import Canvas

    out = io.BytesIO()
    canvas = Canvas(out, pagesize=PAGE, invariant=1, pageCompression=1 if texts else None)
    _plain_form(canvas)
    pages = tiles.tile(replace(DRAWING), A4).tiles
    each = -(-len(texts or ()) // len(pages))
    for number, part in enumerate(pages):
        canvas.saveState()
        canvas.translate(-part.box[0], -part.box[1])
        canvas.doForm("all")
        canvas.restoreState()
        for line, (text, font, size) in enumerate((texts or [])[number * each :][:each]):
            canvas.setFont(font, size)
            canvas.drawString(50, 800 - 9 * line, text)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def plain_svg() -> str:
    """Write the same strokes and labels with ElementTree, and nothing else."""
    root = ET.Element("svg", width=f"{DRAWING.width}mm", height=f"{DRAWING.height}mm")
    for piece in DRAWING.pieces:
        group = ET.SubElement(root, "g", id=piece.name)
        for stroke in piece.strokes:
            data = "M" + " ".join(f"{x:.3f},{DRAWING.height - y:.3f}" for x, y in stroke.points)
            ET.SubElement(group, "path", id=stroke.id, d=data)
        for label in piece.labels:
            x, y = label.at
            text = ET.SubElement(group, "text", x=f"{x:.3f}", y=f"{DRAWING.height - y:.3f}")
            text.text = label.text
    return ET.tostring(root, encoding="unicode")


def plain_dxf() -> str:
    """Write the same strokes and labels with ezdxf, in one block for each piece."""
    import ezdxf

    document = ezdxf.new("R2000")
    for piece in DRAWING.pieces:
        block = document.blocks.new(piece.name)
        for stroke in piece.strokes:
            block.add_lwpolyline(stroke.points.tolist(), close=stroke.closed)
        for label in piece.labels:
            block.add_text(label.text, height=label.size).set_placement(label.at)
        document.modelspace().add_blockref(piece.name, (0, 0))
    out = io.StringIO()
    document.write(out)
    return out.getvalue()


def plain_save(path: Path, data: bytes) -> None:
    """Write a temporary file, flush it to the disk, and rename it."""
    beside = path.with_suffix(".tmp")
    with beside.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)


def plain_save_held(path: Path, data: bytes) -> None:
    """Do the same and what a save promises besides, with nothing around it.

    The file is what was written last, and the name is on the disk, too.
    """
    beside = path.with_suffix(".tmp")
    with beside.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if path.read_bytes() != data:
        raise ValueError("somebody else wrote there")
    beside.replace(path)
    folder = os.open(path.parent, os.O_RDONLY)
    os.fsync(folder)
    os.close(folder)


def saving(folder: Path) -> Work:
    """Return: an open project saved with another answer each time."""
    path = folder / "ours.toml"
    path.write_text(TEXT)
    store = Store.open(path, for_writing=True)
    answers = cycle(replace(PROJECT, name=f"Trousers {i}") for i in range(7))
    return lambda: store.save(next(answers))


def plain_text_saved(path: Path) -> Work:
    """Return: the same answers put into a document that keeps remarks, written the plain way."""
    import tomlkit

    document = tomlkit.parse(TEXT)
    names = cycle(f"Trousers {i}" for i in range(7))

    def save() -> None:
        document["name"] = next(names)
        plain_save(path, tomlkit.dumps(document).encode())

    return save


def written(path: Path, data: bytes) -> Path:
    """Return the path of a file that is there."""
    path.write_bytes(data)
    return path


def races(folder: Path) -> Iterator[Race]:
    """Yield everything that the core is measured at; files go into `folder`."""
    texts = _texts()
    data = TEXT.encode()
    clock = time.perf_counter
    store, plain = saving(folder), partial(plain_save, folder / "plain", data)
    yield from (
        Race("recompute / numpy chain", recompute, plain_recompute, 2),
        Race("sweep of 10,000 / numpy", lambda: sweep(FIT, TAKES), plain_sweep, 1.3),
        Race("cut lines, layout, tiles / shapely", full, plain_full, 1.5),
        Race("the same / and a plain search for sheets", full,
             lambda: (plain_full(), plain_search()), 1.5),
        Race("of it, all but the sheets / the same", drawn,
             lambda: plain_full(sheets=False), None),
        Race("SVG / ElementTree", lambda: svg.render(DRAWING), plain_svg, 1.2),
        Race("A4 PDF / reportlab, same texts", printed,
             lambda: plain_pdf(texts), 1.6),
        Race("the same / and no texts, the form alone", printed,
             lambda: plain_pdf(None), None),
        Race("of it, without sheets in front / the same", lambda: printed(fronts=False),
             lambda: plain_pdf(None), None),
        Race("of both, the search for sheets / the same", lambda: tiles.tile(replace(DRAWING), A4),
             lambda: plain_pdf(None), None),
        Race("DXF / ezdxf", lambda: dxf.render(DRAWING), plain_dxf, 1.2),
        Race("load / tomllib", lambda: first_read(data), lambda: tomllib.loads(TEXT), 2),
        Race("save / temp, fsync, rename", store, plain, 1.5, clock),
        Race("the same / and folder synced, file looked at", store,
             partial(plain_save_held, written(folder / "held", data), data), 1.5, clock),
        Race("of it, that alone / temp, fsync, rename",
             partial(plain_save_held, written(folder / "held", data), data), plain, None, clock),
        Race("the same / and its text by tomlkit", store, plain_text_saved(folder / "text"), 1.5,
             clock),
        Race("mending a finding / a fit", mending, recompute, 400),
    )  # fmt: skip


def recompute() -> object:
    """Do what the wizard does at every answer."""
    return fit_design(PROJECT, DESIGN, BLOCK)


def mending() -> object:
    """Look for what mends ruled seams that bend too much: one of the longest searches known."""
    return next(mendings(cut(fit_design(PROJECT, RULED, BLOCK)), ("fail",)))


def first_read(data: bytes) -> Project:
    """Read a project as a process does that never read it: nothing is remembered of it."""
    for remembered in (project_file._read, project_file._plain, lengths._parsed):
        remembered.cache_clear()
    return read_project(data)


def lines() -> Iterator[str]:
    """Yield the table, a line as soon as it is measured."""
    yield f"{'':<46}{'ours':>9}{'plain':>9}{'ratio':>8}{'target':>8}"
    with tempfile.TemporaryDirectory() as folder:
        for race in races(Path(folder)):
            ours, plain = race.run()
            ratio, most = ours / plain, race.target
            target = "" if most is None else f"{most:>8g}{'' if ratio <= most else '  over'}"
            yield f"{race.name + ', ms':<46}{ours:>9.2f}{plain:>9.2f}{ratio:>8.2f}{target}"
