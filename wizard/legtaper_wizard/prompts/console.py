"""Lines out and lines in, one after the other: no cursor is moved and no color is used."""

from __future__ import annotations

from typing import TextIO

from legtaper.model.safe_text import clean, to_ascii, wrapped

WIDTH = 78
LEAVES = ("back", "quit")
"""What leaves a dialogue inside the wizard."""


class RefusedError(Exception):
    """A line of a script was not taken, so none behind it is read. `line` counts from 1."""

    def __init__(self, line: int, problem: str) -> None:
        super().__init__(problem)
        self.line = line


def is_yes(typed: str) -> bool:
    """Whether a typed line says yes."""
    return typed.lower() in ("y", "yes")


def is_no(typed: str) -> bool:
    """Whether a typed line says no."""
    return typed.lower() in ("n", "no")


class Voice:
    """What the plain wizard speaks with. Text that came from a file is made safe to show."""

    def __init__(self, stdin: TextIO, stdout: TextIO, ascii_only: bool = False) -> None:
        self._in = stdin
        self._out = stdout
        self._ascii = ascii_only
        self._lines = 0

    @property
    def scripted(self) -> bool:
        """Whether the answers come from a pipe or a file, and nobody can answer otherwise."""
        return not self._in.isatty()

    def say(self, text: str = "", indent: str = "") -> None:
        """Write one paragraph, wrapped; lines after the first begin with `indent`."""
        # A long name of a file stays whole, so that it can be heard, copied and typed.
        lines = wrapped(self._spelled(clean(text, 5000)), WIDTH, indent)
        self._out.write("\n".join(lines or [""]) + "\n")

    def show(self, line: str) -> None:
        """Write one line as it is: a row of a table is not wrapped."""
        self._out.write(f"{self._spelled(clean(line, 5000)).rstrip()}\n")

    def refuse(self, problem: str) -> None:
        """Say why a line is not taken. Raises `RefusedError` where it came from a script."""
        self.say(problem)
        if self.scripted:
            raise RefusedError(self._lines, problem)

    def ask(self, prompt: str) -> str | None:
        """Return the next line that is typed, stripped, or `None` where the input has ended."""
        self._out.write(self._spelled(clean(prompt, 500)) + " ")
        self._out.flush()
        try:
            line = self._in.readline()
        except UnicodeDecodeError:
            self._out.write("\n")
            self._lines += 1
            self.refuse("That is not text that can be read here; nothing was changed.")
            return self.ask(prompt)
        self._lines += 1
        if not line or self.scripted:
            self._out.write("\n")  # nobody pressed Enter on the screen
        return line.strip() if line else None

    def ask_inside(self, prompt: str) -> str | None:
        """Return the next line of a dialogue, where help is ? and undo is the question before."""
        typed = self.ask(prompt)
        return typed and {"help": "?", "undo": "back"}.get(typed.lower(), typed)

    def agrees(self, question: str, *, usual: bool = False) -> bool:
        """Ask for yes or no until it is one of them.

        Enter means what is usual; the end of the input means no.
        """
        while (
            typed := self.ask(f"{question} yes or no [{'yes' if usual else 'no'}]:")
        ) is not None:
            if not typed:
                return usual
            if is_yes(typed) or is_no(typed):
                return is_yes(typed)
            self.refuse("That is neither: write yes or no, or y or n.")
        return False

    def _spelled(self, text: str) -> str:
        """Return the text in letters that the output can show."""
        if self._ascii:
            return to_ascii(text)
        try:
            text.encode(getattr(self._out, "encoding", None) or "utf-8")
        except UnicodeEncodeError:
            return to_ascii(text)
        return text
