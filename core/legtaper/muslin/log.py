"""The book of muslin rounds: what was sewn, what was seen, where work stands, what comes next.

Nothing is ever taken out of it. A round is printed, then tried on; a verdict of "done" accepts
its design. Numbers count from 1, as a person counts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from legtaper.leg.block import Block
from legtaper.model.project import (
    CHECKLIST,
    NO_DESIGN,
    Design,
    Project,
    ProjectError,
    Round,
    Trial,
)
from legtaper.model.safe_text import clean
from legtaper.muslin.contradictions import look_again
from legtaper.muslin.next_design import At, ancestors, depths, round_of
from legtaper.muslin.open_things import pinches_go_first, say_pinch
from legtaper.muslin.sewn_as import is_otherwise, sewn_as
from legtaper.muslin.sign_parts import GONE
from legtaper.muslin.signs import told

_NAME = 40  # characters of a name in a sentence
_NOTES = 300
_SAID = 3  # rounds that the history names in full


# --- where work stands -----------------------------------------------------------------------


def accepted(project: Project) -> int | None:
    """Return the number of the round that made the current design the one to cut.

    `None` where the last verdict on that design is another than "done", or there is none, and
    where it was changed since.
    """
    done = project.accepted_designs
    number = done.get(current(project).name) if done else None
    return None if number and _is_otherwise(project, round_of(project, number)) else number


def current(project: Project) -> Design:
    """Return the design that work goes on from, and that every command means.

    Raises `NoDesignError` where there is none.
    """
    return project.design()


def make_current(project: Project, name: str) -> Project:
    """Return the project with work going on from that design. Raises `ProjectError`."""
    design = project.design(name)
    plain = replace(project, current=None)
    return plain if current(plain) is design else replace(project, current=name)


def go_back(project: Project, number: int) -> Project:
    """Return the project with the design of a round as the current one; later rounds stay."""
    return make_current(project, round_of(project, number).design)


def accept(project: Project, number: int) -> Project:
    """Return the project with a round accepted: its design is the one to cut.

    Raises `ProjectError` where a later round of the same design came to another verdict.
    """
    done = replace(round_of(project, number), verdict="done")
    later = project.rounds[number:]
    for again, one in enumerate(later, number + 1):
        if one.design == done.design and one.verdict not in (None, "done"):
            name = clean(one.design, _NAME)
            raise ProjectError(
                "round", f'round {again} found "{name}" {one.verdict} after that; accept {again}'
            )
    return go_back(_with_round(project, number, done), number)


def with_next(project: Project, design: Design) -> Project:
    """Return the project with a new design that work goes on from."""
    if any(one.name == design.name for one in project.designs):
        raise ProjectError(
            "design", f'there is a design "{design.name}" already; name it otherwise'
        )
    return make_current(project.with_design(design), design.name)


# --- writing down ----------------------------------------------------------------------------


def is_tried(one: Round) -> bool:
    """Whether a round was tried on: nothing is known of one that waits but that it was printed."""
    told = one.notes or one.pinches or one.verdict or one.seen or one.trouble or one.signs
    return bool(told or one.date) or one.printed is None


def number_to_print(project: Project, design: Design) -> int:
    """Return the number of the round that a pattern of this design belongs to."""
    last = project.rounds[-1] if project.rounds else None
    waits = last is not None and last.design == design.name and not is_tried(last)
    return len(project.rounds) + (0 if waits else 1)


def stamp(project: Project, design: Design, on: date | None, *, is_test: bool) -> str:
    """Return what a sheet of this design says of when it is: its round, or that it is accepted.

    A sheet that is no test, of the narrowed leg alone, begins no round; it says whether the design
    was tried on. A design without a name asks for nothing: that is the block as it is.
    """
    when = f", {on.isoformat()}" if on else ""
    if not design.name:
        return f"test of the block{when}"
    number = accepted(project) if current(project).name == design.name else None
    if number:
        return f"accepted in round {number}{when}"
    if is_test:
        return f"round {number_to_print(project, design)}{when}"
    sewn = last_of(project, design.name)
    if sewn and _is_otherwise(project, project.rounds[sewn - 1]):
        return f"changed since round {sewn}{when}"
    if sewn and is_tried(project.rounds[sewn - 1]):
        return f"tried on in round {sewn}{when}"
    return f"not tried on yet{when}"


def mark_printed(project: Project, block: Block, design: Design, on: date) -> Project:
    """Return the project with the round of this design printed on that day."""
    number = number_to_print(project, design)
    waiting = Round(design.name) if number > len(project.rounds) else project.rounds[-1]
    sewn = replace(
        waiting,
        printed=on,
        fingerprint=block.fingerprint,
        design_fingerprint=sewn_as(project, block, design),
    )
    return _with_round(project, number, sewn)


def mark_written(project: Project, design: Design, on: date) -> Project:
    """Return the project with the pattern of an accepted design written on that day.

    Of a design that is not accepted as it is, nothing is written down.
    """
    number = accepted(project) if current(project).name == design.name else None
    if number is None:
        return project
    return _with_round(project, number, replace(round_of(project, number), written=on))


def write_down(project: Project, block: Block, one: Round) -> Project:
    """Return the project with a round that was tried on.

    It completes the last round where that was printed and not tried on yet. Raises `ProjectError`
    for a design that there is not.
    """
    design = project.design(one.design)
    number = number_to_print(project, design)
    if number > len(project.rounds):
        sewn = replace(
            one,
            fingerprint=one.fingerprint or block.fingerprint,
            design_fingerprint=one.design_fingerprint or sewn_as(project, block, design),
        )
    else:
        before = project.rounds[-1]
        sewn = replace(
            one,
            printed=one.printed or before.printed,
            fingerprint=one.fingerprint or before.fingerprint or block.fingerprint,
            design_fingerprint=one.design_fingerprint or before.design_fingerprint,
        )
    return _with_round(project, number, sewn)


def last_of(project: Project, name: str) -> int | None:
    """Return the number of the last round that sewed a design, `None` where none did."""
    return next((number for number, one in _backwards(project) if one.design == name), None)


def change_round(project: Project, number: int, one: Round) -> Project:
    """Return the project with what is known of a round changed; of what was sewn it stays.

    Raises `ProjectError` where there is no such round, or its design would be another.
    """
    before = round_of(project, number)
    if one.design != before.design:
        raise ProjectError("round", f'round {number} sewed "{clean(before.design, _NAME)}"')
    as_sewn = replace(
        one, fingerprint=before.fingerprint, design_fingerprint=before.design_fingerprint
    )
    return _with_round(project, number, as_sewn)


def tried(one: Round) -> tuple[Trial, ...]:
    """Return what of the checklist was tried, in its order."""
    return tuple(trial for trial in CHECKLIST if trial in one.seen or trial in one.trouble)


def _with_round(project: Project, number: int, one: Round) -> Project:
    rounds = project.rounds
    return replace(project, rounds=(*rounds[: number - 1], one, *rounds[number:]))


def _backwards(project: Project) -> Iterator[tuple[int, Round]]:
    return zip(range(len(project.rounds), 0, -1), reversed(project.rounds), strict=True)


# --- what has changed since it was sewn -----------------------------------------------------


def changed_since(project: Project, one: Round, block: Block | None = None) -> str:
    """Return what of a round is no longer as it was sewn: "block", "design", or "" for nothing."""
    if block is not None and _is_of_another(one.fingerprint, block):
        return "block"
    return "design" if _is_otherwise(project, one) else ""


def _is_otherwise(project: Project, one: Round) -> bool:
    """Whether the design of a round was changed since, where the round knows how it was."""
    return is_otherwise(project, project.design(one.design), one.design_fingerprint)


@dataclass(frozen=True, slots=True)
class Stale:
    """What belongs to an older block: the test of the block, and rounds by number."""

    test: bool = False
    rounds: tuple[int, ...] = ()

    def __bool__(self) -> bool:
        return self.test or bool(self.rounds)


def stale(project: Project, block: Block) -> Stale:
    """Return what was sewn on another block than this; what does not say is left out."""
    test = project.block_test
    return Stale(
        bool(test and _is_of_another(test.fingerprint, block)),
        tuple(
            number
            for number, one in enumerate(project.rounds, 1)
            if _is_of_another(one.fingerprint, block)
        ),
    )


def sew_again(project: Project, block: Block) -> str:
    """Say what to sew again because block or design has changed; "" where nothing is."""
    old = stale(project, block)
    if not old:
        return _sew_changed(project)
    since = "its test" if old.test else ""
    if old.rounds:
        since += f"{' and ' if since else ''}{_say_numbers(old.rounds)}"
    again = "sew the block as it is" if old.test or project.block_test is None else ""
    name = clean(current(project).name, _NAME) if old.rounds and project.designs else ""
    if name and not _is_sewn_on(project, block, current(project)):
        again += f'{", then " if again else "sew "}"{name}" once more'
    says = f"The block has changed since {since}"
    return f"{says}; {again}." if again else f"{says}; what was seen then may not hold."


def _sew_changed(project: Project) -> str:
    number = _where(project) if project.designs else None
    if not number or not _is_otherwise(project, project.rounds[number - 1]):
        return ""
    name = clean(current(project).name, _NAME)
    return f'"{name}" has changed since round {number}; sew it once more.'


def _is_of_another(fingerprint: str, block: Block) -> bool:
    return bool(fingerprint) and fingerprint != block.fingerprint


def _is_sewn_on(project: Project, block: Block, design: Design) -> bool:
    return any(
        one.design == design.name and one.fingerprint == block.fingerprint for one in project.rounds
    )


def _say_numbers(numbers: tuple[int, ...]) -> str:
    if len(numbers) == 1:
        return f"round {numbers[0]}"
    if numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"rounds {numbers[0]} to {numbers[-1]}"
    shown = ", ".join(map(str, numbers[:6]))
    return f"rounds {shown} and others" if len(numbers) > 6 else f"rounds {shown}"


# --- in words --------------------------------------------------------------------------------


def status(project: Project, block: Block | None = None) -> str:
    """Say where a project stands, in a few words: "round 2 printed, not yet tried on".

    With its block, it also says where that has changed since.
    """
    if not project.designs:
        return NO_DESIGN
    name = f'"{clean(current(project).name, _NAME)}"'
    number = _where(project)
    if number is None:
        return f"{name} is designed, round {len(project.rounds) + 1} not yet printed"
    one = project.rounds[number - 1]
    says = _state(one, number)
    if accepted(project):
        says = f"done: {name}, accepted in round {accepted(project)}"
    elif number < len(project.rounds):
        says = f"gone back to round {number}, {name}"
    if changed := changed_since(project, one, block):
        says += f"; the {changed} has changed since"
    return says


def next_step(project: Project, block: Block | None = None) -> str:
    """Say what to do next, as a sentence without its first capital and its stop."""
    if not project.designs:
        return "say how much comes off"
    number = _where(project)
    if number is None:
        return "print both legs and sew the test"
    if changed := changed_since(project, project.rounds[number - 1], block):
        return f"sew the test once more, for the {changed} has changed"
    if done := accepted(project):
        written = round_of(project, done).written
        return "cut the real fabric" if written else "write the pattern and cut the real fabric"
    return _next_in_round(project.rounds[number - 1], number)


def _next_in_round(one: Round, number: int) -> str:
    if not is_tried(one):
        return "sew the test, try it on and write down what you see"
    if one.verdict is None:
        return "say whether it is closer, too far or done"
    if again := look_again(one):
        return again
    if pinches_go_first(one):
        return f"make the next design from the pinches of round {number}"
    if any(seen.cause != GONE for seen in one.signs):
        return f"take a cure for what round {number} showed, and print the next round"
    return "change the design, or pinch the muslin, and print the next round"


def _where(project: Project) -> int | None:
    """Return the last round of the current design, or `None` where it has none."""
    return last_of(project, current(project).name)


def _state(one: Round, number: int) -> str:
    if not is_tried(one):
        return f"round {number} printed, not yet tried on"
    return f"round {number} tried on: {one.verdict or 'no verdict yet'}"


def round_text(project: Project, number: int, block: Block | None = None) -> str:
    """Say all that is known of a round, in sentences."""
    one, unit = round_of(project, number), project.length_unit
    days = [f"printed {one.printed.isoformat()}"] if one.printed else []
    days += [f"tried on {one.date.isoformat()}"] if one.date else []
    if not is_tried(one):
        days += ["not yet tried on"]
    days += [f"pattern written {one.written.isoformat()}"] if one.written else []
    says = [f'Round {number}, "{clean(one.design, _NAME)}"']
    says[0] += f": {', '.join(days)}." if days else "."
    if one.verdict:
        says.append(f"Verdict: {one.verdict}.")
    if tried(one):
        says.append(f"Tried: {', '.join(tried(one))}.")
    if one.trouble:
        says.append(f"Trouble: {', '.join(t for t in CHECKLIST if t in one.trouble)}.")
    pinched = [say_pinch(at, mm, unit) for at, mm in depths(one).items()]
    says += [f"{_capital(', '.join(pinched))}."] if pinched else []
    says += [told(seen) for seen in one.signs]
    says += [f"Notes: {clean(one.notes, _NOTES)}"] if one.notes else []
    if block is not None and _is_of_another(one.fingerprint, block):
        says.insert(1, "Out of date: the block was another then.")
    if _is_otherwise(project, one):
        says.insert(1, "Its design has changed since.")
    return " ".join(says)


def history(project: Project) -> tuple[str, ...]:
    """Return the rounds so far in at most three lines: which, what was pinched, where it stands."""
    if not project.rounds:
        return ()
    numbered = [
        f"{number} {clean(one.design, _NAME)} ({one.verdict or 'no verdict'})"
        for number, one in enumerate(project.rounds, 1)
    ]
    if len(numbered) > _SAID + 1:
        numbered = [numbered[0], "...", *numbered[1 - _SAID :]]
    name = clean(current(project).name, _NAME)
    pinched = [
        say_pinch(at, mm, project.length_unit) for at, mm in _pinched_on_the_way(project).items()
    ]
    way = [f"On the way to {name}: {', '.join(pinched)}."] if pinched else []
    return (
        f"Rounds: {', '.join(numbered)}.",
        *way,
        f"{_capital(status(project))}. Next: {next_step(project)}.",
    )


def _pinched_on_the_way(project: Project) -> dict[At, float]:
    """Return the sum of the pinches that led to the current design, mm."""
    design = current(project)
    total: dict[At, float] = {}
    for one in (design, *ancestors(project, design)):
        if one.from_round is None:
            continue
        for at, mm in depths(round_of(project, one.from_round)).items():
            total[at] = total.get(at, 0.0) + mm
    return {at: mm for at, mm in total.items() if abs(mm) > 0.01}


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
