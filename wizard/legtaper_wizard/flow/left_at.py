"""Where the work on each project was left: a convenience, kept beside the list of recent ones."""

from __future__ import annotations

import json
import os
from contextlib import suppress
from pathlib import Path
from typing import IO, Any

from legtaper.files.atomic_write import PRIVATE

_MOST = 20
_LARGEST = 100_000


def leave_at(path: Path, step_id: str, key: str, *, is_open: bool = False) -> None:
    """Write down the step and the question at which a project is left.

    is_open: whether the step is known to wait for nothing, which then holds of the file as it is.

    Written plainly, as a place that is lost costs a few keys: work then goes on at the first
    open step.
    """
    with suppress(OSError):  # a home that cannot be written to must not stop the work
        file = _file()
        if file.exists() and not file.is_file():  # a pipe would wait for a reader
            return
        file.parent.mkdir(0o700, parents=True, exist_ok=True)
        # Over what is there, for a file that was emptied is put on the disk at once when it is
        # closed: an answer would wait for that.
        with os.fdopen(os.open(file, os.O_RDWR | os.O_CREAT, PRIVATE), "r+b") as both:
            known = _read(both)
            known.pop(str(path), None)
            known[str(path)] = [step_id, key, _mark(path) if is_open else ""]
            both.seek(0)
            both.write(json.dumps(dict([*known.items()][-_MOST:])).encode())
            both.truncate()


def left_at(path: Path) -> tuple[str, str] | None:
    """Return the step and the question at which a project was left, nothing where unknown."""
    place = _places().get(str(path))
    if not isinstance(place, list) or len(place) not in (2, 3):  # 0.1 wrote two
        return None
    step_id, key = place[:2]
    return (step_id, key) if isinstance(step_id, str) and isinstance(key, str) else None


def is_as_left(path: Path) -> bool:
    """Whether a project was left at a step that is open, and nobody has written to it since."""
    place, mark = _places().get(str(path)), _mark(path)
    return isinstance(place, list) and len(place) == 3 and bool(mark) and place[2] == mark


def _mark(path: Path) -> str:
    with suppress(OSError, ValueError):
        stat = path.stat()
        return f"{stat.st_size} {stat.st_mtime_ns}"
    return ""


def _places() -> dict[str, Any]:
    try:
        path = _file()
        if not path.is_file():
            return {}
        with path.open("rb") as file:
            return _read(file)
    except OSError:
        return {}


def _read(file: IO[bytes]) -> dict[str, Any]:
    try:
        found = json.loads(file.read(_LARGEST))
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _file() -> Path:
    from platformdirs import user_state_path

    return user_state_path("legtaper", appauthor=False) / "left.json"
