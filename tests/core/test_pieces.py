from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import sample
import shapely
from shapely import affinity

from legtaper.files.project_file import read_project
from legtaper.files.store import load
from legtaper.model.project import PANELS, Design, Project, Round
from legtaper.outputs.drawing import DASHES, LINES, SEEN, Drawing, Label, Piece
from legtaper.outputs.pattern_drawing import CAUTIONS, block_outline, draw_pattern
from legtaper.outputs.piece_words import Printing
from legtaper.pattern import build, unaltered

IN = 25.4
EXAMPLES = Path(__file__).parents[2] / "examples"
SLIM = sample.design(take_in={}, width=sample.lengths(hem="12"), slit="auto")


def _drawn(design: Design | None = None, leg: Any = "narrowed", **parts: Any) -> Drawing:
    project = sample.project(design or sample.design(), **parts)
    return draw_pattern(build(project), Printing(leg, date(2026, 3, 20)))


def _texts(piece: Piece) -> list[str]:
    return [label.text for label in piece.labels]


def _ids(drawing: Drawing) -> set[str]:
    return {stroke.id for piece in drawing.pieces for stroke in piece.strokes}


def test_every_line_of_the_contract_is_drawn() -> None:
    """Block, net, cut, grainline and hem fold of both panels, by the names that others rely on."""
    drawing = _drawn()
    assert [piece.name for piece in drawing.pieces] == ["front", "back"]
    for name in ("front", "back"):
        for part in ("block", "net", "cut", "grainline", "hem-fold", "join"):
            assert f"{name}-{part}" in _ids(drawing)


@pytest.mark.parametrize("leg", ["narrowed", "unaltered", "both"])
def test_no_two_lines_have_the_same_name(leg: str) -> None:
    """Ids are unique in a drawing, with slit, double hem and both legs too."""
    design = sample.design(
        take_in={}, width=sample.lengths(hem="12"), slit="auto", hem=sample.hem("double")
    )
    drawing = _drawn(design, leg)
    ids = [stroke.id for piece in drawing.pieces for stroke in piece.strokes]
    assert len(ids) == len(set(ids))


def test_both_legs_are_told_apart() -> None:
    """The unaltered leg has names and words of its own, and no old line beside its own."""
    drawing = _drawn(leg="both")
    names = [piece.name for piece in drawing.pieces]
    assert names == ["front", "back", "unaltered-front", "unaltered-back"]
    unaltered = drawing.pieces[2]
    assert "FRONT - LEFT LEG, as the block" in _texts(unaltered)
    assert "piece 3 of 4: cut 1, turn over" in _texts(unaltered)
    assert "FRONT - RIGHT LEG, narrowed" in _texts(drawing.pieces[0])
    assert "piece 1 of 4: cut 1, face up" in _texts(drawing.pieces[0])
    assert "unaltered-front-block" not in _ids(drawing)
    assert [piece.name for piece in _drawn(leg="unaltered").pieces] == names[2:]


def test_a_piece_says_what_it_is() -> None:
    """Name, how often to cut, design, project, round and date."""
    drawing = _drawn(rounds=(Round("easy taper", notes="Sat in it."),))
    texts = _texts(drawing.pieces[1])
    assert "BACK - narrowed leg" in texts
    assert "piece 2 of 2: cut 2 (one pair)" in texts
    assert "RIGHT face up, LEFT turn over" in texts
    assert "design: easy taper" in texts
    assert "Courier trousers" in texts
    assert "tried on in round 1, 2026-03-20" in texts
    both = _drawn(leg="both", rounds=(Round("easy taper", notes="Sat in it."),))
    assert "round 2, 2026-03-20" in _texts(both.pieces[1])
    assert "grainline" in texts
    assert "fold up 1 1/2 in here" in texts


def test_a_piece_names_every_line_that_is_drawn_on_it() -> None:
    """By how it looks; what is not drawn is not named."""
    told = " ".join(_texts(_drawn().pieces[0]))
    for words in ("thick: cut", "thin: seam", "fold", "dashed: old seam", "dotted: level"):
        assert words in told
    assert "short dashes: no seam" in told
    block = " ".join(_texts(_drawn(leg="unaltered").pieces[0]))
    assert "dotted: level" in block
    assert "old seam" not in block


def test_every_dashed_line_of_a_pattern_has_its_look_in_words() -> None:
    """A dash that no words explain would be a riddle."""
    assert set(DASHES) <= set(SEEN)
    assert set(SEEN) <= set(LINES)


def test_levels_are_drawn_and_named_with_their_heights() -> None:
    """Knee, crotch and hip lines cross the panel; each is named with its height."""
    drawing = _drawn()
    texts = _texts(drawing.pieces[0])
    for level, height in (("knee", "17 in"), ("crotch", "30 in"), ("hip", "38 in")):
        assert f"front-level-{level}" in _ids(drawing)
        assert f"{level} line, {height} above the hem" in texts


def test_a_level_is_named_with_its_height_above_the_hem_that_is_drawn() -> None:
    """Also where the leg ends above the hem of the block: measured on the paper, to 1 mm."""
    drawing = draw_pattern(build(read_project((EXAMPLES / "cropped.toml").read_bytes())))
    for piece in drawing.pieces:
        lines = {stroke.id: stroke.points for stroke in piece.strokes}
        hem = lines[f"{piece.name}-hem-fold"][0, 1]
        named = [re.fullmatch(r"(\w+) line, ([\d.]+)\scm above the hem", t) for t in _texts(piece)]
        told = {found[1]: float(found[2]) * 10 for found in named if found}
        assert {"calf", "knee", "hip"} <= set(told)
        for level, height in told.items():
            drawn = lines[f"{piece.name}-level-{level}"][0, 1] - hem
            assert height == pytest.approx(drawn, abs=1)


def test_a_level_line_runs_from_seam_to_seam() -> None:
    """The knee line of the front is as wide as the finished front at the knee."""
    pattern = build(sample.project())
    piece = draw_pattern(pattern).pieces[0]
    knee = next(stroke for stroke in piece.strokes if stroke.id == "front-level-knee")
    width = sum(float(pattern.fit.taper.reach(edge, 17 * IN)) for edge in PANELS["front"])
    assert float(np.ptp(knee.points[:, 0])) == pytest.approx(width, abs=0.02)


def test_the_old_seam_is_drawn_where_it_was() -> None:
    """The dashed line has the block's own width at the hem, 8 1/2 in on the front."""
    outline = block_outline(build(sample.project()), "front")
    hem = outline[outline[:, 1] == 0]
    assert sorted(hem[:, 0]) == pytest.approx([-4.25 * IN, 4.25 * IN])


def test_notches_are_single_in_front_and_double_at_the_back() -> None:
    """Knee and blend on the inseam, knee and hip on the outseam; each begins on the cut line."""
    drawing = _drawn()
    for piece, count in zip(drawing.pieces, (4, 8), strict=True):
        notches = [
            stroke
            for stroke in piece.strokes
            if stroke.layer == "notch" and "-fold" not in stroke.id
        ]
        assert len(notches) == count
        cut = next(stroke for stroke in piece.strokes if stroke.layer == "cut")
        for notch in notches:
            away = shapely.LineString(cut.points).distance(shapely.Point(notch.points[0]))
            assert away < 0.3
            assert float(np.hypot(*np.diff(notch.points, axis=0)[0])) == pytest.approx(6)


@pytest.mark.parametrize(("style", "folds"), [("single", 1), ("double", 2)])
def test_every_fold_has_a_notch_at_both_ends(style: str, folds: int) -> None:
    """On the cutting line, in line with the fold, pointing at it, and no deeper than the seam."""
    drawing = _drawn(replace(SLIM, hem=sample.hem(style)))
    for piece in drawing.pieces:
        by_id = {stroke.id: stroke.points for stroke in piece.strokes}
        cut = shapely.LineString(by_id[f"{piece.name}-cut"])
        notches = [name for name in by_id if "-fold" in name and "-notch-" in name]
        assert len(notches) == 2 * folds
        for name in notches:
            seam, _, which = name.split("-notch-")[1].partition("-")
            fold = by_id[f"{piece.name}-hem-{which[:-2]}"]
            out, inner = map(shapely.Point, by_id[name])
            assert cut.distance(out) < 1e-6
            right = (piece.name == "front") == (seam == "inseam")
            end = shapely.Point(fold[fold[:, 0].argmax() if right else fold[:, 0].argmin()])
            assert out.distance(inner) + inner.distance(end) == pytest.approx(out.distance(end))
            assert out.distance(inner) == pytest.approx(min(6, out.distance(end)))


def test_a_faced_hem_is_a_seam_and_no_fold() -> None:
    """Its line is drawn once, as the seam it is."""
    ids = _ids(_drawn(sample.design(hem=sample.hem("faced"))))
    assert not [name for name in ids if "fold" in name]


def test_a_slit_is_drawn_with_its_stop() -> None:
    """The slit along the seam, the bar tack across its end, and words that say so."""
    drawing = _drawn(SLIM)
    assert {"front-slit", "front-slit-stop", "back-slit", "back-slit-stop"} <= _ids(drawing)
    assert "slit to here; bar tack" in _texts(drawing.pieces[0])
    assert "front-slit" not in _ids(_drawn())


def test_a_double_hem_has_two_folds() -> None:
    """The second fold has a name of its own, and the words say how much to turn under."""
    plan = sample.hem("double", turn_under="1/4")
    drawing = _drawn(sample.design(hem=plan))
    assert "front-hem-fold-2" in _ids(drawing)
    assert "fold up 1 1/2 in, turn under 1/4 in" in _texts(drawing.pieces[0])


def test_a_faced_hem_has_facings() -> None:
    """Front and back facing are pieces of their own; the panels say how deep they are."""
    drawing = _drawn(sample.design(hem=sample.hem("faced")))
    assert [piece.name for piece in drawing.pieces] == [
        "front", "front-facing", "back", "back-facing",
    ]  # fmt: skip
    assert "hem edge; facing 1 1/2 in deep" in _texts(drawing.pieces[0])
    name, how, *ends = _texts(drawing.pieces[1])
    assert name == "FRONT HEM FACING - narrowed leg"
    assert how.startswith("piece 2 of 4: cut 2 (one pair): LEFT face up, RIGHT turn over")
    assert how.endswith("the same of interfacing")
    assert ends == ["outseam", "inseam"]


@pytest.mark.parametrize("leg", ["narrowed", "both"])
@pytest.mark.parametrize("design", [sample.design(), SLIM, sample.design(hem=sample.hem("faced"))])
def test_everything_lies_on_the_sheet_and_apart(design: Design, leg: str) -> None:
    """No line leaves the sheet, and no piece lies in another."""
    drawing = _drawn(design, leg)
    for piece in drawing.pieces:
        x0, y0, x1, y1 = piece.box
        assert min(x0, y0) >= 0
        assert x1 <= drawing.width
        assert y1 <= drawing.height
    boxes = [shapely.box(*piece.box) for piece in drawing.pieces]
    for i, one in enumerate(boxes):
        assert not any(one.intersects(other) for other in boxes[i + 1 :])


def test_the_cautions_stand_on_the_sheet_once() -> None:
    """The notes of the drawing are the cautions, and the title is the project's name."""
    drawing = _drawn()
    assert drawing.notes == CAUTIONS
    assert drawing.title == "Courier trousers"
    assert _drawn(name="").title == "Trousers"


def test_what_people_typed_is_made_safe() -> None:
    """A name with a line break and a direction mark is drawn as one plain line."""
    drawing = _drawn(name="Courier\n\u202etrousers")
    assert drawing.title == "Courier trousers"
    assert "Courier trousers" in _texts(drawing.pieces[0])


def test_the_other_leg_may_be_the_narrowed_one() -> None:
    """Which side each leg has turns around, and with it which way up its pieces lie."""
    pattern = build(sample.project())
    drawing = draw_pattern(pattern, Printing("both", narrowed="left"))
    narrowed, as_block = _texts(drawing.pieces[0]), _texts(drawing.pieces[2])
    assert "FRONT - LEFT LEG, narrowed" in narrowed
    assert "piece 1 of 4: cut 1, turn over" in narrowed
    assert "FRONT - RIGHT LEG, as the block" in as_block
    assert "piece 3 of 4: cut 1, face up" in as_block


def test_a_muslin_has_wide_outseams_and_a_garment_its_own() -> None:
    """An inch beside the narrowed leg of a muslin, 5/8 in where it is printed alone."""
    for leg, width in (("narrowed", 0.625), ("both", 1.0), ("unaltered", 1.0)):
        piece = _drawn(leg=leg).pieces[0]
        lines = {stroke.layer: stroke.points for stroke in piece.strokes}
        knee = lines["level"][np.argmin(lines["level"][:, 0])]
        away = shapely.LineString(lines["cut"]).distance(shapely.Point(knee))
        assert away == pytest.approx(width * IN, abs=0.5), leg


def test_a_facing_lies_as_its_panel_does() -> None:
    """Grainline, a notch that meets the panel's, and where the slit leaves it open."""
    faced = replace(SLIM, hem=sample.hem("faced", depth="3"))
    drawing = _drawn(faced)
    front, facing = drawing.pieces[:2]
    assert {"front-facing-grainline", "front-facing-notch-hem-middle-1"} <= _ids(drawing)
    assert "back-facing-notch-hem-middle-2" in _ids(drawing)
    assert {"front-facing-slit", "back-facing-slit"} <= _ids(drawing)
    at = {s.id: s.points for piece in (front, facing) for s in piece.strokes}
    panel, own = at["front-notch-hem-middle-1"], at["front-facing-notch-hem-middle-1"]
    assert panel - at["front-slit"][0] == pytest.approx(own - at["front-facing-slit"][0], abs=0.01)
    slit = at["front-facing-slit"]
    assert shapely.LineString(at["front-facing-net"]).distance(shapely.Point(slit[0])) < 0.1


def test_the_block_alone_is_drawn_without_a_design() -> None:
    """A pair of pieces without an old seam, named as the block's."""
    drawing = draw_pattern(unaltered(sample.project()), Printing("unaltered"))
    texts = _texts(drawing.pieces[0])
    assert "FRONT - leg as the block" in texts
    assert "test of the block" in texts
    assert not any(text.startswith("design:") for text in texts)
    assert "ADD YOUR OWN TOP, with its allowances, before you cut" in texts


def _box(label: Label) -> Any:
    """Return the room that a label takes, its letters 0.55 of their height wide."""
    wide = 0.55 * label.size * len(label.text)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[label.anchor]
    box = affinity.rotate(
        shapely.box(left, 0, left + wide, 0.75 * label.size), label.angle, origin=(0, 0)
    )
    return affinity.translate(box, *label.at)


def _small() -> Project:
    """Return a leg a child of 8 has: 26 cm around the calf."""
    share = {"thigh": 0.62, "crotch": 0.62}
    heights = {level: 0.72 * sample.length(said).mm for level, said in sample.HEIGHTS.items()}
    reaches = {
        edge: {level: share.get(level, 0.6) * sample.length(said).mm for level, said in row.items()}
        for edge, row in sample.REACHES.items()
    }
    design = sample.design(take_in={}, width=sample.lengths(hem="9", knee="10 1/2"), slit="auto")
    return sample.project(design, block=sample.table(heights, reaches))


@pytest.mark.parametrize("leg", ["narrowed", "both"])
@pytest.mark.parametrize(
    "name", ["courier", "cropped", "knit", "shifted", "weekend", "faced", "small"]
)
def test_no_line_runs_through_words(name: str, leg: Any) -> None:
    """In no example, where a hem is faced, and in a child's leg."""
    project = sample.project(sample.design(hem=sample.hem("faced")))
    if name == "small":
        project = _small()
    elif name != "faced":
        project = load(EXAMPLES / f"{name}.toml")
    for piece in draw_pattern(build(project), Printing(leg)).pieces:
        for label in piece.labels:
            struck = [
                stroke.id
                for stroke in piece.strokes
                if shapely.LineString(stroke.points).intersection(_box(label)).length > 0.3
            ]
            assert not struck, (label.text, struck)


def test_the_slit_of_a_facing_stays_on_it() -> None:
    """It is higher than the facing is deep, and ends where that is cut, also at a curved top."""
    design = sample.design(
        take_in={}, width=sample.lengths(hem="12", knee="20"), slit="auto", hem=sample.hem("faced")
    )
    pieces = [p for p in draw_pattern(build(sample.project(design))).pieces if "facing" in p.name]
    assert len(pieces) == 2
    for piece in pieces:
        (cut,) = (shapely.Polygon(s.points) for s in piece.strokes if s.layer == "cut")
        (slit,) = (shapely.LineString(s.points) for s in piece.strokes if s.layer == "slit")
        assert slit.length > 1.4 * IN
        assert slit.difference(cut.buffer(0.01)).length < 0.01
