"""Which designs and rounds are set side by side, and how they are named for choosing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from legtaper.model.project import Project, ProjectError
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.steps import Cursor

if TYPE_CHECKING:
    from legtaper.muslin.compare import Column

_FIRST = 3
"""How many designs are shown unasked: as many as one screen of 80 columns holds."""


@dataclass(frozen=True, slots=True)
class Item:
    """A design or a round. `id` is what chooses it: the number of a design, or r and a number."""

    id: str
    label: str


def known_items(project: Project) -> tuple[Item, ...]:
    """Return every design, then every round, in the order of the file."""
    designs = [
        Item(str(number), clean(design.name, 40))
        for number, design in enumerate(project.designs, 1)
    ]
    rounds = [
        Item(
            f"r{number}", clean(f"round {number}: {one.design}, {one.verdict or 'no verdict'}", 60)
        )
        for number, one in enumerate(project.rounds, 1)
    ]
    return (*designs, *rounds)


def last_designs(project: Project) -> tuple[str, ...]:
    """Return the ids of the designs that are shown unasked."""
    count = len(project.designs)
    return tuple(str(number) for number in range(max(count - _FIRST, 0) + 1, count + 1))


def ids_of(text: str) -> tuple[str, ...]:
    """Return the ids that a typed line names, such as "1, 2 r4"."""
    return tuple(dict.fromkeys(text.lower().replace(",", " ").split()))


def columns_of(project: Project, ids: Sequence[str]) -> tuple[Column, ...]:
    """Return what is to be compared; the last designs where nothing is named.

    Raises `ProjectError` where there is no such item, too many are named, or one has no pattern.
    """
    from legtaper.muslin.compare import MOST, columns

    ids = ids or last_designs(project)
    known = {item.id for item in known_items(project)}
    unknown = [one for one in ids if one not in known]
    if unknown:
        raise ProjectError(
            "compare", f'"{clean(unknown[0], 20)}" is none of them; write numbers as in 1 2 or r1'
        )
    if len(ids) > MOST:
        raise ProjectError("compare", f"{MOST} at most fit side by side")
    found: list[Column] = []  # in the order in which they were named
    for one in dict.fromkeys(ids):
        is_round = one.startswith("r")
        names = [] if is_round else [project.designs[int(one) - 1].name]
        found += columns(project, names, [int(one[1:])] if is_round else [])
    return tuple(found)


def with_offer(project: Project, at: Cursor, step_id: str) -> tuple[Project, tuple[str, ...]]:
    """Return the project with what its round offers, and what of it is shown first.

    On the step of the fitting that is what was sewn and what may come next, which is nowhere
    saved; else the project is as it was.
    """
    from legtaper_wizard.flow.round_answers import offer, round_at

    found = offer(project, at) if step_id == "fitting" else None
    one = round_at(project, at) if step_id == "fitting" else None
    if one is not None and (one.verdict == "done" or not one.pinches):
        return project, _last_sewn(project, at)  # what comes next would be the same once more
    if found is None or found.sewn is None or found.even is None:
        return project, last_designs(project)
    from legtaper.muslin.log import make_current

    sewn, grown = found.sewn.design.name, project
    shown = [sewn]
    for fit, name in ((found.even, "next, even"), (found.pinched, "next, pinched")):
        if fit is not None:
            grown = grown.with_design(replace(fit.design, name=_free(project, name)))
            shown.append(grown.designs[-1].name)
    names = [design.name for design in grown.designs]
    return make_current(grown, sewn), tuple(str(names.index(name) + 1) for name in shown)


def _last_sewn(project: Project, at: Cursor) -> tuple[str, ...]:
    """Return the ids of the last two designs that were sewn, the one worked on last.

    Where only one was, the last designs of all.
    """
    from legtaper_wizard.flow.derived_state import chosen_design

    names, now = [design.name for design in project.designs], chosen_design(project, at)
    sewn = [one.design for one in project.rounds if now is None or one.design != now.name]
    if now is None or not sewn or sewn[-1] not in names:
        return last_designs(project)
    return tuple(str(names.index(name) + 1) for name in (sewn[-1], now.name))


def _free(project: Project, name: str) -> str:
    """Return a short name that no design of the project has."""
    from legtaper.muslin.next_design import next_name

    return next_name(project, name) if name in [d.name for d in project.designs] else name
