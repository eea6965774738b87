import io
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

import ezdxf
import numpy as np
import pytest

from legtaper.outputs.drawing import DASHES, Drawing, Label, Layer, Piece, Stroke
from legtaper.outputs.dxf import ASTM, LINETYPES, render

HOSTILE = [
    "\x1b[31mred\x1b[0m\x07",
    "]]> <script>alert(1)</script>",
    "turned \u202e round \u2066",
    "two\n  0\nENDSEC\n  0\nEOF\n",
    "x" * 10_000,
    "lone \ud800 \uffff",
]


def panel(name: str = "front", *more: Stroke, labels: tuple[Label, ...] = ()) -> Piece:
    """Return an invented panel, its lower left corner at (10, 20)."""
    leg = np.array([(10.0, 20.0), (90.0, 20.0), (80.0, 220.0), (20.0, 220.0)])
    strokes = (
        Stroke(f"{name}-cut", "cut", leg, closed=True),
        Stroke(f"{name}-net", "net", leg + (0, 1.23456)),
    )
    return Piece(name, f"{name.title()} panel", strokes + more, labels)


def sheet(*pieces: Piece, notes: tuple[str, ...] = ()) -> Drawing:
    """Return a sheet of 400 by 300 mm."""
    return Drawing("Invented example", pieces, 400.0, 300.0, (200.0, 10.0), notes)


def read(data: bytes) -> Any:
    """Return the document that the bytes hold."""
    return ezdxf.read(io.StringIO(data.decode("utf-8")))  # type: ignore[attr-defined]


def test_units_are_millimetres() -> None:
    """The header says millimeters and metric, and shows the sheet."""
    document = read(render(sheet(panel())))
    assert (document.header["$INSUNITS"], document.header["$MEASUREMENT"]) == (4, 1)
    assert document.header["$EXTMAX"][:2] == (400.0, 300.0)
    assert document.blocks.get("front").units == 4


def test_one_block_per_piece_inserted_once() -> None:
    """Each piece is a block with its corner at the origin, and stands once at its place."""
    document = read(render(sheet(panel("front"), panel("back").moved(100, 0))))
    inserts = document.modelspace().query("INSERT")
    places = {insert.dxf.name: tuple(insert.dxf.insert)[:2] for insert in inserts}
    assert len(inserts) == len(places) == 3
    assert places == {"front": (10, 20), "back": (110, 20), "scale-square": (200, 10)}
    cut = document.blocks.get("back").query("LWPOLYLINE[layer=='1']").first
    assert [tuple(point) for point in cut.get_points("xy")] == [
        *((0, 0), (80, 0), (70, 200), (10, 200))
    ]
    assert cut.closed


def test_open_lines_stay_open() -> None:
    """A stroke that is not closed is an open polyline with its points to four decimals."""
    document = read(render(sheet(panel())))
    net = document.blocks.get("front").query("LWPOLYLINE[layer=='14']").first
    assert not net.closed
    assert tuple(net.get_points("xy")[0]) == (0, 1.2346)


@pytest.mark.parametrize("layer", get_args(Layer))
def test_every_layer_has_its_place(layer: Layer) -> None:
    """Each of our layers lands on its ASTM layer, with the dashes that the drawing has."""
    stroke = Stroke("mark", layer, np.array([(30.0, 30.0), (30.0, 37.0), (31.0, 40.0)]))
    document = read(render(sheet(panel("front", stroke))))
    (mark,) = [e for e in document.blocks.get("front").query("LWPOLYLINE") if len(e) == 3]
    assert mark.dxf.layer == ASTM[layer]
    assert ASTM[layer] in document.layers
    assert mark.dxf.linetype == LINETYPES.get(layer, "Continuous")
    if layer in DASHES:
        pattern = document.linetypes.get(mark.dxf.linetype).pattern_tags.tags
        assert [abs(tag.value) for tag in pattern if tag.code == 49] == list(DASHES[layer])


def test_old_and_new_line_differ() -> None:
    """The old seam line is no sew line, and differs from the new one by its dashes too."""
    assert ASTM["block"] != ASTM["net"]
    assert "block" in LINETYPES
    assert "net" not in LINETYPES


def test_labels_and_notes() -> None:
    """Labels stand in the block with size, turn and anchor; notes once, below the sheet."""
    label = Label("½ in — cut 2", (30.0, 100.0), 6.0, 90.0, "middle")
    document = read(render(sheet(panel(labels=(label,)), notes=("Test in cheap fabric.", "Two."))))
    text, *_ = document.blocks.get("front").query("TEXT")
    assert (text.dxf.text, text.dxf.layer) == ("½ in — cut 2", "15")
    assert (text.dxf.height, text.dxf.rotation) == (6, 90)
    align, place, _ = text.get_placement()
    assert (align.name, tuple(place)[:2]) == ("CENTER", (20, 80))
    notes = document.modelspace().query("TEXT")
    assert [note.dxf.text for note in notes] == ["Test in cheap fabric.", "Two."]
    assert all(note.dxf.insert.y < 0 for note in notes)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text(text: str) -> None:
    """Typed text cannot end a section or bring a control character into the file."""
    piece = replace(panel(labels=(Label(text, (0.0, 0.0)),)), title=text)
    document = read(render(replace(sheet(piece, notes=(text,)), title=text)))
    label, *about = document.blocks.get("front").query("TEXT")
    assert len(about) == 4
    assert all(one.dxf.text.isprintable() for one in about)
    (note,) = document.modelspace().query("TEXT")
    assert label.dxf.text == note.dxf.text
    assert label.dxf.text.isprintable()
    assert 0 < len(label.dxf.text) <= 200
    assert len(document.modelspace().query("INSERT")) == 2


def test_same_drawing_same_bytes() -> None:
    """The bytes do not depend on the process, the moment or the order of hashes."""
    code = (
        "import sys; sys.path.insert(0, sys.argv[1]); import test_dxf as t; "
        "sys.stdout.buffer.write(t.render(t.sheet(t.panel(labels=(t.Label('a', (0, 0)),)))))"
    )
    here = str(Path(__file__).parent)
    outputs = {
        subprocess.run(
            [sys.executable, "-c", code, here],
            env={**os.environ, "PYTHONHASHSEED": seed},
            stdout=subprocess.PIPE,
            check=True,
        ).stdout
        for seed in ("0", "4")  # two seeds that order ezdxf's own sets differently
    }
    assert outputs == {render(sheet(panel(labels=(Label("a", (0, 0)),))))}


def test_the_option_of_the_library_is_put_back() -> None:
    """Fixed dates are for our file only, also when a drawing is refused."""
    options = ezdxf.options  # type: ignore[attr-defined]
    broken = Stroke("broken", "net", np.array([(0.0, 0.0), (np.nan, 10.0)]))
    with pytest.raises(ValueError, match="finite"):
        render(sheet(panel("front", broken)))
    assert not options.write_fixed_meta_data_for_testing


def test_a_piece_says_name_size_quantity_and_unit() -> None:
    """On layer 15, one field a line; a size without a name is made to measure."""
    for size in ("", "easy taper"):
        drawing = replace(sheet(replace(panel(), quantity=2)), size=size)
        texts = read(render(drawing)).blocks.get("front").query("TEXT")
        assert {text.dxf.layer for text in texts} == {"15"}
        assert {text.dxf.text for text in texts} == {
            "Piece Name: Front panel", "Quantity: 2", "Units: METRIC",
            f"Size: {size or 'made to measure'}",
        }  # fmt: skip


def test_no_point_is_given_twice() -> None:
    """Neither one after the other nor, in a ring, the first again at its end."""
    ring = np.array([(0.0, 0.0), (0.0, 0.0), (50.0, 0.0), (50.0, 9.0), (50.00001, 9.0), (0.0, 0.0)])
    strokes = (Stroke("ring", "cut", ring, closed=True), Stroke("line", "net", ring[:-1]))
    block = read(render(sheet(Piece("leg", "Leg", strokes)))).blocks.get("leg")
    held = {line.dxf.layer: [point[:2] for point in line.get_points()]
            for line in block.query("LWPOLYLINE")}  # fmt: skip
    assert held == {"1": [(0, 0), (50, 0), (50, 9)], "14": [(0, 0), (50, 0), (50, 9)]}


def test_words_are_left_out_or_drawn_as_outlines() -> None:
    """Outlines are closed lines on the layer of text; fields for cutting programs stay."""
    drawing = sheet(panel(labels=(Label("Hi", (30.0, 100.0), 7.0),)), notes=("A note.",))
    for words, count in (("none", 0), ("outlines", 3)):
        document = read(render(drawing, words))  # type: ignore[arg-type]  # both are known
        block = document.blocks.get("front")
        assert len(document.modelspace().query("TEXT")) == 0
        assert len(block.query("TEXT")) == 4
        letters = [line for line in block.query("LWPOLYLINE") if line.dxf.layer == "15"]
        assert len(letters) == count
        assert all(line.closed for line in letters)
