"""Rows of a table at the line prompts: what a cell is called, how many values a row takes."""

from __future__ import annotations

import re

import pytest
from typed_example import typed
from typist import Sitting

pytestmark = pytest.mark.usefixtures("new_account")

TO_ROWS = "steps block"


def test_a_cell_says_its_column() -> None:
    """A level alone may be a height, a width or one of four reaches."""
    on = Sitting(TO_ROWS, "front outseam at the hem = 4 1/4", "back to front outseam at the hem",
                 "4 1/4", "", "4 3/4", project=typed("name", "wearer", "block.height"))  # fmt: skip
    assert "Calf, front outseam:" in on.words
    assert "Knee, front outseam: 4 3/4 in." in on.words  # without its label once more


def test_a_row_says_how_many_values_it_takes() -> None:
    """Once one row was typed at once; where it takes fewer, which."""
    on = Sitting(TO_ROWS, "back to front outseam at the hem", "4 4 4 4", "", "5 5 5 5", "",
                 "6 7 6 8", "6 6", project=typed("name", "wearer", "block.height"))  # fmt: skip
    assert "Calf, 4 values:" in on.words
    assert "Knee: 5, 5, 5, 5." in on.words  # their order was said before
    assert "Hip, 2 values: front outseam, back outseam [needed]:" in on.words
    assert "Hip: front outseam 6, back outseam 6." in on.words


def test_both_panels_of_a_liked_leg_are_asked_at_once() -> None:
    """Front and back typed for one level: no row of either panel is asked besides."""
    on = Sitting("steps legs", "Linen", "", "", "7 / 7 1/2", "", "8 / 8 1/2", "", "",
                 project=typed("name", "block"))  # fmt: skip
    assert "Hem: front panel 7, back panel 7 1/2." in on.words
    assert "Knee, whole leg:" in on.words
    assert "panel at the" not in on.words
    assert re.search(r"Thigh, whole leg: (Warning: Linen: [^:]*)?Garment \[skip\]:", on.words)


def test_a_panel_that_was_measured_alone_asks_for_the_other() -> None:
    """Else the leg has no width there."""
    on = Sitting("steps legs", "Linen", "", "", "front panel at the hem = 7", "", "", "", "", "",
                 "7 1/2", project=typed("name", "block"))  # fmt: skip
    assert "Back panel at the hem" in on.words
    assert on.project.liked[0].back_width["hem"].text.startswith("7 1/2")
