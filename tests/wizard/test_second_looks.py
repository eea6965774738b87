"""Answers that look like a slip, and rows that are typed at once."""

from __future__ import annotations

import pytest
from typed_example import typed

from legtaper_wizard.flow.answers import lengths_in
from legtaper_wizard.flow.steps import (
    STEPS,
    AnswerError,
    actions,
    answer,
    do,
    echo,
    last_answered,
    shows,
    slips,
    step_of,
    value,
)


@pytest.mark.parametrize(
    ("key", "text", "asks"),
    [
        ("wearer.foot_entry", "3", "read as 3 in, 7.6 cm"),
        ("wearer.foot_length", "33 cm", "read as 13 in, 33 cm"),
        ("wearer.waist", "175 cm", "read as 68 7/8 in, 175 cm"),
        ("fabric.thickness", "1 cm", "read as 3/8 in, 1 cm"),
        ("fabric.stretch_percent", "200", "read as 200 percent"),
        ("block_test.date", "2999-01-01", "is still to come"),
        ("block.front.outseam.knee", "9", "further out than the levels beside it"),
        ("design.width.hem", "7", "Was it measured flat? Then it is 14 in around."),
    ],
)
def test_an_unlikely_answer_is_asked_about_where_it_is_typed(key: str, text: str, asks: str):
    """It is taken, asked about at once, and noted on its step; the usual one is not."""
    assert slips(typed(), key) == ()
    project = answer(typed(), key, text)
    assert any(asks in odd for odd in slips(project, key))
    step = next(one for one in STEPS if key in [field.key for field in one.fields(project)])
    assert any(asks in note.text for note in shows(project, step.id) if note.kind == "question")


def test_a_width_measured_flat_is_doubled_by_one_action():
    """The offer stands on the page, and goes once it is taken."""
    project = answer(typed(), "design.width.hem", "7")
    double = next(one for one in actions(project, "narrowing") if one.id == "double.hem")
    assert double.at_hand
    doubled = do(project, "double.hem")
    assert value(doubled, "design.width.hem") == "14 in"
    assert "double.hem" not in [one.id for one in actions(doubled, "narrowing")]


@pytest.mark.parametrize("level", ["hem", "calf", "knee", "thigh"])
def test_a_take_in_that_leaves_no_leg_is_refused_at_every_level(level: str):
    """More than the whole leg cannot come off; where it can be a width, that is said."""
    with pytest.raises(AnswerError, match="for a leg of 10 in around, answer the finished width"):
        answer(typed(), f"design.take_in.{level}", "10")
    with pytest.raises(AnswerError, match="is 136 in around the leg, and the block has"):
        answer(typed(), f"design.take_in.{level}", "34")


def test_a_row_of_the_block_may_be_typed_at_once():
    """The answers go into the cells from the cursor on; too many or a wrong one take none."""
    row = "4 5/8 4 5/8 5 1/8 5 1/8"
    project = answer(typed(), "block.front.outseam.calf", row)
    cells = [f"block.{edge}.calf" for edge in ("front.outseam", "front.inseam", "back.outseam",
                                               "back.inseam")]  # fmt: skip
    assert [value(project, cell) for cell in cells] == ["4 5/8 in"] * 2 + ["5 1/8 in"] * 2
    assert last_answered(typed(), cells[0], row) == cells[3]
    assert echo(typed(), cells[0], row).startswith("4 at once: Front outseam at the calf 4 5/8, ")
    with pytest.raises(AnswerError, match="3 lengths are typed and the row has 2 from here on"):
        answer(typed(), "block.front.outseam.hip", "6 6 7")
    with pytest.raises(AnswerError, match="Back outseam at the calf: "):
        answer(typed(), cells[0], "4 4 0 5")


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("4 5/8 4 5/8", ["4 5/8", "4 5/8"]),
        ("1/2", ["1/2"]),
        ("2 ft 5 in", ["2 ft 5 in"]),
        ("11.5 cm 12 cm", ["11.5 cm", "12 cm"]),
        ("4½ 5", ["4½", "5"]),
        ("4 5/8 in", ["4 5/8 in"]),
    ],
)
def test_lengths_one_after_the_other_are_told_apart(text: str, parts: list[str]):
    """A fraction or a unit belongs to the number before it."""
    assert lengths_in(text) == parts


def test_an_inseam_is_offered_as_its_outseam_was_given():
    """At hem, calf and knee Enter takes it; above, the two differ and nothing is offered."""
    project = answer(typed("name", "block.height"), "block.front.outseam.knee", "4 3/4")
    project = answer(project, "block.front.outseam.crotch", "5 3/4")
    fields = {field.key: field for field in step_of("block").fields(project)}
    offered = fields["block.front.inseam.knee"]
    assert (offered.placeholder, offered.takes_placeholder) == ("4 3/4 in", True)
    assert fields["block.front.inseam.crotch"].placeholder == ""
    assert not fields["block.back.inseam.knee"].takes_placeholder
