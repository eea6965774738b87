"""Measured adults: blocks, tapers, slits and the published figures they must give.

Sources: as in bodies.py. Published figures of ANSUR II (Gordon et al. 2014, NATICK/TR-15/007) and
of bdims (Heinz et al. 2003) are computed from the public tables.
"""

from __future__ import annotations

import random

import bodies
import numpy as np
import pytest
import sample

from legtaper.leg.foot import foot_entry, hem_need
from legtaper.model.project import Wearer
from legtaper.pattern import Fit

needs_ansur = pytest.mark.skipif(
    not bodies.ANSUR.exists(),
    reason="../shared/data/ansur2-legs.csv is not at hand (or name it in ANSUR2_LEGS)",
)


@pytest.fixture(scope="module")
def adults() -> list[tuple[bodies.Body, Fit]]:
    """Return the 507 of bdims, each with the mild taper of a block drafted for them."""
    return [(body, bodies.drafted(body)) for body in bodies.bdims()]


def test_every_invariant_for_507_adults(adults: list[tuple[bodies.Body, Fit]]) -> None:
    """Mildly, strongly, and to the narrowest hem the foot passes: every invariant holds."""
    assert len(adults) == 507
    for _, fitted in adults:
        bodies.check(fitted)


@needs_ansur
def test_every_invariant_for_a_sample_of_6068() -> None:
    """The same for 200 of ANSUR II; bodies.py, which makes the page, checks everyone."""
    people = bodies.ansur()
    assert len(people) == 6068
    for body, leg in random.Random(7).sample(people, 200):
        bodies.check(bodies.drafted(body, leg))


def test_the_page_is_up_to_date_on_bdims(adults: list[tuple[bodies.Body, Fit]]) -> None:
    """examples/bodies.md has, letter for letter, what the 507 give now."""
    found = [bodies.result(body, fitted) for body, fitted in adults]
    assert bodies.part("bdims", found) in bodies.PAGE.read_text(encoding="utf-8")


@needs_ansur
def test_the_page_is_up_to_date_on_ansur() -> None:
    """How many need a slit stands there as the measured feet of all 6,068 have it."""
    page = bodies.PAGE.read_text(encoding="utf-8")
    people = bodies.ansur()
    for sex, name in bodies.SEXES.items():
        feet = [foot_entry(body.wearer) for body, _ in people if body.sex == sex]
        widths = [foot.mm for foot in feet if foot is not None]
        shares = " | ".join(
            f"{100 * sum(mm > 10 * hem for mm in widths) / len(widths):.1f}" for hem in bodies.HEMS
        )
        assert f"| {name}, all ({len(widths)}) | {shares} |" in page


@needs_ansur
def test_the_slit_is_no_surprise() -> None:
    """On a sample: none where the hem is as wide as the foot, some everywhere else."""
    for body, leg in random.Random(11).sample(bodies.ansur(), 60):
        found = bodies.result(body, bodies.drafted(body, leg))
        needed = [found.foot > 10 * hem + 1e-9 for hem in bodies.HEMS]
        assert [height > 0 for height in found.slits] == needed


@needs_ansur
def test_shares_of_women_by_foot_entry() -> None:
    """At most 30, 32, 34, 36 cm: 27.6, 75.8, 96.8, 99.9 % of the women of ANSUR II."""
    feet = np.array(
        [
            float(row["heelanklecircumference_mm"])
            for row in bodies.ansur_rows()
            if row["sex"] == "f"
        ]
    )
    shares = [100 * float((feet <= 10 * hem).mean()) for hem in (30, 32, 34, 36)]
    assert shares == pytest.approx([27.6, 75.8, 96.8, 99.9], abs=0.05)


@needs_ansur
def test_the_estimate_covers_nearly_everyone() -> None:
    """From ankle and height, the estimate is enough for at least 94 in 100 women, and men."""
    for sex in bodies.SEXES:
        enough = []
        for body, _ in bodies.ansur():
            if body.sex == sex:
                measured = body.wearer.foot_entry
                guess = foot_entry(Wearer(height=body.wearer.height, ankle=body.wearer.ankle))
                assert measured is not None
                assert guess is not None
                enough.append(guess.mm >= measured.mm)
        assert sum(enough) >= 0.94 * len(enough), sex


def test_girths_over_the_hip() -> None:
    """Thigh to hip 0.598 and 0.578, knee to hip 0.369 and 0.381: women and men of bdims."""
    for sex, thigh, knee in (("f", 0.598, 0.369), ("m", 0.578, 0.381)):
        some = [body.wearer for body in bodies.bdims() if body.sex == sex]
        for key, published in (("thigh", thigh), ("knee", knee)):
            shares = [getattr(one, key).mm / one.hip.mm for one in some if one.hip]
            assert float(np.mean(shares)) == pytest.approx(published, abs=0.0005)


@needs_ansur
@pytest.mark.parametrize(
    ("sex", "percentiles", "larger"), [("f", (27, 62, 103), 99.9), ("m", (10, 49, 88), 98.3)]
)
def test_a_hem_at_the_calf_must_let_the_calf_through(
    sex: str, percentiles: tuple[int, ...], larger: float
) -> None:
    """Calf less foot entry, mm, at 5, 50 and 95 %; how many calves are the larger, in percent.

    And what must pass a hem at the calf is the larger of the two for everyone.
    """
    wearers = [body.wearer for body, _ in bodies.ansur() if body.sex == sex]
    ended = sample.block().ended(sample.length("11").mm)
    apart = []
    for wearer in wearers:
        assert wearer.calf is not None
        assert wearer.foot_entry is not None
        apart.append(wearer.calf.mm - wearer.foot_entry.mm)
        need = hem_need(wearer, ended)
        assert need is not None
        assert need.mm == max(wearer.calf.mm, wearer.foot_entry.mm)
    assert np.percentile(apart, [5, 50, 95]) == pytest.approx(percentiles, abs=0.5)
    assert 100 * np.mean(np.array(apart) > 0) == pytest.approx(larger, abs=0.05)
