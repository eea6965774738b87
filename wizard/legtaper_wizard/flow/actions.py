"""What can be done that is no answer: add, remove, copy, rename."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from legtaper.model.lengths import Length, from_mm, round_to
from legtaper.model.levels import LEVELS
from legtaper.model.project import BlockTable, Liked, Project
from legtaper_wizard.flow.accessors import FIRST_DESIGN
from legtaper_wizard.flow.answer_parser import read
from legtaper_wizard.flow.answers import answer
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.forms import field_of, leg_levels
from legtaper_wizard.flow.keys import rule_of, say_level
from legtaper_wizard.flow.round_answers import is_stale, is_waiting, number_at, offer, round_at
from legtaper_wizard.flow.shapes import LAST, Action, AnswerError, Cursor, Field

if TYPE_CHECKING:
    from legtaper.pattern import Fit

_LEVEL_NAME = re.compile(r"[a-z][a-z0-9 _-]{0,29}")


def actions(project: Project, step_id: str, at: Cursor = LAST) -> tuple[Action, ...]:
    """Return what can be done on a step now."""
    by_step = {
        "block": _block_actions,
        "block-test": _test_actions,
        "liked": _liked_actions,
        "narrowing": _narrowing_actions,
        "foot": _foot_actions,
        "pattern": _design_actions,
        "fitting": _fitting_actions,
    }
    return tuple(by_step[step_id](project, at)) if step_id in by_step else ()


def do(project: Project, action_id: str, *texts: str, at: Cursor = LAST) -> Project:
    """Return the project with an action done; `texts` answer what it needs, in order.

    Raises `AnswerError` where the action is not there now, or an answer does not serve.
    """
    known = {action.id: action for step in _STEPS for action in actions(project, step, at)}
    action = known.get(action_id)
    if action is None:
        raise AnswerError(action_id, f"{action_id} cannot be done now")
    if action.paged:
        raise AnswerError(action_id, f"{action.label}: this is asked step by step")
    if len(texts) != len(action.needs):
        wanted = ", ".join(field.label for field in action.needs) or "nothing"
        raise AnswerError(action_id, f"{action.label} needs: {wanted}")
    name, _, rest = action_id.partition(".")
    return _DOES[name](project, rest, texts, at)


def follow(before: Project, after: Project, at: Cursor) -> Cursor:
    """Return where to work after a change: at what was added, or at what is left."""
    design = at.design
    if after.current != before.current:
        design = None  # work goes on from another
    if len(after.designs) > len(before.designs):
        design = None
    elif design is not None and design not in [known.name for known in after.designs]:
        was = [known.name for known in before.designs]
        same_place = len(was) == len(after.designs) and design in was
        design = after.designs[was.index(design)].name if same_place else None
    liked = at.liked
    if len(after.liked) > len(before.liked):
        liked = len(after.liked) - 1
    return Cursor(design, max(0, min(liked, len(after.liked) - 1)))


# --- the block and its test --------------------------------------------------------------------


DRAFT, TRACE = "draft-block", "trace-block"


def _block_actions(project: Project, _: Cursor) -> Iterator[Action]:
    yield Action(DRAFT, "Have a starting block drafted", paged=True)
    yield Action(TRACE, "Take the block from a drawing", paged=True)
    if not block_is_empty(project):
        yield Action("empty-block", "Empty the block, to measure it by level")
    name = Field("level.name", "Name of the level", "text", "Small letters, such as mid thigh.")
    height = Field(
        "level.height", "Its height", "length", "Up the grainline from the finished hem."
    )
    yield Action("add-level", "Add a level", (name, height))
    for level in project.block.height:
        if level not in LEVELS:
            yield Action(f"remove-level.{level}", f"Remove the level {say_level(level)}")


def block_is_empty(project: Project) -> bool:
    """Whether no number of a block is there yet."""
    table = project.block
    return not (table.height or table.reach or table.outline)


def _empty_block(project: Project, _: str, __: tuple[str, ...], ___: Cursor) -> Project:
    return replace(project, block=BlockTable(project.block.label))


def _add_level(project: Project, _: str, texts: tuple[str, ...], __: Cursor) -> Project:
    name = texts[0].strip()
    if not _LEVEL_NAME.fullmatch(name):
        raise AnswerError("level.name", "a level has a short name in small letters, like mid thigh")
    level = name.replace(" ", "_")
    if level in project.block.height or level in LEVELS:
        raise AnswerError("level.name", f"there is a level {name} already")
    if not texts[1].strip():
        raise AnswerError("level.height", "a level needs its height above the hem")
    try:
        return answer(project, f"block.height.{level}", texts[1])
    except AnswerError as error:
        raise AnswerError("level.height", str(error)) from None


def _remove_level(project: Project, level: str, _: tuple[str, ...], __: Cursor) -> Project:
    table = project.block
    height = {name: mm for name, mm in table.height.items() if name != level}
    reach = {
        edge: {name: mm for name, mm in lengths.items() if name != level}
        for edge, lengths in table.reach.items()
    }
    return replace(project, block=replace(table, height=height, reach=reach))


def _test_actions(project: Project, at: Cursor) -> Iterator[Action]:
    test, block = project.block_test, standing(project, at).block
    if test and block and test.fingerprint != block.fingerprint:
        verdict = field_of(project, "block_test.verdict")
        yield Action("judge-again", "The changed block is sewn and judged", (verdict,))


def _judge_again(project: Project, _: str, texts: tuple[str, ...], at: Cursor) -> Project:
    rule = rule_of("block_test.verdict")
    if rule is None or not texts[0].strip():
        raise AnswerError("block_test.verdict", "say what the muslin showed")
    read("block_test.verdict", rule, texts[0].strip(), project.length_unit)
    fresh = replace(project, block_test=None)
    judged = answer(fresh, "block_test.verdict", texts[0], at)
    notes = project.block_test.notes if project.block_test else ""
    return answer(judged, "block_test.notes", notes, at) if notes else judged


# --- liked garments ----------------------------------------------------------------------------


def _liked_actions(project: Project, _: Cursor) -> Iterator[Action]:
    yield Action("add-liked", "Add a garment", (field_of(project, "liked.0.garment"),))
    for number, liked in enumerate(project.liked):
        yield Action(f"remove-liked.{number}", f"Remove {liked.garment}")


def _add_liked(project: Project, _: str, texts: tuple[str, ...], at: Cursor) -> Project:
    key = f"liked.{len(project.liked)}.garment"
    if not texts[0].strip():
        raise AnswerError(key, "a garment needs a name, such as Grey corduroys")
    return answer(project, key, texts[0], at)


def _remove_liked(project: Project, rest: str, _: tuple[str, ...], __: Cursor) -> Project:
    kept = tuple(liked for number, liked in enumerate(project.liked) if number != int(rest))
    return replace(project, liked=kept)


# --- designs -----------------------------------------------------------------------------------


def _narrowing_actions(project: Project, at: Cursor) -> Iterator[Action]:
    for number, liked in enumerate(project.liked):
        if _wanted(project, liked, at):
            yield Action(f"like.{number}", f"Like {liked.garment}")
    yield from _design_actions(project, at)


_ROOM = 0.75
"""Up to this share of the way to the crotch a seam has room to run out above."""


def _wanted(project: Project, liked: Liked, at: Cursor) -> dict[str, Length]:
    """Return what the leg must measure to feel like a liked one, up to the knee.

    A thigh is not taken over: just below the crotch no curve has room to run out, and the thigh
    follows from the blend. Rounded to 1/16 in or 1 mm, as nobody marks finer.
    """
    from legtaper.leg.widths import liked_widths

    block, unit = standing(project, at).block, project.length_unit
    wanted = {}
    for level, width in liked_widths(liked, project.fabric).items():
        if not block or level not in leg_levels(project, at) or level not in block.heights:
            continue
        if block.heights[level] <= max(block.heights.get("knee", 0.0), _ROOM * block.crotch):
            step = "1/16in" if unit == "in" else "1mm"
            wanted[level] = from_mm(round_to(width.equal_ease, step), unit)
    return wanted


def _like(project: Project, rest: str, _: tuple[str, ...], at: Cursor) -> Project:
    changed = project
    for level, width in _wanted(project, project.liked[int(rest)], at).items():
        changed = answer(changed, f"design.width.{level}", width.text, at)
    return changed


def _design_actions(project: Project, at: Cursor) -> Iterator[Action]:
    design = chosen_design(project, at)
    if design is None:
        return
    name = Field("design.name", "Name of the design", "text", "A few words, such as easy taper.")
    yield Action("new-design", f'New design from "{design.name}"', (name,))
    yield Action("rename-design", f'Rename "{design.name}"', (name,))
    if design.name not in [sewn.design for sewn in project.rounds]:  # a round keeps its design
        yield Action("remove-design", f'Remove "{design.name}"')


def _name(project: Project, text: str) -> str:
    rule, text = rule_of("name"), text.strip()
    if not text or rule is None:
        raise AnswerError("design.name", "a design needs a name, such as easy taper")
    if text in [design.name for design in project.designs]:
        raise AnswerError("design.name", f'there is a design "{text}" already')
    return str(read("design.name", rule, text, project.length_unit))


def _new_design(project: Project, _: str, texts: tuple[str, ...], at: Cursor) -> Project:
    name = _name(project, texts[0])
    design = chosen_design(project, at)
    parent = design.name if design else None
    grown = replace(design or FIRST_DESIGN, name=name, parent=parent, from_round=None)
    if not project.rounds:
        return replace(project, designs=(*project.designs, grown), current=None)
    from legtaper.muslin.log import with_next

    return with_next(project, grown)


def _rename_design(project: Project, _: str, texts: tuple[str, ...], at: Cursor) -> Project:
    old, name = chosen_design(project, at), _name(project, texts[0])
    return project.renamed(old.name, name) if old else project


def _remove_design(project: Project, _: str, __: tuple[str, ...], at: Cursor) -> Project:
    gone = chosen_design(project, at)
    return project.without_design(gone.name) if gone else project


def _foot_actions(project: Project, at: Cursor) -> Iterator[Action]:
    fit = standing(project, at).fit
    if fit and fit.slit.needed and fit.slit.lowest and fit.design.slit != "auto":
        yield Action("slit", "Make the slit as high as the foot needs")


def _slit(project: Project, _: str, __: tuple[str, ...], at: Cursor) -> Project:
    return answer(project, "design.slit.height", "auto", at)


# --- muslin rounds -----------------------------------------------------------------------------


def _fitting_actions(project: Project, at: Cursor) -> Iterator[Action]:
    number = number_at(project, at)
    if number and not is_waiting(project, at):
        found = offer(project, at)
        if found.even and found.pinched:
            yield Action("next-even", "Next design, evened out over four edges")
            yield Action("next-pinched", "Next design, as pinched")
        elif found.even:
            pinched = bool(project.rounds[number - 1].pinches)
            how = "less what was pinched" if pinched else "to change by hand"
            yield Action("next-even", f"Next design, {how}")
    if number and (is_stale(project, at) or not is_waiting(project, at)):
        yield Action("print-again", "Its test is printed once more, today")
    if project.rounds:
        which = Field("round.number", "Number of the round", "text", _numbers(project))
        yield Action("go-back", "Go back to an earlier round", (which,))


def _numbers(project: Project) -> str:
    count = len(project.rounds)
    return f"From 1 to {count}. Its design is the one worked on; the later rounds stay."


def _next(project: Project, _: str, __: tuple[str, ...], at: Cursor) -> Project:
    return _with_next(project, at, offer(project, at).even)


def _next_pinched(project: Project, _: str, __: tuple[str, ...], at: Cursor) -> Project:
    return _with_next(project, at, offer(project, at).pinched)


def _with_next(project: Project, at: Cursor, offered: Fit | None) -> Project:
    """Return the project with an offered design. Raises `AnswerError` before there is a verdict."""
    from legtaper.muslin.log import with_next

    one = round_at(project, at)
    if one is not None and one.verdict is None:
        raise AnswerError("round.verdict", "say first whether it is closer or too far")
    return with_next(project, offered.design) if offered else project


def _print_again(project: Project, _: str, __: tuple[str, ...], at: Cursor) -> Project:
    return answer(project, "round.printed", date.today().isoformat(), at)


def _go_back(project: Project, _: str, texts: tuple[str, ...], __: Cursor) -> Project:
    from legtaper.muslin.log import go_back

    text, count = texts[0].strip(), len(project.rounds)
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:6]) <= count):
        raise AnswerError("round.number", f"write a number from 1 to {count}")
    return go_back(project, int(text))


_STEPS = ("block", "block-test", "liked", "narrowing", "foot", "pattern", "fitting")
_DOES = {
    "empty-block": _empty_block,
    "add-level": _add_level,
    "remove-level": _remove_level,
    "judge-again": _judge_again,
    "add-liked": _add_liked,
    "remove-liked": _remove_liked,
    "like": _like,
    "new-design": _new_design,
    "rename-design": _rename_design,
    "remove-design": _remove_design,
    "slit": _slit,
    "next-even": _next,
    "next-pinched": _next_pinched,
    "print-again": _print_again,
    "go-back": _go_back,
}
