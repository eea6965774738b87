"""What the wizard's test modules share."""

from __future__ import annotations

from pathlib import Path

import pytest

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
