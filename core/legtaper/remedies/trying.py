"""Trying changes of a design: each by every check, and what counts as mended."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from legtaper.checks.base import Finding, Status
from legtaper.checks.registry import check_of
from legtaper.model.project import ProjectError
from legtaper.pattern import Fit, cut, fit_design
from legtaper.remedies.changes import Change, changed

Place = tuple[str, str]
"""A finding's id, and where."""

_FELT = 0.01  # mm or degrees; rounding
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

    def gain(self, trial: Trial, finding: Finding) -> float | None:
        """Return how much of what a finding lacks a change makes up for: 1 is all of it.

        `None` where the check does not tell: it looks at several places, or at no figure.
        """
        check = check_of(finding.id)
        if not check.one_place:
            return None
        if finding.status == "fail":
            lacking = [
                -float(check.margin(fit.leg)) for fit in (self.fit, trial.fit) if check.margin
            ]
        else:
            found = (_found(fit, finding) for fit in (self.fit, trial.fit))
            lacking = [
                one.limit - one.value
                for one in found
                if one and one.limit is not None and one.value is not None
            ]
        if len(lacking) < 2 or lacking[0] <= 0:
            return None
        return (lacking[0] - lacking[1]) / lacking[0]

    def touches(self, trial: Trial, finding: Finding) -> bool:
        """Return whether a change alone makes another figure of what a finding is about."""
        place = finding.id, finding.where
        before, after = (one.findings.get(place) for one in (self.before, trial))
        if before is None or after is None:
            return before is not after
        return abs((before.value or 0.0) - (after.value or 0.0)) > _FELT

    def mended(self, trial: Trial, finding: Finding) -> bool:
        """Return whether a finding is mended by a change, by the seams alone."""
        return _status(trial.fit, finding) < _WORSE[finding.status]

    def passes(self, trial: Trial, finding: Finding) -> bool:
        """Return whether a finding passes with a change, or is gone."""
        return _status(trial.fit, finding) == 0

    def worsened(self, trial: Trial) -> list[Finding]:
        """Return what is worse with a change than without, cut lines included; worst first.

        Where two are by the seams alone, and one of them fails, the cut lines are not asked.
        """
        worse = self._worse(trial.fit.findings)
        if len(worse) < 2 or worse[0].status != "fail":
            worse = self._worse(trial.findings.values())
        return worse

    def _worse(self, found: Iterable[Finding]) -> list[Finding]:
        old = self.before.findings
        worse = [one for one in found if _WORSE[one.status] > _status_at(old, one)]
        return sorted(worse, key=lambda one: -_WORSE[one.status])


def _status_at(found: Mapping[Place, Finding], one: Finding) -> int:
    there = found.get((one.id, one.where))
    return _WORSE[there.status] if there else 0


def _found(fit: Fit, finding: Finding) -> Finding | None:
    """Return what is found now at the place of a finding, the worst where that is several."""
    same = [one for one in fit.findings if (one.id, one.where) == (finding.id, finding.where)]
    return max(same, key=lambda one: _WORSE[one.status], default=None)


def _status(fit: Fit, finding: Finding) -> int:
    found = _found(fit, finding)
    return _WORSE[found.status] if found else 0
