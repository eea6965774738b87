"""Every number that judges a body, a leg or a fabric says beside it where it comes from."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from test_sources import SOURCES

ROOT = Path(__file__).parents[2]
JUDGES = (
    "core/legtaper/checks", "core/legtaper/leg", "core/legtaper/remedies/moves.py",
    "core/legtaper/remedies/wording.py", "core/legtaper/muslin/cures.py",
    "core/legtaper/block_sources/drafted.py", "core/legtaper/block_sources/measured.py",
    "wizard/legtaper_wizard/flow/questions",
)  # fmt: skip
NO_FACTS = ("rounding", "how many", "Heights between", "normal distribution", "the same adults")
"""What a number says that judges nothing but the arithmetic."""
TELLS = (*SOURCES, "common practice", "from memory", *NO_FACTS)


def _is_number(node: ast.expr | None) -> bool:
    if isinstance(node, ast.Constant):
        return isinstance(node.value, float)
    if isinstance(node, ast.BinOp):
        return _is_number(node.left) or _is_number(node.right)
    return isinstance(node, ast.Tuple) and bool(node.elts) and all(map(_is_number, node.elts))


def _numbers(text: str) -> list[tuple[str, str]]:
    """Return each number at the top of a module with all that is written beside it."""
    lines, body = text.splitlines(), ast.parse(text).body
    found = []
    for node, after in zip(body, [*body[1:], None], strict=True):
        if isinstance(node, ast.Assign | ast.AnnAssign) and _is_number(node.value):
            first = node.lineno - 1
            while first and lines[first - 1].startswith("#"):
                first -= 1
            is_doc = isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant)
            last = after.end_lineno if after and is_doc else node.end_lineno
            found.append((lines[node.lineno - 1], " ".join(" ".join(lines[first:last]).split())))
    return found


@pytest.mark.parametrize("place", JUDGES)
def test_a_threshold_says_where_it_comes_from(place: str) -> None:
    """A source of the README, "common practice" or "from memory"."""
    path = ROOT / place
    files = sorted(path.rglob("*.py")) if path.is_dir() else [path]
    known = [(file.name, *one) for file in files for one in _numbers(file.read_text("utf-8"))]
    assert known
    assert [(file, line) for file, line, said in known if not any(t in said for t in TELLS)] == []


def test_a_number_without_a_source_is_found() -> None:
    """What stands beside it counts, what stands elsewhere does not."""
    said = dict(
        _numbers(
            '_A = 5.0\n"""mm: common practice."""\n_B = 2.0  # mm\n# from memory\nC = (1.0, 2.0)'
        )
    )
    assert "common practice" in said["_A = 5.0"]
    assert "from memory" in said["C = (1.0, 2.0)"]
    assert said["_B = 2.0  # mm"] == "_B = 2.0 # mm"
