"""The step in which the muslin is tried on, and the next design is made of what was pinched."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import TYPE_CHECKING

from legtaper.model.project import CHECKLIST, SEAMS, Project, Round
from legtaper_wizard.flow.answers import answer
from legtaper_wizard.flow.questions.muslin_round import (
    DATE,
    NOT_YET,
    NOTES,
    PINCH,
    PINCH_DRAWN,
    PRINTED,
    TRIALS,
    VERDICT,
)
from legtaper_wizard.flow.questions.muslin_signs import (
    CAUSE,
    PLACES,
    WENT,
    WHERE,
    WHERE_CHOICES,
    add_sign,
    cause_choices,
    drop_sign,
    level_choices,
    looked_for,
    parts_asked,
    sign_words,
    still_there,
)
from legtaper_wizard.flow.round_answers import (
    Offer,
    changed_at,
    is_waiting,
    number_at,
    offer,
    pinchable,
    round_at,
    tried_cures,
)
from legtaper_wizard.flow.shapes import Action, AnswerError, Cursor, Does, Field, StepState
from legtaper_wizard.flow.steps.round_notes import fitting_notes
from legtaper_wizard.flow.steps.step import DONE, Step, Work, still_open, waits, wrong

if TYPE_CHECKING:
    from legtaper.leg.block import Block
    from legtaper.pattern import Fit

_WITH_PINCHES = (
    "Left out, the pinches would be lost. For the pinches alone, take the other next design; for "
    "the cure alone, empty them first. "
)
_AT_HAND = 3  # cures that stand on the page; the others are under "more"


def _asks(work: Work) -> Iterator[Field]:
    one, block = round_at(work.project, work.at), work.block
    if one is None or block is None:
        if block is not None and work.design:
            yield work.ask(PRINTED)
        return
    if one.printed and one.printed > date.today():  # a slip: it stays where it can be put right
        yield work.ask(PRINTED)
    yield _dated(work)
    yield from (work.ask(trial) for trial in TRIALS)
    yield work.ask(NOTES)
    for seam in SEAMS:
        pinched = [pinch.level for pinch in one.pinches if pinch.edge == seam]
        for level in dict.fromkeys([*pinchable(block, seam), *pinched]):
            yield work.ask(PINCH, seam=seam, level=level)
    yield from _sign_questions(work, block)
    yield work.ask(VERDICT)


def _sign_questions(work: Work, block: Block) -> Iterator[Field]:
    """Ask whether what was to be mended went, and of each sign its leg, its place and its cause."""
    one = round_at(work.project, work.at)
    for number, seen in enumerate(looked_for(work.project, work.at), 1):
        went = work.ask(WENT, number=str(number))
        yield went._replace(label=f"Is it gone? {sign_words(seen)}")
    for number, seen in enumerate(still_there(one), 1):
        where = work.ask(WHERE, number=str(number))
        yield where._replace(label=f"Which leg shows it: {sign_words(seen)}")
        for part in parts_asked(seen, block, work.design):
            place = work.ask(PLACES[part], number=str(number))
            choices = place.choices or level_choices(block)
            label = f"{place.label}: {sign_words(seen)}"
            yield place._replace(label=label, kind="choice", choices=choices)
        if len(choices := cause_choices(seen, block, work.design)) > 1:  # one alone is not asked
            cause = work.ask(CAUSE, number=str(number))
            yield cause._replace(kind="choice", choices=choices)


def _dated(work: Work) -> Field:
    field = work.ask(DATE)
    return field._replace(takes_placeholder=field.placeholder not in ("", NOT_YET))


def _status(work: Work) -> StepState:
    number = number_at(work.project, work.at)
    if waiting := waits(work):
        return waiting
    if number is None:
        return StepState("open", (f"round {len(work.project.rounds) + 1} is not printed yet",))
    if changed := changed_at(work.project, work.at):
        return wrong(f"the {changed} has changed since round {number}; sew the test once more")
    if is_waiting(work.project, work.at):
        return still_open(f"round {number} is printed and not tried on yet")
    return _tried(number, work.project.rounds[number - 1])


def _tried(number: int, one: Round) -> StepState:
    if one.verdict is None:
        return still_open(f"round {number} has no verdict yet")
    if one.verdict == "done":
        return DONE
    return still_open(f"round {number} was {one.verdict}; the next design is to be made")


def _answered(project: Project) -> bool:
    return bool(project.rounds)


# --- actions -------------------------------------------------------------------------------------


def _actions(work: Work) -> Iterator[Action]:
    project, at = work.project, work.at
    number = number_at(project, at)
    if number and not is_waiting(project, at):
        yield from _next_designs(offer(project, at), bool(project.rounds[number - 1].pinches))
    if number:
        yield from _sign_actions(work)
    if number and (changed_at(project, at) or not is_waiting(project, at)):
        yield Action("print-again", "Mark its test as printed once more, today", _print_again)
    if project.rounds:
        which = Field("round.number", "Number of the round", "text", _numbers(project))
        yield Action("go-back", "Go back to an earlier round", _go_back, (which,))


def _sign_actions(work: Work) -> Iterator[Action]:
    """Yield what writes a sign down, takes one away, and the cures that were tried."""
    from legtaper.muslin.advice import offered
    from legtaper.muslin.places_of_signs import PLACES as PLACES_OF_SIGNS
    from legtaper.muslin.signs import in_order

    project, at = work.project, work.at
    for number, one in enumerate(offered(tried_cures(project, at)), 1):
        label = f"Next design: {one.text(work.unit)}"
        hint = f"{_WITH_PINCHES if one.pinched else ''}{one.effect}"
        yield Action(f"cure-{number}", label, _cure(number), at_hand=number <= _AT_HAND,
                     hint=hint, then="narrowing")  # fmt: skip
    signs = tuple((sign.id, sign.words) for sign in in_order())
    how = "What shows on the fabric or at the seams."
    what = Field("round.sign", "What you see", "choice", how, signs,
                 groups=PLACES_OF_SIGNS, in_own_words=NOTES.label.lower())  # fmt: skip
    where = Field("round.sign.where", "Which leg shows it", "choice", WHERE.how, WHERE_CHOICES)
    yield Action("add-sign", "Write down what you see", add_sign, (what, where), at_hand=True)
    written = tuple((seen.sign, sign_words(seen)) for seen in still_there(round_at(project, at)))
    if written:
        which = Field("round.sign", "Which sign", "choice", "Written down by mistake.", written)
        yield Action("drop-sign", "Take a sign away", drop_sign, (which,), takes_away=True)


def _cure(number: int) -> Does:
    """Return what makes the next design with a cure, by its number among those offered."""

    def does(project: Project, _: tuple[str, ...], at: Cursor) -> Project:
        from legtaper.muslin.advice import offered
        from legtaper.muslin.log import with_next

        ways = offered(tried_cures(project, at))
        return with_next(project, ways[number - 1].design) if number <= len(ways) else project

    return does


def _next_designs(found: Offer, was_pinched: bool) -> Iterator[Action]:
    """Yield the next designs that can be made, with what each of them does to the leg."""
    if found.even and found.pinched:
        even = "The same comes off all four edges; around the leg it is what you pinched."
        own = "Only the pinched seam gives, all of what you pinched; the crease may go off center."
        yield _next("next-even", "Next design, evened out over four edges", _even, even)
        yield _next("next-pinched", "Next design, as pinched", _as_pinched, own)
    elif found.even:
        how, hint = "to change by hand", "It begins as the one that was sewn."
        if was_pinched:
            how = "less what was pinched"
            hint = "The same comes off all four edges; around the leg it is what you pinched."
        yield _next("next-even", f"Next design, {how}", _even, hint)


def _even(found: Offer) -> Fit | None:
    return found.even


def _as_pinched(found: Offer) -> Fit | None:
    return found.pinched


def _next(name: str, label: str, which: Callable[[Offer], Fit | None], hint: str) -> Action:
    """Return what makes an offered design, which waits for a verdict on the one before."""

    def does(project: Project, _: tuple[str, ...], at: Cursor) -> Project:
        from legtaper.muslin.log import with_next

        one, offered = round_at(project, at), which(offer(project, at))
        if one is not None and one.verdict is None:
            raise AnswerError(VERDICT.key, "say first whether it is closer or too far")
        return with_next(project, offered.design) if offered else project

    return Action(name, label, does, at_hand=True, hint=hint, then="narrowing")


def _numbers(project: Project) -> str:
    count = len(project.rounds)
    return f"From 1 to {count}. Its design is the one worked on; the later rounds stay."


def _print_again(project: Project, _: tuple[str, ...], at: Cursor) -> Project:
    return answer(project, PRINTED.key, date.today().isoformat(), at)


def _go_back(project: Project, texts: tuple[str, ...], _: Cursor) -> Project:
    from legtaper.muslin.log import go_back

    text, count = texts[0].strip(), len(project.rounds)
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:6]) <= count):
        raise AnswerError("round.number", f"write a number from 1 to {count}")
    return go_back(project, int(text))


STEP = Step(
    id="fitting",
    title="Muslin fitting",
    short="Fitting",
    why="Sew one leg as it was and one narrowed, try both on, and write down what you see and "
    "pinch. The next design is the one you sewed less what you pinched.",
    help=(
        "Test in cheap fabric. Write both legs from here, or mark them out by ruler, and "
        f"answer here on which day. Then try on: {', '.join(CHECKLIST)}.",
        "A fold pinched at a seam is measured as it sticks out, from the seam to the pin. It "
        "takes its depth off each of the two edges there; a minus lets out. An emptied cell "
        "takes a pinch away.",
        "Evened out over four edges, the crease line stays centered and the back keeps its "
        "greater width. As pinched, only the pinched seam gives.",
        "Every round that was sewn is kept. Under F7 you can go back to any round.",
    ),
    asks=_asks,
    notes=fitting_notes,
    status=_status,
    answered=_answered,
    actions=_actions,
    drawing=PINCH_DRAWN,
)
