"""Work in a thread of its own, so that the screen stays alive; it can be stopped and left alone."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Generic, TypeVar

from legtaper.model.cancel import Going

T = TypeVar("T")


class Background(Generic[T]):
    """Begins `work` at once. It is asked to end where `stop` is called, and nobody waits for it."""

    def __init__(self, work: Callable[[Going], T]) -> None:
        self._work = work
        self._made: T
        self._raised: BaseException | None = None
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="background", daemon=True)
        self._thread.start()

    def _run(self) -> None:
        try:
            self._made = self._work(lambda: not self._stop.is_set())
        except BaseException as error:  # raised where the result is taken
            self._raised = error

    def ends_within(self, seconds: float) -> bool:
        """Wait that long at most, and return whether it has ended."""
        self._thread.join(seconds)
        return not self._thread.is_alive()

    def stop(self) -> None:
        """Ask it to end."""
        self._stop.set()

    def result(self) -> T:
        """Return what was made of work that has ended, or raise what it raised."""
        if self._raised is not None:
            raise self._raised
        return self._made
