"""What is printed, and that it counts as printed, whichever way it was written."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from legtaper.model.project import Project
    from legtaper.pattern import Pattern

BY_HAND = "When the test is printed, note it with: legtaper round FILE --printed"


def pattern_to_print(project: Project, leg: str, design: str | None = None) -> Pattern:
    """Return the pattern of a leg: the block as it is needs no design, unless one is named.

    Raises `ProjectError`.
    """
    from legtaper.pattern import build, unaltered

    if leg == "unaltered" and design is None:
        return unaltered(project)
    return build(project, design)


def count_as_printed(file: Path, design: str, on: date) -> str:
    """Note in the project file that the test of a design is printed, and say so.

    Where the file cannot be written now, it says how to note it later; nothing is lost then.
    """
    from legtaper.files.store import Store, StoreError
    from legtaper.muslin.log import mark_printed, number_to_print
    from legtaper.pattern import block_of

    try:
        store = Store.open(file, for_writing=True)
        try:
            if store.read_only:
                return BY_HAND
            project = store.project
            sewn = project.design(design)
            number = number_to_print(project, sewn)
            store.save(mark_printed(project, block_of(project), sewn, on))
        finally:
            store.close()
    except (StoreError, OSError):
        return BY_HAND
    return f"Round {number} counts as printed. Try it on, then write down what you see."
