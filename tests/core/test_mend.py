"""Remedies: each was tried, holds when it is taken, and leaves what was asked for."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import sample

from legtaper.checks.registry import CHECKS
from legtaper.model.lengths import parse_length
from legtaper.model.project import SEAMS, Design, Project, ProjectError
from legtaper.pattern import Pattern, build
from legtaper.remedies import mend as mending
from legtaper.remedies.changes import changed, difference
from legtaper.remedies.mend import MOST_FITS, Mend, Mending, mends, take
from legtaper.remedies.moves import MOVES
from legtaper.remedies.trying import Bench

IN = 25.4


def _pattern(design: Design | None = None, **parts: Any) -> Pattern:
    return build(sample.project(design or sample.design(), **parts))


def _of(found: tuple[Mending, ...], name: str, where: str | None = None) -> Mending:
    (one,) = [m for m in found if m.finding.id == name and where in (None, m.finding.where)]
    return one


def _taken(pattern: Pattern, mend: Mend) -> Pattern:
    project = pattern.fit.project
    return build(take(project, pattern.fit.design.name, mend), pattern.fit.design.name)


def _assert_holds(pattern: Pattern, one: Mending) -> None:
    """Check that every mend of a finding does what it says when it is taken."""
    worse = {"pass": 0, "unknown": 0, "caution": 1, "fail": 2}
    before = {(found.id, found.where): worse[found.status] for found in pattern.findings}
    for mend in one.mends:
        after = _taken(pattern, mend)
        now = {(found.id, found.where): worse[found.status] for found in after.findings}
        assert now.get((mend.finding, mend.where), 0) < worse[one.finding.status], mend.says
        more = {place: level for place, level in now.items() if level > before.get(place, 0)}
        if "warns of" in mend.says:  # nothing but a warning, and only for a failure
            assert one.finding.status == "fail", mend.says
            assert set(more.values()) == {1}, mend.says
        else:
            assert not more, mend.says
        assert sum(level == 2 for level in now.values()) == mend.fails
        assert sum(level == 1 for level in now.values()) == mend.cautions


def test_a_hem_that_lacks_little_is_made_wider_first() -> None:
    """1/4 in is missing: the wider hem stands before the slit, and both hold."""
    pattern = _pattern(sample.wide(hem="12 1/2"))
    one = _of(mends(pattern), "hem-opening")
    assert [dict(mend.set) for mend in one.mends] == [
        {"width.hem": "13 in"}, {"slit.height": "auto"}, {"width.hem": "12 3/4 in"},
    ]  # fmt: skip
    assert [mend.number for mend in one.mends] == [1, 2, 3]
    assert one.mends[0].says.startswith("Make the leg 13 in around at the hem instead of 12 1/2 in")
    _assert_holds(pattern, one)


def test_a_hem_that_lacks_much_keeps_its_width_by_a_slit() -> None:
    """11 in was asked for and 12 3/4 are needed: the slit comes first."""
    pattern = _pattern(sample.wide(hem="11"))
    one = _of(mends(pattern), "hem-opening")
    assert dict(one.mends[0].set) == {"slit.height": "auto"}
    _assert_holds(pattern, one)


def test_a_hem_asked_for_as_a_take_in_is_mended_as_one() -> None:
    """The answer is changed in the words it was given in."""
    pattern = _pattern(sample.design(take_in=sample.lengths(hem="1 3/8")))
    one = _of(mends(pattern), "hem-opening")
    assert {key for mend in one.mends for key in mend.set} == {"take_in.hem", "slit.height"}
    _assert_holds(pattern, one)


def test_a_thigh_that_the_blend_took_is_mended_by_the_blend() -> None:
    """Nothing was asked for at the thigh; blended lower the seam leaves it alone, hem and all."""
    design = sample.design(take_in=sample.lengths(hem="2"), slit="auto")
    girth = sample.length(27.1 * IN - 6)
    pattern = _pattern(design, wearer=replace(sample.WEARER, thigh=girth, calf=None))
    (one,) = [m for m in mends(pattern) if m.finding.id == "ease-thigh"]
    if one.finding.status == "fail":
        assert one.mends
    _assert_holds(pattern, one)
    assert not any(key.startswith(("take_in", "width.hem")) for m in one.mends for key in m.set)


def test_a_knee_that_was_asked_for_changes_by_the_least() -> None:
    """15 in around a knee of 15 1/2: just enough not to fail, or what firm fabric needs."""
    pattern = _pattern(sample.wide(hem="14", knee="15"))
    one = _of(mends(pattern), "ease-knee")
    assert {mend.set["width.knee"] for mend in one.mends} == {"15 1/2 in", "16 1/2 in"}
    _assert_holds(pattern, one)


def test_what_one_change_worsens_another_repairs() -> None:
    """Room at the calf above a narrow hem makes a corner there: a faced hem goes with it."""
    design = sample.design(take_in=sample.lengths(hem="1 1/4"))
    pattern = _pattern(design, wearer=replace(sample.WEARER, calf=sample.length("16")))
    one = _of(mends(pattern), "ease-calf")
    assert {"width.calf", "hem.style"} in [set(mend.set) for mend in one.mends]
    _assert_holds(pattern, one)


def test_the_plainest_change_comes_first() -> None:
    """Less off the hem, one answer, goes before two at once that leave the hem as asked for.

    A calf of 14 3/4 in has no ease in a leg that comes down to 10 in around the hem.
    """
    design = sample.design(take_in=sample.lengths(hem="2"))
    one = _of(mends(_pattern(design)), "ease-calf")
    assert set(one.mends[0].set) == {"take_in.hem"}
    assert any(len(mend.set) > 1 for mend in one.mends)
    _assert_holds(_pattern(design), one)


def test_a_ruled_seam_that_leaves_the_block_is_mended() -> None:
    """By the other style, or by a blend at which a ruler fits."""
    pattern = _pattern(sample.design(style="straight"))
    one = _of(mends(pattern), "blend", "outseam")
    assert {"blend.style": "follow"} in [dict(mend.set) for mend in one.mends]
    assert any("blend.outseam" in mend.set for mend in one.mends)
    _assert_holds(pattern, one)


def test_a_pinch_is_evened_out() -> None:
    """3/8 in more off the outseam: the same off all edges, around the leg as much as before."""
    extra: Any = {"outseam": sample.lengths(hem="3/8")}
    pattern = _pattern(sample.design(extra=extra))
    one = _of(mends(pattern), "balance", "hem")
    assert {"extra.outseam.hem": None, "take_in.hem": "13/16 in"} in [
        dict(m.set) for m in one.mends
    ]
    _assert_holds(pattern, one)


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        # Around the knee 20 1/8 in of the block less 17 1/8, by four edges: 3/4 in.
        ({}, "Take the same off both seams at the knee, 3/4 in off each edge: "),
        # Half an inch kept by the back alone: 1/8 in more off the front's edges, 1/8 less there.
        ({"back_room": {"knee": "1/2"}}, "7/8 in off each front edge, 5/8 in off each back edge: "),
    ],
)
def test_a_pinch_that_is_evened_out_names_what_comes_off_each_edge(parts: Any, says: str) -> None:
    """Around the leg it is the width that is asked for."""
    lengths = {part: sample.lengths(**at) for part, at in parts.items()}
    design = sample.wide(hem="14", knee="17 1/8")
    design = replace(design, extra={"outseam": sample.lengths(knee="3/8")}, **lengths)
    one = _of(mends(_pattern(design)), "balance", "knee")
    (told,) = (mend.says for mend in one.mends if dict(mend.set) == {"extra.outseam.knee": None})
    assert says in told


def test_a_width_that_the_block_does_not_have_is_asked_for_no_more() -> None:
    """19 in where the block has 18: the edges stay, and nothing else changes."""
    pattern = _pattern(sample.wide(hem="19", knee="18"))
    one = _of(mends(pattern), "already-narrow")
    assert [dict(mend.set) for mend in one.mends] == [{"width.hem": None}]
    _assert_holds(pattern, one)


def test_a_thigh_that_turns_the_inseam_too_tight_is_asked_for_no_more() -> None:
    """24 in at the thigh is too tight a turn at the crotch; left to the taper, there is none."""
    pattern = _pattern(sample.wide(hem="16", thigh="24"))
    one = _of(mends(pattern), "blend", "inseam")
    assert one.finding.status == "fail"
    assert [dict(mend.set) for mend in one.mends] == [{"width.thigh": None}]
    assert one.mends[0].says.startswith("Ask for nothing at the thigh: knee 19 1/2 in")
    _assert_holds(pattern, one)


def test_a_failure_is_mended_at_the_price_of_warnings_where_nothing_else_mends_it() -> None:
    """A calf of 13 in is under the leg's 14 3/4; wider, the hem warns, and the sentence says so."""
    pattern = _pattern(sample.wide(hem="9 1/2", calf="13"))
    one = _of(mends(pattern), "ease-calf", "calf")
    assert one.finding.status == "fail"
    assert one.mends
    assert all("warns of" in mend.says for mend in one.mends)
    _assert_holds(pattern, one)


@pytest.mark.parametrize("end", ["31", "37"])
def test_narrowing_across_a_pocket_blends_where_the_pocket_ends(end: str) -> None:
    """From 38 in down to the end of the pocket, on a ruler's mark."""
    pattern = _pattern(block=replace(sample.SAMPLE, pocket_end=sample.length(end)))
    one = _of(mends(pattern), "pocket")
    assert one.mends[0].set == {"blend.outseam": f"{end} in"}
    _assert_holds(pattern, one)


def test_what_the_block_lacks_is_not_mended_by_the_design() -> None:
    """A thigh with too little ease in the block itself: it says so, and tries little."""
    wearer = replace(sample.WEARER, thigh=sample.length("26 3/4"))
    one = _of(mends(_pattern(wearer=wearer)), "ease-thigh")
    assert one.mends == ()
    assert one.why_not == "The block itself has this, so no change of the narrowing mends it."


def test_what_no_design_mends_says_so() -> None:
    """A block that needs fitting is no matter of the design."""
    pattern = _pattern(block_test=sample.block_test("needs fitting"))
    one = _of(mends(pattern), "tested")
    assert (one.mends, one.fits) == ((), 0)
    assert one.why_not.startswith(("This is not mended", "The block itself"))


def test_nothing_to_mend_is_nothing() -> None:
    """The sample fails in nothing and has no warning once its block is tested."""
    assert mends(_pattern(sample.wide(hem="17", knee="19 1/2"))) == ()


@pytest.mark.parametrize("parts", [{"hem": "7"}, {"hem": "10", "calf": "13"}, {"knee": "14"}])
def test_a_search_keeps_to_its_number_of_fits(parts: dict[str, str]) -> None:
    """However much fails, no finding takes more than 200 fits, and what is offered holds."""
    pattern = _pattern(sample.wide(**parts))
    for one in mends(pattern, only=("fail",)):
        assert one.fits <= MOST_FITS
        assert len(one.mends) <= 3
        assert bool(one.mends) != bool(one.why_not)
        _assert_holds(pattern, one)


def test_what_brings_a_finding_no_nearer_is_not_followed() -> None:
    """A calf of 13.7 in above a hem of 9.1: one change is offered, and not that and an idle one.

    Tried one after the other in pairs, all that may touch the calf were more than 400 fits.
    """
    pattern = _pattern(sample.wide(hem="9.1", knee="18.3", calf="13.7"))
    found = mends(pattern)
    one = _of(found, "ease-calf")
    assert one.finding.status == "fail"
    assert one.fits < 150
    assert dict(one.mends[0].set) == {"width.calf": "15 3/4 in"}
    for less in one.mends:
        for more in one.mends:
            if less.set.items() < more.set.items():
                assert (more.fails, more.cautions) < (less.fails, less.cautions)
    _assert_holds(pattern, one)
    up = _of(found, "ease-calf-up")
    assert up.mends == ()
    assert up.why_not.startswith("What would mend it makes something else worse: Hem across")


def test_numbers_run_through_failures_first() -> None:
    """What fails comes before what cautions; within a finding the best comes first."""
    found = mends(_pattern(sample.wide(hem="14", knee="15")))
    statuses = [one.finding.status for one in found]
    assert statuses == sorted(statuses, key=["fail", "caution"].index)
    numbers = [mend.number for one in found for mend in one.mends]
    assert numbers == list(range(1, len(numbers) + 1))


def test_changes_are_keys_of_the_file() -> None:
    """Every kind of key is set and taken away as the project file spells it."""
    design = sample.design(width=sample.lengths(knee="18"), blend=sample.lengths(outseam="30"))
    new = changed(
        design,
        {
            "blend.style": "straight", "blend.outseam": None, "blend.inseam_curve": "9 in",
            "width.knee": None, "width.calf": "16 1/2 in", "hem.style": "faced",
            "hem.depth": "1 in", "slit.height": "auto", "extra.outseam.hem": "-1/8 in",
        },
        "in",
    )  # fmt: skip
    assert (new.style, new.hem.style, new.slit) == ("straight", "faced", "auto")
    assert dict(new.blend) == {}
    assert new.curve["inseam"].text == "9 in"
    assert {level: width.text for level, width in new.width.items()} == {"calf": "16 1/2 in"}
    assert new.extra["outseam"]["hem"].mm == pytest.approx(-IN / 8)
    assert new.take_in == design.take_in
    assert (new.name, new.parent) == (design.name, design.parent)


def test_the_difference_of_two_designs_makes_one_ask_for_what_the_other_asks() -> None:
    """Both ways, in every key that says what a leg is; what it is called and comes from stays."""
    plain = sample.design()
    other = sample.design(
        "another", take_in={}, width=sample.lengths(hem="14", knee="18"), parent="easy taper",
        extra={"inseam": sample.lengths(knee="-1/8")}, blend=sample.lengths(outseam="36"),
        curve=sample.lengths(outseam="9"), style="straight", slit="auto", from_round=1,
        hem=sample.hem("double", depth="1", turn_under="1/4", height="-1/2"),
        shift=sample.lengths(hem="-1/4"), back_room=sample.lengths(calf="1/2"),
    )  # fmt: skip
    to = changed(plain, difference(plain, other, "in"), "in")
    assert to == replace(other, name="easy taper", parent=None, from_round=None)
    back = changed(other, difference(other, plain, "in"), "in")
    assert back == replace(plain, name="another", parent="easy taper", from_round=1)
    assert not difference(plain, replace(plain, name="another"), "in")


@pytest.mark.parametrize("change", [{"blend.style": "wavy"}, {"width.hem": "x"}, {"nothing": "1"}])
def test_a_change_that_cannot_be_is_refused(change: dict[str, str]) -> None:
    """As the file would be: the key is named."""
    with pytest.raises(ProjectError):
        changed(sample.design(take_in={}), change, "in")


def test_taking_a_mend_changes_the_one_design() -> None:
    """The project keeps everything else; another design of it stays as it is."""
    other = replace(sample.design(), name="other")
    project: Project = sample.project(other, sample.wide(hem="12 1/2"))
    mend = _of(mends(build(project, "easy taper")), "hem-opening").mends[0]
    new = take(project, "easy taper", mend)
    assert new.design("other") == other
    assert new.design("easy taper").width["hem"].text == "13 in"


@pytest.mark.parametrize("seam", SEAMS)
@pytest.mark.parametrize("part", ["blend", "curve"])
def test_the_nearest_height_and_length_are_tried_first(part: str, seam: str) -> None:
    """From a blend of 20 in over 8 in outwards, on whole inches, above and below by turns."""
    asked: Any = {seam: sample.length("20")}
    design = sample.design(blend=asked, curve={seam: sample.length("8")})
    fitted = sample.fitted(design)
    any_finding = fitted.findings[0]
    key, now = (f"blend.{seam}", 20) if part == "blend" else (f"blend.{seam}_curve", 8)
    tried = [change[key] for change in MOVES[f"{part} {seam}"](fitted, any_finding)]
    inches = [parse_length(text or "", "in").mm / IN for text in tried]
    assert len(inches) > 5
    assert inches == pytest.approx([round(inch) for inch in inches])
    far = [abs(round(inch) - now) for inch in inches]
    assert far == sorted(far)
    assert min(far) >= 1
    assert min(inches) < now < max(inches)


@pytest.mark.parametrize(("unit", "step"), [("in", IN / 2), ("cm", 10.0)])
def test_a_hem_is_widened_by_steps_of_half_an_inch_or_one_cm(unit: Any, step: float) -> None:
    """From what it is up to the block, 30 at most; what fails at the calf gives no width itself."""
    design = sample.wide(hem="9 1/2", calf="13")
    fitted = sample.fitted(design, length_unit=unit)
    calf = next(one for one in fitted.findings if one.id == "ease-calf")
    assert calf.status == "fail"
    widths = [
        parse_length(change["width.hem"] or "", unit).mm
        for change in MOVES["wider hem"](fitted, calf)
    ]
    now, block = fitted.taper.finished["hem"], fitted.block.widths["hem"]
    assert 0 <= widths[0] - (now + step) < IN / 8
    assert np.diff(widths) == pytest.approx(np.full(len(widths) - 1, step), abs=1.01)
    assert len(widths) == min(30, int((block - now) / step))


def test_a_level_may_be_asked_to_stay_about_as_it_is() -> None:
    """That takes the same off all edges there: the next mark of the ruler, and no other."""
    fitted = sample.fitted(sample.design(extra={"outseam": sample.lengths(hem="3/8")}))
    balance = next(one for one in fitted.findings if one.id == "balance")
    (change,) = MOVES["width knee"](fitted, balance)
    asked = parse_length(change["width.knee"] or "", "in").mm
    assert 0 <= asked - fitted.taper.finished["knee"] < IN / 8


@pytest.mark.parametrize(
    ("width", "status", "enough"), [("15", "fail", "15 1/2"), ("16", "caution", "16 1/2")]
)
def test_what_a_change_makes_up_for_is_told_in_parts(width: str, status: str, enough: str) -> None:
    """A knee of 15 1/2 in fails below that and warns below 16 1/2: half way there is a half."""
    pattern = _pattern(sample.wide(hem="14", knee=width))
    finding = next(one for one in pattern.findings if one.id == "ease-knee")
    assert finding.status == status
    bench = Bench(pattern.fit)
    now, then = (sample.length(one).mm / IN for one in (width, enough))
    for share in (0.0, 0.5, 1.0):
        knee = now + share * (then - now)
        trial = bench.try_out({"width.knee": f"{knee} in", "hem.depth": "1 in"})
        assert trial is not None
        assert bench.gain(trial, finding) == pytest.approx(share, abs=1e-6)
    elsewhere = next(one for one in pattern.findings if one.id == "hem-join")
    assert bench.gain(bench.before, elsewhere) is None


def test_a_change_touches_what_has_another_figure_with_it() -> None:
    """A wider knee touches the ease there and not that of the thigh, nor what is found nowhere."""
    pattern = _pattern(sample.wide(hem="14", knee="17"))
    bench = Bench(pattern.fit)
    trial = bench.try_out({"width.knee": "18 in"})
    assert trial is not None
    found = {one.id: one for one in pattern.findings}
    assert bench.touches(trial, found["ease-knee"])
    assert not bench.touches(trial, found["hem-opening"])
    assert not bench.touches(trial, replace(found["ease-knee"], where="elbow"))


def test_every_move_that_a_check_names_is_known() -> None:
    """And every move there is has a check that names it; what can fail has moves."""
    named = {move for check in CHECKS for move in check.moves}
    assert named == set(MOVES)
    for check in CHECKS:
        assert not check.fails_as or check.moves, check.id
    assert mending.ORDER == ("fail", "caution")


def test_what_is_asked_below_the_end_is_asked_for_no_more() -> None:
    """The leg ends at 12 in, and a width at the calf was asked for: it goes, nothing changes."""
    ends = replace(sample.hem(), height=sample.length("12"))
    pattern = _pattern(replace(sample.wide(hem="17", calf="16 1/2"), hem=ends))
    one = _of(mends(pattern), "below-the-end")
    assert [dict(mend.set) for mend in one.mends] == [{"width.calf": None}]
    assert one.mends[0].says == "Ask for nothing at the calf: nothing else changes."
    _assert_holds(pattern, one)


@pytest.mark.parametrize(
    ("hem", "slit", "wide"),
    [("11", "auto", "13 in"), ("12", "auto", "13 in"), ("12", "5", "12 3/4 in")],
)
def test_a_hem_that_needs_its_slit_is_mended_by_one_wide_enough(
    hem: str, slit: str, wide: str
) -> None:
    """The foot needs 12 3/4 in: 13 in around lets it through with 1/4 in to spare and no slit.

    With a slit that stays, 12 3/4 in is enough: no tug there.
    """
    asked: Any = slit if slit == "auto" else sample.length(slit)
    design = replace(sample.wide(hem=hem), slit=asked)
    found = {one.finding.id: one for one in mends(_pattern(design))}
    assert found["hem-opening"].finding.status == "caution"
    assert any(one.set.get("width.hem") == wide for one in found["hem-opening"].mends)


def test_a_slit_too_low_is_not_put_down_to_the_block() -> None:
    """The block's hem needs no slit: one that the design has too low is the design's."""
    design = replace(sample.wide(hem="10 1/2"), slit=sample.length("5"))
    found = {one.finding.id: one for one in mends(_pattern(design))}
    assert found["slit"].finding.status == "caution"
    assert "block itself" not in found["slit"].why_not
