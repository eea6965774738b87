from __future__ import annotations

from io import BytesIO

import pytest
from pypdf import PdfReader

from legtaper.outputs.drawing import Drawing
from legtaper.outputs.front_sheet import Sheet
from legtaper.outputs.papers import paper
from legtaper.outputs.pdf import render
from legtaper.outputs.pdf_lines import POINTS
from legtaper.outputs.tiles import tile

# ISO 216:2007, table 1: mm. Letter is 8.5 by 11 in (ANSI/ASME Y14.1, size A), 25.4 mm to the inch.
PUBLISHED = {
    "a4": (210.0, 297.0),
    "a3": (297.0, 420.0),
    "a0": (841.0, 1189.0),
    "letter": (8.5 * 25.4, 11 * 25.4),
}


@pytest.mark.parametrize("name", PUBLISHED)
def test_papers_have_their_published_size(name: str) -> None:
    """Width and height are those of the standard, upright."""
    found = paper(name)
    assert (found.width, found.height) == pytest.approx(PUBLISHED[name], abs=1e-9)


def test_a_point_is_a_72nd_of_an_inch() -> None:
    """PDF's default user space unit is 1/72 in: ISO 32000-1, 8.3.2."""
    assert pytest.approx(72, abs=1e-12) == POINTS * 25.4


@pytest.mark.parametrize("name", [*PUBLISHED, "roll:36in"])
def test_pages_have_the_size_of_their_paper(two_panels: Drawing, sheet: Sheet, name: str) -> None:
    """Every pattern page is its paper to 0.01 mm, read back by pypdf."""
    used = tile(two_panels, paper(name))
    pages = PdfReader(BytesIO(render(two_panels, paper(name), sheet))).pages
    assert len(pages) > len(used.tiles)
    for page in pages[-len(used.tiles) :]:
        size = float(page.mediabox.width) / 72 * 25.4, float(page.mediabox.height) / 72 * 25.4
        assert size == pytest.approx((used.paper.width, used.paper.height), abs=0.01)
        assert page.rotation == 0
        assert page.user_unit == 1


@pytest.mark.parametrize(
    ("name", "front"), [("letter", "letter"), ("a3", "a3"), ("a0", "a4"), ("roll:91cm", "a4")]
)
def test_the_sheet_in_front_is_on_paper_that_is_at_hand(
    two_panels: Drawing, sheet: Sheet, name: str, front: str
) -> None:
    """Taped patterns have it on their own paper, large pages on A4; always upright."""
    first = PdfReader(BytesIO(render(two_panels, paper(name), sheet))).pages[0].mediabox
    size = float(first.width) / 72 * 25.4, float(first.height) / 72 * 25.4
    assert size == pytest.approx(PUBLISHED[front], abs=0.01)
