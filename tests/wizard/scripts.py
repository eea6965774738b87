"""The scripts beside the examples, which are no modules of a package."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

EXAMPLES = Path(__file__).parents[2] / "examples"


def script(name: str) -> ModuleType:
    """Return a script of the examples as a module; its `main` is not run."""
    spec = importlib.util.spec_from_file_location(Path(name).stem, EXAMPLES / name)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
