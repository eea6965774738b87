"""The pictures of the README are of this program as it is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from scripts import script

ROOT = Path(__file__).parents[2]


@pytest.mark.usefixtures("new_account")
def test_the_picture_of_the_wizard_is_up_to_date() -> None:
    """Made again it is the same; `python examples/make_pictures.py` renews it."""
    made = script("make_pictures.py").wizard()
    assert made == (ROOT / "examples/pictures/wizard.svg").read_text(encoding="utf-8")
    assert "url(" not in re.sub(r"url\(#[\w-]+\)", "", made)  # nothing is loaded from elsewhere


def test_the_picture_of_other_legs_is_up_to_date() -> None:
    """Made again it is the same, and holds two lines for each of six panels and two creases."""
    made = script("make_pictures.py").legs()
    assert made == (ROOT / "examples/pictures/legs.svg").read_text(encoding="utf-8")
    assert (made.count("<polyline"), made.count("dasharray")) == (14, 8)


def test_every_file_that_the_pages_link_to_is_there() -> None:
    """README, DEVELOPERS and the pages of the examples lead nowhere that is not."""
    pages = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "examples").rglob("*.md")]
    for page in pages:
        links = re.findall(r"\]\(([^)#]+)\)|src=\"([^\"]+)\"", page.read_text(encoding="utf-8"))
        for link in (first or second for first, second in links):
            assert (page.parent / link).exists(), f"{page.name}: {link}"
