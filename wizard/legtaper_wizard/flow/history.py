"""Undo and redo, over whole projects."""

from __future__ import annotations

from typing import NamedTuple

from legtaper.model.project import Project


class History(NamedTuple):
    """The present project, what it was before (oldest first) and what was undone (next first)."""

    present: Project
    past: tuple[Project, ...] = ()
    future: tuple[Project, ...] = ()

    def push(self, changed: Project) -> History:
        """Return the history with one more step; an equal project is no step."""
        if changed == self.present:
            return self
        return History(changed, (*self.past, self.present))

    def undo(self) -> History:
        """Return the history one step back, or as it is where there is none."""
        if not self.past:
            return self
        return History(self.past[-1], self.past[:-1], (self.present, *self.future))

    def redo(self) -> History:
        """Return the history with the last undone step taken again, or as it is."""
        if not self.future:
            return self
        return History(self.future[0], (*self.past, self.present), self.future[1:])
