"""Open a project for the line prompts: choose it, sit down to it, or only look."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TextIO

from legtaper.files.atomic_write import PRIVATE, write_new
from legtaper.files.project_file import write_project
from legtaper.files.store import Store, StoreError, recent, remember, save_new
from legtaper.model.project import Project, ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.open_project import told
from legtaper_wizard.flow.steps import STEPS, shows, state
from legtaper_wizard.prompts.console import Voice
from legtaper_wizard.prompts.loop import PlainWizard
from legtaper_wizard.prompts.output import say_answers, say_note

NOT_SAVED = 2
_HELP = (
    "A name begins a project in a new file in this folder: courier trousers begins courier "
    "trousers.toml. The name of a project file that is there opens it. A number opens a project "
    "of the list, where one was read out. Enter alone stops."
)


def run(path: Path | None, *, stdin: TextIO, stdout: TextIO, ascii_only: bool = False) -> int:
    """Run the wizard on a project file, or on one that is chosen; return the exit status.

    A file that is not there yet is begun, with its name as the project's; where it was named in
    the call and somebody sits at the prompts, she is asked first. Raises `StoreError` or
    `ProjectError` for a file that cannot be read or understood.
    """
    voice = Voice(stdin, stdout, ascii_only)
    chosen = path or _choose(voice)
    if chosen is None:
        return 0
    begun = not os.path.exists(chosen)  # noqa: PTH110 - a name that is too long is not there either
    if begun:
        if path and stdin.isatty() and not _may_begin(voice, path):
            return 0
        save_new(chosen, write_project(Project(clean(chosen.stem, 80).strip())))
    store = Store.open(chosen, for_writing=True)
    try:
        remember(store.path)
        return _look(voice, store) if store.read_only else _sit(voice, store, begun)
    finally:
        store.close()
        stdout.flush()


class _Keeper:
    """Saves to a store, and says what came of it.

    What cannot be saved is kept beside it at once: the next thing may be a lost line.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._beside = store.path.with_name(
            f"{store.path.stem}-{datetime.now():%H%M%S}{store.path.suffix}"
        )
        self._kept = False
        self.problem = ""

    def save(self, project: Project) -> str:
        """Save, and return "Saved 14:02." or why it is not saved, and where it is kept."""
        try:
            at = self._store.save(project)
        except (StoreError, ProjectError) as error:
            self.problem = str(error)
            return f"NOT SAVED: {error}. {self._keep(project)} Saving is tried again next time."
        self.problem = ""
        return f"Saved {at:%H:%M}."

    def _keep(self, project: Project) -> str:
        try:
            data = write_project(project).encode()
            write_new(self._beside, data, force=self._kept, mode=PRIVATE)
        except (StoreError, ProjectError) as error:
            return f"Nor could it be kept beside it: {error}."
        self._kept = True
        return f"It is kept in {self._beside}."

    def farewell(self, project: Project) -> str:
        """Say where everything is as the sitting ends."""
        if not self.problem:
            return f"Stopped. Every answer is saved in {self._store.path}."
        kept = self._keep(project)
        return f"Stopped. {self._store.path.name} could not be written: {self.problem}. {kept}"


def _sit(voice: Voice, store: Store, begun: bool) -> int:
    keeper = _Keeper(store)
    wizard = PlainWizard(voice, store.project, keeper, store.path.parent)
    wizard.run(from_the_start=begun)
    voice.say(keeper.farewell(wizard.project))
    return NOT_SAVED if keeper.problem else 0


def _look(voice: Voice, store: Store) -> int:
    """Show a project that cannot be written to now."""
    voice.say(f"{store.path} can only be looked at: {store.why_read_only}.")
    say_answers(voice, store.project)
    for step in STEPS:
        found = state(store.project, step.id)
        voice.say()
        voice.say(f"{step.title} [{found.marker}]")
        for note in shows(store.project, step.id):
            say_note(voice, note)
    return 0


def _may_begin(voice: Voice, path: Path) -> bool:
    """Ask whether a file that is not there is meant to be begun."""
    voice.say(f"There is no file {path} yet.")
    begins = voice.agrees("Begin a project of that name?", usual=True)
    if not begins:
        voice.say("Nothing was begun.")
    return begins


# --- choosing ----------------------------------------------------------------------------------


def _choose(voice: Voice) -> Path | None:
    """Ask for a recent project or the name of a new one; `None` where nothing is chosen."""
    known = recent()
    for number, path in enumerate(known, 1):
        voice.say(f"{number:2}: {_about(path)}", indent="    ")
    what = "Number of a project, or a name for a new one:" if known else "Name for a new project:"
    while (typed := voice.ask(what)) and typed.lower() not in ("quit", "back"):
        found = _HELP if typed == "?" else _meant(typed, known)
        if isinstance(found, Path):
            return found
        voice.say(found)
    voice.say("Stopped. Nothing was begun, and nothing was changed.")
    return None


def _meant(typed: str, known: Sequence[Path]) -> Path | str:
    """Return the project that is meant, or why there is none."""
    if typed.isdecimal():
        numbers = {str(number): path for number, path in enumerate(known, 1)}
        return numbers.get(typed) or f"There are numbers 1 to {len(known)}."
    path = Path(typed) if typed.endswith(".toml") else Path(f"{typed}.toml")
    if not path.parent.is_dir():
        return f"There is no folder {path.parent}."
    try:
        path.exists()
    except OSError as error:  # too long, for one
        return f"That name cannot be used: {error.strerror}."
    return path


def _about(path: Path) -> str:
    """Say a recent project in one line: its name, where it goes on, when it was changed."""
    name, said = told(path)
    return f"{name}, {said}. {path}" if name else f"{path}: {said}"
