"""The three examples of unusual legs give what plain arithmetic gives."""

from __future__ import annotations

from pathlib import Path

import pytest

from legtaper.files.project_file import read_project
from legtaper.outputs.marks_text import marks_text
from legtaper.pattern import Fit, build, fit

EXAMPLES = Path(__file__).parents[2] / "examples"


def _example(name: str) -> Fit:
    return fit(read_project((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")))


@pytest.mark.parametrize("name", ["cropped", "shifted", "knit"])
def test_nothing_fails_and_it_can_be_cut(name: str) -> None:
    """Each is a leg that someone could sew."""
    pattern = build(_example(name).project)
    assert not pattern.failed


def test_the_cropped_leg_is_cut_larger_than_it_will_be() -> None:
    """41 cm around at 26 cm up once washed; cut at 26 / 0.96 = 27.08 cm, 41 / 0.99 around."""
    fitted = _example("cropped")
    assert fitted.block.start == pytest.approx(260)
    assert fitted.taper.finished["hem"] == pytest.approx(410)
    cut = build(fitted.project)
    nets = [panel.shape.net for panel in cut.narrowed.values()]
    assert [float(net[:, 1].min()) for net in nets] == pytest.approx([260 / 0.96] * 2)
    around = 0.0
    for net in nets:
        low = net[abs(net[:, 1] - net[:, 1].min()) < 1e-6]
        around += float(low[:, 0].max() - low[:, 0].min())
    assert around == pytest.approx(410 / 0.99, abs=0.01)
    table = marks_text(fitted, "1mm")
    assert "4.2 % higher and 1.0 % farther out" in table


def test_the_shifted_leg_keeps_its_width() -> None:
    """46.4 cm less 4 times 2 at the hem, 16 mm more off the inseams and less off the outseams."""
    fitted = _example("shifted")
    assert fitted.taper.finished["hem"] == pytest.approx(384)
    assert fitted.taper.taken("front_outseam", "hem") == pytest.approx(4)
    assert fitted.taper.taken("front_inseam", "hem") == pytest.approx(36)


def test_the_knit_leg_is_smaller_than_the_calf() -> None:
    """36 cm around a calf of 37 cm: 10 mm of negative ease, which 15 % of stretch covers."""
    fitted = _example("knit")
    (found,) = [one for one in fitted.findings if one.id == "ease-calf"]
    assert (found.status, found.value) == ("pass", pytest.approx(-10))
