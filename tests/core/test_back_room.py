"""Room that the back panel alone keeps, for a full calf."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sample

from legtaper.checks.base import Finding
from legtaper.files.project_file import read_project, write_project
from legtaper.leg.pairs import sewn_pairs
from legtaper.model.lengths import parse_length
from legtaper.model.project import EDGES, Design, Fabric, ProjectError, Round, panel_of
from legtaper.muslin.next_design import next_design
from legtaper.outputs.marking_table import marking_table
from legtaper.pattern import block_of, cut
from legtaper.remedies.mend import mends
from legtaper.search.sweep import sweep, widest_hem

IN = 25.4
HALF: Any = sample.lengths(calf="1/2")
SLIM = sample.wide(hem="14 1/2", calf="16", knee="17 1/2")
ROOMY = replace(SLIM, back_room=HALF)


def test_the_back_keeps_it_and_an_asked_width_stays() -> None:
    """By hand: block 19 1/2 around the calf, 16 asked for and 1/2 in of it the back's own.

    So much off each edge without; an eighth of an inch more off the front's two, an eighth
    less off the back's, so that the back panel is 1/2 in wider beside the front.
    """
    plain, roomy = (sample.fitted(one).taper for one in (SLIM, ROOMY))
    assert roomy.finished["calf"] == pytest.approx(16 * IN)
    for edge in EDGES:
        by = (1 if panel_of(edge) == "front" else -1) * IN / 8
        assert roomy.taken(edge, "calf") - plain.taken(edge, "calf") == pytest.approx(by)


def test_with_a_take_in_the_leg_gains_it() -> None:
    """3/4 in off each edge and 1/2 in left to the back: 2 1/2 in off around the leg, not 3."""
    design = sample.design(take_in=sample.lengths(hem="7/8", calf="3/4"), back_room=HALF)
    fitted = sample.fitted(design)
    off = fitted.block.widths["calf"] - fitted.taper.finished["calf"]
    assert off == pytest.approx(2.5 * IN)
    assert fitted.taper.taken("back_inseam", "calf") == pytest.approx(0.5 * IN)
    assert fitted.taper.taken("front_outseam", "calf") == pytest.approx(0.75 * IN)


def test_on_a_hem_alone_it_is_left_on_the_line_there() -> None:
    """A calf that is not asked for: the front is as it was, the back 1/4 in wider at each seam."""
    plain, roomy = (sample.fitted(sample.design(back_room=room)).taper for room in ({}, HALF))
    for edge in EDGES:
        kept = IN / 4 if panel_of(edge) == "back" else 0.0
        assert plain.taken(edge, "calf") - roomy.taken(edge, "calf") == pytest.approx(kept)
    assert roomy.finished["hem"] == pytest.approx(plain.finished["hem"])


def test_front_and_back_still_sew_together() -> None:
    """The room goes out as it came in: from hem to knee no seam gains 0.5 mm on its partner."""
    for pair, own in zip(*(sewn_pairs(sample.fitted(d).taper) for d in (ROOMY, SLIM)), strict=True):
        assert abs(pair.below_knee - own.below_knee) < 0.5


def test_balance_takes_it_as_asked() -> None:
    """Asked for at the knee, where balance looks: no fault, and its amount is said."""
    for found in sample.fitted(replace(SLIM, back_room=sample.lengths(knee="1"))).findings:
        if (found.id, found.where) == ("balance", "knee"):
            assert found.status == "pass"
            assert "The back panel keeps 1 in more there, as asked." in found.says


def test_more_than_comes_off_is_let_out_and_said() -> None:
    """1/8 in off at the calf and 1/2 in left to the back: 1/8 in outside the block at each seam."""
    design = sample.design(take_in=sample.lengths(hem="5/8", calf="1/8"), back_room=HALF)
    for found in sample.fitted(design).findings:
        if found.id == "blend":
            assert found.status == "caution"
            assert "let out beyond the block by 1/8 in" in found.says


def test_a_level_that_is_none_is_refused() -> None:
    """It names the key; above the crotch there is no leg to leave room in."""
    for level, says in (("shin", "no such level"), ("hip", "no leg")):
        room: Any = {level: sample.length("1/2")}
        with pytest.raises(ProjectError, match=says) as refused:
            sample.fitted(sample.design(back_room=room))
        assert refused.value.key == f'design "easy taper".back_room.{level}'


def test_the_file_keeps_it_and_one_without_it_has_no_such_key() -> None:
    """A round trip; without it not a byte of the file is another."""
    text = write_project(sample.project(ROOMY))
    assert '[design.back_room]\ncalf = "1/2"' in text
    assert read_project(text).designs[0].back_room == HALF
    assert "back_room" not in write_project(sample.project(SLIM))


def test_the_marks_make_the_width() -> None:
    """The marking table's rounded columns make 16 in at the calf, front and back unalike."""
    table = marking_table(sample.fitted(ROOMY), "1/16in")
    assert table.after_rounding["calf"] == pytest.approx(16 * IN, abs=IN / 32)
    offs = {mark.edge: mark.come_in for mark in table.marks if mark.level == "calf"}
    assert offs["front_inseam"] - offs["back_inseam"] == pytest.approx(IN / 4, abs=IN / 16)


def test_a_pinch_at_the_knee_leaves_it_where_it_was() -> None:
    """A round with a pinch at another level: the calf keeps its room and its width."""
    pinched = sample.project(
        sample.design(back_room=HALF),
        rounds=(Round("easy taper", pinches=(sample.pinch("knee", "outseam", "1/4"),)),),
    )
    new = next_design(pinched, block_of(pinched), 1)
    old, now = (sample.fitted(one).taper for one in (pinched.designs[0], new))
    assert now.finished["calf"] == pytest.approx(old.finished["calf"], abs=0.2)
    for edge in ("front_inseam", "back_inseam"):
        assert now.taken(edge, "calf") == pytest.approx(old.taken(edge, "calf"), abs=0.2)


def test_many_hems_at_once_keep_it() -> None:
    """A sweep has the widths and the findings of one hem at a time, and limits go by it."""
    fitted = sample.fitted(sample.design(back_room=sample.lengths(hem="1/2"), slit="auto"))
    assert widest_hem(fitted) == pytest.approx(fitted.block.widths["hem"] + IN / 2)
    takes = np.linspace(5, 40, 8)
    found = sweep(fitted, takes)
    for take, hem, failed in zip(takes, found.hem, found.first_to_fail, strict=True):
        asked = replace(fitted.design, take_in={"hem": sample.length(float(take))})
        alone = sample.fitted(asked)
        assert hem == pytest.approx(alone.taper.finished["hem"])
        assert failed == next((one.id for one in alone.findings if one.status == "fail"), "")


# --- a calf that catches as the knee goes up ------------------------------------------------------


def _catches(*designs: Design, **parts: Any) -> list[Finding]:
    return [one for one in sample.fitted(*designs, **parts).findings if one.id == "ease-calf-up"]


def test_a_slim_leg_catches_at_the_calf_with_the_knee_up() -> None:
    """1 in of ease standing passes; 2 in lower, what rides up has less than 1/2 in to spare."""
    slim = sample.wide(hem="13 1/2", calf="15 3/4", knee="17")
    fitted = sample.fitted(slim)
    lower = float(fitted.taper.circumference(8.5 * IN)) - 14.75 * IN
    (found,) = [one for one in fitted.findings if one.id == "ease-calf-up"]
    assert found.status == "caution"
    assert found.value == pytest.approx(lower)
    assert "8 1/2 in above the hem" in found.says
    assert {one.id: one.status for one in fitted.findings}["ease-calf"] == "pass"


def test_what_mends_it_is_room_at_the_back_or_all_around() -> None:
    """Room for the back panel alone, the front as it is, is offered, and so is a wider calf."""
    slim = sample.wide(hem="13 1/2", calf="15 3/4", knee="17")
    (found,) = [one for one in mends(cut(sample.fitted(slim))) if one.finding.id == "ease-calf-up"]
    sets = [set(one.set) for one in found.mends]
    assert {"width.calf"} in sets
    assert {"width.calf", "back_room.calf"} in sets
    least = min(
        parse_length(one.set["width.calf"] or "", "in").mm
        for one in found.mends
        if set(one.set) == {"width.calf"}
    )
    assert found.finding.value is not None
    assert found.finding.limit is not None
    lacks = found.finding.limit - found.finding.value
    assert 15.75 * IN + lacks <= least < 15.75 * IN + 3 * lacks + IN / 8


def test_a_close_knit_that_presses_already_is_told_of_the_bent_knee() -> None:
    """Half of what a knit gives is for the bend: pressure doubles at 60 degrees (2020 study)."""
    tight = sample.wide(hem="11", calf="12 3/4", knee="14")
    (found,) = _catches(tight, fabric=sample.knit(40))
    assert "twice as hard" in found.says


@pytest.mark.parametrize("fabric", [Fabric(), sample.knit(40)])
def test_an_easy_leg_hears_nothing_of_it(fabric: Fabric) -> None:
    """5/8 in off the sample's hem leaves the calf 3 in and more."""
    assert not _catches(fabric=fabric)
