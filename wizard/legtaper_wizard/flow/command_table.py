"""What can be done at any question, in every face: one row each, and the faces it is for."""

from __future__ import annotations

from typing import Literal, NamedTuple

Face = Literal["screen", "prompts"]


class Command(NamedTuple):
    """Something that can be done and is no answer.

    words: what it does. only: the one face that has it; why: what the other has in its place.
    also: other words by which people look for it; elsewhere: those that are commands in other
    programs, and so mean it where they are typed alone.
    """

    id: str
    words: str
    only: Face | None = None
    why: str = ""
    also: str = ""
    elsewhere: str = ""

    @property
    def found_by(self) -> str:
        """Return by what it is found besides its words: its name, and what others call it."""
        return f"{self.id.replace('-', ' ')} {self.also} {self.elsewhere}"


_SHOWN = "a screen shows it at all times"

COMMANDS = (
    Command("help", "Help for this question", also="keys, how, explain", elsewhere="why, what"),
    Command("all", "All commands"),
    Command("back", "The question or the step before", also="page up", elsewhere="previous"),
    Command("next", "On to the next step", also="forward, page down"),
    Command("undo", "Take the last change back", also="revert, go back", elsewhere="cancel"),
    Command("redo", "Make the change again", also="repeat, restore"),
    Command("steps", "All steps with their state, and go to one", also="overview, jump, contents"),
    Command(
        "answers",
        "Everything that is answered, and go to one of them",
        also="summary, overview, what was typed",
    ),
    Command("notes", "All notes of this step, also what is OK", also="warnings, checks, findings"),
    Command("more", "What else can be done on this step", also="actions, menu, add, remove"),
    Command("designs", "The designs, and work on another one", also="versions, variants, switch"),
    Command(
        "garments",
        "The trousers you like, and go to another pair",
        also="liked, jeans, pants, switch",
    ),
    Command("compare", "Designs and rounds side by side", also="difference, versus"),
    Command("mend", "Changes that mend what fails or warns", also="repair, fix, correct"),
    Command("hem-widths", "Which hem widths work", also="limits, range, narrow"),
    Command("marks", "The marking table", also="numbers, chalk, by hand"),
    Command(
        "write",
        "Write the pattern, or the test, to files",
        also="export, save, print, pdf, svg, dxf",
    ),
    Command("print-block", "Print the block as it is", also="unaltered, export"),
    Command(
        "settings",
        "The paper, how days are written, what marks are rounded to",
        also="options, preferences, units, inches, centimeters",
    ),
    Command("glossary", "What the words of the trade mean", also="terms, dictionary, definitions"),
    Command("sewing", "How to sew it", also="instructions, muslin, seams"),
    Command(
        "signs",
        "What a muslin may show, and all about one such sign",
        "prompts",
        "they stand in a list where one is written down",
    ),
    Command(
        "leave", "Stop; everything is saved", also="quit, close", elsewhere="exit, stop, end, bye"
    ),
    Command("skip", "Leave out the rest of this part", "prompts", "the arrow keys and Tab move"),
    Command("clear", "Take this answer away", "prompts", "an emptied line takes it away"),
    Command("exact", "The last answer unrounded, and when it was saved", "prompts", _SHOWN),
    Command("short", "Say no more than the questions", "prompts", _SHOWN),
    Command("long", "Say everything each time", "prompts", _SHOWN),
    Command("normal", "Say what is new, as at first", "prompts", _SHOWN),
    Command(
        "outline",
        "Outline: both panels, front, back, none",
        "screen",
        "it is a drawing",
        also="picture, drawing, view",
    ),
    Command(
        "fold",
        "Fold or show why this step asks",
        "screen",
        "lines are only ever added",
        also="hide, reasons",
    ),
    Command(
        "redraw",
        "Draw the screen again",
        "screen",
        "lines are only ever added",
        also="refresh, repaint, clear",
    ),
    Command(
        "pause",
        "Pause, back to the shell; fg goes on",
        "screen",
        "the terminal's own key",
        also="suspend, background",
    ),
)
"""Every command, in the order in which they are told."""


def commands_of(face: Face) -> tuple[Command, ...]:
    """Return the commands that a face must have, in the order in which they are told."""
    return tuple(command for command in COMMANDS if command.only in (None, face))
