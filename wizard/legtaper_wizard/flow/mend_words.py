"""What mends a design, in lines: each finding, and below it the numbered changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from legtaper_wizard.flow.answer_preview import sewn_words
from legtaper_wizard.flow.shapes import KINDS, SIGNS, Cursor, NoteKind

if TYPE_CHECKING:
    from legtaper.model.project import Project
    from legtaper.remedies.mend import Mend, Mending

NOTHING = "Nothing fails, and nothing is a warning: there is nothing to mend."


def mend_lines(mendings: Sequence[Mending], signs: Mapping[NoteKind, str] = SIGNS) -> list[str]:
    """Return each finding behind its sign with what mends it, or why nothing does.

    What a change mends stands first; a change that mends two findings is told once.
    """
    if not mendings:
        return [NOTHING]
    lines: list[str] = []
    told: set[int] = set()
    for one in sorted(mendings, key=lambda one: not one.mends):
        lines.append(f"{signs[KINDS[one.finding.status]]:<9} {one.finding.says}")
        for mend in one.mends:
            says = "mends this, too." if mend.number in told else mend.says
            lines.append(f"   {mend.number:>2}  {says}")
            told.add(mend.number)
        lines += [f"       {one.why_not}"] if one.why_not else []
        lines.append("")
    return lines[:-1]


def done_words(mend: Mend, project: Project, at: Cursor) -> str:
    """Return that a change is made, of the project as it was, and whether it was tried on."""
    said = [f"Done: {mend.says}", *(f"{note[0].upper()}{note[1:]}." for note in
                                    sewn_words(project, at))]  # fmt: skip
    return " ".join(said)
