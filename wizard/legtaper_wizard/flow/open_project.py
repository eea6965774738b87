"""Projects as they are begun, found and opened: files, names, and what is known of recent ones.

The first page of a start needs no more than the questions, so what opens a project is imported
by the functions that do.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from legtaper.files.atomic_write import StoreError
from legtaper.files.recent import recent
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.shapes import AnswerError, Field

if TYPE_CHECKING:
    from legtaper.model.project import Project
    from legtaper_wizard.flow.session import Session

NAME, UNIT, FOLDER = "name", "unit", "folder"
_UNITS = (("in", "inches"), ("cm", "centimeters"))
_FOLDER = Field(FOLDER, "Folder", "text", "Where the file goes. It has to be there.")

NEW = (
    Field(NAME, "New project", "text", "Its name: a few words, such as Courier trousers."),
    Field(UNIT, "Unit", "choice", "What is on your tape. Any unit may be typed later.", _UNITS),
    _FOLDER,
)
"""The questions about a new project."""

_MOST = 20  # recent projects that are listed


class Page(NamedTuple):
    """A page that asks where a project is: its words, its question, and what stands there."""

    words: tuple[str, str, str]
    field: Field
    said: Callable[[], str]


ASK_FILE = Page(
    ("Open a project", "", "Open"),
    Field("path", "File", "text", "A project file; its name ends in .toml."),
    lambda: f"{Path.cwd()}/",
)
ASK_EXAMPLE = Page(
    ("The example", "A bicycle courier's trousers, invented. The copy is yours.", "Open"),
    _FOLDER,
    lambda: str(Path.cwd()),
)


def recent_paths() -> list[Path]:
    """Return the projects opened lately, the last one first."""
    return recent()[:_MOST]


def told(path: Path) -> tuple[str, str]:
    """Return the name of a project, and when it was changed and where it stands, in words.

    A file that is broken or gone says so, and its name is "". Never raises for any file.
    """
    from legtaper.files.store import load

    try:
        project = load(path)
        when = datetime.fromtimestamp(path.stat().st_mtime).strftime("%Y-%m-%d %H:%M")
        where = f"{when}, {standing_in_words(path, project)}"
    except (StoreError, ValueError, OSError, RecursionError) as error:
        return "", clean(f"cannot be read: {error}", 200)
    return clean(project.name or path.stem, 60), clean(where, 300)


def standing_in_words(path: Path, project: Project) -> str:
    """Say which round a project is in and what comes next, or the step at which it opens."""
    if project.rounds:
        # Neither needs a fit, so a list of many projects is soon told.
        from legtaper.muslin.log import next_step, status
        from legtaper.pattern import block_of

        try:
            block = block_of(project)
        except ValueError:
            block = None
        return f"{status(project, block)}. Next: {next_step(project, block)}"
    from legtaper_wizard.flow import steps
    from legtaper_wizard.flow.session import where_left

    step = steps.step_of(where_left(path, project)[0])
    says = f"step {steps.STEPS.index(step) + 1}: {step.title}"
    return f"{says}; round 1 not yet printed" if step.id == "pattern" else says


def new_file(name: str, folder: str) -> Path:
    """Return the file that a project of this name would begin. Raises `AnswerError`."""
    return free_file(name, _folder(folder))


def free_file(name: str, folder: Path) -> Path:
    """Return a free file for a new project of that name: small letters, digits and hyphens."""
    letters = "".join(c if c.isalnum() else "-" for c in name.lower())
    stem = "-".join(part for part in letters.split("-") if part)[:40] or "trousers"
    names = (f"{stem}{'' if n == 1 else f'-{n}'}.toml" for n in range(1, 1000))
    return next(free for file in names if not (free := folder / file).exists())


def begin_project(name: str, unit: str, folder: str) -> Session:
    """Begin a project. Raises `AnswerError`, or `StoreError` where it cannot be written."""
    if not name:
        raise AnswerError(NAME, "give it a name you will know it by, such as Courier trousers")
    from legtaper.model.project import ProjectError
    from legtaper_wizard.flow.session import Session

    try:
        return Session.begin(new_file(name, folder), name, "cm" if unit == "cm" else "in")
    except (StoreError, ProjectError) as error:
        key = NAME if isinstance(error, ProjectError) else FOLDER
        raise AnswerError(key, str(error)) from None


def open_file(text: str) -> Session:
    """Open a project file. Raises `AnswerError`, `StoreError` or `ProjectError`."""
    path = Path(text).expanduser()
    if not text or not path.is_file():
        raise AnswerError("path", "there is no such file")
    from legtaper.model.project import ProjectError
    from legtaper_wizard.flow.session import Session

    try:
        return Session.open(path)
    except ProjectError as error:
        raise ProjectError("", f"{clean(path.name, 60)}: {error}") from None


def open_example(folder: str) -> Session:
    """Open a copy of the example. Raises `AnswerError`, or `StoreError`."""
    from legtaper.files.store import save_new
    from legtaper_wizard.flow.session import Session

    path = free_file("courier example", _folder(folder))
    save_new(path, example_text("courier"))
    return Session.open(path)


def _folder(text: str) -> Path:
    folder = Path(text or ".").expanduser()
    if not folder.is_dir():
        raise AnswerError(FOLDER, "there is no such folder")
    return folder
