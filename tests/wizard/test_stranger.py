"""A stranger's project with every key of unusual legs: what is shown, marked and drawn, by hand.

The block is straight from hem to knee, 12 cm from the grainline at each of its four edges, so that
every number below is plain arithmetic. Once washed, by hand, in cm:

    the leg ends 6 up: 48 around less 4 times 2, so 40; its center 2 towards the outseam
    calf at 25: 44 asked for with 1 left to the back: (48 - 44 + 1) / 4 = 1.25 off the front's
        edges and 0.75 off the back's; the center is 2 - (25 - 6) / (44 - 6) * 1 = 1.5 out
    knee at 44: 48 less 4 times 1, so 44; the center 1 out
    cut before the wash: heights / 0.97, widths / 0.98
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from app_driver import driving
from click.testing import CliRunner

from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.session import Session

pytestmark = pytest.mark.usefixtures("new_account")

ALONG, ACROSS = 0.97, 0.98
END, CALF, KNEE = 6.0, 25.0, 44.0
REACHES = {  # cm from the grainline, washed: hem, calf, knee
    "front_outseam": (12 - 2 + 2, 12 - 1.25 + 1.5, 12 - 1 + 1),
    "front_inseam": (12 - 2 - 2, 12 - 1.25 - 1.5, 12 - 1 - 1),
    "back_outseam": (12 - 2 + 2, 12 - 0.75 + 1.5, 12 - 1 + 1),
    "back_inseam": (12 - 2 - 2, 12 - 0.75 - 1.5, 12 - 1 - 1),
}
PROJECT = """format = 1
name = "A stranger"
length_unit = "cm"
[wearer]
age = 10
sex = "f"
[fabric]
kind = "stretch-woven"
stretch_percent = 20
stays_longer_percent = 8
shrink_length_percent = 3
shrink_width_percent = 2
[block]
pocket_end = "80 cm"
[block.height]
hem = "0 cm"
calf = "25 cm"
knee = "44 cm"
crotch = "76 cm"
hip = "96 cm"
[block.front.outseam]
hem = "12 cm"
calf = "12 cm"
knee = "12 cm"
hip = "15 cm"
[block.front.inseam]
hem = "12 cm"
calf = "12 cm"
knee = "12 cm"
crotch = "17 cm"
[block.back.outseam]
hem = "12 cm"
calf = "12 cm"
knee = "12 cm"
hip = "17 cm"
[block.back.inseam]
hem = "12 cm"
calf = "12 cm"
knee = "12 cm"
crotch = "20 cm"
[[design]]
name = "every key"
[design.take_in]
hem = "2 cm"
knee = "1 cm"
[design.width]
calf = "44 cm"
[design.shift]
hem = "2 cm"
knee = "1 cm"
[design.back_room]
calf = "1 cm"
[design.hem]
height = "6 cm"
depth = "3 cm"
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Return the file of the project."""
    path = tmp_path / "stranger.toml"
    path.write_text(PROJECT, encoding="utf-8")
    return path


def run(*args: object) -> str:
    """Return what a command prints."""
    result = CliRunner().invoke(main, [str(one) for one in args])
    assert result.exit_code in (0, 1), result.output
    return result.stdout.replace("\u00a0", " ")


def test_the_checks_give_the_washed_leg(file: Path) -> None:
    """Widths, edges, opening, foot, pocket and recovery, each by hand."""
    report = json.loads(run("check", file, "--json"))
    levels = {one["level"]: one for one in report["levels"]}
    for number, level in enumerate(("hem", "calf", "knee")):
        found = levels[level]
        assert found["height"] == pytest.approx(10 * (END, CALF, KNEE)[number])
        assert found["finished"] == pytest.approx(10 * (40, 44, 44)[number], abs=0.1)
        for edge, reaches in REACHES.items():
            assert found["edges"][edge] == pytest.approx(10 * reaches[number], abs=0.1)
    findings: dict[str, Any] = {}
    for one in report["findings"]:
        findings.setdefault(one["id"], one)
    # Stretched by half of 20 %, 44 cm; a foot by 6.690 + 0.9883 * 22.1 + 1.645 * 0.913 = 30.03 cm,
    # the larger, as 2.015 + 0.4820 * 19 + 0.1143 * 140.95 + 1.645 * 0.950 = 28.85 cm.
    opening = findings["hem-opening"]
    assert (opening["value"], opening["limit"]) == pytest.approx((440, 300.33), abs=0.1)
    assert "not measured on children" in opening["says"]
    assert (findings["pocket"]["value"], findings["pocket"]["limit"]) == (960, 800)
    assert findings["pocket"]["status"] == findings["recovery"]["status"] == "caution"
    balance = [one for one in report["findings"] if one["id"] == "balance"]
    assert all(one["status"] == "pass" and "as asked" in one["says"] for one in balance)


def test_the_marks_are_of_what_is_cut(file: Path) -> None:
    """To the millimeter: each distance from the grainline over 0.98, each height over 0.97."""
    report = json.loads(run("marks", file, "--json", "--round-to", "1mm"))
    for edge, reaches in REACHES.items():
        rows = [one for one in report["marks"] if one["edge"] == edge]
        for height, reach in zip((END, CALF, KNEE), reaches, strict=True):
            row = min(rows, key=lambda one: abs(one["height"] - 10 * height / ALONG))
            assert row["height"] == pytest.approx(10 * height / ALONG, abs=0.5)
            assert row["from_grainline"] == pytest.approx(10 * reach / ACROSS, abs=1)
            assert row["part"] != "old seam"
    around = report["circumference_after_rounding"]
    assert around["calf"] == pytest.approx(440 / ACROSS, abs=0.5)


def test_the_drawing_measures_the_same(file: Path, tmp_path: Path) -> None:
    """Its own lines in mm: where the seam line and the crease cross each height."""
    out = tmp_path / "leg.svg"
    run("export", file, out)
    root = ET.fromstring(out.read_text(encoding="utf-8"))
    lines = {one.get("id"): one.get("d", "") for one in root.iter() if one.get("d")}
    for panel, side in (("front", -1), ("back", 1)):
        net, fold, crease, grain = (
            _points(lines[f"{panel}-{name}"]) for name in ("net", "hem-fold", "crease", "grainline")
        )
        middle, low = grain[0, 0], fold[:, 1].max()  # y runs down
        for number, height in enumerate((END, CALF, KNEE)):
            y = low - 10 * (height - END) / ALONG
            xs = np.sort(side * (_crossings(net, y) - middle))
            wanted = (-REACHES[f"{panel}_inseam"][number], REACHES[f"{panel}_outseam"][number])
            assert (xs[0], xs[-1]) == pytest.approx([10 * x / ACROSS for x in wanted], abs=0.2)
            center = side * (float(_crossings(crease, y)[0]) - middle)
            assert center == pytest.approx(10 * (2, 1.5, 1)[number] / ACROSS, abs=0.1)


def _points(path: str) -> Any:
    """Return the points of a path of absolute M and L."""
    pairs = path.replace("M", " ").replace("L", " ").replace("Z", " ").split()
    return np.array([[float(one) for one in pair.split(",")] for pair in pairs])


def _crossings(line: Any, y: float) -> Any:
    """Return the x at which a line crosses a height, or touches it within a hair."""
    low, high = line[:-1], line[1:]
    hair = 1e-3
    lies = (np.minimum(low[:, 1], high[:, 1]) <= y + hair) & (
        np.maximum(low[:, 1], high[:, 1]) >= y - hair
    )
    level = np.abs(high[:, 1] - low[:, 1]) < hair
    share = np.where(level, 0.0, (y - low[:, 1]) / np.where(level, 1.0, high[:, 1] - low[:, 1]))
    at = low[:, 0] + np.clip(share, 0, 1) * (high[:, 0] - low[:, 0])
    found = np.concatenate([at[lies], high[lies & level, 0]])
    assert len(found)
    return found


async def test_the_screen_shows_the_same(file: Path) -> None:
    """The picture's numbers, the notes of the widths, and the answers as they may be typed."""
    async with driving(Session.open(file)) as on:
        await on.press("f3", "6")
        screen = on.text
        for words in ("Hem    40", "Calf   44", "Knee   44"):
            assert words in screen
        await on.press("f3", "9")
        assert "higher 6 cm" in on.text
