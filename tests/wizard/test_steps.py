from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typed_example import TYPED, typed

from legtaper.leg.block import Block
from legtaper.model.lengths import parse_length, say_length
from legtaper.model.project import Design, Project, Wearer
from legtaper.pattern import build
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.shapes import Kind, Marker, NoteKind, StepState
from legtaper_wizard.flow.steps import (
    LAST,
    STEPS,
    AnswerError,
    Cursor,
    History,
    actions,
    answer,
    do,
    echo,
    first_open,
    follow,
    help_text,
    hem_widths_page,
    nudge,
    shows,
    state,
    step_of,
    summary,
    value,
)

IDS = tuple(step.id for step in STEPS)
WHOLE = typed()


def markers(project: Project) -> dict[str, str]:
    """Return the marker of every step."""
    return {step_id: state(project, step_id).marker for step_id in IDS}


def said(project: Project, step_id: str, at: Cursor = LAST) -> str:
    """Return the notes of a step, a line each."""
    return "\n".join(note.text for note in shows(project, step_id, at))


def answered(project: Project, *pairs: tuple[str, str]) -> Project:
    """Return the project after more answers."""
    for key, text in pairs:
        project = answer(project, key, text)
    return project


# --- the whole job -------------------------------------------------------------------------------


def test_the_steps_stand_in_the_order_of_the_job():
    """The eleven steps come in the order in which trousers are narrowed, each with its reason."""
    assert IDS == (
        "project", "wearer", "block", "block-test", "liked", "narrowing", "blend", "foot", "hem",
        "pattern", "fitting",
    )  # fmt: skip
    assert all(step.title and step.why.count(".") in (2, 3) for step in STEPS)


def test_the_whole_example_from_an_empty_project_gives_a_pattern_without_a_failure():
    """Typing the example gives 15 1/2 in at the hem; nothing fails."""
    fit = build(WHOLE).fit
    assert float(fit.taper.circumference(0.0)) == pytest.approx(15.5 * 25.4)
    assert not fit.failed
    assert WHOLE.design().name == "first taper"
    assert WHOLE.design().slit == "auto"
    assert set(markers(WHOLE).values()) == {"done", "open"}
    assert first_open(WHOLE).id == "pattern"


def test_every_answer_of_the_example_is_asked_for_by_its_step():
    """Whatever was typed has a question in the form of some step, in the order of typing."""
    asked = [field.key for step in STEPS for field in step.fields(WHOLE)]
    once = list(dict.fromkeys(asked))
    assert [key for key in once if key in dict(TYPED)] == [key for key, _ in TYPED]
    assert len(asked) == len(once) + 1  # the foot entry is asked again where it decides


def test_work_goes_on_at_the_first_step_that_wants_something():
    """Typed in order, every answer leaves the resume point where it was or moves it on."""
    project, at = Project(), []
    for key, text in TYPED:
        project = answer(project, key, text)
        at.append(IDS.index(first_open(project).id))
    assert at == sorted(at)
    assert first_open(Project()).id == "project"


def test_an_answer_comes_back_as_it_was_typed():
    """`value` gives the text that was typed, with the unit that a bare number was taken in."""
    for key, text in TYPED:
        shown = value(WHOLE, key)
        assert shown in (text, f"{text} in")
        assert answer(WHOLE, key, shown) == WHOLE
        assert answer(WHOLE, key, text) == WHOLE


def test_a_bare_number_keeps_its_inches_when_the_unit_changes():
    """Changing the unit converts nothing: 66 stays 66 in, and new bare numbers are centimeters."""
    metric = answer(WHOLE, "length_unit", "cm")
    assert value(metric, "wearer.height") == "66 in"
    assert metric.wearer == WHOLE.wearer
    assert answer(metric, "wearer.knee", "41,5").wearer.knee.mm == 415


def test_a_bare_number_from_a_file_is_shown_with_the_unit_it_had():
    """A length kept as a bare number in another unit is not shown as if it were in this one."""
    knee = replace(WHOLE.wearer.knee, text="15 1/2")
    metric = replace(WHOLE, length_unit="cm", wearer=replace(WHOLE.wearer, knee=knee))
    assert value(metric, "wearer.knee") == "15 1/2 in"
    assert answer(metric, "wearer.knee", "15 1/2 in") == metric


def test_everything_can_be_cleared_again():
    """Clearing every answer, last first, leads back to an empty project but for its lists."""
    project = WHOLE
    for key, _ in reversed(TYPED):
        project = answer(project, key, "")
    assert project.wearer == Project().wearer
    assert not project.block.height
    assert not any(project.block.reach.values())
    assert project.block_test is None
    assert project.designs == (Design("first taper", slit="auto"),)


# --- what is refused -----------------------------------------------------------------------------

REFUSED = [
    ("wearer.knee", "2 1/2 3"),
    ("wearer.knee", "15 yards"),
    ("wearer.knee", "0"),
    ("wearer.knee", "-15"),
    ("wearer.height", "4000 mm"),
    ("length_unit", "furlong"),
    ("fabric.kind", "Woven"),
    ("fabric.stretch_percent", "lots"),
    ("fabric.stretch_percent", "1e3"),
    ("fabric.stretch_percent", "nan"),
    ("fabric.stretch_percent", "900"),
    ("fabric.stretch_test", "3 1/2"),
    ("fabric.stretch_test", "17"),
    ("name", "a\x1b[31mb"),
    ("name", "x" * 81),
    ("block.height.hem", "1"),
    ("block.height.crotch", "16"),
    ("block.front.inseam.hip", "7"),
    ("block.front.outseam.calf", "0"),
    ("block_test.verdict", "fine"),
    ("block_test.date", "3.4.2026"),
    ("block_test.date", "2026-02-30"),
    ("liked.5.garment", "Chinos"),
    ("design.take_in.hem", "9"),
    ("design.take_in.shin", "1/2"),
    ("design.width.knee", "0"),
    ("design.blend.outseam", "44"),
    ("design.blend.inseam", "31"),
    ("design.blend.outseam_curve", "0"),
    ("design.hem.depth", "11"),
    ("design.hem.style", "pinked"),
    ("design.slit.height", "maybe"),
    ("allowance.seam", "6"),
    ("wearer.shoe", "9"),
    ("", ""),
]


@pytest.mark.parametrize(("key", "text"), REFUSED)
def test_a_refused_answer_changes_nothing_and_says_why(key: str, text: str):
    """A refusal is one plain line about that key; the echo refuses too; nothing changes."""
    before = typed()
    with pytest.raises(AnswerError) as refused:
        answer(before, key, text)
    assert refused.value.key == key
    assert str(refused.value).strip()
    assert "\n" not in str(refused.value)
    assert str(refused.value).isprintable()
    assert before == WHOLE
    with pytest.raises(AnswerError):
        echo(before, key, text)


def test_an_answer_about_the_test_waits_for_its_verdict():
    """A date without a verdict, and a verdict without a block, are refused with the reason."""
    with pytest.raises(AnswerError, match="say first what the test"):
        answer(typed("block."), "block_test.date", "2026-03-14")
    with pytest.raises(AnswerError, match="block is not finished"):
        answer(Project(), "block_test.verdict", "hangs clean")


KEYS = sorted({key for key, _ in TYPED} | {key for key, _ in REFUSED} | {"design.width.hem"})
TEXTS = st.one_of(
    st.text(max_size=12),
    st.sampled_from([text for _, text in TYPED] + [text for _, text in REFUSED]),
    st.from_regex(r"[0-9]{1,2}( [0-9]/[0-9])?( ?(in|cm|mm))?", fullmatch=True),
)


@settings(max_examples=60)
@given(st.lists(st.tuples(st.sampled_from(KEYS), TEXTS), max_size=12), st.booleans())
def test_whatever_is_typed_is_taken_or_refused_and_every_page_still_shows(pairs, whole):
    """Any text at any question is taken or refused; states, notes and summary never fail."""
    project = WHOLE if whole else Project()
    for key, text in pairs:
        with suppress(AnswerError):  # any other error fails the test
            project = answer(project, key, text)
    for step in STEPS:
        found = state(project, step.id)
        assert found.marker in get_args(Marker)
        assert all(note.kind in get_args(NoteKind) for note in shows(project, step.id))
        assert all(field.kind in get_args(Kind) for field in step.fields(project))
        assert actions(project, step.id) is not None
    assert summary(project)
    assert first_open(project) in STEPS


# --- what is echoed ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "text", "understood"),
    [
        ("wearer.knee", "2 1/2", "2 1/2 in = 63.5 mm"),
        ("wearer.knee", "  41,5 cm ", "41.5 cm = 415 mm"),
        ("wearer.knee", "", ""),
        ("fabric.kind", "knit", "knit"),
        ("block_test.date", "2026-03-14", "14 March 2026"),
        ("fabric.stretch_test", "5", "stretches by 25 %; half of it, 12.5 %, counts as usable"),
        ("liked.0.width.hem", "7 1/8", "7 1/8 in = 180.975 mm; 14 1/4 in around the leg"),
        (
            "design.take_in.hem",
            "5/8",
            "5/8 in = 15.875 mm; comes to 15 1/2 in around the leg; 2 1/2 in off",
        ),
        (
            "design.width.hem",
            "15 1/2",
            "15 1/2 in = 393.7 mm; 5/8 in off each edge; 2 1/2 in off around the leg; "
            "replaces the 5/8 in off each edge",
        ),
        (
            "design.width.hem",
            "19",
            "19 in = 482.6 mm; the block is already narrower there, 18 in; the edges stay, as a "
            "taper never lets out; replaces the 5/8 in off each edge",
        ),
    ],
)
def test_what_is_typed_is_said_back_before_it_counts(key: str, text: str, understood: str):
    """The echo says number, unit and what it comes to, and which answer it replaces."""
    assert echo(WHOLE, key, text) == understood


def test_the_two_ways_of_asking_replace_each_other_at_one_level_only():
    """A finished width clears the take-in of its level, and the other way round."""
    wide = answered(WHOLE, ("design.take_in.knee", "3/8"), ("design.width.hem", "15 1/2"))
    assert set(wide.design().take_in) == {"knee"}
    assert set(wide.design().width) == {"hem"}
    back = answer(wide, "design.take_in.hem", "5/8")
    assert set(back.design().take_in) == {"knee", "hem"}
    assert not back.design().width


def test_the_stretch_test_fills_in_the_percentage():
    """4 in that stretch to 5 in are 25 percent; in a metric project 10 cm are stretched."""
    assert answer(WHOLE, "fabric.stretch_test", "5").fabric.stretch_percent == 25
    metric = answer(Project(), "length_unit", "cm")
    assert answer(metric, "fabric.stretch_test", "12").fabric.stretch_percent == 20
    stretched = answer(WHOLE, "fabric.stretch_test", "5")
    assert answer(stretched, "fabric.stretch_test", "") == stretched
    assert "counts as firm" in said(stretched, "wearer")


# --- states and stale answers --------------------------------------------------------------------


def test_an_empty_project_is_open_where_it_can_be_answered_and_locked_where_not():
    """Before any block the later steps are locked and say what they wait for."""
    assert markers(Project()) == {
        "project": "open", "wearer": "open", "block": "open", "block-test": "locked",
        "liked": "open", "narrowing": "locked", "blend": "locked", "foot": "locked",
        "hem": "locked", "pattern": "locked", "fitting": "locked",
    }  # fmt: skip
    assert state(Project(), "blend").reasons == ("waits for the block",)
    assert "Waits for the block." in said(Project(), "blend")
    assert "waits for how narrow" in state(typed("name", "block."), "blend").reasons[0]


def test_a_half_measured_block_says_what_is_missing():
    """What is missing is named, the numbers so far are shown, and nothing later opens."""
    half = typed("block.height", "block.front")
    assert state(half, "block").marker == "open"
    assert state(half, "block").reasons[0] == "Back outseam at the hem is missing"
    assert "Still missing: back outseam at the hem" in said(half, "block")
    assert state(half, "narrowing").marker == "locked"


def test_a_block_whose_levels_are_out_of_order_wants_attention():
    """A knee above the crotch is taken where it is not yet known which is wrong, and marked."""
    wrong = answered(WHOLE, ("block.height.thigh", ""), ("block.height.knee", "31"))
    assert state(wrong, "block").marker == "attention"
    assert "Crotch height" in state(wrong, "block").reasons[0]
    assert first_open(wrong).id == "block"
    assert wrong.design() == WHOLE.design()
    assert markers(answer(wrong, "block.height.knee", "17")) == markers(
        answer(WHOLE, "block.height.thigh", "")
    )


def test_changing_the_block_makes_its_test_stale_and_keeps_it():
    """The test of an older block is kept and marked; judging again records the new block."""
    changed = answer(WHOLE, "block.back.inseam.knee", "5 1/4")
    assert changed.block_test == WHOLE.block_test
    assert state(changed, "block-test").marker == "attention"
    assert "changed since it was tested" in state(changed, "block-test").reasons[0]
    assert "changed since it was tested" in said(changed, "block-test")
    again, _ = actions(changed, "block-test")
    judged = do(changed, again.id, "hangs clean")
    assert state(judged, "block-test").marker == "done"
    assert state(answer(changed, "block.back.inseam.knee", "5 3/8"), "block-test").marker == "done"


def test_needs_fitting_advises_to_stop_and_lets_her_go_on():
    """The advice says why; every later step stays open to answers."""
    unfit = answer(WHOLE, "block_test.verdict", "needs fitting")
    assert state(unfit, "block-test").marker == "attention"
    assert "Stop here and fit the block" in said(unfit, "block-test")
    assert state(unfit, "narrowing").marker == "done"
    assert first_open(unfit).id == "pattern"


def test_a_blend_below_a_level_asked_for_later_is_stale():
    """Asking at the thigh above an explicit blend keeps both and marks the blend."""
    low = answer(WHOLE, "design.blend.outseam", "20")
    stale = answer(low, "design.width.thigh", "27")
    assert value(stale, "design.blend.outseam") == "20 in"
    assert state(stale, "blend").marker == "attention"
    assert "out of range" in state(stale, "blend").reasons[0]
    assert state(stale, "hem").marker == "locked"
    assert first_open(stale).id == "blend"
    assert said(stale, "narrowing").startswith("Step 7, Inseam blends at: ")
    both = answered(stale, ("design.blend.outseam", "38"), ("design.blend.inseam", "30"))
    assert state(both, "blend").marker == "done"


def test_one_answer_settles_the_step_of_the_blend():
    """Where one seam was moved, the other may stay where it is; the way on is the next step."""
    bare = typed("name", "block.", "design.take_in")
    assert state(bare, "blend").marker == "open"
    one = answer(bare, "design.blend.outseam", "36")
    assert state(one, "blend") == StepState("done", ("inseam blends at the usual height",))
    assert first_open(one).id != "blend"
    curve = answer(bare, "design.blend.outseam_curve", "2")
    assert state(curve, "blend").marker == "done"


def test_a_slit_that_is_too_low_after_a_change_is_stale():
    """Taking more off the hem than an explicit slit makes up for marks the foot step."""
    slit = answered(WHOLE, ("design.width.hem", "12"), ("design.slit.height", "5"))
    assert state(slit, "foot").marker == "done"
    narrower = answer(slit, "design.width.hem", "10")
    assert state(narrower, "foot").marker == "attention"
    accept, _ = actions(narrower, "foot")
    assert state(do(narrower, accept.id), "foot").marker != "attention"


def test_a_width_above_the_block_is_marked_and_never_lets_out():
    """A finished width wider than the block wants attention; the edges stay."""
    wide = answer(WHOLE, "design.width.hem", "19")
    assert state(wide, "narrowing").marker == "attention"
    assert "never lets out" in said(wide, "narrowing")


@pytest.mark.parametrize("test", ["", "1 1/2 in", "5/8 in"])
def test_both_allowances_of_the_outseams_are_said_as_they_are_cut(test: str):
    """The leg's and the muslin's in one line, and as one where they are the same."""
    project = answer(typed(), "allowance.seam", "5/8")
    given = replace(project.allowance, test=parse_length(test, "in") if test else None)
    project = replace(project, allowance=given)
    pattern = build(project)
    leg, wide = (one.allowance["outseam"] for one in (pattern, pattern.for_test))
    (says,) = (note.text for note in shows(project, "pattern") if "Outseams have" in note.text)
    assert f"{say_length(leg, 'in')} of allowance" in says
    assert f"{say_length(wide, 'in')} in a muslin" in says or (leg == wide and ", too." in says)


def test_a_step_that_was_passed_by_is_done_and_says_so():
    """Wearer and liked garments may be skipped: once work goes on they are no longer open."""
    bare = typed("name", "block.", "design.take_in")
    assert state(bare, "wearer").marker == "done"
    assert "skipped" in state(bare, "wearer").reasons[0]
    assert state(bare, "liked").reasons == ("skipped",)
    assert state(bare, "block-test").marker == "attention"
    assert first_open(bare).id == "blend"


def test_an_unknown_foot_is_said_and_an_estimate_is_called_one():
    """Without a foot entry the foot step asks for it; an estimate is labelled."""
    unknown = answered(WHOLE, ("wearer.foot_entry", ""), ("wearer.ankle", ""))
    assert state(unknown, "foot").marker == "attention"
    assert "estimated from ankle and height" in said(answer(WHOLE, "wearer.foot_entry", ""), "foot")


# --- questions about odd numbers -----------------------------------------------------------------


def questions(project: Project, step_id: str) -> set[str]:
    """Return the keys of the questions that a step raises."""
    return {note.key for note in shows(project, step_id) if note.kind == "question"}


def test_the_example_raises_no_question():
    """A sound block and plausible girths are not questioned."""
    assert not questions(WHOLE, "block")
    assert not questions(WHOLE, "wearer")


@pytest.mark.parametrize(
    ("key", "text", "about"),
    [
        ("block.front.outseam.knee", "7 3/4", "block.front.outseam.knee"),
        ("block.back.inseam.knee", "1 1/2", "block.back.inseam.knee"),
        ("block.front.outseam.hem", "1 1/4", "block.front.outseam.hem"),
        ("block.back.outseam.hem", "3", "block.back.outseam.hem"),
        ("block.front.inseam.crotch", "5", "block.front.inseam.crotch"),
        ("wearer.knee_bent", "15", "wearer.knee_bent"),
        ("wearer.hip", "104", "wearer.hip"),
        ("wearer.ankle", "9 cm", "wearer.ankle"),
    ],
)
def test_a_number_that_bends_the_seam_or_the_body_oddly_is_questioned(key, text, about):
    """It is taken, and asked about at the question it belongs to."""
    odd = answered(WHOLE, ("block.height.calf", ""), (key, text))
    step_id = key.split(".")[0]
    assert about in questions(odd, step_id)


# --- numbers that are shown ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ("back.outseam.hem", "13"),
        ("front.outseam.hem", "13"),
        ("back.inseam.hem", "13"),
        ("back.inseam.hem", "1"),
        ("back.outseam.crotch", "13"),
        ("back.outseam.hip", "13 1/4"),
    ],
)
def test_the_wrong_number_is_questioned_before_those_beside_it(cell: str, text: str):
    """A full width in the place of a half one bends the curve that its neighbors are held to."""
    notes = shows(answer(WHOLE, f"block.{cell}", text), "block")
    questions = [note.key for note in notes if note.kind == "question"]
    assert questions[0] == f"block.{cell}"


def test_what_is_wrong_is_said_first_and_what_is_well_last():
    """Failures, cautions, questions, numbers, what is well: in this order, on every step."""
    order = ["fail", "caution", "question", "number", "good"]
    narrow = answer(answer(WHOLE, "design.width.hem", "9"), "block.back.outseam.hem", "6")
    for step_id in IDS:
        kinds = [note.kind.replace("info", "number") for note in shows(narrow, step_id)]
        assert kinds == sorted(kinds, key=order.index)
    assert shows(narrow, "narrowing")[0].kind == "fail"


@pytest.mark.parametrize(
    ("key", "text", "finding", "step_id"),
    [
        ("design.width.knee", "15", "ease-knee", "narrowing"),
        ("design.width.hem", "9", "hem-opening", "narrowing"),
        ("design.width.hem", "9", "hem-opening", "foot"),
    ],
)
def test_a_step_that_can_mend_a_failure_is_marked(key: str, text: str, finding: str, step_id: str):
    """Where a finding fails, the step with the answers that mend it wants to be looked at."""
    failing = answer(answer(WHOLE, key, text), "design.slit.height", "none")
    fit = standing(failing, LAST).fit
    assert fit is not None
    assert finding in {found.id for found in fit.findings if found.status == "fail"}
    assert state(WHOLE, step_id).marker != "attention"
    assert state(failing, step_id).marker == "attention"


def test_the_pattern_is_done_once_nothing_is_left_to_answer():
    """It asks for nothing that it needs, so it does not stay open for ever; a failure marks it."""
    assert state(WHOLE, "pattern").marker == "done"
    assert state(answer(WHOLE, "design.width.knee", "15"), "pattern").marker == "attention"


def test_the_widths_of_the_block_are_said_level_by_level():
    """Front, back and the whole leg stand side by side: 8 1/2 + 9 1/2 = 18 in."""
    assert "Hem: front 8 1/2 in, back 9 1/2 in, 18 in around the leg." in said(WHOLE, "block")


def test_narrowing_says_both_figures_and_the_total():
    """Each asked level: what the block has, what it comes to, what goes off, and per edge."""
    assert "Hem: block 18 in, now 15 1/2 in; 2 1/2 in off, 5/8 in each edge." in said(
        WHOLE, "narrowing"
    )


def test_narrowing_says_which_hem_widths_work():
    """The narrow end of each range is there; ruled seams would take too long and say nothing."""
    assert "Hem widths that work: without a slit from 12 3/4 in to 18 in" in said(
        WHOLE, "narrowing"
    )
    ruled = answer(WHOLE, "design.blend.style", "straight")
    assert "Hem widths" not in said(ruled, "narrowing")
    assert hem_widths_page(ruled, LAST)[0].startswith("Hem widths that work")
    assert hem_widths_page(Project(), LAST) == []


def test_a_liked_garment_in_stretch_cloth_shows_both_widths():
    """Around an ankle of 15 in a leg of 14 1/4 stretches; firm fabric has to have the 15 in."""
    stretchy = answer(WHOLE, "liked.0.stretch_percent", "20")
    assert "feels the same" not in said(stretchy, "liked")  # around 9 in it hangs free
    close = answer(stretchy, "wearer.ankle", "15")
    assert "14 1/4 in around; in this fabric 15 in feels the same" in said(close, "liked")
    unknown = replace(stretchy, wearer=Wearer())
    assert "may feel different, as the body there was not measured" in said(unknown, "liked")


def test_blend_notes_give_the_range_and_move_with_the_blend():
    """A lower blend leaves the thigh wider; range and curve are said."""
    assert "can be above 0 in and up to 38 in" in said(WHOLE, "blend")
    thigh = [line for line in said(WHOLE, "blend").splitlines() if line.startswith("Thigh")]
    lower = nudge(WHOLE, "design.blend.outseam", -20)
    assert thigh != [line for line in said(lower, "blend").splitlines() if line.startswith("Thigh")]


# --- nudging -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "steps", "fine", "text"),
    [
        ("design.blend.outseam", -1, False, "37 3/4 in"),
        ("design.blend.outseam", -1, True, "37 7/8 in"),
        ("design.blend.outseam", -4, False, "37 in"),
        ("design.blend.outseam", 1, False, "38 in"),
        ("design.blend.inseam", 99, False, "30 in"),
        ("design.blend.inseam", -999, False, "1/8 in"),
        ("design.blend.inseam_curve", -1, False, "14 1/4 in"),
        ("design.blend.inseam_curve", 999, False, "29 in"),
        ("design.blend.inseam_curve", -999, False, "1/8 in"),
    ],
)
def test_arrow_keys_move_by_whole_steps_and_stop_at_the_ends(key, steps, fine, text):
    """1/4 in a step, 1/8 in a fine one, never out of the admissible range."""
    moved = nudge(WHOLE, key, steps, fine)
    assert value(moved, key) == (text if moved != WHOLE else value(WHOLE, key))
    assert state(moved, "blend").marker == "done"
    if text == "38 in":
        assert moved == WHOLE
        assert "The outseam cannot blend higher than this." in said(moved, "blend")


def test_a_nudge_lands_on_whole_millimeters_in_a_metric_project():
    """From 965.2 mm one step down is 965 mm, the next 960."""
    metric = answer(WHOLE, "length_unit", "cm")
    once = nudge(metric, "design.blend.outseam", -1)
    assert value(once, "design.blend.outseam") == "96.5 cm"
    assert value(nudge(once, "design.blend.outseam", -1), "design.blend.outseam") == "96 cm"
    assert value(nudge(once, "design.blend.outseam", -1, True), "design.blend.outseam") == "96.4 cm"


def test_a_nudge_goes_below_a_curve_that_was_asked_for():
    """A curve of 20 in above a hem alone is shortened where the blend goes lower, and told."""
    curved = answer(WHOLE, "design.blend.outseam_curve", "20")
    low = nudge(curved, "design.blend.outseam", -999)
    assert value(low, "design.blend.outseam") == "1/8 in"
    lower = answer(curved, "design.blend.outseam", "18")
    assert "it curves over 18 in instead" in said(lower, "blend")
    assert state(lower, "blend").marker == "done"


def test_a_nudge_brings_a_stale_blend_back_into_its_range():
    """A blend below a level asked for later moves to the lowest place that will do."""
    stale = answered(WHOLE, ("design.blend.outseam", "15"), ("design.take_in.knee", "1/4"))
    moved = nudge(stale, "design.blend.outseam", 1)
    assert value(moved, "design.blend.outseam") == "17 1/8 in"
    assert state(moved, "blend").marker != "locked"


def test_nothing_moves_before_there_is_a_seam():
    """Without a fit, and at a seam that stays as it is, a nudge says why it does nothing."""
    with pytest.raises(AnswerError, match="nothing to move"):
        nudge(Project(), "design.blend.outseam", 1)
    with pytest.raises(AnswerError, match="nothing to move"):
        nudge(answer(WHOLE, "design.take_in.hem", "0"), "design.blend.outseam", 1)
    with pytest.raises(AnswerError, match="only a blend"):
        nudge(WHOLE, "wearer.knee", 1)


# --- actions -------------------------------------------------------------------------------------


def test_like_a_garment_copies_its_widths_to_the_design():
    """The liked widths become finished widths, and replace the take-in of their levels."""
    liked = do(WHOLE, "like.0")
    assert {level: w.text for level, w in liked.design().width.items()} == {
        "hem": "14 1/4 in",
        "knee": "18 in",
    }
    assert not liked.design().take_in


def test_like_a_garment_leaves_the_thigh_to_the_blend():
    """Just below the crotch a seam has no room to run out; the thigh is not copied."""
    thigh = answer(WHOLE, "liked.0.width.thigh", "12")
    assert "thigh" not in do(thigh, "like.0").design().width


def test_a_foot_entry_far_from_the_rest_of_the_wearer_is_asked_about():
    """9 1/4 in against an estimate of about 13 is a slip; a plausible one passes."""
    odd = answered(WHOLE, ("wearer.ankle", "9"), ("wearer.foot_entry", "9 1/4"))
    assert "ankle and height suggest" in said(odd, "wearer")
    assert "suggest" not in said(WHOLE, "wearer")


def test_like_a_garment_before_any_design_begins_one():
    """Copying widths is a first answer about narrowing too."""
    fresh = do(replace(WHOLE, designs=()), "like.0")
    assert fresh.design().name == "first taper"


def test_designs_are_copied_renamed_and_removed():
    """A new design starts from the one worked on; names stay apart."""
    copied = do(WHOLE, "new-design", "slim")
    assert [design.name for design in copied.designs] == ["first taper", "slim"]
    assert follow(WHOLE, copied, Cursor("first taper")) == Cursor()
    at = Cursor("first taper")
    changed = answer(copied, "design.take_in.hem", "1/2", at)
    assert value(changed, "design.take_in.hem", at) == "1/2 in"
    assert value(changed, "design.take_in.hem") == "5/8 in"
    renamed = do(copied, "rename-design", "easy", at=at)
    assert follow(copied, renamed, at) == Cursor("easy")
    removed = do(renamed, "remove-design", at=Cursor("easy"))
    assert [design.name for design in removed.designs] == ["slim"]
    assert follow(renamed, removed, Cursor("easy")) == Cursor()
    with pytest.raises(AnswerError, match="already"):
        do(copied, "new-design", "slim")


def test_levels_and_garments_are_added_and_removed():
    """A level of her own takes part in the block's table; a garment has its own form."""
    added = do(WHOLE, "add-level", "mid thigh", "24")
    keys = [field.key for field in STEPS[IDS.index("block")].fields(added)]
    assert keys.index("block.height.knee") < keys.index("block.height.mid_thigh")
    assert keys.index("block.height.mid_thigh") < keys.index("block.height.thigh")
    assert "block.front.inseam.mid_thigh" in keys
    measured = answer(added, "block.front.inseam.mid_thigh", "5 1/2")
    assert do(measured, "remove-level.mid_thigh") == WHOLE
    two = do(WHOLE, "add-liked", "Black jeans")
    assert follow(WHOLE, two, LAST).liked == 1
    assert do(two, "remove-liked.1") == WHOLE


@pytest.mark.parametrize(
    ("action", "texts"),
    [
        ("add-level", ("Mid Thigh", "24")),
        ("add-level", ("knee", "24")),
        ("add-level", ("mid thigh", "")),
        ("add-level", ("mid thigh", "in the middle")),
        ("add-level", ("mid thigh",)),
        ("add-liked", ("",)),
        ("new-design", ("",)),
        ("like.7", ()),
        ("fly", ()),
    ],
)
def test_an_action_that_cannot_be_done_says_why(action, texts):
    """Nothing is done by halves."""
    with pytest.raises(AnswerError) as refused:
        do(WHOLE, action, *texts)
    assert str(refused.value)


def test_a_design_with_muslin_rounds_is_not_removed():
    """A round names its design, so that design stays."""
    from legtaper.model.project import Round

    sewn = replace(WHOLE, rounds=(Round("first taper"),))
    assert "remove-design" not in [action.id for action in actions(sewn, "narrowing")]
    renamed = do(sewn, "rename-design", "easy")
    assert renamed.rounds[0].design == "easy"


# --- undo, help, summary -------------------------------------------------------------------------


def test_undo_and_redo_run_over_whole_projects():
    """Every answer is one step back and one forward; a new answer ends what could be redone."""
    history = History(Project())
    for key, text in TYPED:
        history = history.push(answer(history.present, key, text))
    assert history.present == WHOLE
    assert history.push(WHOLE) is history
    back = history
    for _ in TYPED:
        back = back.undo()
    assert back.present == Project()
    assert not back.past
    assert back.undo() is back
    forward = back
    while forward.future:
        forward = forward.redo()
    assert forward.present == WHOLE
    other = back.redo().push(answer(back.present, "name", "Others"))
    assert not other.future
    assert other.redo() is other


def test_help_fits_the_question():
    """F1 on a question says how, what a slip looks like, and what is so without it."""
    text = help_text("wearer", "wearer.knee_bent")
    assert "It is larger than the knee standing." in text
    assert "stays unknown" in text
    assert all(help_text(step_id) for step_id in IDS)
    for step in STEPS:
        for field in step.fields(WHOLE):
            assert field.how
            assert "{" not in field.label + field.how + help_text(step.id, field.key)


def test_the_summary_holds_every_answer_and_the_way_back():
    """Every typed answer is on the page with its key, defaults are marked as such."""
    lines = summary(WHOLE)
    keys = {line.key: line.value for line in lines}
    assert set(dict(TYPED)) <= set(keys)
    assert keys["design.hem.depth"] == "1 1/2 in (the usual)"
    assert [IDS.index(line.step_id) for line in lines] == sorted(
        IDS.index(line.step_id) for line in lines
    )
    skipped = [line for line in summary(Project()) if line.value == "nothing answered"]
    nothing = {"block", "block-test", "liked", "narrowing", "fitting"}
    assert {line.step_id for line in skipped} == nothing


def test_steps_know_no_terminal():
    """Importing the steps loads no terminal library."""
    import subprocess
    import sys

    code = (
        "import sys, legtaper_wizard.flow.steps; "
        "print([m for m in ('textual', 'rich', 'click', 'shapely', 'pint') if m in sys.modules])"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_hip_and_waist_far_apart_are_asked_about():
    """A hip of 57 in on a waist of 22 is a slip; the example's pass."""
    odd = answered(WHOLE, ("wearer.hip", "57"), ("wearer.waist", "22"))
    assert "The hip is 57 in and the waist 22" in said(odd, "wearer")
    assert "The hip is" not in said(WHOLE, "wearer")


def test_a_round_tried_on_before_it_was_printed_is_asked_about():
    """The days of a round are in order, or one is a slip."""
    printed = answer(WHOLE, "round.printed", "2026-11-25")
    tried = answer(printed, "round.date", "2026-11-24")
    assert "tried on before it was printed" in said(tried, "fitting")
    assert "before it was printed" not in said(answer(tried, "round.date", "2026-11-26"), "fitting")


def test_what_is_typed_and_then_taken_is_computed_once(monkeypatch: pytest.MonkeyPatch):
    """All steps of a project share its fit, and so does an equal project that is made again."""
    from legtaper import pattern
    from legtaper.search import hem_widths  # which has its own name for what is counted here

    assert hem_widths
    fits: list[Design] = []
    fit_design = pattern.fit_design

    def counted(project: Project, design: Design, block: Block) -> pattern.Fit:
        fits.append(design)
        return fit_design(project, design, block)

    monkeypatch.setattr(pattern, "fit_design", counted)
    before = typed()
    for _ in range(2):  # as it is typed, and as it is taken
        project = answer(before, "design.take_in.hem", "0.777")
        for step in STEPS:
            state(project, step.id)
            shows(project, step.id)
    assert [design.take_in["hem"].text for design in fits].count("0.777 in") == 1


def test_the_allowance_of_a_slit_is_asked_where_there_may_be_one() -> None:
    """Not for a hem that the foot passes without; what was answered once stays in sight."""

    def asks(project: Project) -> bool:
        fields = next(step for step in STEPS if step.id == "pattern").fields(project)
        return "allowance.slit" in [field.key for field in fields]

    narrow = answer(typed(), "design.width.hem", "12")
    assert asks(narrow)
    wide = answer(typed(), "design.width.hem", "14")
    assert not asks(wide)
    assert asks(answer(wide, "allowance.slit", "1"))


def test_only_a_question_has_the_sign_of_one() -> None:
    """What an untested block is told, and what a muslin showed, are no questions."""
    untested = replace(typed(), block_test=None)
    assert "question" not in [note.kind for note in shows(untested, "block-test")]


def test_rows_that_a_block_cannot_do_without_keep_their_cells() -> None:
    """Once the knee has a height, hem, crotch and hip are still asked across; calf is not."""
    begun = answer(Project("Trial"), "block.height.knee", "22 in")
    asked = {field.key: field for field in step_of("block").fields(begun, LAST)}
    for key in ("front.outseam.hip", "front.inseam.crotch", "back.outseam.crotch"):
        assert f"block.{key}" in asked
    assert not asked["block.front.outseam.hip"].optional
    assert "block.front.outseam.calf" not in asked
    assert "block.front.inseam.hip" not in asked


def test_the_garment_that_is_worked_on_is_told_first() -> None:
    """Whichever was measured first, as the notes may have no room for all."""
    both = answer(typed(), "liked.1.garment", "Black cords")
    both = answer(both, "liked.1.width.hem", "7 in")
    texts = [n.text for n in shows(both, "liked", Cursor(None, 1)) if n.kind == "number"]
    assert texts[0].startswith("Black cords, hem")
    texts = [n.text for n in shows(both, "liked", Cursor(None, 0)) if n.kind == "number"]
    assert not texts[0].startswith("Black cords")
    assert any(text.startswith("Black cords, hem") for text in texts)
