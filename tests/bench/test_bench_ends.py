"""The benchmark of the wizard ends, and measures everything that it has a target for."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import wizard_bench

pytestmark = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="reads /proc")


def test_two_rounds_end_with_a_figure_for_every_target() -> None:
    """A second round begins as the first did: the account is new, and nothing waits for ever."""
    wizard, bare = wizard_bench.sample(2, warm=0, extent=wizard_bench.SHORT)
    assert set(wizard) == set(wizard_bench.TARGETS)
    assert all(len(figures) == 2 for figures in wizard.values())
    assert {key for key, target in wizard_bench.TARGETS.items() if target.ratio} == set(bare)
    assert len(wizard_bench.table(wizard, bare).splitlines()) == 1 + len(wizard_bench.TARGETS)
