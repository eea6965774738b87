from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import blocks
import pytest
import sample
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.leg.block import Block
from legtaper.leg.taper import Taper, taper
from legtaper.model.project import (
    EDGES,
    SEAMS,
    Design,
    Pinch,
    Project,
    ProjectError,
    Round,
    seam_of,
)
from legtaper.muslin.next_design import depths, even_out, next_design, next_name
from legtaper.pattern import block_of, fit_design

IN = 25.4
KNEE = 17 * IN
# Half of the last of four decimals of an inch; four edges of it.
SPELLED, SPELLED_ROUND = 0.003, 0.01
some = settings(max_examples=30)


def _pinch(level: str, seam: Any, depth: str | float) -> Pinch:
    return Pinch(level, seam, sample.length(depth))


def _sewn(*pinches: Pinch, design: Design | None = None, **parts: Any) -> Project:
    """Return the sample project with one round of its design, pinched like that."""
    chosen = design or sample.design()
    return sample.project(chosen, rounds=(Round(chosen.name, pinches=pinches),), **parts)


def _next(project: Project) -> Design:
    return next_design(project, block_of(project), len(project.rounds))


def _go_on(project: Project, new: Design, *pinches: Pinch) -> Project:
    """Return the project with a new design that was sewn and pinched."""
    rounds = (*project.rounds, Round(new.name, pinches=pinches))
    return replace(project, designs=(*project.designs, new), rounds=rounds)


def _taper(project: Project, design: Design) -> Taper:
    return taper(block_of(project), design, project.length_unit)


def _round_leg(project: Project, design: Design, level: str) -> float:
    return _taper(project, design).finished[level]


def _take_in(project: Project, design: Design, level: str) -> dict[str, float]:
    tapered = _taper(project, design)
    return {edge: tapered.taken(edge, level) for edge in EDGES}


def _asked(design: Design) -> Any:
    """Return what a design asks for, in mm, to 0.0001 mm."""

    def mm(lengths: Any) -> dict[str, float]:
        return {key: round(length.mm, 4) for key, length in lengths.items()}

    return (
        mm(design.take_in), mm(design.width), {seam: mm(at) for seam, at in design.extra.items()},
        mm(design.blend), mm(design.curve), design.style,
    )  # fmt: skip


# --- one pinch, by hand ----------------------------------------------------------------------


def test_a_pinch_takes_its_depth_off_both_edges_of_its_seam() -> None:
    """1/8 in at the hem outseam: 5/8 in become 3/4 in on two edges; 15 1/2 in become 15 1/4 in."""
    project = _sewn(_pinch("hem", "outseam", "1/8"))
    new = _next(project)
    for edge, taken in _take_in(project, new, "hem").items():
        assert taken == pytest.approx((0.75 if seam_of(edge) == "outseam" else 0.625) * IN)  # type: ignore[arg-type]
    assert _round_leg(project, new, "hem") == pytest.approx(15.25 * IN)
    assert new.extra == {"outseam": {"hem": sample.length("1/8")}}


def test_a_pinch_at_an_asked_width_comes_off_the_width() -> None:
    """12 in at the hem, pinched 1/8 in at the inseam: 11 3/4 in, and only the inseam moves."""
    project = _sewn(_pinch("hem", "inseam", "1/8"), design=sample.wide(hem="12"))
    new = _next(project)
    assert new.width["hem"].mm == pytest.approx(11.75 * IN)
    assert _round_leg(project, new, "hem") == pytest.approx(11.75 * IN)
    taken = _take_in(project, new, "hem")
    assert taken["back_outseam"] == pytest.approx(1.5 * IN)  # (18 - 12) / 4
    assert taken["back_inseam"] == pytest.approx(1.625 * IN)


def test_a_pinch_at_a_level_that_was_not_named_makes_it_an_asked_level() -> None:
    """At the knee the outseam took 5/8 * (1 - 17 / 28.5) = 0.2522 in; let out 1/8 in: 0.1272 in.

    The curve is 19 in long and ends at 38 in, so its corner lies at 28 1/2 in, above the knee.
    """
    project = _sewn(_pinch("knee", "outseam", "-1/8"))
    new = _next(project)
    before = 0.625 * (1 - 17 / 28.5)
    taken = _take_in(project, new, "knee")
    assert taken["front_outseam"] == pytest.approx((before - 0.125) * IN)
    assert taken["back_outseam"] == pytest.approx((before - 0.125) * IN)
    assert new.extra == {"outseam": {"knee": sample.length("-1/8")}}
    assert new.take_in == sample.design().take_in


def test_pinches_at_the_same_place_add_up_and_opposites_vanish() -> None:
    """1/8 and 1/16 in are 3/16 in; 1/4 in and its opposite leave the seam alone."""
    project = _sewn(
        _pinch("hem", "outseam", "1/8"), _pinch("hem", "outseam", "1/16"),
        _pinch("knee", "inseam", "1/4"), _pinch("knee", "inseam", "-1/4"),
    )  # fmt: skip
    assert depths(project.rounds[0]) == {("outseam", "hem"): pytest.approx(3 / 16 * IN)}
    new = _next(project)
    assert set(new.extra) == {"outseam"}
    assert new.extra["outseam"]["hem"].text == "3/16 in"


def test_a_pinch_adds_to_the_extra_that_was_there() -> None:
    """1/8 in more on the outseam, pinched 1/8 in the other way: no extra stays behind."""
    there = sample.design(extra={"outseam": sample.lengths(hem="1/8", knee="1/16")})
    new = _next(_sewn(_pinch("hem", "outseam", "-1/8"), design=there))
    assert set(new.extra["outseam"]) == {"knee"}


def test_a_level_that_was_pinched_before_stays_as_it_was_sewn() -> None:
    """Pinched at the knee in round 1 and at the calf in round 2: the knee is as sewn in round 2.

    And the calf takes what the seam took there after round 1, and 1/8 in more.
    """
    project = _sewn(_pinch("knee", "outseam", "1/4"))
    second = _next(project)
    project = _go_on(project, second, _pinch("calf", "outseam", "1/8"))
    third = _next(project)
    old, new = (_take_in(project, design, "knee") for design in (second, third))
    assert new == pytest.approx(old, abs=SPELLED)
    old, new = (_take_in(project, design, "calf") for design in (second, third))
    assert new["front_outseam"] - old["front_outseam"] == pytest.approx(IN / 8, abs=SPELLED)
    assert new["front_inseam"] == pytest.approx(old["front_inseam"], abs=SPELLED)


def test_a_level_pinched_at_one_seam_holds_the_other_there() -> None:
    """Let out 1/4 in at the knee outseam, pinched 1/8 in at the calf inseam.

    The outseam stays at the calf, so that the calf is 2 * 1/8 = 1/4 in less around the leg.
    """
    project = _sewn(_pinch("knee", "outseam", "-1/4"), _pinch("calf", "inseam", "1/8"))
    new = _next(project)
    before, after = (_taper(project, design) for design in (project.designs[0], new))
    assert before.finished["calf"] - after.finished["calf"] == pytest.approx(
        IN / 4, abs=SPELLED_ROUND
    )
    assert after.finished["knee"] - before.finished["knee"] == pytest.approx(
        IN / 2, abs=SPELLED_ROUND
    )
    assert after.taken("front_outseam", "calf") == pytest.approx(
        before.taken("front_outseam", "calf"), abs=SPELLED
    )


def test_the_lineage_and_the_rest_of_the_design_are_kept() -> None:
    """The new design says what it was made from; style, hem and slit are those of the old one."""
    old = sample.design(slit="auto", hem=sample.hem("double", depth="1", turn_under="1/4"))
    new = _next(_sewn(_pinch("knee", "outseam", "1/8"), design=old))
    assert (new.name, new.parent, new.from_round) == ("easy taper 2", "easy taper", 1)
    assert (new.hem, new.slit, new.style) == (old.hem, old.slit, old.style)


def test_a_round_without_a_pinch_gives_the_same_design_under_a_new_name() -> None:
    """Nothing pinched is nothing changed."""
    project = _sewn()
    new = _next(project)
    assert replace(new, name="easy taper", parent=None, from_round=None) == project.designs[0]


def test_a_blend_that_a_pinch_reaches_gives_way() -> None:
    """A pinch at the thigh, where the inseam was to blend: the blend is left to the default."""
    old = sample.design(blend=sample.lengths(inseam="29", outseam="37"))
    project = _sewn(_pinch("thigh", "inseam", "1/16"), design=old)
    new = _next(project)
    assert set(new.blend) == {"outseam"}
    assert _take_in(project, new, "thigh")["back_inseam"] == pytest.approx(IN / 16, abs=SPELLED)


def test_letting_out_beyond_the_block_is_found() -> None:
    """Let out 1/2 in at the knee, where a quarter was taken in: the finding says by how much."""
    project = _sewn(_pinch("knee", "outseam", "-1/2"))
    new = _next(project)
    findings = fit_design(project, new, block_of(project)).findings
    blend = next(f for f in findings if f.id == "blend" and f.where == "outseam")
    assert blend.status == "caution"
    assert "let out beyond the block by 1/4 in" in blend.says


def test_a_pinch_on_one_seam_alone_is_told_by_the_balance() -> None:
    """3/8 in at the hem outseam alone moves the crease line: a caution with both numbers."""
    project = _sewn(_pinch("hem", "outseam", "3/8"))
    new = _next(project)
    findings = fit_design(project, new, block_of(project)).findings
    hem = next(f for f in findings if f.id == "balance" and f.where == "hem")
    assert (hem.status, hem.value) == ("caution", pytest.approx(IN * 3 / 8))
    assert "5/8 in off the front inseam and 1 in off the front outseam" in hem.says
    evened = even_out(project, block_of(project), new)
    found = fit_design(project, evened, block_of(project)).findings
    assert all(f.status == "pass" for f in found if f.id == "balance" and f.where == "hem")


@pytest.mark.parametrize(
    ("pinch", "words"),
    [
        (("shin", "outseam", "1/8"), ["pinch 1.level", 'no level "shin"', "knee"]),
        (("crotch", "inseam", "1/8"), ["pinch 1.level", "from 30 in up"]),
        (("hip", "outseam", "1/8"), ["pinch 1.level", "from 38 in up"]),
        (("hem", "outseam", "5"), ["take_in.hem", "than the block has there"]),
    ],
)
def test_a_pinch_that_cannot_be_is_refused(pinch: tuple[str, str, str], words: list[str]) -> None:
    """An unknown level, one where the seam is the block's own, or more than there is."""
    with pytest.raises(ProjectError) as caught:
        _next(_sewn(_pinch(*pinch)))
    assert all(word in str(caught.value) for word in words), caught.value


def test_a_round_that_there_is_not_is_refused() -> None:
    """The answer names the last one there is."""
    project = _sewn()
    for number in (0, 2):
        with pytest.raises(ProjectError, match="the last one is 1"):
            next_design(project, sample.block(), number)


@pytest.mark.parametrize(
    ("name", "follows"),
    [
        ("easy taper", "easy taper 4"),
        ("easy taper 2", "easy taper 4"),
        ("slim", "slim 2"),
        ("7", "7 2"),
        ("taper 1999", "taper 2000"),
    ],
)
def test_the_name_of_what_follows_is_free(name: str, follows: str) -> None:
    """A number is counted up, past the names that are taken."""
    names = ("easy taper", "easy taper 2", "easy taper 3")
    project = sample.project(*(sample.design(taken) for taken in names))
    assert next_name(project, name) == follows


# --- evened out, by hand ---------------------------------------------------------------------


def test_evened_out_an_asked_take_in_grows_by_half_the_pinch() -> None:
    """1/8 in on two edges is 1/16 in on four: 5/8 in become 11/16 in."""
    project = _sewn(_pinch("hem", "outseam", "1/8"))
    evened = even_out(project, block_of(project), _next(project))
    assert evened.take_in["hem"].text == "11/16 in"
    assert evened.extra == {}
    assert _round_leg(project, evened, "hem") == pytest.approx(15.25 * IN)


def test_evened_out_an_asked_width_stays_the_width() -> None:
    """17 in at the knee, let out 1/8 in at the outseam: 17 1/4 in, 9/16 in off each edge."""
    project = _sewn(_pinch("knee", "outseam", "-1/8"), design=sample.wide(hem="12", knee="17"))
    evened = even_out(project, block_of(project), _next(project))
    assert evened.width["knee"].text == "17 1/4 in"
    assert evened.extra == {}
    each = (20.125 - 17.25) / 4 * IN
    assert _take_in(project, evened, "knee") == pytest.approx(dict.fromkeys(EDGES, each))


def test_evened_out_a_level_between_becomes_a_width() -> None:
    """What the line took at the knee on both seams, and the pinch, spread over four edges."""
    project = _sewn(_pinch("knee", "outseam", "1/8"))
    new = _next(project)
    evened = even_out(project, block_of(project), new)
    outseam = 0.625 * (1 - 17 / 28.5)
    # The inseam blends at 29 in over 14 1/2 in: its corner lies at 21 3/4 in, and from 14 1/2 in
    # up it curves.
    inseam = 0.625 / 21.75 * (29 - 17) ** 2 / (2 * 14.5)
    each = (outseam + 0.125 + inseam) / 2
    taken = _take_in(project, evened, "knee")
    assert taken == pytest.approx(dict.fromkeys(EDGES, each * IN), abs=SPELLED)
    assert set(evened.width) == {"knee"}


def test_evened_out_only_the_levels_that_were_named() -> None:
    """The hem is evened out; the extra at the knee stays, and so does the width there."""
    project = _sewn(_pinch("hem", "outseam", "1/8"), _pinch("knee", "outseam", "1/8"))
    new = _next(project)
    evened = even_out(project, block_of(project), new, ["hem"])
    assert "hem" not in evened.extra["outseam"]
    old, now = (_take_in(project, design, "knee") for design in (new, evened))
    assert now["front_outseam"] == pytest.approx(old["front_outseam"], abs=SPELLED)


def test_evened_out_a_leg_that_is_let_out_stays_let_out() -> None:
    """Nothing taken in, let out 1/4 in at the hem inseam: 1/8 in out on every edge."""
    design = sample.design(take_in=sample.lengths(hem="0", knee="1/4"))
    project = _sewn(_pinch("hem", "inseam", "-1/4"), design=design)
    evened = even_out(project, block_of(project), _next(project))
    assert _take_in(project, evened, "hem") == pytest.approx(dict.fromkeys(EDGES, -IN / 8))


# --- for every block, design and pinch -------------------------------------------------------


@st.composite
def _pinches(draw: st.DrawFn, block: Block) -> tuple[Pinch, ...]:
    """Draw one to four pinches at places that a seam of this block has."""
    places = [
        (seam, level)
        for seam in SEAMS
        for level, height in block.heights.items()
        if height < block.blend_top(seam) - 1
    ]
    chosen = draw(st.lists(st.sampled_from(places), min_size=1, max_size=4))
    sizes = st.sampled_from([-3.175, -2.0, -1.0, 0.5, 1.5875, 3.0])
    return tuple(_pinch(level, seam, draw(sizes)) for seam, level in chosen)


@st.composite
def _stories(draw: st.DrawFn, style: str = "follow") -> tuple[Project, Sequence[Pinch]]:
    """Draw a project whose last design grew in up to two rounds, and the pinches of the next."""
    table, design = draw(blocks.tapers(style))
    project = sample.project(design, block=table)
    block = block_of(project)
    for _ in range(draw(st.integers(0, 2))):
        sewn = Round(project.designs[-1].name, pinches=draw(_pinches(block)))
        project = replace(project, rounds=(*project.rounds, sewn))
        project = replace(project, designs=(*project.designs, _next(project)))
    return project, draw(_pinches(block))


def _pinched(project: Project, pinches: Sequence[Pinch]) -> tuple[Project, Design]:
    sewn = Round(project.designs[-1].name, pinches=tuple(pinches))
    project = replace(project, rounds=(*project.rounds, sewn))
    return project, _next(project)


@some
@given(_stories())
def test_what_comes_off_is_the_sum_of_the_pinches(story: tuple[Project, Sequence[Pinch]]) -> None:
    """At every level that the new design names for a seam: each edge, and twice that round it."""
    project, pinches = story
    old = project.designs[-1]
    project, new = _pinched(project, pinches)
    takes = depths(project.rounds[-1])
    before, after = _taper(project, old), _taper(project, new)
    for seam in SEAMS:
        named = {"hem", *new.take_in, *new.width, *new.extra.get(seam, {})}
        for edge in (edge for edge in EDGES if seam_of(edge) == seam):
            for level in named & after.reaches[edge].keys():
                more = after.taken(edge, level) - before.taken(edge, level)
                assert more == pytest.approx(takes.get((seam, level), 0.0), abs=SPELLED)
    for level in {level for _, level in takes} & after.finished.keys():
        total = sum(2 * depth for (_, at), depth in takes.items() if at == level)
        less = before.finished[level] - after.finished[level]
        assert less == pytest.approx(total, abs=SPELLED_ROUND)


@some
@given(_stories())
def test_a_pinch_and_then_its_opposite_is_the_same_design(
    story: tuple[Project, Sequence[Pinch]],
) -> None:
    """What was pinched out in one round and let out in the next is as it was before, in full.

    Where the pinch lay above the design's own blend, the blend had to move; then the way back is
    worded otherwise, and takes the same wherever something was asked or pinched.
    """
    project, pinches = story
    old = project.designs[-1]
    project, new = _pinched(project, pinches)
    if not depths(project.rounds[-1]):
        return
    project = replace(project, designs=(*project.designs, new))
    back = [replace(pinch, depth=sample.length(-pinch.depth.mm)) for pinch in pinches]
    project, again = _pinched(project, back)
    if new.blend == old.blend:
        assert _asked(again) == _asked(old)
        return
    first, last = _taper(project, old), _taper(project, again)
    for seam, level in depths(project.rounds[-1]):
        for edge in (edge for edge in EDGES if seam_of(edge) == seam):
            assert last.taken(edge, level) == pytest.approx(first.taken(edge, level), abs=SPELLED)


@some
@given(_stories(), st.randoms(use_true_random=False))
def test_the_order_of_pinches_does_not_matter(
    story: tuple[Project, Sequence[Pinch]], chance: Any
) -> None:
    """However they were written down, the next design is the same."""
    project, pinches = story
    shuffled = list(pinches)
    chance.shuffle(shuffled)
    assert _asked(_pinched(project, shuffled)[1]) == _asked(_pinched(project, pinches)[1])


@some
@given(_stories())
def test_evened_out_what_comes_off_stays_and_is_alike(
    story: tuple[Project, Sequence[Pinch]],
) -> None:
    """Every level below the crotch with an extra: the same around the leg and on each edge."""
    project, new = _pinched(*story)
    evened = even_out(project, block_of(project), new)
    before, after = _taper(project, new), _taper(project, evened)
    block = before.block
    for level in {level for lengths in new.extra.values() for level in lengths}:
        if block.heights[level] >= block.crotch:
            continue
        assert after.finished[level] == pytest.approx(before.finished[level], abs=SPELLED_ROUND)
        taken = [after.taken(edge, level) for edge in EDGES]
        assert max(taken) - min(taken) <= SPELLED


@settings(some, max_examples=6)
@given(_stories("straight"))
def test_a_ruled_seam_takes_the_pinches_too(story: tuple[Project, Sequence[Pinch]]) -> None:
    """Front and back together: the mean of the two edges takes what was pinched."""
    project, pinches = story
    old = project.designs[-1]
    project, new = _pinched(project, pinches)
    before, after = _taper(project, old), _taper(project, new)
    for (seam, level), depth in depths(project.rounds[-1]).items():
        edges = [edge for edge in EDGES if seam_of(edge) == seam]
        more = sum(after.taken(edge, level) - before.taken(edge, level) for edge in edges) / 2
        assert more == pytest.approx(depth, abs=SPELLED)


def test_a_pinch_of_nothing_changes_nothing() -> None:
    """A depth of 0, and two that cancel out: the design stays, under its next name."""
    for pinches in (
        [_pinch("knee", "outseam", 0.0)],
        [_pinch("knee", "outseam", "1/4"), _pinch("knee", "outseam", "-1/4")],
    ):
        project = _sewn(*pinches)
        assert depths(project.rounds[0]) == {}
        new = _next(project)
        assert replace(new, name="easy taper", parent=None, from_round=None) == project.designs[0]
