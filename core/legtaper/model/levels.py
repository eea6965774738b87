"""The named levels of a leg, and how a level is written for people."""

from __future__ import annotations

LEVELS = ("hem", "calf", "knee", "thigh", "crotch", "hip", "high_hip")
"""The named levels, from the finished hem upwards. Others may be added between them."""

LEG_LEVELS = ("hem", "calf", "knee", "thigh")
"""The named levels at which a width around the leg is asked for, from the hem upwards."""


ABOVE_HEM = LEG_LEVELS[:0:-1]
"""Those above the hem, from the thigh down: where a body is measured and ease is judged."""


def say_level(level: str) -> str:
    """Return the name of a level as people write it: "high hip" for "high_hip"."""
    return level.replace("_", " ")
