"""What mends a design, in lines: each finding, and below it the numbered changes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from legtaper_wizard.flow.answer_preview import sewn_words
from legtaper_wizard.flow.shapes import KINDS, SIGNS, Cursor, NoteKind

if TYPE_CHECKING:
    from legtaper.model.project import Project
    from legtaper.remedies.mend import Mend, Mending

NOTHING = "Nothing fails, and nothing is a warning: there is nothing to mend."


def told_once(mendings: Sequence[Mending]) -> Iterator[tuple[Mending, list[tuple[Mend, str]]]]:
    """Yield each finding with its changes and their words: what a change mends first.

    A change that mends two findings is told at the first.
    """
    told: set[int] = set()
    for one in sorted(mendings, key=lambda one: not one.mends):
        known = [(mend, "Mends this, too." if mend.number in told else mend.says)
                 for mend in one.mends]  # fmt: skip
        told.update(mend.number for mend in one.mends)
        yield one, known


def mend_lines(
    mendings: Sequence[Mending], signs: Mapping[NoteKind, str] = SIGNS, *, behind: str = " "
) -> list[str]:
    """Return each finding behind its sign with what mends it, or why nothing does.

    behind: what parts a number from its change.
    """
    if not mendings:
        return [NOTHING]
    lines: list[str] = []
    for one, mends in told_once(mendings):
        lines.append(f"{signs[KINDS[one.finding.status]]:<9} {one.finding.says}")
        lines += [f"   {mend.number:>2}{behind} {says}" for mend, says in mends]
        lines += [f"       {one.why_not}"] if one.why_not else []
        lines.append("")
    return lines[:-1]


def done_words(mend: Mend, project: Project, at: Cursor) -> str:
    """Return that a change is made, of the project as it was, and whether it was tried on."""
    said = [f"Done: {mend.says}", *(f"{note[0].upper()}{note[1:]}." for note in
                                    sewn_words(project, at))]  # fmt: skip
    return " ".join(said)
