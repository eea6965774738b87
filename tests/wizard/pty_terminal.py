"""A terminal of our own: a real pty with a screen behind it, to drive a process by keys alone."""

from __future__ import annotations

import contextlib
import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import termios
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import TracebackType

import pyte

KEYS = {
    "enter": "\r",
    "tab": "\t",
    "backtab": "\x1b[Z",
    "escape": "\x1b",
    "space": " ",
    "backspace": "\x7f",
    "up": "\x1b[A",
    "down": "\x1b[B",
    "right": "\x1b[C",
    "left": "\x1b[D",
    "home": "\x1b[H",
    "end": "\x1b[F",
    "pageup": "\x1b[5~",
    "pagedown": "\x1b[6~",
    **{f"f{n}": f"\x1bO{letter}" for n, letter in enumerate("PQRS", 1)},
    **{f"f{n}": f"\x1b[{code}~" for n, code in enumerate((15, 17, 18, 19, 20, 21), 5)},
    **{f"ctrl+{letter}": chr(ord(letter) - 96) for letter in "abcdefghijklmnopqrstuvwxyz"},
}
"""What a terminal sends for each key that is not a letter."""

# Sequences that the screen behind the pty would print as text: keyboard protocols and queries.
_NOT_FOR_THE_SCREEN = re.compile(rb"\x1b\[(?:[<>=][0-9;]*[a-zA-Z]|\?[0-9;]*\$p)")
_CUT_SHORT = re.compile(rb"\x1b(?:\[[<>=?0-9;$]*)?$")
PATIENCE = 15.0  # s; far above what anything here takes, so that a slow machine does not fail


class PtyTerminal:
    """A process on a pty of its own. Nothing is read while nothing is waited for.

    `controlling` makes the pty the process's own terminal, as a login does; without it the kernel
    sends no signal when the pty is lost.
    """

    def __init__(
        self,
        argv: Sequence[str | Path],
        environ: Mapping[str, str],
        *,
        size: tuple[int, int] = (80, 24),
        controlling: bool = True,
        ignoring: Sequence[signal.Signals] = (),
        folder: Path | None = None,
    ) -> None:
        """Start the process in a folder, on a pty of `size` columns and rows.

        It begins with the signals `ignoring` ignored.
        """
        self._master, slave = os.openpty()
        self.screen = pyte.Screen(*size)
        self._stream = pyte.ByteStream(self.screen)
        self._held_back = b""
        self.bytes_out = 0
        self.last_bytes = b""
        self.last_read = 0.0  # by `time.perf_counter`
        self.keys_in = 0
        _set_size(slave, size)

        def take_terminal() -> None:
            for number in ignoring:
                signal.signal(number, signal.SIG_IGN)
            if controlling:
                fcntl.ioctl(slave, termios.TIOCSCTTY, 0)

        self.started = time.perf_counter()
        self.process = subprocess.Popen(
            [str(word) for word in argv],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=dict(environ),
            cwd=folder,
            start_new_session=True,
            preexec_fn=take_terminal,  # noqa: PLW1509  only the child can take a terminal
        )
        os.close(slave)

    def __enter__(self) -> PtyTerminal:
        """Return the terminal itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        """End what still runs."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()
        self.hang_up()

    # --- in ------------------------------------------------------------------------------------

    def press(self, *names: str) -> None:
        """Press keys by name, `KEYS` or a letter, one after the other; each counts as one."""
        for name in names:
            self.send(KEYS.get(name, name))
            self.keys_in += 1

    def type(self, text: str) -> None:
        """Type a text; each character counts as one key."""
        for letter in text:
            self.send(letter)
            self.keys_in += 1

    def send(self, sequence: str | bytes) -> None:
        """Send what arrives at once, be it one key, several, or bytes that are none."""
        os.write(self._master, sequence if isinstance(sequence, bytes) else sequence.encode())

    def resize(self, columns: int, rows: int) -> None:
        """Change the size of the window; the kernel tells the process."""
        _set_size(self._master, (columns, rows))
        self.screen.resize(rows, columns)

    def hang_up(self) -> None:
        """Lose the terminal, as when the link drops."""
        if self._master >= 0:
            os.close(self._master)
            self._master = -1

    # --- out -----------------------------------------------------------------------------------

    @property
    def text(self) -> str:
        """What is on the screen, line by line, without the blanks at the ends of the lines."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def pump(self, seconds: float) -> bool:
        """Read what arrives within a time; return whether anything did."""
        if not select.select([self._master], [], [], seconds)[0]:
            return False
        try:
            data = os.read(self._master, 65536)
        except OSError:  # EIO: the process has closed its end
            return False
        self.last_read = time.perf_counter()
        self.bytes_out += len(data)
        self.last_bytes = (self.last_bytes + data)[-65536:]
        data = _NOT_FOR_THE_SCREEN.sub(b"", self._held_back + data)
        cut = _CUT_SHORT.search(data)
        self._held_back = data[cut.start() :] if cut else b""
        self._stream.feed(data[: cut.start()] if cut else data)
        return bool(data)

    def wait_for(self, *texts: str, patience: float = PATIENCE) -> str:
        """Read until one of the texts is on the screen and return it; fail with the screen."""
        until = time.monotonic() + patience
        while time.monotonic() < until:
            found = next((text for text in texts if text in self.text), None)
            if found is not None:
                return found
            if not self.pump(0.05) and self.process.poll() is not None and not self.pump(0.05):
                break
        raise AssertionError(f"none of {texts} on the screen:\n{self.text}")

    def wait_gone(self, text: str, patience: float = PATIENCE) -> None:
        """Read until a text is no longer on the screen; fail with the screen."""
        until = time.monotonic() + patience
        while text in self.text:
            assert time.monotonic() < until, f"{text!r} still on the screen:\n{self.text}"
            self.pump(0.05)

    def settle(self, quiet: float = 0.15, patience: float = PATIENCE) -> None:
        """Read until nothing arrives for a while."""
        until = time.monotonic() + patience
        while time.monotonic() < until and self.pump(quiet):
            pass

    def wait_exit(self, patience: float = PATIENCE, *, reading: bool = True) -> int:
        """Return the exit status once the process has ended; fail if it does not end."""
        until = time.monotonic() + patience
        while self.process.poll() is None:
            if time.monotonic() > until:
                raise AssertionError(f"still running after {patience} s:\n{self.text}")
            if reading and self._master >= 0:
                self.pump(0.02)
            else:
                time.sleep(0.02)
        while reading and self._master >= 0 and self.pump(0.05):
            pass
        return self.process.returncode

    @property
    def modes(self) -> int:
        """The terminal's local flags, as `termios` counts them."""
        return termios.tcgetattr(self._master)[3]

    def process_seconds(self) -> float:
        """Return the processor time that the process has used."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def peak_memory(self) -> int:
        """Return the most memory that the process has had at once, in kB."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(re.search(r"VmHWM:\s+(\d+)", status)[1])  # type: ignore[index]


def is_running(pid: int) -> bool:
    """Whether a process is there and not merely waiting to be collected."""
    with contextlib.suppress(FileNotFoundError):
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    return False


def _set_size(terminal: int, size: tuple[int, int]) -> None:
    columns, rows = size
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
