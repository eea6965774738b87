"""What the form tells the app. The app alone changes the project.

These are not Textual's messages: those wait in a queue behind keys that were typed ahead, and an
Enter has to be dealt with before the key that follows it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

Then = Callable[[], None]
"""What a screen does once the change is on disk."""


class Answered(NamedTuple):
    """A question was answered; "" takes the answer away."""

    key: str
    text: str
    then: Then


class Nudged(NamedTuple):
    """A blend or a curve is to move by so many steps."""

    key: str
    by: int
    fine: bool


class Chosen(NamedTuple):
    """Something from the list of commands, or a button, is to be done."""

    command: str


class WentTo(NamedTuple):
    """Another step is to be shown, with the cursor on a question where `key` names one."""

    step_id: str
    key: str = ""


class WentOn(NamedTuple):
    """The step before (-1) or the next one (1) is to be shown."""

    by: int


Said = Answered | Nudged | Chosen | WentTo | WentOn
Hear = Callable[[Said], None]
