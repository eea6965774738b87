"""The step in which garments are measured whose legs she likes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from legtaper.model.levels import say_level
from legtaper.model.project import Liked, Project
from legtaper.model.said_lengths import say_around
from legtaper_wizard.flow.answers import answer
from legtaper_wizard.flow.questions.liked import FLAT, GARMENT, QUESTIONS, WIDTH
from legtaper_wizard.flow.shapes import (
    KINDS,
    Action,
    AnswerError,
    Cursor,
    Field,
    Note,
    StepState,
)
from legtaper_wizard.flow.steps.block_levels import leg_levels
from legtaper_wizard.flow.steps.step import DONE, Step, Work, reason_notes, still_open

_ANOTHER = "Another garment"


def _asks(work: Work) -> Iterator[Field]:
    number = str(work.at.liked)
    name, count = work.ask(GARMENT, number=number), len(work.project.liked)
    yield name._replace(label=_ANOTHER) if work.at.liked >= count > 0 else name
    if work.at.liked >= count:
        return  # the name comes first: without a garment there is nothing to measure
    given = work.project.liked[work.at.liked]
    across = "All the way around" if given.measured == "round" else "Across"
    for question in QUESTIONS[1:]:
        part = question.key.split(".")[2]
        if "{level}" not in question.key:
            yield work.ask(question, number=number)
            continue
        levels = [*leg_levels(work.project, work.at), *getattr(given, part)]
        for level in dict.fromkeys(levels):
            field = work.ask(question, number=number, level=level)
            how = f"{across} the leg at the {say_level(level)}, square to the crease; or the front "
            yield field._replace(how=f"{how}/ the back.") if question is WIDTH else field


def _notes(work: Work, found: StepState) -> Iterator[Note]:
    from legtaper.leg.widths import liked_widths

    unit, block = work.unit, work.block
    numbers = range(len(work.project.liked))
    for number in sorted(numbers, key=lambda number: number != work.at.liked):  # hers now, first
        liked = work.project.liked[number]
        for level, width in liked_widths(liked, work.project.fabric, work.project.wearer).items():
            has = say_around(width.measured, unit, exact=True)
            text = f"{liked.garment}, {say_level(level)}: {has} around"
            if abs(width.equal_ease - width.measured) > 0.05:
                alike = say_around(width.equal_ease, unit, exact=True)
                text += f"; in this fabric {alike} feels the same"
            elif not width.known and work.project.fabric.usable_stretch != liked.usable_stretch:
                text += "; in this fabric it may feel different, as the body there was not measured"
            if block and level in block.widths:
                text += f"; the block has {say_around(block.widths[level], unit)}"
            yield Note("number", text + ".")
    yield from _splits(work)
    yield from reason_notes(work, found)


def _splits(work: Work) -> Iterator[Note]:
    """Say how each garment divides front and back: before there is a design, too."""
    from legtaper.checks.asked_widths import liked_splits

    if work.block is None:
        return
    room = work.design.back_room if work.design else ()
    for number, one in liked_splits(work.project, work.block, room):
        yield Note(KINDS[one.status], one.says, f"liked.{number}.garment")


def _status(work: Work) -> StepState:
    halves = [half for liked in work.project.liked for half in _half_measured(liked)]
    if halves:
        return still_open(*halves)
    if work.project.liked:
        return DONE
    if work.passed:
        return StepState("done", ("skipped",))
    return still_open("no liked garment is measured; this may be skipped")


def _half_measured(liked: Liked) -> list[str]:
    """Return what is missing where one panel is measured and the other is not."""
    missing = [("back", level) for level in liked.front_width if level not in liked.back_width]
    missing += [("front", level) for level in liked.back_width if level not in liked.front_width]
    return [
        f"{liked.garment}: the {panel} at the {say_level(level)} is missing"
        for panel, level in missing
    ]


def _answered(project: Project) -> bool:
    return bool(project.liked)


def _actions(work: Work) -> Iterator[Action]:
    name = work.ask(GARMENT, number=str(len(work.project.liked)))
    yield Action("add-liked", "Add a garment", _add, (name,), at_hand=True)
    for number, liked in enumerate(work.project.liked):
        yield _remove(number, liked.garment)


def _add(project: Project, texts: tuple[str, ...], at: Cursor) -> Project:
    key = f"liked.{len(project.liked)}.garment"
    if not texts[0].strip():
        raise AnswerError(key, "a garment needs a name, such as Gray corduroys")
    return answer(project, key, texts[0], at)


def _remove(number: int, garment: str) -> Action:
    def does(project: Project, _: tuple[str, ...], __: Cursor) -> Project:
        kept = tuple(one for at, one in enumerate(project.liked) if at != number)
        return replace(project, liked=kept)

    return Action(f"remove-liked.{number}", f"Remove {garment}", does, takes_away=True)


STEP = Step(
    id="liked",
    title="Legs you like",
    short="Liked",
    why="Trousers you like to wear say more than a table. Measure their legs at the same levels. "
    "You may measure several pairs, or none.",
    help=(
        "Lay the leg flat, smooth it without stretching, and measure straight across from "
        "seam to seam, square to the crease.",
        "Find the knee level by measuring up from the hem as far as on your block.",
        "A width in stretch fabric does not carry over to firm fabric unchanged; both numbers "
        "are shown.",
    ),
    asks=_asks,
    notes=_notes,
    status=_status,
    answered=_answered,
    actions=_actions,
    drawing=FLAT,
    says_itself=("liked-split",),
)
