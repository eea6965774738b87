"""Does a fabric that was stretched go back."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.checks.base import Check, Finding, Leg, Status

STAYS_LONGER = 5.0
"""Percent; a strip that stays longer than that once it was stretched and let go makes knees bag:
common practice."""


def _recovery(leg: Leg) -> Iterator[Finding]:
    """Say what a strip of a knit or a stretch fabric showed; firm fabric is not asked about."""
    fabric = leg.project.fabric
    if fabric.kind == "woven":
        return
    stays, bound = fabric.stays_longer_percent, f"{STAYS_LONGER:g} %"
    status: Status = "pass"
    if stays is None:
        status = "unknown"
        says = (
            "Whether the fabric goes back after a stretch is unknown; one that stays more than "
            f"{bound} longer bags at the knee."
        )
    elif stays > STAYS_LONGER + 1e-9:
        status = "caution"
        says = (
            f"The fabric stays {stays:.3g} % longer once it was stretched; above {bound} it bags "
            "at the knee. Take a fabric that goes back, or make the leg wider at the knee."
        )
    else:
        says = (
            f"The fabric stays {stays:.3g} % longer once it was stretched; that is within {bound}."
        )
    yield Finding("recovery", status, stays, STAYS_LONGER, "fabric", says)


CHECKS = (Check("recovery", "Recovery of the fabric", _recovery, ("wearer", "narrowing")),)
