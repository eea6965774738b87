"""The command `round`: write down a muslin round in a project file, or tell of all rounds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, cast

from legtaper.files.store import Store, StoreError, load
from legtaper.leg.block import Block
from legtaper.model.lengths import LengthError, parse_length
from legtaper.model.project import (
    CHECKLIST,
    SEAMS,
    Pinch,
    Project,
    ProjectError,
    Round,
    SeenSign,
    Trial,
    Unit,
    Verdict,
)
from legtaper.model.safe_text import clean
from legtaper.muslin.advice import (
    cause_lines,
    check_signs,
    cure_lines,
    offered,
    one_change,
    sewn_in,
    try_cures,
)
from legtaper.muslin.compare import changes
from legtaper.muslin.contradictions import contradictions
from legtaper.muslin.log import (
    accept,
    current,
    go_back,
    mark_printed,
    next_step,
    number_to_print,
    round_text,
    sew_again,
    status,
    with_next,
    write_down,
)
from legtaper.muslin.next_design import check_pinches, even_out, next_design
from legtaper.muslin.open_things import open_signs
from legtaper.muslin.sign_parts import GONE
from legtaper.muslin.signs import words_of
from legtaper.pattern import block_of, fit_design
from legtaper_wizard.cli.options import SURE
from legtaper_wizard.flow.questions import find, muslin_round
from legtaper_wizard.flow.second_looks import doubts
from legtaper_wizard.flow.shapes import Cursor

_MOST = 20  # rounds told of in full


@dataclass(frozen=True, slots=True)
class Wish:
    """The options of the command, as they were typed."""

    design: str | None = None
    printed: bool = False
    on: date | None = None
    pinches: tuple[str, ...] = ()
    seen: tuple[str, ...] = ()
    trouble: tuple[str, ...] = ()
    notes: str = ""
    verdict: str | None = None
    next_name: str | None = None
    spread: str = "even"
    back: int | None = None
    accept: int | None = None
    signs: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    cure: int | None = None
    sure: bool = False

    @property
    def day(self) -> date:
        """The day that was meant."""
        return self.on or date.today()

    @property
    def tells(self) -> bool:
        """Whether there is anything to write down of a test that was tried on."""
        said = self.pinches or self.seen or self.trouble or self.notes or self.verdict
        return bool(said or self.signs or self.gone)


def run(file: Path, wish: Wish) -> str:
    """Do what was asked for, save it whole, and say what was done.

    Raises `StoreError`, `ProjectError` or `LengthError`; nothing is saved then.
    """
    write = _chosen(wish)
    if write is None:
        return _book(load(file))
    store = Store.open(file, for_writing=True)
    try:
        if store.read_only:
            raise StoreError(file, f"not saved: {store.why_read_only}")
        project, says = write(store.project, wish)
        _check_doubts(project, wish)
        store.save(project)
    finally:
        store.close()
    return f"{says}\nNext: {next_step(project, block_of(project))}."


def _check_doubts(project: Project, wish: Wish) -> None:
    """Refuse what the wizard would ask about: nothing is taken out of the book of rounds."""
    if wish.sure:
        return
    pinched = [_pinch(text, project.length_unit) for text in wish.pinches]
    said: list[tuple[str, object]] = [("round.printed" if wish.printed else "round.date", wish.on)]
    said += [(f"round.pinch.{one.edge}.{one.level}", one.depth) for one in pinched]
    at = Cursor(wish.design or current(project).name)
    found = [(find(key, at), value) for key, value in said]
    if odd := [text for asked, value in found if asked for text in doubts(project, asked, value)]:
        raise ProjectError("", f"{' '.join(odd)} {SURE}")


Write = Callable[[Project, Wish], tuple[Project, str]]


def _chosen(wish: Wish) -> Write | None:
    """Return what to do; `None` only reads. Raises `ProjectError` where it is two things."""
    down = wish.tells or (wish.on is not None and not wish.printed)
    down = down or bool(wish.next_name) or wish.cure is not None
    ways: list[tuple[str, bool, Write]] = [
        ("--printed", wish.printed, _print),
        ("--go-back", wish.back is not None, _go_back),
        ("--accept", wish.accept is not None, _accept),
        ("what was seen", down, _write_down),
    ]
    asked = [(name, write) for name, given, write in ways if given]
    if len(asked) > 1:
        names = " and ".join(name for name, _ in asked)
        raise ProjectError("round", f"{names} do not go together; give them one after the other")
    if not asked and wish.design is not None:
        raise ProjectError("round", "say what was seen of that design, or give --printed")
    return asked[0][1] if asked else None


def _book(project: Project) -> str:
    """Tell of the rounds so far, where work stands and what comes next."""
    block = _block(project)
    count = len(project.rounds)
    lines = [clean(project.name or "A project without a name", 80)]
    if count > _MOST:
        lines.append(f"The last {_MOST} of {count} rounds:")
    lines += [
        round_text(project, number, block) for number in range(max(count - _MOST, 0) + 1, count + 1)
    ]
    lines.append(f"Now: {status(project, block)}.")
    lines += [sew_again(project, block)] if block and sew_again(project, block) else []
    return "\n".join([*lines, f"Next: {next_step(project, block)}."])


def rounds_json(file: Path) -> dict[str, Any]:
    """Return the object of `round --json`: every round, where work stands and what is next."""
    from legtaper.outputs.json_report import rounds_report

    project = load(file)
    return rounds_report(project, _block(project))


def _block(project: Project) -> Block | None:
    """Return the block, or `None` where it is not all there yet: reading must not need it."""
    try:
        return block_of(project)
    except ProjectError:
        return None


def _print(project: Project, wish: Wish) -> tuple[Project, str]:
    design = project.design(wish.design) if wish.design else current(project)
    number = number_to_print(project, design)
    written = mark_printed(project, block_of(project), design, wish.day)
    return written, round_text(written, number)


def _go_back(project: Project, wish: Wish) -> tuple[Project, str]:
    changed = go_back(project, wish.back or 0)
    return changed, f"Now: {status(changed)}."


def _accept(project: Project, wish: Wish) -> tuple[Project, str]:
    number = wish.accept or 0
    changed = accept(project, number)
    before = project.rounds[number - 1].verdict
    says = f"Now: {status(changed)}."
    if before not in (None, "done"):
        says = f"The verdict on round {number} is done; it was {before}.\n{says}"
    return changed, says


def _write_down(project: Project, wish: Wish) -> tuple[Project, str]:
    block, says = block_of(project), []
    number = len(project.rounds)
    if wish.tells or wish.on:
        name = project.design(wish.design).name if wish.design else current(project).name
        one = _round(wish, name, project.length_unit, block)
        check_pinches(block, one, project.length_unit)
        number = number_to_print(project, project.design(name))
        project = write_down(project, block, one)
        says.append(round_text(project, number, block))
    if wish.cure is not None:
        project, said = _cured(project, block, number, wish)
        says += said
        return project, "\n".join(says)
    says += _signs_told(project, block, number)
    if wish.next_name is not None:
        project, said = _next(project, block, number, wish)
        says += said
    return project, "\n".join(says)


def _round(wish: Wish, design: str, unit: Unit, block: Block) -> Round:
    return Round(
        design,
        date=wish.day,
        notes=wish.notes,
        pinches=tuple(_pinch(text, unit) for text in wish.pinches),
        verdict=cast("Verdict | None", wish.verdict),
        seen=_trials("--tried", wish.seen),
        trouble=_trials("--problem", wish.trouble),
        signs=check_signs([*map(_sign, wish.signs), *map(_gone, wish.gone)], block),
    )


def _sign(text: str) -> SeenSign:
    """Read SIGN, SIGN:CAUSE or SIGN:CAUSE:WHERE; what it names is looked at later."""
    sign, _, rest = text.partition(":")
    cause, _, where = rest.partition(":")
    return SeenSign(sign.strip(), cause.strip(), where.strip())


def _gone(text: str) -> SeenSign:
    return SeenSign(text.strip(), GONE)


def _signs_told(project: Project, block: Block, number: int) -> list[str]:
    """Say what the signs of a round may come from and what was tried, and how to take it."""
    if not 1 <= number <= len(project.rounds):
        return []
    one = project.rounds[number - 1]
    lines, sewn = [], sewn_in(project, one)
    for seen in open_signs(one):
        lines += [f"{words_of(seen)}:", *(f"  {line}" for line in cause_lines(seen, block, sewn))]
    tried = try_cures(project, block, number)
    lines += cure_lines(project, tried)
    if offered(tried):
        lines.append("Take one with: legtaper round FILE --cure N")
    lines += contradictions(one, project.length_unit)
    return [*lines, *filter(None, [one_change(one)])]


def _cured(project: Project, block: Block, number: int, wish: Wish) -> tuple[Project, list[str]]:
    """Make the next design with one of the cures that a round offers."""
    if not project.rounds:
        raise ProjectError("--cure", "there is no round yet; write down what was seen first")
    ways = offered(try_cures(project, block, number))
    wanted = wish.cure or 0
    if wanted > len(ways):
        known = f"round {number} offers {len(ways)}" if ways else f"round {number} offers none"
        raise ProjectError("--cure", f"there is no cure {wanted}; {known}")
    one = ways[wanted - 1]
    design = replace(one.design, name=wish.next_name) if wish.next_name else one.design
    says = [f'Made "{clean(design.name, 60)}" from round {number}: '
            f"{one.text(project.length_unit)}."]  # fmt: skip
    return with_next(project, design), [*says, *(f"  {line}" for line in one.changes)]


def _pinch(text: str, unit: Unit) -> Pinch:
    """Read LEVEL:SEAM:DEPTH. Raises `ProjectError`."""
    parts = [part.strip() for part in text.split(":")]
    shown = clean(text, 40)
    if len(parts) != 3 or not all(parts):
        raise ProjectError(
            "--pinch", f'"{shown}" is not level, seam and depth; write it like knee:outseam:1/4in'
        )
    level, seam, depth = parts
    if seam not in SEAMS:
        known = " or ".join(SEAMS)
        raise ProjectError("--pinch", f'"{shown}" names no seam; write {known} in the middle')
    try:
        most = muslin_round.PINCH.rule.at_most
        return Pinch(level, seam, parse_length(depth, unit, signed=True, at_most=most))
    except LengthError as error:
        raise ProjectError("--pinch", f'"{shown}": {error}') from None


def _trials(option: str, words: tuple[str, ...]) -> tuple[Trial, ...]:
    for word in words:
        if word not in CHECKLIST:
            known = ", ".join(f'"{trial}"' for trial in CHECKLIST)
            raise ProjectError(option, f'"{clean(word, 40)}" is not on the list; write {known}')
    return tuple(trial for trial in CHECKLIST if trial in words)


def _next(project: Project, block: Block, number: int, wish: Wish) -> tuple[Project, list[str]]:
    """Make the next design from a round that is written down."""
    if not (wish.next_name or "").strip():
        raise ProjectError("--next", "is empty; give the design a name")
    design = next_design(project, block, number, wish.next_name)
    one = project.rounds[number - 1]
    if wish.spread == "even":
        design = even_out(project, block, design, {pinch.level for pinch in one.pinches})
    grown = with_next(project, design)
    before = fit_design(grown, project.design(one.design), block)
    after = fit_design(grown, design, block)
    name = clean(design.name, 60)
    says = [f'Made "{name}" from round {number}.', *changes(before, after)]
    return grown, [says[0], *(f"  {line}" for line in says[1:])]
