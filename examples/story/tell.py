"""Run every command of story.md and see whether it still prints what stands there.

python examples/story/tell.py           # says what has changed, exit status 1 if anything has
python examples/story/tell.py --renew   # writes the story and its files again
"""

from __future__ import annotations

import difflib
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).parent
BLOCK = re.compile(r"(?<=```console\n).*?(?=```)", re.DOTALL)
DAY = "1770595200"  # 2026-02-09, in seconds since 1970
"""The day that stands on every sheet."""
SHEETS = ("round-2.svg", "done.svg")
"""Pictures that the commands make and the story shows."""


def told(story: str, folder: Path, renew: bool = False) -> str:
    """Return the story with its commands run in `folder` and what they print now.

    With `renew`, `cmp` copies instead: what a command made becomes what the story shows.
    """
    return BLOCK.sub(lambda block: "".join(_run(block[0], folder, renew)), story)


def _run(block: str, folder: Path, renew: bool) -> Iterator[str]:
    for command in re.findall(r"^\$ ((?:.*\\\n)*.*)\n", block, re.MULTILINE):
        meant = command.replace("cmp ", "cp ", 1) if renew else command
        done = subprocess.run(
            ["sh", "-c", meant], cwd=folder, env=_bare(folder), stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT, text=True, encoding="utf-8", check=False,
        )  # fmt: skip
        yield f"$ {command}\n{done.stdout}"


def _bare(folder: Path) -> dict[str, str]:
    """Return the environment of an account that has set nothing up, 80 columns wide."""
    kept = {name: os.environ[name] for name in ("PYTHONPATH", "SYSTEMROOT") if name in os.environ}
    path = os.pathsep.join((str(Path(sys.executable).parent), os.environ["PATH"]))
    return {**kept, "PATH": path, "HOME": str(folder), "LC_ALL": "C.UTF-8", "COLUMNS": "80",
            "SOURCE_DATE_EPOCH": DAY}  # fmt: skip


def main() -> int:
    """Tell the story in a folder of its own, and compare or renew."""
    renew = sys.argv[1:] == ["--renew"]
    story = (HERE / "story.md").read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file in HERE.glob("*.toml"):
            shutil.copy(file, folder)
        now = told(story, folder, renew)
        if renew:
            (HERE / "story.md").write_text(now, encoding="utf-8")
            for made in (*folder.glob("[0-9]-*.toml"), *(folder / sheet for sheet in SHEETS)):
                shutil.copy(made, HERE)
            return 0
    lines = difflib.unified_diff(story.splitlines(), now.splitlines(), "story.md", "now", "", "")
    changed = "\n".join(lines)
    print(changed or "Every command prints what the story says.")
    return 1 if changed else 0


if __name__ == "__main__":
    sys.exit(main())
