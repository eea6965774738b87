"""How much paper is said to be taken, against what is then printed."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
import sample
from pypdf import PdfReader

from legtaper.outputs.formats import LEGS, Options, render
from legtaper.outputs.sheet_count import count_lines
from legtaper.pattern import cut

PATTERN = cut(sample.fitted())


def _printed(options: Options) -> int:
    """Return how many pages of the pattern are in the PDF itself."""
    pdf = render(PATTERN, "pdf", options)
    assert isinstance(pdf, bytes)
    texts = [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]
    return sum(bool(re.search(r"pattern page \d+ of", text)) for text in texts)


@pytest.mark.parametrize("paper", ["letter", "a4", "a3"])
def test_what_is_said_is_what_is_printed(paper: str) -> None:
    """The sheets of the leg that is asked for, and of both."""
    one, both = (_printed(Options(leg, paper)) for leg in ("narrowed", "both"))  # type: ignore[arg-type]
    first, second, third = count_lines(PATTERN, Options("narrowed", paper))
    assert first == f"The narrowed leg takes {one} sheets of {paper.capitalize()}."
    assert second == f"Both legs take {both}."
    assert third.startswith("Of a 36\N{NO-BREAK SPACE}in roll the narrowed leg takes ")
    first, second, _ = count_lines(PATTERN, Options("both", paper))
    assert first == f"Both legs take {both} sheets of {paper.capitalize()}."
    assert second == f"The narrowed leg takes {one}."


@pytest.mark.parametrize("leg", LEGS)
def test_a_roll_is_said_in_its_length(leg: str) -> None:
    """In whole inches, no shorter than the page is and less than one longer."""
    options = Options(leg, "roll:36in", fronts=False)  # type: ignore[arg-type]  # one of the legs
    said, *_ = count_lines(PATTERN, options)
    pdf = render(PATTERN, "pdf", options)
    assert isinstance(pdf, bytes)
    tall = float(PdfReader(BytesIO(pdf)).pages[0].mediabox.height) / 72
    match = re.search(r"takes? (\d+) in of a 36.in roll", said)
    assert match
    assert 0 <= int(match[1]) - tall < 1
