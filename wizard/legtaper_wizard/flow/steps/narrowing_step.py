"""The step in which it is said how narrow the leg is to be."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from legtaper.model.lengths import RULER_STEP, Length, from_mm, round_to
from legtaper.model.levels import say_level
from legtaper.model.project import Liked, Project
from legtaper.model.said_lengths import say_around, say_both
from legtaper.model.sentences import listed
from legtaper_wizard.flow.answers import answer
from legtaper_wizard.flow.derived_state import asks_for_something, standing, widths_that_work
from legtaper_wizard.flow.questions import find
from legtaper_wizard.flow.questions.narrowing import (
    EXTRA,
    ROOM,
    SHIFT,
    TAKE_IN,
    TAKE_IN_DRAWN,
    WIDTH,
    say_pairs,
    width_if_flat,
)
from legtaper_wizard.flow.round_answers import changed_at, is_waiting, number_at
from legtaper_wizard.flow.shapes import Action, Cursor, Does, Field, Note, StepState
from legtaper_wizard.flow.steps.block_levels import leg_levels
from legtaper_wizard.flow.steps.designs import design_actions
from legtaper_wizard.flow.steps.findings import finding_note
from legtaper_wizard.flow.steps.step import (
    DONE,
    Step,
    Work,
    locked,
    look,
    reason_notes,
    say_problem,
    sentence,
    still_open,
    wrong,
)

if TYPE_CHECKING:
    from legtaper.pattern import Fit


def _asks(work: Work) -> Iterator[Field]:
    for level in leg_levels(work.project, work.at):
        yield work.ask(WIDTH, level=level)
        yield work.ask(TAKE_IN, level=level)
    for level in _roomy(work):
        yield work.ask(ROOM, level=level)
    for seam, lengths in (work.design.extra if work.design else {}).items():
        for level in lengths:
            yield work.ask(EXTRA, seam=seam, level=level)
    for level in work.design.shift if work.design else ():
        yield work.ask(SHIFT, level=level)


def _roomy(work: Work) -> Iterator[str]:
    """Yield where room on the back panel alone is asked about: at a calf that is asked for."""
    design = work.design
    if design is None:
        return
    if "calf" in {**design.width, **design.take_in} and "calf" not in design.back_room:
        yield "calf"
    yield from design.back_room


# --- notes ---------------------------------------------------------------------------------------


def _notes(work: Work, found: StepState) -> Iterator[Note]:
    fit = work.fit
    if fit is None:
        yield from reason_notes(work, found)
        return
    number = number_at(work.project, work.at)
    if number and changed_at(work.project, work.at) == "design":
        yield Note("caution", f"This design has changed since it was sewn in round {number}.")
    elif number and not is_waiting(work.project, work.at):
        yield Note(
            "caution",
            f"This design was tried on in round {number}. To keep it as it was sewn, make the next "
            "one from it on the step of the fitting, and change that.",
        )
    yield from _warned_since(work, fit)
    for asked in fit.taper.asked:
        yield Note("number", width_line(fit, asked.level))
    if any(asked.room for asked in fit.taper.asked):
        yield Note("number", sentence(say_pairs(fit)))
    if fit.design.style == "follow":  # ruled seams take too long to try at every answer
        from legtaper.search import hem_widths

        if widths := widths_that_work(work.project, work.at):
            yield Note("number", hem_widths.sentence(widths), WIDTH.key.format(level="hem"))


def _warned_since(work: Work, fit: Fit) -> Iterator[Note]:
    """Yield what another step warns of that was well in the design which this one was made from."""
    from legtaper.checks.registry import checks_on

    parent = work.design.parent if work.design else None
    before = standing(work.project, Cursor(parent)).fit if parent else None
    if before is None:
        return
    known = {(found.id, found.where, found.status) for found in before.findings}
    here = {check.id for check in checks_on(STEP.id)}
    for found in fit.findings:
        new = (found.id, found.where, found.status) not in known
        if new and found.id not in here and found.status in ("caution", "fail"):
            yield finding_note(found)


def width_line(fit: Fit, level: str) -> str:
    """Say how wide the leg was and is at a level, and what comes off."""
    unit = fit.project.length_unit
    has, now = fit.block.widths[level], fit.taper.finished[level]
    said = say_around(now, unit, exact=True)
    line = f"{say_level(level).capitalize()}: block {say_around(has, unit)}, now {said}"
    if abs(has - now) < 0.05:
        return line + ", nothing off."
    edges = {round(fit.taper.taken(edge, level), 6) for edge in fit.taper.seams}
    each = f", {say_both(edges.pop(), unit)} each edge" if len(edges) == 1 else ""
    word = "off" if has > now else "let out"
    return line + f"; {say_around(abs(has - now), unit, exact=True)} {word}{each}."


def hem_widths_page(project: Project, at: Cursor, *, spoken: bool = False) -> list[str]:
    """Return which hem widths work, as lines of text; none while nothing can be computed.

    In columns with a chart, or `spoken` as one sentence for each.
    """
    from legtaper.search import hem_widths as widths
    from legtaper.search.mended_widths import full_sentence

    found, fit = widths_that_work(project, at), standing(project, at).fit
    if found is None or fit is None:
        return []
    says = full_sentence(fit, found)
    return [says, *widths.spoken(found)] if spoken else [says, "", *widths.table(found)]


_OWN = tuple(f"design.{part}" for part in ("take_in", "width", "extra", "shift", "back_room"))


# --- where it stands -----------------------------------------------------------------------------


def _status(work: Work) -> StepState:
    if work.block is None:
        return locked("waits for the block")
    if not asks_for_something(work.design):
        return still_open("nothing is asked for yet; say how much comes off at the hem")
    problem = work.found.fit_problem
    if problem and problem.key.startswith(_OWN):
        return wrong(say_problem(problem))
    if problem and not problem.key:
        return wrong(problem.text)
    narrow = [f.says for f in work.fit.findings if f.id == "already-narrow"] if work.fit else []
    return look(*narrow) if narrow else DONE


def _answered(project: Project) -> bool:
    return any(map(asks_for_something, project.designs))


# --- actions -------------------------------------------------------------------------------------


def _actions(work: Work) -> Iterator[Action]:
    for number, liked in enumerate(work.project.liked):
        if _wanted(work, liked):
            yield _like(number, liked.garment, _not_taken(work, liked))
    yield from _doubled(work)
    yield from design_actions(work)
    if work.block is not None and not (work.design and work.design.shift):
        needs = tuple(work.ask(SHIFT, level=level) for level in _MOVED)
        yield Action("move-leg", "Move the leg, for bow legs or knock knees", _move, needs)
    if work.block is not None and "calf" in work.block.heights and not [*_roomy(work)]:
        needs = (work.ask(ROOM, level="calf"),)
        yield Action("back-room", "Leave room at the back of the calf alone", _leave_room, needs)


def _doubled(work: Work) -> Iterator[Action]:
    """Yield what doubles a width that can only have been measured flat."""
    for level in work.design.width if work.design else ():
        key = WIDTH.key.format(level=level)
        question = find(key, work.at)
        if question and (width := width_if_flat(work.project, question.at)):
            label = f"Double the width at the {say_level(level)}: {width.text} around"
            yield Action(f"double.{level}", label, _answers(key, width.text), at_hand=True)


_MOVED = ("hem", "knee")
"""Where a leg is moved; usually half as far at the knee (common practice)."""


def _move(project: Project, texts: tuple[str, ...], at: Cursor) -> Project:
    for level, text in zip(_MOVED, texts, strict=True):
        project = answer(project, SHIFT.key.format(level=level), text, at)
    return project


def _leave_room(project: Project, texts: tuple[str, ...], at: Cursor) -> Project:
    return answer(project, ROOM.key.format(level="calf"), texts[0], at)


def _answers(key: str, text: str) -> Does:
    def does(project: Project, _: tuple[str, ...], at: Cursor) -> Project:
        return answer(project, key, text, at)

    return does


_ROOM = 0.75
"""Up to this share of the way to the crotch a seam has room to run out above."""


def _wanted(work: Work, liked: Liked) -> dict[str, Length]:
    """Return what the leg must measure to feel like a liked one, up to the knee.

    A thigh is not taken over: just below the crotch no curve has room to run out, and the thigh
    follows from the blend. Rounded to 1/16 in or 1 mm, as nobody marks finer.
    """
    from legtaper.leg.widths import liked_widths

    block, unit = work.block, work.unit
    levels, wanted = leg_levels(work.project, work.at), {}
    for level, width in liked_widths(liked, work.project.fabric, work.project.wearer).items():
        if not block or level not in levels or level not in block.heights:
            continue
        if block.heights[level] <= max(block.heights.get("knee", 0.0), _ROOM * block.crotch):
            wanted[level] = from_mm(round_to(width.equal_ease, RULER_STEP[unit]), unit)
    return wanted


def _not_taken(work: Work, liked: Liked) -> str:
    """Say which of its widths a leg does not take over, and why; "" where it takes all."""
    from legtaper.leg.widths import liked_widths

    found = liked_widths(liked, work.project.fabric, work.project.wearer)
    block, wanted = work.block, _wanted(work, liked)
    left = [level for level in found if level not in wanted]
    here = block.heights if block else {}
    high = [f"the {say_level(level)}" for level in left if level in here]
    gone = [f"the {say_level(level)}" for level in left if level not in here]
    said = [f"{listed(high)}, which the blend makes"] if high else []
    said += [f"{listed(gone)}, which this leg has not"] if gone else []
    return f", but not {' or '.join(said)}" if said else ""


def _like(number: int, garment: str, but: str) -> Action:
    def does(project: Project, _: tuple[str, ...], at: Cursor) -> Project:
        changed = project
        for level, width in _wanted(Work(project, at), project.liked[number]).items():
            changed = answer(changed, f"design.width.{level}", width.text, at)
        return changed

    return Action(f"like.{number}", f"Take the widths of {garment}{but}", does, at_hand=True)


STEP = Step(
    id="narrowing",
    title="How narrow",
    short="Narrow",
    why="Say for the hem, and where you like above it, how wide the leg is to be or how much comes "
    "off each edge. The same comes off all four, so the crease stays centered and the back "
    "stays wider; a muslin may show later that one seam has to give more.",
    help=(
        "What comes off each edge comes off four times around the leg, because a leg has four "
        "edges: front and back, inseam and outseam.",
        "The hem alone is enough for most tapers. Ask at the knee when the leg should be "
        "close from the knee down.",
        "Where a length is rounded to a mark of the tape, the exact one follows it in brackets.",
        "At each level either the finished width counts or what comes off: the one you gave last.",
    ),
    asks=_asks,
    notes=_notes,
    status=_status,
    answered=_answered,
    actions=_actions,
    drawing=TAKE_IN_DRAWN,
    picture="panels",
    widths="with the hem",
)
