"""A traced block on a real terminal of 80x24, by keys alone."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import pytest
from pty_terminal import PtyTerminal

from legtaper.files.store import load

LEGTAPER = Path(sys.executable).with_name("legtaper")
EXAMPLE = Path(__file__).parents[2] / "examples" / "outline.svg"

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="reads processes as Linux shows them"
)


@pytest.mark.parametrize("locale", ["C.UTF-8", "C"])
def test_a_traced_block_is_taken_and_saved(tmp_path: Path, locale: str) -> None:
    """From the form to the file on disk; in letters where the terminal has nothing else."""
    file = tmp_path / "trial.toml"
    file.write_text('format = 1\nname = "Trial"\nlength_unit = "cm"\n[wearer]\nhip = "104 cm"\n')
    shutil.copy(EXAMPLE, tmp_path)
    environ = {"PATH": os.environ["PATH"], "TERM": "xterm-256color", "HOME": str(tmp_path)}
    environ |= {"LANG": locale, "LC_ALL": locale}
    with PtyTerminal([LEGTAPER, "open", file], environ) as terminal:
        terminal.wait_for("Take the block from a drawing")
        terminal.press("backtab", "enter")
        terminal.wait_for("Read it")
        terminal.type("outline.svg")
        terminal.press("enter", "enter")
        terminal.wait_for("Which outline is which")
        terminal.press(*["down"] * 6, "enter")
        terminal.wait_for("Front: corners")
        terminal.press("right", "left", "enter")
        terminal.wait_for("Back: corners")
        terminal.press("enter")
        terminal.wait_for("Take this block?")
        terminal.press("enter")
        terminal.wait_for("The block is in.")
        assert load(file).block.outline["back"].lines
        terminal.press("f10")
        assert terminal.wait_exit() == 0
