"""The whole job on a real terminal, by keyboard alone, from no project to a printed pattern."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from pty_terminal import PtyTerminal
from pypdf import PdfReader

from legtaper.pattern import build
from legtaper.store import load

LEGTAPER = Path(sys.executable).with_name("legtaper")
MOST_KEYS = 250

# The invented example of a courier; "" is Enter alone, which leaves out what is not measured.
WEARER = ("66", "33", "38.5", "40.5", "23.5", "15.25", "16.125", "14.25", "9", "12.625")
HEIGHTS = ("10.5", "17", "28.5", "29.5", "37.5", "")
FRONT_OUTSEAM = ("4.125", "", "4.625", "", "5.625", "5.875")
FRONT_INSEAM = ("4.125", "", "4.625", "", "6.75")
BACK_OUTSEAM = ("4.625", "", "5.125", "", "6.25", "6.625")
BACK_INSEAM = ("4.625", "", "5.125", "", "8.5")


class Sewist:
    """Types answers and goes from step to step, waiting for each as a person would."""

    def __init__(self, terminal: PtyTerminal) -> None:
        self.terminal = terminal

    def answer(self, *texts: str) -> None:
        """Type answers, each taken by Enter."""
        for text in texts:
            self.terminal.type(text)
            self.terminal.press("enter")
        self.terminal.settle()

    def go_on(self, step: int, title: str) -> None:
        """Go to the next step, which has this number and title."""
        self.terminal.press("pagedown")
        self.terminal.wait_for(f"Step {step} of 10: {title}")


def _answer_everything(sewist: Sewist) -> None:
    terminal = sewist.terminal
    terminal.wait_for("New project")
    sewist.answer("Courier", "", "", "")
    terminal.wait_for("Step 2 of 10: Wearer and cloth")
    sewist.answer(*WEARER)
    sewist.go_on(3, "Block")
    sewist.answer("", *HEIGHTS, *FRONT_OUTSEAM, *FRONT_INSEAM, *BACK_OUTSEAM, *BACK_INSEAM)
    terminal.wait_for("The block is complete")
    sewist.go_on(4, "Test of the block")
    terminal.press("right")
    sewist.answer("")
    terminal.wait_for("hangs clean.")
    sewist.go_on(5, "Legs you like")
    sewist.answer("cords", "", "", "7.5", "", "9.25")
    terminal.wait_for("18 1/2 in round")
    sewist.go_on(6, "How narrow")
    sewist.answer("5/8")
    sewist.go_on(7, "How high it blends")
    terminal.press("left", "right")
    sewist.answer("", "")
    sewist.go_on(8, "Does the foot pass")
    terminal.wait_for("No slit is needed")
    sewist.go_on(9, "Hem")
    sewist.answer("", "")
    sewist.go_on(10, "Pattern")


def test_the_whole_job_by_keyboard(tmp_path: Path) -> None:
    """From an empty project to a PDF, on 80 by 24, in fewer than 250 keys."""
    environ = {"PATH": os.environ["PATH"], "TERM": "xterm-256color", "LANG": "C.UTF-8"}
    environ |= {"HOME": str(tmp_path)}
    with PtyTerminal([LEGTAPER], environ, folder=tmp_path) as terminal:
        _answer_everything(Sewist(terminal))
        terminal.press("f9")
        terminal.wait_for("Write the pattern files")
        terminal.press(*["enter"] * 6)
        terminal.wait_for("Enter close", patience=60)
        keys = terminal.keys_in
        terminal.press("enter", "f10")
        assert terminal.wait_exit() == 0

    project = load(tmp_path / "courier.toml")
    pattern = build(project)
    assert float(pattern.fit.taper.circumference(0.0)) == pytest.approx(15 * 25.4)
    assert project.block_test is not None
    assert project.block_test.verdict == "hangs clean"
    assert not pattern.fit.failed
    pages = PdfReader(tmp_path / "courier-first-taper.pdf").pages
    assert len(pages) > 4
    for kind in ("svg", "dxf"):
        assert (tmp_path / f"courier-first-taper.{kind}").stat().st_size > 1000
    assert keys < MOST_KEYS
