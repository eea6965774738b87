from __future__ import annotations

from datetime import date
from io import BytesIO

import pytest
import sample
from pypdf import PdfReader

from legtaper.model.project import CHECKLIST, Round
from legtaper.outputs import pdf
from legtaper.outputs.front_sheet import pattern_sheet
from legtaper.outputs.papers import paper
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.pattern import Pattern, build

DAY = date(2026, 3, 20)


def _pattern(*rounds: Round) -> Pattern:
    return build(sample.project(rounds=rounds))


def test_the_sheet_of_one_leg_has_no_checklist() -> None:
    """Without rounds and without a test there are no lists at all."""
    assert pattern_sheet(_pattern(), on=DAY).lists == ()


def test_the_sheet_of_a_test_says_how_to_sew_it_and_what_to_try() -> None:
    """Allowances, notches and the five trials, each with a box; room to write the pinches."""
    lists = {one.title: one for one in pattern_sheet(_pattern(), on=DAY, leg="both").lists}
    assert list(lists) == ["Sewing the test", "Trying it on", "Write down"]
    sewing = " ".join(lists["Sewing the test"].lines)
    assert "outseam 5/8 in, inseam 5/8 in" in sewing
    assert "knee, blend, hip" in sewing
    assert "unaltered" in sewing
    trying = lists["Trying it on"]
    assert trying.to_tick
    assert [line.partition(":")[0] for line in trying.lines] == list(CHECKLIST)


def test_the_sheet_tells_what_went_before_in_three_lines() -> None:
    """Whichever leg is printed, as long as there were rounds."""
    sheet = pattern_sheet(_pattern(Round("easy taper", verdict="closer")), on=DAY)
    (before,) = sheet.lists
    assert before.title == "What went before"
    assert len(before.lines) == 3
    assert before.lines[0] == "Rounds: 1 easy taper (closer)."


@pytest.mark.parametrize(
    ("last", "number"), [(Round("easy taper", printed=DAY), 1), (Round("easy taper"), 2)]
)
def test_sheet_and_pieces_carry_the_same_number(last: Round, number: int) -> None:
    """A round that waits to be tried on is printed again under its own number."""
    pattern = _pattern(last)
    assert f"Round {number}, 2026-03-20." in pattern_sheet(pattern, on=DAY).subtitle
    labels = [label.text for label in draw_pattern(pattern, on=DAY).pieces[0].labels]
    assert f"round {number}, 2026-03-20" in labels


def test_the_lists_are_printed() -> None:
    """On the first page of the PDF, the boxes included."""
    pattern = _pattern(Round("easy taper", verdict="closer"))
    data = pdf.render(
        draw_pattern(pattern, "both", DAY), paper("a0"), pattern_sheet(pattern, on=DAY, leg="both")
    )
    text = PdfReader(BytesIO(data)).pages[0].extract_text()
    for words in ("What went before", "Sewing the test", "climb a step", "Write down"):
        assert words in text
    assert text.count("[") == len(CHECKLIST)
