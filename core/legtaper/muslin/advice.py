"""From the signs of a round to the next design: every cure tried by the checks before it is shown.

One change in a muslin: where several are open, the one that goes first is named.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from legtaper.leg.block import Block
from legtaper.model.project import Design, Project, ProjectError, Round, SeenSign, Unit
from legtaper.muslin.compare import NO_CHANGE, changes
from legtaper.muslin.contradictions import look_again
from legtaper.muslin.cures import PARTS, Cure, Part, Spot, read_spot
from legtaper.muslin.next_design import depths, next_design, next_name, round_of
from legtaper.muslin.open_things import open_signs, pinches_go_first, short_words
from legtaper.muslin.sign_parts import GONE, Cause, Sign
from legtaper.muslin.signs import BY_ID, sign_named, words_of
from legtaper.pattern import Fit, fit_design
from legtaper.remedies.trying import Bench

_NOTHING = "it changes nothing"


@dataclass(frozen=True)
class Tried:
    """A cure that was tried. `problem` says why it is not offered; "" where it is.

    fit: the next design with it; changes: what it changes from the design that was sewn.
    pinched: whether the pinches of the round are in it, too.
    """

    sign: Sign
    cause: Cause
    cure: Cure
    fit: Fit | None = None
    changes: tuple[str, ...] = ()
    problem: str = ""
    pinched: bool = False

    def text(self, unit: Unit) -> str:
        """Say all that is changed: the cure with its amount, and the pinches where they are in."""
        return self.cure.text(unit) + (", and the pinches" if self.pinched else "")

    @property
    def effect(self) -> str:
        """What it changes, and from what that is counted where the pinches are in it."""
        both = "Both together, from what was sewn: " if self.pinched else ""
        return both + " ".join(self.changes)

    @property
    def design(self) -> Design:
        """The next design. Only of a cure that is offered."""
        if self.fit is None:
            raise ProjectError("cure", self.problem)
        return self.fit.design


def check_signs(signs: Sequence[SeenSign], block: Block) -> tuple[SeenSign, ...]:
    """Return signs spelled as the file spells them. Raises `ProjectError` for what is unknown."""
    checked = []
    for seen in signs:
        sign, spot = sign_named(seen.sign), read_spot(seen.where, block)
        if seen.cause and seen.cause != GONE:
            sign.cause(seen.cause)
        checked.append(SeenSign(sign.id, seen.cause, str(spot)))
    return tuple(checked)


def to_look_for(project: Project, design: Design) -> tuple[SeenSign, ...]:
    """Return the signs to look for again: those of the round that a design was made from."""
    if design.from_round is None or design.from_round > len(project.rounds):
        return ()
    return open_signs(round_of(project, design.from_round))


def spot_of(seen: SeenSign, block: Block) -> Spot:
    """Return where a sign was seen; what cannot be placed on this block is not said."""
    try:
        return read_spot(seen.where, block)
    except ProjectError:
        return Spot()


def sewn_in(project: Project, one: Round) -> Design | None:
    """Return the design of which a round was sewn, nothing where it is not there any more."""
    return next((design for design in project.designs if design.name == one.design), None)


def causes(seen: SeenSign, block: Block, sewn: Design | None = None) -> tuple[Cause, ...]:
    """Return what may have caused a sign, in the order in which to look.

    sewn: the design that shows it, which answers what can be known of it.
    """
    return tuple(BY_ID[seen.sign].likely(seen, spot_of(seen, block), sewn))


def asked_of(seen: SeenSign, block: Block, sewn: Design | None = None) -> tuple[Part, ...]:
    """Return which parts of its spot the cures of a sign go by, beside the leg."""
    by = {cure.goes_by for cause in causes(seen, block, sewn) for cure in cause.cures}
    return tuple(part for part in PARTS if part in by)


def try_cures(project: Project, block: Block, number: int) -> tuple[Tried, ...]:
    """Try every cure of the signs of a round, on the design that was sewn and its pinches.

    A cure is offered where no check fails that does not fail without it, cut lines included.
    """
    one = round_of(project, number)
    design = project.design(one.design)
    if not any(cause.cures for seen in open_signs(one) for cause in causes(seen, block, design)):
        return ()
    sewn = fit_design(project, design, block)
    pinched = bool(depths(one))
    bench = Bench(fit_design(project, _base(project, block, number), block))
    untried = (
        (Tried(BY_ID[seen.sign], cause, cure, pinched=pinched), spot_of(seen, block))
        for seen in open_signs(one)
        for cause in causes(seen, block, design)
        for cure in cause.cures
    )
    tried = (_try(bench, sewn, each, spot) for each, spot in untried)
    return tuple(one for one in tried if one is not None)


def _base(project: Project, block: Block, number: int) -> Design:
    """Return what follows a round before any cure: its design, with its pinches if any."""
    one = round_of(project, number)
    old = project.design(one.design)
    if depths(one):
        return next_design(project, block, number)
    name = next_name(project, old.name)
    return replace(old, name=name, parent=old.name, from_round=number)


def _try(bench: Bench, sewn: Fit, untried: Tried, spot: Spot) -> Tried | None:
    """Return a cure as it was tried; `None` where it changes nothing and that need not be told."""
    cure = untried.cure
    try:
        change = cure.move(bench.fit, spot)
    except ProjectError as error:
        return replace(untried, problem=error.problem)
    trial = bench.try_out(change) if change else None
    if trial is None:
        problem = bench.why_none(change) or (_NOTHING if change else cure.spent)
        return replace(untried, problem=problem) if problem else None
    fails = [one.says for one in bench.worsened(trial) if one.status == "fail"]
    said = changes(sewn, trial.fit)
    if fails or said == NO_CHANGE:
        return replace(untried, problem=fails[0] if fails else _NOTHING)
    return replace(untried, fit=trial.fit, changes=said)


def offered(tried: Sequence[Tried]) -> tuple[Tried, ...]:
    """Return the cures that may be taken; they are counted from 1 in this order."""
    return tuple(one for one in tried if not one.problem)


# --- in words ------------------------------------------------------------------------------------


def one_change(one: Round) -> str:
    """Say which change goes first where several are open; "" where there is one at most.

    Where they contradict each other, that is what goes first, and it is said there.
    """
    if look_again(one):
        return ""
    named = [f'"{short_words(seen).lower()}"' for seen in open_signs(one)]
    if depths(one):
        named.insert(0 if pinches_go_first(one) else len(named), "the pinches")
    if len(named) < 2:
        return ""
    says = f"{len(named)} things are open. Change one in a muslin, to see what it did"
    return f"{says} (common practice): first {', then '.join(named)}."


def look_text(project: Project, design: Design) -> tuple[str, ...]:
    """Ask after what the round before showed, one line each."""
    return tuple(f"Is it gone? {words_of(seen)}." for seen in to_look_for(project, design))


def cure_lines(project: Project, tried: Sequence[Tried]) -> Iterator[str]:
    """Say which cures are offered, numbered, and which were tried and are not."""
    unit = project.length_unit
    for number, one in enumerate(offered(tried), 1):
        yield f"{number}. {_capital(one.text(unit))}. {one.effect}"
    for one in tried:
        if one.problem:
            yield f"Tried, not offered: {one.cure.text(unit)}: {one.problem.rstrip('.')}."


def cause_lines(seen: SeenSign, block: Block, sewn: Design | None = None) -> Iterator[str]:
    """Say what to look at, and what each finding would mean."""
    sign = BY_ID.get(seen.sign)
    if sign is None:
        return
    if not seen.cause:
        yield sign.look
    for cause in causes(seen, block, sewn):
        tell = cause.tell if seen.cause else _if(cause.tell)
        says = cause.says if seen.cause else _small(cause.says)
        yield " ".join(filter(None, [tell, says, cause.instead]))


def _if(tell: str) -> str:
    """Return what shows a cause as what is still to be looked at."""
    return f"If {_small(tell).removesuffix('.')}:"


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
