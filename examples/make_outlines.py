"""Make outline.svg and outline.dxf again: invented whole pieces, as someone might trace them.

Run from the top of the project: python examples/make_outlines.py
"""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np

from legtaper.block_sources.drafted import draft_table
from legtaper.block_sources.drafted_top import whole_table
from legtaper.geometry.curves import Array
from legtaper.model.lengths import parse_length
from legtaper.model.project import BlockTable, Design, PanelOutline, Project, Wearer
from legtaper.outputs import dxf
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.outputs.piece_words import Printing
from legtaper.pattern import build

TITLE = "Invented example: a trouser front and back, net, at true size"
BODY = {"hip": "104 cm", "waist": "80 cm", "height": "170 cm", "knee": "39 cm", "calf": "38 cm"}
SHEET = (1000.0, 1150.0)  # mm
PLACES = {"front": (230.0, 1120.0), "back": (690.0, 1120.0)}


def invented() -> BlockTable:
    """Return whole pieces drafted for nobody."""
    body = {key: parse_length(text, "cm") for key, text in BODY.items()}
    return whole_table(draft_table(Wearer(**body), "cm"))


def svg(table: BlockTable) -> bytes:
    """Return both panels in a group each, with a dart, a notch and the grainline."""
    width, height = SHEET
    root = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "width": f"{width:g}mm",
            "height": f"{height:g}mm",
            "viewBox": f"0 0 {width:g} {height:g}",
        },
    )
    ET.SubElement(root, "title").text = TITLE
    for name, outline in table.outline.items():
        x, y = PLACES[name]
        place = {"id": f"{name}-piece", "transform": f"translate({x:g} {y:g})"}
        group = ET.SubElement(root, "g", place)
        _add(group, name, np.array(outline.points), "Z")
        for number, line in enumerate(outline.lines, 1):
            _add(group, f"{name}-dart-{number}", np.array(line))
        for number, mark in enumerate(_notches(outline), 1):
            _add(group, f"{name}-notch-{number}", mark)
        _add(group, f"{name}-grainline", np.array([(0.0, 60.0), (0.0, 700.0)]))
    ET.indent(root, " ")
    return ET.tostring(root) + b"\n"


def _notches(outline: PanelOutline) -> list[Array]:
    return [np.array([(x - 4, y), (x + 4, y)]) for x, y in outline.notches]


def _add(group: ET.Element, name: str, points: Array, end: str = "") -> None:
    data = "M" + " L".join(f"{x:.3f},{-y:.3f}" for x, y in points) + end
    style = {"fill": "none", "stroke": "black", "stroke-width": "0.3"}
    ET.SubElement(group, "path", {"id": name, "d": data, **style})


def main() -> None:
    """Write both files beside this one."""
    folder, table = Path(__file__).parent, invented()
    (folder / "outline.svg").write_bytes(svg(table))
    project = Project(TITLE, "cm", block=table, designs=(Design("as traced"),))
    (folder / "outline.dxf").write_bytes(
        dxf.render(draw_pattern(build(project), Printing("unaltered")))
    )


if __name__ == "__main__":
    main()
