"""The changes that mend a design, as every face looks for them: once for each state of a project.

The search takes seconds, so a screen runs it in a thread of its own and shows what is there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from legtaper.model.levels import LEG_LEVELS, say_level
from legtaper.model.project import Project
from legtaper.model.said_lengths import say_around
from legtaper_wizard.flow.derived_state import Known, chosen_design, standing
from legtaper_wizard.flow.shapes import Cursor
from legtaper_wizard.flow.steps.findings import findings_on

if TYPE_CHECKING:
    from legtaper.pattern import Fit
    from legtaper.remedies.mend import Mend, Mending

LOOKING = "Looking for what is to be mended, and how..."
NO_DESIGN_YET = "There is nothing to mend yet: nothing comes off the block."

_KEPT = 8
_LEVELS = LEG_LEVELS[::-1]
_FOUND: dict[tuple[Known, str], tuple[Mending, ...]] = {}


class _NobodyWaitsError(Exception):
    """Whoever asked for a search has gone on to something else."""


def known_mends(project: Project, at: Cursor) -> tuple[Mending, ...] | None:
    """Return what mends the design that is worked on, `None` where that was not looked for yet."""
    design = chosen_design(project, at)
    return _FOUND.get((Known(project), design.name)) if design else None


def look_for_mends(
    project: Project, at: Cursor, going: Callable[[], bool] = lambda: True
) -> Iterator[Mending]:
    """Yield each finding that fails or warns with what mends it; kept once all are found.

    going: whether anybody still waits, asked before each change is tried. Raises `ProjectError`.
    """
    design, fit = chosen_design(project, at), standing(project, at).fit
    if design is None or fit is None:
        return
    known = known_mends(project, at)
    if known is not None:
        yield from known
        return
    from legtaper.pattern import cut
    from legtaper.remedies.mend import mendings

    def wanted() -> None:
        if not going():
            raise _NobodyWaitsError

    found: list[Mending] = []
    try:
        for one in mendings(cut(fit), before_each=wanted):
            found.append(one)
            yield one
    except _NobodyWaitsError:
        return
    for oldest in list(_FOUND)[: 1 - _KEPT]:
        _FOUND.pop(oldest, None)
    _FOUND[Known(project), design.name] = tuple(found)


def can_be_mended(project: Project, step_id: str, at: Cursor) -> int | None:
    """Return how many changes mend what fails or warns on a step; `None` where none is looked for.

    Where it was not searched yet it is -1: there are moves for it, and whether they mend it is
    not known.
    """
    from legtaper.checks.registry import check_of

    shown = [
        one
        for one in findings_on(step_id, standing(project, at).fit)
        if one.status in ("fail", "caution") and check_of(one.id).moves
    ]
    if not shown:
        return None
    known = known_mends(project, at)
    if known is None:
        return -1
    places = {(one.id, one.where) for one in shown}
    return sum(len(m.mends) for m in known if (m.finding.id, m.finding.where) in places)


def mended_fit(project: Project, at: Cursor, mend: Mend) -> Fit | None:
    """Return the design with a change made, computed; nothing where it cannot be."""
    from legtaper.remedies.mend import take

    design = chosen_design(project, at)
    return standing(take(project, design.name, mend), at).fit if design else None


def widths_then(before: Fit, after: Fit) -> list[tuple[str, str, str]]:
    """Return level, width around the leg now and with a change, from the thigh down."""
    unit = before.project.length_unit
    return [
        (say_level(level).capitalize(), say_around(was, unit), say_around(then, unit))
        for level in _LEVELS
        if (was := before.taper.finished.get(level)) is not None
        and (then := after.taper.finished.get(level)) is not None
    ]
