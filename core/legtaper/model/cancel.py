"""How long work is stopped: whoever asked for it says at each turn whether it is still wanted."""

from __future__ import annotations

from collections.abc import Callable


class Cancelled(Exception):  # noqa: N818  nothing went wrong
    """The caller asked to stop."""


Going = Callable[[], bool]
"""Asked again and again by work that may take long; False stops it."""


def wanted() -> bool:
    """Say that work is wanted to its end: for whoever has no way to stop it."""
    return True


def go_on(going: Going) -> None:
    """Raise `Cancelled` where the caller does not want the work any more."""
    if not going():
        raise Cancelled
