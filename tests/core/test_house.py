"""How the library hangs together, read from its source and seen when it is imported."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from graphlib import TopologicalSorter
from pathlib import Path

import pytest
from imports_of import imported, modules_in

import legtaper

CORE = Path(legtaper.__file__).parent

UPWARDS = (
    ("model", "geometry"), ("files",), ("leg",), ("block_sources",), ("checks",), ("pattern",),
    ("remedies",), ("search",), ("muslin",), ("outputs",),
)  # fmt: skip
"""What stands on what, the ground first; beside one another stand those in one row."""


MODULES = modules_in(CORE)


def test_imports_run_down_the_house() -> None:
    """No module imports one of a package that stands above its own, for types either."""
    ranks = {name: rank for rank, row in enumerate(UPWARDS) for name in row}
    upwards = [
        f"{module} imports {other}"
        for module, path in MODULES.items()
        for other in imported(path, MODULES)
        if module.count(".") and other.count(".")
        if ranks[other.split(".")[1]] > ranks[module.split(".")[1]]
    ]
    assert upwards == []
    packages = {module.split(".")[1] for module in MODULES if "." in module}
    assert packages <= set(ranks)


def test_no_imports_go_in_a_circle() -> None:
    """The modules of the library can be put in an order in which each needs only earlier ones."""
    graph = {module: set(imported(path, MODULES)) - {module} for module, path in MODULES.items()}
    assert len(list(TopologicalSorter(graph).static_order())) == len(MODULES)


def test_no_file_name_occurs_twice() -> None:
    """A file is found by its name alone."""
    names = Counter(path.name for path in MODULES.values() if path.name != "__init__.py")
    assert [name for name, count in names.items() if count > 1] == []


@pytest.mark.parametrize("terminal", ["textual", "rich", "click"])
def test_the_library_loads_nothing_of_a_terminal(terminal: str) -> None:
    """Every module of it imported, and nothing that draws on a screen came along."""
    code = (
        f"import importlib, sys\n[importlib.import_module(m) for m in {sorted(MODULES)!r}]\n"
        f"sys.exit({terminal!r} in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
