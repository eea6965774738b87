from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

import blocks
import pytest
import sample
from hypothesis import given

from legtaper.files.project_file import read_project, write_project
from legtaper.leg.block import Block
from legtaper.model.project import (
    SEAMS,
    BlockTable,
    BlockTest,
    Design,
    HemPlan,
    Pinch,
    Project,
    ProjectError,
    Round,
)
from legtaper.muslin.log import (
    Stale,
    accept,
    accepted,
    current,
    go_back,
    history,
    make_current,
    mark_printed,
    mark_written,
    next_step,
    number_to_print,
    round_text,
    sew_again,
    stale,
    stamp,
    status,
    tried,
    with_next,
    write_down,
)
from legtaper.muslin.next_design import next_design
from legtaper.muslin.sewn_as import fingerprint, is_otherwise, sewn_as
from legtaper.pattern import block_of, fit

DAY, LATER = date(2026, 3, 20), date(2026, 3, 27)
NAMES = ("first", "second", "third")
PINCH = Pinch("knee", "outseam", sample.length("1/8"))


def _project(*rounds: Round, names: tuple[str, ...] = NAMES, **parts: Any) -> Project:
    return sample.project(*(sample.design(name) for name in names), rounds=rounds, **parts)


def _wider() -> Project:
    """Return the sample project with a block that has changed: 1/8 in more at a hem."""
    project = _project()
    reach = {edge: dict(lengths) for edge, lengths in project.block.reach.items()}
    reach["front_inseam"]["hem"] = sample.length("4 3/8")
    return replace(project, block=replace(project.block, reach=reach))


# --- which design is meant -------------------------------------------------------------------


def test_without_a_verdict_the_last_design_is_the_current_one() -> None:
    """Nothing accepted, nothing made current: work goes on from the last design."""
    project = _project(Round("first", verdict="closer"))
    assert current(project).name == "third"
    assert accepted(project) is None


def test_a_verdict_of_done_accepts_its_design() -> None:
    """The design of the last such round is the one to cut, whatever was designed after it."""
    project = _project(Round("first", verdict="done"), Round("second", verdict="done"))
    assert (current(project).name, accepted(project)) == ("second", 2)


def test_a_later_verdict_takes_the_acceptance_back() -> None:
    """Done, and a week later too far: the design is accepted no more."""
    project = _project(Round("first", verdict="done"), Round("first", verdict="too far"))
    assert (current(project).name, accepted(project)) == ("third", None)


def test_any_round_can_be_made_the_current_one_again() -> None:
    """Round 1 again after round 3; nothing is deleted, and forward again leaves no mark."""
    project = _project(Round("first"), Round("second"), Round("third", verdict="done"))
    back = go_back(project, 1)
    assert (current(back).name, back.current) == ("first", "first")
    assert (back.rounds, back.designs) == (project.rounds, project.designs)
    assert go_back(back, 3) == project


def test_accepting_a_round_makes_it_the_one_to_cut() -> None:
    """Even where a later design was accepted before; other rounds stay as they are."""
    project = _project(Round("first", verdict="closer"), Round("second", verdict="done"))
    changed = accept(project, 1)
    assert (current(changed).name, accepted(changed)) == ("first", 1)
    assert changed.rounds[1] == project.rounds[1]


def test_accepting_against_a_later_verdict_names_the_later_round() -> None:
    """The wearer is sent to the round that judged last."""
    project = _project(Round("first", verdict="closer"), Round("first", verdict="too far"))
    with pytest.raises(ProjectError, match=r"round 2 .*too far.* accept 2"):
        accept(project, 1)
    assert accepted(accept(project, 2)) == 2


def test_a_new_design_is_gone_on_from() -> None:
    """After an accepted one, and after one that was gone back to."""
    done = _project(Round("first", verdict="done"))
    for project in (done, go_back(done, 1), make_current(done, "second")):
        assert current(with_next(project, sample.design("fourth"))).name == "fourth"
    with pytest.raises(ProjectError, match='"second" already'):
        with_next(done, sample.design("second"))


def test_without_a_design_there_is_none_to_go_on_from() -> None:
    """The error says what to do."""
    with pytest.raises(ProjectError, match="no design yet"):
        current(Project())
    assert accepted(Project()) is None


# --- writing down ----------------------------------------------------------------------------


def test_printed_then_tried_on_is_one_round() -> None:
    """What is written down completes the round that was printed, with the block it was sewn on."""
    project, block = _project(), sample.block()
    printed = mark_printed(project, block, project.design("third"), DAY)
    sewn = Round(
        "third",
        printed=DAY,
        fingerprint=block.fingerprint,
        design_fingerprint=sewn_as(project, block, project.design("third")),
    )
    assert printed.rounds == (sewn,)
    done = write_down(printed, block, Round("third", LATER, "binds", verdict="closer"))
    assert done.rounds == (replace(sewn, date=LATER, notes="binds", verdict="closer"),)


@pytest.mark.parametrize(
    ("changed", "counts"),
    [
        ({"width": {"hem": sample.length("12")}, "take_in": {}}, True),
        ({"shift": {"hem": sample.length("1/4")}}, True),
        ({"style": "straight"}, True),
        ({"hem": HemPlan(height=sample.length("2"))}, True),
        ({"hem": HemPlan("double")}, True),
        ({"hem": HemPlan(depth=sample.length("2"))}, True),
        ({"hem": HemPlan(depth=sample.length("1 1/2"))}, False),  # as it is anyway
        ({"slit": sample.length("3")}, True),
        ({"slit": "auto"}, False),  # a foot of 12 3/4 in needs none
        ({"blend": sample.lengths(outseam="38")}, False),  # as it is anyway
        ({"blend": sample.lengths(outseam="36")}, True),
        ({"parent": "first"}, False),
    ],
)
def test_a_design_changed_after_it_was_accepted_is_no_longer_what_was_sewn(
    changed: Mapping[str, Any], *, counts: bool
) -> None:
    """What is sewn counts, hem and slit, too; typed as it was, it does not. Undone, accepted."""
    block = sample.block()
    done = write_down(_project(), block, Round("third", LATER, verdict="done"))
    assert status(done, block) == 'done: "third", accepted in round 1'
    other = done.with_design(replace(done.design("third"), **changed))
    assert (accepted(other) is None) is counts
    assert ("the design has changed since" in status(other, block)) is counts
    assert ("sew the test once more" in next_step(other, block)) is counts
    assert bool(sew_again(other, block)) is counts
    assert ("Its design has changed since." in round_text(other, 1)) is counts
    stamped = stamp(other, other.design("third"), None, is_test=False)
    assert stamped == ("changed since round 1" if counts else "accepted in round 1")
    assert accepted(other.with_design(done.design("third"))) == 1
    again = write_down(other, block, Round("third", LATER, verdict="done"))
    assert accepted(again) == 2


def test_what_was_sewn_stays_while_a_round_is_written_down() -> None:
    """Changed between printing and trying on, the design is not what was sewn."""
    project, block = _project(), sample.block()
    printed = mark_printed(project, block, project.design("third"), DAY)
    wider = replace(printed.design("third"), width={"hem": sample.length("15")}, take_in={})
    tried = write_down(printed.with_design(wider), block, Round("third", LATER, verdict="done"))
    assert "the design has changed since" in status(tried, block)
    assert accepted(tried) is None
    older = replace(tried, rounds=(replace(tried.rounds[0], design_fingerprint=""),))
    assert accepted(older) == 1  # an older file does not say what was sewn


def test_a_length_in_other_words_is_no_change_of_a_design() -> None:
    """Half an inch is 12.7 mm, by definition (NIST SP 811, Appendix B)."""
    inch, metric = (
        replace(sample.design("x"), take_in={"hem": sample.length(text)})
        for text in ("1/2", "12.7 mm")
    )
    assert fingerprint(inch) == fingerprint(metric)
    assert not is_otherwise(Project(), metric, fingerprint(inch))


@pytest.mark.parametrize(
    ("design", "record"),
    [
        (sample.design("third"), "6bebe61091c52e34"),
        (
            sample.design("third", blend=sample.lengths(outseam="36"), slit="auto"),
            "93e28da202e90e4d",
        ),
    ],
)
def test_a_record_of_an_older_file_is_still_that_of_its_design(design: Design, record: str) -> None:
    """A hash alone, as 0.1 wrote it: of the design as it was; hem and slit are not in it."""
    assert fingerprint(design) == record
    kept = replace(_project().with_design(design), rounds=(Round("third", LATER, verdict="done"),))
    old = replace(kept, rounds=(replace(kept.rounds[0], design_fingerprint=record),))
    assert accepted(old) == 1
    assert accepted(old.with_design(replace(design, slit=sample.length("2")))) == 1
    assert accepted(old.with_design(replace(design, style="straight"))) is None


@given(blocks.tapers())
def test_a_design_is_as_it_was_sewn_until_something_sewn_is_changed(
    drawn: tuple[BlockTable, Design],
) -> None:
    """Any design: blends, curves and slit typed as they are, or what was usual taken away."""
    table, design = drawn
    project = sample.project(design, block=table)
    fitted = fit(project)
    record = sewn_as(project, fitted.block, design)
    assert not is_otherwise(project, design, record)
    pairs = {seam: fitted.taper.edges(seam)[0] for seam in SEAMS}
    last = max(fitted.block.heights[level] for level in (*design.take_in, *design.width))
    pairs = {seam: one for seam, one in pairs.items() if one.eased and one.blend > last}
    typed = replace(
        design, slit=sample.length(fitted.slit.height) if fitted.slit.height else "none",
        blend={seam: sample.length(one.blend) for seam, one in pairs.items()} | {**design.blend},
    )  # fmt: skip
    assert not is_otherwise(project, typed, record)
    assert not is_otherwise(project, design, sewn_as(project, fitted.block, typed))
    deeper = replace(design, hem=HemPlan(depth=sample.length(50.0)))
    assert is_otherwise(project, deeper, record)
    for seam, one in pairs.items():
        lower = {**design.blend, seam: sample.length(one.blend - 1.0)}
        assert is_otherwise(project, replace(design, blend=lower), record)


def test_printed_twice_is_still_one_round() -> None:
    """Printing again before it was tried on only moves the day."""
    project, block = _project(), sample.block()
    once = mark_printed(project, block, project.design("third"), DAY)
    twice = mark_printed(once, block, once.design("third"), LATER)
    assert [one.printed for one in twice.rounds] == [LATER]


def test_another_design_than_the_printed_one_is_a_round_of_its_own() -> None:
    """The printed one keeps waiting."""
    project, block = _project(), sample.block()
    printed = mark_printed(project, block, project.design("third"), DAY)
    both = write_down(printed, block, Round("first", LATER))
    assert [one.design for one in both.rounds] == ["third", "first"]
    assert both.rounds[0].date is None


def test_an_unknown_design_is_not_written_down() -> None:
    """The error names the designs there are."""
    with pytest.raises(ProjectError, match='"first", "second", "third"'):
        write_down(_project(), sample.block(), Round("fourth"))


def test_the_number_of_the_round_that_a_pattern_belongs_to() -> None:
    """The next one, unless the last round of the same design waits to be tried on."""
    waiting = _project(Round("first"), Round("third", printed=DAY))
    assert number_to_print(waiting, waiting.design("third")) == 2
    assert number_to_print(waiting, waiting.design("first")) == 3
    assert number_to_print(_project(), sample.design("first")) == 1


def test_what_was_tried_is_told_in_the_order_of_the_checklist() -> None:
    """Trouble counts as tried, too."""
    one = Round("first", seen=("sit", "stand"), trouble=("bend the knee", "sit"))
    assert tried(one) == ("stand", "bend the knee", "sit")


# --- a block that has changed ----------------------------------------------------------------


def _sewn_on(block: Block, *more: Round) -> tuple[Round, ...]:
    return Round("first", fingerprint=block.fingerprint), Round("second"), *more


def test_rounds_and_the_test_of_an_older_block_are_told_apart() -> None:
    """What carries the fingerprint of another block is out of date; what carries none is not."""
    old, project = sample.block(), _wider()
    new = block_of(project)
    rounds = _sewn_on(old, Round("third", fingerprint=new.fingerprint))
    project = replace(
        project, rounds=rounds, block_test=BlockTest("hangs clean", fingerprint=old.fingerprint)
    )
    assert stale(project, new) == Stale(test=True, rounds=(1,))
    assert not stale(replace(project, rounds=rounds[1:], block_test=None), new)
    assert not stale(_project(*_sewn_on(old)), old)


@pytest.mark.parametrize(
    ("test", "rounds", "says"),
    [
        (
            "old", "old",
            'since its test and round 1; sew the block as it is, then "third" once more.',
        ),
        ("old", "none", "since its test; sew the block as it is."),
        ("new", "old", 'since round 1; sew "third" once more.'),
        ("none", "old", 'since round 1; sew the block as it is, then "third" once more.'),
        ("new", "both", "since round 1; what was seen then may not hold."),
        ("new", "none", ""),
    ],
)  # fmt: skip
def test_it_says_what_to_sew_again(test: str, rounds: str, says: str) -> None:
    """Block and current design, each only where it was not sewn since the block has changed."""
    old, project = sample.block().fingerprint, _wider()
    block = block_of(project)
    sewn = {
        "none": (),
        "old": (Round("third", fingerprint=old),),
        "both": (
            Round("third", fingerprint=old), Round("third", fingerprint=block.fingerprint),
        ),
    }[rounds]  # fmt: skip
    marks = {"old": old, "new": block.fingerprint}
    tested = None if test == "none" else BlockTest("hangs clean", fingerprint=marks[test])
    said = sew_again(replace(project, rounds=sewn, block_test=tested), block)
    assert said == (f"The block has changed {says}" if says else "")


# --- in words --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rounds", "says", "follows"),
    [
        ((), '"third" is designed, round 1 not yet printed', "print both legs and sew the test"),
        (
            (Round("first", verdict="closer"), Round("third", printed=DAY)),
            "round 2 printed, not yet tried on",
            "sew the test, try it on and write down what you see",
        ),
        (
            (Round("third", date=DAY),),
            "round 1 tried on: no verdict yet",
            "say whether it is closer, too far or done",
        ),
        (
            (Round("third", verdict="too far", pinches=(PINCH,)),),
            "round 1 tried on: too far",
            "make the next design from the pinches of round 1",
        ),
        (
            (Round("third", verdict="closer"),),
            "round 1 tried on: closer",
            "change the design, or pinch the muslin, and print the next round",
        ),
        (
            (Round("third", verdict="closer", pinches=(PINCH,)), Round("second", verdict="done")),
            'done: "second", accepted in round 2',
            "write the pattern and cut the real fabric",
        ),
    ],
)
def test_where_a_project_stands(rounds: tuple[Round, ...], says: str, follows: str) -> None:
    """In a few words for a list of projects, and what comes next."""
    project = _project(*rounds)
    assert (status(project), next_step(project)) == (says, follows)


def test_where_a_project_stands_before_and_after() -> None:
    """Without a design; gone back to a round; with a block that has changed since."""
    assert status(Project()) == "no design yet"
    assert next_step(Project()) == "say how much comes off"
    project = _project(Round("first", verdict="closer"), Round("third", verdict="too far"))
    assert status(go_back(project, 1)) == 'gone back to round 1, "first"'
    changed = replace(_wider(), rounds=_sewn_on(sample.block())[:1], current="first")
    block = block_of(changed)
    assert status(changed, block).endswith("; the block has changed since")
    assert "sew the test once more" in next_step(changed, block)


def test_all_that_is_known_of_a_round() -> None:
    """Days, verdict, checklist, pinches and notes; out of date where the block is another."""
    one = Round(
        "third", LATER, "binds\non the pedals\x1b[2J",
        (PINCH, Pinch("hem", "inseam", sample.length("-1/16"))), DAY, "too far",
        ("stand", "sit"), ("sit",), "another",
    )  # fmt: skip
    project = _project(one)
    assert round_text(project, 1) == (
        'Round 1, "third": printed 2026-03-20, tried on 2026-03-27. Verdict: too far. '
        "Tried: stand, sit. Trouble: sit. "
        "Pinched 1/8 in at the knee, outseam, let out 1/16 in at the hem, inseam. "
        "Notes: binds on the pedals[2J"
    )
    assert "Out of date" in round_text(project, 1, sample.block())
    assert round_text(_project(Round("first", printed=DAY)), 1).endswith("not yet tried on.")


def test_the_history_stands_in_three_lines() -> None:
    """Which rounds, what was pinched on the way to the current design, and where it stands."""
    project = _project(Round("easy", verdict="too far", pinches=(PINCH,)), names=("easy",))
    block = block_of(project)
    project = with_next(project, next_design(project, block, 1))
    project = write_down(project, block, Round("easy 2", pinches=(PINCH,), verdict="closer"))
    project = with_next(project, next_design(project, block, 2))
    project = write_down(project, block, Round("easy 3", verdict="done"))
    assert history(project) == (
        "Rounds: 1 easy (too far), 2 easy 2 (closer), 3 easy 3 (done).",
        "On the way to easy 3: pinched 1/4 in at the knee, outseam.",
        'Done: "easy 3", accepted in round 3. Next: write the pattern and cut the real fabric.',
    )
    assert history(_project()) == ()


def test_once_the_pattern_is_written_the_fabric_is_next() -> None:
    """It is kept with the round, holds in the file, and only for the design as it was accepted."""
    project = _project(Round("easy", verdict="closer"), Round("easy", verdict="done"),
                       names=("easy", "other"), current="easy")  # fmt: skip
    written = mark_written(project, project.design("easy"), DAY)
    assert next_step(written) == "cut the real fabric"
    assert [one.written for one in written.rounds] == [None, DAY]
    assert f"pattern written {DAY.isoformat()}" in round_text(written, 2)
    assert read_project(write_project(written)).rounds == written.rounds
    assert mark_written(project, project.design("other"), DAY) == project
    open_again = _project(Round("easy", verdict="closer"), names=("easy",))
    assert mark_written(open_again, open_again.design("easy"), DAY) == open_again


def test_the_history_of_many_rounds_is_short_too() -> None:
    """The first and the last rounds are named; where nothing was pinched, nothing is said of it."""
    lines = history(_project(*[Round("first", verdict="closer")] * 300))
    assert len(lines) == 2
    assert lines[0].startswith("Rounds: 1 first (closer), ..., 299 first")
    assert max(map(len, lines)) < 300


# --- renamed, taken out ----------------------------------------------------------------------


def test_a_renamed_design_is_renamed_wherever_it_is_named() -> None:
    """In the rounds, as a parent and as the current one."""
    child = replace(sample.design("child"), parent="first")
    project = sample.project(
        sample.design("first"), child, rounds=(Round("first"),), current="first"
    )
    renamed = project.renamed("first", "one")
    assert [design.name for design in renamed.designs] == ["one", "child"]
    assert (renamed.designs[1].parent, renamed.rounds[0].design) == ("one", "one")
    assert renamed.current == "one"


def test_a_design_that_was_not_sewn_can_go() -> None:
    """What came from it then comes from what it came from; one that was sewn stays."""
    designs = (
        sample.design("first"),
        replace(sample.design("second"), parent="first"),
        replace(sample.design("third"), parent="second"),
    )
    project = sample.project(*designs, rounds=(Round("first"),), current="second")
    left = project.without_design("second")
    assert [(design.name, design.parent) for design in left.designs] == [
        ("first", None),
        ("third", "first"),
    ]
    assert left.current is None
    with pytest.raises(ProjectError, match="sewn in a round"):
        project.without_design("first")


def test_a_sheet_says_its_round_until_its_design_is_accepted() -> None:
    """The pattern to cut is no further test: it names the round that accepted it."""
    waiting = _project(Round("first", verdict="closer"))
    assert stamp(waiting, waiting.design("second"), DAY, is_test=True) == "round 2, 2026-03-20"
    done = _project(Round("first", verdict="closer"), Round("second", verdict="done"))
    assert stamp(done, done.design("second"), None, is_test=False) == "accepted in round 2"
    assert stamp(done, done.design("third"), None, is_test=True) == "round 3"


def test_a_sheet_of_the_narrowed_leg_alone_names_no_round_that_is_not_begun() -> None:
    """What the sheet says and what the book of rounds says of a design agree."""
    waiting = _project(Round("first", verdict="closer"))
    second = waiting.design("second")
    assert stamp(waiting, second, DAY, is_test=False) == "not tried on yet, 2026-03-20"
    printed = _project(Round("first", verdict="closer"), Round("second", printed=DAY))
    assert stamp(printed, second, None, is_test=False) == "not tried on yet"
    tried = _project(Round("first", verdict="closer"), Round("second", verdict="closer"))
    assert stamp(tried, second, None, is_test=False) == "tried on in round 2"


@pytest.mark.parametrize(
    ("count", "named"),
    [(4, [1, 2, 3, 4]), (5, [1, 4, 5]), (6, [1, 5, 6])],
)
def test_the_history_names_four_rounds_at_most(count: int, named: list[int]) -> None:
    """Up to four are all named; of six the first and the last two."""
    first = history(_project(*[Round("first", verdict="closer")] * count))[0]
    assert [int(number) for number in re.findall(r"(\d+) first", first)] == named
    assert ("..." in first) == (count > 4)
