from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
import sample

from legtaper.model.project import Pinch, Project, ProjectError, Round, SeenSign
from legtaper.muslin.advice import (
    Tried,
    asked_of,
    check_signs,
    cure_lines,
    look_text,
    offered,
    one_change,
    to_look_for,
    try_cures,
)
from legtaper.muslin.contradictions import contradictions
from legtaper.muslin.cures import Spot, moved_to, read_spot
from legtaper.muslin.log import is_tried, next_step, round_text, with_next
from legtaper.muslin.open_things import open_signs
from legtaper.muslin.sewing import Work, parts_for
from legtaper.muslin.sign_parts import GONE, POSES, VIEWS
from legtaper.muslin.signs import SIGNS, in_order, sign_named, told
from legtaper.pattern import build, fit_design

IN = 25.4
EACH = [sign.id for sign in SIGNS]


def _seen(*signs: SeenSign, design: str = "easy taper", **parts: object) -> Project:
    one = Round(design, signs=signs)
    return sample.project(**{"rounds": (one,), **parts})


def _tried(*signs: SeenSign, **parts: object) -> tuple[Tried, ...]:
    return try_cures(_seen(*signs, **parts), sample.block(), 1)


@pytest.mark.parametrize("name", EACH)
def test_a_sign_says_all_about_itself(name: str) -> None:
    """Words, a drawing that every terminal can show, where to look, and causes that mend it."""
    sign = sign_named(name)
    assert sign.words
    assert sign.look.endswith((".", "?"))
    assert 3 < len(sign.drawing) < 8
    assert all(line.isascii() and len(line) <= 14 for line in sign.drawing)
    assert sign.pose in POSES
    assert sign.view in VIEWS
    assert len({cause.id for cause in sign.causes}) == len(sign.causes)
    for cause in sign.causes:
        assert cause.cures or cause.instead or cause.id == "sewing"
        assert cause.id != GONE
        assert not (cause.of_block and cause.cures), "the block is not cured by a narrower leg"


def test_what_is_said_is_said_of_fabric_and_seams() -> None:
    """No word makes a body a fault, and every sign of harm ends with a doctor."""
    words = " ".join(
        text
        for sign in SIGNS
        for text in (
            sign.words,
            sign.look,
            *(f"{c.tell} {c.says} {c.instead}" for c in sign.causes),
        )
    )
    assert not re.search(r"\b(fat|thick|bow legs?|knock knees?|problem|wrong|bad|flaw)\b", words)
    assert "cloth" not in words
    assert "see a doctor" in sign_named("pain").causes[0].says


def test_signs_are_asked_in_the_order_in_which_one_tries_on() -> None:
    """Putting on, standing, knee up, sitting, climbing; side before front before back."""
    places = [(sign.pose, sign.view) for sign in in_order()]
    assert places == sorted(places, key=lambda at: (POSES.index(at[0]), VIEWS.index(at[1])))
    assert sorted(sign.id for sign in in_order()) == sorted(EACH)


def test_a_spot_is_read_in_any_order_and_spelled_in_one() -> None:
    """Leg, level and seam, with commas between; what is no place is named with what would be."""
    block = sample.block()
    assert read_spot("outseam, KNEE,narrowed", block) == Spot("narrowed", "knee", "outseam")
    assert str(read_spot("outseam, knee, both", block)) == "both, knee, outseam"
    assert read_spot("", block) == Spot()
    with pytest.raises(ProjectError, match='"elbow" is no place; say which leg'):
        read_spot("elbow", block)


def test_one_part_of_a_spot_changes_and_all_else_that_is_written_stays() -> None:
    """In the order leg, level, seam; words that this block has no place for come behind."""
    block = sample.block()
    assert moved_to("shin, Narrowed", "level", "knee", block) == "narrowed, knee, shin"
    assert moved_to("narrowed, knee, shin", "level", "calf", block) == "narrowed, calf, shin"
    assert moved_to("narrowed, knee, outseam", "level", "", block) == "narrowed, outseam"
    assert moved_to("", "seam", "inseam", block) == "inseam"


def test_a_sign_that_is_not_known_is_refused_with_the_nearest() -> None:
    """Also a cause that the sign does not have; "gone" always may stand there."""
    block = sample.block()
    with pytest.raises(ProjectError, match='no sign "riding-hems"; did you mean riding-hem'):
        check_signs([SeenSign("riding-hems")], block)
    with pytest.raises(ProjectError, match='"seat" is no cause of riding-hem; use calf, fabric'):
        check_signs([SeenSign("riding-hem", "seat")], block)
    (gone,) = check_signs([SeenSign("riding-hem", GONE, "knee, narrowed")], block)
    assert gone == SeenSign("riding-hem", GONE, "narrowed, knee")


@pytest.mark.parametrize("name", EACH)
@pytest.mark.parametrize("legs", ["narrowed", ""])
def test_what_is_offered_fails_no_check_that_did_not_fail(name: str, legs: str) -> None:
    """Taken into the project and built with its cut lines, by the name it was offered under."""
    project = _seen(SeenSign(name, where=legs))
    before = {(f.id, f.where) for f in build(project).findings if f.status == "fail"}
    for one in offered(try_cures(project, sample.block(), 1)):
        taken = with_next(project, one.design)
        after = {(f.id, f.where) for f in build(taken).findings if f.status == "fail"}
        assert after <= before
        assert one.changes != ("Nothing changed.",)
        assert (one.design.parent, one.design.from_round) == ("easy taper", 1)


def test_a_calf_that_catches_gets_half_an_inch() -> None:
    """At the calf alone, exact; the hem she wants stays."""
    first = offered(_tried(SeenSign("riding-hem", where="narrowed")))[0]
    sewn = sample.fitted()
    assert first.fit is not None
    calf, old = first.fit.taper.finished["calf"], sewn.taper.finished["calf"]
    assert calf - old == pytest.approx(IN / 2, abs=IN / 16)
    assert first.fit.taper.finished["hem"] == pytest.approx(sewn.taper.finished["hem"], abs=0.1)


def test_what_the_legs_share_is_the_blocks() -> None:
    """Nothing of the design is offered then; the words send to the block."""
    assert _tried(SeenSign("tight-thigh", where="both")) == ()
    assert offered(_tried(SeenSign("tight-thigh", where="narrowed")))


def test_a_cause_that_was_named_is_the_only_one_tried() -> None:
    """Folds under the seat put down to spare width bring no room at the calf."""
    causes = {one.cause.id for one in _tried(SeenSign("folds-under-seat", "spare-width"))}
    assert causes == {"spare-width"}


def test_a_cure_that_fails_is_told_and_not_offered() -> None:
    """The numbers count what is offered; what was tried besides says what stands in its way."""
    low = sample.design(blend=sample.lengths(outseam="6", inseam="6"))
    tried = _tried(SeenSign("binding-knee", where="narrowed"), designs=(low,))
    lines = list(cure_lines(_seen(), tried))
    assert len(lines) == len(tried)
    refused = [one for one in tried if one.problem]
    assert [line for line in lines if line.startswith("Tried, not offered")] == lines[
        len(lines) - len(refused) :
    ]
    for one in refused:
        with pytest.raises(ProjectError):
            _ = one.design


def test_harm_goes_first_and_one_change_is_advised() -> None:
    """Of several signs, the one that may hurt; of one alone there is nothing to choose."""
    one = Round("easy taper", signs=(SeenSign("bump-at-blend"), SeenSign("pain")))
    assert [seen.sign for seen in open_signs(one)] == ["pain", "bump-at-blend"]
    assert one_change(one).startswith("2 things are open.")
    assert 'first "pain' in one_change(one)
    assert one_change(replace(one, signs=one.signs[:1])) == ""


@pytest.mark.parametrize(
    ("sign", "order", "follows"),
    [
        ("binding-knee", 'first the pinches, then "it binds over the knee"', "from the pinches"),
        ("pain", 'first "pain, numbness, marks on the skin, swelling", then the', "take a cure"),
    ],
)
def test_what_goes_first_is_also_what_comes_next(sign: str, order: str, follows: str) -> None:
    """Every next design takes up the pinches, so only harm goes before them; all are named."""
    one = Round("easy taper", date=date(2026, 3, 28), verdict="closer", signs=(SeenSign(sign),),
                pinches=(sample.pinch("hem", "outseam", "1/4"),))  # fmt: skip
    assert f"see what it did (common practice): {order}" in one_change(one)
    assert follows in next_step(sample.project(rounds=(one,)))


PINCHED = (sample.pinch("knee", "outseam", "1/4"),)
KNEE = "You pinched 1/4 in at the knee, outseam, and wrote down"


@pytest.mark.parametrize(
    ("sign", "first"),
    [
        (SeenSign("binding-knee"), "look again at the knee, outseam"),
        (SeenSign("binding-knee", where="both"), "look again at the knee, outseam"),
        (SeenSign("slanting-lines", where="knee"), "look again at the knee, outseam"),
        (SeenSign("pain"), "leave out the pinch at the knee, outseam"),
    ],
)
def test_a_pinch_where_a_sign_asks_for_room_is_told_first(sign: SeenSign, first: str) -> None:
    """No order of the two is advised then; where harm is done, the pinch is what goes."""
    one = Round("easy taper", date=date(2026, 3, 28), verdict="closer", signs=(sign,),
                pinches=PINCHED)  # fmt: skip
    (says,) = contradictions(one, "in")
    assert says.startswith(KNEE)
    assert next_step(sample.project(rounds=(one,))).startswith(first)
    assert one_change(one) == ""


@pytest.mark.parametrize(
    ("sign", "pinch"),
    [
        (SeenSign("binding-knee"), sample.pinch("hem", "outseam", "1/4")),
        (SeenSign("binding-knee"), sample.pinch("knee", "outseam", "-1/4")),
        (SeenSign("binding-knee", GONE), PINCHED[0]),
        (SeenSign("slanting-lines", where="narrowed"), PINCHED[0]),
        (SeenSign("slanting-lines", where="knee, inseam"), PINCHED[0]),
        (SeenSign("folds-under-seat"), sample.pinch("calf", "outseam", "1/4")),
        (SeenSign("folds-under-seat", "spare-width"), sample.pinch("calf", "outseam", "1/4")),
        (SeenSign("riding-hem", "fabric"), sample.pinch("calf", "outseam", "1/4")),
        (SeenSign("loose-folds"), PINCHED[0]),
    ],
)
def test_what_contradicts_nothing_is_left_alone(sign: SeenSign, pinch: Pinch) -> None:
    """At another place, let out, gone, or a sign that another cause may have made."""
    one = Round("easy taper", verdict="closer", signs=(sign,), pinches=(pinch,))
    assert list(contradictions(one, "in")) == []
    assert "look again" not in next_step(sample.project(rounds=(one,)))


def test_the_calf_is_tight_where_it_is_put_down_to_it() -> None:
    """A cause that was said is what counts, and its first cure that gives room."""
    one = Round("easy taper", signs=(SeenSign("folds-under-seat", "calf"),))
    calf, knee = (sample.pinch(level, "inseam", "1/4") for level in ("calf", "knee"))
    assert len([*contradictions(replace(one, pinches=(calf,)), "in")]) == 1
    assert [*contradictions(replace(one, pinches=(knee,)), "in")] == []


def test_a_cure_with_pinches_says_what_both_do_to_what_was_sewn() -> None:
    """1/2 in more for all four edges is 1/8 in less off each, and the pinch 1/4 in off two."""
    one = Round("easy taper", pinches=(sample.pinch("knee", "outseam", "1/4"),),
                signs=(SeenSign("binding-knee", where="narrowed"),))  # fmt: skip
    design = sample.design(take_in=sample.lengths(hem="5/8", knee="1/2"))
    project = sample.project(designs=(design,), rounds=(one,))
    says = next(cure_lines(project, try_cures(project, sample.block(), 1)))
    assert says.startswith("1. 1/2 in more around the leg at the knee, and the pinches. Both ")
    assert (
        "Off each edge, front and back alike: knee, outseam 1/8 in more and inseam 1/8 in less, "
        "as wide around."
    ) in says


def test_a_seam_is_asked_for_only_where_it_decides_the_cure() -> None:
    """Lines across the knee and a bump at both seams are of no one seam; a loose fold is."""
    asked = {name: asked_of(SeenSign(name, where="narrowed"), sample.block()) for name in EACH}
    assert not asked["binding-knee"]
    assert not asked["bump-at-blend"]
    assert asked["loose-folds"] == ("seam",)


def test_the_next_round_asks_whether_it_went() -> None:
    """What the round showed that the design came from, until it is written down as gone."""
    project = _seen(SeenSign("riding-hem", where="narrowed, calf"))
    design = offered(try_cures(project, sample.block(), 1))[0].design
    grown = with_next(project, design)
    assert [seen.sign for seen in to_look_for(grown, design)] == ["riding-hem"]
    assert look_text(grown, design) == (
        "Is it gone? The hem rides up when you sit and stays up; the calf catches.",
    )
    assert to_look_for(grown, grown.designs[0]) == ()


def test_a_round_tells_its_signs() -> None:
    """With where and what it was put down to; one that went, as gone; a strange one by name."""
    seen = SeenSign("riding-hem", "calf", "narrowed, calf")
    says = round_text(_seen(seen), 1)
    assert "Seen: the hem rides up when you sit" in says
    assert "(narrowed, calf). The leg is tight at the calf." in says
    assert told(replace(seen, cause=GONE)).startswith("Gone: the hem rides up")
    assert told(SeenSign("of-tomorrow")) == "Seen: of-tomorrow."
    assert is_tried(Round("easy taper", printed=None, signs=(seen,)))


def test_pinches_of_the_round_go_into_what_is_tried() -> None:
    """The cure stands on the design that the pinches make."""
    pinch = sample.pinch("hem", "outseam", "1/8")
    project = _seen()
    one = Round("easy taper", pinches=(pinch,), signs=(SeenSign("riding-hem", where="narrowed"),))
    project = replace(project, rounds=(one,))
    first = offered(try_cures(project, sample.block(), 1))[0]
    sewn = fit_design(project, project.designs[0], sample.block())
    assert first.fit is not None
    assert sewn.taper.finished["hem"] - first.fit.taper.finished["hem"] == pytest.approx(IN / 4)


@pytest.mark.parametrize(
    ("cause", "by"), [("ankles-touch", {"hem": "5/8"}), ("knees-touch", {"hem": "-5/8"})]
)
def test_a_crease_that_leans_is_moved_by_hertzers_amounts(cause: str, by: dict[str, str]) -> None:
    """G. F. Hertzer (1892): 5/8 in at the bottom, about half of it at the knee.

    Outwards where the knees part. The width around the leg stays, and what was moved before counts.
    """
    (tried,) = offered(_tried(SeenSign("leaning-crease", cause, "narrowed")))
    moved = sample.length(by["hem"]).mm
    assert tried.fit is not None
    assert {level: mm.mm for level, mm in tried.design.shift.items()} == pytest.approx(
        {"hem": moved, "knee": moved / 2}
    )
    assert tried.fit.taper.finished == pytest.approx(sample.fitted().taper.finished)
    before = sample.design(shift={"hem": sample.length("-5/8"), "knee": sample.length("1/8")})
    (tried,) = offered(_tried(SeenSign("leaning-crease", cause, "narrowed"), designs=(before,)))
    added = {level: length.mm for level, length in tried.design.shift.items()}
    wanted = {"hem": moved - 0.625 * IN, "knee": moved / 2 + 0.125 * IN}
    assert added == pytest.approx({level: mm for level, mm in wanted.items() if mm})


@pytest.mark.parametrize(
    ("sign", "cause", "by"),
    [("hem-at-foot", "long", 0.5), ("hem-at-foot", "short", -0.5), ("caught-hem", "long", 0.5)],
)
def test_a_leg_too_long_or_short_ends_half_an_inch_elsewhere(
    sign: str, cause: str, by: float
) -> None:
    """And is told where, from the end that the leg had."""
    (tried,) = offered(_tried(SeenSign(sign, cause, "narrowed")))
    assert tried.fit is not None
    assert tried.fit.block.start == pytest.approx(by * IN)
    way = "above" if by > 0 else "below"
    assert f"The leg ends 1/2 in {way} the block's hem, before at the block's hem." in tried.changes
    old = sample.design()
    lower = replace(old, hem=replace(old.hem, height=sample.length("-1/2")))
    (tried,) = offered(_tried(SeenSign(sign, cause, "narrowed"), designs=(lower,)))
    assert tried.fit is not None
    assert tried.fit.block.start == pytest.approx((by - 0.5) * IN)


@pytest.mark.parametrize(
    ("sign", "key", "becomes"),
    [
        ("tight-thigh", "blend", "19"), ("loose-folds", "blend", "21"),
        ("bump-at-blend", "blend", "20 1/2"), ("bump-at-blend", "curve", "10"),
        ("tight-thigh", "curve", "10"), ("loose-folds", "curve", "6"),
    ],
)  # fmt: skip
def test_a_blend_and_a_curve_change_by_what_is_said(sign: str, key: str, becomes: str) -> None:
    """From a blend at 20 in over 8 in: 1 in or 1/2 in higher or lower, 2 in longer or shorter."""
    parts: Any = {"blend": sample.lengths(outseam="20"), "curve": sample.lengths(outseam="8")}
    seen = SeenSign(sign, where="narrowed, outseam")
    tried = _tried(seen, designs=(sample.design(**parts),))
    made = [getattr(one.design, key).get("outseam") for one in offered(tried)]
    assert sample.length(becomes).mm in [pytest.approx(length.mm) for length in made if length]


def test_how_to_sew_it_tells_the_hem_that_it_has() -> None:
    """A fold-up or a facing, never both; the lower fold where it is folded twice."""
    for work, hem in (
        (Work(), ["4. Hem"]),
        (Work(double=True), ["4. Hem"]),
        (Work(faced=True), ["3. Facing"]),
    ):
        names = [part.name for part in parts_for(work)]
        assert [name for name in names if name.endswith(("Hem", "Facing"))] == hem
        folds = [part.says for part in parts_for(work) if part.name == "1. Hem folds"]
        assert len(folds) == (not work.faced)
        assert all(("lower fold" in says) == work.double for says in folds)


def test_of_two_legs_the_narrowed_one_has_the_slit() -> None:
    """The other is sewn from the hem up; which way up a piece lies is said of both."""
    both = {part.name: part.says for part in parts_for(Work(slit=True, muslin=True, both=True))}
    assert "On the narrowed leg" in both["2. Outseam"]
    assert "the other" in both["2. Outseam"]
    assert "right side of the fabric" in both["Face up, turn over"]
    alone = {part.name: part.says for part in parts_for(Work(slit=True))}
    assert "narrowed" not in alone["2. Outseam"]
    assert "right side of the fabric" in alone["Face up, turn over"]
    assert list(alone)[-5:] == ["1. Hem folds", "2. Outseam", "3. Slit", "4. Inseam", "5. Hem"]


def test_a_blend_that_the_block_cannot_raise_so_far_goes_to_its_last_mark() -> None:
    """1 in above 37 1/2 in, where the block ends at 38 1/16 in: 38 in, and no line beyond it."""
    table = sample.table(heights={**sample.HEIGHTS, "hip": "38 1/16"})
    near = sample.design(blend=sample.lengths(outseam="37 1/2"))
    seen = SeenSign("loose-folds", where="narrowed, outseam")
    project = _seen(seen, designs=(near,), block=table)
    (higher, *_) = offered(try_cures(project, sample.block(table), 1))
    assert higher.cure.says == "the blend {amount} higher"
    assert higher.design.blend["outseam"].text == "38 in"
