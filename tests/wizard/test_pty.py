"""The wizard as a process on a real terminal: what a Pilot cannot see."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from functools import partial
from pathlib import Path

import pytest
from pty_terminal import PATIENCE, PtyTerminal, is_running

from legtaper.files.store import Store, load

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="reads processes as Linux shows them"
)

EXAMPLE = Path(__file__).parents[2] / "examples" / "courier.toml"
LEGTAPER = Path(sys.executable).with_name("legtaper")
READY = "F10 quit"
ALLOWANCE = "3/4 in"  # an answer for the step at which the example stands
LEFT_SCREEN, SHOWED_CURSOR = b"\x1b[?1049l", b"\x1b[?25h"

Open = Callable[..., PtyTerminal]


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """Return a copy of the example, in a folder of its own."""
    file = tmp_path / "work" / "courier.toml"
    file.parent.mkdir()
    shutil.copy(EXAMPLE, file)
    return file


@pytest.fixture
def environ(tmp_path: Path) -> dict[str, str]:
    """Return the surroundings of a common terminal and a new account."""
    return {
        "PATH": os.environ["PATH"],
        "TERM": "xterm-256color",
        "LANG": "C.UTF-8",
        "HOME": str(tmp_path),
    }


@pytest.fixture
def opened(project: Path, environ: dict[str, str]) -> Open:
    """Return what opens the project in a terminal; keywords are those of `PtyTerminal`."""

    def open_it(more: Mapping[str, str] | None = None, **how: object) -> PtyTerminal:
        argv = [LEGTAPER, "open", project]
        return PtyTerminal(argv, environ | dict(more or {}), **how)  # type: ignore[arg-type]

    return open_it


def is_free(project: Path) -> bool:
    """Whether the project can be had for writing."""
    store = Store.open(project, for_writing=True)
    store.close()
    return store.held_by is None


def wait_until(true: Callable[[], bool], patience: float = PATIENCE) -> None:
    """Wait until something is so; fail where it does not become so."""
    until = time.monotonic() + patience
    while not true():
        assert time.monotonic() < until, f"never came true: {true}"
        time.sleep(0.02)


def said_allowance(project: Path) -> str:
    """Return the seam allowance that is on disk, as it was typed."""
    seam = load(project).allowance.seam
    return seam.text if seam else ""


def fill(terminal: PtyTerminal) -> None:
    """Let the app draw far more than a terminal holds that nobody reads."""
    for _ in range(60):
        terminal.press("ctrl+l")


# --- signals -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "number", [*(signal.SIGHUP, signal.SIGTERM, signal.SIGINT), *(signal.SIGQUIT, signal.SIGUSR1)]
)
def test_a_signal_ends_it_with_the_terminal_released(
    opened: Open, project: Path, number: signal.Signals
) -> None:
    """A signal to end does so at once; the terminal, the lock and the last answer are safe."""
    with opened() as terminal:
        terminal.wait_for(READY)
        before = terminal.modes & termios.ICANON
        terminal.type(ALLOWANCE)
        terminal.press("enter")
        terminal.wait_for("Saved ")
        wait_until(lambda: said_allowance(project) == ALLOWANCE)
        terminal.settle()
        terminal.process.send_signal(number)
        assert terminal.wait_exit() == -number
        assert not before
        assert terminal.modes & termios.ICANON
        assert terminal.modes & termios.ECHO
        assert LEFT_SCREEN in terminal.last_bytes
        assert SHOWED_CURSOR in terminal.last_bytes
    assert said_allowance(project) == ALLOWANCE
    assert is_free(project)


@pytest.mark.parametrize(
    "how",
    [{}, {"ignoring": [signal.SIGHUP]}, {"controlling": False}],
    ids=["login", "nohup", "no signal sent"],
)
def test_a_lost_terminal_ends_it(opened: Open, project: Path, how: Mapping[str, object]) -> None:
    """When the terminal is gone it ends, also where hang-ups were ignored or none is sent."""
    with opened(**how) as terminal:
        terminal.wait_for(READY)
        terminal.settle()
        terminal.hang_up()
        assert terminal.wait_exit(patience=5) == -signal.SIGHUP
    assert is_free(project)


def test_an_answer_is_saved_while_the_link_stalls(opened: Open, project: Path) -> None:
    """With nobody reading, an accepted answer is on disk; then a hang-up ends it."""
    with opened() as terminal:
        terminal.wait_for(READY)
        terminal.settle()
        terminal.press(*["ctrl+l"] * 4)  # more than the terminal holds; from here nobody reads
        terminal.type(ALLOWANCE)
        terminal.press("enter")
        wait_until(lambda: said_allowance(project) == ALLOWANCE)
        fill(terminal)
        time.sleep(0.5)
        used = terminal.process_seconds()
        time.sleep(0.5)
        assert terminal.process_seconds() - used < 0.25
        terminal.hang_up()
        assert terminal.wait_exit(patience=5, reading=False) == -signal.SIGHUP
    assert is_free(project)


def test_sigterm_ends_it_while_the_link_stalls(opened: Open, project: Path) -> None:
    """A request to end is heard while the app waits for an output that takes nothing."""
    with opened() as terminal:
        terminal.wait_for(READY)
        terminal.settle()
        fill(terminal)
        time.sleep(0.5)
        terminal.process.send_signal(signal.SIGTERM)
        assert terminal.wait_exit(patience=5, reading=False) == -signal.SIGTERM
        assert terminal.modes & termios.ICANON
    assert is_free(project)


# --- stop and go on ----------------------------------------------------------------------------


def _in_a_shell(project: Path, environ: Mapping[str, str]) -> PtyTerminal:
    """Open the project from an interactive shell, which says the number of its process first."""
    shell = shutil.which("bash") or "sh"
    terminal = PtyTerminal([shell, "-i"], dict(environ) | {"PS1": "ready> ", "ENV": ""})
    terminal.wait_for("ready>", "$", "#")
    terminal.type(f"sh -c 'echo $$ > {project.parent}/pid; exec {LEGTAPER} open {project}'\r")
    terminal.wait_for(READY)
    terminal.settle()
    return terminal


def _pid(project: Path) -> int:
    return int((project.parent / "pid").read_text())


def test_ctrl_z_and_fg(project: Path, environ: dict[str, str]) -> None:
    """ctrl+z gives the shell its terminal back, and fg goes on with what was being typed."""
    with _in_a_shell(project, environ) as terminal:
        terminal.type("3/4")
        terminal.wait_for("3/4")
        terminal.press("ctrl+z")
        terminal.wait_for("Stopped")
        terminal.type("echo $((6*7))\r")
        terminal.wait_for("42")
        terminal.screen.reset()
        terminal.type("fg\r")
        terminal.wait_for(READY)
        terminal.type(" in")
        terminal.press("enter")
        wait_until(lambda: said_allowance(project) == ALLOWANCE)
        terminal.press("f10")
        wait_until(lambda: not is_running(_pid(project)))
        terminal.type("echo status $?\r")
        terminal.wait_for("status 0")


def test_a_hang_up_while_it_is_stopped(project: Path, environ: dict[str, str]) -> None:
    """Stopped by ctrl+z when the link drops, it ends and lets go of the project."""
    with _in_a_shell(project, environ) as terminal:
        terminal.press("ctrl+z")
        terminal.wait_for("Stopped")
        pid = _pid(project)
        assert is_running(pid)
        terminal.hang_up()
        wait_until(lambda: not is_running(pid), patience=5)
    assert is_free(project)


@pytest.mark.parametrize("stop", [False, True], ids=["only told to go on", "stopped from outside"])
def test_going_on_without_a_ctrl_z(opened: Open, stop: bool) -> None:
    """SIGCONT where it had not stopped by itself leaves it usable, and it still ends."""
    with opened() as terminal:
        terminal.wait_for(READY)
        terminal.settle()
        if stop:
            terminal.process.send_signal(signal.SIGSTOP)
        terminal.process.send_signal(signal.SIGCONT)
        terminal.settle()
        terminal.type("7/16")
        terminal.wait_for("7/16")
        terminal.press("f10")
        terminal.wait_for("Leave without it")
        terminal.press("2")
        assert terminal.wait_exit() == 0
        assert terminal.modes & termios.ICANON


def test_leaving_says_how_to_go_on(opened: Open, project: Path) -> None:
    """Once the screen is gone, it says where the file is and which command opens it again."""
    with opened(size=(200, 24)) as terminal:
        terminal.wait_for(READY)
        terminal.press("f10")
        assert terminal.wait_exit() == 0
        assert f"Saved in {project}" in terminal.text
        assert f"Go on with: legtaper open {project}" in terminal.text


# --- the window and the terminal ---------------------------------------------------------------


def test_it_follows_the_window(opened: Open) -> None:
    """Wide, small and back: it draws what fits, says what is too small, and goes on."""
    with opened({"COLUMNS": "60", "LINES": "20"}) as terminal:
        terminal.wait_for(READY)
        terminal.resize(120, 40)
        terminal.wait_for("Ctrl-P all commands", READY)
        terminal.settle()
        assert max(map(len, terminal.text.splitlines())) > 100
        terminal.resize(50, 12)
        terminal.wait_for("80")
        terminal.settle()
        terminal.resize(80, 24)
        terminal.wait_for(READY)
        terminal.type("7/16")
        terminal.wait_for("7/16")


def test_ascii_only_in_an_ascii_locale(opened: Open) -> None:
    """Where the locale is ASCII nothing else is sent, lines and outline too."""
    with opened({"LC_ALL": "C"}, size=(120, 40)) as terminal:
        terminal.wait_for(READY)
        terminal.settle()
        assert terminal.last_bytes.isascii()
        assert "----" in terminal.text


def test_no_color_is_kept(opened: Open) -> None:
    """With NO_COLOR nothing is colored; bold and reverse remain."""
    with opened({"NO_COLOR": "1"}) as terminal:
        terminal.wait_for(READY)
        terminal.settle()
        styles = re.findall(rb"\x1b\[([\d;]*)m", terminal.last_bytes)
        assert styles
        used = {int(code) for style in styles for code in style.split(b";") if code}
        assert not used & {*range(30, 39), *range(40, 49), *range(90, 98), *range(100, 108)}


def test_a_dumb_terminal_goes_line_by_line(opened: Open) -> None:
    """TERM=dumb gets the prompts, without one escape sequence."""
    with opened({"TERM": "dumb"}) as terminal:
        terminal.wait_for("Seam allowance [")
        terminal.settle()
        terminal.type("quit\n")
        assert terminal.wait_exit() == 0
        assert b"\x1b" not in terminal.last_bytes


def test_nothing_is_sent_while_nothing_happens(opened: Open) -> None:
    """Idle, it sends nothing over the link."""
    with opened(size=(120, 40)) as terminal:
        terminal.wait_for(READY)
        terminal.settle(0.6)
        before = terminal.bytes_out
        assert not terminal.pump(1.5)
        assert terminal.bytes_out == before


def test_keys_that_arrive_together_go_where_they_were_typed(
    environ: dict[str, str], tmp_path: Path
) -> None:
    """A line that lags bundles keys; each still goes to the question that it was typed for."""
    with PtyTerminal([LEGTAPER], environ, folder=tmp_path) as terminal:
        while terminal.modes & termios.ICANON:
            terminal.pump(0.01)
        terminal.send("Cargo" + 4 * "\r" + "66\r33\r\r40 1/2\r")
        terminal.wait_for("40 1/2 in")
        terminal.settle()
        found = load(tmp_path / "cargo.toml").wearer
        said = [length and length.text for length in (found.height, found.waist, found.hip)]
        assert said == ["66 in", "33 in", "40 1/2 in"]
        assert found.high_hip is None


def test_what_is_typed_at_once_after_esc_is_whole(opened: Open, project: Path) -> None:
    """Esc drops what was typed, and the answer that comes with it keeps its first figure."""
    with opened() as terminal:
        terminal.wait_for(READY)
        terminal.type("9")
        terminal.settle()
        terminal.send(b"\x1b14")
        terminal.wait_for("[14 ")
        terminal.send(b"\x1b1/2 in\r")
        wait_until(lambda: said_allowance(project) == "1/2 in")


# --- two at once -------------------------------------------------------------------------------


def test_the_second_opening_only_looks(opened: Open, project: Path) -> None:
    """The second is told who has the project and changes nothing; the first goes on."""
    with ExitStack() as stack:
        first = stack.enter_context(opened())
        first.wait_for(READY)
        second = stack.enter_context(opened())
        second.wait_for(READY)
        second.wait_for(f"process {first.process.pid}")  # before anything is tried
        second.type(ALLOWANCE)
        second.press("enter")
        second.settle()
        assert said_allowance(project) != ALLOWANCE
        first.type(ALLOWANCE)
        first.press("enter")
        wait_until(lambda: said_allowance(project) == ALLOWANCE)
        for terminal in (second, first):
            terminal.press("f10")
            assert terminal.wait_exit() == 0
    assert is_free(project)


# --- the end -----------------------------------------------------------------------------------


def _status(
    *arguments: object, environ: Mapping[str, str], typed: str = ""
) -> tuple[int, str, str]:
    run = partial(subprocess.run, capture_output=True, text=True, timeout=PATIENCE, check=False)
    done = run([str(LEGTAPER), *map(str, arguments)], env=dict(environ), input=typed)
    return done.returncode, done.stdout, done.stderr


def test_exit_statuses_without_a_terminal(project: Path, environ: dict[str, str]) -> None:
    """0 for an end, 2 in one line for a file that is missing, broken or no file."""
    assert _status("open", project, environ=environ, typed="quit\n")[0] == 0
    assert _status(environ=environ)[0] == 0
    broken = project.with_name("broken.toml")
    broken.write_text("format = 1\n[block\n")
    for wrong in (project.with_name("none.toml"), broken, project.parent):
        status, _, says = _status("open", wrong, environ=environ)
        assert (status, says.count("\n")) == (2, 1), says
        assert "Traceback" not in says


def test_a_fault_is_one_line_and_a_log(project: Path, environ: dict[str, str]) -> None:
    """A fault in the app gives the terminal back, ends with 70 and says where the details are."""
    spoiled = (
        "import sys; from legtaper_wizard.cli import main as cli\n"
        "from legtaper_wizard.flow import session\n"
        "def answer(self, key, text): raise ZeroDivisionError('made for this test')\n"
        "session.Session.answer = answer\n"
        f"sys.argv = ['legtaper', 'open', {str(project)!r}]; cli.main()"
    )
    with PtyTerminal([sys.executable, "-c", spoiled], environ, size=(200, 24)) as terminal:
        terminal.wait_for(READY)
        terminal.type(ALLOWANCE)
        terminal.press("enter")
        assert terminal.wait_exit() == 70
        after = terminal.last_bytes.rpartition(LEFT_SCREEN)[2]
        assert after.count(b"\n") == 1
        assert b"ZeroDivisionError" in after
        assert b"project is safe" in after
        assert b"Traceback" not in after
        assert terminal.modes & termios.ICANON
    logs = list(project.parents[1].rglob("fault.log"))
    assert len(logs) == 1
    assert "made for this test" in logs[0].read_text()
    assert is_free(project)


def test_noise_on_the_line_ends_nothing(project: Path, opened: Open) -> None:
    """Bytes that are no letters and a key that no keyboard has are dropped; an answer goes on."""
    with opened() as terminal:
        terminal.wait_for(READY)
        terminal.send(b"\xe9\xff\x1b[99999999999u\x1b[M\xff\xff\xff")
        terminal.settle(0.6)
        terminal.press("ctrl+u")
        terminal.type(ALLOWANCE)
        terminal.press("enter")
        terminal.settle(0.5)
        terminal.press("f10")
        assert terminal.wait_exit() == 0
    assert load(project).allowance.seam is not None
    assert load(project).allowance.seam.text == ALLOWANCE


def test_a_fault_in_reading_keys_is_one_line_and_a_log(
    project: Path, environ: dict[str, str]
) -> None:
    """What breaks in the thread that reads the keys ends the app as every other fault does."""
    spoiled = (
        "import sys; from legtaper_wizard.cli import main as cli\n"
        "from legtaper_wizard.tui import keyboard\n"
        "def feed(self, data, now): raise ZeroDivisionError('made for this test')\n"
        "keyboard.Keyboard.feed = feed\n"
        f"sys.argv = ['legtaper', 'open', {str(project)!r}]; cli.main()"
    )
    with PtyTerminal([sys.executable, "-c", spoiled], environ, size=(200, 24)) as terminal:
        terminal.wait_for(READY)
        terminal.type("7")
        assert terminal.wait_exit() != 0
        after = terminal.last_bytes.rpartition(LEFT_SCREEN)[2]
        assert b"ZeroDivisionError" in after
        assert b"Traceback" not in after
        assert terminal.modes & termios.ICANON
    assert is_free(project)
