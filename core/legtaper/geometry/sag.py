"""How far a straight hem lies off the true one of a leg that narrows or flares."""

from __future__ import annotations

import math


def sag(chord: float, opening: float) -> float:
    """Return the height of the arc over a straight hem of `chord` mm, 0 where sides are parallel.

    `opening` is how much wider the panel gets for each mm of height (the cone's angle, radians).
    """
    if opening < 1e-9:
        return 0.0
    radius = chord / opening
    return radius - math.sqrt(max(0.0, radius**2 - (chord / 2) ** 2))
