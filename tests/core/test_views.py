from __future__ import annotations

import numpy as np
import pytest
import sample

from legtaper.outputs.leg_views import Parts, front_view, panels_view
from legtaper.outputs.terminal_plot import Trace

IN = 25.4


def _widths_at_the_hem(trace: Trace) -> float:
    return float(np.ptp(trace.points[np.isclose(trace.points[:, 1], 0), 0]))


def test_a_block_alone_is_drawn_as_old_lines() -> None:
    """Front and back beside each other, and the block's own widths as tags."""
    traces, tags = panels_view(sample.block(), "in")
    assert [trace.pattern for trace in traces] == ["old", "old"]
    assert [_widths_at_the_hem(trace) for trace in traces] == pytest.approx([8.5 * IN, 9.5 * IN])
    assert (tags[0].text, tags[0].y) == ("hem    18 in", 0)
    assert tags[-1].text == "hip"


def test_a_fit_adds_the_new_lines_and_its_widths() -> None:
    """Old and new of both panels; the hem's tag says the finished width."""
    fitted = sample.fitted()
    traces, tags = panels_view(fitted.block, "in", fitted)
    assert sorted(trace.pattern for trace in traces) == ["new", "new", "old", "old"]
    new = [trace for trace in traces if trace.pattern == "new"]
    assert [_widths_at_the_hem(trace) for trace in new] == pytest.approx([7.25 * IN, 8.25 * IN])
    assert tags[0].text == "hem    15 1/2 in"


def test_front_and_back_do_not_touch() -> None:
    """The panels face each other with their inseams and leave a gap."""
    traces, _ = panels_view(sample.block(), "in")
    front, back = (trace.points[:, 0] for trace in traces)
    assert back.min() - front.max() == pytest.approx(40)


def test_a_slit_is_drawn_at_its_height() -> None:
    """One line on each panel from the hem along the outseam, and a tick across its end."""
    slim = sample.design(take_in={}, width=sample.lengths(hem="12"), slit="auto")
    fitted = sample.fitted(slim)
    traces, _ = panels_view(fitted.block, "in", fitted)
    ticks = [trace for trace in traces if trace.pattern == "fold"]
    assert len(ticks) == 2
    for tick in ticks:
        assert tick.points[0, 1] == 0
        assert tick.points[-2:, 1] == pytest.approx(fitted.slit.height)
        assert abs(tick.points[-1, 0] - tick.points[-2, 0]) == pytest.approx(36)


def test_the_crotch_says_its_width_too() -> None:
    """Up to the crotch there is a leg to go around; above it a level is named alone."""
    _, tags = panels_view(sample.block(), "in")
    said = {tag.text.split()[0]: tag.text.split()[1:] for tag in tags}
    assert said["crotch"]
    assert not said["hip"]


def test_one_panel_is_shown_without_its_top_and_with_its_blends() -> None:
    """What a small picture leaves out and adds: a mark across each of the two seams."""
    fitted = sample.fitted()
    parts = Parts(("back",), top=False, blends=True)
    traces, _ = panels_view(fitted.block, "in", fitted, parts)
    marks = [trace.points for trace in traces if trace.pattern == "fold"]
    blends = {seam.blend for edge, seam in fitted.taper.seams.items() if edge.startswith("back")}
    assert sum(trace.pattern == "old" for trace in traces) == 1
    assert {float(mark[0, 1]) for mark in marks} == blends


def test_from_the_front_a_leg_is_half_its_circumference_wide() -> None:
    """The unaltered leg 9 in wide at the hem, the narrowed one 7 3/4; both to the same scale."""
    traces, tags = front_view(sample.fitted())
    assert [trace.pattern for trace in traces] == ["old", "new"]
    assert [_widths_at_the_hem(trace) for trace in traces] == pytest.approx([9 * IN, 7.75 * IN])
    old, new = (trace.points[:, 0] for trace in traces)
    assert old.max() <= 1e-9 <= new.max()
    assert new.min() >= -1e-9
    assert tags[0].text == "hem    15 1/2 in"


def test_levels_above_the_fullest_have_no_tag() -> None:
    """A high hip above the fuller hip lies outside the picture; a metric project says cm."""
    table = sample.table({**sample.HEIGHTS, "high_hip": "41"})
    _, tags = panels_view(sample.block(table), "cm")
    assert [tag.text.split()[0] for tag in tags] == [
        "hem",
        "calf",
        "knee",
        "thigh",
        "crotch",
        "hip",
    ]
    assert tags[0].text == "hem    45.7 cm"
