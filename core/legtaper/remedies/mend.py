"""For each finding that fails or cautions: the changes of the design that mend it.

Every move that can touch the finding is tried on ruler steps, the least change first, and judged by
all the checks, cut lines included. Offered are at most three: those that mend it and make nothing
worse, the plainest first. Where one move alone does not mend it, two together are tried. A failure
that nothing mends so is mended at the price of warnings, which the sentence names. What the wearer
asked for stays, unless it is what was found fault with, or all that leaves it touches several
answers: then less is taken off the hem, too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, islice, product

from legtaper.checks.base import Finding, Status
from legtaper.checks.registry import check_of, name_of
from legtaper.model.project import Project
from legtaper.pattern import AS_IT_IS, Fit, Pattern, fit_design
from legtaper.remedies.changes import Change, changed
from legtaper.remedies.moves import MOVES, NEARLY
from legtaper.remedies.trying import Bench, Trial
from legtaper.remedies.wording import say_change

ORDER: tuple[Status, ...] = ("fail", "caution")

MOST_FITS = 200
"""How many fits one finding may take at most."""

_OFFERED = 3
_LAST = "wider hem"
_NOT_NARROWING = ("slit", "faced hem", "shallower hem", "not asked")
"""Moves that may help where the block itself has what was found: no less narrowing does."""

_OF_EACH = 6  # changes of a move that are tried together with those of another
_PROBED = 5  # changes of a move that are tried before all of many are
_NEAR = 0.5  # of what a failing finding lacks; what makes up for less is not followed further
_REPAIRED = 5  # changes that mend but worsen, for which a repair is looked for


@dataclass(frozen=True)
class Mend:
    """One change that mends a finding.

    number: counted from 1 over all of a design, what fails first; an equal change of two findings
    has one. finding, where: what it mends.
    says: what is changed, and what else that does. set: the keys of the design and their new
    texts, `None` for one that goes. fails, cautions: how many findings do so then.
    """

    number: int
    finding: str
    where: str
    says: str
    set: Change
    fails: int
    cautions: int


@dataclass(frozen=True)
class Mending:
    """What can be done about one finding; `why_not` says what stands in the way where nothing."""

    finding: Finding
    mends: tuple[Mend, ...]
    why_not: str
    fits: int


def mends(pattern: Pattern, only: Collection[Status] = ORDER) -> tuple[Mending, ...]:
    """Return what mends each finding that fails, then each that cautions; numbered through."""
    return tuple(mendings(pattern, only))


def mendings(
    pattern: Pattern,
    only: Collection[Status] = ORDER,
    before_each: Callable[[], None] = lambda: None,
) -> Iterator[Mending]:
    """Yield what `mends` returns, one finding after the other, as each is found.

    before_each: called before each change is tried; what it raises ends the search.
    """
    bench, numbers = Bench(pattern.fit, before_each=before_each), dict[frozenset[object], int]()
    for status in (one for one in ORDER if one in only):
        for finding in pattern.findings:
            if finding.status == status:
                found = _mending(bench, finding)
                own = []
                for one in found.mends:
                    known = numbers.setdefault(frozenset(one.set.items()), len(numbers) + 1)
                    own.append(replace(one, number=known))
                yield replace(found, mends=tuple(own))


def take(project: Project, design_name: str, mend: Mend) -> Project:
    """Return the project with a mend made in a design. Raises `ProjectError`."""
    design = project.design(design_name)
    return project.with_design(changed(design, mend.set, project.length_unit))


def _mending(bench: Bench, finding: Finding) -> Mending:
    search = _Search(bench, finding, bench.fits + MOST_FITS)
    start = bench.fits
    found = search.singly() or search.repaired()
    if not found and not search.in_the_block:
        found = search.in_pairs() or search.by_giving_up() or search.with_warnings()
    elif found and not any(_answers(trial) == 1 for trial in found):
        found = [*found, *search.by_giving_up()]  # one answer, given up in part, may be plainer
    found = [one for one in found if not any(search.is_enough(other, one) for other in found)]
    kinds = {search.kind(trial): trial for trial in sorted(found, key=search.cost, reverse=True)}
    chosen = sorted(kinds.values(), key=search.cost)[:_OFFERED]
    made = tuple(
        Mend(0, finding.id, finding.where, say_change(bench.before, one, finding), one.change,
             one.count("fail"), one.count("caution"))
        for one in chosen
    )  # fmt: skip
    why_not = "" if made else search.why_not()
    return Mending(finding, made, why_not, bench.fits - start)


class _Search:
    """The search for what mends one finding, within a number of fits."""

    def __init__(self, bench: Bench, finding: Finding, most: int) -> None:
        self.bench, self.finding, self.most = bench, finding, most
        names = check_of(finding.id).moves
        self.giving_up = _LAST in names and finding.where != "hem"
        self.names = [name for name in names if name != _LAST or not self.giving_up]
        if self.in_the_block:
            self.names = [name for name in self.names if name in _NOT_NARROWING]
        self.in_the_way: Counter[str] = Counter()
        self.nearly: list[tuple[Trial, Finding]] = []
        self.warned: list[Trial] = []

    def singly(self) -> list[Trial]:
        """Return the first change of each move that mends, and the first with which it passes."""
        every = (list(self._changes(name)) for name in self.names)
        return self._strictly(self._first(iter(one)) for one in every if not self._hopeless(one))

    def repaired(self) -> list[Trial]:
        """Return changes that mend but make something worse, with what mends that."""
        groups = []
        for trial, worse in self.nearly[:_REPAIRED]:
            moves = check_of(worse.id).moves
            changes = (
                {**trial.change, **change}
                for name in moves
                for change in islice(MOVES[name](trial.fit, worse), 3)
            )
            groups.append(self._first(changes))
        return self._strictly(groups)

    @cached_property
    def in_the_block(self) -> bool:
        """Whether the block itself has what was found."""
        fit, place = self.bench.fit, (self.finding.id, self.finding.where)
        # A slit is the design's own, so what is found of one is not the block's.
        slit = "none" if "slit" in check_of(self.finding.id).moves else fit.design.slit
        own = replace(AS_IT_IS, hem=fit.design.hem, slit=slit)
        found = fit_design(fit.project, own, fit.block).findings
        return any(
            (one.id, one.where) == place and one.status == self.finding.status for one in found
        )

    def in_pairs(self) -> list[Trial]:
        """Return the same of two moves together."""
        some = {name: list(islice(self._changes(name), 60)) for name in self.names}
        most = _OF_EACH if self.finding.status == "fail" else _OF_EACH // 2
        spread = {name: _spread(changes, most) for name, changes in some.items() if changes}
        pairs = [
            self._first(
                {**one, **other}
                for one, other in product(spread[a], spread[b])
                if self._may_help((a, one), (b, other))
            )
            for a, b in combinations(spread, 2)
        ]
        return self._strictly(pairs)

    def _may_help(self, *moved: tuple[str, Change]) -> bool:
        """Whether two changes together may do what neither does alone, by what each does alone.

        Where one mends, the other must touch what that worsens. Where none does, each must bring
        the finding nearer, and both together by half of what it lacks at least.
        """
        tried = [(name, self.bench.try_out(change)) for name, change in moved]
        mending = [trial for _, trial in tried if trial and self.bench.mended(trial, self.finding)]
        if len(mending) == 1:
            name, helper = next(one for one in tried if one[1] is not mending[0])
            worse = self.bench.worsened(mending[0])
            return any(
                name in check_of(one.id).moves or (helper and self.bench.touches(helper, one))
                for one in worse
            )
        gains = [self.bench.gain(trial, self.finding) for _, trial in tried if trial]
        known = [gain for gain in gains if gain is not None]
        if mending or len(known) < len(tried):
            return True
        return min(known) > 0 and sum(known) >= _NEAR

    def _hopeless(self, changes: list[Change]) -> bool:
        """Whether some of many changes, the farthest among them, come nowhere near a mend."""
        if len(changes) <= _PROBED:
            return False
        tried = [self.bench.try_out(one) for one in [*_spread(changes, _PROBED - 1), changes[-1]]]
        gains = [self.bench.gain(trial, self.finding) for trial in tried if trial]
        return bool(gains) and all(gain is not None and gain < _NEAR for gain in gains)

    def by_giving_up(self) -> list[Trial]:
        """Return what mends by a wider hem than was asked for, where that was not tried yet."""
        if not self.giving_up or self.in_the_block:
            return []
        return self._strictly([self._first(self._changes(_LAST))])

    def with_warnings(self) -> list[Trial]:
        """Return what mends a failure where nothing else does, at the price of warnings only."""
        return self._strictly([self.warned]) if self.finding.status == "fail" else []

    def cost(self, trial: Trial) -> tuple[float, ...]:
        """Return what makes one mend better than another, the weightiest first.

        The plainest comes first: what changes the fewest answers, where to give up some of what
        was asked for weighs as much as one answer more.
        """
        before, after = self.bench.fit.taper.finished, trial.fit.taper.finished
        wider = after["hem"] - before["hem"]
        nearly = self.finding.id in ("hem-opening", "slit") and 0 < wider < NEARLY
        moved = sum(abs(after[level] - width) for level, width in before.items())
        asked = any(_is_asked(self.bench.fit, key) for key in trial.change) or wider > 0.01
        answers = _answers(trial)
        return (
            trial.count("fail"), answers + (asked and not nearly), answers, trial.count("caution"),
            moved,
        )  # fmt: skip

    def kind(self, trial: Trial) -> tuple[object, ...]:
        """Return what two mends have in common of which the better one is enough."""
        return frozenset(trial.change), trial.count("fail"), trial.count("caution")

    def is_enough(self, less: Trial, more: Trial) -> bool:
        """Whether a part of a change comes to as good a leg as all of it."""
        part = less.change.items() < more.change.items()
        return part and all(less.count(one) <= more.count(one) for one in ORDER)

    def why_not(self) -> str:
        """Say what stands in the way."""
        if not check_of(self.finding.id).moves:
            return "This is not mended by a change of the design."
        if self.in_the_block:
            return "The block itself has this, so no change of the narrowing mends it."
        if not self.in_the_way:
            return "None of the changes that were tried mends it."
        name, _ = self.in_the_way.most_common(1)[0]
        return f"What would mend it makes something else worse: {name}."

    def _changes(self, name: str) -> Iterator[Change]:
        return MOVES[name](self.bench.fit, self.finding)

    def _first(self, changes: Iterator[Change]) -> list[Trial]:
        """Return the first change that mends and worsens nothing, and the first that passes."""
        found: list[Trial] = []
        for change in changes:
            if self.bench.fits >= self.most:
                break
            trial = self.bench.try_out(change)
            if trial is None or not self.bench.mended(trial, self.finding):
                continue
            passes = self.bench.passes(trial, self.finding)
            if (found and not passes) or self._worsens(trial):
                continue
            found.append(trial)
            if passes:
                break
        return found

    def _worsens(self, trial: Trial) -> bool:
        worse = self.bench.worsened(trial)
        if worse and all(one.status == "caution" for one in worse):
            self.warned.append(trial)
        if len(worse) == 1:
            self.nearly.append((trial, worse[0]))
        self.in_the_way.update(name_of(one.id, one.where) for one in worse[:1])
        return bool(worse)

    def _strictly(self, groups: Iterator[list[Trial]] | list[list[Trial]]) -> list[Trial]:
        """Return the trials of all groups, those that come to the same design once."""
        found: dict[str, Trial] = {}
        for trial in (one for group in groups for one in group):
            found.setdefault(repr(trial.fit.design), trial)
        return list(found.values())


def _answers(trial: Trial) -> int:
    """Return how many answers a change touches; a facing that is folded once is one of them."""
    return len(trial.change) - ({"hem.style", "hem.turn_under"} <= trial.change.keys())


def _is_asked(fit: Fit, key: str) -> bool:
    """Return whether the wearer said something of her own about a key of the design."""
    part, _, rest = key.partition(".")
    design = fit.design
    if part in ("width", "take_in"):
        return rest in getattr(design, part)
    if part == "blend" and rest != "style":
        where = design.curve if rest.endswith("_curve") else design.blend
        return rest.removesuffix("_curve") in where
    return part in ("extra", "shift") or (part == "back_room" and rest in design.back_room)


def _spread(changes: list[Change], most: int) -> list[Change]:
    """Return some of many changes, evenly spread, the first among them."""
    step = max(1, len(changes) // most)
    return changes[::step][:most]
