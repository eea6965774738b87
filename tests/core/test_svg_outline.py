"""Reading SVG: every way to write the same outline, and every way to do harm."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sample
import shapely
import tracings
from tracings import NAMES, wrap

from legtaper.block_sources.imported import block_from_outline, outline_table
from legtaper.block_sources.panel_outline import Asked, propose, propose_pair
from legtaper.block_sources.svg_reading import other_scales, read_svg
from legtaper.block_sources.traced import Traced, check_size, named
from legtaper.geometry.curves import Array
from legtaper.model.project import EDGES, Allowance, PanelName, ProjectError
from legtaper.outputs import svg
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.outputs.piece_words import Printing
from legtaper.pattern import block_of, build

NEAR = 0.05  # mm


GRAIN = {
    name: tracings.path_data(tracings.on_sheet([(0, 50), (0, 700)], name), closed=False)
    for name in NAMES
}


def apart(points: Any, others: Any) -> float:
    """Return the most that either closed line lies off the other, mm."""
    rings = [shapely.LinearRing(np.asarray(ring, float)) for ring in (points, others)]
    return float(shapely.hausdorff_distance(*rings, densify=0.2))


def same(data: bytes, px: float = 96.0, asked: Asked | None = None) -> None:
    """Assert that a drawing of the invented panels reads as those panels."""
    found = read_svg(data, px)
    for name in NAMES:
        wanted = tracings.outline(name)
        proposal = propose(named(found, name, name), name, asked)
        assert apart(proposal.outline.points, wanted.points) <= NEAR
        for role, number in wanted.corners.items():
            if role != "hip":
                x, y = wanted.points[number]
                there = proposal.outline.points[proposal.outline.corners[role]]
                assert there == pytest.approx((x, y), abs=NEAR), role


@pytest.mark.parametrize("unit", tracings.MM)
def test_the_same_outline_in_every_unit(unit: str) -> None:
    """Millimetres, centimeters, inches, points, picas and px: the same panel, corner by corner."""
    same(tracings.drawing(unit))


@pytest.mark.parametrize("px", [72.0, 90.0, 96.0])
def test_plain_numbers_count_the_px_that_are_said(px: float) -> None:
    """A drawing without any unit is as large as its px to the inch make it."""
    text = tracings.drawing("mm").decode().replace("1400.0mm", "1400").replace("1300.0mm", "1300")
    found = named(read_svg(text.encode(), px), "front", "front")
    true = np.ptp(np.array(tracings.outline("front").points)[:, 1])
    assert np.ptp(found.points[:, 1]) == pytest.approx(true * 25.4 / px, abs=NEAR)


@pytest.mark.parametrize("size", ["", 'width="100%" height="100%"', 'width="auto"'])
def test_a_drawing_as_large_as_its_window_counts_px(size: str) -> None:
    """Without a size of its own a unit of the viewBox is a px."""
    data = tracings.path_data(tracings.on_sheet(tracings.outline("front").points, "front"))
    head = f'{size} viewBox="0 0 1400 1300"'
    found = read_svg(wrap(f'<path id="front" d="{data}"/>', head), 25.4)[0]
    true = np.ptp(np.array(tracings.outline("front").points)[:, 1])
    assert np.ptp(found.points[:, 1]) == pytest.approx(true, abs=NEAR)


@pytest.mark.parametrize(
    "transform",
    [
        "translate(30 -45.5)",
        "translate(1400 0) scale(-1 1)",
        "translate(0 1300) scale(1,-1)",
        "rotate(90 700 650)",
        "rotate(180, 700, 650)",
        "rotate(-37 700 650)",
        "matrix(0 1 1 0 0 0)",
        "translate(5) rotate(12) scale(2) scale(.5) rotate(-12) translate(-5)",
    ],
)
def test_turned_and_mirrored_drawings_read_alike(transform: str) -> None:
    """Whatever way the panels lie, front and back come out as this program draws them."""
    same(tracings.drawing(transform=transform))


@pytest.mark.parametrize("groups", [1, 2, 7])
def test_groups_move_what_is_in_them(groups: int) -> None:
    """Transforms of nested groups add up."""
    same(tracings.drawing(groups=groups))


def test_a_clone_is_read_where_it_stands() -> None:
    """`use` draws a panel from the definitions; its own name and the panel's both serve."""
    body = ""
    for name in NAMES:
        data = tracings.path_data(tracings.on_sheet(tracings.outline(name).points, name) - (40, 30))
        body += f'<defs><g id="{name}-def"><path id="{name}-path" d="{data}"/></g></defs>'
        body += f'<use id="{name}" xlink:href="#{name}-def" x="40" y="30"/>'
        body += f'<path id="{name}-grain" d="{GRAIN[name]}"/>'
    same(wrap(body))
    assert named(read_svg(wrap(body)), "front-path", "front").area > 1e5


def test_a_symbol_is_read_where_it_is_used() -> None:
    """Some programs define symbols; they are drawn by `use` alone."""
    data = tracings.path_data(tracings.on_sheet(tracings.outline("front").points, "front"))
    body = f'<symbol id="s"><path d="{data}"/></symbol>'
    assert read_svg(wrap(body)) == ()
    assert len(read_svg(wrap(body + '<use id="front" href="#s"/>'))) == 1


def test_layers_may_be_called_by_their_label() -> None:
    """Drawing programs show a label of their own; a person knows no other name."""
    data = tracings.path_data(tracings.on_sheet(tracings.outline("front").points, "front"))
    label = 'xmlns:i="http://www.inkscape.org/namespaces/inkscape" i:label="Front leg"'
    found = read_svg(wrap(f'<g id="g1" {label}><path id="p1" d="{data}"/></g>'))
    assert named(found, "Front leg", "front") is named(found, "p1", "front")


def test_shapes_are_outlines_too() -> None:
    """A polygon, a rectangle and an ellipse have the area that geometry gives them."""
    body = (
        '<polygon id="a" points="0,0 300,0 300,400"/><rect id="b" width="200" height="500"/>'
        '<ellipse id="c" cx="500" cy="500" rx="200" ry="300"/>'
    )
    areas = {one.id: one.area for one in read_svg(wrap(body))}
    assert areas["a"] == pytest.approx(60_000, rel=5e-6)
    assert areas["b"] == pytest.approx(100_000, rel=1e-5)
    assert areas["c"] == pytest.approx(np.pi * 60_000, rel=2e-4)


def test_curves_are_followed_to_a_hair() -> None:
    """A cubic, a quadratic and an arc lie within 0.02 mm of points computed by their formulas."""
    t = np.linspace(0, 1, 400)[:, None]
    corners = np.array([(0, 0), (100, -300), (400, 500), (600, 0)], float)
    cubic = sum(k * t**i * (1 - t) ** (3 - i) * p for i, (k, p) in
                enumerate(zip((1, 3, 3, 1), corners, strict=True)))  # fmt: skip
    quadratic = (1 - t) ** 2 * (600, 0) + 2 * t * (1 - t) * (700, 400) + t**2 * (600, 900)
    angles = np.radians(np.linspace(0, 180, 400))
    arc = np.column_stack([300 + 300 * np.cos(angles), 900 + 300 * np.sin(angles)])
    data = "M0 0C100-300 400 500 600 0Q700 400 600 900A300 300 0 0 1 0 900z"
    points = read_svg(wrap(f'<path id="a" d="{data}"/>'))[0].points * (1, -1)
    ring = shapely.LinearRing(points)
    for true in (cubic, quadratic, arc):
        off = shapely.distance(ring, shapely.points(true)).max()
        assert off <= 0.02


def test_darts_inside_are_carried_along() -> None:
    """Open lines within the panel belong to it, and are moved as it is."""
    found = read_svg(tracings.drawing(transform="rotate(30)"))
    for name in NAMES:
        (wanted,) = tracings.outline(name).lines
        (line,) = propose(named(found, name, name), name).outline.lines
        assert np.array(line) == pytest.approx(np.array(wanted), abs=0.2)


def test_a_mark_across_the_edge_is_a_notch() -> None:
    """A short line that touches the outline is a notch where it does."""
    points = tracings.outline("front").points
    x, y = tracings.on_sheet([points[tracings.outline("front").corners["hip"]]], "front")[0]
    data = tracings.path_data(tracings.on_sheet(points, "front"))
    body = f'<path id="front" d="{data}"/><line x1="{x - 6}" x2="{x + 4}" y1="{y}" y2="{y}"/>'
    traced = named(read_svg(wrap(body)), "front", "front")
    assert traced.notches == (pytest.approx((x, -y), abs=0.1),)
    assert not traced.lines


# --- round trip ------------------------------------------------------------------------------


def imported(data: bytes, pattern: str, asked: Any = None) -> Any:
    """Return the block of two outlines of a drawing, by names such as "unaltered-{}-net".

    The hip is a choice that no drawing holds, so it is said.
    """
    hip = block_of(tracings.project()).heights["hip"]
    found, asked = read_svg(data), replace(asked or Asked(), hip=hip)
    pair = (named(found, pattern.format(n), n) for n in NAMES)
    proposals = propose_pair(*pair, {"front": asked, "back": asked})
    outlines = {name: proposal.outline for name, proposal in proposals.items()}
    return block_from_outline(outline_table(outlines, height=tracings.table().height), "in")


def test_our_own_drawing_comes_back_as_the_same_block() -> None:
    """Exported and imported again, every level and every seam is the same within 0.05 mm."""
    project = tracings.project()
    text = svg.render(draw_pattern(build(project), Printing("both")))
    again, block = imported(text.encode(), "unaltered-{}-net"), block_of(project)
    for level, y in block.heights.items():
        assert again.heights[level] == pytest.approx(y, abs=NEAR)
    for edge in EDGES:
        assert again.lengths[edge] == pytest.approx(block.lengths[edge], abs=NEAR)
        y = np.linspace(0, float(block.seams[edge].knots[-1]) - 1, 300)
        assert again.reach(edge, y) == pytest.approx(block.reach(edge, y), abs=NEAR)
    for name in NAMES:
        for line in ("waist", "crotch"):
            one, other = (getattr(b.rests[name], line) for b in (again, block))
            away = shapely.hausdorff_distance(shapely.LineString(one), shapely.LineString(other))
            assert away <= NEAR


def test_the_cut_line_less_its_allowances_is_the_net_line() -> None:
    """5/8 in all round and the fold-up of 1 1/2 in taken off, the block is there again."""
    project = replace(tracings.project(), allowance=Allowance(test=sample.length("5/8")))
    text = svg.render(draw_pattern(build(project), Printing("both")))
    asked = Asked(seam=15.875, hem=38.1)
    again = imported(text.encode(), "unaltered-{}-cut", asked)
    block = block_of(project)
    for edge in EDGES:
        y = np.linspace(0, block.blend_top("inseam") - 1, 200)
        assert again.reach(edge, y) == pytest.approx(block.reach(edge, y), abs=0.1)
    assert again.heights["crotch"] == pytest.approx(block.heights["crotch"], abs=0.3)


def test_a_leg_without_its_top_comes_back_too(measured_export: str) -> None:
    """The open outline of a block measured by level reads as the same block."""
    import sample

    again, block = imported_leg(measured_export), sample.block()
    assert not again.rests["front"].whole
    for level, y in block.heights.items():
        for edge in block.edges_at(level):
            assert float(again.reach(edge, y)) == pytest.approx(
                float(block.reach(edge, y)), abs=NEAR
            )


@pytest.fixture(scope="module")
def measured_export() -> str:
    """Return the drawing of the sample block, both legs."""
    import sample

    return svg.render(draw_pattern(build(sample.project()), Printing("both")))


def imported_leg(text: str) -> Any:
    """Return the block of the unaltered leg of a drawing."""
    found = read_svg(text.encode())
    pair = propose_pair(*(named(found, f"unaltered-{n}-net", n) for n in NAMES), {})
    return block_from_outline(outline_table({n: p.outline for n, p in pair.items()}), "in")


# --- scale -----------------------------------------------------------------------------------


def test_a_wrong_scale_is_asked_about() -> None:
    """A drawing of 1 px a millimeter read as 96 to the inch gives a leg of 28 cm: a question."""
    text = tracings.drawing("mm").decode().replace("1400.0mm", "1400").replace("1300.0mm", "1300")
    traced = named(read_svg(text.encode()), "front", "front")
    with pytest.raises(ProjectError) as caught:
        check_size(traced, "front", "cm", "px at 96", other_scales(96.0))
    assert "this leg would be 27" in str(caught.value)
    assert "px at 25.4" in str(caught.value)
    check_size(named(read_svg(tracings.drawing()), "front", "front"), "front", "cm", "mm", [])


# --- hostile files ---------------------------------------------------------------------------

LEG = tracings.path_data(tracings.on_sheet(tracings.outline("front").points, "front"))
JAGS = "".join(f"L{i / 20} {99 * (i % 2)}" for i in range(3_000))
HEAD = 'width="1400mm" height="1300mm" '
BOMB = (
    '<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in ("ab", "bc", "cd", "de", "ef", "fg"))
    + ']><svg xmlns="http://www.w3.org/2000/svg"><text>&g;</text></svg>'
).encode("ascii")
FILE = (
    '<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>'
    '<svg xmlns="http://www.w3.org/2000/svg"><text>&x;</text></svg>'
).encode("ascii")
USE_BOMB = "".join(
    f'<g id="u{n + 1}">{f"<use href={chr(34)}#u{n}{chr(34)}/>" * 20}</g>' for n in range(12)
)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (BOMB, "entities"),
        (FILE, "entities"),
        (b"", "no SVG drawing"),
        (b"\x00\x01\x02" * 50, "no SVG drawing"),
        (b"\x89PNG\r\n\x1a\n", "no SVG drawing"),
        (b"<html><body/></html>", "no SVG drawing"),
        (b"<svg " * 3000, "no SVG drawing"),
        (b" " * 50_000_000, "larger than 8 MB"),
        (wrap("<g>" * 3000 + "</g>" * 3000), "nested too deeply"),
        (wrap('<g id="u0"><path d="M0 0L9 9L0 9z"/></g>' + USE_BOMB), "more than"),
        (wrap('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>'), "inside itself"),
        (wrap('<use id="a" href="#a"/>'), "inside itself"),
        (wrap(f'<path d="M0 0{"L1 1 2 3" * 500_000}"/>'), "more than 50000 points"),
        (wrap('<rect width="1" height="1"/>' * 30_000), "more than 20000 elements"),
        (wrap('<path id="p" d="M0 0 L NaN 3 L 9 9z"/>'), "p: its d holds"),
        (wrap('<path id="p" d="M0 0 L 1e400 3 L 900 900z"/>'), ""),
        (wrap('<path id="p" d="M0 0 L 1e99 3 L 900 900z"/>'), "p: "),
        (wrap('<g id="p" transform="scale(nan)"/>'), "p: its transform holds"),
        (wrap('<rect id="p" width="inf" height="5"/>'), "p: its width holds"),
        (wrap('<rect width="200" height="900"/>' * 70), "more than 60 outlines"),
        (wrap(f'<path id="front" d="M0 0{JAGS}V900z"/>'), "all jags"),
        (
            wrap(f'<path d="M0 0{"A300 400 20 1 0 500 900 A300 400 20 1 0 0 0" * 5000}"/>'),
            "more than 200000 points",
        ),
        (wrap('<path d="M0 0A300 400 20 1 0 500 900z"/>' * 5000), "more than 200000 points"),
        (wrap("", HEAD + 'viewBox="0 0 0 100"'), "viewBox"),
        (wrap("", HEAD + 'viewBox="0 0 -5 100"'), "viewBox"),
        (wrap("", HEAD + 'viewBox="0 0 nan 100"'), "viewBox"),
        (wrap("", HEAD + 'viewBox="1 2 3"'), "viewBox"),
        (wrap("", 'width="0" height="100mm"'), "width: is 0"),
        (wrap("", 'style="display: none"'), "hidden"),
    ],
    ids=range(29),
)
def test_a_hostile_drawing_is_refused_in_one_line(data: bytes, says: str) -> None:
    """Bombs, nonsense and numbers that are none: one line with the place, no other exception."""
    with pytest.raises(ProjectError) as caught:
        propose(named(read_svg(data), "front", "front"), "front")
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 300


HARMLESS = (
    '<script>alert(1)</script><image href="http://127.0.0.1:9/x.png" width="10" height="10"/>'
    '<style>@import url("http://127.0.0.1:9/x.css");</style><foreignObject><p/></foreignObject>'
    '<use href="http://127.0.0.1:9/x.svg#a"/><use xlink:href="file:///etc/passwd#a"/>'
    '<text>front</text><clipPath id="c"><path d="M0 0h900v900z"/></clipPath><a/>'
    '<image href="data:image/png;base64,AAAA" width="1" height="1"/><animate attributeName="d"/>'
)


def test_what_is_no_shape_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Scripts, pictures, styles and what lies elsewhere are not read, and nothing is opened."""

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("something was opened")

    warm = read_svg(wrap(f'<path id="front" d="{LEG}"/>'))
    monkeypatch.setattr("socket.socket.connect", refuse)
    monkeypatch.setattr("builtins.open", refuse)
    found = read_svg(wrap(HARMLESS + f'<path id="front" onclick="x()" d="{LEG}"/>'))
    assert [one.id for one in found] == ["front"]
    assert found[0].points == pytest.approx(warm[0].points)


def test_a_plain_doctype_is_no_harm() -> None:
    """Older programs name the DTD of SVG; it is not fetched."""
    doctype = b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://127.0.0.1:9/svg11.dtd">'
    assert len(read_svg(doctype + wrap(f'<path id="front" d="{LEG}"/>'))) == 1


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ("M100 100L300 1000L100 1000L300 100z", "crosses itself"),
        ("M100 100H400V1000", "open by"),
        ("M100 100H400V1000H100z", "crotch point can't be told"),
    ],
)
def test_an_outline_that_is_no_leg_is_refused(data: str, says: str) -> None:
    """Self-crossing, open and shapeless outlines are named as the panel they should be."""
    traced = named(read_svg(wrap(f'<path id="front" d="{data}"/>')), "front", "front")
    with pytest.raises(ProjectError) as caught:
        propose(traced, "front")
    assert caught.value.key == "front"
    assert says in str(caught.value)


def test_an_open_outline_says_how_far_it_is_open() -> None:
    """Without the hem the outline is no leg: the gap is named, as wide as the hem."""
    outline = tracings.outline("front")
    points = tracings.on_sheet(outline.points, "front")
    open_at_hem = np.roll(points, -outline.corners["hem_outseam"], axis=0)
    data = tracings.path_data(open_at_hem, closed=False)
    with pytest.raises(ProjectError, match="front: the outline is open by 219 mm"):
        propose(read_svg(wrap(f'<path id="front" d="{data}"/>'))[0], "front")


def test_an_unknown_name_lists_those_there_are() -> None:
    """The answer to a wrong id names the outlines of the drawing."""
    with pytest.raises(ProjectError, match='no outline "Vorne"; the drawing has'):
        named(read_svg(tracings.drawing()), "Vorne", "front")
    with pytest.raises(ProjectError, match="no closed outline of the size of a leg"):
        named(read_svg(wrap('<path id="front" d="M0 0L9 9L0 9z"/>')), "front", "front")


def test_a_gap_of_a_hair_is_closed() -> None:
    """Ends within half a millimeter were meant to meet."""
    points: Array = tracings.on_sheet(tracings.outline("front").points, "front")
    nearly = np.vstack([points, points[:1] + 0.3])
    data = tracings.path_data(nearly, closed=False)
    traced: Traced = read_svg(wrap(f'<path id="front" d="{data}"/>'))[0]
    assert traced.closed
    panel: PanelName = "front"
    assert propose(traced, panel).outline.corners
