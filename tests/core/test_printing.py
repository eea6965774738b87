"""The error of a printer: read, refused or made up for."""

from __future__ import annotations

import pytest

from legtaper.outputs.papers import PaperError, paper
from legtaper.outputs.printing import corrected, factor, read_measured


def test_the_factor_makes_up_for_what_was_printed() -> None:
    """49.2 mm printed for 50 mm: drawn 1.01626 times as large, so that 50 mm come out."""
    assert factor(50, 49.2) == pytest.approx(1.01626, abs=5e-6)
    assert factor(50, 49.2) * 49.2 == pytest.approx(50)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("147.6mmx246mm", (150 / 147.6, 250 / 246)),
        (" 14,76 cm \u00d7 24.6 cm ", (150 / 147.6, 250 / 246)),
        ("5 29/32 in x 9 27/32 in", (150 / 150.01875, 250 / 250.03125)),
    ],
)
def test_a_measured_rectangle_is_read(text: str, expected: tuple[float, float]) -> None:
    """Any unit, with or without blanks; width and height each have their own factor."""
    assert read_measured(text) == pytest.approx(expected)


@pytest.mark.parametrize("measured", [145.5, 150.0, 154.5])
def test_up_to_three_percent_are_corrected(measured: float) -> None:
    """3 % is still an error of the printer."""
    assert factor(150, measured) == pytest.approx(150 / measured)


@pytest.mark.parametrize("text", ["145.4mmx250mm", "150mmx258mm", "154.6mmx250mm", "250mmx150mm"])
def test_more_than_three_percent_is_refused(text: str) -> None:
    """That is a print fitted to the page, or another line."""
    with pytest.raises(PaperError, match="more than 3 % off; print the test rectangle again"):
        read_measured(text)


@pytest.mark.parametrize(
    "text", ["", "147.6x246", "147.6mm", "147.6mmx", "wide x tall", "1mmx2mmx3mm"]
)
def test_what_is_no_size_is_refused_with_one_that_is(text: str) -> None:
    """One line that shows how it is written."""
    with pytest.raises(PaperError, match=r"147\.6mmx246mm|measured rectangle"):
        read_measured(text)


def test_a_corrected_paper_is_smaller_where_more_is_drawn() -> None:
    """Its size times the correction is the paper; turned, the factors change places."""
    used = corrected(paper("a4"), (1.02, 0.99))
    assert (used.width * 1.02, used.height * 0.99) == pytest.approx((210, 297))
    assert used.turned().correction == (0.99, 1.02)
