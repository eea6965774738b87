"""A liked garment that divides front and back otherwise: one sentence, once; mend tells it last."""

from __future__ import annotations

import pytest
from typed_example import typed
from typist import Sitting

from legtaper_wizard.flow.mend_words import mend_lines
from legtaper_wizard.flow.mending import look_for_mends
from legtaper_wizard.flow.shapes import LAST
from legtaper_wizard.flow.steps import answer, value

pytestmark = pytest.mark.usefixtures("new_account")

LIKED = ("steps legs", "Linen", "", "", "7 / 7", "", "8 / 8", "", "")


def test_a_garment_is_warned_of_once_in_one_sentence() -> None:
    """At its step, when all of it was asked, before there is a design; later it is counted."""
    on = Sitting(*LIKED, "finished width, hem = 15", "steps pattern",
                 project=typed("name", "wearer", "block"))  # fmt: skip
    assert on.words.count("Warning: Linen: compared with the front, the back is as wide") == 1
    said = on.words[on.words.index("Warning: Linen") :]
    assert "at the hem, in the block 1 in wider; as wide at the knee" in said
    assert "1 warning as before; notes says it again." in said
    assert said.index("Another garment [skip]:") < said.index("Step 6")


def test_notes_say_again_what_was_counted() -> None:
    """In full."""
    on = Sitting(*LIKED, "finished width, hem = 15", "steps pattern", "notes",
                 project=typed("name", "wearer", "block"))  # fmt: skip
    assert on.words.count("Warning: Linen: compared") == 2


def test_what_a_change_mends_stands_first_and_a_change_once() -> None:
    """What no change of the design mends stands behind it; a number is told with one change."""
    project = answer(typed(), "design.take_in.hem", "1 3/8")
    project = answer(project, "design.slit.height", "none")
    for key, text in (("liked.1.garment", "Linen"), ("liked.1.front_width.hem", "7"),
                      ("liked.1.back_width.hem", "7")):  # fmt: skip
        project = answer(project, key, text)
    found = list(look_for_mends(project, LAST))
    assert any(one.mends for one in found)
    lines = mend_lines(found)
    last = max(at for at, line in enumerate(lines) if line[:6].strip().isdigit())
    unmended = [at for at, line in enumerate(lines) if "not mended by a change" in line]
    assert unmended
    assert last < min(unmended)
    sets = {}
    for one in found:
        for mend in one.mends:
            assert sets.setdefault(mend.number, mend.set) == mend.set
    assert len({str(sorted(one.items())) for one in sets.values()}) == len(sets)


def test_the_name_that_a_width_is_told_by_is_a_name_of_its_question() -> None:
    """Of any garment and from any step; the one with the longer name goes before the shorter."""
    two = ("Gray", "all the way around", "", "15", "skip", "")
    lines = ("gray, hem = 16", "Gray corduroys, knee = 8 3/4", "back to gray knee", "19", "quit")
    on = Sitting("steps legs", *[""] * 7, *two, *lines, project=typed())
    assert "Gray, hem: 16 in around; the block has 18 in." in on.words
    keys = ("liked.0.width.knee", "liked.1.width.hem", "liked.1.width.knee")
    assert [value(on.project, key) for key in keys] == ["8 3/4 in", "16 in", "19 in"]
    flat = Sitting("gray corduroys, hem = 15", "quit", project=typed())
    assert "Doubled, the hem is 30 in around" in flat.words
    unknown = Sitting("gray corduroys, waist = 15", "quit", project=typed())
    assert 'There is no question "gray corduroys, waist".' in unknown.words
