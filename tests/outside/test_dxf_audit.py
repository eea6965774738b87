"""The DXF as another reader sees it: ezdxf's audit, its own reading and its bounding boxes.

Layer numbers: ASTM D6673. Unit code 4 is millimeters (DXF reference, $INSUNITS).
"""

import io
from typing import Any, get_args

import ezdxf
import numpy as np
import pytest
from ezdxf import bbox

from legtaper.outputs.drawing import Drawing, Label, Layer, Piece, Stroke
from legtaper.outputs.dxf import render

CORNERS = np.array([(60.0, 40.0), (160.0, 40.0), (150.0, 1010.0), (70.0, 1010.0)])
TEXTS = (
    "",
    "½ in",
    "\x1b[2J",
    "]]><script>",
    "\u202eturned",
    "a\n0\nEOF",
    "x" * 10_000,
    "👖 %%u ^J",
)


@pytest.fixture(scope="module")
def document() -> Any:
    """Return an invented drawing with every layer and hostile labels, as ezdxf reads it."""
    strokes = [Stroke("front-cut", "cut", CORNERS, closed=True)]
    strokes += [Stroke(f"front-{layer}", layer, CORNERS[:2] + 5) for layer in get_args(Layer)]
    labels = tuple(Label(text, (80.0, 100.0 + 10 * k)) for k, text in enumerate(TEXTS))
    front = Piece("front", "Front", tuple(strokes), labels)
    back = Piece("back", "Back", (Stroke("back-cut", "cut", CORNERS + (200, 0), closed=True),))
    data = render(Drawing("Invented", (front, back), 500.0, 1100.0, (380.0, 60.0), TEXTS))
    return ezdxf.read(io.StringIO(data.decode("utf-8")))  # type: ignore[attr-defined]


def test_audit_finds_nothing(document: Any) -> None:
    """The audit has nothing to report and nothing to repair."""
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])


@pytest.mark.parametrize(
    ("name", "box"),
    [
        ("front", (60, 40, 165, 1010)),
        ("back", (260, 40, 360, 1010)),
        ("scale-square", (380, 60, 380 + 50 + 10 + 50.8, 60 + 50.8)),
    ],
)
def test_bounding_box_in_millimetres(document: Any, name: str, box: tuple[float, ...]) -> None:
    """An inserted piece lies at its place on the sheet, to a ten-thousandth of a millimeter."""
    insert = document.modelspace().query(f"INSERT[name=='{name}']").first
    lines = [entity for entity in insert.virtual_entities() if entity.dxftype() != "TEXT"]
    found = bbox.extents(lines)
    assert (*found.extmin.vec2, *found.extmax.vec2) == pytest.approx(box, abs=1e-4)
    assert document.units == 4


def test_layers(document: Any) -> None:
    """Only the layers of the standard are used: 1, 4, 7, 8, 14 and 15."""
    used = {
        entity.dxf.layer
        for name in ("front", "back", "scale-square")
        for entity in document.blocks.get(name)
    }
    assert used == {"1", "4", "7", "8", "14", "15"}
