"""Reading a drawing can be stopped at every place where it asks whether to go on."""

from __future__ import annotations

import contextlib
import io
from pathlib import Path
from typing import Any, cast

import ezdxf
import pytest

from legtaper.block_sources.drawing_file import Kind, read_drawing
from legtaper.model.cancel import Cancelled
from legtaper.model.project import ProjectError

EXAMPLES = Path(__file__).parents[2] / "examples"


class Patience:
    """Says yes so many times."""

    def __init__(self, most: int) -> None:
        self.left, self.asked = most, 0

    def __call__(self) -> bool:
        """Say whether to go on."""
        self.asked += 1
        return self.asked <= self.left


def _many_lines(count: int) -> bytes:
    document = ezdxf.new()
    document.header["$INSUNITS"] = 4
    space: Any = document.modelspace()
    for number in range(count):
        space.add_line((number, 0), (number + 1, number % 7))
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode()


def _many_paths(count: int) -> bytes:
    paths = "".join(f'<path id="p{n}" d="M{n} 0 L{n + 9} 90 L{n} 99 Z"/>' for n in range(count))
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="900mm" viewBox="0 0 900 900">'
    return f"{head}{paths}</svg>".encode()


@pytest.mark.parametrize("kind", [".svg", ".dxf"])
def test_an_example_is_stopped_wherever_it_asks(kind: str) -> None:
    """From the first question to the last one before it is read."""
    data = (EXAMPLES / f"outline{kind}").read_bytes()
    counted = Patience(10**9)
    whole = read_drawing(data, cast("Kind", kind), going=counted)
    assert whole.outlines
    assert counted.asked > 3
    for most in sorted({0, 1, counted.asked // 2, counted.asked - 1}):
        patience = Patience(most)
        with pytest.raises(Cancelled):
            read_drawing(data, cast("Kind", kind), going=patience)
        assert patience.asked == most + 1  # nothing was done after it said no


@pytest.mark.parametrize(
    ("kind", "data"), [(".dxf", _many_lines(1500)), (".svg", _many_paths(500))], ids=["dxf", "svg"]
)
def test_a_large_drawing_asks_often(kind: str, data: bytes) -> None:
    """In proportion to its parts, so that no part of a large one goes on for long unasked."""
    counted = Patience(10**9)
    with contextlib.suppress(ProjectError):  # whether a leg is in it is another matter
        read_drawing(data, cast("Kind", kind), going=counted)
    assert counted.asked > len(data) / 400
