"""What is made once and stays: modules, and what they hold."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def lasting() -> Iterator[None]:
    """Let what is made meanwhile stay.

    To look through it for garbage, again and again, would take a tenth of the start and most of
    the end.
    """
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()
