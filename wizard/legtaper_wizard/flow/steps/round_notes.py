"""What a muslin round shows: where it stands, what its pinches would do, what came before."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.model.project import Project, Round
from legtaper.model.safe_text import clean
from legtaper.model.sentences import listed
from legtaper_wizard.flow.derived_state import standing
from legtaper_wizard.flow.questions.muslin_signs import still_there
from legtaper_wizard.flow.round_answers import Offer, number_at, offer, round_at, tried_cures
from legtaper_wizard.flow.shapes import Cursor, Note, StepState
from legtaper_wizard.flow.steps.step import Work

_TOLD = 3  # earlier rounds that are told of
_NAME = 40
_UNUSED = (
    "What you pinched last is not in this design: done cuts it as it was sewn. To have the pinches "
    "in it, answer closer and make the next design."
)


def fitting_notes(work: Work, _: StepState) -> Iterator[Note]:
    """Yield where the round stands, the next design in words, and the rounds before."""
    from legtaper.muslin.log import next_step, sew_again, status

    project, block = work.project, work.block
    if block is None or work.design is None:
        return
    if again := sew_again(project, block):
        yield Note("caution", again)
    yield Note("info", f"Now: {status(project, block)}.")
    one = round_at(project, work.at)
    if one is not None and one.verdict == "done" and one.pinches:
        yield Note("caution", _UNUSED)
    if one is not None and one.verdict == "done" and (left := _left_open(one)):
        yield Note(
            "caution", f"Done was said, and this is still open: {left}. It is cut as it was sewn."
        )
    if one is not None:
        from legtaper.muslin.contradictions import contradictions

        yield from (Note("caution", says) for says in contradictions(one, work.unit))
    yield from _signs(work)
    found = offer(project, work.at)
    if found.problem:
        yield Note("fail", f"There is no next design yet: {found.problem}.")
    yield from _offered(found)
    yield Note("info", f"Next: {next_step(project, block)}.")
    yield from _earlier(work)


def _left_open(one: Round) -> str:
    """Return what did not go well, or is still to be seen, in a round; "" where nothing is."""
    from legtaper.muslin.open_things import open_signs, short_words

    return listed([*one.trouble, *(f'"{short_words(seen)}"' for seen in open_signs(one))])


def sign_details(project: Project, at: Cursor) -> tuple[str, ...]:
    """Return what `fitting_notes` says of the signs beside their names."""
    from legtaper.muslin.advice import cause_lines, cure_lines, sewn_in

    one, block = round_at(project, at), standing(project, at).block
    if one is None or block is None:
        return ()
    sewn = sewn_in(project, one)
    causes = (line for seen in still_there(one) for line in cause_lines(seen, block, sewn))
    return (*causes, *cure_lines(project, tried_cures(project, at)))


def first_cure(project: Project, at: Cursor) -> tuple[str, str]:
    """Return the line of the cure that goes first, and how it is said alone; "" where none is."""
    from legtaper.muslin.advice import cure_lines, offered

    tried = tried_cures(project, at)
    count = len(offered(tried))
    line = next(cure_lines(project, tried), "") if count else ""
    others = f" {count - 1} more cure{'s' if count > 2 else ''}." if count > 1 else ""
    return (line, f"Cure: {line.partition('. ')[2]}{others}") if line else ("", "")


def _signs(work: Work) -> Iterator[Note]:
    """Say what to look at for each sign, what was tried, and which change goes first."""
    from legtaper.muslin.advice import cause_lines, cure_lines, one_change, sewn_in
    from legtaper.muslin.signs import words_of

    one = round_at(work.project, work.at)
    if one is None or work.block is None:
        return
    sewn = sewn_in(work.project, one)
    for seen in still_there(one):
        words = words_of(seen)
        yield Note("number", f"Seen: {words[:1].lower()}{words[1:]}.")
        yield from (Note("info", line) for line in cause_lines(seen, work.block, sewn))
    for line in cure_lines(work.project, tried_cures(work.project, work.at)):
        yield Note("number", line)
    if first := one_change(one):
        yield Note("caution", first)


def _offered(found: Offer) -> Iterator[Note]:
    """Say what the next design would change, evened out; and what else it does as pinched.

    What fails in it comes before all else, so each such note says of which design it is.
    """
    from legtaper.muslin.compare import NO_CHANGE, changes

    if found.sewn is None or found.even is None:
        return
    said = changes(found.sewn, found.even)
    if said == NO_CHANGE:
        return
    name = f'"{clean(found.even.design.name, _NAME)}"'
    how = ", evened out over the four edges" if found.pinched else ""
    yield Note("number", f"{name} would be{how}:")
    yield from (Note("number", line) for line in said)
    old = {(finding.id, finding.where): finding.says for finding in found.sewn.findings}
    for finding in found.even.findings:
        if finding.status == "fail" and old.get((finding.id, finding.where)) != finding.says:
            yield Note("fail", f"In {name}: {finding.says}")  # it stands before what is well
    if found.pinched:
        for finding in found.pinched.findings:
            if finding.id in ("balance", "sewn-pair") and finding.status != "pass":
                yield Note("caution", f"In {name}, as pinched: {finding.says}")


def _earlier(work: Work) -> Iterator[Note]:
    from legtaper.muslin.log import round_text

    project, block, count = work.project, work.block, len(work.project.rounds)
    here = number_at(project, work.at)
    numbers = [number for number in range(count, 0, -1) if number != here]
    for number in numbers[:_TOLD]:
        yield Note("info", round_text(project, number, block))
    if len(numbers) > _TOLD:
        yield Note("info", f"{len(numbers) - _TOLD} rounds more: legtaper round tells of them.")
