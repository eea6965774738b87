from dataclasses import replace
from typing import Literal, get_args
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from defusedxml.ElementTree import fromstring

from legtaper.outputs.cutter_words import outlines
from legtaper.outputs.drawing import DASHES, WIDTHS, Drawing, Label, Layer, Piece, Stroke
from legtaper.outputs.svg import COLORS, PURPOSES, render

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
    """Return an invented panel with one stroke of each kind that a drawing has."""
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
    """Width, height and viewBox say the same number of millimeters."""
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
    assert by_id(root, "piece-scale-square").find(".//s:path[@id='scale-square']", NS) is not None
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


def test_golden_path() -> None:
    """The heights are turned over, four decimals are kept, and the attributes stand in order."""
    assert (
        '<path id="front-net" class="net"'
        ' d="M10,278.7654 L90,278.7654 L80,78.7654 L20,78.7654"'
        ' stroke-width="0.35" />'
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
    assert (arrows.get("fill"), arrows.get("stroke")) == (COLORS["mark"], "none")


def test_labels() -> None:
    """A label has its size in mm, its anchor, and turns counter-clockwise about it."""
    label = Label("cut 2 (one pair)", (30.0, 100.0), 6.0, 90.0, "middle")
    root = fromstring(render(sheet(panel(labels=(label,)))))
    (text,) = by_id(root, "piece-front").findall(".//s:text", NS)
    assert text.text == "cut 2 (one pair)"
    assert (text.get("font-size"), text.get("text-anchor")) == ("6", "middle")
    assert text.get("transform") == "rotate(-90 30 200)"


def test_notes_stand_once_below_the_sheet() -> None:
    """Notes take a strip of their own, wrapped to the width, so that they cover no line."""
    notes = ("Test in cheap fabric.", "word " * 39)
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
    shown += [element.text or "" for element in by_id(root, "piece-front").findall(".//s:text", NS)]
    for line in shown:
        assert line.isprintable()
        assert 0 < len(line) <= 200


def test_the_script_is_shown_as_it_was_typed() -> None:
    """Markup in a label is escaped, not dropped."""
    root = fromstring(render(sheet(panel(labels=(Label("]]> <b>&", (0.0, 0.0)),)))))
    assert by_id(root, "piece-front").findtext(".//s:text", None, NS) == "]]> <b>&"


@pytest.mark.parametrize("wrong", [np.nan, np.inf])
def test_a_coordinate_must_be_a_number(wrong: float) -> None:
    """A broken coordinate is refused instead of being written."""
    stroke = Stroke("broken", "net", np.array([(0.0, 0.0), (wrong, 10.0)]))
    with pytest.raises(ValueError, match="finite"):
        render(sheet(panel("front", stroke)))


def test_lines_stand_in_a_group_for_what_they_are_for() -> None:
    """Cut, stitch, fold, mark and text, each with its class and a color of its own."""
    label = Label("cut 2", (30.0, 100.0))
    group = by_id(fromstring(render(sheet(panel(labels=(label,))))), "piece-front")
    inner = group.findall("s:g", NS)
    assert [one.get("class") for one in inner] == ["cut", "stitch", "fold", "mark", "text"]
    assert [one.get("stroke") for one in inner[:-1]] == list(COLORS.values())[:-1]
    assert (inner[-1].get("fill"), inner[-1].get("stroke")) == (COLORS["text"], "none")
    assert len(set(COLORS.values())) == len(COLORS)
    held = [[path.get("class") for path in one.findall("s:path", NS)] for one in inner]
    assert held == [["cut"], ["net"], ["hem-fold"], ["block", "grainline", "grainline"], []]


@pytest.mark.parametrize("layer", get_args(Layer))
def test_every_layer_has_a_purpose(layer: Layer) -> None:
    """So that no line is left out of the groups."""
    assert PURPOSES[layer] in COLORS


@pytest.mark.parametrize("reverse", [False, True])
def test_a_cutting_line_without_a_top_is_closed_along_the_join(reverse: bool) -> None:
    """It goes on from its end to the nearer end of the join, along it, and back to its start."""
    points = np.array([(10.0, 250.0), (10.0, 20.0), (90.0, 20.0), (90.0, 200.0)])
    join = np.array([(20.0, 248.0), (80.0, 198.0)])
    strokes = (
        Stroke("leg-cut", "cut", points),
        Stroke("leg-join", "join", join[::-1] if reverse else join),
    )
    root = fromstring(render(sheet(Piece("leg", "Leg", strokes))))
    assert by_id(root, "leg-cut").get("d") == "M10,50 L10,280 L90,280 L90,100 L80,102 L20,52 Z"
    assert by_id(root, "leg-join").get("d", "")[-1] != "Z"


def test_words_are_left_out_or_drawn_as_outlines() -> None:
    """Then no text element is left, notes and squares included; outlines are closed paths."""
    label = Label("Hi", (30.0, 100.0), 7.0)
    drawing = sheet(panel(labels=(label,)), notes=("A note.",))
    for words in ("none", "outlines"):
        root = fromstring(render(drawing, words))  # type: ignore[arg-type]  # both are known
        assert root.findall(".//s:text", NS) == []
        letters = [one for one in root.iter() if (one.get("id") or "").startswith("front-letter")]
        assert len(letters) == (3 if words == "outlines" else 0)  # H, and i with its dot
        assert all((letter.get("d") or "").endswith("Z") for letter in letters)


@pytest.mark.parametrize(
    ("anchor", "left", "right"), [("start", 30, 58), ("middle", 16, 44), ("end", 2, 30)]
)
def test_outlines_of_letters_stand_where_the_text_would(
    anchor: Literal["start", "middle", "end"], left: float, right: float
) -> None:
    """As tall as the letters of the font, 0.73 of the size; from the anchor as the label says."""
    points = np.vstack(outlines(Label("HHHH", (30.0, 100.0), 9.31, anchor=anchor)))
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    assert (y0, y1) == pytest.approx((100, 100 + 0.729 * 9.31), abs=0.05)
    assert (x0, x1) == pytest.approx((left, right), abs=1.0)


def test_outlines_turn_with_their_label() -> None:
    """A quarter turn counter-clockwise about the anchor."""
    level = np.vstack(outlines(Label("Hy", (30.0, 100.0), 8.0)))
    turned = np.vstack(outlines(Label("Hy", (30.0, 100.0), 8.0, angle=90.0)))
    (dx, dy) = (level - (30, 100)).T
    assert turned == pytest.approx(np.column_stack((30 - dy, 100 + dx)))
