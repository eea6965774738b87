"""Many projects at once: one line for each, for a teacher with a folder of files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from legtaper.files.atomic_write import shown_path
from legtaper.files.store import StoreError, load
from legtaper.model.lengths import LengthError
from legtaper.model.project import NO_DESIGN, Project, ProjectError
from legtaper.model.safe_text import clean
from legtaper.muslin.log import status
from legtaper.pattern import block_of, build
from legtaper_wizard.cli.options import Refusal, one_line


def overview(files: Sequence[Path]) -> tuple[list[str], int]:
    """Return a line for each project, and the exit status of the worst: 2, 1 or 0.

    A file that cannot be read gets its line like any other, and the rest are still told of.
    """
    lines, worst = [], 0
    for file in files:
        try:
            says, code = _one(load(file))
        except StoreError as error:  # names the file itself
            says, code = clean(error.problem, 300), 2
        except (ProjectError, LengthError) as error:
            says, code = clean(str(error), 300), 2
        lines.append(f"{shown_path(file)}: {says}")
        worst = max(worst, code)
    return lines, worst


def reports(files: Sequence[Path]) -> tuple[list[dict[str, Any]], int]:
    """Return the object of `check --json` for each project, and the exit status of the worst.

    What cannot be checked has its error in place of that, and counts as 2.
    """
    from legtaper.outputs.json_report import check_report

    made, worst = [], 0
    for file in files:
        try:
            with one_line(file):
                pattern = build(load(file))
                made.append(check_report(pattern) | {"file": shown_path(file)})
                worst = max(worst, 1 if pattern.failed else 0)
        except Refusal as refusal:
            refusal.show()
            made.append(refusal.as_json())
            worst = max(worst, refusal.status)
    return made, worst


def _one(project: Project) -> tuple[str, int]:
    if not project.designs:
        return f"{NO_DESIGN}.", 0
    pattern = build(project)
    counts = {
        words: sum(finding.status == kind for finding in pattern.findings)
        for kind, words in (("fail", "to change"), ("caution", "to keep an eye on"))
    }
    found = ", ".join(f"{count} {words}" for words, count in counts.items() if count)
    says = f"{found or 'all well'}; {status(project, block_of(project))}."
    return says[:1].upper() + says[1:], 1 if pattern.failed else 0
