"""Where each answer lives in a project: by its key, out of it and into it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar, cast

from legtaper.model.project import AllowanceEdge, BlockTest, Design, Edge, Liked, Project, SeamName
from legtaper_wizard.flow.answer_parser import Answer
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.round_answers import get_round, put_round
from legtaper_wizard.flow.shapes import LAST, AnswerError, Cursor

K = TypeVar("K")
Parts = list[str]
"""What follows the first word of a key."""

FIRST_DESIGN = Design("first taper", slit="auto")
"""What the first answer about narrowing begins."""

_BLANK = Project(liked=(Liked(""),), designs=(FIRST_DESIGN,))
_NUMBER = re.compile(r"\.\d+(?=\.)", re.ASCII)


def get(project: Project, key: str, at: Cursor) -> object:
    """Return what is answered, `None` where a length is not."""
    head, *rest = key.split(".")
    return _GET[head](project, rest, at) if rest else getattr(project, head)


def put(project: Project, key: str, said: Answer | None, at: Cursor) -> Project:
    """Return the project with an answer set; `None` clears it to what a blank project has.

    Raises `AnswerError` where the answer has no place yet.
    """
    head, *rest = key.split(".")
    new = get(_BLANK, _NUMBER.sub(".0", key), LAST) if said is None else said
    if not rest:
        return replace(project, **{head: cast(Any, new)})
    return _PUT[head](project, rest, new, at)


def _with(mapping: Mapping[K, Any], key: K, new: Any) -> dict[K, Any]:
    """Return the mapping with one entry set, or left out where `new` is `None`."""
    if new is not None:
        return {**mapping, key: new}
    return {name: old for name, old in mapping.items() if name != key}


# --- wearer, cloth, block and its test -----------------------------------------------------------


def _get_wearer(project: Project, rest: Parts, _: Cursor) -> object:
    return getattr(project.wearer, rest[0])


def _put_wearer(project: Project, rest: Parts, new: Any, _: Cursor) -> Project:
    return replace(project, wearer=replace(project.wearer, **{rest[0]: new}))


def _get_fabric(project: Project, rest: Parts, _: Cursor) -> object:
    # The stretch test is only a way to the percentage and keeps no answer itself.
    return None if rest[0] == "stretch_test" else getattr(project.fabric, rest[0])


def _put_fabric(project: Project, rest: Parts, new: Any, _: Cursor) -> Project:
    if new is None and rest[0] == "stretch_test":
        return project
    part = "stretch_percent" if rest[0] == "stretch_test" else rest[0]
    return replace(project, fabric=replace(project.fabric, **{part: new}))


def _get_block(project: Project, rest: Parts, _: Cursor) -> object:
    if rest[0] == "label":
        return project.block.label
    if rest[0] == "height":
        return project.block.height.get(rest[1])
    return project.block.reach.get(_edge(rest), {}).get(rest[2])


def _put_block(project: Project, rest: Parts, new: Any, _: Cursor) -> Project:
    table = project.block
    if rest[0] == "label":
        table = replace(table, label=new)
    elif rest[0] == "height":
        table = replace(table, height=_with(table.height, rest[1], new))
    else:
        reach = _with(table.reach.get(_edge(rest), {}), rest[2], new)
        table = replace(table, reach=_with(table.reach, _edge(rest), reach or None))
    return replace(project, block=table)


def _edge(rest: Parts) -> Edge:
    return cast(Edge, f"{rest[0]}_{rest[1]}")


def _get_test(project: Project, rest: Parts, _: Cursor) -> object:
    return getattr(project.block_test, rest[0], None)


def _put_test(project: Project, rest: Parts, new: Any, _: Cursor) -> Project:
    test, part = project.block_test, rest[0]
    if part == "verdict":
        return replace(project, block_test=_judged(project, new) if new else None)
    if test is not None:
        new = "" if new is None and part == "notes" else new
        return replace(project, block_test=replace(test, **{part: new}))
    if new:
        raise AnswerError(f"block_test.{part}", "say first what the test of the block showed")
    return project


def _judged(project: Project, verdict: Any) -> BlockTest:
    """Return the test with its verdict, on the block as it is now."""
    block = standing(project, LAST).block
    if block is None:
        raise AnswerError("block_test.verdict", "the block is not finished yet; measure it first")
    test = project.block_test or BlockTest(verdict)
    return replace(test, verdict=verdict, fingerprint=block.fingerprint)


# --- liked garments and allowances ---------------------------------------------------------------


def _get_liked(project: Project, rest: Parts, _: Cursor) -> object:
    number = int(rest[0])
    if number >= len(project.liked):
        return None
    found = getattr(project.liked[number], rest[1])
    return found.get(rest[2]) if len(rest) > 2 else found


def _put_liked(project: Project, rest: Parts, new: Any, _: Cursor) -> Project:
    number, part, garments = int(rest[0]), rest[1], list(project.liked)
    unnamed = f"garment {number + 1}"
    if number > len(garments):
        key = "liked." + ".".join(rest)
        raise AnswerError(key, f"there are {len(garments)} liked garments; add one first")
    if number == len(garments):
        if not new:
            return project
        garments.append(Liked(unnamed))
    if part == "garment":
        new = new or unnamed
    elif len(rest) > 2:
        new = _with(getattr(garments[number], part), rest[2], new)
    garments[number] = replace(garments[number], **{part: new})
    return replace(project, liked=tuple(garments))


def _get_allowance(project: Project, rest: Parts, _: Cursor) -> object:
    if rest[0] == "seam":
        return project.allowance.seam
    return project.allowance.edges.get(cast(AllowanceEdge, rest[0]))


def _put_allowance(project: Project, rest: Parts, new: Any, _: Cursor) -> Project:
    allowance = project.allowance
    if rest[0] == "seam":
        return replace(project, allowance=replace(allowance, seam=new))
    edges = _with(allowance.edges, cast(AllowanceEdge, rest[0]), new)
    return replace(project, allowance=replace(allowance, edges=edges))


# --- the design ----------------------------------------------------------------------------------


def _get_design(project: Project, rest: Parts, at: Cursor) -> object:
    design = chosen_design(project, at)
    if design is None:
        return None
    part, name = rest[0], rest[1]
    if part == "extra":
        return design.extra.get(cast(SeamName, name), {}).get(rest[2])
    if part == "blend" and name != "style":
        return _blends(design, name).get(_seam(name))
    if part in ("take_in", "width"):
        return getattr(design, part).get(name)
    return getattr(design.hem, name) if part == "hem" else getattr(design, _plain(rest))


def _put_design(project: Project, rest: Parts, new: Any, at: Cursor) -> Project:
    design = chosen_design(project, at)
    if design is None and new == get(_BLANK, "design." + ".".join(rest), LAST):
        return project  # to leave a question out begins no design
    return project.with_design(_changed(design or FIRST_DESIGN, rest, new))


def _changed(design: Design, rest: Parts, new: Any) -> Design:
    part, name = rest[0], rest[1]
    if part in ("take_in", "width"):
        return _asked(design, part, name, new)
    if part == "extra":
        seam = cast(SeamName, name)
        levels = _with(design.extra.get(seam, {}), rest[2], new)
        return replace(design, extra=_with(design.extra, seam, levels or None))
    if part == "blend" and name != "style":
        blends = _with(_blends(design, name), _seam(name), new)
        return _replaced(design, "curve" if name.endswith("_curve") else "blend", blends)
    if part == "hem":
        return replace(design, hem=replace(design.hem, **{name: new}))
    return _replaced(design, _plain(rest), new)


def _asked(design: Design, part: str, level: str, new: Any) -> Design:
    """Ask at a level in one way. An answer in the other way goes, as the echo has said."""
    changed = _replaced(design, part, _with(getattr(design, part), level, new))
    if new is None:
        return changed
    other = "width" if part == "take_in" else "take_in"
    return _replaced(changed, other, _with(getattr(design, other), level, None))


def _replaced(design: Design, part: str, new: Any) -> Design:
    return replace(design, **{part: new})


def _plain(rest: Parts) -> str:
    """Return the attribute of a design that stands for itself: its style or its slit."""
    return "slit" if rest[0] == "slit" else rest[1]


def _seam(name: str) -> SeamName:
    return cast(SeamName, name.removesuffix("_curve"))


def _blends(design: Design, name: str) -> Mapping[SeamName, Any]:
    return design.curve if name.endswith("_curve") else design.blend


_GET: Mapping[str, Callable[[Project, Parts, Cursor], object]] = {
    "wearer": _get_wearer,
    "fabric": _get_fabric,
    "block": _get_block,
    "block_test": _get_test,
    "liked": _get_liked,
    "allowance": _get_allowance,
    "design": _get_design,
    "round": get_round,
}
_PUT: Mapping[str, Callable[[Project, Parts, Any, Cursor], Project]] = {
    "wearer": _put_wearer,
    "fabric": _put_fabric,
    "block": _put_block,
    "block_test": _put_test,
    "liked": _put_liked,
    "allowance": _put_allowance,
    "design": _put_design,
    "round": put_round,
}
