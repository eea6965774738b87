"""The modules of a package and what each imports, for the tests of the house."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path


def modules_in(folder: Path) -> dict[str, Path]:
    """Return every module of the package in a folder, by its dotted name."""
    found = {}
    for path in sorted(folder.rglob("*.py")):
        parts = path.relative_to(folder.parent).with_suffix("").parts
        found[".".join(parts).removesuffix(".__init__")] = path
    return found


def imported(path: Path, modules: Mapping[str, Path]) -> Iterator[str]:
    """Yield every one of `modules` that a file imports: inside functions and for types too."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names: list[str] = []
        if isinstance(node, ast.ImportFrom) and node.module:
            inside = [f"{node.module}.{alias.name}" for alias in node.names]
            names = [one if one in modules else node.module for one in inside]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        yield from (name for name in names if name in modules)
