"""The worked story: every command of it runs, and prints what the page says."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from types import ModuleType

import pytest
from scripts import EXAMPLES, script

from legtaper.files.store import load

STORY = EXAMPLES / "story"


@pytest.fixture(scope="module")
def tell() -> ModuleType:
    """Return the script beside the story."""
    return script("story/tell.py")


def test_the_story_is_what_its_commands_print_and_write(tell: ModuleType, tmp_path: Path) -> None:
    """From the block to the third muslin; `cmp` in it says that the files shown are those made."""
    for file in STORY.glob("*.toml"):
        shutil.copy(file, tmp_path)
    story = (STORY / "story.md").read_text(encoding="utf-8")
    assert tell.told(story, tmp_path) == story
    for sheet in tell.SHEETS:
        assert (tmp_path / sheet).read_bytes() == (STORY / sheet).read_bytes()


def test_a_story_that_has_changed_is_noticed(tell: ModuleType, tmp_path: Path) -> None:
    """A test that can fail: another output, and a file that is not what was made."""
    shutil.copy(STORY / "1-block.toml", tmp_path / "a.toml")
    shutil.copy(STORY / "5-done.toml", tmp_path / "b.toml")
    block = "```console\n$ legtaper round a.toml\nNow: all is sewn.\n$ cmp a.toml b.toml\n```\n"
    now = tell.told(block, tmp_path)
    assert "Now: no design yet." in now
    assert "all is sewn" not in now
    assert re.search(r"a\.toml b\.toml (differ|are different)", now)


def test_every_file_of_the_story_is_a_project_and_stands_on_the_page() -> None:
    """Stages in order, each linked where it is told of."""
    story = (STORY / "story.md").read_text(encoding="utf-8")
    stages = sorted(STORY.glob("*.toml"))
    assert [file.name[0] for file in stages] == list("12345")
    for file in stages:
        assert "invented example" in load(file).name
        assert f"]({file.name})" in story or f"cmp library.toml {file.name}" in story
    assert [len(load(file).rounds) for file in stages] == [0, 0, 1, 2, 3]
