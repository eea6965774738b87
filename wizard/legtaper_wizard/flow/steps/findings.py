"""Findings on the step that shows them and can mend them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from legtaper_wizard.flow.shapes import KINDS, Note, StepState
from legtaper_wizard.flow.steps.step import look, wrong

if TYPE_CHECKING:
    from legtaper.checks.base import Finding
    from legtaper.pattern import Fit


def finding_note(finding: Finding) -> Note:
    """Return a finding as a note."""
    return Note(KINDS[finding.status], finding.says)


def findings_on(step_id: str, fit: Fit | None) -> Iterator[Finding]:
    """Yield the findings that a step shows and can mend."""
    from legtaper.checks.registry import checks_on

    ids = {check.id for check in checks_on(step_id)}
    yield from (found for found in (fit.findings if fit else ()) if found.id in ids)


def failing(step_id: str, fit: Fit | None) -> StepState | None:
    """Return the state of a step where something fails that it can mend, or `None`.

    What is mended here before anywhere else keeps the step from being done.
    """
    from legtaper.checks.registry import check_of

    failed = [found for found in findings_on(step_id, fit) if found.status == "fail"]
    if here := [found.says for found in failed if check_of(found.id).steps[0] == step_id]:
        return wrong(*here)
    return look(*(found.says for found in failed)) if failed else None
