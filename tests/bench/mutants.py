"""A sampler of mutations: would a test notice if the core did something else than it does.

`python tests/bench/mutants.py [COUNT] [--seed N] [--only WORD] [--near]` makes COUNT small changes,
one at a time, each in a copy of the core (a plus for a minus, a `<` for a `<=`, a number one
larger), and runs the tests that import the changed module, then (but with `--near`) all other tests
of the core, until one fails. It prints every change that no test noticed, to be read: some change
nothing that anyone could see.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
CORE = ROOT / "core"
PATIENCE = 600  # s for one run of the tests; a change that makes them hang has been noticed

SWAPPED: dict[type[ast.AST], str] = {
    ast.Add: "-", ast.Sub: "+", ast.Mult: "/", ast.Div: "*",
    ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">", ast.Eq: "!=", ast.NotEq: "==",
    ast.Is: "is not", ast.IsNot: "is", ast.In: "not in", ast.NotIn: "in",
    ast.And: "or", ast.Or: "and",
}  # fmt: skip
SPELLED: dict[type[ast.AST], str] = {
    ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/",
    ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!=",
    ast.Is: "is", ast.IsNot: "is not", ast.In: "in", ast.NotIn: "not in",
    ast.And: "and", ast.Or: "or",
}  # fmt: skip
SWAPPED_NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True)
class Mutant:
    """One change: `old` becomes `new` at a line and column of a module."""

    module: Path
    line: int
    column: int
    old: str
    new: str

    def __str__(self) -> str:
        text = self.module.read_text(encoding="utf-8").splitlines()[self.line - 1].strip()
        return f"{self.module.relative_to(CORE)}:{self.line}: {self.old} -> {self.new}   in: {text}"

    def text(self) -> str:
        """Return the module with the change made."""
        lines = self.module.read_text(encoding="utf-8").splitlines(keepends=True)
        line = lines[self.line - 1]
        at = self.column
        lines[self.line - 1] = line[:at] + self.new + line[at + len(self.old) :]
        return "".join(lines)


def mutants(module: Path) -> Iterator[Mutant]:
    """Yield every change that can be made in a module."""
    source = module.read_text(encoding="utf-8")
    lines = source.splitlines()
    tree = ast.parse(source)
    passed_over = {id(node) for part in _left_out(tree) for node in ast.walk(part)}
    for node in ast.walk(tree):
        if id(node) in passed_over:
            continue
        for line, column, old, new in _changes(node, lines):
            if lines[line - 1].isascii() and lines[line - 1][column:].startswith(old):
                yield Mutant(module, line, column, old, new)


def _left_out(tree: ast.Module) -> Iterator[ast.AST]:
    """Yield the parts that do nothing at run time: annotations, docstrings, texts."""
    for node in ast.walk(tree):
        if isinstance(node, ast.AnnAssign | ast.arg) and node.annotation:
            yield node.annotation
        elif isinstance(node, ast.FunctionDef) and node.returns:
            yield node.returns
        elif isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name):
            if node.value.id in {"Mapping", "Literal", "Sequence", "tuple", "dict", "list"}:
                yield node
        elif isinstance(node, ast.JoinedStr):
            yield node


def _changes(node: ast.AST, lines: list[str]) -> Iterator[tuple[int, int, str, str]]:
    if isinstance(node, ast.BinOp) and type(node.op) in SWAPPED:
        yield from _between(node.left, node.right, node.op, lines)
    elif isinstance(node, ast.Compare):
        ends = [node.left, *node.comparators]
        for before, after, sign in zip(ends, ends[1:], node.ops, strict=False):
            yield from _between(before, after, sign, lines)
    elif isinstance(node, ast.BoolOp):
        for before, after in zip(node.values, node.values[1:], strict=False):
            yield from _between(before, after, node.op, lines)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield node.lineno, node.col_offset, "not ", ""
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
        old = ast.get_source_segment("\n".join(lines), node) or ""
        yield node.lineno, node.col_offset, old, _another(node.value)
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute):
        name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr
        if name in SWAPPED_NAMES and node.func.end_lineno and node.func.end_col_offset:
            column = node.func.end_col_offset - len(name)
            yield node.func.end_lineno, column, name, SWAPPED_NAMES[name]


def _another(value: float) -> str:
    return repr(value + 1) if isinstance(value, int) else repr(value * 1.5 + (value == 0))


def _between(
    before: ast.expr, after: ast.expr, sign: ast.AST, lines: list[str]
) -> Iterator[tuple[int, int, str, str]]:
    """Yield the change of a sign that stands between two expressions on one line."""
    if before.end_lineno != after.lineno or before.end_col_offset is None:
        return
    old = SPELLED.get(type(sign))
    between = lines[after.lineno - 1][before.end_col_offset : after.col_offset]
    if old and between.count(old) == 1:
        column = before.end_col_offset + between.index(old)
        yield after.lineno, column, old, SWAPPED[type(sign)]


def tests_for(module: Path, *, near: bool) -> list[str]:
    """Return the core's test files: those that import the module first, or (`near`) they alone.

    Where none does, those that import another module of its folder come first.
    """
    dotted = ".".join(module.relative_to(CORE).with_suffix("").parts)
    files = sorted((ROOT / "tests" / "core").rglob("test_*.py"))
    outside = sorted((ROOT / "tests" / "outside").rglob("test_*.py"))
    first: list[Path] = []
    for name in (dotted, dotted.rpartition(".")[0]):
        own = re.compile(rf"\b{re.escape(name)}\b")
        found = [file for file in files + outside if own.search(file.read_text(encoding="utf-8"))]
        first = first or found
    first.sort(key=lambda file: module.stem not in file.stem)
    others = [] if near else [file for file in files if file not in first]
    return [str(file) for file in first + others]


def noticed(mutant: Mutant, workplace: Path, *, near: bool) -> bool:
    """Whether a test fails with the change made, in a copy of the core."""
    copy = workplace / mutant.module.relative_to(CORE)
    copy.write_text(mutant.text(), encoding="utf-8")
    try:
        return fails(tests_for(mutant.module, near=near), workplace)
    finally:
        shutil.copy(mutant.module, copy)


def fails(tests: list[str], workplace: Path) -> bool:
    """Whether any of the tests fails on the copy of the core, or they never end."""
    environ = os.environ | {
        "PYTHONPATH": str(workplace),
        "HYPOTHESIS_STORAGE_DIRECTORY": str(workplace / ".hypothesis"),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider"]
    try:
        ended = subprocess.run(
            [*command, *tests],
            cwd=ROOT, env=environ, capture_output=True, timeout=PATIENCE, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return True
    return ended.returncode != 0


def main() -> int:
    """Try a sample and say what went unnoticed; 1 where that is more than one in twenty."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", nargs="?", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", help="modules whose path holds this word")
    parser.add_argument("--near", action="store_true", help="only tests that import the module")
    asked = parser.parse_args()
    modules = [file for file in sorted(CORE.rglob("*.py")) if asked.only in str(file)]
    every = [mutant for module in modules for mutant in mutants(module)]
    sample = random.Random(asked.seed).sample(every, min(asked.count, len(every)))
    kept: list[Mutant] = []
    with tempfile.TemporaryDirectory() as folder:
        workplace = Path(folder) / "core"
        shutil.copytree(CORE, workplace, ignore=shutil.ignore_patterns("__pycache__"))
        if fails(tests_for(CORE / "legtaper" / "pattern.py", near=asked.near), workplace):
            print("the tests fail without any change: mend them first")
            return 2
        for number, mutant in enumerate(sample, 1):
            seen = noticed(mutant, workplace, near=asked.near)
            print(f"{number:4} {'noticed' if seen else 'UNNOTICED'}  {mutant}", flush=True)
            kept += [] if seen else [mutant]
    print(f"{len(sample) - len(kept)} of {len(sample)} noticed ({len(every)} could be made)")
    return int(len(kept) * 20 > len(sample))


if __name__ == "__main__":
    sys.exit(main())
