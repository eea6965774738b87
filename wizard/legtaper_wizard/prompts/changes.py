"""The project as it changes at the line prompts: saved, said, taken back and made again."""

from __future__ import annotations

from typing import Protocol

from legtaper.model.project import Project
from legtaper_wizard.flow.steps import History, Note, shows
from legtaper_wizard.prompts.console import Voice
from legtaper_wizard.prompts.output import say_note, work_moved


class Keeper(Protocol):
    """What keeps the project: a file on disk."""

    def save(self, project: Project) -> str:
        """Save, and return what to say about it: "Saved 14:02." or why it is not."""


class Changes:
    """The present project with what was before it, and what each change was."""

    def __init__(self, voice: Voice, project: Project, keeper: Keeper) -> None:
        self._voice = voice
        self._keeper = keeper
        self._history = History(project)
        self._made: dict[int, tuple[str, int]] = {}  # what each change was and on which step

    @property
    def project(self) -> Project:
        """What is answered so far."""
        return self._history.present

    def take(self, changed: Project, says: str, made: tuple[str, int]) -> None:
        """Take a changed project, save it and say so.

        `made` is what undo will call it, and the step on which it was made.
        """
        before, self._history = self._history, self._history.push(changed)
        if self._history is not before:  # the same answer once more is no change
            self._made[len(self._history.past)] = made
        self._voice.say(says + self._keeper.save(changed))

    def say_news(self, before: Project, step_id: str, key: str) -> list[Note]:
        """Say what is different on a step, and return it.

        `key` is the question that was answered; remarks about other questions are not news.
        """
        known = shows(before, step_id)
        news = [
            note
            for note in shows(self.project, step_id)
            if note not in known and not (note.kind == "info" and note.key not in ("", key))
        ]
        for note in news:
            say_note(self._voice, note)
        return news

    def undo(self) -> int | None:
        """Take the last change back and say what it was; return the step it was made on."""
        return self._travel(self._history.undo(), "Undone", "There is nothing to undo.")

    def redo(self) -> int | None:
        """Make it again and say what it was; return the step it was made on."""
        return self._travel(self._history.redo(), "Made again", "There is nothing to make again.")

    def _travel(self, history: History, done: str, nothing: str) -> int | None:
        if history is self._history:
            self._voice.say(nothing)
            return None
        number = max(len(self._history.past), len(history.past))
        before, self._history = self.project, history
        label, step = self._made[number]
        label += work_moved(before, self.project)
        self._voice.say(f"{done}: {label}. {self._keeper.save(self.project)}")
        return step
