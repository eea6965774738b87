"""Whether the block was tested as it is."""

from __future__ import annotations

from collections.abc import Iterator

from legtaper.checks.base import Check, Finding, Leg, Status
from legtaper.leg.block import Block
from legtaper.model.project import Project


def _tested(leg: Leg) -> Iterator[Finding]:
    status, says = _judged(leg.project, leg.block)
    yield Finding("tested", status, None, None, "block", says)


def _judged(project: Project, block: Block) -> tuple[Status, str]:
    test = project.block_test
    if test is None:
        cloth = project.fabric.for_a_test
        return "unknown", f"The block is not tested: sew it as it is in {cloth} and judge it first."
    if test.verdict == "needs fitting":
        return "caution", "The block needs fitting; narrow the legs after that."
    if not test.fingerprint:
        return "caution", "It is not recorded which block was tested; judge it once more."
    if test.fingerprint != block.fingerprint:
        return "caution", "The block has changed since it was tested; sew and judge it again."
    return "pass", "The block was tested as it is and hangs clean."


def hangs_clean(project: Project, block: Block) -> bool:
    """Whether the block was tested as it is, and hangs clean."""
    return _judged(project, block)[0] == "pass"


CHECKS = (Check("tested", "Test of the block", _tested, steps=("block-test",), one_place=True),)
