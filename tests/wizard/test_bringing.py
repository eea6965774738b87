"""A block that is drafted or traced, brought in by keys alone."""

from __future__ import annotations

import shutil
import threading
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from app_driver import PLAIN_LOOK, Driver, driving, example

from legtaper.files.store import backup_of, load
from legtaper.model import cancel
from legtaper.model.cancel import Going
from legtaper.model.project import Project
from legtaper.pattern import block_of, build
from legtaper_wizard.flow import import_flow
from legtaper_wizard.flow.session import Session
from legtaper_wizard.flow.steps import step_of
from legtaper_wizard.terminal import Look
from legtaper_wizard.tui.screens import slow_ask
from legtaper_wizard.tui.screens.corners_screen import CornersScreen
from legtaper_wizard.tui.screens.outlines_screen import OutlinesScreen

pytestmark = pytest.mark.usefixtures("new_account")


@pytest.fixture(autouse=True)
def patience(monkeypatch: pytest.MonkeyPatch) -> None:
    """Have a drawing read before its page is shown, however slow the machine is."""
    monkeypatch.setattr(slow_ask, "SOON", 60.0)


EXAMPLES = Path(__file__).parents[2] / "examples"
REMARK = "# a remark of her own"
LETTERS = Look(ascii_only=True, braille=False, color="none", plain=False)
FROM_FILE_TO_CORNERS = ("enter", "enter")  # the file is taken, then read


def begun(folder: Path, *lines: str) -> Session:
    """Return a session on a project that stands at its block, with both example drawings by it."""
    for name in ("outline.svg", "outline.dxf"):
        shutil.copy(EXAMPLES / name, folder)
    file = folder / "trial.toml"
    lines = lines or ("[wearer]", 'waist = "80 cm"')
    head = ("format = 1", REMARK, 'name = "Trial"', 'length_unit = "cm"')
    file.write_text("\n".join((*head, *lines)) + "\n")
    return Session.open(file)


async def to_outlines(on: Driver, name: str = "outline.svg") -> None:
    """Go to the page that asks which outline is which."""
    await begin_reading(on, name)


async def begin_reading(on: Driver, name: str = "outline.svg") -> None:
    """Have a drawing read, and do not wait for it."""
    await on.press("shift+tab", "enter")
    await on.type(name)
    await on.press(*FROM_FILE_TO_CORNERS)


async def until(on: Driver, text: str) -> None:
    """Wait until a page says something that a thread has to end for."""
    for _ in range(500):
        if text in on.text:
            return
        await on.pilot.pause(0.02)
    raise AssertionError(on.text)


async def go_on(on: Driver) -> None:
    """Go on from the first question about the outlines to the corners."""
    await on.press(*["down"] * 6, "enter")


async def to_button(on: Driver) -> None:
    """Go down to the button that hands a page of questions over."""
    for _ in range(40):
        if on.app.screen.pose.here == "do":  # type: ignore[attr-defined]
            return
        await on.press("down")
    raise AssertionError(on.text)


def being_typed(on: Driver) -> str:
    """Return what stands on the line where answers are typed."""
    return str(on.app.screen.answer.value)  # type: ignore[attr-defined]


def corners(on: Driver) -> CornersScreen:
    """Return the page of corners, which has to be shown."""
    assert isinstance(on.app.screen, CornersScreen)
    return on.app.screen


@pytest.mark.parametrize("look", [PLAIN_LOOK, LETTERS], ids=["braille", "letters"])
@pytest.mark.parametrize("name", ["outline.svg", "outline.dxf"])
async def test_a_drawing_becomes_a_finished_pattern(tmp_path: Path, name: str, look: Look) -> None:
    """At 80x24, no number is typed again: from the file to the tapered pattern, darts and all."""
    async with driving(begun(tmp_path), look=look) as on:
        await to_outlines(on, name)
        assert "FRONT" in on.text
        assert "BACK" in on.text
        await go_on(on)
        assert "Front: corners" in on.text
        await on.press("enter")
        assert "Back: corners" in on.text
        await on.press("enter", "enter")
        assert "The block is in." in on.form.text
        assert all(line.isascii() for line in on.text.split("\n")) or look is PLAIN_LOOK
        assert REMARK in on.file.read_text()
        await on.press("f3", "6")
        await on.answer("", "2 cm")
        await on.press("f9", "3", *["tab"] * 4)
        await on.answer("mine")
        await on.press("enter")
        await on.app.workers.wait_for_complete()
        await on.pilot.pause()
        assert "back-cut" in (tmp_path / "mine.svg").read_text()
        project = on.on_disk()
        narrowed, block = build(project).fit.taper, block_of(project)
        assert float(narrowed.circumference(0.0)) == pytest.approx(
            float(block.circumference(0.0)) - 80, abs=0.1
        )
        assert len(block.rests["back"].lines) == 1


async def test_a_person_without_a_block_drafts_one(tmp_path: Path) -> None:
    """Hip and height are typed; all else is shown, each with where it is from."""
    async with driving(begun(tmp_path)) as on:
        await on.press("shift+tab", "shift+tab", "enter")
        assert "sew and fit it before you taper" in on.text
        await on.answer("104")
        await on.press("down")
        await on.answer("170")
        assert "estimated: from the height" in on.text
        shown = on.text
        await to_button(on)
        shown += on.text
        for number in ("Ease at the hip", "Back wider by", "Front crotch", "Hem, around the leg"):
            assert number in shown
        await on.press("enter")
        project = on.on_disk()
        assert project.wearer.hip is not None
        assert "waist_center" in project.block.outline["back"].corners
        assert REMARK in on.file.read_text()
        assert "sew and fit it before you taper" in on.form.text
        await on.press("f5")
        assert on.on_disk() == Project("Trial", "cm", wearer=load(backup_of(on.file)).wearer)
        await on.press("f6")
        assert on.on_disk() == project


async def test_who_changes_nothing_need_not_pass_every_number(tmp_path: Path) -> None:
    """PgDn goes to the button that agrees, PgUp to the first question; what is typed is taken."""
    async with driving(begun(tmp_path)) as on:
        await on.press("shift+tab", "shift+tab", "enter")
        await on.answer("104")
        await on.press("down")
        await on.type("170")
        await on.press("pagedown", "pageup", "pagedown", "enter")
        assert "hip" in on.on_disk().block.outline["front"].corners


async def test_every_number_of_a_draft_can_be_changed(tmp_path: Path) -> None:
    """A number that can't be is refused beside it; what is typed is there after Escape."""
    async with driving(begun(tmp_path)) as on:
        await on.press("shift+tab", "shift+tab", "enter")
        await on.answer("104")
        await on.press("down")
        await on.answer("170")
        await on.press(*["down"] * 5)
        await on.answer("90")
        assert "is out of range" in on.text
        await on.press("ctrl+u")
        await on.answer("8")
        await on.press("escape")
        assert not on.on_disk().block.outline
        await on.press("enter")
        assert "104 " in on.text
        await to_button(on)
        assert "8 " in on.text
        await on.press("enter")
        assert on.on_disk().block.outline


async def test_the_unfinished_draft_says_what_is_missing(tmp_path: Path) -> None:
    """Without a hip there is no draft; the button leads to the question. F1 explains each."""
    async with driving(begun(tmp_path)) as on:
        await on.press("shift+tab", "shift+tab", "enter")
        await on.press("f1")
        assert "Help: Have a starting block drafted" in on.text.splitlines()[0]
        assert "Hip. " in on.text
        await on.press("escape")
        await to_button(on)
        await on.press("enter")
        assert "measure around the fullest place" in on.text
        assert not on.on_disk().block.outline


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("nothing.svg", "there is no such file"),
        ("trial.toml", "must end in .svg or .dxf"),
        ("text.svg", ""),
        ("empty.svg", "no closed outline"),
    ],
)
async def test_a_file_that_is_no_drawing_is_refused_in_one_line(
    tmp_path: Path, typed: str, says: str
) -> None:
    """What was typed stays to be mended, and nothing is changed."""
    (tmp_path / "text.svg").write_text("just words")
    size = 'width="300mm" height="300mm" viewBox="0 0 300 300"'
    (tmp_path / "empty.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {size}/>')
    async with driving(begun(tmp_path)) as on:
        before = on.file.read_text()
        await on.press("shift+tab", "enter")
        await on.answer(typed)
        await on.press("enter")
        assert "Take the block from a drawing" in on.text
        assert "! " in on.text
        assert says in on.text
        assert being_typed(on) == typed
        await on.press("escape", "enter")
        assert being_typed(on) == typed
        await on.press("escape")
        assert on.file.read_text() == before


async def test_names_that_no_one_would_give_do_no_harm(tmp_path: Path) -> None:
    """Outlines named with blanks and control characters; a file name that is far too long."""
    text = (EXAMPLES / "outline.svg").read_text()
    odd = text.replace('id="front"', 'id=" fr&#9;ont \u202e"').replace('id="back"', 'id="  "')
    async with driving(begun(tmp_path)) as on:
        (tmp_path / "odd.svg").write_text(odd)
        await on.press("shift+tab", "enter")
        await on.answer("x" * 400 + ".svg")
        await on.press("enter")
        assert "no name that a file can have" in on.text
        await on.press("ctrl+u")
        await on.answer("odd.svg")
        await on.press("enter")
        assert "Which outline is which" in on.text
        assert "\u202e" not in on.text
        await on.press("left", "enter", "right", "enter")
        await on.press("escape", "escape")
        assert not on.on_disk().block.outline


async def test_a_wrong_scale_is_asked_about(tmp_path: Path) -> None:
    """A leg of 79 cm in px at 96 that was drawn at 72: the question, the cure, then the corners."""
    shutil.copy(EXAMPLES / "outline.svg", tmp_path / "small.svg")
    text = (tmp_path / "small.svg").read_text()
    px = text.replace('width="1000mm" height="1150mm" viewBox="0 0 1000 1150"', "")
    (tmp_path / "small.svg").write_text(px)
    async with driving(begun(tmp_path)) as on:
        await to_outlines(on, "small.svg")
        await go_on(on)
        assert "this leg would be" in on.text
        await on.press("4", "enter")  # px that are mm
        assert "105.4" in on.text
        await on.press("enter")
        assert corners(on).drawing.proposed().panels["front"].height("crotch") == pytest.approx(
            779, abs=0.1
        )


async def test_front_and_back_exchanged_are_noticed(tmp_path: Path) -> None:
    """The same outline twice is refused; the wrong way round is asked about before it counts."""
    async with driving(begun(tmp_path)) as on:
        await to_outlines(on)
        await on.press("1", "enter")
        await on.press(*["down"] * 5, "enter")
        assert "the same outline" in on.text
        await on.press("2", "enter", *["down"] * 4, "enter")
        await on.press("enter", "enter")
        assert "The back is narrower than the front" in on.text
        await on.press("2")
        assert "corners" in on.text
        assert not on.on_disk().block.outline


async def test_corners_grainline_and_levels_are_moved_by_arrow_keys(tmp_path: Path) -> None:
    """Each moves by its step, Backspace puts it back, and what was moved is what is taken."""
    async with driving(begun(tmp_path)) as on:
        await to_outlines(on)
        await go_on(on)
        page = corners(on)
        crotch = page.here.spots[0, 1]
        await on.press("right")
        assert crotch - 8 < page.here.spots[0, 1] < crotch - 2
        await on.press("backspace")
        assert page.here.spots[0, 1] == pytest.approx(crotch)
        await on.press(*["down"] * 5)
        hem = page._found.panels["front"].outline.points[73][0]
        await on.press("right", "]")
        assert page._found.panels["front"].outline.points[73][0] == pytest.approx(hem - 6, abs=0.05)
        await on.press("down", "down")
        before = page.here.spots[0, 1]
        await on.press("right", "right")
        hip = page.here.spots[0, 1]
        assert before + 8 < hip < before + 12  # two steps, the last to a point of the outline
        await on.press("down", "down", "left")
        knee = page.here.spots[0, 1]
        await on.press("enter", "enter", "enter")
        block = block_of(on.on_disk())
        assert block.heights["hip"] == pytest.approx(hip, abs=0.2)
        assert block.heights["knee"] == pytest.approx(knee, abs=0.2)
        assert "knee" not in block.estimated


async def test_a_corner_that_cannot_go_there_stays(tmp_path: Path) -> None:
    """The line says why; nothing is lost."""
    async with driving(begun(tmp_path)) as on:
        await to_outlines(on)
        await go_on(on)
        await on.press(*["down"] * 7, *["right"] * 45)
        assert "It stays:" in on.text
        assert corners(on).here.spots[0, 1] < 1060


async def test_back_and_forth_loses_nothing(tmp_path: Path) -> None:
    """Escape goes one page back; on the way forth everything is as it was left."""
    async with driving(begun(tmp_path)) as on:
        before = on.file.read_text()
        await to_outlines(on)
        await on.press("down", "down", "down")
        await on.answer("1")
        await on.press("down", "down", "enter")
        await on.press("right", "right")
        moved = corners(on).here.spots.copy()
        await on.press("enter", "escape", "escape")
        assert "Which outline is which" in on.text
        await on.press("escape")
        assert being_typed(on) == "outline.svg"
        await on.press("escape")
        assert on.file.read_text() == before
        await on.press("enter", *FROM_FILE_TO_CORNERS)
        assert "Seam allowance  1\n" in on.text
        await go_on(on)
        assert np.allclose(corners(on).here.spots, moved)


async def test_a_block_that_is_there_is_replaced_only_when_asked(tmp_path: Path) -> None:
    """The question names the old one; the backup and F5 have it."""
    session = example(tmp_path)
    shutil.copy(EXAMPLES / "outline.svg", tmp_path)
    old = session.project
    async with driving(session) as on:
        await on.press("f3", "3", "f7", "2", "enter")
        await on.type("outline.svg")
        await on.press(*FROM_FILE_TO_CORNERS)
        await go_on(on)
        await on.press("enter", "enter")
        assert "in the place of the block there is" in on.text
        await on.press("2")
        assert on.on_disk() == old
        await on.press("enter", "enter", "1")
        assert on.on_disk().block.outline
        assert on.on_disk().designs == old.designs
        assert load(backup_of(on.file)).block == old.block
        await on.press("f5")
        assert on.on_disk().block == old.block


async def test_a_drawing_without_a_unit_asks_for_it(tmp_path: Path) -> None:
    """A DXF whose header does not say its unit is read in the one that is chosen."""
    text = (EXAMPLES / "outline.dxf").read_text()
    bare = text.replace("$INSUNITS\n 70\n4\n", "$INSUNITS\n 70\n0\n")
    assert bare != text
    async with driving(begun(tmp_path)) as on:
        (tmp_path / "bare.dxf").write_text(bare.replace("Units: METRIC", ""))
        await to_outlines(on, "bare.dxf")
        assert "The unit of the drawing" in on.text
        await on.press("tab", "enter")
        assert "105.4 cm" in on.text


async def test_a_traced_block_shows_as_answered(tmp_path: Path) -> None:
    """Its heights stand in the form, no half width is asked for, and the step is done."""
    async with driving(begun(tmp_path)) as on:
        await to_outlines(on)
        await go_on(on)
        await on.press("enter", "enter", "enter")
        form = on.form
        assert form.page.states["block"].marker == "done"
        keys = [stop.id for stop in form.stops]
        assert not [key for key in keys if "seam" in key]
        crotch = form.page.stop("block.height.crotch")
        assert crotch is not None
        assert crotch.field is not None
        assert crotch.field.placeholder == "75.7 cm"  # the lower of the two crotch points
        pattern = [field.key for field in step_of("pattern").fields(on.on_disk())]
        assert {"allowance.waist", "allowance.crotch"} <= set(pattern)
        await on.press("f7")
        assert "Empty the block" in on.text
        await on.press("3", "enter")
        assert on.on_disk().block.outline == {}


async def test_who_may_only_look_brings_nothing_in(tmp_path: Path) -> None:
    """The buttons say who has the project."""
    first = begun(tmp_path)
    try:
        async with driving(Session.open(first.path)) as on:
            await on.press("shift+tab", "enter")
            assert "Look only" in on.text
    finally:
        first.close()


async def test_a_drawing_that_takes_long_is_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its page says so, Esc leads back to the name that was typed, and the reading ends."""
    ended = threading.Event()

    def endless(*_: object, going: Going, **__: object) -> None:
        try:
            while True:
                time.sleep(0.001)
                cancel.go_on(going)
        finally:
            ended.set()

    async with driving(begun(tmp_path)) as on:
        with monkeypatch.context() as patched:
            patched.setattr(import_flow, "read", endless)
            patched.setattr(slow_ask, "SOON", 0.1)
            await begin_reading(on)
            assert "The drawing is being read" in on.text
            await on.press("x", "enter")
            assert not ended.is_set()
            await on.press("escape")
            assert ended.wait(10)
        assert "Stopped; the drawing was not read" in on.text
        assert being_typed(on) == "outline.svg"
        await on.press("enter", "enter")
        assert "Which outline is which" in on.text


async def test_a_drawing_that_takes_a_while_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page that waits goes by itself."""
    held, read = threading.Event(), import_flow.read

    def slow(*given: Any, **more: Any) -> Any:
        held.wait(10)
        return read(*given, **more)

    monkeypatch.setattr(import_flow, "read", slow)
    monkeypatch.setattr(slow_ask, "SOON", 0.1)
    async with driving(begun(tmp_path)) as on:
        await begin_reading(on)
        assert "The drawing is being read" in on.text
        held.set()
        await until(on, "Which outline is which")


async def test_reading_again_in_another_scale_can_be_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A drawing that took long is not read before the answer is taken, and Esc leaves it as is."""

    def endless(*_: object, going: Going, **__: object) -> None:
        while True:
            time.sleep(0.001)
            cancel.go_on(going)

    monkeypatch.setattr(import_flow, "_SLOW", 0.0)
    async with driving(begun(tmp_path)) as on:
        await to_outlines(on)
        screen = on.app.screen
        assert isinstance(screen, OutlinesScreen)
        before = screen.drawing
        await on.press("pagedown", "up")
        with monkeypatch.context() as patched:
            patched.setattr(import_flow, "read", endless)
            patched.setattr(slow_ask, "SOON", 0.1)
            await on.press("right")
            assert "the front would be" not in on.text
            await on.press("enter")
            assert "The drawing is being read" in on.text
            await on.press("escape")
        assert "Stopped; the drawing was not read again" in on.text
        assert screen.drawing is before
        await on.press("enter")
        assert screen.drawing.said.scale == "72"
