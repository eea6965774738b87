"""The page as lines: wrapping, frames, forms, notes, keys and pictures, without a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from legtaper.files.project_file import read_project
from legtaper.files.store import load
from legtaper.model.project import Project
from legtaper.model.safe_text import columns
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.steps import LAST, STEPS, Note, answer, shows
from legtaper_wizard.tui.layout.form_lines import Layout, Looks, lay_out
from legtaper_wizard.tui.layout.frame import Box, Wants, frame
from legtaper_wizard.tui.layout.heading import rule, step_line, title_line
from legtaper_wizard.tui.layout.key_table import COMMANDS, key_line, keys_here
from legtaper_wizard.tui.layout.notes_panel import HintRoom, fitted, hint_lines, note_lines
from legtaper_wizard.tui.layout.picture import Room, View, picture_lines
from legtaper_wizard.tui.layout.plain_page import Means, Pose
from legtaper_wizard.tui.layout.screenful import Sight, assembled, follows, heads, middle
from legtaper_wizard.tui.layout.step_model import page_of
from legtaper_wizard.tui.layout.stop import Stop
from legtaper_wizard.tui.layout.styled_text import Line, cut, hang, joined, plain, put, width, wrap

COURIER = read_project(example_text("courier"))
TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z", "M"]), max_size=60)


def said(line: Line) -> str:
    """Return a line without its styles."""
    return "".join(text for text, _ in line)


def screen(project: Project, step_id: str, pose: Pose, means: Means) -> list[str]:
    """Return what the screen shows of a step."""
    page = page_of(project, step_id, LAST)
    sight = Sight(page, pose, means)
    parts = dict(heads(sight, "Saved"))
    parts.update(follows(sight))
    parts.update(middle(sight, len(parts["notes"]))[0])
    return [said(line).rstrip() for line in assembled(sight.boxes, parts)]


# --- lines -------------------------------------------------------------------------------------


@given(st.lists(TEXTS, max_size=8), st.integers(1, 30))
@settings(max_examples=60)
def test_wrapped_lines_fit_and_lose_nothing(words: list[str], room: int) -> None:
    """Every wrapped line fits where characters do, and no character is lost."""
    text = " ".join(words)
    lines = wrap(text, room)
    assert "".join(lines).replace(" ", "") == "".join(text.split())
    assert all(columns(line) <= room or len(line) == 1 for line in lines)


@given(st.lists(st.tuples(TEXTS, st.sampled_from(["", "dim"])), max_size=6), st.integers(3, 40))
@settings(max_examples=60)
def test_a_line_is_cut_to_its_room(runs: list[tuple[str, str]], room: int) -> None:
    """A cut line never takes more than its room, and says that it was cut."""
    line = tuple(runs)
    short = cut(line, room, "...")
    assert width(short) <= room
    assert short == line or said(short).endswith("...")


def test_text_is_put_at_its_column() -> None:
    """A text goes to its column, or right after what is there already."""
    assert said(put(put((), 2, "ab"), 6, "c")) == "  ab  c"
    assert said(put((("abcd", ""),), 2, "e")) == "abcde"


def test_later_lines_hang_below_the_first() -> None:
    """A note's later lines begin below its text."""
    lines = hang("[ok]", "one two three", 12)
    assert [said(line) for line in lines] == ["[ok] one two", "     three"]


def test_parts_are_joined_whole() -> None:
    """Parts stay whole; a line takes as many as fit."""
    assert joined(["F1 help", "F2 outline", "F3 steps"], 20) == ["F1 help  F2 outline", "F3 steps"]


# --- the frame ---------------------------------------------------------------------------------


@given(
    st.integers(1, 220), st.integers(1, 80), st.integers(0, 5), st.integers(1, 90), st.booleans()
)
@settings(max_examples=200)
def test_boxes_lie_on_the_screen_and_never_overlap(
    wide: int, tall: int, why: int, form: int, picture: bool
) -> None:
    """At every size each part lies on the screen, and no two share a cell."""
    boxes = frame(wide, tall, Wants(why, form), picture)
    seen = [box for box in boxes if box.width > 0 and box.height > 0]
    for box in seen:
        assert box.x >= 0
        assert box.y >= 0
        assert box.x + box.width <= wide
        assert box.y + box.height <= tall
    for one, other in combinations(seen, 2):
        assert not _overlap(one, other), (one, other)


def _overlap(one: Box, other: Box) -> bool:
    across = one.x < other.x + other.width and other.x < one.x + one.width
    return across and one.y < other.y + other.height and other.y < one.y + one.height


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.id)
@pytest.mark.parametrize("size", [(80, 24), (110, 30), (120, 40)])
def test_every_step_shows_its_parts(step: object, size: tuple[int, int]) -> None:
    """At 80 x 24 and above each step shows title, steps, reasons, questions, hints and keys."""
    step_id = step.id  # type: ignore[attr-defined]
    page = page_of(COURIER, step_id, LAST)
    means = Means(*size, ascii_only=False)
    lines = screen(COURIER, step_id, Pose(page.stops[0].id), means)
    assert len(lines) == size[1]
    assert all(columns(line) <= size[0] for line in lines)
    assert f"of 11: {page.step.title}" in lines[0]
    assert "[>]" in lines[1]
    assert page.step.why.split()[0] in lines[2]
    assert any(line.startswith("> ") for line in lines)
    assert "F10 quit" in lines[-1]


def test_the_outline_stands_beside_the_form_from_110_columns() -> None:
    """From 110 columns the outline is shown unasked; below, where the step is about the shape."""
    for step_id, wide, shown in (
        ("wearer", 110, True),
        ("wearer", 109, False),
        ("blend", 80, True),
    ):
        page = page_of(COURIER, step_id, LAST)
        boxes = Sight(page, Pose("x"), Means(wide, 30, ascii_only=False)).boxes
        assert (boxes.picture.width > 0) is shown


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
def test_ascii_only_means_ascii_only(size: tuple[int, int]) -> None:
    """With letters only, no step holds anything but ASCII, pictures and rules included."""
    means = Means(*size, ascii_only=True)
    for step in STEPS:
        page = page_of(COURIER, step.id, LAST)
        for stop in page.stops:
            assert "".join(screen(COURIER, step.id, Pose(stop.id), means)).isascii()


# --- heading -----------------------------------------------------------------------------------


def test_the_title_never_loses_what_is_saved() -> None:
    """A long name gives way; the step and the time of saving stay."""
    line = said(title_line("A very long name " * 9, "block", "Saved 14:02", 80))
    assert columns(line) == 80
    assert "Step 3 of 11: Block" in line
    assert line.endswith("Saved 14:02 ")


def test_states_have_signs_beside_colors() -> None:
    """Each step shows its state as a sign; names where they fit, else numbers."""
    page = page_of(Project("New"), "wearer", LAST)
    assert said(step_line("wearer", page.states, 80)).startswith(" [x]1 [>]Wearer [ ]3 [-]4")
    assert "[-]Test" in said(step_line("wearer", page.states, 120))


def test_a_rule_says_what_is_hidden() -> None:
    """A rule holds its words near the end, where there is room for them."""
    assert said(rule(20, "-", "2 more")) == "--------- 2 more ---"
    assert said(rule(6, "-", "2 more")) == "------"


# --- the form ----------------------------------------------------------------------------------


def test_the_block_is_a_table_where_there_is_room() -> None:
    """At 80 columns the block's numbers stand by level, edges across; narrower, in lists."""
    page = page_of(COURIER, "block", LAST)
    wide = [said(line) for line in lay_out(page.stops, Looks(80)).lines]
    hem = next(line for line in wide if line.startswith("  Hem"))
    assert " ".join(hem.split()) == "Hem 0 4 1/8 in 4 1/8 in 4 5/8 in 4 5/8 in"
    narrow = [said(line) for line in lay_out(page.stops, Looks(45)).lines]
    assert len(narrow) > 2 * len(wide)
    knee = narrow.index("Knee")  # row by row here, too
    assert narrow[knee + 1].split() == ["Height", "17", "in"]
    assert narrow[knee + 2].split() == ["Front", "outseam", "4", "5/8", "in"]


def test_a_refused_answer_is_explained_below_it() -> None:
    """The reason stands right below the question, wherever that is, and is scrolled into view."""
    page = page_of(COURIER, "block", LAST)
    key = "block.back.inseam.crotch"
    layout = lay_out(page.stops, Looks(80, key, "8 x", "x is no unit"))
    place = layout.places[key]
    assert "! x is no unit" in said(layout.lines[place.line + 1])
    top = layout.first_line(key, 0, 6)
    assert top <= place.line
    assert place.line + 1 < top + 6


def test_a_button_that_refuses_says_why_below_its_own_row() -> None:
    """Also where other buttons stand in further rows below it."""
    page = page_of(COURIER, "fitting", LAST)
    key = next(stop.id for stop in page.stops if stop.kind == "button")
    layout = lay_out(page.stops, Looks(40, key, refused="say first what you saw"))
    assert "! say first what you saw" in said(layout.lines[layout.places[key].line + 1])
    assert any(place.line > layout.places[key].line + 1 for place in layout.places.values())


def test_the_head_of_a_table_stays_while_it_scrolls() -> None:
    """Scrolled down in the table, its column titles still stand above."""
    page = page_of(COURIER, "block", LAST)
    layout = lay_out(page.stops, Looks(80, "block.height.hip"))
    top = layout.first_line("block.height.hip", 0, 6)
    shown = [said(line) for line in layout.shown(top, 6)]
    assert top > 0
    assert "outseam" in shown[1]
    assert any(line.startswith("> Hip") for line in shown)


@given(st.integers(1, 130), st.sampled_from([step.id for step in STEPS]))
@settings(max_examples=60)
def test_every_stop_has_a_place_at_every_width(wide: int, step_id: str) -> None:
    """However narrow, each stop of each step has a place in one of the lines."""
    page = page_of(COURIER, step_id, LAST)
    layout = lay_out(page.stops, Looks(wide))
    assert set(layout.places) == {stop.id for stop in page.stops}
    assert all(0 <= place.line < len(layout.lines) for place in layout.places.values())


def test_choices_show_what_is_chosen_without_color() -> None:
    """Options have text marks, and a draft shows before it is taken."""
    page = page_of(COURIER, "hem", LAST)
    key = "design.hem.style"
    lines = [said(line) for line in lay_out(page.stops, Looks(80, key, "faced")).lines]
    assert any("( ) double" in line for line in lines)
    assert any("(*) faced" in line for line in lines)


def test_marks_point_at_odd_numbers() -> None:
    """A number that is questioned has a mark at its place, and the note below says why."""
    table = COURIER.block
    odd = dict(table.reach["front_outseam"]) | {"knee": table.reach["back_inseam"]["crotch"]}
    project = replace(COURIER, block=replace(table, reach={**table.reach, "front_outseam": odd}))
    lines = screen(project, "block", Pose("block.label"), Means(80, 40, ascii_only=True))
    knee = next(line for line in lines if line.startswith("  Knee"))
    assert "?8 1/2 in" in knee
    assert any("Is it measured right" in line or "measured right?" in line for line in lines)


# --- notes and keys ----------------------------------------------------------------------------


def test_hidden_notes_are_counted() -> None:
    """Where notes do not fit, the end of the last line says how many more there are."""
    lines = [((f"note {i}", ""),) for i in range(9)]
    shown = [said(line) for line in fitted(lines, 30, 4)]
    assert len(shown) == 4
    assert shown[-1].startswith("note 3")
    assert shown[-1].endswith("F8: +5")
    assert fitted(lines, 30, 9) == lines
    widths = [
        plain("- a note"),
        plain("        Block  Now  Ease", "dim"),
        plain("Knee    19  17  2"),
    ]
    assert [said(line) for line in fitted(widths, 30, 2)] == ["- a note", "F8: 1 more"]
    assert fitted(lines, 30, 0) == []


def test_no_note_is_left_without_its_end() -> None:
    """One that would be cut makes way for the count; only one longer than all rows is cut.

    Counted is what F8 shows: notes, not their lines.
    """
    notes = [Note("number", "first"), Note("number", "a second one that takes three rows of ten")]
    lines = note_lines(notes, 20)
    assert len(lines) == 4
    assert [said(line) for line in fitted(lines, 20, 3)] == ["- first", "F8: 1 more"]
    assert [said(line) for line in fitted(lines[1:], 20, 2)][-1] == "F8: the rest"


def test_a_hint_is_never_left_without_its_end() -> None:
    """What is lost by skipping is said where there is room for both."""
    page = page_of(COURIER, "narrowing", LAST)
    stop = next(stop for stop in page.stops if stop.id.endswith("width.thigh"))
    stop = stop._replace(said="")
    for rows in (2, 3, 4, 5):
        text = " ".join(said(line).strip() for line in hint_lines(stop, "", (), HintRoom(45, rows)))
        assert text.endswith(".")
        assert "at the thigh" in text


def test_help_all_commands_and_quit_show_in_the_one_line_of_keys() -> None:
    """At 80 columns on every kind of stop; the other keys come in where there is room."""
    for step in ("wearer", "block", "narrowing", "blend", "pattern"):
        for stop in page_of(COURIER, step, LAST).stops:
            line = said(key_line(keys_here(stop, ("1/8 in", "1/32 in")), 80))
            assert line.rstrip().endswith("F10 quit"), line
            assert "F1 help" in line, line
            assert "Ctrl-P all commands" in line, line
            assert len(line) <= 80, line
    wide = said(key_line(keys_here(page_of(COURIER, "wearer", LAST).stops[0]), 200))
    for command in COMMANDS:
        if command.id not in ("next", "back", "redraw", "pause"):
            assert command.shown in wide, command


def test_the_key_that_mends_is_in_the_line_of_keys_where_there_is_something_to_mend() -> None:
    """The foot is larger than the hem; at the liked legs nothing fails."""
    for step, shows_it in (("foot", True), ("narrowing", True), ("liked", False)):
        page = page_of(COURIER, step, LAST)
        for stop in page.stops:
            lines = screen(COURIER, step, Pose(stop.id), Means(80, 24, ascii_only=True))
            assert ("F11 mend" in lines[-1]) == shows_it, (step, stop.id, lines[-1])
            assert lines[-1].endswith("F10 quit")


def test_the_way_on_is_named_as_the_step_it_leads_to() -> None:
    """Without a block its test waits, so the button leads past it, and says so."""
    stops = {stop.id: stop.label for stop in page_of(Project("x"), "block", LAST).stops}
    assert stops["next"] == "Next: Legs you like"
    done = {stop.id: stop.label for stop in page_of(COURIER, "block", LAST).stops}
    assert done["next"] == "Next: Test of the block"
    assert "back" not in {stop.id for stop in page_of(COURIER, "project", LAST).stops}


def test_how_to_answer_takes_at_most_two_rows() -> None:
    """At 80 columns, of every question in either unit."""
    for name in ("courier", "weekend", "knit"):
        project = read_project(example_text(name))
        for step in STEPS:
            for field in step.fields(project, LAST):
                assert len(wrap(field.how, 78)) <= 2, (field.key, field.how)


def test_a_refusal_alone_names_the_range() -> None:
    """What the note beside the question says of it is left out while an answer is refused."""
    key = "design.blend.outseam"
    refused = Pose(key, "45", refused="above 37 1/2 in the outseam cannot blend")
    lines = screen(COURIER, "blend", refused, Means(80, 24, ascii_only=True))
    assert "can be above" in " ".join(screen(COURIER, "blend", Pose(key), Means(80, 24, True)))
    assert "can be above" not in " ".join(lines)


def test_every_command_has_its_own_keys() -> None:
    """No key is given twice, and none is one that terminals or the input keep for themselves."""
    keys = [key for command in COMMANDS for key in (command.key, command.also) if key]
    assert len(set(keys)) == len(keys)
    assert not {f"ctrl+{c}" for c in "sqmihaeukwdxcvb"} & set(keys)


# --- pictures ----------------------------------------------------------------------------------


def test_the_outline_grows_as_numbers_arrive() -> None:
    """Without numbers it says so; heights bring grainlines, reaches bring seams."""
    room = Room(34, 16, ascii_only=True)
    empty = Project("New")
    assert "grows here" in " ".join(said(line) for line in picture_lines(empty, LAST, "both", room))
    table = replace(COURIER.block, reach={})
    heights = replace(empty, block=table)
    before = "".join(said(line) for line in picture_lines(heights, LAST, "both", room))
    one = replace(table, reach={"front_outseam": COURIER.block.reach["front_outseam"]})
    after = picture_lines(replace(empty, block=one), LAST, "both", room)
    assert "#" not in before
    assert "#" in "".join(said(line) for line in after)


@pytest.mark.parametrize("view", ["close", "both", "front", "back"])
def test_a_picture_fills_exactly_its_rows(view: View) -> None:
    """Picture and caption take the rows there are, at any size that is worth drawing."""
    for wide, tall in ((34, 17), (42, 33), (12, 6)):
        lines = picture_lines(COURIER, LAST, view, Room(wide, tall, ascii_only=False))
        assert len(lines) == tall
        assert all(width(line) <= wide for line in lines)


def test_a_traced_block_is_drawn_at_every_step(tmp_path: Path) -> None:
    """A block that came from a drawing, its hem slanting, shows in every step and picture."""
    file = tmp_path / "traced.toml"
    drawing = Path(__file__).parents[2] / "examples" / "outline.svg"
    both = ("--front", "front", "--back", "back", "--unit", "cm", "hip=86cm")
    begun = CliRunner().invoke(main, ["begin", str(file), "--from-svg", str(drawing), *both])
    assert begun.exit_code == 0, begun.output
    project = answer(load(file), "design.take_in.hem", "1,5 cm")
    for step in STEPS:
        pose = Pose(page_of(project, step.id, LAST).stops[0].id)
        for size in ((80, 24), (120, 40)):
            lines = screen(project, step.id, pose, Means(*size, ascii_only=True))
            assert len(lines) == size[1]
    for view in ("close", "both"):
        lines = [said(row) for row in picture_lines(project, LAST, view, Room(42, 30, True))]
        assert sum("#" in line for line in lines) > 10


def test_old_and_new_differ_by_pattern() -> None:
    """The old line and the new one are drawn with different characters where letters must do."""
    lines = picture_lines(COURIER, LAST, "front", Room(34, 30, ascii_only=True))
    runs = [run for line in lines[:-3] for run in line]
    assert {style for text, style in runs if "." in text} >= {"old"}
    assert {style for text, style in runs if "#" in text} == {"new"}


def test_the_hem_mirrors_about_the_fold() -> None:
    """Close up, the fold-up widens downwards from the hem line as the leg does upwards."""
    lines = [said(line) for line in picture_lines(COURIER, LAST, "close", Room(42, 30, True))]
    rows = {i: (line.find("#"), line.rfind("#")) for i, line in enumerate(lines) if "#" in line}
    hem = next(i for i, line in enumerate(lines) if line.startswith("hem line"))
    spread = {i: right - left for i, (left, right) in rows.items() if "Front" not in lines[i]}
    for off in range(1, min(hem - min(spread), max(spread) - hem)):
        assert abs(spread[hem - off] - spread[hem + off]) <= 2
    assert spread[min(spread)] > spread[hem]


def test_a_long_hint_takes_the_rows_that_the_notes_leave_empty() -> None:
    """Where there is room below, how to measure and what stays unknown are told to their end."""
    project = Project("Trial")
    lines = screen(project, "wearer", Pose("wearer.high_hip"), Means(80, 24, ascii_only=False))
    shown = " ".join(" ".join(lines).split())
    assert "4 in below the waist. Tape level, close but not pulled." in shown
    assert "whether the leg hangs from hip or high hip is read from the block." in shown
    assert len(lines) == 24


def test_a_page_is_laid_out_once_for_a_draw(monkeypatch: pytest.MonkeyPatch) -> None:
    """Heads, form, notes and boxes of one draw share the layout of the form."""
    laid: list[int] = []

    def counted(stops: Sequence[Stop], looks: Looks) -> Layout:
        laid.append(looks.width)
        return lay_out(stops, looks)

    monkeypatch.setattr("legtaper_wizard.tui.layout.screenful.lay_out", counted)
    for step in STEPS:
        laid.clear()
        screen(COURIER, step.id, Pose("x"), Means(120, 40, ascii_only=False))
        assert len(laid) == 1, step.id


@pytest.mark.parametrize("room", range(12, 40))
def test_a_length_is_never_broken_over_the_end_of_a_line(room: int) -> None:
    """Whole inches, fraction and unit stay together, as 10 | 1/4 in would read as 1/4 in."""
    lines = wrap("the curve is 10 1/4 in long, at most 18 1/2 in, or 2.5 cm (12 mm).", room)
    for length in ("10 1/4 in", "18 1/2 in", "2.5 cm", "(12 mm)"):
        assert sum(length in line for line in lines) == 1


def test_what_is_ok_is_counted_where_it_is_not_the_question() -> None:
    """Many checks that are OK take one line; the step of the foot says what is OK in full."""

    def notes(step_id: str) -> str:
        sight = Sight(page_of(COURIER, step_id, LAST), Pose("x"), Means(80, 60, ascii_only=True))
        return "\n".join(said(line) for line in follows(sight)["notes"])

    good = [note for note in shows(COURIER, "pattern") if note.kind == "good"]
    assert len(good) > 5
    assert f"[OK] {len(good)} checks OK." in notes("pattern")
    assert "[OK] The slit is" in notes("foot")


def test_both_panels_are_drawn_on_a_small_screen() -> None:
    """Where the leg is narrowed, front and back stand beside the questions at 80 columns."""
    for step_id in ("narrowing", "blend", "foot"):
        small = Sight(page_of(COURIER, step_id, LAST), Pose("x"), Means(80, 24, ascii_only=True))
        assert small.view == "both"


def test_the_arrow_keys_are_not_offered_where_they_edit_a_refused_answer() -> None:
    """A step up or down is for what stands there taken."""
    key = "design.blend.outseam"
    for refused, offered in (("", True), ("above 37 1/2 in", False)):
        pose = Pose(key, "45" if refused else None, refused=refused)
        keys = screen(COURIER, "blend", pose, Means(80, 24, ascii_only=True))[-1]
        assert ("Left/Right 1/4 in" in keys) is offered
