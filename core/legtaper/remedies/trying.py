"""Trying changes of a design: each by every check, and what counts as mended."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from legtaper.checks.base import Finding, Status
from legtaper.model.project import ProjectError
from legtaper.pattern import Fit, cut, fit_design
from legtaper.remedies.changes import Change, changed

Place = tuple[str, str]
"""A finding's id, and where."""

_Key = frozenset[tuple[str, str | None]]

_WORSE: Mapping[Status, int] = {"pass": 0, "unknown": 0, "caution": 1, "fail": 2}


@dataclass(frozen=True)
class Trial:
    """A change that could be made: the fit that comes of it, and every finding of its pattern."""

    change: Change
    fit: Fit

    @cached_property
    def findings(self) -> Mapping[Place, Finding]:
        """Every finding, cut lines included."""
        return {(one.id, one.where): one for one in cut(self.fit).findings}

    def count(self, status: Status) -> int:
        """Return how many findings have a status."""
        return sum(one.status == status for one in self.findings.values())


@dataclass
class Bench:
    """The design as it is, and every change of it that was tried, once each.

    fits: how many were made, so that a search can be held to a number of them. before_each: called
    before each is made; whoever no longer waits for the search raises in it.
    """

    fit: Fit
    fits: int = 0
    before_each: Callable[[], None] = lambda: None
    _tried: dict[_Key, Trial | None] = field(default_factory=dict)
    _refused: dict[_Key, str] = field(default_factory=dict)

    @cached_property
    def before(self) -> Trial:
        """The design without a change."""
        return Trial({}, self.fit)

    def try_out(self, change: Change) -> Trial | None:
        """Return what comes of a change, or `None` where there is no such leg."""
        key = frozenset(change.items())
        if key not in self._tried:
            self.before_each()
            self.fits += 1
            self._tried[key] = self._made(key, change)
        return self._tried[key]

    def why_none(self, change: Change) -> str:
        """Say why there is no such leg; "" where that was not tried or the design is the same."""
        return self._refused.get(frozenset(change.items()), "")

    def _made(self, key: _Key, change: Change) -> Trial | None:
        project = self.fit.project
        try:
            design = changed(self.fit.design, change, project.length_unit)
            if design == self.fit.design:
                return None
            return Trial(change, fit_design(project, design, self.fit.block))
        except ProjectError as error:
            self._refused[key] = error.problem
            return None

    def mended(self, trial: Trial, finding: Finding) -> bool:
        """Return whether a finding is mended by a change, by the seams alone."""
        return _status(trial.fit, finding) < _WORSE[finding.status]

    def passes(self, trial: Trial, finding: Finding) -> bool:
        """Return whether a finding passes with a change, or is gone."""
        return _status(trial.fit, finding) == 0

    def worsened(self, trial: Trial) -> list[Finding]:
        """Return what is worse with a change than without, cut lines included; worst first."""
        old = self.before.findings
        worse = [
            one
            for place, one in trial.findings.items()
            if _WORSE[one.status] > (_WORSE[old[place].status] if place in old else 0)
        ]
        return sorted(worse, key=lambda one: -_WORSE[one.status])


def _status(fit: Fit, finding: Finding) -> int:
    same = (one for one in fit.findings if (one.id, one.where) == (finding.id, finding.where))
    return max((_WORSE[one.status] for one in same), default=0)
