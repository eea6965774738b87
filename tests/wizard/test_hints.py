"""How to answer is said in so few words that it is heard to its end."""

from __future__ import annotations

import re
from io import StringIO

import pytest
from typed_example import typed
from typist import Sitting

from legtaper.model.project import Project
from legtaper_wizard.flow.drafted_block import Drafting
from legtaper_wizard.flow.export_request import order_fields
from legtaper_wizard.flow.questions import QUESTIONS
from legtaper_wizard.flow.steps import STEPS, actions, answer
from legtaper_wizard.prompts.console import Voice

MOST, SENTENCES = 25, 2
WHOLE = typed()


def _hints() -> dict[str, str]:
    hints = {question.key: question.how for question in QUESTIONS}
    hints |= {f"file: {field.key}": field.how for field in order_fields()}
    hints |= {f"draft: {field.key}": field.how for field in Drafting.of(Project(), {}).fields()}
    needs = (need for step in STEPS for one in actions(WHOLE, step.id) for need in one.needs)
    return hints | {f"needs: {need.key}": need.how for need in needs}


@pytest.mark.parametrize("project", [WHOLE, answer(Project(), "fabric.kind", "knit")])
def test_a_hint_has_few_words_with_its_blanks_filled_in(project: Project) -> None:
    """The sample that is stretched, the day and the level are heard, too."""
    for field in (field for step in STEPS for field in step.fields(project)):
        assert len(field.how.split()) <= MOST, field.key
        assert len(re.findall(r"[.!?](?=\s|$)", field.how)) <= SENTENCES, field.key


@pytest.mark.parametrize("unit", [1, 2])
def test_a_hint_has_few_words_in_either_unit(unit: int) -> None:
    """At most 25 words and two sentences; both faces say the same hint."""
    for key, hint in _hints().items():
        said = re.sub(r"\[([^|\]]+)\|([^\]]+)\]", lambda both: both[unit], hint)
        assert len(said.split()) <= MOST, key
        assert len(re.findall(r"[.!?](?=\s|$)", said)) <= SENTENCES, key


def test_one_number_is_heard_and_the_exact_one_on_request() -> None:
    """18 in less four times 1.17 in leave 13.32 in, said as 13 5/16 in."""
    sitting = Sitting("take off hem = 1.17", "exact", "quit", project=WHOLE)
    heard, exact = sitting.words.rsplit("Take off at the hem", 1)
    assert "13 5/16 in" in heard
    assert not re.search(r"(?:in|cm) \(\d", heard)
    assert "13 5/16 in (13.32) around the leg" in exact


def test_what_is_typed_to_answer_by_name_stays_on_one_line() -> None:
    """Name, = and answer are never apart at a line's end."""
    for project in (WHOLE, answer(WHOLE, "wearer.waist", "")):
        text = Sitting("commands", "", "", "", "steps wearer", "quit", project=project).text
        assert not re.search(r"=\n|\n *=", text)


@pytest.mark.parametrize("ascii_only", [False, True])
def test_nothing_to_be_typed_is_broken_wherever_it_begins(ascii_only: bool) -> None:
    """Also where only ASCII is written, which has no blank of its own that holds a line."""
    for before in range(50, 78):
        heard = StringIO()
        Voice(StringIO(), heard, ascii_only).say(f"{'x' * before} hip = 41 in")
        assert "hip = 41 in" in heard.getvalue(), before
