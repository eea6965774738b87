"""One sitting with one project: what is answered, where the work stands, and what is on disk.

Every change is on disk before it is the present state, so whatever a screen shows is saved.
Knows no Textual.
"""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from legtaper.files.atomic_write import write_new
from legtaper.files.project_file import LARGEST, read_project, write_project
from legtaper.files.recent import remember
from legtaper.files.store import ChangedOnDiskError, Store, StoreError, load, save_new
from legtaper.model.project import Project, ProjectError, Unit
from legtaper.model.safe_text import clean
from legtaper_wizard.flow import steps
from legtaper_wizard.flow.answers import changed_in_words
from legtaper_wizard.flow.derived_state import chosen_design
from legtaper_wizard.flow.left_at import is_as_left, leave_at, left_at
from legtaper_wizard.flow.questions.path import with_usual_lengths
from legtaper_wizard.flow.settings import settings, work_beside
from legtaper_wizard.flow.steps import LAST, Cursor, History

if TYPE_CHECKING:
    from legtaper.remedies.mend import Mend

__all__ = ["LAST_SITTING_ASKED", "ChangedOnDiskError", "Place", "Session", "StoreError"]

_LAST_SITTING = "everything since the last sitting began"
"""What undo takes back at once where it reaches behind this sitting."""

LAST_SITTING_ASKED = (
    "Nothing of this sitting is left to undo. Take back everything of the last one?"
)
"""What is asked before it does."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where in the wizard something was changed: a step and the key of a question, or "".

    did: what was done there, where that was no answer.
    """

    step_id: str
    key: str = ""
    did: str = field(default="", compare=False)


class Session:
    """An open project. Where a method raises what store or steps raise, nothing is changed."""

    def __init__(self, store: Store) -> None:
        self._store = store
        work_beside(store.path)
        self._saved: datetime | None = None
        self._places: dict[int, Place] = {}  # where each change was made, by its number
        self._nudged = ""  # key that the last change nudged, "" where it was another
        self._beside: Path | None = None  # where a change is kept that could not be saved
        self.unsaved: Project | None = None  # the last change, where it could not be saved
        self._known_open = ""  # step that waits for nothing in the project as it is now
        self.history = History(store.project)
        self.at: Cursor = LAST
        self.step_id, self.key = self._where_left()
        self._earlier = b"" if self.read_only else _bytes_of(store.backup)

    @classmethod
    def open(cls, path: Path) -> Session:
        """Open a project, for looking only where another session has it.

        Raises `StoreError` or `ProjectError`.
        """
        return cls(Store.open(path, for_writing=True))

    @classmethod
    def begin(cls, path: Path, name: str, unit: Unit = "in") -> Session:
        """Begin a project in a new file. Raises `StoreError`, also where the file is there."""
        work_beside(path)
        save_new(path, write_project(with_usual_lengths(Project(name, unit))))
        session = cls.open(path)
        session._earlier = b""  # an older file of that name is no state of this project
        return session

    @classmethod
    def begin_file(cls, path: Path) -> Session:
        """Begin a project in a file that was named, with its name until another is given.

        Raises `StoreError`, also where the file is there.
        """
        if os.path.lexists(path):  # also a link that leads nowhere; bears a name that is too long
            raise StoreError(path, "is there already; open it without --new, or name another file")
        session = cls.begin(path, clean(path.stem, 80).strip(), settings(path.parent).unit)
        session.go("project", "name")
        return session

    def remember(self) -> None:
        """Put the project first in the list of recent ones."""
        remember(self.path)

    def close(self) -> None:
        """Let others write. Nothing is left to save but where she stands."""
        self._leave()
        self._store.close()

    def _where_left(self) -> tuple[str, str]:
        """Return the step and the question at which the project was left, else where to begin."""
        project, place = self._store.project, left_at(self._store.path)
        if place and is_as_left(self._store.path):
            self._known_open = place[0]
        return where_left(self._store.path, project)

    def _is_open(self, project: Project, step_id: str) -> bool:
        """Whether a step can be worked on; nothing is computed where that is known."""
        return step_id == self._known_open or steps.state(project, step_id).marker != "locked"

    def _leave(self, saved: Project | None = None) -> None:
        if not self.read_only:
            is_open = self._is_open(saved or self.project, self.step_id)
            leave_at(self.path, self.step_id, self.key, is_open=is_open)

    # --- what there is -----------------------------------------------------------------------

    @property
    def project(self) -> Project:
        """The project as it is on disk."""
        return self.history.present

    @property
    def now(self) -> tuple[Project, Cursor]:
        """The project, and what of it the answers are about."""
        return self.project, self.at

    @property
    def path(self) -> Path:
        """The file."""
        return self._store.path

    @property
    def read_only(self) -> bool:
        """Whether this session may only look."""
        return self._store.read_only

    @property
    def why_read_only(self) -> str:
        """Who has the project, or what else keeps it from being written; "" where nothing does."""
        return clean(self._store.why_read_only, 200)

    @property
    def saved(self) -> str:
        """Say when the last change was safe on disk."""
        if self.read_only:
            return "Look only"
        return f"Saved {self._saved:%H:%M}" if self._saved else "Saved"

    # --- changes -----------------------------------------------------------------------------

    def answer(self, key: str, text: str) -> None:
        """Take an answer. Raises `AnswerError` where it cannot be one."""
        changed, before = steps.answer(self.project, key, text, self.at), self.key
        self.key = key
        try:
            self._keep(changed, key)
        except StoreError:
            self.key = before
            raise

    def nudge(self, key: str, by: int, fine: bool) -> None:
        """Move a blend or a curve; moves of the same one are undone together."""
        before, run = self.history, self._nudged == key
        self._keep(steps.nudge(self.project, key, by, fine, self.at), key)
        moved = self.history is not before
        if run and moved:
            self.history = History(self.history.present, before.past)
        self._nudged = key if run or moved else ""  # at the end of its range nothing has begun

    def do(self, action_id: str, *texts: str) -> None:
        """Do an action with what it needs."""
        before = self.project
        known = steps.actions(before, self.step_id, self.at)
        label = next((action.label for action in known if action.id == action_id), "")
        self._keep(steps.do(before, action_id, *texts, at=self.at), did=label)
        self.at = steps.follow(before, self.project, self.at)

    def bring(self, changed: Project) -> None:
        """Take a block that was drafted or traced, and what it was drafted from."""
        self._keep(changed, "block.label", "the block as it was brought in")

    def wrote_pattern(self, on: date) -> None:
        """Note that the pattern of the design that is worked on was written, if it is accepted."""
        from legtaper.muslin.log import mark_written

        design = chosen_design(self.project, self.at)
        if design is not None and not self.read_only:
            self._keep(mark_written(self.project, design, on), did="the pattern is written")

    def mend(self, mend: Mend) -> None:
        """Make a change that mends something in the design that is worked on."""
        from legtaper.remedies.mend import take

        design = chosen_design(self.project, self.at)
        if design is not None:
            self._keep(take(self.project, design.name, mend), did=mend.says.partition(": ")[0])

    def undo(self) -> Place | None:
        """Take the last change back and return where it was, or nothing where there is none."""
        if not self.history.past:
            self._reach_back()
        place = self._places.get(len(self.history.past) - 1)
        return self._travel(self.history.undo(), place)

    def undoes_last_sitting(self) -> bool:
        """Whether undo would take back everything of the last sitting, none of this one."""
        if not self.history.past:
            self._reach_back()
        first = self._places.get(0)
        return len(self.history.past) == 1 and first is not None and first.did == _LAST_SITTING

    def _reach_back(self) -> None:
        """Let the history begin where the last sitting began, where that is known."""
        data, self._earlier = self._earlier, b""
        with suppress(ProjectError):
            before = read_project(data) if data else self.project
            if before != self.project:
                self.history = History(self.project, (before,), self.history.future)
                self._places = {number + 1: place for number, place in self._places.items()}
                self._places[0] = Place(self.step_id, "", _LAST_SITTING)

    def redo(self) -> Place | None:
        """Make the change that was taken back last once more, and return where it is."""
        return self._travel(self.history.redo(), self._places.get(len(self.history.past)))

    def change_in_words(self, place: Place, before: tuple[Project, Cursor]) -> str:
        """Say what was changed at a place: `before` is `now` as it was before."""
        words = clean(place.did, 80) or changed_in_words(place.key, before, self.now)
        return words or steps.step_of(place.step_id).title

    def _travel(self, history: History, place: Place | None) -> Place | None:
        if history is self.history:
            return None
        before = self.project
        self._save(history.present)
        self.history, self._nudged = history, ""
        self.at = steps.follow(before, self.project, self.at)
        place = place or Place(self.step_id)
        self.go(place.step_id, place.key)
        return place

    def _keep(self, changed: Project, key: str = "", did: str = "") -> None:
        self._nudged = ""
        if changed is self.project:
            return
        self._save(changed)
        self._places[len(self.history.past)] = Place(self.step_id, key, did)
        self.history = self.history.push(changed)

    def _save(self, changed: Project) -> None:
        self.unsaved = changed
        self._saved = self._store.save(changed)
        self.unsaved, self._known_open = None, ""
        self._leave(changed)  # a line that drops now finds the way back here

    def keep_beside(self) -> Path | None:
        """Put the change that could not be saved into a copy beside the project, and return that.

        Nothing where everything is saved. Raises `StoreError` or `ProjectError`.
        """
        if self.unsaved is None:
            return None
        copy, again = self._beside or _free(self.path, "not saved"), self._beside is not None
        write_new(copy, write_project(self.unsaved).encode(), force=again, mode=self._store.mode)
        self._beside = copy
        return copy

    # --- where the work stands ---------------------------------------------------------------

    def go(self, step_id: str, key: str = "") -> None:
        """Work on another step; a question about a garment also says which one."""
        if (step_id, key) != (self.step_id, self.key):
            self.step_id, self.key = step_id, key
            self._leave()
        parts = key.split(".")
        if parts[0] == "liked" and len(parts) > 1 and int(parts[1]) < len(self.project.liked):
            self.at = Cursor(self.at.design, int(parts[1]))

    def work_on_design(self, name: str) -> None:
        """Let the answers be about another design."""
        self.at = Cursor(name, self.at.liked)

    def work_on_garment(self, number: int) -> None:
        """Let the answers be about another liked garment."""
        self.at = Cursor(self.at.design, number)

    def way(self, by: int) -> tuple[str, str]:
        """Return the next step in one direction that can be worked on, and what was passed over.

        The step is the present one where there is none; then the second says why.
        """
        return steps.way(self.project, self.step_id, self.at, by)

    # --- another program changed the file ----------------------------------------------------

    @property
    def is_gone(self) -> bool:
        """Whether the file is no longer where it was opened."""
        return self._store.on_disk() is None

    def keep_mine(self) -> Path | None:
        """Put what is on disk into a copy, and this session's state in its place.

        Returns the copy, or nothing where the file was gone.
        """
        theirs = self._store.on_disk()
        if theirs and len(theirs) > LARGEST:
            raise StoreError(self.path, "is larger now than any project; move that away first")
        copy = None if theirs is None else self._keep_copy("theirs", theirs)
        self._store.overrule(theirs)
        return copy

    def take_theirs(self) -> Path:
        """Put this session's state into a copy, then go on with what is on disk.

        Raises `StoreError` or `ProjectError` where that cannot be read.
        """
        theirs = self._store.on_disk()
        load(self.path)  # which says what is wrong before there is a copy
        copy = self._keep_copy("mine", self._store.text.encode())
        self._store.take_up(theirs or b"")
        before, self.unsaved = self.project, None
        self.history = History(self._store.project, (*self.history.past, before))
        self.at = steps.follow(before, self.project, self.at)
        return copy

    def _keep_copy(self, whose: str, data: bytes) -> Path:
        """Write a state beside the project, for no more eyes than that."""
        copy = _free(self.path, whose)
        write_new(copy, data, force=False, mode=self._store.mode)
        return copy


def where_left(path: Path, project: Project) -> tuple[str, str]:
    """Return the step and the question at which a project opens: where it was left, or begins.

    Nothing is computed where the step is known to be open.
    """
    place = left_at(path)
    for step in steps.STEPS if place else ():
        if place is None or step.id != place[0]:
            continue
        if is_as_left(path) or steps.state(project, step.id).marker != "locked":
            return place
    return steps.first_open(project).id, ""


def _bytes_of(path: Path) -> bytes:
    """Return what a file holds, nothing where it cannot be read or is no project by its size."""
    try:
        if not path.is_file():  # a pipe would wait for a writer
            return b""
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except OSError:
        return b""
    return data if len(data) <= LARGEST else b""


def _free(path: Path, whose: str) -> Path:
    """Return a name beside the project that no file has yet."""
    names = (f"{path.stem} ({whose}{'' if n == 1 else f' {n}'}).toml" for n in range(1, 1000))
    return next(free for name in names if not (free := path.with_name(name)).exists())
