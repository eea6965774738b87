"""The first paint of a project: its questions at once, the figures in their places after them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from app_driver import PLAIN_LOOK, Driver
from rich.console import RenderableType
from textual.screen import Screen

from legtaper.files.recent import recent
from legtaper.files.store import load
from legtaper_wizard.flow.derived_state import NotYetError, before_the_figures, standing
from legtaper_wizard.flow.session import Session
from legtaper_wizard.flow.steps import LAST, STEPS
from legtaper_wizard.tui.app import LegtaperApp
from legtaper_wizard.tui.layout.frame import LEAST
from legtaper_wizard.tui.layout.plain_page import Means, Pose
from legtaper_wizard.tui.layout.screenful import Sight, middle
from legtaper_wizard.tui.layout.step_model import first_page, page_of
from legtaper_wizard.tui.screens.form_screen import FormScreen

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
AT_ONCE = ("project", "wearer", "block-test", "liked", "narrowing", "hem", "pattern")
"""Steps whose questions hang on no figure."""


@pytest.fixture(autouse=True)
def _home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def left_at_the_hem(folder: Path) -> Path:
    """Return a project that was left at a question of a step that computes."""
    path = folder / "mine.toml"
    path.write_text((EXAMPLES[0].parent / "weekend.toml").read_text())
    session = Session.open(path)
    session.go("narrowing", "design.take_in.hem")
    session.close()
    return path


FIRST = """
import asyncio, sys
from pathlib import Path
from legtaper_wizard.flow.session import Session
from legtaper_wizard.terminal import Look
from legtaper_wizard.tui.app import LegtaperApp
from legtaper_wizard.tui.widgets.lines import Lines

show, seen = Lines.show, []
def noted(canvas, *given):
    show(canvas, *given)
    seen.append((canvas.text, [name for name in ("numpy", "shapely") if name in sys.modules]))
Lines.show = noted

async def run():
    look = Look(ascii_only=False, braille=True, color="16", plain=False)
    app = LegtaperApp(Session.open(Path(sys.argv[1])), look)
    async with app.run_test(size=(120, 40)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
asyncio.run(run())
assert "Finished width" in seen[0][0], seen[0][0]
print(seen[0][1], "numpy" in seen[-1][1], "legtaper.leg.panel" in sys.modules)
"""


def test_the_first_paint_of_a_resumed_project_waits_for_nothing_that_computes(
    tmp_path: Path,
) -> None:
    """The questions are there before numpy is; what follows from them needs nothing that cuts."""
    path = left_at_the_hem(tmp_path)
    done = subprocess.run(
        [sys.executable, "-c", FIRST, str(path)], check=False, capture_output=True, text=True
    )
    assert done.stdout.split() == ["[]", "True", "False"], done.stdout + done.stderr


@pytest.mark.parametrize("size", [LEAST, (120, 40)])
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_nothing_moves_between_the_first_paint_and_the_whole_page(
    path: Path, size: tuple[int, int]
) -> None:
    """The same questions stand in the same rows, with the cursor at any of them."""
    project, means = load(path), Means(*size, ascii_only=False)
    seen = []
    for step in STEPS:
        place = (project, step.id, LAST)
        whole = page_of(*place)
        for stop in whole.stops:
            early = first_page(*place, stop.id)
            if early is None:
                continue
            seen.append(step.id)
            rows = []
            for page in (early, whole):
                _, pose = middle(Sight(page, Pose(stop.id), means), 99)
                places = Sight(page, Pose(stop.id), means).layout.places
                asked = {one.id: places[one.id] for one in page.stops if one.field}
                rows.append((asked, pose.top))
            assert rows[0] == rows[1]
    assert set(AT_ONCE) - {"pattern"} <= {*seen}


NAMED = """
import asyncio, sys
from legtaper_wizard import terminal
from legtaper_wizard.cli.launch import start
from legtaper_wizard.tui import app as screen

async def name(app):
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.press("a")
        assert "a.toml" in app.screen.canvas.text
        core = ("legtaper.model.project", "legtaper.files.store")
        unneeded = (*core, "legtaper_wizard.flow.session")
        print([name for name in unneeded if name in sys.modules])

look = terminal.Look(ascii_only=False, braille=True, color="16", plain=False)
terminal.look_here = lambda **_: look
screen.run_app = lambda app: asyncio.run(name(app))
start(None)
"""


def test_a_project_is_named_before_what_a_project_is_was_loaded() -> None:
    """The first page of a start takes keys without the model, the steps or a session."""
    done = subprocess.run(
        [sys.executable, "-c", NAMED], check=False, capture_output=True, text=True
    )
    assert done.stdout.split() == ["[]"], done.stdout + done.stderr


@pytest.mark.parametrize("size", [LEAST, (120, 40)])
async def test_what_is_sent_first_is_the_page_in_its_size(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    """No empty screen goes out before it, and none that was laid out for another size."""
    sent: list[str] = []
    display = LegtaperApp._display

    def noted(app: LegtaperApp, screen: Screen[Any], update: RenderableType | None) -> None:
        if isinstance(screen, FormScreen):
            sent.append(screen.text)
        display(app, screen, update)

    monkeypatch.setattr(LegtaperApp, "_display", noted)
    app = LegtaperApp(Session.open(left_at_the_hem(tmp_path)), PLAIN_LOOK)
    async with app.run_test(size=size):
        assert len(sent[0].splitlines()) == size[1]
        assert "Step 6" in sent[0]


async def test_a_page_is_drawn_once_for_one_size_and_the_project_then_remembered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Early, then with its figures; a new size draws it once more."""
    drawn: list[bool] = []
    draw = FormScreen.draw

    def noted(form: FormScreen) -> None:
        drawn.append(form.page.early)
        draw(form)

    monkeypatch.setattr(FormScreen, "draw", noted)
    path = left_at_the_hem(tmp_path)
    app = LegtaperApp(Session.open(path), PLAIN_LOOK)
    async with app.run_test(size=(120, 40)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert drawn == [True, False]
        assert recent() == [path]
        await pilot.resize_terminal(*LEAST)
        assert drawn == [True, False, False]


async def test_a_key_typed_before_the_figures_are_there_is_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is shown at once, stays when they come, and Enter takes it with all the rest."""
    path = left_at_the_hem(tmp_path)
    monkeypatch.setattr(FormScreen, "_get_figures", _never)
    app = LegtaperApp(Session.open(path), PLAIN_LOOK)
    async with app.run_test(size=(120, 40)) as pilot:
        on = Driver(app, pilot)
        form = app.form
        assert form is not None
        assert form.page.early
        await on.type("2 cm")
        assert form.page.early
        assert "2 cm" in form.text
        form.settle()
        await on.settle()
        assert not form.page.early
        assert form.page.notes
        assert form.pose.draft == "2 cm"
        await on.press("enter")
        assert on.on_disk().designs[-1].take_in["hem"].text == "2 cm"


async def _never(_: FormScreen) -> None:
    """Compute on a machine that is very slow."""


def test_nothing_is_computed_before_the_figures(tmp_path: Path) -> None:
    """What asks for one is told so, and asks again."""
    session = Session.open(left_at_the_hem(tmp_path))
    with before_the_figures(), pytest.raises(NotYetError):
        standing(*session.now)
    assert standing(*session.now).fit is not None
    session.close()


def test_a_file_that_was_changed_since_is_looked_at_whole(tmp_path: Path) -> None:
    """Where a step waits by now, the project opens at one that does not."""
    path = left_at_the_hem(tmp_path)
    text = path.read_text()
    path.write_text(text.partition("[block")[0])
    session = Session.open(path)
    assert session.step_id == "block"
    session.close()
