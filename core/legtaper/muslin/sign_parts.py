"""What a sign in the muslin is made of: where one looks, its causes, and what mends each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from legtaper.model.project import CHECKLIST, Design, ProjectError, SeenSign, Trial
from legtaper.model.safe_text import clean
from legtaper.muslin.cures import Cure, Spot

GONE = "gone"
"""Stands in the place of a cause where a sign of the round before is not there any more."""


_NAMES: Mapping[Trial, str] = {
    "put the foot through": "Putting it on",
    "stand": "Standing",
    "bend the knee": "Knee up",
    "sit": "Sitting",
    "climb a step": "Climbing a step",
}
POSES: tuple[str, ...] = (*(_NAMES[trial] for trial in CHECKLIST), "After an hour")
"""What the wearer does while one looks, in the order in which one tries on."""
VIEWS = ("side", "front", "back")
"""From where one looks, in that order."""


@dataclass(frozen=True, slots=True)
class Cause:
    """Something that makes a sign.

    tell: what shows that it is this; says: what it is; cures: changes of the design, first the one
    to try first; instead: what to do where the design is not the cause; of_block: whether it is
    what both legs show; made_by: whether a design that was sewn can have made it, where that tells.
    """

    id: str
    tell: str
    says: str
    cures: tuple[Cure, ...] = ()
    instead: str = ""
    of_block: bool = False
    made_by: Callable[[Design], bool] | None = None


@dataclass(frozen=True, slots=True)
class Sign:
    """Something to see in a muslin, with its causes in the order in which to look for them."""

    id: str
    words: str
    pose: str
    view: str
    look: str
    drawing: tuple[str, ...]
    causes: tuple[Cause, ...]
    source: str = "common practice"
    first: bool = False
    """Whether it goes before all others, since a wearer may come to harm."""

    def cause(self, name: str) -> Cause:
        """Return a cause by its name. Raises `ProjectError`."""
        for one in self.causes:
            if one.id == name:
                return one
        known = ", ".join(one.id for one in self.causes)
        raise ProjectError("sign", f'"{clean(name, 30)}" is no cause of {self.id}; use {known}')

    def likely(self, seen: SeenSign, spot: Spot, sewn: Design | None = None) -> Iterator[Cause]:
        """Yield what may be the cause of what was seen: as it was put down, or as the legs tell.

        sewn: the design that shows it, which leaves out what it cannot have made.
        """
        known = {one.id: one for one in self.causes}
        if seen.cause in known:
            yield known[seen.cause]
            return
        for one in self.causes:
            told_by_legs = not spot.legs or one.of_block == spot.is_the_blocks
            if told_by_legs and (sewn is None or one.made_by is None or one.made_by(sewn)):
                yield one
