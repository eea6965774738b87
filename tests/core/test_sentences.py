"""Every finding's whole sentence, in every status it can have, held to a page that is looked at.

Run as a program it writes the page again: `python tests/core/test_sentences.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import sample
import tracings

from legtaper.checks.base import Finding
from legtaper.checks.registry import CHECKS
from legtaper.model.project import Allowance, BlockTable, Design, Fabric, Liked, Project, Wearer
from legtaper.pattern import build

PAGE = Path(__file__).parent / "data" / "findings.txt"

STATUSES = {
    "tested": "pass unknown caution", "already-narrow": "caution", "proportion": "pass unknown",
    "liked-split": "pass caution", "balance": "pass caution", "hem-join": "pass caution",
    "ease-calf-up": "caution", "recovery": "pass caution unknown",
    "hem-sag": "pass caution", "hem-shape": "caution", "turn-under": "pass",
    "hang": "pass fail", "ease-ankle": "fail", "cut-line": "fail",
    "below-the-end": "caution", "pocket": "pass caution",
    "blend": "pass caution fail", "sewn-pair": "pass caution fail",
}  # fmt: skip
"""The statuses of those that do not have all four."""


def _projects() -> Iterator[Project]:
    """Yield projects that bring out every sentence; invented, as all of the sample is."""
    wide, long, at, plain = sample.wide, sample.length, sample.lengths, sample.project
    yield plain(block_test=sample.block_test())
    yield plain(wearer=Wearer())
    yield plain(block_test=sample.block_test("needs fitting"))
    yield plain(block_test=sample.block_test(fingerprint=""))
    yield plain(block_test=sample.block_test(fingerprint="0123456789abcdef"))
    yield plain(wide(hem="19"))
    yield plain(wide(hem="17 3/4"), length_unit="cm")
    for front, back in (("7", "8"), ("8", "8")):
        yield plain(liked=(Liked("Cords", front_width=at(hem=front), back_width=at(hem=back)),))
    yield from _openings()
    yield from _eases()
    # seams
    extra: Any = {"outseam": at(hem="-1/4")}
    yield plain(sample.design(take_in={}))
    yield plain(sample.design(take_in={}, extra=extra))
    yield plain(sample.design(style="straight"))
    yield plain(sample.design(hem=sample.hem(turn_under="1/4")))
    yield plain(sample.design(curve={"outseam": long(1e-7)}))
    yield plain(sample.design(take_in=at(hem="1", knee="1"), blend=at(outseam="19"),
                              curve=at(outseam="1")))  # fmt: skip
    high = {edge: dict(reach) for edge, reach in sample.REACHES.items()}
    high["front_outseam"]["high_hip"] = high["back_outseam"]["high_hip"] = "5 1/2"
    table = sample.table({**sample.HEIGHTS, "high_hip": "41"}, high)
    yield plain(sample.design(blend=at(outseam="39")), block=table)
    for more in ("1/8", "3/8"):
        unlike: Any = {"outseam": at(hem=more)}
        yield plain(sample.design(extra=unlike))
    for hem, off in (("4", "5/8"), ("5 1/2", "5/8"), ("9", "5/8"), ("9", "2")):
        reaches = {**sample.REACHES, "back_outseam": {"hem": hem, "hip": "6 3/4"}}
        design = sample.design(take_in=at(hem=off), slit="auto")
        yield plain(design, block=sample.table(reaches=reaches))
    yield from _unlike_pairs()
    # the lower edge
    for style in ("single", "faced"):
        design = sample.design(take_in=at(hem=70.0), hem=sample.hem(style))
        yield plain(design, block=_upright(), wearer=Wearer())
    yield tracings.project(tracings.slanted(0.0, bow=8.0))
    yield from _outlined()
    yield from _other_legs()


def _other_legs() -> Iterator[Project]:
    """Yield legs of other ends, moved, and seams that turn too much."""
    at, plain = sample.lengths, sample.project
    for height, hem in (("20", "15"), ("12", "13"), ("9", "12 1/2")):
        ended = sample.wide(hem=hem, knee="17")
        yield plain(replace(ended, hem=sample.hem(height=height)))
    yield plain(sample.design(shift=at(hem="5/8", knee="-1/4")))
    yield plain(sample.wide(hem="14", calf="15 1/2", knee="17"))
    for stays in (3.0, 8.0):
        yield plain(fabric=replace(sample.knit(40), stays_longer_percent=stays))
    close = sample.wide(hem="11", calf="12 3/4", knee="14")
    yield plain(close, fabric=sample.knit(40))
    yield plain(wearer=Wearer(age=8, sex="f"))
    yield plain(wearer=replace(sample.wearer(foot_length="8 1/4"), age=8))
    yield plain(sample.design(back_room=at(hem="1/2", knee="1/4")))
    yield plain(replace(sample.wide(hem="15", calf="20", knee="17"), back_room=at(calf="1/2")))
    yield plain(sample.wide(hem="15", knee="17", thigh="26"))
    long: Any = at(outseam="30", inseam="30")
    yield plain(sample.design(take_in=at(hem="1", knee="1/2"), curve=long))
    yield plain(sample.design(take_in=at(hem="0", calf="0", knee="2 1/2"), blend=at(outseam="22")))
    full = {**sample.REACHES, "back_outseam": {"hem": "4 3/4", "knee": "6", "hip": "6 3/4"}}
    ruled = sample.design(take_in=at(hem="1/8"), style="straight", blend=at(outseam="25"))
    yield plain(ruled, block=sample.table(reaches=full))
    for end in ("31", "38"):
        yield plain(block=replace(sample.SAMPLE, pocket_end=sample.length(end)))


def _upright() -> BlockTable:
    reaches = {
        edge: {"hem": 150.0, "hip" if "outseam" in edge else "crotch": 150.0}
        for edge in sample.REACHES
    }
    return sample.table({"knee": 400.0, "crotch": 760.0, "hip": 960.0}, reaches)


def _unlike_pairs() -> Iterator[Project]:
    """Yield seams whose front and back are not equally long: below the knee, above it, both."""
    reaches: Any = {edge: dict(by_level) for edge, by_level in sample.REACHES.items()}
    for edge, changed in (
        ("back_outseam", {"hem": "7 3/4", "knee": "5 1/4"}),
        ("back_inseam", {"crotch": "9 1/2"}),
        ("front_inseam", {"crotch": "8 3/4"}),
        ("front_outseam", {"crotch": "8 1/2"}),
    ):
        table = sample.table(reaches={**reaches, edge: {**reaches[edge], **changed}})
        yield sample.project(block=table)
        test = sample.block_test(fingerprint=sample.block(table).fingerprint)
        yield sample.project(block=table, block_test=test)
    wide = sample.table(reaches={**reaches, "back_inseam": {**reaches["back_inseam"], "knee": "4"}})
    yield sample.project(sample.design(take_in=sample.lengths(hem="3", knee="2")), block=wide)


def _openings() -> Iterator[Project]:
    sizes = [("15 1/2", "none"), ("12 7/8", "none"), ("12 1/2", "none"), ("12.74", "none")]
    sizes += [("12 1/2", "auto"), ("12 1/2", "1/4"), ("12 5/8", "1"), ("12 5/8", "2"), ("11", "6")]
    sizes += [("11", "auto"), ("12 5/8", "11")]
    for hem, slit in sizes:
        asked: Any = slit if slit in ("none", "auto") else sample.length(slit)
        yield sample.project(replace(sample.wide(hem=hem), slit=asked))
    yield sample.project(sample.wide(hem="11"), fabric=sample.knit(40))
    yield sample.project(wearer=sample.wearer(ankle="9", height="66"))
    yield sample.project(sample.design(slit="auto"), wearer=sample.wearer(foot_entry="28"))
    yield sample.project(sample.wide(hem="8 1/2"), wearer=sample.WEARER)


def _eases() -> Iterator[Project]:
    design = sample.wide(hem="15", calf="15 1/2", knee="16", thigh="26")
    for knee in ("14 1/2", "15 1/4", "16 1/2"):
        mm = sample.length(knee).mm
        girths = sample.wearer(
            thigh=mm + 254, knee=knee, calf=mm - 12.7, knee_bent=knee, foot_entry="13"
        )
        stretchy = Fabric("", "stretch-woven", 20)
        for fabric in (Fabric(), stretchy, sample.knit(20), sample.knit(40)):
            yield sample.project(design, wearer=girths, fabric=fabric)
        yield sample.project(design, wearer=girths, length_unit="cm")
    yield sample.project(design, wearer=sample.wearer(knee_bent="15 3/4"))
    tight = sample.wearer(knee="19 1/2", knee_bent="20 1/2", calf="19", thigh="27")
    yield sample.project(wearer=tight)
    yield sample.project(sample.design(take_in={}), wearer=tight)
    heights = {level: said for level, said in sample.HEIGHTS.items() if level != "calf"}
    yield sample.project(block=sample.table(heights))


def _outlined() -> Iterator[Project]:
    """Yield a leg whose cut lines cross."""
    out = dict.fromkeys(("hem", "knee", "crotch", "hip"), 80.0)
    reach = {"hem": 80.0, "knee": 80.0, "crotch": 100.0}
    table = sample.table(
        {"knee": 310.0, "crotch": 620.0, "hip": 740.0},
        {"front_outseam": out, "back_outseam": out, "front_inseam": reach, "back_inseam": reach},
    )
    wide = Allowance(None, {"outseam": sample.length(100.0)})
    design: Design = sample.design(take_in=sample.lengths(hem=76.0), slit=sample.length(0.75))
    yield sample.project(design, block=table, allowance=wide, wearer=Wearer())


@cache
def _findings() -> tuple[Finding, ...]:
    """Return all that is found on all projects."""
    return tuple(one for project in _projects() for one in build(project).findings)


def said() -> str:
    """Return every sentence once, by check and status."""
    found: dict[tuple[str, str], list[str]] = {}
    for one in _findings():
        says = found.setdefault((one.id, one.status), [])
        if one.says not in says:
            says.append(one.says)
    order = [check.id for check in CHECKS]
    lines = []
    for kind, status in sorted(found, key=lambda key: (order.index(key[0]), key[1])):
        lines += [f"{kind}, {status}", *(f"  {says}" for says in found[kind, status]), ""]
    return "\n".join(lines)


def test_every_sentence_is_as_it_was_looked_at() -> None:
    """A changed word shows here; `python tests/core/test_sentences.py` writes the page again."""
    assert said() == PAGE.read_text(encoding="utf-8")


def test_a_check_whose_place_is_not_said_looks_at_one_place() -> None:
    """Else two of its findings would have one name."""
    for check in CHECKS:
        places = {one.where for one in _findings() if one.id == check.id}
        assert not check.one_place or len(places) == 1, check.id


def test_every_status_of_every_check_is_on_the_page() -> None:
    """No status that a check can have is left out."""
    heads = {line for line in PAGE.read_text(encoding="utf-8").splitlines() if ", " in line[:30]}
    for check in CHECKS:
        for status in STATUSES.get(check.id, "pass caution fail unknown").split():
            assert f"{check.id}, {status}" in heads


if __name__ == "__main__":
    PAGE.write_text(said(), encoding="utf-8")
