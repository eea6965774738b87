"""What the screens tell the app. The app alone changes the project."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from textual.message import Message

Then = Callable[[], None]
"""What a screen does once the change is on disk."""


@dataclass
class Answered(Message):
    """A question was answered; "" takes the answer away."""

    key: str
    text: str
    then: Then


@dataclass
class Nudged(Message):
    """A blend or a curve is to move by so many steps."""

    key: str
    by: int
    fine: bool


@dataclass
class Chosen(Message):
    """Something from the list of commands, or a button, is to be done."""

    command: str


@dataclass
class WentTo(Message):
    """Another step is to be shown, with the cursor on a question where `key` names one."""

    step_id: str
    key: str = ""


@dataclass
class WentOn(Message):
    """The step before (-1) or the next one (1) is to be shown."""

    by: int
