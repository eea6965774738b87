"""Hip and hem in proportion, for information only."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.checks.base import Check, Finding, Leg


def _proportion(leg: Leg) -> Iterator[Finding]:
    hip = leg.project.wearer.hip
    if hip is None:
        says = "Give the hip girth to see hip and hem in proportion."
        yield Finding("proportion", "unknown", None, None, "hip", says)
        return
    hem = leg.taper.finished["hem"]
    says = f"Hip {leg.say(hip.mm)} to hem {leg.say_around(hem)}: {hip.mm / hem:.1f} to 1."
    yield Finding("proportion", "pass", hip.mm / hem, None, "hip", says)


CHECKS = (Check("proportion", "Hip to hem", _proportion, ("wearer",), one_place=True),)
