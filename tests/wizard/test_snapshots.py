"""A few screens as they look: sizes, letters only, no color. Nothing here depends on the time."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from app_driver import PAUSE, PLAIN_LOOK, example
from scripts import script
from textual.pilot import Pilot

from legtaper_wizard.terminal import Look
from legtaper_wizard.tui.app import LegtaperApp

LETTERS = Look(ascii_only=True, braille=False, color="16", plain=False)
NO_COLOR = Look(ascii_only=False, braille=True, color="none", plain=False)
SMALL, LARGE = (80, 24), (120, 40)

pytestmark = pytest.mark.usefixtures("new_account")

SCREENS = {
    "wearer": (("f3", "2"), SMALL, PLAIN_LOOK),
    "block": (("f3", "3", "f4"), SMALL, PLAIN_LOOK),
    "blend": (("f3", "7"), SMALL, PLAIN_LOOK),
    "blend-beside": (("f3", "7"), LARGE, PLAIN_LOOK),
    "blend-letters": (("f3", "7"), SMALL, LETTERS),
    "narrow-no-color": (("f3", "6", "1", "4"), LARGE, NO_COLOR),
    "hem": (("f3", "9"), SMALL, PLAIN_LOOK),
    "fitting": (("f3", "1", "1"), SMALL, PLAIN_LOOK),
    "compare": (("ctrl+f",), SMALL, PLAIN_LOOK),
    "compare-letters": (("ctrl+f", "right"), SMALL, LETTERS),
    "refused": (("f3", "2", "tab", "x", "enter"), SMALL, PLAIN_LOOK),
}


@pytest.mark.parametrize("name", SCREENS)
def test_screen(snap_compare: Callable[..., bool], name: str, tmp_path: Path) -> None:
    """The screen looks as it did when it was last approved."""
    keys, size, look = SCREENS[name]

    async def press(pilot: Pilot[int]) -> None:
        await pilot.press(*keys)
        await pilot.app.workers.wait_for_complete()
        await pilot.pause(PAUSE)

    app = LegtaperApp(example(tmp_path), look)
    with script("make_pictures.py").frameless():
        assert snap_compare(app, run_before=press, terminal_size=size)
