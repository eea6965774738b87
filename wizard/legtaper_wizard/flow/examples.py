"""The invented examples, found in a checkout as well as in an installed package."""

from __future__ import annotations

from pathlib import Path

NAMES = ("courier", "weekend")
"""In inches and firm fabric; in centimeters and stretch fabric."""

_HERE = Path(__file__).resolve().parents[1]
_PLACES = (_HERE / "data", _HERE.parents[1] / "examples")


def example_text(name: str) -> str:
    """Return the text of an example project."""
    for place in _PLACES:
        path = place / f"{name}.toml"
        if path.is_file():
            return path.read_text(encoding="utf-8")
    raise FileNotFoundError(f"the example {name} is not where it was installed")
