"""The exported SVG, read by svgpathtools: a walk along the seams finds that notches meet.

Source: svgpathtools (PyPI) reads the path data, shapely measures along its points. Nothing of the
core is asked but its report: front and back notches must lie equally far from the hem along the
seam, to 0.5 mm, and the pair must differ by what `pairs` in `check --json` says.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import sample
import shapely
import svgpathtools

from legtaper.block_sources.drafted import draft_table
from legtaper.files.project_file import read_project
from legtaper.model.project import Project
from legtaper.outputs import svg
from legtaper.outputs.json_report import check_report
from legtaper.outputs.pattern_drawing import draw_pattern
from legtaper.pattern import build

EXAMPLES = Path(__file__).parents[2] / "examples"
MEETS = 0.5  # mm
PROJECTS = {
    "sample": sample.project(sample.wide(hem="14 1/2", knee="17 1/2")),
    "drafted": sample.project(block=draft_table(sample.WEARER, "in").table),
    "courier": read_project((EXAMPLES / "courier.toml").read_text(encoding="utf-8")),
    "weekend": read_project((EXAMPLES / "weekend.toml").read_text(encoding="utf-8")),
}


class Walk:
    """The drawing's lines by id, and its seams as lines from the hem up."""

    def __init__(self, drawn: str, folder: Path) -> None:
        file = folder / "leg.svg"
        file.write_text(drawn, encoding="utf-8")
        paths, attributes = svgpathtools.svg2paths(str(file))
        self.lines: dict[str, Any] = {}
        for path, attribute in zip(paths, attributes, strict=True):
            points = [path[0].start, *(segment.end for segment in path)]
            self.lines[attribute["id"]] = np.array([(p.real, p.imag) for p in points])

    def seam(self, panel: str, seam: str) -> Any:
        """Return a seam from its hem corner up: the inseam of the front lies at the right."""
        net, fold = self.lines[f"{panel}-net"], self.lines[f"{panel}-hem-fold"]
        right = (panel == "front") == (seam == "inseam")
        corner = fold[np.argmax(fold[:, 0]) if right else np.argmin(fold[:, 0])]
        at = int(np.hypot(*(net - corner).T).argmin())
        way = net[at:] if right else net[at::-1]
        return shapely.LineString(way)

    def notches(self, panel: str, seam: str) -> dict[str, float]:
        """Return how far from the hem each notch lies along a seam, mm; two ticks are one notch."""
        ticks: dict[str, list[Any]] = {}
        start = f"{panel}-notch-{seam}-"
        for name, line in self.lines.items():
            if name.startswith(start) and "-fold" not in name:  # a fold meets on its own panel
                ticks.setdefault(name[len(start) :].rpartition("-")[0], []).append(line)
        line = self.seam(panel, seam)
        found = {}
        for name, lines in ticks.items():
            assert len(lines) == (1 if panel == "front" else 2)
            outer, inner = np.mean(lines, axis=0)
            tick = shapely.LineString([outer, outer + (inner - outer) * 30])
            found[name] = line.project(shapely.Point(shapely.get_coordinates(tick & line)[0]))
        return found


@pytest.fixture(params=PROJECTS, scope="module")
def walked(request: pytest.FixtureRequest, tmp_path_factory: Any) -> tuple[Project, Walk]:
    """Return a project and the walk along its narrowed leg."""
    project = PROJECTS[request.param]
    drawn = svg.render(draw_pattern(build(project)))
    return project, Walk(drawn, tmp_path_factory.mktemp("svg"))


@pytest.mark.parametrize("seam", ["inseam", "outseam"])
def test_every_notch_meets_its_other_half(walked: tuple[Project, Walk], seam: str) -> None:
    """The same names on front and back, each equally far from the hem along the seam."""
    front, back = (walked[1].notches(panel, seam) for panel in ("front", "back"))
    assert front
    assert front.keys() == back.keys()
    for name, along in front.items():
        assert back[name] == pytest.approx(along, abs=MEETS), name


def test_the_pairs_differ_as_the_report_says(walked: tuple[Project, Walk]) -> None:
    """Back less front along the drawn seams, to 0.1 mm."""
    project, walk = walked
    for pair in check_report(build(project))["pairs"]:
        front, back = (walk.seam(panel, pair["seam"]).length for panel in ("front", "back"))
        assert back - front == pytest.approx(pair["difference"], abs=0.1), pair["seam"]
