"""The questions about the signs of a muslin: is it gone, what is its cause, where does it show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from legtaper.model.levels import say_level
from legtaper.model.project import LEGS, SEAMS, Design, Project, Round, SeenSign
from legtaper.model.safe_text import clean
from legtaper_wizard.flow.derived_state import chosen_design, standing
from legtaper_wizard.flow.questions.muslin_round import put_into_round
from legtaper_wizard.flow.questions.question import At, Question
from legtaper_wizard.flow.round_answers import round_at
from legtaper_wizard.flow.shapes import AnswerError, Choices, Cursor, Rule

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.muslin.cures import Part

_LEG_WORDS = ("the narrowed leg alone", "the leg as the block alone", "both legs alike")
WHERE_CHOICES: Choices = tuple(zip(LEGS, _LEG_WORDS, strict=True))
_WENT: Choices = (("gone", "yes, it is gone"), ("still", "no, it is still there"))


def still_there(one: Round | None) -> tuple[SeenSign, ...]:
    """Return the signs of a round that are not written down as gone, in their order."""
    from legtaper.muslin.sign_parts import GONE

    return tuple(seen for seen in one.signs if seen.cause != GONE) if one else ()


def looked_for(project: Project, cursor: Cursor) -> tuple[SeenSign, ...]:
    """Return the signs that the design was made to mend."""
    from legtaper.muslin.advice import to_look_for

    design = chosen_design(project, cursor)
    return to_look_for(project, design) if design else ()


def cause_choices(seen: SeenSign, block: Block, sewn: Design | None) -> Choices:
    """Return what may be the cause of a sign, each by what shows that it is this.

    sewn: the design that shows it: what that answers is not left to choose.
    """
    from legtaper.muslin.advice import causes

    found = causes(replace(seen, cause=""), block, sewn)
    return tuple((cause.id, cause.tell.removesuffix(".")) for cause in found)


def level_choices(block: Block) -> Choices:
    """Return the levels around a leg at which a sign may be seen, from the hem up."""
    return tuple((level, f"the {say_level(level)}") for level in block.widths)


def parts_asked(seen: SeenSign, block: Block, sewn: Design | None) -> tuple[Part, ...]:
    """Return what else of its place a sign is asked for."""
    from legtaper.muslin.advice import asked_of

    return asked_of(seen, block, sewn)


def sign_words(seen: SeenSign) -> str:
    """Return what a sign is called, in short."""
    from legtaper.muslin.open_things import short_words

    return short_words(seen)


def _at(found: tuple[SeenSign, ...], at: At) -> SeenSign | None:
    number = int(at.parts["number"])
    return found[number - 1] if 1 <= number <= len(found) else None


def _named(found: tuple[SeenSign, ...], at: At) -> SeenSign:
    seen = _at(found, at)
    if seen is None:
        raise AnswerError(at.key, "there is no such sign in this round")
    return seen


def _get_went(project: Project, at: At) -> object:
    from legtaper.muslin.sign_parts import GONE

    one, wanted = round_at(project, at.cursor), _at(looked_for(project, at.cursor), at)
    found = [seen for seen in one.signs if wanted and seen.sign == wanted.sign] if one else []
    return None if not found else "gone" if found[0].cause == GONE else "still"


def _went(project: Project, one: Round, at: At, said: Any) -> Round:
    from legtaper.muslin.sign_parts import GONE

    wanted = _named(looked_for(project, at.cursor), at)
    others = tuple(seen for seen in one.signs if seen.sign != wanted.sign)
    if said is None:
        return replace(one, signs=others)
    now = replace(wanted, cause=GONE if said == "gone" else "")
    return replace(one, signs=(now, *others))


def _get_cause(project: Project, at: At) -> object:
    seen = _at(still_there(round_at(project, at.cursor)), at)
    return (seen.cause or None) if seen else None


def _caused(project: Project, one: Round, at: At, said: Any) -> Round:
    from legtaper.muslin.advice import check_signs

    seen, block = _named(still_there(one), at), standing(project, at.cursor).block
    new = replace(seen, cause=said or "")
    return _with(one, seen, check_signs([new], block)[0] if block else new)


def _part(part: Part) -> dict[str, Any]:
    """Return how one part of where a sign was seen is read and written; its other words stay."""

    def get(project: Project, at: At) -> object:
        from legtaper.muslin.cures import part_of

        seen = _at(still_there(round_at(project, at.cursor)), at)
        block = standing(project, at.cursor).block
        words = seen.where.split(",") if seen and block else []
        found = [part_of(word, block) for word in words if block]
        return next((one[1] for one in found if one and one[0] == part), None)

    def put(project: Project, one: Round, at: At, said: Any) -> Round:
        from legtaper.muslin.cures import moved_to, part_of

        seen, block = _named(still_there(one), at), standing(project, at.cursor).block
        if block is None:
            return one
        found = part_of(said, block) if said else (part, "")
        if found is None or found[0] != part:
            known = ", ".join(label for _, label in level_choices(block))
            raise AnswerError(at.key, f'"{clean(said, 30)}" is none of {known}')
        return _with(one, seen, replace(seen, where=moved_to(seen.where, part, found[1], block)))

    return {"get": get, "put": put_into_round(put)}


def _with(one: Round, old: SeenSign, new: SeenSign) -> Round:
    return replace(one, signs=tuple(new if seen is old else seen for seen in one.signs))


def add_sign(project: Project, texts: tuple[str, ...], cursor: Cursor) -> Project:
    """Return the project with a sign written into the round: its name, and which leg shows it."""
    from legtaper.muslin.advice import check_signs

    name, where = (text.strip() for text in texts)
    key = "round.sign"
    if not name:
        raise AnswerError(key, "choose what you see")

    def change(_: Project, one: Round, at: At, __: Any) -> Round:
        block = standing(project, at.cursor).block
        new = SeenSign(name, "", where)
        checked = check_signs([new], block)[0] if block else new
        return replace(one, signs=(*(s for s in one.signs if s.sign != name), checked))

    return put_into_round(change)(project, At(key, {}, cursor), name)


def drop_sign(project: Project, texts: tuple[str, ...], cursor: Cursor) -> Project:
    """Return the project without a sign that was written down by mistake."""

    def change(_: Project, one: Round, __: At, ___: Any) -> Round:
        return replace(one, signs=tuple(s for s in one.signs if s.sign != texts[0].strip()))

    return put_into_round(change)(project, At("round.sign", {}, cursor), None)


WENT = Question(
    key="round.went.{number}",
    label="Is it gone?",
    how="The round before showed it: look for it again.",
    rule=Rule("choice", _WENT),
    get=_get_went,
    put=put_into_round(_went),
    group="signs",
)
WHERE = Question(
    key="round.sign.{number}.where",
    label="Which leg shows it",
    how="If the leg as the block shows it, too, narrowing is not the cause.",
    rule=Rule("choice", WHERE_CHOICES),
    group="signs",
    **_part("legs"),
)
LEVEL = Question(
    key="round.sign.{number}.level",
    label="At which level",
    how="Where it is strongest.",
    rule=Rule("text", at_most=40),
    if_skipped="the cure is tried at the knee",
    group="signs",
    **_part("level"),
)
SEAM = Question(
    key="round.sign.{number}.seam",
    label="At which seam",
    how="Leave it out where both show it.",
    rule=Rule("choice", tuple((seam, f"the {seam}") for seam in SEAMS)),
    if_skipped="the cure is tried at both seams",
    group="signs",
    **_part("seam"),
)
CAUSE = Question(
    key="round.sign.{number}.cause",
    label="What tells its cause",
    how="Look at the muslin: which of these is so?",
    rule=Rule("text", at_most=40),
    get=_get_cause,
    put=put_into_round(_caused),
    group="signs",
)
PLACES: Mapping[Part, Question] = {"level": LEVEL, "seam": SEAM}
"""What is asked of a sign where its cures go by it."""

QUESTIONS = (WENT, WHERE, CAUSE, LEVEL, SEAM)
