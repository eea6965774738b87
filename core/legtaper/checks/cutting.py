"""What only the cut lines can show: whether scissors can follow them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from legtaper.checks.base import Check, Finding, Leg
from legtaper.geometry.offset import crosses_itself, crossing
from legtaper.model.project import PanelName

if TYPE_CHECKING:
    from legtaper.checks.base import Pieces


def uncuttable(panels: Pieces) -> tuple[PanelName, ...]:
    """Return the names of the panels whose cut line crosses itself; none in a sound pattern."""
    return tuple(name for name, panel in panels.items() if crosses_itself(panel.shape.cut))


def _cut_line(leg: Leg) -> Iterator[Finding]:
    """Say where the cut line of a panel crosses itself; found only where one does."""
    panels = leg.panels or {}
    for name in uncuttable(panels):
        _, y = crossing(panels[name].shape.cut)
        side = "above" if y > 0 else "below"
        away = "at the hem line" if abs(y) < 1 else f"{leg.say(abs(y))} {side} the hem line"
        says = (
            f"The cut line of the {name} crosses itself {away}, so it cannot be cut: the shape has "
            "no room there for its allowances."
        )
        yield Finding("cut-line", "fail", y, None, name, says)


CUT_LINE = Check(
    "cut-line",
    "Cut line",
    _cut_line,
    ("pattern",),
    "cut line crosses itself",
    cut=True,
    moves=("shallower hem", "slit", "blend both", "wider hem"),
)
CHECKS = (CUT_LINE,)
