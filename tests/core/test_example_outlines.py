"""The example outlines: what the README sends a person to try."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from legtaper.block_sources.drawing_file import Wanted, import_block, read_drawing
from legtaper.block_sources.imported import block_from_outline
from legtaper.model.project import EDGES, BlockTable

EXAMPLES = Path(__file__).parents[2] / "examples"


def table(kind: Any) -> BlockTable:
    """Return the table of the example of that kind."""
    data = (EXAMPLES / f"outline{kind}").read_bytes()
    names = {".svg": ("front", "back"), ".dxf": ("unaltered-front", "unaltered-back")}[kind]
    return import_block(read_drawing(data, kind), Wanted(*names), "cm").table


@pytest.mark.parametrize("kind", [".svg", ".dxf"])
def test_an_example_makes_whole_pieces(kind: str) -> None:
    """Nothing need be said but the names; darts and notches are carried."""
    block = block_from_outline(table(kind), "cm")
    assert all(rest.whole and rest.lines and rest.notches for rest in block.rests.values())
    assert 700 < block.heights["crotch"] < 800


def test_both_examples_are_the_same_block() -> None:
    """The SVG and the DXF show the same pieces: every seam within a tenth of a millimeter."""
    one, other = (block_from_outline(table(kind), "cm") for kind in (".svg", ".dxf"))
    for edge in EDGES:
        y = [0.0, 100.0, 300.0, 500.0, 700.0]
        assert one.reach(edge, y) == pytest.approx(other.reach(edge, y), abs=0.1)


@pytest.mark.parametrize("kind", ["svg", "dxf"])
def test_the_examples_say_that_they_are_invented(kind: str) -> None:
    """No one takes them for a real person's pattern."""
    assert "Invented example" in (EXAMPLES / f"outline.{kind}").read_text("utf-8")
