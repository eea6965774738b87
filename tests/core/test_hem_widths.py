from __future__ import annotations

from dataclasses import replace
from typing import Any

import blocks
import pytest
import sample
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from legtaper.block_sources.measured import block_from_table
from legtaper.model.lengths import say_length
from legtaper.model.project import BlockTable, Design, Fabric, ProjectError, Wearer
from legtaper.pattern import cut, fit_design
from legtaper.remedies.mend import mends
from legtaper.search.hem_widths import (
    HemWidth,
    HemWidths,
    Span,
    hem_widths,
    sentence,
    spoken,
    table,
)
from legtaper.search.mended_widths import full_sentence, widths_with_a_mend
from legtaper.search.sweep import at_hem

IN = 25.4


def _row(rows: tuple[HemWidth, ...], inches: float) -> HemWidth:
    return min(rows, key=lambda row: abs(row.hem - inches * IN))


def test_widths_run_from_the_block_to_the_ankle() -> None:
    """18 in, then every half inch down to the ankle's 9 in or the next round number above it."""
    rows = hem_widths(sample.fitted()).rows
    assert [row.hem / IN for row in rows[:3]] == pytest.approx([18, 17, 16])
    assert rows[-1].hem == pytest.approx(9 * IN)
    assert rows[0].take_in == 0
    assert rows[-1].take_in == pytest.approx((18 - 9) / 4 * IN)


def test_the_foot_divides_the_widths() -> None:
    """From 12 3/4 in up no slit is needed; below, one is, as high as a design with it has it."""
    fitted = sample.fitted()
    found = hem_widths(fitted)
    low, high = next(span for how, *span in found.spans if how == "without a slit")
    assert high == pytest.approx(18 * IN)
    assert 12.75 * IN <= low < 12.75 * IN + 0.3
    row = _row(found.rows, 11)
    assert row.works == "with a slit"
    alone = fit_design(
        fitted.project, replace(at_hem(fitted.design, row.take_in), slit="auto"), fitted.block
    )
    assert row.slit == pytest.approx(alone.slit.height, abs=1e-4)
    assert not alone.failed


def test_what_fails_is_named_and_ends_the_table() -> None:
    """A calf too large from half the take-in on: two rows more, each with the finding's name."""
    half = sample.fitted(sample.design(take_in=sample.lengths(hem="3/4")))
    girth = float(half.taper.circumference(half.block.heights["calf"]))
    found = hem_widths(sample.fitted(wearer=replace(sample.WEARER, calf=sample.length(girth))))
    assert [row.works for row in found.rows][-2:] == ["no", "no"]
    assert found.rows[-3].works != "no"
    assert {row.first_to_fail for row in found.rows[-2:]} == {"ease-calf"}
    lows = {how: low for how, low, _ in found.spans}
    assert lows["without a slit"] == pytest.approx(15 * IN, abs=0.3)
    assert "Narrower fails: too close at the calf." in sentence(found)


def test_the_sentence_says_below_which_width_a_warning_begins() -> None:
    """A hem "works" where nothing fails; at the mark said there is ease, 1/8 in below less."""
    half = sample.fitted(sample.design(take_in=sample.lengths(hem="3/4")))
    girth = float(half.taper.circumference(half.block.heights["calf"]))
    fitted = sample.fitted(wearer=replace(sample.WEARER, calf=sample.length(girth)))
    says = sentence(hem_widths(fitted))
    assert says.endswith("A hem below 16 3/4 in gets a warning: it is close at the calf.")
    for hem, status in ((16.75, "pass"), (16.625, "caution")):
        design = at_hem(fitted.design, (18 - hem) * IN / 4)
        found = fit_design(fitted.project, design, fitted.block).findings
        assert [one.status for one in found if one.id == "ease-calf"] == [status]
    roomy = sample.fitted(wearer=replace(sample.WEARER, calf=sample.length("8")))
    assert "a warning" not in sentence(hem_widths(roomy))


def test_a_slit_above_the_calf_is_none() -> None:
    """A foot nearly as wide as the leg at the knee needs more than a slit: those hems fail."""
    wide = replace(sample.WEARER, foot_entry=sample.length("18"))
    found = hem_widths(sample.fitted(wearer=wide))
    assert {row.first_to_fail for row in found.rows if row.works == "no"} == {"slit"}
    assert all(row.slit <= 10.5 * IN for row in found.rows if row.works == "with a slit")
    assert sentence(found).endswith("Narrower fails: the slit ends above the calf.")


def test_where_only_narrow_hems_work_it_says_why_wide_ones_do_not() -> None:
    """A pair that sews unevenly until enough comes off: the reason stands in the sentence."""
    rows = (HemWidth(460.0, 0.0, "no", 0.0, {}, "sewn-pair"),)
    spans: tuple[Span, ...] = (("no", 420.0, 460.0), ("without a slit", 380.0, 410.0))
    found = HemWidths(rows, spans, True, "in", 200.0, "", "sewn-pair")
    assert "Wider fails: front and back sew unevenly." in sentence(found)


def test_narrow_ends_are_said_rounded_up() -> None:
    """What is said works: never a hair less than the foot needs."""
    tight = replace(sample.WEARER, foot_entry=sample.length(12.76 * IN))
    says = sentence(hem_widths(sample.fitted(wearer=tight)))
    assert "without a slit from 12 7/8 in to 18 in" in says


def test_without_a_foot_entry_the_table_says_so() -> None:
    """The slit is a question mark, and the sentence says what was not judged."""
    found = hem_widths(sample.fitted(wearer=Wearer()))
    assert "unknown" in sentence(found)
    assert found.least == pytest.approx(9 * IN)  # half of the block's hem, as no ankle is given
    assert table(found)[2].split()[2:] == ["?", "?", "?", "?", "=========="]


def test_the_table_is_plain_and_narrow() -> None:
    """At most 78 columns of ASCII, in inches and in centimeters, and short enough for a screen."""
    for unit in ("in", "cm"):
        lines = table(hem_widths(sample.fitted(length_unit=unit)))
        assert max(map(len, lines)) <= 75
        assert len(lines) <= 27
        assert all(line.isascii() and line == line.rstrip() for line in lines)


def test_ruled_seams_have_a_table_too() -> None:
    """In the style "straight" each row is what that design gives alone."""
    fitted = sample.fitted(sample.design(style="straight", slit="auto"))
    for row in hem_widths(fitted).rows[::5]:
        alone = fit_design(fitted.project, at_hem(fitted.design, row.take_in), fitted.block)
        first = next((one.id for one in alone.findings if one.status == "fail"), "")
        assert row.first_to_fail == first


def test_the_table_can_be_said() -> None:
    """One sentence for each row, with the slit it needs or with what fails."""
    found = hem_widths(sample.fitted(wearer=replace(sample.WEARER, calf=sample.length("17"))))
    says = spoken(found)
    assert says[0] == "18 in around, 0 in off each edge: without a slit."
    assert len(says) == len(found.rows)
    assert "not, too close at the calf." in says[-1]
    assert "off each edge: with a slit of" in " ".join(spoken(hem_widths(sample.fitted())))


@pytest.mark.parametrize("knee", ["19", "18"])
def test_with_a_mark_above_the_hem_the_ends_are_as_close(knee: str) -> None:
    """Each take-in has corners of its own then: the narrow end of each run is true to 1/64 in."""
    design = sample.design(width=sample.lengths(knee=knee))
    fitted = sample.fitted(design)
    for how, low, _ in hem_widths(fitted).spans:
        if how == "no":
            continue
        for hem, alike in ((low, True), (low - 0.5, False)):
            take = (18 * IN - hem) / 4
            tried = replace(at_hem(design, take), slit="auto")
            alone = fit_design(fitted.project, tried, fitted.block)
            works = (
                "no" if alone.failed else "with a slit" if alone.slit.needed else "without a slit"
            )
            assert (works == how) == alike


def test_where_no_hem_works_the_best_change_is_told_with_what_works_then() -> None:
    """A knee asked for too close fails at every hem; wider there, hems work again."""
    fitted = sample.fitted(sample.wide(hem="15", knee="14 1/2"))
    found = hem_widths(fitted)
    assert {how for how, *_ in found.spans} == {"no"}
    mended = widths_with_a_mend(fitted, found)
    assert mended
    mend, widths = mended
    assert set(mend.set) == {"width.knee"}
    assert {how for how, *_ in widths.spans} >= {"without a slit"}
    says = full_sentence(fitted, found)
    assert says.startswith(
        "No hem width works with these answers: too close at the knee. With one change "
        "some do; mend lists it as number 1. Make"
    )
    listed = {one.number: one.set for each in mends(cut(fitted)) for one in each.mends}
    assert listed[mend.number] == mend.set
    assert "Hem widths that work: without a slit" in says


def test_where_some_hem_works_no_change_is_looked_for() -> None:
    """The plain answer stands alone."""
    fitted = sample.fitted()
    found = hem_widths(fitted)
    assert widths_with_a_mend(fitted, found) is None
    assert full_sentence(fitted, found) == sentence(found)


def test_a_row_marks_what_a_warning_says() -> None:
    """Less ease than firm fabric needs, and a hem that the foot just passes, in column and words.

    A calf of 14 in: what leaves it less than 1 in of ease bears the mark.
    """
    calf = replace(sample.WEARER, calf=sample.length("14"), foot_entry=sample.length("12 7/8"))
    fitted = sample.fitted(wearer=calf)
    found = hem_widths(fitted)
    for row in found.rows:
        alone = fit_design(fitted.project, at_hem(fitted.design, row.take_in), fitted.block)
        warned = {one.id for one in alone.findings if one.status == "caution"}
        assert set(row.warns) <= warned
        assert row.tug == any("with a tug" in one.says for one in alone.findings)
    close = next(row for row in found.rows if row.close and row.works != "no")
    lines, says = table(found), spoken(found)
    assert "!" in lines[2 + found.rows.index(close)]
    assert "close at the calf" in says[found.rows.index(close)]
    assert any(row.tug for row in found.rows)
    assert any("with a tug" in line for line in says)
    assert any(line.startswith("tug ") for line in lines)
    assert "without a slit from 12 7/8 in to 18 in, with a tug below 13 1/8 in" in sentence(found)
    plain = table(hem_widths(sample.fitted(wearer=replace(sample.WEARER, calf=None))))
    assert not any("!" in line for line in plain)


def test_the_knee_bent_and_raised_is_looked_at() -> None:
    """Both warn where nothing is close standing: marked in the column of the level, and said."""
    bent = replace(sample.WEARER, knee_bent=sample.length("18 1/2"), calf=None)
    found = hem_widths(sample.fitted(wearer=bent))
    assert {place for row in found.rows for place in row.close} == {"bent knee"}
    assert sentence(found).endswith("gets a warning: it is close at the bent knee.")
    marked = [row.close != () for row in found.rows]
    _, names, *lines = table(found)
    at, end = names.index("knee"), names.index("thigh")
    knees = [line[at:end].rstrip() for line in lines[: len(marked)]]
    assert [knee.endswith("!") for knee in knees] == marked
    up = replace(sample.WEARER, calf=sample.length("13 7/8"), knee_bent=None)
    found = hem_widths(sample.fitted(wearer=up))
    assert ("calf with the knee up",) in {row.close for row in found.rows}
    assert any("close at the calf with the knee up" in line for line in spoken(found))


@pytest.mark.parametrize("fabric", [
    Fabric(), Fabric("", "stretch-woven", 15.0), sample.knit(20), sample.knit(40),
])  # fmt: skip
@pytest.mark.parametrize("calf", ["13", "14", "15", "17"])
def test_a_narrower_leg_is_never_said_to_be_less_close(fabric: Fabric, calf: str) -> None:
    """The warning of the knee up does not go where the leg gets narrower still: a half line."""
    worn = replace(sample.WEARER, calf=sample.length(calf), knee_bent=None)
    rows = hem_widths(sample.fitted(wearer=worn, fabric=fabric)).rows
    up = ["calf with the knee up" in row.close for row in rows]
    assert up == sorted(up)


def test_a_knit_that_may_be_close_does_not_catch_by_being_just_close() -> None:
    """It is meant to give over the calf as it rides up; it warns where it presses."""
    worn = replace(sample.WEARER, calf=sample.length("15"), knee_bent=None)
    for percent, catches in ((20, True), (40, False)):
        rows = hem_widths(sample.fitted(wearer=worn, fabric=sample.knit(percent))).rows
        just = [row for row in rows if 0 <= row.ease["calf"] < 0.5 * IN]
        assert just
        assert any("calf with the knee up" in row.close for row in just) == catches


@settings(max_examples=40)
@given(st.data(), blocks.changed())
def test_every_row_says_what_the_check_of_that_design_says(
    data: st.DataObject, drawn: tuple[BlockTable, Design, Fabric]
) -> None:
    """What fails first, and each warning of ease, the knee bent or not: of any leg and fabric."""
    measured, design, _ = drawn
    fabric = data.draw(st.sampled_from([
        Fabric(), Fabric("", "stretch-woven", 15.0), sample.knit(20), sample.knit(60),
    ]))  # fmt: skip
    around = block_from_table(measured, "in").widths
    share = data.draw(st.floats(0.6, 1.05))
    knee = share * around["knee"]
    wearer = sample.wearer(
        foot_entry=share * around["hem"], thigh=0.8 * around["crotch"],
        knee=knee, knee_bent=knee * data.draw(st.floats(1.0, 1.12)),
        calf=share * around["hem"] * data.draw(st.floats(0.8, 1.1)), ankle=0.4 * around["hem"],
    )  # fmt: skip
    try:
        fitted = sample.fitted(design, block=measured, wearer=wearer, fabric=fabric)
    except ProjectError:  # another end or room takes a blend out of its range
        reject()
    for row in hem_widths(fitted).rows:
        tried = replace(at_hem(fitted.design, row.take_in), slit="auto")
        found = fit_design(fitted.project, tried, fitted.block).findings
        assert row.first_to_fail == next((f.id for f in found if f.status == "fail"), "")
        warned = {f.id for f in found if f.status == "caution" and f.id.startswith("ease-")}
        warned |= {f.id for f in found if "with a tug" in f.says}
        assert set(row.warns) == (set() if row.works == "no" else warned)


def test_what_was_pinched_comes_besides() -> None:
    """Where an edge gives more than the others, "off each edge" says that it is not all."""
    pinched = sample.fitted(sample.design(extra={"outseam": sample.lengths(hem="1/4")}))
    found = hem_widths(pinched)
    assert "off each edge besides what was pinched: " in spoken(found)[1]
    assert "off at each edge: besides what was pinched" in table(found)


@pytest.mark.parametrize("style", ["follow", "straight"])
def test_a_slit_of_the_table_is_enough(style: Any) -> None:
    """Put into the design as it is said, the foot passes with it."""
    fitted = sample.fitted(sample.design(style=style, width=sample.lengths(knee="18")))
    slits = [row for row in hem_widths(fitted).rows if row.works == "with a slit" and row.slit]
    assert slits
    for row in slits:
        said = sample.length(say_length(row.slit or 0, "in"))
        alone = fit_design(
            fitted.project, replace(at_hem(fitted.design, row.take_in), slit=said), fitted.block
        )
        assert not alone.failed


def test_a_warning_begins_where_a_design_alone_has_it() -> None:
    """With marks above the hem, too, where the rows lie far apart: to a tenth of an edge's mm."""
    wearer = replace(sample.WEARER, calf=sample.length("15 1/2"))
    design = sample.wide(knee="18", hem="14")
    fitted = sample.fitted(design, wearer=wearer)
    begins = hem_widths(fitted).close_below
    assert begins
    hem, level = begins
    assert level == "calf"
    for off, close in ((0.5, False), (-0.5, True)):
        take = (18 * IN - hem - off) / 4
        alone = fit_design(fitted.project, replace(at_hem(design, take), slit="auto"), fitted.block)
        status = next(one.status for one in alone.findings if one.id == "ease-calf")
        assert (status != "pass") == close


def test_what_ends_the_table_is_told() -> None:
    """At the ankle nothing more; where it is unknown narrower hems may work. A slit left out."""
    fine = replace(sample.WEARER, ankle=None, calf=None, knee_bent=None, knee=None)
    assert "in and narrower." in sentence(hem_widths(sample.fitted(wearer=fine)))
    known = replace(fine, ankle=sample.length("9"))
    assert "down to 9 in." in sentence(hem_widths(sample.fitted(wearer=known)))
    without = hem_widths(sample.fitted(sample.design(slit="none"), wearer=known))
    assert "with a slit, which the design leaves out, down to" in sentence(without)
