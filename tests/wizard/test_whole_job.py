"""The whole job on a real terminal, by keyboard alone, from no project to a printed pattern."""

from __future__ import annotations

import os
import sys
import termios
from pathlib import Path

import pytest
from pty_terminal import KEYS, PtyTerminal
from pypdf import PdfReader

from legtaper.files.store import load
from legtaper.pattern import build

LEGTAPER = Path(sys.executable).with_name("legtaper")
MOST_KEYS = 250

# The invented example of a courier; "" is Enter alone, which leaves out what is not measured.
WEARER = ("66", "33", "38.5", "40.5", "23.5", "15.25", "16.125", "14.25", "9", "12.625")
WORN = ("height", "waist", "high_hip", "hip", "thigh", "knee", "knee_bent", "calf", "ankle",
        "foot_entry")  # fmt: skip
# Row by row from the hem up: the height, then outseam and inseam of front and back.
BLOCK = (
    "4.125", "4.125", "4.625", "4.625",
    "10.5", "", "", "", "",
    "17", "4.625", "4.625", "5.125", "5.125",
    "28.5", "", "", "", "",
    "29.5", "5.625", "6.75", "6.25", "8.5",
    "37.5", "5.875", "6.625",
    "",
)  # fmt: skip


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

    def answer_below(self, text: str) -> None:
        """Type an answer, and go down with it."""
        self.terminal.type(text)
        self.terminal.press("down")

    def press(self, *names: str) -> None:
        """Press keys by name."""
        self.terminal.press(*names)

    def see(self, text: str) -> None:
        """Wait until a text is on the screen."""
        self.terminal.wait_for(text)

    def go_on(self, step: int, title: str) -> None:
        """Go to the next step, which has this number and title."""
        self.press("pagedown")
        self.see(f"Step {step} of 11: {title}")


class TypesAhead(Sewist):
    """Types everything blindly; what was typed waits in `keys`."""

    def __init__(self) -> None:
        self.keys = ""

    def answer(self, *texts: str) -> None:
        """Type answers, each taken by Enter."""
        self.keys += "".join(f"{text}{KEYS['enter']}" for text in texts)

    def answer_below(self, text: str) -> None:
        """Type an answer, and go down with it."""
        self.keys += f"{text}{KEYS['down']}"

    def press(self, *names: str) -> None:
        """Press keys by name."""
        self.keys += "".join(KEYS[name] for name in names)

    def see(self, text: str) -> None:
        """Look at nothing."""


def _answer_everything(sewist: Sewist) -> None:
    sewist.see("New project")
    sewist.answer("Courier", "", "", "")
    sewist.see("Step 2 of 11: Wearer and fabric")
    sewist.answer(*WEARER)
    sewist.go_on(3, "Block")
    sewist.answer("", *BLOCK)
    sewist.see("Above the knee the back inseam is 5/16 in longer")
    sewist.go_on(4, "Test of the block")
    sewist.press("right")
    sewist.answer("")
    sewist.see("hangs clean.")
    sewist.go_on(5, "Legs you like")
    sewist.answer("cords", "", "")
    for width in ("7.5", "", "9.25"):  # the whole leg alone, down its column
        sewist.answer_below(width)
    sewist.see("18 1/2 in around")
    sewist.go_on(6, "How narrow")
    sewist.answer("")
    sewist.answer("5/8")
    sewist.go_on(7, "How high it blends")
    sewist.press("left", "right")
    sewist.answer("", "")
    sewist.go_on(8, "Does the foot pass")
    sewist.see("No slit is needed")
    sewist.go_on(9, "Hem")
    sewist.answer("", "")
    sewist.go_on(10, "Pattern")


def _environ(home: Path) -> dict[str, str]:
    environ = {"PATH": os.environ["PATH"], "TERM": "xterm-256color", "LANG": "C.UTF-8"}
    return environ | {"HOME": str(home)}


def _check(file: Path) -> None:
    """Check that every answer is where it was given: by the numbers that come of them all."""
    project = load(file)
    pattern = build(project)
    block, taper = pattern.fit.block, pattern.fit.taper
    rounds = [float(block.circumference(y)) / 25.4 for y in (0.0, 17 * 25.4, 29.5 * 25.4)]
    assert rounds == pytest.approx([17.5, 19.5, 27.125])
    assert float(taper.circumference(0.0)) == pytest.approx(15 * 25.4)
    assert project.block_test is not None
    assert project.block_test.verdict == "hangs clean"
    said = [getattr(project.wearer, name) for name in WORN]
    assert [length.text for length in said] == [f"{text} in" for text in WEARER]
    assert [length.text for length in project.liked[0].width.values()] == ["7.5 in", "9.25 in"]
    assert not pattern.fit.failed


def test_the_whole_job_by_keyboard(tmp_path: Path) -> None:
    """From an empty project to a PDF, on 80 by 24, in fewer than 250 keys."""
    with PtyTerminal([LEGTAPER], _environ(tmp_path), folder=tmp_path) as terminal:
        _answer_everything(Sewist(terminal))
        terminal.press("f9")
        terminal.wait_for("Write the pattern files")
        terminal.press("1", *["enter"] * 6)
        terminal.wait_for("Enter close", patience=60)
        keys = terminal.keys_in
        terminal.press("enter", "f10")
        assert terminal.wait_exit() == 0

    pages = PdfReader(tmp_path / "courier-first-taper-test.pdf").pages
    assert len(pages) > 4
    for kind in ("svg", "dxf"):
        assert (tmp_path / f"courier-first-taper-test.{kind}").stat().st_size > 1000
    _check(tmp_path / "courier.toml")
    assert keys < MOST_KEYS


def test_the_whole_job_typed_ahead(tmp_path: Path) -> None:
    """Sent all at once, as a line that stalled lets go, every key still goes where it belongs."""
    blind = TypesAhead()
    _answer_everything(blind)
    with PtyTerminal([LEGTAPER], _environ(tmp_path), folder=tmp_path) as terminal:
        while terminal.modes & termios.ICANON:  # until the app listens to keys
            terminal.pump(0.01)
        terminal.send(blind.keys)
        terminal.wait_for("Step 10 of 11: Pattern")
        terminal.settle()
        _check(tmp_path / "courier.toml")
