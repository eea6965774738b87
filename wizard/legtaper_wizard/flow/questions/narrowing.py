"""The questions of how narrow: what comes off each edge, or the finished width, by level."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any, cast

from legtaper.model.lengths import Length, say_length
from legtaper.model.levels import LEG_LEVELS, say_level
from legtaper.model.project import Design, Project
from legtaper.model.said_lengths import say_around, say_both, say_small
from legtaper_wizard.flow.answer_parser import Answer, read
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.questions.flat import flat_slip, only_flat
from legtaper_wizard.flow.questions.path import first_design, put_path, with_entry
from legtaper_wizard.flow.questions.question import At, Question, Read
from legtaper_wizard.flow.shapes import AnswerError, Rule

if TYPE_CHECKING:
    from legtaper.pattern import Fit

TAKE_IN_DRAWN = r"""
           front              back
         |       |         |        |
      -> |:     :| <-   -> |:      :| <-   the same off each edge:
      -> | :   : | <-   -> | :    : | <-   four edges make the leg
      -> |_:___:_| <-   -> |_:____:_| <-
           5/8 in each = 2 1/2 in around the leg
"""

_TAKE_IN = Rule("length", at_most=2000, zero=True)
_WIDTH = Rule("length", at_most=2000)
_EXTRA = Rule("signed", at_most=500, zero=True)


def at_known_level(rule: Rule) -> Read:
    """Return what reads an answer about a level that the block has."""

    def read_it(project: Project, at: At, text: str) -> Answer:
        said = read(at.key, rule, text, project.length_unit)
        if at.level not in LEG_LEVELS and at.level not in project.block.height:
            problem = f"the block has no level {say_level(at.level)}; give its height first"
            raise AnswerError(at.key, problem)
        return said

    return read_it


def _put(project: Project, at: At, said: object) -> Project:
    """Ask at a level in one way. An answer in the other way goes, as the preview has said."""
    design = chosen_design(project, at.cursor)
    if said is None and design is None:
        return project
    part = at.key.split(".")[1]
    other = "width" if part == "take_in" else "take_in"
    changed = _with(design or first_design(project), part, at.level, said)
    return project.with_design(changed if said is None else _with(changed, other, at.level, None))


def _with(design: Design, part: str, level: str, said: object) -> Design:
    changed: Any = {part: with_entry(getattr(design, part), level, said)}
    return replace(design, **changed)


def _take_in(project: Project, at: At, said: object) -> Iterator[str]:
    unit, design = project.length_unit, chosen_design(project, at.cursor)
    block = standing(project, at.cursor).block
    off = 4 * cast(Length, said).mm + 2 * _extras(design, at.level)
    if block is not None and at.level in block.widths:
        now = block.widths[at.level] - off
        yield f"comes to {say_around(now, unit, exact=True)} around the leg"
        yield f"{say_around(off, unit, exact=True)} off"
    else:
        yield f"{say_around(off, unit, exact=True)} off around the leg"
    yield from _replaced(design, "width", at.level)


def _width(project: Project, at: At, said: object) -> Iterator[str]:
    unit, design = project.length_unit, chosen_design(project, at.cursor)
    block, width = standing(project, at.cursor).block, cast(Length, said).mm
    if block is not None and at.level in block.widths:
        from legtaper.leg.widths import besides, take_in_for

        has = block.widths[at.level]
        take_in = take_in_for(has, width, _extras(design, at.level))
        if take_in < -1e-9:
            yield (
                f"the block is already narrower there, {say_around(has, unit)}; the edges stay, "
                "as a taper never lets out"
            )
        else:
            more = besides(design, at.level) if design else ""
            yield f"{say_both(take_in, unit)} off each edge{more}"
            yield f"{say_around(has - width, unit, exact=True)} off around the leg"
    yield from _replaced(design, "take_in", at.level)


def _extras(design: Design | None, level: str) -> float:
    """Return what two edges give at a level besides, mm each."""
    if design is None:
        return 0.0
    from legtaper.leg.widths import extras_at

    return extras_at(design, level)


def _replaced(design: Design | None, part: str, level: str) -> Iterator[str]:
    """Say that the other way of asking at this level goes."""
    other: Length | None = getattr(design, part).get(level) if design else None
    if other is not None:
        width = part == "width"
        yield (
            f"replaces the finished width of {other.text}"
            if width
            else f"replaces the {other.text} off each edge"
        )


def _holds(_: Project, said: Answer) -> str:
    from legtaper.muslin.next_design import only_holds

    return "holds the seam where it was sewn" if only_holds(cast(Length, said)) else ""


def _read_take_in(project: Project, at: At, text: str) -> Answer:
    said = at_known_level(_TAKE_IN)(project, at, text)
    block = standing(project, at.cursor).block
    if not isinstance(said, Length) or block is None or at.level not in block.widths:
        return said
    has, unit = block.widths[at.level], project.length_unit
    if 4 * said.mm >= has:
        problem = (
            f"off each of the four edges that is {say_length(4 * said.mm, unit)} around the leg, "
            f"and the block has {say_around(has, unit)} there"
        )
        if said.mm < has:
            problem += f"; for a leg of {said.text} around, answer the finished width"
        raise AnswerError(at.key, problem)
    return said


def width_if_flat(project: Project, at: At) -> Length | None:
    """Return twice a finished width that can only have been measured flat, else nothing."""
    design = chosen_design(project, at.cursor)
    said = design.width.get(at.level) if design else None
    return only_flat(project, at, said) if said else None


def _flat_slips(project: Project, at: At, said: object) -> Iterator[str]:
    if isinstance(said, Length):
        yield from flat_slip(project, at, said)


TAKE_IN = Question(
    key="design.take_in.{level}",
    label="Or take off at the {level}",
    how="Off each of the four edges at the {level}.",
    rule=_TAKE_IN,
    put=_put,
    read=_read_take_in,
    preview=_take_in,
    sewn=True,
    group="take-in",
)
WIDTH = Question(
    key="design.width.{level}",
    label="Finished width, {level}",
    how="All the way around the finished leg at the {level}.",
    rule=_WIDTH,
    if_skipped="nothing is asked for at the {level}",
    put=_put,
    read=at_known_level(_WIDTH),
    preview=_width,
    slips=_flat_slips,
    sewn=True,
    group="width",
)
EXTRA = Question(
    key="design.extra.{seam}.{level}",
    label="Extra at the {seam}, {level}",
    how="Added to both edges of the {seam} at the {level}; a negative length lets out.",
    rule=_EXTRA,
    read=at_known_level(_EXTRA),
    says=_holds,
    sewn=True,
    group="extra at the {seam}",
)
_SHIFT = Rule("signed", at_most=100, zero=True)
SHIFT = Question(
    key="design.shift.{level}",
    label="Leg moved at the {level}",
    how="For bow legs or knock knees: how far the leg moves towards the outseam, with a minus "
    "towards the inseam. Its width stays.",
    rule=_SHIFT,
    if_skipped="the middle of the leg stays where it is",
    read=at_known_level(_SHIFT),
    sewn=True,
)


_TOLD = 0.5  # mm; less shows neither on paper nor in the sewing: common practice


def _left_at_back(project: Project, at: At, said: object) -> Iterator[str]:
    """Say what room on the back panel alone does to the edges, the width and the sewn pairs."""
    if not isinstance(said, Length):
        return
    unit = project.length_unit
    yield f"{say_small(said.mm / 2, unit)} less off each back seam"
    changed = put_path(project, ["design", "back_room", at.level], said, at.cursor)
    fit = standing(changed, at.cursor).fit
    if fit is not None and at.level in fit.taper.finished:
        yield f"{say_length(fit.taper.finished[at.level], unit)} around"
        yield say_pairs(fit)


def say_pairs(fit: Fit) -> str:
    """Say how long front and back of both seams are beside each other from hem to knee."""
    from legtaper.leg.pairs import sewn_pairs

    told = []
    for pair in sewn_pairs(fit.taper):
        mm = pair.below_knee
        by = say_small(abs(mm), fit.project.length_unit)
        longer = f"the {'back' if mm > 0 else 'front'} {pair.seam} {by} longer"
        told.append(f"{pair.seam}s equally long" if abs(mm) < _TOLD else longer)
    return f"hem to knee: {', '.join(told)}"


ROOM = Question(
    key="design.back_room.{level}",
    label="Room at the back, {level}",
    how="For a full {level}: how much wider the back panel stays.",
    rule=Rule("length", at_most=150, zero=True),
    if_skipped="nothing is lost: the same comes off the front and the back",
    often="Wider than with the same off every edge; half of it at each seam of the back. Where you "
    "asked for a finished width at that level, it stays, and the front gives what the back keeps.",
    read=at_known_level(Rule("length", at_most=150, zero=True)),
    preview=_left_at_back,
    likely=(0.0, 50.0),  # mm: common practice
    sewn=True,
)
QUESTIONS = (WIDTH, TAKE_IN, ROOM, EXTRA, SHIFT)
