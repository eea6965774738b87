"""Drawings of a few hundred bytes that would take for ever are refused in one line, at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

SOON = 30  # s; a drawing that hung the reader took longer than any patience

ASK = """
import sys
from legtaper.block_sources.drawing_file import read_drawing
from legtaper.model.project import ProjectError
data = sys.stdin.buffer.read()
try:
    found = read_drawing(data, sys.argv[1], unit="mm" if sys.argv[1] == ".dxf" else None)
    print("read", len(found.outlines))
except ProjectError as error:
    print("refused", error)
"""


def asked(data: str, kind: str) -> str:
    """Return what a process of its own says of a drawing; it may not take long."""
    done = subprocess.run(
        [sys.executable, "-c", ASK, kind],
        input=data.encode(), capture_output=True, timeout=SOON, check=True,
    )  # fmt: skip
    return done.stdout.decode()


def dxf(entities: str) -> str:
    """Return a drawing with these entities."""
    return f"0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"


@pytest.mark.parametrize(
    "transform",
    [
        "matrix(" + "1" * 60 + "x)",
        "translate(" + "1" * 200 + ";",
        "rotate(" + "1," * 5000 + "(",
        "scale(1)" * 2000 + "!",
        "translate(1e5 2" + " " * 50_000 + "x",
    ],
)
def test_a_transform_is_read_once(transform: str) -> None:
    """A list of digits that ends in something else is refused as fast as it is long."""
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg"><rect id="a" width="9" transform="{transform}"/>'
    )
    assert asked(svg + "</svg>", ".svg").startswith("refused a: its transform")


@pytest.mark.parametrize(
    "entity",
    [
        "0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n1e20\n",
        "0\nCIRCLE\n8\n0\n10\n1e300\n20\n0\n40\n5\n",
        "0\nARC\n8\n0\n10\n0\n20\n0\n40\n1e18\n50\n0\n51\n359\n",
        "0\nELLIPSE\n8\n0\n10\n0\n20\n0\n11\n1e15\n21\n0\n31\n0\n40\n0.5\n41\n0\n42\n6.28\n",
    ],
)
def test_a_curve_larger_than_any_paper_is_refused_before_it_is_drawn(entity: str) -> None:
    """A radius of 1e20 would need more straight pieces than there is memory."""
    assert asked(dxf(entity), ".dxf").startswith("refused holds a coordinate that is no usable")


def test_the_example_is_read_the_same_way() -> None:
    """The way that refuses these reads a drawing that is sound."""
    example = Path(__file__).parents[2] / "examples" / "outline.dxf"
    assert asked(example.read_text(encoding="utf-8"), ".dxf").startswith("read ")
