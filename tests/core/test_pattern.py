from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import sample
import shapely

from legtaper.checks.cutting import uncuttable
from legtaper.leg.panel import Panel, Shape
from legtaper.model.project import Allowance, Design, Project, ProjectError
from legtaper.pattern import block_of, build, cut, fit, fit_design, unaltered

IN = 25.4


def test_a_pattern_is_a_fit_that_was_cut() -> None:
    """Taking in, truing, checking and cutting in one go is the same as one after the other."""
    project = sample.project()
    whole, stepwise = build(project), cut(fit(project))
    assert whole.fit.findings == stepwise.fit.findings
    for name, panel in whole.narrowed.items():
        assert panel.shape.cut == pytest.approx(stepwise.narrowed[name].shape.cut)


def test_the_last_design_is_meant_unless_one_is_named() -> None:
    """Of two designs the last is fitted; the other one by its name; an unknown name is refused."""
    project = sample.project(sample.design("easy"), sample.wide(hem="14"))
    project = replace(
        project, designs=(project.designs[0], replace(project.designs[1], name="slim"))
    )
    assert fit(project).design.name == "slim"
    assert fit(project, "easy").design.name == "easy"
    with pytest.raises(ProjectError, match='"easy", "slim"'):
        fit(project, "wide")


def test_a_project_without_a_design_says_what_is_missing() -> None:
    """Before anything was asked for there is nothing to fit."""
    with pytest.raises(ProjectError) as caught:
        fit(replace(sample.project(), designs=()))
    assert caught.value.key == "design"


def test_a_project_without_a_block_says_what_is_missing() -> None:
    """The first height that a block needs is named."""
    with pytest.raises(ProjectError) as caught:
        build(Project(designs=(sample.design(),)))
    assert caught.value.key == "block.height.crotch"


def test_a_fit_holds_what_it_was_made_of() -> None:
    """Block, seams, foot, slit and hem of a fit belong to its project and design."""
    fitted = sample.fitted(sample.design(slit="auto", hem=sample.hem("double")))
    assert fitted.block.fingerprint == block_of(sample.project()).fingerprint
    assert float(fitted.taper.circumference(0)) == pytest.approx(15.5 * IN)
    assert fitted.foot is not None
    assert fitted.foot.mm == pytest.approx(12.75 * IN)
    assert not fitted.slit.needed
    assert fitted.hem.style == "double"


def test_a_block_can_be_built_once_for_many_designs() -> None:
    """A design fitted on a block that is built already comes out the same."""
    project = sample.project()
    fitted = fit_design(project, sample.design(), block_of(project))
    assert fitted.findings == fit(project).findings


@pytest.mark.parametrize(("hem", "failed"), [("15 1/2", False), ("12", True)])
def test_a_fit_fails_where_a_finding_fails(hem: str, failed: bool) -> None:
    """A foot of 12 3/4 in does not pass a hem of 12 in without a slit."""
    assert sample.fitted(sample.wide(hem=hem)).failed is failed


def _notches(design: Design) -> dict[str, list[str]]:
    panel = build(sample.project(design)).narrowed["back"]
    found: dict[str, list[str]] = {"inseam": [], "outseam": []}
    for notch in panel.notches:
        found["outseam" if notch.at[0] > 0 else "inseam"].append(notch.level)
    return found


def test_notches_stand_at_knee_blend_and_hip() -> None:
    """Where the outseam blends below the hip it has all three."""
    design = sample.design(blend=sample.lengths(outseam="34"))
    assert _notches(design) == {"inseam": ["knee", "blend"], "outseam": ["knee", "hip", "blend"]}


def test_notches_keep_their_distance() -> None:
    """A blend within 15 mm of the knee has no notch of its own."""
    design = sample.design(blend=sample.lengths(inseam="17 1/2"))
    assert _notches(design)["inseam"] == ["knee"]


def test_a_sound_pattern_has_no_panel_that_cannot_be_cut() -> None:
    """No panel of the sample crosses itself; one whose cut line does is named."""
    pattern = build(sample.project())
    assert uncuttable(pattern.narrowed) == ()
    bow = np.array([(0.0, 0), (9, 9), (9, 0), (0, 9)])
    panel = pattern.narrowed["back"]
    crossed = Panel("back", Shape(bow, bow, (), bow, 9.0), panel.join, (), None)
    pattern.__dict__["narrowed"] = {**pattern.narrowed, "back": crossed}
    assert uncuttable(pattern.narrowed) == ("back",)


def test_the_block_as_it_is_needs_no_design() -> None:
    """Its seams are the block's own, from hem to crotch, and nothing is asked for."""
    pattern = unaltered(replace(sample.project(), designs=()))
    block = pattern.fit.block
    for level, width in pattern.fit.taper.finished.items():
        assert width == pytest.approx(float(block.circumference(block.heights[level])))
    assert {name for name, _ in pattern.unaltered.items()} == {"front", "back"}


def test_a_muslin_is_wide_along_the_outseams_alone() -> None:
    """1 in there where nothing is said, as said where it is; the inseams keep their own."""
    plain = build(sample.project())
    assert plain.for_test.allowance["outseam"] == pytest.approx(IN)
    assert plain.for_test.allowance["inseam"] == plain.allowance["inseam"]
    said = Allowance(test=sample.length("1 1/2"))
    wide = build(sample.project(allowance=said)).for_test
    assert wide.allowance["outseam"] == pytest.approx(1.5 * IN)
    knee = shapely.Point(float(wide.fit.taper.reach("back_outseam", 17 * IN)), 17 * IN)
    away = shapely.LineString(wide.narrowed["back"].shape.cut).distance(knee)
    assert away == pytest.approx(1.5 * IN, abs=0.02)


def test_a_muslin_is_never_less_wide_than_the_garment() -> None:
    """An outseam with more than 1 in keeps it in the muslin, too; above 4 in is refused."""
    own = Allowance(edges={"outseam": sample.length("1 1/4")})
    assert build(sample.project(allowance=own)).for_test.allowance["outseam"] == 1.25 * IN
    with pytest.raises(ProjectError, match=r"allowance\.test: above 4 in"):
        _ = build(sample.project(allowance=Allowance(test=sample.length("5")))).for_test
