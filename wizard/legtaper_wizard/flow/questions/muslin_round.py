"""The questions about the muslin round that is worked on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any, cast

from legtaper.model.lengths import Length, from_mm
from legtaper.model.project import (
    CHECKLIST,
    NoDesignError,
    Pinch,
    Project,
    ProjectError,
    Round,
    SeamName,
    Trial,
)
from legtaper.model.said_lengths import say_both
from legtaper_wizard.flow.answer_parser import Answer, read
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.questions.block_verdict import future_day, today
from legtaper_wizard.flow.questions.question import At, Get, Put, Question
from legtaper_wizard.flow.round_answers import changed_at, is_waiting, number_at, round_at
from legtaper_wizard.flow.shapes import AnswerError, Choices, Rule

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.model.project import Design

PINCH_DRAWN = r"""
              seam
   front ======*====== back       as sewn, looking along the leg

               *
               |  p               pinched: the fold sticks out by p,
   front ======+====== back       from the pins to the seam, so p comes
                                  off the front edge and p off the back
"""

_TRIED: Choices = (("well", "went well"), ("trouble", "trouble"))
_NO_ROUND = "no round is begun; say first that its test is printed"

Change = Callable[[Project, Round, At, Any], Round]
"""Returns the round with an answer set. Raises `ProjectError`."""


def _begun(project: Project, at: At) -> tuple[Block, Design]:
    """Return what is tried on. Raises `AnswerError` where there is no design."""
    block, design = standing(project, at.cursor).block, chosen_design(project, at.cursor)
    if block is None or design is None:
        raise AnswerError(at.key, NoDesignError().problem)
    return block, design


def put_into_round(change: Change) -> Put:
    """Return what puts an answer into the round, whose design is then the current one."""

    def put(project: Project, at: At, said: object) -> Project:
        from legtaper.muslin.log import accept, change_round, make_current

        _, design = _begun(project, at)
        number, one = number_at(project, at.cursor), round_at(project, at.cursor)
        if number is None or one is None:
            raise AnswerError(at.key, _NO_ROUND)
        try:
            changed = change_round(project, number, change(project, one, at, said))
            if at.key == VERDICT.key and said == "done":
                return accept(changed, number)
        except ProjectError as error:
            raise AnswerError(at.key, error.problem) from None
        return make_current(changed, design.name)

    return put


def _of_round(part: str) -> Get:
    """Return what reads an attribute of the round."""

    def get(project: Project, at: At) -> object:
        return getattr(round_at(project, at.cursor), part, None)

    return get


# --- each question -----------------------------------------------------------------------------


def _get_printed(project: Project, at: At) -> object:
    waiting = is_waiting(project, at.cursor) and not changed_at(project, at.cursor)
    one = round_at(project, at.cursor)
    return one.printed if one and waiting else None


def _put_printed(project: Project, at: At, day: object) -> Project:
    from legtaper.muslin.log import make_current, mark_printed

    block, design = _begun(project, at)
    if day is None:
        return project
    return make_current(mark_printed(project, block, design, cast(Any, day)), design.name)


def _dated(_: Project, one: Round, __: At, day: Any) -> Round:
    return replace(one, date=day)


def _noted(_: Project, one: Round, __: At, notes: Any) -> Round:
    return replace(one, notes=notes or "")


def _judged(_: Project, one: Round, __: At, verdict: Any) -> Round:
    return replace(one, verdict=verdict)


NOT_YET = "not yet"
"""What Enter alone means of the day on which a test was tried on that was printed that day."""


def _day_or_not_yet(project: Project, at: At) -> str:
    one = round_at(project, at.cursor)
    if one is None or not is_waiting(project, at.cursor):
        return ""  # once it is tried on, an empty day is left empty
    return NOT_YET if one.printed == date.today() else today(project, at)


def _day_slips(project: Project, at: At, day: object) -> Iterator[str]:
    yield from future_day(project, at, day)
    one = round_at(project, at.cursor)
    if one and one.date and one.printed and one.date < one.printed:
        yield "It was tried on before it was printed. Is the day right?"


def _trial(trial: Trial, key: str, label: str, how: str, good: str) -> Question:
    """Return the question of how one thing of the checklist went. good: the word that is well."""

    def said(project: Project, at: At, text: str) -> Answer:
        word = {"y": "yes", "n": "no"}.get(text.lower(), text.lower())
        if word in ("yes", "no"):
            return "well" if word == good else "trouble"
        return read(at.key, Rule("choice", _TRIED), text, project.length_unit)

    def get(project: Project, at: At) -> object:
        one = round_at(project, at.cursor)
        if one is None:
            return None
        return "trouble" if trial in one.trouble else "well" if trial in one.seen else None

    def change(_: Project, one: Round, __: At, said: Any) -> Round:
        seen = {*one.seen} - {trial} | ({trial} if said == "well" else set())
        trouble = {*one.trouble} - {trial} | ({trial} if said == "trouble" else set())
        return replace(
            one,
            seen=tuple(each for each in CHECKLIST if each in seen),
            trouble=tuple(each for each in CHECKLIST if each in trouble),
        )

    return Question(
        key=f"round.trial.{key}",
        label=label,
        how=how,
        rule=Rule("choice", _TRIED),
        get=get,
        put=put_into_round(change),
        read=said,
        drawing=PINCH_DRAWN,
        group="trials",
    )


_WORDS: Mapping[Trial, tuple[str, str, str, str]] = {
    "stand": ("stand", "Stand", "Front, back and profile: does the leg hang straight?", "yes"),
    "sit": ("sit", "Sit", "Does thigh or knee bind?", "no"),
    "climb a step": ("climb", "Climb a step", "Does the leg pull at knee or thigh?", "no"),
    "bend the knee": ("bend", "Bend the knee", "Does it bind, or slide up and stay there?", "no"),
    "put the foot through": (
        "foot",
        "Put the foot through",
        "Does the hem pass heel and instep?",
        "yes",
    ),
}


def _get_depth(project: Project, at: At) -> Length | None:
    """Return the depth pinched at a place; what a file has there more than once adds up."""
    one, place = round_at(project, at.cursor), (at.parts["seam"], at.level)
    found = [p.depth for p in one.pinches if (p.edge, p.level) == place] if one else []
    if len(found) < 2:
        return found[0] if found else None
    return from_mm(sum(depth.mm for depth in found), project.length_unit)


def _pinched(project: Project, one: Round, at: At, depth: Any) -> Round:
    """Return the round with a pinch in the place of what was pinched there before."""
    from legtaper.muslin.next_design import check_pinches

    block, _ = _begun(project, at)
    seam, level = cast(SeamName, at.parts["seam"]), at.level
    kept = [pinch for pinch in one.pinches if (pinch.edge, pinch.level) != (seam, level)]
    if depth is None:
        return replace(one, pinches=tuple(kept))
    new = Pinch(level, seam, depth)
    check_pinches(block, replace(one, pinches=(new,)), project.length_unit)
    places = [i for i, p in enumerate(one.pinches) if (p.edge, p.level) == (seam, level)]
    kept.insert(places[0] if places else len(kept), new)
    return replace(one, pinches=tuple(kept))


def _off(project: Project, _: At, said: object) -> Iterator[str]:
    mm = cast(Length, said).mm
    verb = "off" if mm > 0 else "let out"
    yield f"{say_both(2 * abs(mm), project.length_unit)} {verb} around the leg"


PRINTED = Question(
    key="round.printed",
    label="Test printed or marked out",
    how="When you printed both legs, or marked them out: {day}, or today.",
    rule=Rule("date"),
    if_skipped="the round is not begun",
    get=_get_printed,
    put=_put_printed,
    slips=future_day,
    drawing=PINCH_DRAWN,
)
DATE = Question(
    key="round.date",
    label="Tried on",
    how="The day: {day}, or today.",
    rule=Rule("date"),
    usual=_day_or_not_yet,
    get=_of_round("date"),
    put=put_into_round(_dated),
    slips=_day_slips,
    drawing=PINCH_DRAWN,
)
TRIALS = tuple(_trial(trial, *_WORDS[trial]) for trial in CHECKLIST)
NOTES = Question(
    key="round.notes",
    label="Notes",
    how="What you saw, in your own words.",
    rule=Rule("note", at_most=2000),
    get=_of_round("notes"),
    put=put_into_round(_noted),
    drawing=PINCH_DRAWN,
)
PINCH = Question(
    key="round.pinch.{seam}.{level}",
    label="Pinched at the {level}, {seam}",
    how="Depth of the fold pinned at the {seam}, from seam to pin. A minus lets out.",
    rule=Rule("signed", at_most=100),
    likely=(-40.0, 40.0),  # mm; a deeper fold is more than a fitting takes (common practice)
    get=_get_depth,
    put=put_into_round(_pinched),
    preview=_off,
    drawing=PINCH_DRAWN,
    group="pinched {seam}",
)
VERDICT = Question(
    key="round.verdict",
    label="Verdict",
    how="Is it closer to the leg you would like, or narrowed too far? Done accepts the design.",
    rule=Rule(
        "choice",
        (("closer", "closer"), ("too far", "too far"), ("done", "done, cut the real fabric")),
    ),
    get=_of_round("verdict"),
    put=put_into_round(_judged),
    drawing=PINCH_DRAWN,
)
QUESTIONS = (PRINTED, DATE, *TRIALS, NOTES, PINCH, VERDICT)
