"""How much paper is said to be taken, against what is then printed."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO

import pytest
import sample
from pypdf import PdfReader

from legtaper.outputs.formats import LEGS, Options, render
from legtaper.outputs.sheet_count import count_lines
from legtaper.pattern import cut

PATTERN = cut(sample.fitted())


def _printed(options: Options) -> tuple[int, int]:
    """Return how many pages of the pattern are in the PDF itself, and how many stand in front."""
    pdf = render(PATTERN, "pdf", options)
    assert isinstance(pdf, bytes)
    texts = [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]
    count = sum(bool(re.search(r"pattern page \d+ of", text)) for text in texts)
    return count, len(texts) - count


@pytest.mark.parametrize("paper", ["letter", "a4", "a3"])
def test_what_is_said_is_what_is_printed(paper: str) -> None:
    """The sheets of the leg that is asked for, and of both."""
    alone, muslin = Options("narrowed", paper), Options("both", paper)
    (one, before), (both, before_both) = (_printed(options) for options in (alone, muslin))
    named = paper.capitalize()
    first, second, third = count_lines(PATTERN, alone)
    assert first == f"The narrowed leg takes {one} sheets of {named}, and {before} more to read."
    assert second == f"Both legs take {both}."
    assert third.startswith("Of a 36\N{NO-BREAK SPACE}in roll the narrowed leg takes ")
    first, second, _ = count_lines(PATTERN, muslin)
    assert first == f"Both legs take {both} sheets of {named}, and {before_both} more to read."
    assert second == f"The narrowed leg takes {one}."
    first, *_ = count_lines(PATTERN, replace(alone, fronts=False))
    assert first == f"The narrowed leg takes {one} sheets of {named}."


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
