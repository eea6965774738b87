"""How the wizard hangs together, read from its source and seen when it is imported."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest
from imports_of import imported, modules_in

import legtaper_wizard

WIZARD = Path(legtaper_wizard.__file__).parent
FACES = ("tui", "prompts", "cli")
STARTS = {"legtaper_wizard.cli.launch"}
"""What starts a face, and so knows them."""


MODULES = modules_in(WIZARD)


def _face(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def test_no_face_imports_another() -> None:
    """Screen, line prompts and commands stand side by side on the flow, for types too."""
    across = [
        f"{module} imports {other}"
        for module, path in MODULES.items()
        for other in imported(path, MODULES)
        if module not in STARTS
        if {_face(module), _face(other)} <= set(FACES) and _face(module) != _face(other)
    ]
    assert across == []


def test_the_flow_imports_no_face() -> None:
    """What is asked and taken knows nothing of how it is shown, for types too."""
    upwards = [
        f"{module} imports {other}"
        for module, path in MODULES.items()
        for other in imported(path, MODULES)
        if _face(module) == "flow" and _face(other) in FACES
    ]
    assert upwards == []


def test_no_imports_go_in_a_circle() -> None:
    """The modules can be put in an order in which each needs only earlier ones.

    A package hands on what its modules have, so that the package itself is none of them.
    """
    packages = {name for name, path in MODULES.items() if path.name == "__init__.py"}
    graph = {
        module: set(imported(path, MODULES)) - {module} - (packages & set(_parents(module)))
        for module, path in MODULES.items()
    }
    assert len(list(TopologicalSorter(graph).static_order())) == len(MODULES)


def _parents(module: str) -> Iterator[str]:
    while "." in module:
        module = module.rpartition(".")[0]
        yield module


def test_no_file_name_occurs_twice() -> None:
    """A file is found by its name alone."""
    names = Counter(path.name for path in MODULES.values() if path.name != "__init__.py")
    assert [name for name, count in names.items() if count > 1] == []


@pytest.mark.parametrize("terminal", ["textual", "rich", "click"])
def test_the_flow_loads_nothing_of_a_terminal(terminal: str) -> None:
    """The questions and steps imported, and nothing that draws on a screen came along."""
    code = f"import sys, legtaper_wizard.flow.steps\nsys.exit({terminal!r} in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


IMPORTS_OF = """
import sys
from legtaper_wizard.cli.main import main
try:
    main(sys.argv[2:], standalone_mode=False)
except SystemExit:  # the status of what was found
    pass
print(*(name for name in sys.argv[1].split() if name in sys.modules), file=sys.stderr)
"""


@pytest.mark.parametrize(
    ("call", "unneeded"),
    [
        ("--help", "legtaper.model.project legtaper.model.lengths numpy tomllib textual"),
        ("check FILE", "textual rich reportlab ezdxf pint"),
        ("marks FILE", "textual rich reportlab ezdxf pint"),
    ],
)
def test_a_command_loads_only_what_it_needs(call: str, unneeded: str) -> None:
    """The help waits for nothing of the core; a finding for nothing that draws."""
    example = WIZARD.parents[1] / "examples" / "weekend.toml"
    words = [str(example) if word == "FILE" else word for word in call.split()]
    done = subprocess.run(
        [sys.executable, "-c", IMPORTS_OF, unneeded, *words],
        check=True,
        capture_output=True,
        text=True,
    )
    assert done.stderr.strip() == ""
    assert done.stdout
