"""Published narrowing examples, done by the program.

Sources, facts only: Threads magazine (a leg 17 in around is cut as fronts of (17 - 1) / 2 = 8 in
and backs of (17 + 1) / 2 = 9 in); G. F. Hertzer, Garment Cutting in the Twentieth Century (1892)
and W. D. F. Vincent (1898): knee and bottom are divided equally about the center line; Cone Mills:
a leg is twisted when its seam moves more than 2.54 cm between knee and hem.
"""

from __future__ import annotations

import math

import pytest
import sample

from legtaper.leg.pairs import sewn_pairs
from legtaper.model.project import EDGES, PANELS

IN = 25.4


def test_seventeen_inches_are_eight_in_front_and_nine_behind() -> None:
    """A block of 20 in, 1 in wider behind, narrowed to 17 in: 8 in and 9 in."""
    wide = {"front_outseam": "4 3/4", "front_inseam": "4 3/4",
            "back_outseam": "5 1/4", "back_inseam": "5 1/4"}  # fmt: skip
    reaches = {
        edge: {
            "hem": wide[edge],
            "knee": wide[edge],
            ("hip" if "outseam" in edge else "crotch"): "7",
        }
        for edge in EDGES
    }
    fitted = sample.fitted(sample.wide(hem="17"), block=sample.table(reaches=reaches))
    found = {
        name: sum(fitted.taper.reaches[edge]["hem"] for edge in edges) / IN
        for name, edges in PANELS.items()
    }
    assert found == pytest.approx({"front": 8.0, "back": 9.0})


def test_knee_and_bottom_stay_divided_equally_about_the_center_line() -> None:
    """Where the block has them so, knee and bottom lie equally far each side of the grainline."""
    reaches = {edge: dict(by_level) for edge, by_level in sample.REACHES.items()}
    reaches["back_inseam"]["knee"] = reaches["back_outseam"]["knee"]
    design = sample.wide(hem="14 1/2", knee="17 1/2")
    fitted = sample.fitted(design, block=sample.table(reaches=reaches))
    for inseam, outseam in PANELS.values():
        for level in ("hem", "knee"):
            assert fitted.taper.reaches[inseam][level] == pytest.approx(
                fitted.taper.reaches[outseam][level], abs=1e-6
            )


def test_a_pair_that_passes_cannot_turn_a_leg_by_what_counts_as_twisted() -> None:
    """Twisted is 2.54 cm over the 45 cm from knee to hem, 3.2 degrees.

    A pair that passes differs by 1.5 mm at most there; taken up by turning the hem of a panel
    20 cm wide, that is 0.43 degrees: an eighth of it.
    """
    twisted = math.degrees(math.atan(25.4 / 450.0))
    assert twisted == pytest.approx(3.2, abs=0.05)
    fitted = sample.fitted(sample.wide(hem="14 1/2", knee="17 1/2"))
    for pair in sewn_pairs(fitted.taper):
        assert abs(pair.below_knee) <= 1.5
        assert math.degrees(math.atan(abs(pair.below_knee) / 200.0)) < twisted / 7
