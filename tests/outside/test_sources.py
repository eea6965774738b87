"""The sources that the README names and those that the program names are the same ones."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
NAMED = README.split("## Where the figures come from")[1].split("\n## ")[0]
CODE = "\n".join(
    path.read_text(encoding="utf-8")
    for folder in ("core/legtaper", "wizard/legtaper_wizard")
    for path in sorted((ROOT / folder).rglob("*.py"))
)
SOURCES = (
    "EC73-455", "C-209", "Utah State", "NATICK/TR-15/007", "UM-HSRI-77-17", "Heinz", "Hertzer",
    "Cone Mills", "Wai, Thompson, Kimber", "AASHTO", "Fritsch", "D6673", "ISO 32000-1", "ISO 216",
    "Y14.1", "Golub and Welsch", "Holladay",
)  # fmt: skip


def _plain(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("source", SOURCES)
def test_a_source_is_named_in_the_readme_and_in_the_code(source: str) -> None:
    """Each is in the README's list and beside the figure that was taken from it."""
    assert source in _plain(NAMED)
    assert source in _plain(CODE)


def test_the_readme_names_no_other_source() -> None:
    """No year of a publication and no standard but those of the sources above."""
    years = set(re.findall(r"\b(?:18|19|20)\d\d\b", _plain(NAMED)))
    assert years == {"1973", "2014", "1977", "2003", "1892", "2016", "1984", "1969", "1957"}
    standards = set(re.findall(r"(?:ASTM|ISO|ASME) [\w.-]+\w", _plain(NAMED)))
    assert standards == {"ASTM D6673", "ISO 32000-1", "ISO 216", "ASME Y14.1"}


@pytest.mark.parametrize("pattern", [r"ASTM ([A-Z]\d+)", r"(ISO \d+)", r"\(((?:18|19|20)\d\d)\)"])
def test_what_the_code_names_is_in_the_readme(pattern: str) -> None:
    """Every standard, and every year of a publication in brackets, is in the README's list."""
    found = set(re.findall(pattern, _plain(CODE)))
    assert found
    assert [name for name in sorted(found) if name not in _plain(NAMED)] == []
