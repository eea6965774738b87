"""Invented traced panels, and SVG drawings of them made with ElementTree alone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
import sample

from legtaper.block_sources.drafted import draft_table
from legtaper.block_sources.drafted_top import whole_table
from legtaper.geometry.curves import Array
from legtaper.model.project import BlockTable, PanelName, PanelOutline, Project

MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "px": 25.4 / 96}
SIZE = (1400.0, 1300.0)  # mm of the sheet
PLACES: Mapping[PanelName, tuple[float, float]] = {
    "front": (300.0, 1150.0),
    "back": (900.0, 1150.0),
}
NAMES: tuple[PanelName, PanelName] = ("front", "back")


@cache
def table() -> BlockTable:
    """Return whole pieces, drafted for an invented body."""
    body = sample.wearer(
        hip="41", waist="31", height="66", thigh="24", knee="15 1/2", calf="14 3/4"
    )
    return whole_table(draft_table(body, "in"))


def outline(name: PanelName) -> PanelOutline:
    """Return one of the two panels."""
    return table().outline[name]


def slanted(rise: float, bow: float = 0.0) -> BlockTable:
    """Return the whole pieces with the hem rising towards the outseam, and bent upwards."""
    panels = dict(table().outline)
    for name, outline in panels.items():
        points = np.array(outline.points)
        first, last = outline.corners["hem_inseam"], outline.corners["hem_outseam"]
        low, high = points[first, 0], points[last, 0]
        slope = rise / (high - low)
        inner, outer = (
            part[part[:, 1] > slope * part[:, 0] + 1]
            for part in (points[:first], points[last + 1 :])
        )
        share = np.linspace(0, 1, 13)[:, None] if bow else np.array([[0.0], [1.0]])
        x = low + share * (high - low)
        hem = np.hstack([x, slope * x + 4 * bow * share * (1 - share)])
        ring = np.vstack([inner, hem, outer])
        corners: Any = {
            role: number - len(points) + len(ring) for role, number in outline.corners.items()
        }
        corners |= {"crotch": 0, "hem_inseam": len(inner), "hem_outseam": len(inner) + len(hem) - 1}
        panels[name] = replace(outline, points=tuple(map(tuple, ring.tolist())), corners=corners)
    return replace(table(), outline=panels)


def project(block: BlockTable | None = None) -> Project:
    """Return the sample project on the traced block."""
    return replace(sample.project(), block=block or table())


def on_sheet(points: Any, name: PanelName) -> Array:
    """Return a panel's points where the sheet has them, mm, y down as in an SVG file."""
    x, y = PLACES[name]
    return np.asarray(points, float) * (1, -1) + (x, y)


def path_data(points: Array, *, closed: bool = True) -> str:
    """Return SVG path data through points."""
    return "M" + " L".join(f"{x:.7g},{y:.7g}" for x, y in points) + (" Z" if closed else "")


def drawing(unit: str = "mm", *, transform: str = "", groups: int = 0, lines: bool = True) -> bytes:
    """Return both panels in a unit, each in groups that move it back and forth.

    `lines` draws darts and grainlines, too.
    """
    width, height = (side / MM[unit] for side in SIZE)
    root = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "width": f"{width}{unit}",
            "height": f"{height}{unit}",
            "viewBox": f"0 0 {width} {height}",
        },
    )
    for name in NAMES:
        parent = ET.SubElement(root, "g", {"transform": transform} if transform else {})
        for number in range(groups):
            shift = 7 if number % 2 else -7
            parent = ET.SubElement(parent, "g", {"transform": f"translate({shift})"})
        if groups % 2:
            parent = ET.SubElement(parent, "g", {"transform": "matrix(1 0 0 1 7 0)"})
        add(parent, name, on_sheet(outline(name).points, name) / MM[unit])
        if lines:
            for number, line in enumerate(outline(name).lines):
                add(parent, f"{name}-dart-{number}", on_sheet(line, name) / MM[unit], closed=False)
            grain = on_sheet([(0, 50), (0, 700)], name) / MM[unit]
            add(parent, f"{name}-grainline", grain, closed=False)
    return ET.tostring(root)


def add(parent: ET.Element, name: str, points: Array, *, closed: bool = True) -> None:
    """Add a path of that id."""
    ET.SubElement(parent, "path", {"id": name, "d": path_data(points, closed=closed)})


def wrap(body: str, head: str = 'width="1400mm" height="1300mm" viewBox="0 0 1400 1300"') -> bytes:
    """Return SVG text around a body."""
    space = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f"<svg {space} {head}>{body}</svg>".encode()
