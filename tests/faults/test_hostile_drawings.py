"""Drawings of a few hundred bytes that would take for ever are refused in one line, at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from legtaper.block_sources.dxf_reading import read_dxf
from legtaper.model.project import ProjectError

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


@pytest.mark.parametrize(
    "drawn",
    [
        '<rect id="a" width="200" height="900" style="fill:none; transform:scale(2)"/>',
        '<style>.leg { transform : rotate(5deg) }</style><rect id="a" width="200" height="900"/>',
        '<g style="scale:2"><rect id="a" width="200" height="900"/></g>',
    ],
)
def test_a_style_that_scales_is_never_left_out_in_silence(drawn: str) -> None:
    """Browsers scale by it; without it the leg would have another size than was drawn."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg">{drawn}</svg>'
    assert "is moved or scaled by its style" in asked(svg, ".svg")
    harmless = svg.replace("transform:", "text-transform:").replace("transform :", "x-transform:")
    assert asked(harmless.replace("scale:", "stroke-scale:"), ".svg").startswith("read")


def test_more_parts_than_a_pattern_has_are_counted_before_they_are_parsed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """100,000 lines took 12 s to parse until they were refused."""
    line = "0\nLINE\n8\n0\n10\n0\n20\n0\n11\n0\n21\n9\n"
    vertices = "0\nVERTEX\n8\n0\n10\n0\n20\n0\n" * 30_000

    def parsed(*_: object) -> None:
        raise AssertionError("parsed")

    monkeypatch.setattr("legtaper.block_sources.dxf_reading.WatchedText", parsed)
    with pytest.raises(ProjectError, match="more than 20000 parts; save only the two panels"):
        read_dxf(dxf(line * 20_001).encode(), "mm")
    with pytest.raises(ProjectError, match="no DXF drawing that can be read"):  # so it was tried
        read_dxf(dxf(line + "0\nPOLYLINE\n8\n0\n66\n1\n" + vertices + "0\nSEQEND\n").encode(), "mm")
