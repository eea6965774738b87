from dataclasses import replace
from typing import get_args
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from defusedxml.ElementTree import fromstring

from legtaper.outputs.drawing import DASHES, WIDTHS, Drawing, Label, Layer, Piece, Stroke
from legtaper.outputs.svg import render

HOSTILE = [
    "\x1b[31mred\x1b[0m\x07",
    "]]> <script>alert(1)</script> &amp; \"quoted\" 'twice'",
    "turned \u202e round \u2066",
    "two\nlines\r\nand\ttabs \x00\x0b",
    "x" * 10_000,
    "lone \ud800 \uffff",
]
NS = {"s": "http://www.w3.org/2000/svg"}


def panel(name: str = "front", *more: Stroke, labels: tuple[Label, ...] = ()) -> Piece:
    """Return an invented panel with one stroke of each kind that the contract names."""
    leg = np.array([(10.0, 20.0), (90.0, 20.0), (80.0, 220.0), (20.0, 220.0)])
    strokes = (
        Stroke(f"{name}-block", "block", leg),
        Stroke(f"{name}-net", "net", leg + (0, 1.23456)),
        Stroke(f"{name}-cut", "cut", leg, closed=True),
        Stroke(f"{name}-grainline", "grainline", np.array([(50.0, 60.0), (50.0, 200.0)])),
        Stroke(f"{name}-hem-fold", "hem-fold", np.array([(10.0, 40.0), (90.0, 40.0)])),
    )
    return Piece(name, f"{name.title()} panel", strokes + more, labels)


def sheet(*pieces: Piece, notes: tuple[str, ...] = ()) -> Drawing:
    """Return a sheet of 400 by 300 mm."""
    return Drawing("Invented example", pieces, 400.0, 300.0, (200.0, 10.0), notes)


def by_id(root: ET.Element, name: str) -> ET.Element:
    """Return the one element of that id."""
    (found,) = [element for element in root.iter() if element.get("id") == name]
    return found


def test_one_user_unit_is_one_millimetre() -> None:
    """Width, height and viewBox say the same number of millimetres."""
    root = fromstring(render(sheet(panel())))
    assert (root.get("width"), root.get("height")) == ("400mm", "300mm")
    assert root.get("viewBox") == "0 0 400 300"


def test_ids_of_the_contract() -> None:
    """Every stroke stands under its own id, in a group per piece that carries a title."""
    root = fromstring(render(sheet(panel("front"), panel("back").moved(100, 0))))
    for name in ("front", "back"):
        group = by_id(root, f"piece-{name}")
        assert group.findtext("s:title", None, NS) == f"{name.title()} panel"
        for kind in ("block", "net", "cut", "grainline", "hem-fold"):
            assert by_id(group, f"{name}-{kind}").get("class") == kind
    assert by_id(root, "piece-scale-square").find("s:path[@id='scale-square']", NS) is not None
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


def test_golden_path() -> None:
    """The heights are turned over, four decimals are kept, and the attributes stand in order."""
    assert (
        '<path id="front-net" class="net"'
        ' d="M10,278.7654 L90,278.7654 L80,78.7654 L20,78.7654"'
        ' fill="none" stroke="black" stroke-width="0.35" stroke-linejoin="round" />'
    ) in render(sheet(panel()))


def test_closed_strokes_end_where_they_began() -> None:
    """A closed stroke ends in Z, an open one does not."""
    root = fromstring(render(sheet(panel())))
    assert by_id(root, "front-cut").get("d") == "M10,280 L90,280 L80,80 L20,80 Z"
    assert "Z" not in by_id(root, "front-block").get("d", "")


@pytest.mark.parametrize("layer", get_args(Layer))
def test_dashes_and_widths(layer: Layer) -> None:
    """Every layer has its own width and dashes, written on the element itself."""
    stroke = Stroke("mark", layer, np.array([(0.0, 0.0), (0.0, 10.0)]))
    path = by_id(fromstring(render(sheet(panel("front", stroke)))), "mark")
    assert float(path.get("stroke-width", "")) == WIDTHS.get(layer, 0.25)
    dashes = path.get("stroke-dasharray", "").split()
    assert tuple(map(float, dashes)) == DASHES.get(layer, ())


def test_grainline_has_arrow_heads_at_both_ends() -> None:
    """The heads are a filled path of their own: the line keeps its length."""
    root = fromstring(render(sheet(panel())))
    assert by_id(root, "front-grainline").get("d") == "M50,240 L50,100"
    arrows = by_id(root, "front-grainline-arrows")
    assert arrows.get("d") == "M50,240 L48.5,235 L51.5,235 Z M50,100 L51.5,105 L48.5,105 Z"
    assert (arrows.get("fill"), arrows.get("stroke")) == ("black", "none")


def test_labels() -> None:
    """A label has its size in mm, its anchor, and turns counter-clockwise about it."""
    label = Label("cut 2 (one pair)", (30.0, 100.0), 6.0, 90.0, "middle")
    root = fromstring(render(sheet(panel(labels=(label,)))))
    (text,) = by_id(root, "piece-front").findall("s:text", NS)
    assert text.text == "cut 2 (one pair)"
    assert (text.get("font-size"), text.get("text-anchor")) == ("6", "middle")
    assert text.get("transform") == "rotate(-90 30 200)"


def test_notes_stand_once_below_the_sheet() -> None:
    """Notes take a strip of their own, wrapped to the width, so that they cover no line."""
    notes = ("Test in cheap cloth.", "word " * 39)
    root = fromstring(render(sheet(panel(), notes=notes)))
    lines = by_id(root, "notes").findall("s:text", NS)
    assert " ".join(line.text or "" for line in lines).split() == " ".join(notes).split()
    tall = float(root.get("viewBox", "").split()[3])
    heights = [float(line.get("y", "")) for line in lines]
    assert heights == sorted(set(heights))
    assert heights[0] - 4 >= 300
    assert heights[-1] < tall
    assert max(0.6 * 4 * len(line.text or "") for line in lines) <= 390


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_text(text: str) -> None:
    """Typed text in titles, labels and notes adds no element and no control character."""
    label = Label(text, (0.0, 0.0))
    piece = replace(panel(labels=(label,)), title=text)
    drawing = replace(sheet(piece, notes=(text,)), title=text)
    root = fromstring(render(drawing).encode())
    assert {element.tag.partition("}")[2] for element in root.iter()} == {
        *("svg", "title", "g", "path", "text")
    }
    shown = [root.findtext("s:title", "", NS)]
    shown += [element.text or "" for element in by_id(root, "piece-front").findall("s:text", NS)]
    for line in shown:
        assert line.isprintable()
        assert 0 < len(line) <= 200


def test_the_script_is_shown_as_it_was_typed() -> None:
    """Markup in a label is escaped, not dropped."""
    root = fromstring(render(sheet(panel(labels=(Label("]]> <b>&", (0.0, 0.0)),)))))
    assert by_id(root, "piece-front").findtext("s:text", None, NS) == "]]> <b>&"


@pytest.mark.parametrize("wrong", [np.nan, np.inf])
def test_a_coordinate_must_be_a_number(wrong: float) -> None:
    """A broken coordinate is refused instead of being written."""
    stroke = Stroke("broken", "net", np.array([(0.0, 0.0), (wrong, 10.0)]))
    with pytest.raises(ValueError, match="finite"):
        render(sheet(panel("front", stroke)))
