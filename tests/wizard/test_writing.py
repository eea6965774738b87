"""Writing pattern files: the same project gives the same bytes on a day that is told."""

from __future__ import annotations

import pytest

from legtaper.files.project_file import read_project
from legtaper.pattern import build
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.writing import render_pattern

PATTERN = build(read_project(example_text("courier").encode()))


def test_the_day_on_a_sheet_can_be_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """SOURCE_DATE_EPOCH counts seconds since 1970 (reproducible-builds.org, version 1.1)."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    first = render_pattern(PATTERN, ".svg")
    assert b"1970-01-02" in first
    assert first == render_pattern(PATTERN, ".svg")


@pytest.mark.parametrize("spoilt", ["", "soon", "9" * 30, "-" + "9" * 30])
def test_a_day_that_is_none_is_passed_over(monkeypatch: pytest.MonkeyPatch, spoilt: str) -> None:
    """Then it is today, as without it."""
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    today = render_pattern(PATTERN, ".svg")
    monkeypatch.setenv("SOURCE_DATE_EPOCH", spoilt)
    assert render_pattern(PATTERN, ".svg") == today
