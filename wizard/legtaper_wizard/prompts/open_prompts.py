"""Open a project for the line prompts: choose it, sit down to it, or only look."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TextIO

from legtaper.files.store import StoreError
from legtaper.model.project import ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.open_project import free_file, recent_paths, told
from legtaper_wizard.flow.session import Session
from legtaper_wizard.flow.settings import settings
from legtaper_wizard.flow.steps import STEPS, shows, state, summary
from legtaper_wizard.prompts.console import LEAVES, RefusedError, Voice
from legtaper_wizard.prompts.loop import PlainWizard
from legtaper_wizard.prompts.output import answer_lines, say_note
from legtaper_wizard.prompts.questions_heard import by_number_or_words
from legtaper_wizard.prompts.typed_commands import command_in, nearly

NOT_SAVED = 2
_OFFERED = 3
"""So many projects are offered for some words of a name (common practice)."""
_HELP = (
    "A name begins a project in a new file in this folder: courier trousers begins "
    "courier-trousers.toml. A number or a name of the list opens that project, and so does the "
    "name of a project file. Enter alone stops."
)


Chosen = tuple[Session, tuple[int, int] | None]
"""A session, and the question it begins with, by step and number; else where it was left."""


def run(
    path: Path | None,
    *,
    stdin: TextIO,
    stdout: TextIO,
    ascii_only: bool = False,
    new: bool = False,
) -> int:
    """Run the wizard on a project file, or on one that is chosen; return the exit status.

    A file that is not there yet is begun, with its name as the project's; where somebody sits at
    the prompts, she is asked first. `new` begins the file, and nothing else. Raises `StoreError`
    or `ProjectError` for a file that cannot be read or understood, and for one that is there
    where it should be new.
    """
    voice = Voice(stdin, stdout, ascii_only)
    try:
        return _run(voice, path, new)
    except RefusedError as refused:
        stdout.flush()
        problem = clean(str(refused), 500).removeprefix("Not taken: ")
        print(f"legtaper: line {refused.line} was not taken: {problem}", file=sys.stderr)
        return NOT_SAVED
    finally:
        stdout.flush()


def _run(voice: Voice, path: Path | None, new: bool) -> int:
    chosen = _named(voice, path, new) if path else _choose(voice)
    if chosen is None:
        return 0
    session, start = chosen
    try:
        session.remember()
        return _look(voice, session) if session.read_only else _sit(voice, session, start)
    finally:
        session.close()


def _named(voice: Voice, path: Path, new: bool) -> Chosen | None:
    """Open a file that was named in the call, or begin it."""
    there = os.path.lexists(path)
    if there and not new:
        return Session.open(path), None
    name = clean(path.stem, 80).strip()
    if not (there or new or voice.scripted or _may_begin(voice, name, path)):
        return None
    return Session.begin_file(path), (0, 0)


def _sit(voice: Voice, session: Session, start: tuple[int, int] | None) -> int:
    """Ask, and say where everything is as the sitting ends."""
    PlainWizard(voice, session).run(start)
    if session.unsaved is None:
        voice.say(f"Stopped. Every answer is saved in {session.path}. To go on: legtaper --plain.")
        return 0
    try:
        kept = f"It is kept in {session.keep_beside()}."
    except (StoreError, ProjectError) as error:
        kept = f"Nor could it be kept beside it: {error}."
    voice.say(f"Stopped. Your last answer could not be written to {session.path.name}. {kept}")
    return NOT_SAVED


def _look(voice: Voice, session: Session) -> int:
    """Show a project that cannot be written to now."""
    voice.say(f"{session.path} can only be looked at: {session.why_read_only}.")
    project, at = session.now
    for line in answer_lines(summary(project, at)):
        voice.say(line, indent="     ")
    for step in STEPS:
        found = state(project, step.id, at)
        voice.say()
        voice.say(f"{step.title} [{found.marker}]")
        for note in shows(project, step.id, at):
            say_note(voice, note)
    return 0


def _may_begin(voice: Voice, name: str, path: Path) -> bool:
    """Ask whether a file that is not there is meant to be begun."""
    begins = voice.agrees(f"New project {name}, in {path}?", usual=True)
    if not begins:
        voice.say("Nothing was begun.")
    return begins


# --- choosing ----------------------------------------------------------------------------------


def _choose(voice: Voice) -> Chosen | None:
    """Ask for a recent project or the name of a new one; `None` where nothing is chosen."""
    known = {path: told(path) for path in recent_paths()}
    for number, (path, (name, said)) in enumerate(known.items(), 1):
        line = f"{name}, {said}. {path}" if name else f"{path}: {said}"
        voice.say(f"{number:2}: {line}", indent="    ")
    what = "Number or name of a project, or a name for a new one:"
    while typed := voice.ask(what if known else "Name for a new project:"):
        if typed.lower() in LEAVES:
            break
        if typed.lower() in ("?", "help"):
            voice.say(_HELP)
            continue
        try:
            if chosen := _chosen(voice, typed, {path: name for path, (name, _) in known.items()}):
                return chosen
        except (StoreError, ProjectError) as error:
            voice.refuse(f"{error}.")
    voice.say("Stopped. Nothing was begun, and nothing was changed.")
    return None


def _chosen(voice: Voice, typed: str, known: Mapping[Path, str]) -> Chosen | None:
    """Open or begin the project that is meant; nothing where there is none, which is said."""
    path = _known(typed, known)
    if path is None and typed.isdecimal():
        voice.refuse(f"There are numbers 1 to {len(known)}." if known else "That is no name.")
        return None
    if path is None and command_in(typed):
        voice.refuse(f"{typed} is a command, once a project is open; a project needs a name.")
        return None
    path = path or _meant_by_part(voice, typed, known) or _file_of(typed)
    if not path.parent.is_dir():
        voice.refuse(f"There is no folder {path.parent}.")
        return None
    if _is_there(path):
        session = Session.open(path)
        voice.say(f"Opened {session.project.name or path.stem}.")
        return session, None
    name = clean(path.stem if typed.endswith(".toml") else Path(typed).name, 80)
    asks = f"New project {name}, in {path.name}?"
    # A script means what it says; a word that is close to a command is begun on a yes alone.
    if not voice.scripted and not voice.agrees(asks, usual=not nearly(typed)):
        return None
    return Session.begin(path, name, settings(path.parent).unit), (
        0,
        1,
    )  # the name is said, so the unit is asked


def _known(typed: str, known: Mapping[Path, str]) -> Path | None:
    """Return the project of the list that a number or a name means."""
    for number, (path, name) in enumerate(known.items(), 1):
        if typed.lower() in (str(number), name.lower(), path.stem.lower()):
            return path
    return None


def _meant_by_part(voice: Voice, typed: str, known: Mapping[Path, str]) -> Path | None:
    """Return the project of the list that some of its words mean, where she says so."""
    if voice.scripted or typed.endswith(".toml") or _is_there(_file_of(typed)):
        return None
    paths = [path for path, name in known.items() if name]
    names = [known[path] for path in paths]
    for number in by_number_or_words(names, typed)[:_OFFERED]:
        if voice.agrees(f"Did you mean {names[number]}?", usual=True):
            return paths[number]
    return None


def _file_of(typed: str) -> Path:
    """Return the file that a line names: one that is there, else the one to begin."""
    for path in (Path(typed), Path(f"{typed}.toml")):
        if path.suffix == ".toml" and (_is_there(path) or typed.endswith(".toml")):
            return path
    typed_path = Path(typed)
    return free_file(typed_path.name, typed_path.parent)


def _is_there(path: Path) -> bool:
    """Whether a file is there. Raises `StoreError` for a name that no file can have."""
    try:
        return path.exists()
    except OSError as error:
        raise StoreError(path, f"that name cannot be used: {error.strerror}") from None
