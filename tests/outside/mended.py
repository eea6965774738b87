"""How many failing designs of measured adults have a remedy, and whether it holds when taken.

`python tests/outside/mended.py [STEP [KIND...]]` prints the figures for every STEPth of the 507 of
bdims and of 200 of ANSUR II (sources: bodies.py): each narrowed mildly, strongly and to a leg that
is close all the way up, without a slit and with one, with seams that follow or with ruled ones.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import bodies
import sample

from legtaper.model.project import Design, ProjectError, Style
from legtaper.pattern import Fit, Pattern, cut, fit_design
from legtaper.remedies.changes import changed
from legtaper.remedies.mend import Mend, Mending, mends
from legtaper.search.sweep import at_hem

_ROUNDS = 6  # changes taken one after the other


def people() -> list[tuple[bodies.Body, float | None]]:
    """Return 507 adults of bdims and 200 of ANSUR II, each with the inside leg where known."""
    found: list[tuple[bodies.Body, float | None]] = [(body, None) for body in bodies.bdims()]
    if bodies.ANSUR.exists():
        found += random.Random(7).sample(bodies.ansur(), 200)
    return found


def tapers(
    fitted: Fit,
    takes: Sequence[float | None] = (bodies.MILD, bodies.STRONG, None),
    styles: Sequence[Style] = ("follow", "straight"),
) -> Iterator[Fit]:
    """Yield tapers of one body: so much off each edge at the hem, `None` for one that is close."""
    for take in takes:
        asked = close(fitted) if take is None else at_hem(fitted.design, take)
        for slit, style in product(("none", "auto"), styles):
            design = replace(asked, slit=slit, style=style)
            try:
                yield fit_design(fitted.project, design, fitted.block)
            except ProjectError:
                continue


def close(fitted: Fit) -> Design:
    """Return a leg 1 1/2 in narrower at each edge of the hem, and a knee as wide as the knee."""
    knee = fitted.project.wearer.knee
    width = {"knee": knee} if knee else {}
    return replace(at_hem(fitted.design, 38.1), width=width)


@dataclass
class Figures:
    """What came of it: how many designs fail, have a remedy for every failure, come well."""

    designs: int = 0
    failing: int = 0
    sound_block: int = 0
    all_mended: int = 0
    come_well: int = 0
    offered: int = 0
    hold: int = 0
    fits: list[int] = field(default_factory=list)
    without: Counter[str] = field(default_factory=Counter)

    def add(self, fitted: Fit) -> None:
        """Look at one design, and take what is offered first until nothing fails."""
        self.designs += 1
        pattern = cut(fitted)
        if not pattern.failed:
            return
        self.failing += 1
        found = mends(pattern, only=("fail",))
        bare = fit_design(fitted.project, sample.design(take_in={}, slit="auto"), fitted.block)
        if not bare.failed:
            self.sound_block += 1
            self.all_mended += all(one.mends for one in found)
        self.fits += [one.fits for one in found]
        self.without.update(one.finding.id for one in found if not one.mends)
        for one in found:
            for mend in one.mends:
                self.offered += 1
                self.hold += holds(pattern, one, mend)
        self.come_well += comes_well(pattern, found)


def taken(pattern: Pattern, mend: Mend) -> Pattern:
    """Return the pattern with a mend taken."""
    fit = pattern.fit
    design = changed(fit.design, mend.set, fit.project.length_unit)
    return cut(fit_design(fit.project, design, fit.block))


def holds(pattern: Pattern, one: Mending, mend: Mend) -> bool:
    """Return whether a mend does what it says, and nothing fails that did not fail before."""
    after = taken(pattern, mend)
    failing = {(found.id, found.where) for found in after.findings if found.status == "fail"}
    before = {(found.id, found.where) for found in pattern.findings if found.status == "fail"}
    place = (one.finding.id, one.finding.where)
    return place not in failing and failing <= before and len(failing) == mend.fails


def comes_well(pattern: Pattern, found: Iterable[Mending]) -> bool:
    """Return whether nothing fails in the end where what is offered first is always taken."""
    for _ in range(_ROUNDS):
        first = next((mend for one in found for mend in one.mends), None)
        if first is None:
            return False
        pattern = taken(pattern, first)
        if not pattern.failed:
            return True
        found = mends(pattern, only=("fail",))
    return False


def main(step: int, kinds: Sequence[str]) -> None:
    """Print the figures; kinds: some of "mild", "strong", "close", "ruled"."""
    takes: dict[str, float | None] = {
        "mild": bodies.MILD, "strong": bodies.STRONG, "close": None,
    }  # fmt: skip
    chosen = [takes[kind] for kind in takes if kind in kinds] or list(takes.values())
    styles: tuple[Style, ...] = ("straight",) if "ruled" in kinds else ("follow",)
    figures = Figures()
    for body, leg in people()[::step]:
        for fitted in tapers(bodies.drafted(body, leg), chosen, styles):
            figures.add(fitted)
    fits = sorted(figures.fits) or [0]
    print(f"designs {figures.designs}, failing {figures.failing}")
    print(f"of those whose block passes: {figures.sound_block}, every failure has a remedy in "
          f"{figures.all_mended}")  # fmt: skip
    print(f"come well when the first is taken: {figures.come_well} of {figures.failing}")
    print(f"offered {figures.offered}, hold when taken {figures.hold}")
    print(f"fits a finding: median {fits[len(fits) // 2]}, most {fits[-1]}")
    print(f"without a remedy: {dict(figures.without)}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1, sys.argv[2:])
