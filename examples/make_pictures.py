"""Make the pictures of the README anew: the wizard on an example, as a terminal shows it.

Run from the top of the project: python examples/make_pictures.py
"""

from __future__ import annotations

import asyncio
import re
import tempfile
from pathlib import Path

from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.session import Session
from legtaper_wizard.terminal import Look
from legtaper_wizard.tui.app import LegtaperApp

HERE = Path(__file__).parent / "pictures"
LOOK = Look(ascii_only=False, braille=True, color="full", plain=False)
SIZE = (100, 32)
KEYS = ("f3", "7")  # the step in which the seams are seen to move
PAUSE = 0.5  # s, until the drawing has come


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
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "courier.toml"
        file.write_text(example_text("courier"), encoding="utf-8")
        picture = asyncio.run(_screen(file))
    return re.sub(r"\s*@font-face \{.*?\n\s*\}", "", picture, flags=re.DOTALL)


if __name__ == "__main__":
    HERE.mkdir(exist_ok=True)
    (HERE / "wizard.svg").write_text(wizard(), encoding="utf-8")
