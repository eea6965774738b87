"""No regular expression of the program can split a text in exponentially many ways."""

from __future__ import annotations

import ast
import re._parser as sre_parse  # type: ignore[import-not-found]  # where `sre_parse` moved to
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
COUNTLESS = 100  # a repeat that may go on for so long counts as one without an end
REPEATS = {sre_parse.MAX_REPEAT, sre_parse.MIN_REPEAT}


def patterns(source: Path) -> list[str]:
    """Return the texts that a module gives to `re`, as far as they are plain."""
    found = []
    for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
            continue
        owner = node.func.value
        if isinstance(owner, ast.Name) and owner.id == "re" and node.args:
            text = _plain(node.args[0])
            if text is not None:
                found.append(text)
    return found


def _plain(node: ast.expr) -> str | None:
    """Return a literal; what an f-string puts in stands as one digit."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        parts = [one.value if isinstance(one, ast.Constant) else "9" for one in node.values]
        return "".join(map(str, parts))
    if isinstance(node, ast.BinOp):
        left, right = _plain(node.left), _plain(node.right)
        return None if left is None or right is None else left + right
    return None


def nested(parsed: Any, inside: bool = False) -> bool:
    """Whether an endless repeat holds another one that nothing keeps apart from its next turn."""
    for code, value in parsed:
        if code in REPEATS:
            _, most, part = value
            endless = most >= COUNTLESS
            if inside and endless:
                return True
            if nested(part, endless and not _kept_apart(part)):
                return True
        elif code == sre_parse.SUBPATTERN:
            if nested(value[-1], inside):
                return True
        elif code == sre_parse.BRANCH and any(nested(one, inside) for one in value[1]):
            return True
    return False


def _kept_apart(part: Any) -> bool:
    """Whether every turn of a repeat begins or ends with a fixed letter."""
    ends = [part[0], part[-1]] if len(part) else []
    if len(part) == 1 and ends[0][0] == sre_parse.SUBPATTERN:
        return _kept_apart(ends[0][1][-1])
    return any(_fixed(code, value) for code, value in ends)


def _fixed(code: Any, value: Any) -> bool:
    """Whether it is one letter, or one of a few that are named."""
    if code == sre_parse.IN:
        return all(inner == sre_parse.LITERAL for inner, _ in value)
    return bool(code == sre_parse.LITERAL)


@pytest.mark.parametrize(
    "source",
    sorted([*(ROOT / "core").rglob("*.py"), *(ROOT / "wizard").rglob("*.py")]),
    ids=lambda path: str(path.relative_to(ROOT)),
)
def test_no_repeat_holds_a_repeat(source: Path) -> None:
    """Every pattern reads a text once from left to right."""
    for text in patterns(source):
        assert not nested(sre_parse.parse(text)), text


@pytest.mark.parametrize("text", [r"(\d+)+", r"(?:\s*,?\s*\d+\.?\d*)+x", r"(a*|b)*"])
def test_the_search_finds_what_it_looks_for(text: str) -> None:
    """Patterns of the kind that once hung the reader are found."""
    assert nested(sre_parse.parse(text))
