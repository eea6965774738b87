"""Make the pictures of the README again: the wizard on an example, as a terminal shows it.

Run from the top of the project: python examples/make_pictures.py
"""

from __future__ import annotations

import asyncio
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partialmethod
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np
from rich.console import Console

from legtaper.files.project_file import read_project
from legtaper.model.project import PANELS
from legtaper.outputs.leg_views import panel_outline
from legtaper.pattern import fit
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.session import Session
from legtaper_wizard.terminal import Look
from legtaper_wizard.tui.app import LegtaperApp

HERE = Path(__file__).parent / "pictures"
LOOK = Look(ascii_only=False, braille=True, color="full", plain=False)
SIZE = (100, 32)
LEGS = ("cropped", "shifted", "knit")
KEYS = ("f3", "7")  # the step in which the seams are seen to move
PAUSE = 0.5  # s, until the drawing has come


# What stands on the screen and nothing round it, in whatever monospaced type a viewer has.
FORMAT = """\
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {terminal_width} {terminal_height}">
<style>
.{unique_id}-matrix {{
  font-family: monospace; font-size: {char_height}px; white-space: pre;
  dominant-baseline: alphabetic;
}}
{styles}
</style>
<defs>
{lines}
</defs>
<rect width="{terminal_width}" height="{terminal_height}" fill="#0c0c0c"/>
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</svg>
"""


@contextmanager
def frameless() -> Iterator[None]:
    """Have every picture of a screen made without the frame of a window round it."""
    with patch.object(Console, "export_svg", partialmethod(Console.export_svg, code_format=FORMAT)):
        yield


async def _screen(file: Path) -> str:
    session = Session.open(file)
    app = LegtaperApp(session, LOOK)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press(*KEYS)
        await pilot.pause(PAUSE)
        picture = app.export_screenshot(title="legtaper")
    session.close()
    return picture


def wizard() -> str:
    """Return the picture of the wizard as SVG that loads nothing from elsewhere."""
    with tempfile.TemporaryDirectory() as folder, frameless():
        file = Path(folder) / "courier.toml"
        file.write_text(example_text("courier"), encoding="utf-8")
        return asyncio.run(_screen(file))


def legs() -> str:
    """Return the panels of three unusual legs as SVG: the block dashed, the new leg solid.

    A crease line that was moved has long dashes.
    """
    parts, left = [], 40.0
    for name in LEGS:
        fitted = fit(read_project((HERE.parent / f"{name}.toml").read_text(encoding="utf-8")))
        label = f'<text x="{left:.0f}" y="1040" font-size="36">{name}</text>'
        for panel in PANELS:
            block, seams = fitted.block, dict(fitted.taper.seams)
            whole = block.whole or block
            old = panel_outline(panel, whole, whole.seams)
            new = panel_outline(panel, block, seams)
            at = left - float(old[:, 0].min())
            parts += [_line(old, at, ' stroke-dasharray="9 9"'), _line(new, at, "")]
            crease = fitted.taper.crease(panel)
            if crease is not None:
                parts.append(_line(crease, at, ' stroke-dasharray="30 9"'))
            left += float(np.ptp(old[:, 0])) + 40
        parts.append(label)
        left += 80
    body = "\n".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {left - 80:.0f} 1060">\n'
        f'<rect width="100%" height="100%" fill="#ffffff"/>\n<g font-family="sans-serif">\n'
        f"{body}\n</g>\n</svg>\n"
    )


def _line(points: Any, left: float, dashes: str) -> str:
    drawn = " ".join(f"{x + left:.1f},{1000 - y:.1f}" for x, y in points)
    return f'<polyline points="{drawn}" fill="none" stroke="#202020" stroke-width="3"{dashes}/>'


if __name__ == "__main__":
    HERE.mkdir(exist_ok=True)
    (HERE / "legs.svg").write_text(legs(), encoding="utf-8")
    (HERE / "wizard.svg").write_text(wizard(), encoding="utf-8")
