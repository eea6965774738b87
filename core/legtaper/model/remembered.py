"""What was worked out of a thing, kept with it for whoever asks next."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TypeVar, cast

Made = TypeVar("Made")


def remembered(of: object, key: Hashable, make: Callable[[], Made]) -> Made:
    """Return what `make` gives, made once for each `key` while `of` lives.

    As `cached_property`, for what hangs on more than the thing itself: the sheets that a drawing
    takes, say, are first counted aloud and then printed. `of` must never change, as a frozen
    dataclass; a copy by `replace` knows nothing.
    """
    kept = vars(of).setdefault("_remembered", {})
    if key not in kept:
        kept[key] = make()
    return cast(Made, kept[key])
