from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import sample
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.geometry.curves import Array, reflect
from legtaper.leg.hem import FoldUp, HemSize, fold_up, hem_size, shaped_hem, up_to
from legtaper.model.project import Design, Fabric, ProjectError

IN = 25.4


def _size(design: Design, thickness: float | None = None, unit: Any = "in") -> HemSize:
    cloth = Fabric(thickness=None if thickness is None else sample.length(thickness))
    return hem_size(sample.block(), design, cloth, unit)


@pytest.mark.parametrize(
    ("style", "unit", "depth", "turn_under"),
    [
        ("single", "in", 38.1, 0),
        ("single", "cm", 40, 0),
        ("double", "in", 38.1, 6.35),
        ("double", "cm", 40, 7),
        ("faced", "cm", 40, 0),
    ],
)
def test_a_hem_that_is_not_described_has_the_usual_size(
    style: str, unit: str, depth: float, turn_under: float
) -> None:
    """1 1/2 in or 4 cm deep; folded twice, 1/4 in or 7 mm are turned under."""
    size = _size(sample.design(hem=sample.hem(style)), unit=unit)
    assert (size.style, size.depth, size.turn_under) == (style, depth, turn_under)


def test_a_described_hem_is_kept() -> None:
    """2 in deep, 1/2 in turned under; a turn-under of a hem folded once does not count."""
    plan = sample.hem("double", depth="2", turn_under="1/2")
    size = _size(sample.design(hem=plan))
    assert (size.depth, size.turn_under) == (pytest.approx(2 * IN), pytest.approx(0.5 * IN))
    assert _size(sample.design(hem=sample.hem("single", turn_under="1/2"))).turn_under == 0


@pytest.mark.parametrize(
    ("style", "thickness", "come_in"),
    [
        ("single", None, 0),
        ("single", 0.4, 0),
        ("single", 0.5, math.pi / 4),
        ("double", 1.2, 0.6 * math.pi),
        ("faced", 1.2, 0),
    ],
)
def test_the_turn_of_thick_cloth_takes_width_inside_the_fold(
    style: str, thickness: float | None, come_in: float
) -> None:
    """It is pi * w / 2 on each edge from 0.5 mm of fabric on; nothing on a facing."""
    size = _size(sample.design(hem=sample.hem(style)), thickness)
    assert size.come_in == pytest.approx(come_in)


@pytest.mark.parametrize(
    ("style", "sizes", "key"),
    [
        ("single", {"depth": "0"}, "depth"),
        ("single", {"depth": "10 5/8"}, "depth"),  # the calf lies at 10 1/2 in
        ("double", {"turn_under": "0"}, "turn_under"),
        ("double", {"depth": "1", "turn_under": "1 1/8"}, "turn_under"),
    ],
)
def test_a_hem_that_cannot_be_is_refused_by_name(
    style: str, sizes: dict[str, str], key: str
) -> None:
    """No depth, deeper than the calf, or more turned under than the hem is deep."""
    with pytest.raises(ProjectError) as caught:
        _size(sample.design(hem=sample.hem(style, **sizes)))
    assert caught.value.key == f'design "easy taper".hem.{key}'


def _cone(hem: float, gain: float, slant: float = 0.0) -> tuple[Array, Array]:
    """Return two straight edges upwards; the right one begins `slant` mm higher."""
    y = np.arange(0, 201, 5.0)
    left = np.column_stack([-hem / 2 - gain * y, y])
    right = np.column_stack([hem / 2 + gain * y, y + slant])
    return left, right


def test_a_fold_up_is_the_mirror_of_the_leg() -> None:
    """A leg that gains 0.1 mm a side per mm flares below the fold just as much, 40 mm deep."""
    left, right = _cone(180, 0.1)
    below = fold_up(left, right, HemSize("single", 40, 0, 0))
    assert below.left[0] == pytest.approx((-90, 0))
    assert below.left[-1] == pytest.approx((-94, -40))
    assert below.right[-1] == pytest.approx((94, -40))
    assert below.cut_edge == pytest.approx(188)
    assert len(below.folds) == 1


def test_a_double_fold_mirrors_once_more() -> None:
    """7 mm turned under a hem of 40: they lie below the second fold and narrow again."""
    left, right = _cone(180, 0.1)
    below = fold_up(left, right, HemSize("double", 40, 7, 0))
    assert below.left[-1] == pytest.approx((-93.3, -47))
    assert below.cut_edge == pytest.approx(186.6)
    assert below.folds[1] == pytest.approx(np.array([(-94, -40), (94, -40)]))


def test_the_turn_of_cloth_brings_the_edges_in() -> None:
    """Each edge comes in by 1 mm at the far end and by nothing at the fold."""
    left, right = _cone(180, 0.1)
    below = fold_up(left, right, HemSize("single", 40, 0, 1.0))
    assert below.cut_edge == pytest.approx(186)
    assert below.left[0] == pytest.approx((-90, 0))
    half = below.left[np.isclose(below.left[:, 1], -20)][0]
    assert half == pytest.approx((-91.5, -20))


def test_the_part_within_a_depth_is_cut_in_exactly() -> None:
    """An edge at 0, 5, 10 mm cut at a depth of 7 ends at 7; one that is shorter stays whole."""
    edge = np.array([(0.0, 0), (1, 5), (2, 10)])
    assert up_to(edge, (0, 0), (10, 0), 7)[-1] == pytest.approx((1.4, 7))
    assert up_to(edge, (0, 0), (10, 0), 12) is edge


def _unfolded(below: FoldUp, edge: Array) -> Array:
    """Return the points of a fold-up folded again in its own folds, last fold first."""
    points = edge
    hem, *second = below.folds
    if second:
        (x0, y0), (x1, y1) = second[0]
        across = np.array([y0 - y1, x1 - x0])
        beyond = (points - second[0][0]) @ across < -1e-9
        points = np.where(beyond[:, None], reflect(points, (x0, y0), (x1, y1)), points)
    return reflect(points, tuple(hem[0]), tuple(hem[1]))


@settings(max_examples=50)
@given(
    st.sampled_from(["single", "double"]),
    st.floats(-60, 60),
    st.lists(st.floats(-6, 6), min_size=4, max_size=4),
    st.floats(10, 60),
    st.floats(0.1, 1),
)
def test_folded_up_the_edges_lie_on_the_seams(
    style: Any, slant: float, bends: list[float], depth: float, share: float
) -> None:
    """With one fold or two, and a slanting hem line too: to 0.05 mm on curved seams."""
    y = np.linspace(0, 250, 126)
    a, b, c, d = bends
    left = np.column_stack([-100 - a * y / 50 - b * (y / 100) ** 2, y])
    right = np.column_stack([100 + c * y / 50 + d * (y / 100) ** 2, y + slant])
    turn_under = share * depth if style == "double" else 0.0
    below = fold_up(left, right, HemSize(style, depth, turn_under, 0.0))
    for edge, seam in ((below.left, left), (below.right, right)):
        folded = _unfolded(below, edge)
        off = shapely.distance(shapely.LineString(seam), shapely.points(folded))
        assert float(off.max()) <= 0.05


def test_a_shaped_hem_rises_above_its_chord() -> None:
    """From corner to corner, as high in the middle as asked; a straight line where that is 0."""
    curve = shaped_hem((-90, 0), (90, 0), 4)
    assert curve[0] == pytest.approx((-90, 0))
    assert curve[-1] == pytest.approx((90, 0))
    assert curve[len(curve) // 2] == pytest.approx((0, 4))
    assert shaped_hem((-90, 0), (90, 0), 0) == pytest.approx(np.array([(-90, 0), (90, 0)]))


def test_the_shaped_hem_of_a_flare_hangs_below_its_chord() -> None:
    """A negative rise is the mirror of the positive one."""
    up, down = shaped_hem((-90, 0), (90, 0), 4), shaped_hem((-90, 0), (90, 0), -4)
    assert down == pytest.approx(up * (1, -1))


def test_a_shaped_hem_follows_a_slanting_chord() -> None:
    """Between corners at different heights the middle lies square to the chord."""
    curve = shaped_hem((0, 0), (30, 40), 5)
    assert curve[len(curve) // 2] == pytest.approx((15 - 4, 20 + 3))
