"""The tables of the form: one order, and arrow keys that go from cell to cell."""

from __future__ import annotations

from pathlib import Path

import pytest
from app_driver import driving, example, fresh, go_to

from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.session import Session
from legtaper_wizard.tui.widgets.answer_line import AnswerLine

_BLOCK_CELLS = (
    "block.front.outseam.hem", "block.front.inseam.hem", "block.back.outseam.hem",
    "block.back.inseam.hem", "block.height.calf", "block.front.outseam.calf",
)  # fmt: skip
pytestmark = pytest.mark.usefixtures("new_account")


@pytest.mark.parametrize(
    ("step", "way", "says", "cells"),
    [
        ("3", "enter", "row by row, from the hem up", _BLOCK_CELLS),
        ("3", "tab", "row by row, from the hem up", _BLOCK_CELLS),
        ("6", "tab", "Right: take off",
         ("design.width.thigh", "design.take_in.thigh", "design.back_room.calf")),
        ("6", "enter", "Enter: next level", ("design.width.thigh", "design.back_room.calf")),
    ],
)  # fmt: skip
async def test_every_table_goes_row_by_row(
    tmp_path: Path, step: str, way: str, says: str, cells: tuple[str, ...]
) -> None:
    """Enter and Tab go through each row from the left, and through the rows from the hem up."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", step)
        await on.press(*["shift+tab"] * 40)
        while on.here != cells[0]:
            await on.press("tab")
        assert says in on.text
        for cell in cells:
            assert on.here == cell
            await on.press(way)


async def test_enter_on_an_empty_width_leaves_the_level_as_it_is(tmp_path: Path) -> None:
    """At the hem, where something is to be said, the other way of saying it is asked next.

    Above it the next level follows, also where an answer is taken away; Right goes across.
    """
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "6")
        await go_to(on, "design.width.calf")
        await on.press("ctrl+u", "enter")
        assert on.here == "design.width.knee"
        await on.press("ctrl+u", "enter")
        assert on.here == "design.width.thigh"
        await on.press("right")
        assert on.here == "design.take_in.thigh"
        await on.answer("1/8")
        await go_to(on, "design.width.hem")
        await on.press("ctrl+u", "enter")
        assert on.here == "design.take_in.hem"
        await on.press("enter")
        assert on.here == "design.width.calf"
        kept = on.on_disk().designs[-1]
        assert (set(kept.width), set(kept.take_in)) == (set(), {"thigh"})


async def test_enter_passes_what_is_answered_in_another_way(tmp_path: Path) -> None:
    """Where the width is typed nothing is to be taken off beside it; Tab and arrows go there."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "6")
        await go_to(on, "design.width.knee")
        await on.answer("17 1/2")
        assert on.here == "design.width.thigh"
        await on.press("shift+tab")
        assert on.here == "design.take_in.knee"
    async with driving(fresh(tmp_path)) as on:
        await on.press("f3", "3")
        await go_to(on, "block.height.knee")
        await on.press("enter")
        assert on.here == "block.front.outseam.knee"  # no height is passed by yet
        await go_to(on, "block.height.crotch")
        await on.answer("30")
        await go_to(on, "block.height.knee")
        await on.press("enter")
        assert on.here == "block.height.thigh"


async def test_pinches_go_row_by_row(tmp_path: Path) -> None:
    """In the table of the fitting, too: outseam and inseam of a level, then the level above."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        pinched = [stop.id for stop in on.form.stops if stop.id.startswith("round.pinch")]
        assert [cell.removeprefix("round.pinch.") for cell in pinched[:4]] == [
            "outseam.hem", "inseam.hem", "outseam.calf", "inseam.calf",
        ]  # fmt: skip


async def test_arrow_keys_go_from_cell_to_cell(tmp_path: Path) -> None:
    """Left and Right go to the cell beside, Up and Down stay in the column."""
    async with driving(example(tmp_path)) as on:
        before = on.on_disk()
        await on.press("f3", "3", "down", "down", "right")
        assert on.here == "block.front.inseam.hem"
        await on.press("down", "down")
        assert on.here == "block.front.inseam.knee"
        await on.press("left", "left")
        assert on.here == "block.height.knee"
        await on.press("left")
        assert on.here == "block.height.knee"
        assert on.on_disk() == before


async def test_an_arrow_key_at_the_end_of_the_text_leaves_the_cell(tmp_path: Path) -> None:
    """Within what is typed Left and Right move; past its end they take it and go on."""
    async with driving(fresh(tmp_path)) as on:
        await on.press("pagedown")
        await on.press("down")
        await on.type("4 2")
        await on.press("left")
        assert on.here == "block.front.outseam.hem"
        await on.type("1/")
        await on.press("end", "right")
        assert on.here == "block.front.inseam.hem"
        assert on.on_disk().block.reach["front_outseam"]["hem"].text == "4 1/2 in"


async def test_up_from_the_buttons_comes_to_the_first_cell_of_the_last_row(tmp_path: Path) -> None:
    """And not to the last column, which ends further down or up."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "3")
        while on.here != "next":
            await on.press("tab")
        await on.press("up")
        assert on.here == "block.height.high_hip"


async def test_enter_goes_down_the_column_of_a_liked_leg(tmp_path: Path) -> None:
    """The whole leg is measured from the hem up; Tab still goes to the panels beside it."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "5", *["shift+tab"] * 40)
        while on.here != "liked.0.width.hem":
            await on.press("tab")
        assert "down a column, from the hem up" in on.text
        for level in ("hem", "calf", "knee", "thigh"):
            assert on.here == f"liked.0.width.{level}"
            await on.press("enter")
        assert on.here == "next"
        while on.here != "liked.0.width.hem":
            await on.press("shift+tab")
        await on.press("tab")
        assert on.here == "liked.0.front_width.hem"


async def test_the_back_of_a_liked_leg_follows_its_front(tmp_path: Path) -> None:
    """Enter goes down the front, then to the head of the back; whole legs have nothing behind."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "5")
        for key, after in (("front_width", "liked.0.back_width.hem"), ("width", "next")):
            cells = [s.id for s in on.form.stops if s.id.startswith(f"liked.0.{key}.")]
            on.form.go(cells[0])
            for cell in cells:
                assert on.here == cell
                await on.press("enter")
            assert on.here == after


async def test_a_length_that_just_fits_its_cell_is_shown_whole(tmp_path: Path) -> None:
    """Beside the picture, with a third column of answers; what is typed replaces it."""
    extra = 'knee = "16 1/2 in"\n[design.extra.outseam]\nknee = "1/8 in"\n'
    text = example_text("courier").replace(
        'knee = "17 in"\n[design.blend]\n', f"{extra}[design.blend]\n"
    )
    file = tmp_path / "mine.toml"
    file.write_text(text, encoding="utf-8")
    async with driving(Session.open(file)) as on:
        await on.press("f3", "6")
        on.form.go("design.width.knee")
        await on.settle()
        line = on.app.screen.query_one(AnswerLine)
        assert (line.value, line.size.width) == ("16 1/2 in", 9)
        assert line.cursor_position == 0  # behind the end it would push the first figure out
        assert "…" not in "".join(row[:45] for row in on.text.splitlines()[6:12])
        await on.press("1", "7", "enter")
        assert on.on_disk().designs[1].width["knee"].text == "17 in"


async def test_a_row_with_too_many_answers_is_refused_in_its_cell(tmp_path: Path) -> None:
    """It says how many there is room for, and takes none."""
    async with driving(example(tmp_path)) as on:
        before = on.on_disk()
        await on.press("f3", "3")
        on.form.go("block.height.hip")
        await on.answer("30 5 3/4 7 6 3/8 8 3/4")
        assert "5 lengths are typed; from here on the row takes 3" in " ".join(on.text.split())
        assert on.here == "block.height.hip"
        assert on.on_disk() == before


async def test_down_and_up_go_row_by_row(tmp_path: Path) -> None:
    """Down leaves a row of buttons for the next one, Right and Left go along it."""
    async with driving(fresh(tmp_path)) as on:
        await on.press("f3", "3")
        await on.press("up")
        drafted = on.here
        await on.press("right", "right")
        assert on.here not in (drafted, "block.label")
        await on.press("left")
        assert on.here == drafted
        await on.press("down")
        assert on.here == "block.label"


async def test_up_passes_no_row_of_the_block(tmp_path: Path) -> None:
    """A row that has no cell in a column is met at its nearest, and the column is kept to."""
    levels = ("hem", "calf", "knee", "thigh", "crotch", "hip")
    async with driving(fresh(tmp_path)) as on:
        await on.press("f3", "3", "down", "right")
        seen = [on.here]
        for _ in levels[1:]:
            await on.press("down")
            seen.append(on.here)
        assert [key.rpartition(".")[2] for key in seen] == list(levels)
        back = []
        for _ in levels[1:]:
            await on.press("up")
            back.append(on.here)
        assert back == seen[-2::-1]


async def test_a_column_is_forgotten_where_undo_leads_elsewhere(tmp_path: Path) -> None:
    """Down the column of the take-ins, then back to a width: Up goes on from there."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "6")
        while on.here != "design.width.knee":
            await on.press("tab")
        await on.answer("17 1/2")
        await on.press("down", "up", "right", "up", "down")
        assert on.here.startswith("design.take_in.")
        await on.press("f5")
        assert on.here == "design.width.knee"
        await on.press("up")
        assert on.here == "design.width.calf"


async def test_a_column_is_forgotten_in_another_step(tmp_path: Path) -> None:
    """Down a column of the back, then to another step and back: Down begins at the left."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "3", "tab", "tab")
        await on.press("right", "right", "down")
        assert ".back." in on.here
        await on.press("pageup")
        await on.press("pagedown")
        first = on.here
        await on.press("down", "down")
        assert ".back." not in on.here, first


async def test_the_block_says_that_a_row_may_be_typed_at_once(tmp_path: Path) -> None:
    """At the first cell of a row, in the project's unit, and what it shows is taken."""
    async with driving(fresh(tmp_path)) as on:
        await on.press("f3", "3")
        await go_to(on, "block.front.outseam.hem")
        says = "The whole row may be typed at once: "
        (row,) = [line for line in on.text.splitlines() if says in line]
        typed = row.partition(says)[2].rstrip(". ")
        await on.answer(typed)
        assert on.here == "block.height.calf"
        said = [edge["hem"].text for edge in on.on_disk().block.reach.values()]
        assert said == ["4 5/8 in", "4 5/8 in", "5 1/8 in", "5 1/8 in"]
        await on.pilot.resize_terminal(80, 30)
        await on.pilot.pause()
        assert "at once, its height first." in on.text
        await on.press("up", "right")
        assert (on.here, "at once" in on.text) == ("block.front.inseam.hem", False)


async def test_no_cell_of_the_block_vanishes_while_its_heights_are_typed(tmp_path: Path) -> None:
    """Every cell that is shown stays, those of a level that is passed by, too; none is a trap."""
    async with driving(fresh(tmp_path)) as on:
        await on.press("f3", "3")
        shown = {stop.id for stop in on.form.stops if stop.kind == "question"}
        assert "block.front.outseam.knee" in shown
        for level, height in (("calf", "10"), ("crotch", "30"), ("hip", "38")):
            await go_to(on, f"block.height.{level}")
            await on.answer(height)
            assert shown <= {stop.id for stop in on.form.stops}
        await go_to(on, "block.front.outseam.knee")
        await on.answer("4 7/8")
        assert on.on_disk().block.reach["front_outseam"]["knee"].text == "4 7/8 in"
        await on.press("f8")
        assert "Still missing: knee height" in on.text


async def test_rows_hidden_above_are_told_beside_the_picture_too(tmp_path: Path) -> None:
    """Where the order of the cells leaves no room for both, what is hidden goes before it."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "6")
        assert "more above" not in on.text
        await on.press(*["down"] * 6)
        top = on.form.pose.top
        assert top > 0
        assert f" {top} more above " in on.text
