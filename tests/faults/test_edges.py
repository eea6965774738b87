"""Whole projects at the edges: sound outlines, or a finding that says where."""

from __future__ import annotations

import json
import math
from dataclasses import asdict, replace
from typing import Any, get_args

import blocks
import numpy as np
import sample
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from strategies import projects

from legtaper.files.project_file import read_project, write_project
from legtaper.geometry.offset import crosses_itself
from legtaper.model.lengths import from_mm
from legtaper.model.project import (
    EDGES,
    SEAMS,
    Allowance,
    AllowanceEdge,
    Fabric,
    HemStyle,
    Project,
    ProjectError,
    Style,
    Wearer,
)
from legtaper.outputs.json_report import check_report, marks_report
from legtaper.outputs.marking_table import DEFAULT_STEP
from legtaper.pattern import Fit, Pattern, block_of, build, cut, fit, fit_design
from legtaper.search.limits import limits

EXAMPLES = settings(
    max_examples=40,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def _mm(low: float, high: float) -> st.SearchStrategy[Any]:
    return st.floats(low, high).map(lambda mm: from_mm(mm, "in"))


def _some(most: float) -> st.SearchStrategy[Any]:
    return st.none() | _mm(0.0, most)


@st.composite
def wild(draw: st.DrawFn) -> Project:
    """Draw a project that the file may hold, with sizes far beyond what anyone would sew."""
    table = draw(blocks.tables())
    block = block_of(sample.project(block=table))
    design = draw(blocks.designs(block, draw(st.sampled_from(get_args(Style)))))
    if draw(st.booleans()):  # narrow to a hand's breadth, or to nothing
        least = min(float(block.reach(edge, 0.0)) for edge in EDGES)
        take = {"hem": draw(_mm(0.0, 0.999 * least))}
        design = replace(design, take_in=take, width={})
    extra = {seam: {"hem": draw(_mm(0.0, 30.0))} for seam in SEAMS if draw(st.booleans())}
    hem = sample.hem(draw(st.sampled_from(get_args(HemStyle))))
    hem = replace(hem, depth=draw(_some(200.0)), turn_under=draw(_some(60.0)))
    slit = draw(st.sampled_from(["auto", "none"]) | _mm(0.0, 400.0))
    edges = draw(st.dictionaries(st.sampled_from(get_args(AllowanceEdge)), _mm(0.0, 90.0)))
    return sample.project(
        replace(design, extra=extra, hem=hem, slit=slit),
        block=table,
        wearer=draw(
            st.sampled_from([Wearer(), sample.wearer(foot_entry="12", knee="15", hip="40")])
        ),
        fabric=Fabric("", "knit", draw(st.sampled_from([0.0, 20.0, 100.0])), draw(_some(5.0))),
        allowance=Allowance(draw(_some(60.0)), edges),
    )


def built(project: Project) -> Pattern | None:
    """Return the pattern, or nothing where the project is refused in words."""
    try:
        pattern = build(project)
        assert pattern.narrowed  # cut only now, and refused where an allowance has no room
        return pattern
    except ProjectError:
        return None


def assert_sound(pattern: Pattern) -> None:
    """Check outlines, numbers and sums; a cut line that cannot be cut has its finding."""
    named = {found.where: found for found in pattern.findings if found.id == "cut-line"}
    for name, panel in pattern.narrowed.items():
        for line in (panel.shape.net, panel.shape.cut, panel.shape.hem_below):
            assert np.isfinite(line).all()
        crosses = crosses_itself(panel.shape.cut)
        assert crosses == (name in named)
        if crosses:
            found = named[name]
            low, high = panel.shape.cut[:, 1].min(), panel.shape.cut[:, 1].max()
            assert found.value is not None
            assert low - 1e-6 <= found.value <= high + 1e-6
            assert found.status == "fail"
        else:
            assert shapely.Polygon(panel.shape.cut).area > 0
    report = check_report(pattern)
    json.dumps([report, marks_report(pattern.fit, DEFAULT_STEP["in"])], allow_nan=False)
    for level in report["levels"]:
        if level["finished"] is not None:
            assert math.isclose(sum(level["edges"].values()), level["finished"], abs_tol=1e-6)
            gone = level["block"] - level["finished"]
            assert math.isclose(sum(level["take_in"].values()), gone, abs_tol=1e-6)
    for seam in report["seams"]:
        assert seam["new_length"] > 0


@EXAMPLES
@given(wild())
def test_whatever_may_be_asked_is_sound_or_said(project: Project) -> None:
    """Valid polygons without NaN whose sums agree, or a finding with the place of the crossing."""
    pattern = built(read_project(write_project(project)))
    if pattern is not None:
        assert_sound(pattern)


@EXAMPLES
@given(projects())
def test_whatever_a_file_may_hold_is_sound_or_refused(project: Project) -> None:
    """Any project in any state: refused in words, or everything above."""
    pattern = built(project)
    if pattern is not None:
        assert_sound(pattern)


def _failing(fitted: Fit, take: float) -> list[str]:
    """Return what fails with this take-in at the hem, by the findings of a whole pattern."""
    width = {level: size for level, size in fitted.design.width.items() if level != "hem"}
    take_in = {**fitted.design.take_in, "hem": from_mm(take, "cm")}
    design = replace(fitted.design, width=width, take_in=take_in)
    pattern = cut(fit_design(fitted.project, design, fitted.block))
    return [found.id for found in pattern.findings if found.status == "fail"]


@settings(EXAMPLES, max_examples=15)
@given(wild())
def test_the_limit_passes_and_a_hair_beyond_fails(project: Project) -> None:
    """`limits` and the findings agree: nothing fails at the most that can come off."""
    # Ruled seams that fail take up to 160 ms a try, and the limits try 65 times.
    design = replace(project.designs[-1], style="follow")
    try:
        fitted = fit(replace(project, designs=(design,)))
    except ProjectError:
        return
    found = limits(fitted)
    json.dumps(asdict(found), allow_nan=False)
    if found.most_take_in > 0:
        assert _failing(fitted, found.most_take_in) == []
    if found.first_to_fail:
        assert found.first_to_fail in _failing(fitted, found.most_take_in + 0.001)
