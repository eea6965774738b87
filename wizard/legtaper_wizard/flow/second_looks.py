"""What is odd about an answer, as questions: in the wizard, on the draft page and in the shell."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from legtaper.model.lengths import Length, say_length
from legtaper.model.project import Project, Unit
from legtaper_wizard.flow.answers import answer, asked_for, row_of
from legtaper_wizard.flow.questions import Asked, find
from legtaper_wizard.flow.shapes import LAST, MEANT, Cursor


def slips(project: Project, key: str, at: Cursor = LAST) -> tuple[str, ...]:
    """Return what is odd about an answer, as questions; nothing where it is as usual."""
    question = find(key, at)
    return doubts(project, question, question.get(project)) if question else ()


def new_slips(project: Project, key: str, text: str, at: Cursor = LAST) -> tuple[str, ...]:
    """Return what is odd about an answer that was not given yet, and was not odd before.

    Raises `AnswerError` where the answer would not be taken.
    """
    text = text.strip()
    changed = answer(project, key, text, at)
    keys = row_of(project, asked_for(key, at), text) or (key,)
    old = {odd for one in keys for odd in slips(project, one, at)}
    new = dict.fromkeys(odd for one in keys for odd in slips(changed, one, at))
    return tuple(odd for odd in new if odd not in old)


def doubts(project: Project, question: Asked, said: object) -> tuple[str, ...]:
    """Return what is odd about one answer to a question."""
    if said in (None, ""):
        return ()
    if unlikely := tuple(_unlikely(question, said, project.length_unit)):
        return unlikely  # beside which everything else is odd, too
    return tuple(question.question.slips(project, question.at, said))


def slips_of(project: Project, keys: Iterable[str]) -> Iterator[str]:
    """Return what is odd about several answers, of the current design.

    Each says what it is about; keys that are no question are passed over.
    """
    for key in keys:
        question = find(key)
        for odd in doubts(project, question, question.get(project)) if question else ():
            yield odd if question and odd.startswith(question.label) else f"{key}: {odd}"


def _unlikely(question: Asked, said: object, unit: Unit) -> Iterator[str]:
    likely = question.question.likely
    if likely is None:
        return
    read_as = ""
    if isinstance(said, Length) and not likely[0] <= said.mm <= likely[1]:
        other: Unit = "cm" if unit == "in" else "in"
        read_as = f"{say_length(said.mm, unit)}, {say_length(said.mm, other)}"
    elif isinstance(said, float) and not likely[0] <= said <= likely[1]:
        read_as = f"{said:g} percent"
    if read_as:
        yield f"{question.label}: read as {read_as}. {MEANT}"
