"""What a check says and what it leaves to spare: one answer, however it is asked."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import blocks
import sample
import strategies
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from legtaper.checks.registry import CHECKS, checks_on
from legtaper.model.project import Fabric, Project, ProjectError, Wearer
from legtaper.pattern import Fit, fit


def _assert_agrees(fitted: Fit) -> None:
    failing = {found.id for found in fitted.findings if found.status == "fail"}
    for check in CHECKS:
        if check.margin is not None:
            assert bool(check.margin(fitted.leg) < 0) == (check.id in failing), check.id


@st.composite
def _worn(draw: st.DrawFn) -> Project:
    """Return a plausible design on a plausible block, for a body and a fabric of any size."""
    table, design = draw(blocks.tapers(draw(st.sampled_from(["follow", "straight"]))))
    slit: Any = draw(st.sampled_from(["none", "auto", sample.length("5")]))
    girths: Any = {
        key: draw(st.none() | st.floats(low, 1.6 * low).map(sample.length))
        for key, low in (
            ("thigh", 440.0), ("knee", 330.0), ("knee_bent", 350.0), ("calf", 310.0),
            ("foot_entry", 290.0), ("ankle", 210.0),
        )
    }  # fmt: skip
    fabric: Fabric = draw(st.sampled_from([Fabric(), sample.knit(30)]))
    designs = (replace(design, slit=slit),)
    return Project("Drawn", "in", Wearer(**girths), fabric, table, designs=designs)


@settings(max_examples=60)
@given(_worn())
def test_a_margin_is_negative_just_where_its_check_fails(project: Project) -> None:
    """On any leg, in both styles: what the sweep and the limits ask is what the finding says."""
    try:
        fitted = fit(project)
    except ProjectError:
        assume(False)
        raise
    _assert_agrees(fitted)


@settings(max_examples=60)
@given(strategies.projects())
def test_margins_agree_on_projects_of_every_kind(project: Project) -> None:
    """However odd the answers: where a fit comes of them, its margins and findings agree."""
    try:
        fitted = fit(project)
    except ProjectError:
        return
    _assert_agrees(fitted)


def test_every_check_that_fails_stands_on_a_step_that_can_mend_it() -> None:
    """Each that can fail names a step, and that step has it among what it shows."""
    for check in CHECKS:
        if check.fails_as:
            assert check.steps, check.id
        for step in check.steps:
            assert check in checks_on(step)
