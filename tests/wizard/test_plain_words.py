"""What users read is said in plain words, each thing by one word."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGES = ("core/legtaper", "wizard/legtaper_wizard")
PAGES = ("README.md", "examples/README.md", "examples/class.md", "examples/project-file.md",
         "examples/json.md", "examples/story/story.md")  # fmt: skip
OUT_OF_USE = (
    r"wants?\b", r"stands\b", r"serves?\b", r"nobody (?:sees|knows|means)", r"for want of",
    r"comes? of\b", r"anew\b", r"likewise\b", r"colou?rless", r"colour", r"centre", r"neighbour",
    r"cloth\b", r"net line", r"hem width opening", r"\bmm2\b",
)  # fmt: skip
"""Old, or another word for a thing that has one."""
PLAIN = re.compile("|".join(rf"\b(?:{words})" for words in OUT_OF_USE), re.IGNORECASE)


def _texts(path: Path) -> Iterator[str]:
    """Yield every text of a module that has a blank in it; of the commands their help as well."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    told = {id(node) for node in _docstrings(tree)} if "commands" not in path.parts else set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.value


def _docstrings(tree: ast.AST) -> Iterator[ast.Constant]:
    for node in ast.walk(tree):
        for one in (
            getattr(node, "body", []) if not isinstance(node, ast.Lambda | ast.IfExp) else []
        ):
            if isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant):
                yield one.value


@pytest.mark.parametrize("package", PACKAGES)
def test_what_is_said_is_plain(package: str) -> None:
    """No text of a module that a user can see has a word that is out of use."""
    files = sorted((ROOT / package).rglob("*.py"))
    found = [(file.name, text) for file in files for text in _texts(file)
             if " " in text and PLAIN.search(text)]  # fmt: skip
    assert files
    assert found == []


@pytest.mark.parametrize("page", PAGES)
def test_what_is_written_is_plain(page: str) -> None:
    """Nor has a page for users."""
    lines = (ROOT / page).read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if PLAIN.search(line)] == []


def test_a_word_out_of_use_is_found() -> None:
    """In small letters and in large ones, and not within another word."""
    assert PLAIN.search("It wants care")
    assert PLAIN.search("Drawn anew.")
    assert not PLAIN.search("stand up; standing; what comes off; the observed")
