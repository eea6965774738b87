from __future__ import annotations

import pytest
import sample

from legtaper.leg.widths import asked_levels, liked_widths, take_in_for
from legtaper.model.project import Design, Fabric, Liked, ProjectError, Wearer

FIRM = Fabric()


def _asked(design: Design) -> dict[str, float | None]:
    return {asked.level: asked.take_in for asked in asked_levels(sample.block(), design)}


def test_a_flat_width_is_doubled() -> None:
    """7 1/8 in flat is 14 1/4 in round; measured round it stays as it is."""
    flat = Liked("Corduroys", width=sample.lengths(hem="7 1/8"))
    assert liked_widths(flat, FIRM, Wearer())["hem"].measured == pytest.approx(14.25 * 25.4)
    in_the_round = Liked("Corduroys", measured="round", width=sample.lengths(hem="14 1/4"))
    assert liked_widths(in_the_round, FIRM, Wearer())["hem"].measured == pytest.approx(14.25 * 25.4)


ANKLE = sample.wearer(ankle="15")


@pytest.mark.parametrize(
    ("liked", "stretch", "same"),
    [
        (20.0, 0, 20.0),  # hangs free: 20 in is 20 in in any fabric
        (20.0, 40, 20.0),
        (15.0, 0, 15.0),  # just as wide as the body
        (14.0, 0, 15.0),  # stretched to 15 by what firm fabric cannot: as wide as the body
        (14.0, 20, 14.0),  # the same fabric
        (14.0, 40, 15 / (1 + 1 / 7)),  # 1/14 of 1/10, so the same share of 1/5
    ],
)
def test_a_liked_width_is_kept_at_equal_ease(liked: float, stretch: float, same: float) -> None:
    """A knit of 20 % around an ankle of 15 in: only what touches the body depends on the fabric."""
    garment = Liked("Jeans", 20, "round", {"hem": sample.length(liked * 25.4)})
    fabric = sample.knit(stretch) if stretch else FIRM
    width = liked_widths(garment, fabric, ANKLE)["hem"]
    assert width.measured == pytest.approx(liked * 25.4)
    assert width.equal_ease == pytest.approx(same * 25.4)
    assert width.known


def test_without_the_body_a_liked_width_stays_and_says_so() -> None:
    """Nobody knows whether it touched: unchanged, and marked as not known."""
    liked = Liked("Jeans", 20, "round", sample.lengths(hem="14"))
    width = liked_widths(liked, FIRM, Wearer())["hem"]
    assert (width.equal_ease, width.known) == (width.measured, False)


def test_the_stretch_of_a_firm_woven_cloth_does_not_count() -> None:
    """A fabric called woven has no usable stretch, whatever number stands beside it."""
    liked = Liked("Cords", 0, "round", sample.lengths(hem="14"))
    woven = Fabric(kind="woven", stretch_percent=30)
    assert liked_widths(liked, woven, ANKLE)["hem"].equal_ease == pytest.approx(14 * 25.4)


def test_front_and_back_measured_apart_go_round_together() -> None:
    """Front 6 1/2 and back 7 1/2 in make 14 in round, and are kept apart as well."""
    liked = Liked(
        "Cords",
        front_width=sample.lengths(hem="6 1/2", knee="8"),
        back_width=sample.lengths(hem="7 1/2"),
    )
    widths = liked_widths(liked, FIRM, Wearer())
    assert list(widths) == ["hem"]
    hem = widths["hem"]
    assert hem.measured == pytest.approx(14 * 25.4)
    assert (hem.front, hem.back) == (pytest.approx(6.5 * 25.4), pytest.approx(7.5 * 25.4))


def test_a_width_becomes_a_quarter_of_the_difference() -> None:
    """18 in to 15 1/2 in: 5/8 in on each edge. With 1/4 in extra on one seam: 1/2 in."""
    assert take_in_for(18, 15.5) == pytest.approx(0.625)
    assert take_in_for(18, 15.5, 0.25) == pytest.approx(0.5)


def test_levels_come_out_from_the_hem_up() -> None:
    """Whatever the order in the design, the hem stands first, even where it was not asked for."""
    asked = _asked(sample.design(take_in=sample.lengths(thigh="1/8", knee="1/4")))
    assert list(asked) == ["hem", "knee", "thigh"]
    assert asked["hem"] == 0
    assert asked["knee"] == pytest.approx(0.25 * 25.4)


def test_take_in_and_width_may_stand_side_by_side() -> None:
    """Take-in at the hem, a width of 18 1/8 in at the knee where the block has 20 1/8: 1/2 in."""
    design = sample.design(width=sample.lengths(knee="18 1/8"))
    asked = _asked(design)
    assert asked["hem"] == pytest.approx(0.625 * 25.4)
    assert asked["knee"] == pytest.approx(0.5 * 25.4)


def test_where_the_block_is_narrower_the_edge_stays() -> None:
    """Asked for 19 in where the block has 18: nothing comes off, and the level says so."""
    hem = asked_levels(sample.block(), sample.wide(hem="19"))[0]
    assert hem.take_in == 0
    assert hem.already_narrow
    exact = asked_levels(sample.block(), sample.wide(hem="18"))[0]
    assert exact.take_in == pytest.approx(0, abs=1e-9)
    assert not exact.already_narrow


def test_an_extra_leaves_an_asked_width_exact() -> None:
    """15 1/2 in with 1/4 in extra on the outseams: (18 - 15 1/2 - 1/2) / 4 = 1/2 in elsewhere."""
    design = sample.design(
        take_in={}, width=sample.lengths(hem="15 1/2"), extra={"outseam": sample.lengths(hem="1/4")}
    )
    hem = asked_levels(sample.block(), design)[0]
    assert hem.take_in == pytest.approx(0.5 * 25.4)
    assert hem.extra == {"outseam": pytest.approx(0.25 * 25.4)}
    assert not hem.already_narrow


def test_an_extra_alone_leaves_the_line_there_to_the_other_levels() -> None:
    """A pinch at the knee where nothing was asked: the take-in there is left open."""
    design = sample.design(extra={"inseam": sample.lengths(knee="1/8")})
    knee = asked_levels(sample.block(), design)[1]
    assert knee.take_in is None
    assert knee.extra["inseam"] == pytest.approx(0.125 * 25.4)


@pytest.mark.parametrize(
    ("parts", "key", "problem"),
    [
        ({"take_in": {"shin": "1"}}, "take_in.shin", "no such level"),
        ({"width": {"shin": "12"}}, "width.shin", "no such level"),
        ({"extra": {"shin": "1"}}, "extra", "no such level"),
        ({"take_in": {"hip": "1"}}, "take_in.hip", "above the crotch"),
        ({"width": {"hip": "20"}}, "width.hip", "above the crotch"),
        ({"take_in": {"hem": "1"}, "width": {"hem": "15"}}, "width.hem", "take_in too"),
    ],
)
def test_a_level_that_cannot_be_asked_for_is_refused_by_name(
    parts: dict[str, dict[str, str]], key: str, problem: str
) -> None:
    """An unknown level, one above the leg, or one asked for twice names the design and the key."""
    given = {part: sample.lengths(**levels) for part, levels in parts.items()}
    if "extra" in given:
        given["extra"] = {"outseam": given["extra"]}  # type: ignore[dict-item]
    with pytest.raises(ProjectError, match=problem) as caught:
        asked_levels(sample.block(), sample.design(**{"take_in": {}, **given}))
    assert caught.value.key.startswith(f'design "easy taper".{key}')
