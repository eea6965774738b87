"""Lines out and lines in, one after the other: no cursor is moved and no color is used."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TextIO

from legtaper.model.project import Unit
from legtaper.model.safe_text import clean, to_ascii, wrapped

WIDTH = 78
_PART = 10
"""Lines of a list that are read in one go, and a few more where that ends it."""
_IN_BOTH = re.compile(r"\b\d[\d/\s.]*in \((\d[\d.]* [cm]m)\)")
LEAVES = ("back", "quit")
"""What leaves a dialogue inside the wizard."""


class RefusedError(Exception):
    """A line of a script was not taken, so none behind it is read. `line` counts from 1."""

    def __init__(self, line: int, problem: str) -> None:
        super().__init__(problem)
        self.line = line


class ElsewhereError(Exception):
    """A line inside a dialogue was for the wizard: the dialogue is left, and the line done next.

    unfinished: whether something that was begun stays undone.
    """

    def __init__(self, typed: str, *, unfinished: bool = True) -> None:
        super().__init__(typed)
        self.typed, self.unfinished = typed, unfinished


def _never(_: str) -> bool:
    return False


def _no_command(_: str) -> str:
    return ""


def _unknown(_: str) -> str | None:
    return None


def in_unit(text: str, unit: Unit) -> str:
    """Return a text that gives lengths in both units, as in 1 in (2.5 cm), in centimeters alone.

    Only where those are the unit of the project.
    """
    return _IN_BOTH.sub(r"\1", text) if unit == "cm" else text


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
        self.hears: Callable[[str], bool] = _never
        """Whether a line is for the wizard, wherever it is typed: a command, an answer by name."""
        self.looks_up: Callable[[str], str | None] = _unknown
        """Does a line that only tells something, and returns what is typed next or ""."""
        self.nearly: Callable[[str], str] = _no_command
        """The command that a word is a slip of, "" for none."""
        self.unit: Unit = "in"
        """In which lengths are said that a text gives in both."""

    @property
    def scripted(self) -> bool:
        """Whether the answers come from a pipe or a file, and nobody can answer otherwise."""
        return not self._in.isatty()

    def say(self, text: str = "", indent: str = "") -> None:
        """Write one paragraph, wrapped; lines after the first begin with `indent`."""
        # A long name of a file stays whole, so that it can be heard, copied and typed.
        lines = wrapped(self._spelled(in_unit(clean(text, 5000), self.unit)), WIDTH, indent)
        self._out.write("\n".join(lines or [""]) + "\n")

    def show(self, line: str) -> None:
        """Write one line as it is: a row of a table is not wrapped."""
        self._out.write(f"{self._spelled(clean(line, 5000)).rstrip()}\n")

    def read_out(self, lines: Sequence[str], indent: str = "") -> str | None:
        """Say lines in parts, each after Enter; from a pipe all at once.

        A line that only tells something does not end it. Returns the line that ended it, ""
        where all is said, `None` where the input has ended.
        """
        for number, line in enumerate(lines):
            left = len(lines) - number
            pauses = number and number % _PART == 0 and left > _PART // 4
            if pauses and not self.scripted:
                typed = self._ask_on(f"{left} more; Enter goes on:")
                if typed != "":
                    return typed
            for part in line.split("\n"):  # a heading goes with the line behind it
                self.say(part, indent=indent)
        return ""

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

    def doubts_word(self, typed: str, before: str) -> bool:
        """Ask about a text that is a slip of a command; whether it was asked about.

        before: the line before it: the same again is meant. From a pipe every text is.
        """
        command = self.nearly(typed)
        if not command or self.scripted or typed == before:
            return False
        self.say(f"Did you mean the command {command}? Type it, or {typed} again to keep that.")
        return True

    def _ask_on(self, prompt: str) -> str | None:
        """Return what is typed in the middle of a list, but for what only tells something."""
        while (typed := self.ask(prompt)) is not None:
            if typed.lower() in ("?", "help"):
                self.say("Enter reads on; any other line ends the list and is done.")
                continue
            told = self.looks_up(typed)
            if told != "":
                return told or typed
        return None

    def ask_inside(
        self, prompt: str, own: Callable[[str], bool] = _never, *, tells: bool = False
    ) -> str | None:
        """Return the next line of a dialogue: help is ?, undo the question before, skip is Enter.

        own: whether a line is for the dialogue whatever else it may mean. tells: whether the
        dialogue only tells something, so that to leave it leaves nothing undone. What only tells
        something itself is told, and asked is again. Raises `ElsewhereError` for a line that is
        for the wizard.
        """
        typed = self.ask(prompt)
        if not typed or own(typed):
            return typed
        if (told := self.looks_up(typed)) is not None:
            if not told:
                return self.ask_inside(prompt, own, tells=tells)
            typed = told
        typed = {"help": "?", "undo": "back", "skip": ""}.get(typed.lower(), typed)
        if typed.lower() not in LEAVES and self.hears(typed):
            raise ElsewhereError(typed, unfinished=not tells)
        return typed

    def agrees(self, question: str, *, usual: bool = False) -> bool:
        """Ask for yes or no until it is one of them. Raises `ElsewhereError`.

        Enter means what is usual; to leave the question or to end the input means no.
        """
        asks = f"{question} yes or no [{'yes' if usual else 'no'}]:"
        while (typed := self.ask_inside(asks)) is not None:
            if not typed:
                return usual
            if is_yes(typed) or is_no(typed) or typed.lower() in LEAVES:
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
