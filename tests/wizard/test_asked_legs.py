"""The questions about legs of other lengths and shapes, and about fabric that shrinks."""

from __future__ import annotations

import numpy as np
import pytest
from typed_example import typed

from legtaper.model.lengths import say_length
from legtaper.model.project import Project
from legtaper.pattern import fit
from legtaper_wizard.flow.steps import STEPS, AnswerError, answer, do, echo, shows, value

WHOLE = typed()
IN = 25.4


def width(project: Project, level: str) -> float:
    """Return the finished width at a level, in inches."""
    return fit(project).taper.finished[level] / IN


@pytest.mark.parametrize(
    ("text", "kept", "says"),
    [
        ("higher 5 in", "higher 5 in", "25 in from the crotch down"),
        ("5", "higher 5 in", "25 in from the crotch down"),
        ("5 in higher", "higher 5 in", "25 in from the crotch down"),
        ("lower 2", "lower 2 in", "32 in from the crotch down"),
        ("-2 in", "lower 2 in", "32 in from the crotch down"),
        ("block", "", "at the block's hem"),
    ],
)
def test_where_the_leg_ends_is_said_in_words_or_as_a_length(
    text: str, kept: str, says: str
) -> None:
    """It is counted from the block's hem; the crotch of the example is at 30 in."""
    project = answer(WHOLE, "design.hem.height", text)
    assert value(project, "design.hem.height") == kept
    assert says in echo(WHOLE, "design.hem.height", text)


def test_the_finished_lengths_are_said_while_it_is_asked_and_after() -> None:
    """By hand: chords of 0.1 in along the finished front seams, from the hem to crotch and hip."""
    project = answer(WHOLE, "design.hem.height", "higher 5 in")
    taper = fit(project).taper
    walked = []
    for edge, top in (("front_inseam", 30), ("front_outseam", 38)):
        y = np.linspace(5 * IN, top * IN, 10 * (top - 5) + 1)
        x = taper.reach(edge, y)  # type: ignore[arg-type]
        walked.append(float(np.hypot(np.diff(x), np.diff(y)).sum()))
    inseam, outseam = (say_length(mm, "in") for mm in walked)
    says = f"inseam {inseam}, outseam {outseam} from the hip"
    assert says in echo(WHOLE, "design.hem.height", "higher 5 in")
    notes = [note.text for note in shows(project, "hem")]
    assert f"The leg ends 5 in above the block's hem: {says}." in notes


@pytest.mark.parametrize("end", ["higher 12 in", "higher 20 in", "higher 27 in", "lower 3 in"])
def test_every_step_shows_a_leg_that_ends_elsewhere(end: str) -> None:
    """Also above calf and knee: the steps say what is left of the leg."""
    project = answer(WHOLE, "design.hem.height", end)
    assert all(shows(project, step.id) for step in STEPS if step.id != "project")
    assert any("around than at the hem" in note.text for note in shows(project, "hem"))


def test_a_width_at_the_hem_is_asked_where_the_leg_ends() -> None:
    """A leg that ends 5 in higher is as wide there as was asked."""
    project = answer(answer(WHOLE, "design.hem.height", "higher 5 in"), "design.width.hem", "15")
    assert width(project, "hem") == pytest.approx(15)


def test_a_leg_that_would_end_above_itself_is_refused() -> None:
    """The range is said."""
    with pytest.raises(AnswerError, match="is out of range"):
        answer(WHOLE, "design.hem.height", "higher 40 in")


def test_a_leg_may_be_moved_without_getting_narrower() -> None:
    """Moved 5/8 in in: so much more comes off the outseam and less off the inseam at the hem."""
    project = answer(WHOLE, "design.shift.hem", "-5/8")
    assert width(project, "hem") == pytest.approx(width(WHOLE, "hem"))
    old, new = fit(WHOLE).taper, fit(project).taper
    for edge, way in (("front_outseam", 1), ("front_inseam", -1)):
        moved = new.taken(edge, "hem") - old.taken(edge, "hem")  # type: ignore[arg-type]
        assert moved == pytest.approx(way * 0.625 * IN)


@pytest.mark.parametrize(
    ("text", "percent"),
    [("3", "3"), ("3 %", "3"), ("19.4", "3"), ("19.4 in", "3"), ("20 in", ""), ("17 1/2", "12.5")],
)
def test_shrinkage_is_a_percentage_or_the_square_as_it_was_measured(
    text: str, percent: str
) -> None:
    """Of a square of 20 in 19.4 in are left: 3 percent."""
    project = answer(WHOLE, "fabric.shrink_length_percent", text)
    assert value(project, "fabric.shrink_length_percent") == percent


@pytest.mark.parametrize("text", ["21 in", "12 in", "40 %", "much"])
def test_a_square_that_cannot_be_is_refused(text: str) -> None:
    """It neither grows nor loses most of itself."""
    with pytest.raises(AnswerError):
        answer(WHOLE, "fabric.shrink_width_percent", text)


def test_three_percent_on_78_cm_is_cut_80_4_cm() -> None:
    """A square of 50 cm that measures 48.5 cm after the wash makes 78 cm grow to 80.4 cm."""
    project = answer(Project(length_unit="cm"), "fabric.shrink_length_percent", "48.5")
    assert project.fabric.growth[1] * 78 == pytest.approx(80.41, abs=0.01)


def test_a_lower_back_crotch_point_is_asked_for_and_kept_apart() -> None:
    """The back's own height goes to the back alone."""
    project = answer(WHOLE, "block.back.height.crotch", "29 1/2")
    assert value(project, "block.back.height.crotch") == "29 1/2 in"
    assert value(project, "block.height.crotch") == "30 in"
    assert not [note for note in shows(project, "block") if note.kind == "fail"]


def test_what_few_need_is_begun_by_an_action() -> None:
    """A moved leg and a back crotch point of its own are offered, and asked from then on."""
    moved = do(WHOLE, "move-leg", "5/8", "5/16")
    assert [value(moved, f"design.shift.{level}") for level in ("hem", "knee")] == [
        "5/8 in",
        "5/16 in",
    ]
    assert value(do(WHOLE, "back-crotch", "29 1/2"), "block.back.height.crotch") == "29 1/2 in"


def asked(project: Project) -> list[str]:
    """Return the keys that all steps ask."""
    return [field.key for step in STEPS for field in step.fields(project)]


def test_room_at_the_back_is_asked_beside_the_width_of_a_calf() -> None:
    """1/2 in: a quarter less off each of the back's seams, the width stays, both pairs are told."""
    key = "design.back_room.calf"
    assert key not in asked(WHOLE)
    slim = answer(answer(WHOLE, "design.width.calf", "16"), "design.width.knee", "17 1/2")
    assert key in asked(slim)
    says = echo(slim, key, "1/2")
    assert "1/4 in less off each back seam; 16 in around" in says
    assert "hem to knee: outseams equally long, inseams equally long" in says
    roomy = answer(slim, key, "1/2")
    assert width(roomy, "calf") == pytest.approx(16)
    assert any("inseams equally" in note.text for note in shows(roomy, "narrowing"))
    assert value(do(WHOLE, "back-room", "1/2"), key) == "1/2 in"


def test_where_a_pocket_ends_is_asked_where_the_outseam_blends() -> None:
    """The outseam blends at the hip, 38 in: it runs across a pocket that ends at 31."""
    assert "block.pocket_end" in asked(WHOLE)
    assert "narrowing reaches it" in echo(WHOLE, "block.pocket_end", "31")
    project = answer(WHOLE, "block.pocket_end", "31")
    assert project.block.pocket_end is not None
    assert any("runs across it" in note.text for note in shows(project, "blend"))


LONGER = "fabric.stays_longer_percent"


def test_only_a_fabric_that_gives_is_asked_whether_it_goes_back() -> None:
    """4 in that come back to 4 1/4 stay 6.25 percent longer: knees bag above 5."""
    assert LONGER not in asked(WHOLE)
    knit = answer(WHOLE, "fabric.kind", "knit")
    assert LONGER in asked(knit)
    assert (
        echo(knit, LONGER, "4 1/4 in") == "6.25 % longer than before; above 5 % it bags at the knee"
    )
    bags = answer(knit, LONGER, "4 1/4 in")
    assert value(bags, LONGER) == "6.25"
    assert any("bags at the knee" in note.text for note in shows(bags, "narrowing"))
    assert value(answer(knit, LONGER, "0"), LONGER) == "0"


@pytest.mark.parametrize("text", ["4 1/8", "3 in", "7 in", "60 %"])
def test_a_strip_that_may_be_read_two_ways_or_cannot_be_is_refused(text: str) -> None:
    """A bare 4 1/8 is no length in doubt; shorter than before and far longer are slips."""
    knit = answer(WHOLE, "fabric.kind", "knit")
    if text == "4 1/8":
        assert value(answer(knit, LONGER, text), LONGER) == "3.125"
        with pytest.raises(AnswerError, match=r"write 4\.5 % or 4\.5 in"):
            answer(knit, LONGER, "4.5")
    else:
        with pytest.raises(AnswerError):
            answer(knit, LONGER, text)


def test_shrinkage_of_a_washed_fabric_is_asked_about() -> None:
    """What is called washed shrinks no more; a fabric that is not yet washed is no slip."""
    for words, odd in (("twill, washed", True), ("unwashed denim", False), ("denim", False)):
        project = answer(WHOLE, "fabric.description", words)
        project = answer(project, "fabric.shrink_length_percent", "3")
        notes = [note.text for note in shows(project, "wearer") if note.kind == "question"]
        assert any("shrinks no more" in text for text in notes) == odd


def test_a_child_is_an_action_and_its_estimates_are_marked() -> None:
    """A girl of 8 without measurements: the foot entry is estimated, and says of whom it is not."""
    assert "wearer.age" not in asked(Project(length_unit="cm"))
    girl = do(Project(length_unit="cm"), "child", "8", "f")
    assert value(girl, "wearer.age") == "8"
    assert {"wearer.age", "wearer.sex"} <= {*asked(girl)}
    says = " ".join(note.text for note in shows(girl, "wearer"))
    assert "Of girls of 8, half have this much or more: thigh" in says
    assert "calf 26.1" in says
    assert "not measured on children: measure it first" in says
    for text in ("1", "19", "eight", "8.5"):
        with pytest.raises(AnswerError, match="whole years from 2 to 18"):
            answer(girl, "wearer.age", text)
