"""What the wizard's test modules share."""

from __future__ import annotations

from pathlib import Path

import pytest

from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.settings import work_beside


@pytest.fixture(autouse=True)
def no_project_yet() -> None:
    """Let no test have the settings beside the project of another one."""
    work_beside(None)


@pytest.fixture
def new_account(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a test be a new account that stands in a folder of its own."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """Return the courier example as a file of its own."""
    path = tmp_path / "mine.toml"
    path.write_text(example_text("courier"), encoding="utf-8")
    return path
