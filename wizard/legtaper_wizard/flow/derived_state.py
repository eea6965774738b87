"""How far the answers carry: the block and the fit of a project, or what stands in their way."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from legtaper.model.project import Design, Project, ProjectError
from legtaper_wizard.flow.shapes import Cursor

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.pattern import Fit
    from legtaper.search.hem_widths import HemWidths


class Problem(NamedTuple):
    """Why something cannot be computed yet: `key` is that of the question, `text` says what."""

    key: str
    text: str


class Standing(NamedTuple):
    """What can be computed: the block and the fit, or the problem with each."""

    block: Block | None = None
    block_problem: Problem | None = None
    fit: Fit | None = None
    fit_problem: Problem | None = None


class NotYetError(Exception):
    """A figure was asked for before there are any."""


_early = ContextVar("early", default=False)


@contextmanager
def before_the_figures() -> Iterator[None]:
    """Let `standing` raise `NotYetError` in place of computing anything.

    What can be said so is there at once: what computes is loaded only after the first paint.
    """
    token = _early.set(True)
    try:
        yield
    finally:
        _early.reset(token)


def standing(project: Project, at: Cursor) -> Standing:
    """Return how far the project carries. Never raises but `before_the_figures`."""
    if _early.get() and not _is_empty(project):
        raise NotYetError
    return _standing_of(Itself(project), at)


def chosen_design(project: Project, at: Cursor) -> Design | None:
    """Return the design that is worked on: the one named, else the current one, else none."""
    named = next((design for design in project.designs if design.name == at.design), None)
    if named is not None or not project.designs:
        return named
    return project.design()


def asks_for_something(design: Design | None) -> bool:
    """Whether a design says at any level that an edge shall lie elsewhere."""
    return design is not None and any(
        (design.take_in, design.width, design.extra, design.shift, design.back_room)
    )


class Itself:
    """A project as a key of a cache: this very one, no other that is equal to it."""

    __slots__ = ("project",)

    def __init__(self, project: Project) -> None:
        self.project = project

    def __hash__(self) -> int:
        return id(self.project)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Itself) and other.project is self.project


class Known:
    """A project as a key of a cache: by its value, though its mappings have no hash."""

    def __init__(self, project: Project) -> None:
        self.project = project
        self._hash = hash((project.name, project.wearer, project.fabric, len(project.rounds)))

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Known) and other.project == self.project


@lru_cache(maxsize=8)  # every step asks for the same fit between two answers
def _standing_of(key: Itself, at: Cursor) -> Standing:
    design = chosen_design(key.project, at)
    return _standing(Known(key.project), design.name if design else None)


# What was typed and then taken is the same project once more.
@lru_cache(maxsize=8)
def _standing(key: Known, design_name: str | None) -> Standing:
    project = key.project
    if _is_empty(project):
        return Standing(block_problem=Problem("block.height.crotch", "is not measured yet"))
    from legtaper.pattern import block_of, fit_design

    try:
        block = block_of(project)
    except ValueError as error:
        return Standing(block_problem=_problem(error))
    design = chosen_design(project, Cursor(design_name))
    if design is None:
        return Standing(block)
    try:
        return Standing(block, fit=fit_design(project, design, block))
    except ValueError as error:
        return Standing(block, fit_problem=_problem(error, design))


def _is_empty(project: Project) -> bool:
    return not (project.block.height or project.block.reach or project.block.outline)


def widths_that_work(project: Project, at: Cursor) -> HemWidths | None:
    """Return which hem widths work, nothing while nothing can be computed."""
    design, fit = chosen_design(project, at), standing(project, at).fit
    if design is None or fit is None:
        return None
    from legtaper.search.sweep import at_hem

    # All hems are tried, so which one is asked for is no part of the key.
    designs = tuple(at_hem(one, 0) if one is design else one for one in project.designs)
    return _widths(_ForAnyHem(fit, replace(project, designs=designs)), design.name)


class _ForAnyHem(Known):
    """A project without the width of its hem as a key, with the fit that is looked at."""

    def __init__(self, fit: Fit, project: Project) -> None:
        super().__init__(project)
        self.fit = fit


@lru_cache(maxsize=4)
def _widths(key: _ForAnyHem, design_name: str) -> HemWidths:  # noqa: ARG001  the name is of the key
    from legtaper.search.hem_widths import hem_widths

    return hem_widths(key.fit)


def _problem(error: ValueError, design: Design | None = None) -> Problem:
    if not isinstance(error, ProjectError):
        return Problem("", str(error))
    key = error.key
    if design is not None:
        key = key.replace(f'design "{design.name}"', "design", 1)
    return Problem(key, error.problem)
