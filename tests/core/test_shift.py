from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sample
from pypdf import PdfReader

from legtaper.model.project import EDGES, ProjectError, seam_of
from legtaper.outputs.formats import render
from legtaper.outputs.marking_table import marks
from legtaper.pattern import build
from legtaper.search.sweep import sweep

IN = 25.4
HERTZER: Any = sample.lengths(hem="5/8", knee="5/16")


def test_the_center_moves_and_the_width_stays() -> None:
    """G. F. Hertzer (1892): 5/8 in at the bottom and about half of it at the knee, for bow legs.

    1 in off each edge at the hem becomes 3/8 off the outseams and 1 5/8 off the inseams there, and
    every width around the leg stays what it was.
    """
    plain = sample.fitted(sample.design(take_in=sample.lengths(hem="1"))).taper
    moved = sample.fitted(sample.design(take_in=sample.lengths(hem="1"), shift=HERTZER)).taper
    for edge in EDGES:
        way = -1 if seam_of(edge) == "outseam" else 1
        for level, by in (("hem", 0.625), ("knee", 0.3125)):
            more = moved.taken(edge, level) - plain.taken(edge, level)
            assert more == pytest.approx(way * by * IN)
    assert moved.finished == pytest.approx(plain.finished)
    y = np.linspace(0, 762, 200)
    assert moved.circumference(y) == pytest.approx(plain.circumference(y))


@pytest.mark.parametrize("style", ["follow", "straight"])
def test_between_levels_it_runs_straight_and_out_at_the_lower_blend(style: Any) -> None:
    """Halfway from hem to knee 15/32 in; from 29 in, where the inseam blends, nothing."""
    taper = sample.fitted(sample.design(shift=HERTZER, style=style)).taper
    line = taper.seams["front_inseam"].shift
    assert line is not None
    assert float(line.at(8.5 * IN)) == pytest.approx(15 / 32 * IN, abs=0.05)
    assert line.at([29 * IN, 30 * IN, 38 * IN]) == pytest.approx([0, 0, 0])
    assert max(seam.kink for seam in taper.seams.values()) <= 0.1


def test_where_it_exceeds_the_take_in_the_seam_lies_outside_and_cautions() -> None:
    """1/4 in off and 5/8 moved: the outseam lies 3/8 in outside at the hem, as asked."""
    fitted = sample.fitted(sample.design(take_in=sample.lengths(hem="1/4"), shift=HERTZER))
    assert fitted.taper.seams["back_outseam"].outside == pytest.approx(0.375 * IN)
    (found,) = [one for one in fitted.findings if (one.id, one.where) == ("blend", "outseam")]
    assert found.status == "caution"
    assert "let out beyond the block by 3/8 in" in found.says


def test_a_shift_alone_moves_all_four_edges() -> None:
    """Nothing taken off, the center towards the inseam by 1/4 in at the hem."""
    shift: Any = {"hem": sample.length("-1/4")}
    fitted = sample.fitted(sample.design(take_in={}, shift=shift))
    for edge in EDGES:
        way = 1 if seam_of(edge) == "outseam" else -1
        assert fitted.taper.taken(edge, "hem") == pytest.approx(way * 0.25 * IN)
    assert fitted.taper.finished == pytest.approx(fitted.block.widths)


def test_balance_tells_it_as_asked() -> None:
    """What was asked for is no fault: balance passes and says where the center lies."""
    fitted = sample.fitted(sample.design(shift=HERTZER))
    for found in fitted.findings:
        if found.id == "balance":
            assert found.status == "pass"
            by = {"hem": "5/8 in", "knee": "5/16 in"}[found.where]
            assert f"{by} nearer the outseam there, as asked." in found.says


def test_an_unknown_level_is_refused() -> None:
    """A shift at a level that the block has not names the key."""
    with pytest.raises(ProjectError, match="no such level") as refused:
        sample.fitted(sample.design(shift=sample.lengths(shin="1/4")))
    assert refused.value.key == 'design "easy taper".shift.shin'


def test_a_sweep_keeps_the_shift() -> None:
    """Many hems at once have the center where one alone has it: the same lengths and findings."""
    fitted = sample.fitted(sample.design(shift=HERTZER, slit="auto"))
    takes = np.linspace(5, 40, 12)
    found = sweep(fitted, takes)
    for take, hem, failed in zip(takes, found.hem, found.first_to_fail, strict=True):
        asked = replace(fitted.design, take_in={"hem": sample.length(float(take))})
        alone = sample.fitted(asked)
        assert hem == pytest.approx(alone.taper.finished["hem"])
        fails = next((one.id for one in alone.findings if one.status == "fail"), "")
        assert failed == fails


@pytest.mark.parametrize(("end", "status"), [("37", "caution"), ("38", "pass"), ("31", "caution")])
def test_narrowing_that_crosses_a_pocket_is_told(end: str, status: str) -> None:
    """The outseam blends at 38 in: a pocket that ends lower is crossed, one that ends there not."""
    block = replace(sample.SAMPLE, pocket_end=sample.length(end))
    (found,) = [one for one in sample.fitted(block=block).findings if one.id == "pocket"]
    assert found.status == status


def test_without_a_pocket_nothing_is_said_of_one() -> None:
    """A block that names none, and a seam that stays as it is."""
    block = replace(sample.SAMPLE, pocket_end=sample.length("31"))
    still = sample.fitted(sample.design(take_in={}), block=block)
    for fitted in (sample.fitted(), still):
        assert not [one for one in fitted.findings if one.id == "pocket"]


# --- the crease line, and the marks --------------------------------------------------------------


def _crease(panel: Any, **parts: Any) -> Any:
    crease = sample.fitted(sample.design(shift=HERTZER, **parts)).taper.crease(panel)
    assert crease is not None
    return crease


def test_the_crease_runs_through_the_moved_centers() -> None:
    """5/8 in off the grainline at the hem, half of it at the knee, on it again at the blend.

    Towards the outseam: at the left of the front, at the right of the back.
    """
    for panel, side in (("front", -1), ("back", 1)):
        x, y = _crease(panel).T
        at = [float(np.interp(height * IN, y, x)) / IN for height in (0, 17, 29)]
        assert at == pytest.approx([side * 0.625, side * 0.3125, 0], abs=0.002)
    assert sample.fitted().taper.crease("front") is None


def test_the_crease_is_halfway_between_the_seams_that_were_halfway_before() -> None:
    """At hem and knee the sample's front is even about its grainline: the crease halves it."""
    off = sample.lengths(hem="5/8", knee="1/4")
    taper = sample.fitted(sample.design(take_in=off, shift=HERTZER)).taper
    for y in (0.0, 17 * IN):
        out, inner = taper.reach("front_outseam", y), taper.reach("front_inseam", y)
        crease = np.interp(y, *_crease("front", take_in=off).T[::-1])
        assert (inner - out) / 2 == pytest.approx(crease, abs=0.05)


def test_every_output_draws_and_names_it() -> None:
    """SVG by its id, DXF by its line type, PDF in the legend; without a shift none of them."""
    moved, plain = (build(sample.project(sample.design(shift=shift))) for shift in (HERTZER, {}))
    svg, none = (render(one, "svg") for one in (moved, plain))
    assert svg.count('id="front-crease"') == svg.count('id="back-crease"') == 1
    assert "crease line" in svg
    assert "crease" not in none
    dxf = render(moved, "dxf").decode()
    assert dxf.count("\nPHANTOM\n") == 3  # the line type itself, and one line on each panel
    pages = PdfReader(io.BytesIO(render(moved, "pdf"))).pages
    assert any("crease line: the moved middle" in page.extract_text() for page in pages)


def test_a_leg_that_is_only_moved_is_marked_and_not_the_old_seam() -> None:
    """Nothing off, 1/4 in moved: straight up to the knee, a curve above it, then the old seam."""
    moved: Any = sample.lengths(hem="1/4", knee="1/8")
    fitted = sample.fitted(sample.design(take_in={}, shift=moved))
    for edge in EDGES:
        way = -1 if seam_of(edge) == "outseam" else 1
        rows = [mark for mark in marks(fitted, "1/16in") if mark.edge == edge]
        parts = {mark.level: mark.part for mark in rows if mark.level}
        assert parts["hem"] == "straight"
        assert parts["hip" if way < 0 else "crotch"] == "old seam"
        assert {mark.part for mark in rows if not mark.level} >= {"curve"}
        assert next(mark.come_in for mark in rows if mark.level == "hem") == way * IN / 4
        assert all(mark.up != "old seam" for mark in rows if mark.height < 17 * IN)
    says = [found.says for found in fitted.findings if found.id == "blend"]
    assert not any("stays as it is" in one for one in says)
