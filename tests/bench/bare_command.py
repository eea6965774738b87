"""The baseline of a command: the same libraries imported, the same lines drawn, nothing computed.

`python bare_command.py KIND PROJECT LINES [OUT]`; LINES is JSON, made beforehand: the pieces with
their strokes and labels, the number of pages, and what `check` prints.
"""

from __future__ import annotations

import json
import sys
import tomllib
from pathlib import Path
from typing import Any

import click
import numpy  # noqa: F401  what the command needs, too
import shapely  # noqa: F401

Job = dict[str, Any]


def draw_svg(job: Job, out: Path) -> None:
    """Write paths and texts with ElementTree."""
    import xml.etree.ElementTree as ET

    root = ET.Element("svg", width=f"{job['width']}mm", height=f"{job['height']}mm")
    for piece in job["pieces"]:
        group = ET.SubElement(root, "g", id=piece["name"])
        for points in piece["strokes"]:
            data = "M" + " ".join(f"{x:.3f},{y:.3f}" for x, y in points)
            ET.SubElement(group, "path", d=data)
        for label, x, y in piece["labels"]:
            ET.SubElement(group, "text", x=f"{x:.3f}", y=f"{y:.3f}").text = label
    out.write_text(ET.tostring(root, encoding="unicode"))


def draw_pdf(job: Job, out: Path) -> None:
    """Place the lines as one form on as many pages."""
    from reportlab.lib.pagesizes import A4
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(out), pagesize=A4)
    canvas.beginForm("all")
    for piece in job["pieces"]:
        for (x, y), *rest in piece["strokes"]:
            path = canvas.beginPath()
            path.moveTo(x, y)
            for there in rest:
                path.lineTo(*there)
            canvas.drawPath(path)
        for label, x, y in piece["labels"]:
            canvas.drawString(x, y, label)
    canvas.endForm()
    for _ in range(job["pages"]):
        canvas.doForm("all")
        canvas.showPage()
    canvas.save()


def draw_dxf(job: Job, out: Path) -> None:
    """Write a block for each piece with ezdxf."""
    import ezdxf

    document = ezdxf.new("R2000")
    for piece in job["pieces"]:
        block = document.blocks.new(piece["name"])
        for points in piece["strokes"]:
            block.add_lwpolyline(points)
        for label, x, y in piece["labels"]:
            block.add_text(label, height=5).set_placement((x, y))
        document.modelspace().add_blockref(piece["name"], (0, 0))
    document.saveas(out)


def draw_with_paragraphs(job: Job, out: Path) -> None:
    """Do the same with what sets texts loaded, and none set."""
    import reportlab.platypus  # noqa: F401

    draw_pdf(job, out)


DRAWS = {
    "svg": draw_svg, "pdf": draw_pdf, "paragraphs": draw_with_paragraphs, "dxf": draw_dxf,
}  # fmt: skip


@click.command()
@click.argument("kind")
@click.argument("project", type=click.Path(path_type=Path))
@click.argument("lines", type=click.Path(path_type=Path))
@click.argument("out", type=click.Path(path_type=Path), required=False)
def main(kind: str, project: Path, lines: Path, out: Path | None) -> None:
    """Read the project, and print or draw."""
    tomllib.loads(project.read_text())
    job = json.loads(lines.read_text())
    if out is None:
        click.echo(job["says"][kind])
    else:
        DRAWS[kind](job, out)
    sys.exit()


if __name__ == "__main__":
    main()
