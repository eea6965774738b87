"""The list of projects opened lately: a convenience, kept with a person's own state."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from legtaper.files.atomic_write import (
    PRIVATE,
    StoreError,
    read_plain,
    refuse_special,
    replace_file,
    resolved,
)

_MOST_RECENT: Final = 20
_LONGEST_LIST: Final = 200_000  # bytes of the list


def recent() -> list[Path]:
    """Return the projects opened lately that are still there, the last one first."""
    return [path for path in _remembered() if _is_there(path)]


def remember(path: Path) -> None:
    """Put a project first in the list of recent ones."""
    # The list is a convenience; a home that cannot be written to must not stop the work.
    with suppress(OSError, StoreError):
        path = path.absolute()
        paths = [path, *(other for other in _remembered() if other != path)][:_MOST_RECENT]
        data = json.dumps([str(one) for one in paths], indent=1).encode()
        file = resolved(_recent_file())
        file.parent.mkdir(0o700, parents=True, exist_ok=True)
        refuse_special(file)
        replace_file(file, data, PRIVATE)


def _is_there(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # in a folder that is closed to us
        return False


def _remembered() -> list[Path]:
    # A pipe, a device or a huge file in its place would hold up or fill every start.
    try:
        data = read_plain(_recent_file(), _LONGEST_LIST)
        listed: Any = json.loads(data if len(data) <= _LONGEST_LIST else b"[]")
    except (OSError, StoreError, ValueError, RecursionError):
        return []
    if not isinstance(listed, list):
        return []
    return [Path(one) for one in listed if isinstance(one, str) and "\0" not in one]


def _recent_file() -> Path:
    from platformdirs import user_state_path

    return user_state_path("legtaper", appauthor=False) / "recent.json"
