"""How a pattern is printed: what a printer's error does to the page, and how lines look on it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Literal, NamedTuple

from legtaper.model.lengths import LengthError, parse_length
from legtaper.outputs.papers import Paper, PaperError

TEST_RECTANGLE = (150.0, 250.0)
"""Width and height, mm, of the rectangle that is printed to be measured."""

MOST_OFF = 0.03
"""The share by which a printed length may be off and still be corrected: with more, the print was
fitted to the page, or the wrong line was measured. Common practice."""

Progress = Callable[[int, int], bool]
"""Told how many pages are done and how many there are; returns False to stop."""

Words = Literal["text", "outlines", "none"]
"""How the words of a pattern are written in a file for a cutter."""
WORDS: Mapping[Words, str] = {
    "text": "text",
    "outlines": "outlines in place of letters",
    "none": "no words",
}
"""Each of them as a choice."""

Look = Literal["plain", "ink-saving", "projector"]
LOOKS: Mapping[Look, str] = {
    "plain": "plain",
    "ink-saving": "ink-saving: thin gray lines",
    "projector": "projector: heavy lines, nothing filled, a grid to check the scale",
}
"""Each look as a choice."""

Correction = tuple[float, float]
"""Factors by which width and height are drawn larger than they are."""

TRUE: Correction = (1.0, 1.0)


class PrintJob(NamedTuple):
    """correction: for the error of a printer. fronts: with the sheets in front of the pattern.

    look: how lines are drawn. subject and day: for the properties of the file.
    """

    correction: Correction = TRUE
    fronts: bool = True
    look: Look = "plain"
    subject: str = ""
    day: date | None = None


def factor(true: float, measured: float) -> float:
    """Return by how much larger than `true` is drawn what was printed as `measured`, both mm.

    Raises `PaperError` where the two are more than `MOST_OFF` apart.
    """
    if not abs(measured / true - 1) <= MOST_OFF + 1e-9:
        raise PaperError(
            f"{measured:.4g} mm printed for {true:g} mm is more than {100 * MOST_OFF:g} % off; "
            "print the test rectangle again at 100 %, without fitting to page"
        )
    return true / measured


def read_measured(text: str) -> Correction:
    """Read the printed size of the test rectangle, as "147.6mmx246mm". Raises `PaperError`."""
    sides = text.lower().replace("×", "x").split("x")
    if len(sides) != len(TEST_RECTANGLE) or not all(
        any(letter.isalpha() or letter in "\"'″′" for letter in side) for side in sides
    ):
        raise PaperError(
            "the measured rectangle is width x height, both with units, as 147.6mmx246mm"
        )
    try:
        measured = [parse_length(side.strip(), "cm").mm for side in sides]
    except LengthError as error:
        raise PaperError(f"the measured rectangle: {error}") from None
    across, up = (factor(*pair) for pair in zip(TEST_RECTANGLE, measured, strict=True))
    return across, up


def corrected(paper: Paper, correction: Correction) -> Paper:
    """Return the paper as large as it is in lengths that come out true once they are printed."""
    across, up = correction
    return paper._replace(
        width=paper.width / across, height=paper.height / up, correction=correction
    )
