"""The step in which the pattern is looked over, and the allowances are set."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.model.project import AllowanceEdge, Project
from legtaper.model.said_lengths import say_apart
from legtaper_wizard.flow.questions.allowances import EDGE, SEAM
from legtaper_wizard.flow.shapes import Field, Note, StepState
from legtaper_wizard.flow.steps.designs import design_actions
from legtaper_wizard.flow.steps.findings import finding_note
from legtaper_wizard.flow.steps.step import (
    Step,
    Work,
    look,
    may_have_slit,
    reason_notes,
    trouble,
)

_EDGES: tuple[AllowanceEdge, ...] = ("outseam", "inseam", "slit", "waist", "crotch")


def _asks(work: Work) -> Iterator[Field]:
    yield work.ask(SEAM)
    given, outlines = work.project.allowance, work.project.block.outline.values()
    whole = any("waist_outseam" in panel.corners for panel in outlines)
    # A leg measured by levels has neither waist nor crotch seam.
    there = {"waist": whole, "crotch": whole, "slit": may_have_slit(work)}
    for edge in _EDGES:
        if there.get(edge, True) or edge in given.edges:
            yield work.ask(EDGE, edge=edge)


def _notes(work: Work, found: StepState) -> Iterator[Note]:
    if work.fit is None:
        yield from reason_notes(work, found)
        return
    yield from map(finding_note, work.fit.findings)
    yield Note("info", _outseams(work))


def _outseams(work: Work) -> str:
    """Say both allowances of the outseams: what is cut from the fabric, and the muslin's."""
    from legtaper.geometry.offset import allowance_widths, muslin_widths  # which load numpy

    given, unit = work.project.allowance, work.unit
    own, wide = (widths(given, unit)["outseam"] for widths in (allowance_widths, muslin_widths))
    leg, muslin = say_apart(own, wide, unit)
    if leg == muslin:
        return f"Outseams have {leg} of allowance, in a muslin of both legs, too."
    return f"Outseams have {leg} of allowance in the narrowed leg, {muslin} in a muslin."


def _status(work: Work) -> StepState:
    if found := trouble(work, "allowance"):
        return found
    findings = work.fit.findings if work.fit else ()
    failed = [finding.says for finding in findings if finding.status == "fail"]
    if failed:
        return look(*failed)
    return StepState("done", ("the pattern can be written",))  # it has no answer that it needs


def _answered(project: Project) -> bool:
    return bool(project.allowance.seam or project.allowance.edges)


STEP = Step(
    id="pattern",
    title="Pattern",
    short="Pattern",
    why="The answers make a pattern now. Look it over, set the allowances, and write it at true "
    "size.",
    help=(
        "Allowances come last, outside the finished seam line. Each edge may differ.",
        "Print the page with the test rectangle first, at 100 %, and measure it: it tells how true "
        "your printer is. Two small scale squares on the pattern let you check that once more.",
    ),
    asks=_asks,
    notes=_notes,
    status=_status,
    answered=_answered,
    actions=design_actions,
    usual_counts=True,
)
