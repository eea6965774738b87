"""What the fault tests share: how much to try, and the surroundings of a process."""

from __future__ import annotations

import os
import sys
from pathlib import Path

KILLS = int(os.environ.get("LEGTAPER_KILLS", "16"))
"""How often the wizard is killed; 300 in the long run."""

INPUTS = int(os.environ.get("LEGTAPER_INPUTS", "800"))
"""How many spoiled project files are tried, and a quarter as many of each kind of drawing.

The first 800 reach 99.3 % of the lines that the first 2000 reach, and 1500 all of them; 200
drawings reach 99.5 % of the lines of 500.
"""

EXAMPLE = Path(__file__).parents[2] / "examples" / "courier.toml"
LEGTAPER = Path(sys.executable).with_name("legtaper")


def surroundings(home: Path) -> dict[str, str]:
    """Return the environment of a common terminal and a new account, with the code under test."""
    kept = {name: os.environ[name] for name in ("PATH", "PYTHONPATH") if name in os.environ}
    return kept | {"TERM": "xterm-256color", "LANG": "C.UTF-8", "HOME": str(home)}
