"""The page of JSON fields names every field that a command prints."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from legtaper.model.levels import LEVELS
from legtaper.model.project import EDGES
from legtaper_wizard.cli.main import main

EXAMPLES = Path(__file__).parents[2] / "examples"
PROJECT = EXAMPLES / "story" / "5-done.toml"
CALLS = {
    "check": ("check", PROJECT, "--json"),
    "check of many": ("check", PROJECT, EXAMPLES / "courier.toml", "--json"),
    "marks": ("marks", PROJECT, "--json"),
    "limits": ("limits", PROJECT, "--json"),
    "compare": ("compare", PROJECT, "--json"),
    "round": ("round", PROJECT, "--json"),
    "mend": ("mend", EXAMPLES / "courier.toml", "--json"),
    "outlines": ("outlines", EXAMPLES / "outline.dxf", "--json"),
}
FREE = {
    "edges",
    "take_in",
    "ease",
    "circumference_after_rounding",
    "circumference_after_coming_in",
    "set",
}
"""Objects whose keys are names: of levels, edges, or keys of a design."""


def fields(value: Any) -> Iterator[str]:
    """Return every key of an object and of what it holds."""
    if isinstance(value, list):
        for one in value:
            yield from fields(one)
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield key
            if key not in FREE:
                yield from fields(inner)


@pytest.mark.parametrize("name", CALLS)
def test_the_page_names_every_field(name: str) -> None:
    """A field that is added to a command has to be added to the page."""
    page = (EXAMPLES / "json.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`([a-z_]+)`|\"([a-z_]+)\"", page))
    known = {one for pair in named for one in pair if one} | set(EDGES) | set(LEVELS)
    result = CliRunner().invoke(main, [str(one) for one in CALLS[name]])
    assert result.exit_code in (0, 1), result.output
    assert set(fields(json.loads(result.stdout))) - known == set()
