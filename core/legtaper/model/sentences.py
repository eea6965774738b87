"""What several things are called in one sentence."""

from __future__ import annotations

from collections.abc import Sequence


def listed(words: Sequence[str]) -> str:
    """Return words as a sentence lists them: "hem", "hem and calf", "hem, calf and knee"."""
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))
