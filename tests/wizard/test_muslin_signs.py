"""Signs of a muslin in the fitting step: asked, put down, cured, and asked after."""

from __future__ import annotations

from dataclasses import replace

import pytest
from typist import Sitting

from legtaper.files.project_file import read_project, write_project
from legtaper.model.lengths import parse_length
from legtaper.model.project import Lengths, Project, SeamName, SeenSign
from legtaper.muslin.advice import causes
from legtaper.muslin.sign_parts import GONE
from legtaper.muslin.signs import SIGNS
from legtaper_wizard.flow.answers import answer, changed_in_words
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.questions import find
from legtaper_wizard.flow.shapes import LAST, Action, AnswerError
from legtaper_wizard.flow.steps.fitting_step import STEP
from legtaper_wizard.flow.steps.step import Work


@pytest.fixture
def printed() -> Project:
    """Return the courier example with the test of its slim taper printed."""
    return answer(read_project(example_text("courier")), "round.printed", "2026-03-28")


def _actions(project: Project) -> dict[str, Action]:
    return {action.id: action for action in STEP.actions(Work(project, LAST))}


def _done(project: Project, action: str, *texts: str) -> Project:
    return _actions(project)[action].does(project, texts, LAST)


def _notes(project: Project) -> str:
    work = Work(project, LAST)
    return "\n".join(note.text for note in STEP.notes(work, STEP.status(work)))


def _keys(project: Project) -> list[str]:
    return [field.key for field in STEP.fields(project, LAST)]


def test_every_sign_can_be_written_down(printed: Project) -> None:
    """All of them are offered, and each then asks for its leg, and for a cause among several."""
    (what, where) = _actions(printed)["add-sign"].needs
    assert {value for value, _ in what.choices} == {sign.id for sign in SIGNS}
    for sign in SIGNS:
        seen = _done(printed, "add-sign", sign.id, "narrowed")
        assert seen.rounds[-1].signs == (SeenSign(sign.id, "", "narrowed"),)
        asked = {field.key: field for field in STEP.fields(seen, LAST)}
        assert asked["round.sign.1.where"].choices == where.choices
        block = standing(seen, LAST).block
        assert block is not None
        sewn = seen.design(seen.rounds[-1].design)
        several = [cause.id for cause in causes(seen.rounds[-1].signs[0], block, sewn)]
        assert ("round.sign.1.cause" in asked) == (len(several) > 1)
        for value in several:
            put = answer(seen, "round.sign.1.cause", value)
            assert put.rounds[-1].signs[0].cause == value
    assert all(find(key) for key in _keys(printed))


@pytest.mark.parametrize(
    ("extra", "says", "not_said"),
    [
        ({}, "one edge was eased or stretched", "the two seams gave unlike"),
        (
            {"inseam": {"knee": parse_length("1/4", "in")}},
            "the two seams gave unlike",
            "one edge was eased",
        ),
    ],
)
def test_a_cause_that_the_design_tells_is_not_asked_for(
    printed: Project, extra: dict[SeamName, Lengths], says: str, not_said: str
) -> None:
    """Whether both seams took the same is written in what was sewn; it is told, and not asked."""
    design = printed.design(printed.rounds[-1].design)
    others = tuple(one for one in printed.designs if one is not design)
    sewn = replace(printed, designs=(*others, replace(design, extra=extra)))
    seen = _done(sewn, "add-sign", "swinging-seam", "narrowed")
    assert "round.sign.1.cause" not in _keys(seen)
    assert says in _notes(seen)
    assert not_said not in _notes(seen)
    unsaid = _done(sewn, "add-sign", "swinging-seam", "")
    cause = next(one for one in STEP.fields(unsaid, LAST) if one.key == "round.sign.1.cause")
    assert len(cause.choices) == 2  # the design's, or that both legs turn


def test_signs_are_asked_after_the_pinches(printed: Project) -> None:
    """And before the verdict."""
    keys = _keys(_done(printed, "add-sign", "riding-hem", "narrowed"))
    last_pinch = max(i for i, key in enumerate(keys) if key.startswith("round.pinch"))
    assert last_pinch < keys.index("round.sign.1.where") < keys.index("round.verdict")


def test_from_a_sign_to_the_next_design_and_the_question_whether_it_went(printed: Project) -> None:
    """The cure is shown with what it changes, taken as one action, and asked after."""
    seen = _done(printed, "add-sign", "folds-under-seat", "narrowed")
    assert "1. 1/2 in more on the back panel alone at the calf. The calf is 16 in" in _notes(seen)
    cure = _actions(seen)["cure-1"]
    assert cure.at_hand
    assert cure.then == "narrowing"
    assert "The calf is 16 in around the leg" in cure.hint
    taken = _done(seen, "cure-1")
    assert [design.name for design in taken.designs][-1] == "slim taper 2"
    sewn = answer(taken, "round.printed", "2026-04-03")
    (asked,) = [field for field in STEP.fields(sewn, LAST) if field.key.startswith("round.went")]
    assert asked.label.startswith("Is it gone? Folds or slanting wrinkles")
    gone = answer(sewn, asked.key, "gone")
    assert gone.rounds[-1].signs == (SeenSign("folds-under-seat", GONE, "narrowed"),)
    assert "cure-1" not in _actions(gone)
    still = answer(sewn, asked.key, "still")
    assert [seen.sign for seen in still.rounds[-1].signs] == ["folds-under-seat"]
    assert "cure-1" in _actions(still)


def test_what_both_legs_show_offers_no_cure(printed: Project) -> None:
    """The notes send her to the block."""
    seen = _done(printed, "add-sign", "tight-thigh", "both")
    assert not [name for name in _actions(seen) if name.startswith("cure")]
    assert "Let the block out at the thigh first." in _notes(seen)


def test_the_leg_can_be_said_later_and_the_rest_of_the_place_stays(printed: Project) -> None:
    """A level from the file keeps its place beside the leg."""
    text = write_project(printed, example_text("courier"))
    text += '[[round.sign]]\nsign = "slanting-lines"\nwhere = "calf"\n'
    seen = answer(read_project(text), "round.sign.1.where", "narrowed")
    assert seen.rounds[-1].signs[0].where == "narrowed, calf"
    assert "more around the leg at that level. The calf is 16 in" in _notes(seen)


def test_level_and_seam_are_asked_where_a_cure_goes_by_them(printed: Project) -> None:
    """Lines to one spot need a level, a fold at the thigh a seam, a tight calf neither."""
    wanted = {"slanting-lines": ["level"], "loose-folds": ["seam"], "riding-hem": []}
    for sign, parts in wanted.items():
        keys = _keys(_done(printed, "add-sign", sign, "narrowed"))
        asked = [part for part in ("level", "seam") if f"round.sign.1.{part}" in keys]
        assert asked == parts, sign
    both = _keys(_done(printed, "add-sign", "loose-folds", "both"))
    assert "round.sign.1.seam" not in both, "what both legs show is not cured by a seam"


def test_what_is_said_of_its_place_is_where_the_cure_is_tried(printed: Project) -> None:
    """At the calf in place of the knee; at one seam in place of both; taken back when emptied."""
    lines = _done(printed, "add-sign", "slanting-lines", "narrowed")
    assert "The knee is" in _notes(lines)
    calf = answer(lines, "round.sign.1.level", "calf")
    assert calf.rounds[-1].signs[0].where == "narrowed, calf"
    assert "The calf is 16 in" in _notes(calf)
    assert "The knee is" not in _actions(calf)["cure-1"].hint
    assert answer(calf, "round.sign.1.level", "") == lines
    with pytest.raises(AnswerError, match='"elbow" is none of the hem, the calf, the knee'):
        answer(lines, "round.sign.1.level", "elbow")
    with pytest.raises(AnswerError, match='"narrowed" is none of'):
        answer(lines, "round.sign.1.level", "narrowed")

    folds = _done(printed, "add-sign", "loose-folds", "narrowed")
    inseam = answer(folds, "round.sign.1.seam", "inseam")
    assert inseam.rounds[-1].signs[0].where == "narrowed, inseam"
    hints = [one.hint for name, one in _actions(inseam).items() if name.startswith("cure")]
    assert hints
    assert not any("outseam blends" in hint or "curve of the outseam" in hint for hint in hints)


def test_one_change_a_muslin_is_advised(printed: Project) -> None:
    """As soon as two things are open, with the one that goes first."""
    one = _done(printed, "add-sign", "bump-at-blend", "narrowed")
    assert "things are open" not in _notes(one)
    two = _done(one, "add-sign", "pain", "narrowed")
    says = "2 things are open. Change one in a muslin, to see what it did (common practice): first"
    assert f'{says} "pain' in _notes(two)


def test_a_pinch_where_it_binds_is_told_to_be_looked_at_again(printed: Project) -> None:
    """Both are on the page in one sentence, and nothing is advised to go first."""
    binds = _done(printed, "add-sign", "binding-knee", "narrowed")
    pinched = answer(binds, "round.pinch.outseam.knee", "1/2")
    told = 'You pinched 1/2 in at the knee, outseam, and wrote down "it binds over the knee"'
    assert told in _notes(pinched)
    assert "things are open" not in _notes(pinched)
    judged = answer(pinched, "round.verdict", "closer")
    assert "Next: look again at the knee, outseam" in _notes(judged)
    let_go = answer(judged, "round.pinch.outseam.knee", "")
    assert told not in _notes(let_go)
    assert "look again" not in _notes(let_go)


def test_a_sign_is_taken_away_and_nothing_is_written_without_one(printed: Project) -> None:
    """An empty choice is refused in one line; a sign written by mistake goes."""
    with pytest.raises(AnswerError, match="choose what you see"):
        _done(printed, "add-sign", "", "narrowed")
    seen = _done(printed, "add-sign", "pain", "")
    assert _done(seen, "drop-sign", "pain").rounds[-1].signs == ()
    with pytest.raises(AnswerError, match="no cause of pain"):
        answer(seen, "round.sign.1.cause", "calf")


def test_a_wrong_place_does_not_drop_the_sign(printed: Project) -> None:
    """At the prompts only the place is asked again, by the words of its choices."""
    lines = ("steps muslin", "more write down", "pain", "elbow", "narrowed", "quit")
    on = Sitting(*lines, project=printed)
    assert 'Not taken: "elbow" is none of these: the narrowed leg alone; ' in on.words
    assert on.project.rounds[-1].signs == (SeenSign("pain", "", "narrowed"),)
    assert on.words.count("Which leg shows it") > 1


def test_a_cure_says_that_the_pinches_come_with_it(printed: Project) -> None:
    """The next design takes up both, and its button names both."""
    seen = _done(printed, "add-sign", "riding-hem", "narrowed")
    alone = _actions(seen)["cure-1"].label
    pinched = answer(seen, "round.pinch.outseam.knee", "1/8 in")
    both = _actions(pinched)["cure-1"].label
    assert "pinches" not in alone
    assert both.endswith(", and the pinches")
    assert _actions(pinched)["cure-1"].hint.startswith("Left out, the pinches would be lost.")
    made = _done(pinched, "cure-1").designs[-1]
    assert made.extra["outseam"]["knee"].text == "1/8 in"


def test_undo_says_an_answer_in_the_words_of_its_choices(printed: Project) -> None:
    """Not by the value that the file has, and no comma behind a question mark."""
    seen = _done(printed, "add-sign", "folds-under-seat", "narrowed")
    sewn = answer(_done(seen, "cure-1"), "round.printed", "2026-04-03")
    gone = answer(sewn, "round.went.1", "gone")
    said = changed_in_words("round.went.1", (gone, LAST), (answer(gone, "round.went.1", ""), LAST))
    assert said == "Is it gone? yes, it is gone; now empty"
