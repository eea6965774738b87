"""What can be done at any question, in every face: one row each, and the faces it is for."""

from __future__ import annotations

from typing import Literal, NamedTuple

Face = Literal["screen", "prompts"]


class Command(NamedTuple):
    """Something that can be done and is no answer.

    words: what it does. only: the one face that has it; why: what the other has in its place.
    """

    id: str
    words: str
    only: Face | None = None
    why: str = ""


_SHOWN = "a screen shows it at all times"

COMMANDS = (
    Command("help", "Help for this question"),
    Command("all", "All commands"),
    Command("back", "The question or the step before"),
    Command("next", "On to the next step"),
    Command("undo", "Take the last change back"),
    Command("redo", "Make the change again"),
    Command("steps", "All steps with their state, and go to one"),
    Command("answers", "Everything that is answered, and go to one of them"),
    Command("notes", "All notes of this step, also what is OK"),
    Command("more", "What else can be done on this step"),
    Command("designs", "The designs, and work on another one"),
    Command("garments", "The trousers you like, and go to another pair"),
    Command("compare", "Designs and rounds side by side"),
    Command("mend", "Changes that mend what fails or warns"),
    Command("hem-widths", "Which hem widths work"),
    Command("marks", "The marking table"),
    Command("write", "Write the pattern, or the test, to files"),
    Command("print-block", "Print the block as it is"),
    Command("settings", "The paper, how days are written, what marks are rounded to"),
    Command("glossary", "What the words of the trade mean"),
    Command("sewing", "How to sew it"),
    Command(
        "signs",
        "What a muslin may show, and all about one such sign",
        "prompts",
        "they stand in a list where one is written down",
    ),
    Command("leave", "Stop; everything is saved"),
    Command("skip", "Leave out the rest of this part", "prompts", "the arrow keys and Tab move"),
    Command("clear", "Take this answer away", "prompts", "an emptied line takes it away"),
    Command("exact", "The last answer unrounded, and when it was saved", "prompts", _SHOWN),
    Command("short", "Say no more than the questions", "prompts", _SHOWN),
    Command("long", "Say everything each time", "prompts", _SHOWN),
    Command("normal", "Say what is new, as at first", "prompts", _SHOWN),
    Command("outline", "Outline: both panels, front, back, none", "screen", "it is a drawing"),
    Command("fold", "Fold or show why this step asks", "screen", "lines are only ever added"),
    Command("redraw", "Draw the screen again", "screen", "lines are only ever added"),
    Command("pause", "Pause, back to the shell; fg goes on", "screen", "the terminal's own key"),
)
"""Every command, in the order in which they are told."""


def commands_of(face: Face) -> tuple[Command, ...]:
    """Return the commands that a face must have, in the order in which they are told."""
    return tuple(command for command in COMMANDS if command.only in (None, face))
