"""Muslin rounds in the wizard, by keyboard: what is on disk first, then what is shown."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from app_driver import Driver, driving, example, go_to
from pypdf import PdfReader

from legtaper.files.project_file import read_project, write_project
from legtaper.files.recent import remember
from legtaper.files.store import load
from legtaper.model.lengths import parse_length
from legtaper.model.project import Pinch, Project, Round
from legtaper.muslin.log import current, mark_printed
from legtaper.muslin.sewn_as import sewn_as
from legtaper.pattern import block_of, fit_design
from legtaper_wizard.flow import open_project as opening
from legtaper_wizard.flow import steps
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.session import Session
from legtaper_wizard.terminal import Look
from legtaper_wizard.tui.screens.reader_screen import Pick

pytestmark = pytest.mark.usefixtures("new_account")

TODAY = date.today()
ASCII = Look(ascii_only=True, braille=False, color="none", plain=False)


def round_leg(project: Project, level: str) -> float:
    """Return how wide the current design is around the leg at a level, in inches."""
    return fit_design(project, current(project), block_of(project)).taper.finished[level] / 25.4


def inches(value: float) -> object:
    """Return a value in inches, to what four decimals say around the leg."""
    return pytest.approx(value, abs=0.01 / 25.4)


def taken(project: Project, edge: str, level: str) -> float:
    """Return what the current design takes off an edge at a level, in inches."""
    tapered = fit_design(project, current(project), block_of(project)).taper
    return tapered.taken(edge, level) / 25.4  # type: ignore[arg-type]


async def pinch(on: Driver, seam: str, level: str, depth: str) -> None:
    """Type what was pinched into its cell."""
    await go_to(on, f"round.pinch.{seam}.{level}")
    await on.answer(depth)


async def choose(on: Driver, words: str) -> None:
    """Choose from what else can be done, by the number that stands before it."""
    await on.press("f7")
    row = next(line for line in on.text.splitlines() if line.endswith(words))
    await on.press(*row.replace(">", " ").split()[0])
    if isinstance(on.app.screen, Pick):
        await on.press("enter")  # where something can be removed a number only leads there


async def judge(on: Driver, letter: str, next_one: str = "") -> None:
    """Give the verdict by its first letter, and press the button of a next design."""
    await go_to(on, "round.verdict")
    await on.press(letter, "enter")
    if next_one:
        await go_to(on, next_one)
        await on.press("enter")


async def first_round(on: Driver) -> None:
    """Print, try on and write down round 2: sewn as designed, it binds at the knee."""
    await on.press("pagedown", "f9", *["tab"] * 5, "enter")
    await on.app.workers.wait_for_complete()
    await on.pilot.pause()
    await on.press("enter")
    project = on.on_disk()
    printed = Round(
        "slim taper",
        printed=TODAY,
        fingerprint=block_of(project).fingerprint,
        design_fingerprint=sewn_as(project, block_of(project), project.design("slim taper")),
    )
    assert on.on_disk().rounds[1] == printed
    assert "The test counts as printed today." in on.text
    assert (on.step, on.here) == ("fitting", "write")  # an Enter too many does not try it on
    await on.press(*["shift+tab"] * 20)
    await on.press("enter")  # "not yet", as it was printed today
    assert on.on_disk().rounds[1] == printed
    await on.press("up")
    await on.answer("today")
    await on.press("enter", "w", "enter", "t", "enter", "enter", "enter")
    await on.answer("binds on the pedals")
    await pinch(on, "outseam", "knee", "-1/4 in")
    await on.press("f8")
    assert "The knee is 17 1/2 in around the leg, before 17 in." in on.text
    await on.press("escape")
    await judge(on, "t", "next-even")
    assert on.on_disk().rounds[1] == replace(
        printed, date=TODAY, seen=("stand",), trouble=("bend the knee",), verdict="too far",
        notes="binds on the pedals", pinches=on.on_disk().rounds[1].pinches,
    )  # fmt: skip


async def test_f9_twice_writes_the_test_as_it_is_meant_unasked(tmp_path: Path) -> None:
    """What is typed counts, too; the page names the key."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown", "f9")
        assert "F9 write" in on.text.splitlines()[-1]
        await on.press(*["tab"] * 4)
        await on.type("mine")
        await on.press("f9")
        await on.worked()
        await on.press("enter")
        assert "The test counts as printed today." in on.text
    assert [file.name for file in tmp_path.glob("*.pdf")] == ["mine.pdf"]


async def test_the_next_test_is_written_as_the_one_before(tmp_path: Path) -> None:
    """Its answers are proposed again, under a name that is free; the real pattern has its own."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown", "f9", "tab", "tab")
        await on.answer("a0")
        await on.press("f9")
        await on.worked()
        await on.press("enter", "up")
        await on.answer("today")
        await pinch(on, "outseam", "knee", "1/4")
        await judge(on, "t", "next-even")
        for number in (3, 4):
            await on.press("f9", "f9")
            await on.worked()
            await on.press("enter")
            assert "The test counts as printed today." in on.text
            assert len(on.on_disk().rounds) == 3
            if number == 3:
                await on.press("f3", "6")  # wherever it is written from
                await go_to(on, "design.width.knee")
                await on.answer("16 3/4")
        await on.press("f3", "1", "1")
        await go_to(on, "round.date")
        await on.answer("today")
        await judge(on, "d")
        await on.press("f9", "f9")
        assert "are there already" not in on.text
        await on.worked()
        await on.press("enter")
    stem = "courier-trousers-invented-example-slim-taper"
    assert (tmp_path / f"{stem}-2.pdf").exists()
    written = sorted(tmp_path.glob("*-test*.pdf"))
    assert [file.name for file in written] == [
        f"{stem}-2-test-2.pdf",
        f"{stem}-2-test.pdf",
        f"{stem}-test.pdf",
    ]
    sizes = [sorted(map(float, PdfReader(file).pages[-1].mediabox[2:])) for file in written]
    assert sizes == [pytest.approx([841 * 72 / 25.4, 1189 * 72 / 25.4], abs=1)] * 3  # ISO 216 A0


async def test_one_leg_written_where_a_test_is_due_says_so_on_page_and_screen(
    tmp_path: Path,
) -> None:
    """Round 2 is not begun by it, and neither screen nor paper says that it was."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown", "f9", "tab")
        await on.press("n", *["tab"] * 4, "enter")
        await on.worked()
        await on.press("enter")
        assert "the test of round 2 takes both legs." in " ".join(on.text.split())
        assert "round 2 not yet printed" in on.text
        assert len(on.on_disk().rounds) == 1
    (file,) = tmp_path.glob("*.pdf")
    words = "".join(page.extract_text() for page in PdfReader(file).pages)
    assert "Not tried on yet" in words
    assert "round 2" not in words.lower()


def test_what_a_next_design_would_not_do_well_says_of_which_design_it_is() -> None:
    """It comes before all else on a page, above the line that says what the next one would be."""
    project = read_project(example_text("courier"))
    answers = {"printed": "today", "date": "today", "pinch.outseam.knee": "1"}
    for key, text in answers.items():
        project = steps.answer(project, f"round.{key}", text)
    notes = steps.shows(project, "fitting")
    (fails,) = {note.text.partition(":")[0] for note in notes if note.kind == "fail"}
    assert fails == 'In "slim taper 2"'
    (warns,) = {note.text.partition(":")[0] for note in notes if note.kind == "caution"}
    assert warns == 'In "slim taper 2", as pinched'


async def test_three_rounds_end_in_the_widths_that_hand_arithmetic_gives(tmp_path: Path) -> None:
    """From the slim taper, 12 in at the hem, 15 1/2 at the calf and 17 at the knee, to done.

    The example has one round of another design already, so the first one here is round 2.
    """
    async with driving(example(tmp_path)) as on:
        # Both legs are written from the fitting step, and so the test counts as printed.
        await first_round(on)
        project = on.on_disk()
        # Work goes on with the new design, which was made from that round.
        assert on.step == "narrowing"
        assert "slim taper 2" in on.text
        assert (current(project).name, current(project).from_round) == ("slim taper 2", 2)
        # Let out 1/4 in on two edges is 1/2 in round the leg, spread over all four:
        # 17 + 2 * 1/4 = 17 1/2, and of the block's 19 1/2 that leaves (19 1/2 - 17 1/2) / 4 = 1/2.
        assert round_leg(project, "knee") == inches(17.5)
        assert taken(project, "front_inseam", "knee") == inches(0.5)
        assert taken(project, "back_outseam", "knee") == inches(0.5)
        assert round_leg(project, "hem") == inches(12)

        # Round 3, marked out by ruler: the ankle could be closer, and the calf at the outseam.
        await on.press("f3", "1", "1")
        await on.answer("today", "today")
        assert len(on.on_disk().rounds) == 3
        await pinch(on, "outseam", "hem", "1/16")
        await pinch(on, "inseam", "hem", "1/16")
        await pinch(on, "outseam", "calf", "1/8")
        await judge(on, "c", "next-pinched")
        project = on.on_disk()
        # Hem: 12 - 2 * 1/16 - 2 * 1/16 = 11 3/4. Calf: 15 1/2 - 2 * 1/8 = 15 1/4. Knee: as it was.
        assert current(project).name == "slim taper 3"
        assert round_leg(project, "hem") == inches(11.75)
        assert round_leg(project, "calf") == inches(15.25)
        assert round_leg(project, "knee") == inches(17.5)

        # Round 4: it is done, and that is what an export means.
        await on.press("f3", "1", "1")
        await on.answer("today", "today")
        await judge(on, "d")
        assert 'done: "slim taper 3", accepted in round 4' in on.text
        assert current(on.on_disk()).name == "slim taper 3"

        # Gone back to round 2 and forward again: nothing was lost.
        done = on.on_disk()
        await choose(on, "Go back to an earlier round")
        await on.answer("2")
        assert current(on.on_disk()).name == "slim taper"
        await on.press("f5")
        assert on.on_disk() == done


async def test_a_sign_written_down_leads_to_its_first_open_question(tmp_path: Path) -> None:
    """Which leg shows it, where that was passed over, then at which level; else she stays."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        await go_to(on, "write")
        await choose(on, "Write down what you see")
        await on.type("foot goes")
        await on.press("enter", "tab", "enter")
        assert "Done: Write down what you see" in on.text
        assert on.here == "round.sign.1.where"
        await go_to(on, "write")
        await choose(on, "Write down what you see")
        await on.type("lines that run")
        await on.press("enter", "1", "enter", "enter")
        assert on.here == "round.sign.2.level"


async def test_a_fitting_is_left_in_the_middle_and_taken_up_again(tmp_path: Path) -> None:
    """Every answer is on disk when it is taken, and work goes on at the pinch where it was left."""
    session = example(tmp_path)
    async with driving(session) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        await pinch(on, "outseam", "knee", "1/4")
        await on.press("f10")
    async with driving(Session.open(session.path)) as on:
        assert on.step == "fitting"
        assert on.here.startswith("round.pinch.")  # where she was
        await on.press(*["up"] * 20)
        await pinch(on, "outseam", "knee", "3/8")
        assert [p.depth.text for p in on.on_disk().rounds[-1].pinches] == ["3/8 in"]
        await on.press("up")
        await go_to(on, "round.pinch.outseam.knee")
        await on.press("backspace", "enter")
        assert on.on_disk().rounds[-1].pinches == ()


@pytest.mark.parametrize(
    ("stop", "typed", "says"),
    [
        ("round.date", "2026-13-01", "is not in the calendar"),
        ("round.pinch.outseam.hem", "quarter", '! "quarter"'),
        ("round.pinch.outseam.hem", "0", "is nothing"),
        ("round.pinch.inseam.knee", "40 in", "40 in"),
    ],
)
async def test_a_slip_is_said_beside_its_question(
    tmp_path: Path, stop: str, typed: str, says: str
) -> None:
    """What cannot be an answer changes nothing, and the cursor stays with what was typed."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today")
        before = on.on_disk()
        await go_to(on, stop)
        await on.answer(typed)
        assert says in " ".join(on.text.split())
        assert on.here == stop
        assert on.on_disk() == before


async def test_a_round_that_is_not_there_cannot_be_gone_back_to(tmp_path: Path) -> None:
    """The number is asked for again, with those that there are."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown", "f7", "1")
        await on.answer("9")
        await on.press("enter")
        assert "write a number from 1 to 1" in on.text
        await on.press("up", "ctrl+u", "1", "enter", "enter")
        assert current(on.on_disk()).name == "easy taper"


async def test_rounds_of_an_older_block_are_marked(tmp_path: Path) -> None:
    """The step wants attention and says what to sew again; printed again it is of this block."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        await on.press("f3", "3", "tab", "tab", *"10.25", "enter", "enter", "f3", "1", "1")
        assert "The block has changed since" in " ".join(on.text.split())
        assert '"slim taper" once more' in " ".join(on.text.split())
        assert on.form.page.states["fitting"].marker == "attention"
        old = on.on_disk().rounds[-1].fingerprint
        await choose(on, "Mark its test as printed once more, today")
        assert len(on.on_disk().rounds) == 3
        assert on.on_disk().rounds[-1].fingerprint not in ("", old)
        assert on.form.page.states["fitting"].marker == "open"


async def test_a_test_printed_again_the_same_day_is_of_the_changed_block(tmp_path: Path) -> None:
    """Printed, then the block changes, then printed again before it was tried on: one round."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today")
        await on.press("f3", "3", "tab", "tab", *"10.25", "enter", "enter", "f3", "1", "1")
        await choose(on, "Mark its test as printed once more, today")
        project = on.on_disk()
        assert len(project.rounds) == 2
        assert project.rounds[1].fingerprint == block_of(project).fingerprint


async def test_a_design_that_was_sewn_warns_before_it_is_changed(tmp_path: Path) -> None:
    """Where the widths are asked for, it says in which round they were tried on."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        await on.press("f3", "6", "f8")
        assert "This design was tried on in round 2." in on.text
        await on.press("escape")
        await on.type("14")
        assert "this changes what round 2" in on.text


async def test_an_accepted_design_that_is_changed_is_to_be_sewn_again(tmp_path: Path) -> None:
    """The step says so, F9 there writes the test once more, and undo brings the verdict back."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        await judge(on, "d")
        assert on.form.page.states["fitting"].marker == "done"
        await on.press("f3", "6")
        await go_to(on, "design.width.hem")
        await on.type("11 1/2")
        assert "round 2 accepted;" in on.text
        await on.press("enter")
        assert "This design has changed since" in on.text
        await on.press("f3", "1", "1")
        said = " ".join(on.text.split())
        assert '"slim taper" has changed since round 2; sew it once more.' in said
        assert on.form.page.states["fitting"].marker == "attention"
        await on.press("f8")
        said = " ".join(on.text.split())
        assert "the design has changed since" in said
        assert "sew the test once more" in said
        assert "cut the real fabric" not in said
        await on.press("escape", "f9", "f9")
        await on.worked()
        await on.press("enter")
        assert "The test counts as printed today." in on.text
        assert len(on.on_disk().rounds) == 3
        await on.press("f5", "f5")
        assert on.form.page.states["fitting"].marker == "done"


async def test_once_the_pattern_is_written_the_fabric_is_next(tmp_path: Path) -> None:
    """Of the design that was accepted; what is said of the files stays on the page."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        await judge(on, "d")
        await on.press("f8")
        assert "Next: write the pattern and cut the real fabric." in " ".join(on.text.split())
        await on.press("escape", "f9", "f9")
        await on.worked()
        await on.press("enter")
        assert "Wrote " in on.text
        assert "counts as printed" not in on.text
        assert on.here == "write"
        assert on.on_disk().rounds[1].written == TODAY
        await on.press("f8")
        assert "Next: cut the real fabric." in " ".join(on.text.split())


async def test_undo_takes_the_next_design_back(tmp_path: Path) -> None:
    """F5 after a next design was made is back at the fitting, with nothing of it left."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        await pinch(on, "outseam", "knee", "1/4")
        await judge(on, "t")
        before = on.on_disk()
        ids = [stop.id for stop in on.form.stops]  # what is seen is written down before
        assert ids.index("round.verdict") < ids.index("add-sign") < ids.index("next-even")
        await go_to(on, "next-even")
        await on.press("enter", "f5")
        assert on.step == "fitting"
        assert on.on_disk() == before
        assert "Taken back: Next design, evened out over four edges." in on.text


async def test_a_next_design_waits_for_a_verdict(tmp_path: Path) -> None:
    """Its button says what is to be said first, and makes nothing."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        await pinch(on, "outseam", "knee", "1/4")
        before = on.on_disk()
        for button in ("next-even", "next-pinched"):
            await go_to(on, button)
            await on.press("enter")
            assert "! say first whether it is closer or too far" in on.text
            assert on.here == button
        assert on.on_disk() == before


async def test_done_leads_to_the_pattern_files(tmp_path: Path) -> None:
    """After "done" the cursor is on Write, which means the narrowed leg in files of its own name.

    A name that is taken is asked for again, with the cursor on it; and side by side stand what
    was sewn before and what is done, not the same design twice.
    """
    async with driving(example(tmp_path)) as on:
        await first_round(on)
        await on.press("f3", "1", "1")
        await on.answer("today", "today")
        await judge(on, "d")
        assert on.here == "write"
        await on.press("ctrl+f")
        assert "slim taper 2" in on.text
        assert "next" not in on.text
        await on.press("escape", "enter")
        assert "(*) narrowed" in on.text
        assert "(*) PDF, to print" in on.text
        assert "-slim-taper-2\n" in on.text
        (tmp_path / "mine.pdf").write_text("kept")
        await on.press(*["tab"] * 4)
        await on.answer("mine")
        await on.press("enter", "1", "enter")
        assert on.app.screen.pose.here == "name"  # type: ignore[attr-defined]


@pytest.mark.parametrize("seam", ["outseam", "inseam"])
def test_a_seam_that_is_only_held_says_so(seam: str) -> None:
    """The hair that holds a seam beside a pinch is named for what it is, and 1/64 in is not."""
    project = read_project(example_text("courier"))
    key = f"design.extra.{seam}.knee"
    assert steps.echo(project, key, "-0.0001 in") == "holds the seam where it was sewn"
    assert steps.echo(project, key, "0.0001 cm") == "holds the seam where it was sewn"
    assert "holds" not in steps.echo(project, key, "1/64 in")


def of_many_rounds(count: int) -> Project:
    """Return the example with so many rounds, each of the design that came of the one before."""
    project = read_project(example_text("courier"))
    first, designs, rounds = project.designs[0], [project.designs[0]], []
    for number in range(1, count + 1):
        depth = parse_length(f"{number % 7 + 1}/64 in", "in")
        pinched = (Pinch("knee", "outseam", depth),)
        rounds.append(Round(designs[-1].name, verdict="closer", pinches=pinched))
        made = replace(
            first, name=f"easy taper {number + 1}", parent=designs[-1].name, from_round=number,
            extra={"outseam": {"knee": depth}},
        )  # fmt: skip
        designs.append(made)
    return replace(project, designs=tuple(designs), rounds=tuple(rounds))


async def test_two_hundred_rounds_stay_usable(tmp_path: Path) -> None:
    """The step tells of the last ones, any can be gone back to, and any two compared."""
    file = tmp_path / "many.toml"
    file.write_text(write_project(of_many_rounds(200)), encoding="utf-8")
    async with driving(Session.open(file)) as on:
        await on.press("f3", "1", "1", "f8")
        assert "197 rounds more" in on.text
        await on.press("escape", "f7", "1", "enter")
        await on.answer("7")
        await on.press("enter")
        assert current(on.on_disk()).name == "easy taper 7"
        await on.press("ctrl+f", "space", *["pagedown"] * 30)
        assert "round 200: easy taper 200, closer" in on.text
        await on.press("space", "enter", "right")
        assert "solid: round 200: easy tape" in on.text


async def test_what_is_offered_is_seen_before_it_is_made(tmp_path: Path) -> None:
    """Side by side stand what was sewn and both next designs, and none of them is saved."""
    async with driving(example(tmp_path)) as on:
        await on.press("pagedown")
        await on.answer("today", "today")
        await pinch(on, "outseam", "knee", "1/4")
        before = on.on_disk()
        await on.press("ctrl+f")
        assert "next, pinched" in on.text
        # 17 in less 2 * 1/4 in, in both ways.
        knee = next(line for line in on.text.splitlines() if line.strip().startswith("knee"))
        assert knee.count("16 1/2 in") == 2
        await on.press("right")
        assert "solid: next, pinched" in on.text
        assert "dotted: slim taper" in on.text
        await on.press("escape")
        assert on.on_disk() == before


async def test_any_designs_and_rounds_are_set_side_by_side_in_ascii(tmp_path: Path) -> None:
    """They are marked by the space bar, at most five; outlines differ by their letters."""
    async with driving(example(tmp_path), look=ASCII) as on:
        await on.press("ctrl+f", "space", "pagedown", "space", "enter")
        await on.press("right")
        assert "o: round 1: easy taper" in on.text
        assert on.text.isascii()
        assert ".: block" in on.text
        await on.press("space", *["pageup", "space"], "down", "space", "down", "space", "enter")
        assert "Mark at least one" in on.text
        assert all(len(line) <= 80 for line in on.text.splitlines())
        await on.press("escape", "escape")
        assert on.step == "pattern"


async def test_a_design_worked_on_by_hand_is_printed_as_its_own_round(tmp_path: Path) -> None:
    """To print the test of another design makes that the current one."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "6")
        await go_to(on, "design:easy taper")
        await on.press("enter", "f3", "1", "1")
        assert "Tried on" in on.text  # its round is in the file, without a verdict
        await go_to(on, "round.verdict")
        await on.press("d", "enter")
        assert 'done: "easy taper", accepted in round 1' in " ".join(on.text.split())
        assert current(on.on_disk()).name == "easy taper"


# --- the first page --------------------------------------------------------------------------


def a_project(file: Path, printed: bool = True) -> None:
    """Write an example whose slim taper is printed."""
    project = read_project(example_text("courier"))
    if printed:
        project = mark_printed(project, block_of(project), project.design(), TODAY)
    file.write_text(write_project(replace(project, name=file.stem)), encoding="utf-8")
    remember(file)


async def test_the_first_page_says_where_each_of_twenty_stands(tmp_path: Path) -> None:
    """Twenty are listed, each with its round and what comes next; a broken one says that."""
    for number in range(18):
        a_project(tmp_path / f"student {number:02}.toml")
    (tmp_path / "broken.toml").write_bytes(b"\xff\x00 not = [ a project")
    remember(tmp_path / "broken.toml")
    (tmp_path / "gone.toml").write_text("", encoding="utf-8")
    remember(tmp_path / "gone.toml")
    async with driving(None, size=(100, 90)) as on:
        (tmp_path / "gone.toml").unlink()
        said = ""
        for _ in range(60):  # they are described one after the other
            await on.pilot.pause(0.05)
            said = " ".join(on.text.split())
            if (said.count("round 2 printed"), said.count("cannot be read")) == (18, 2):
                break
        assert said.count("round 2 printed, not yet tried on") == 18
        assert said.count("Next: sew the test, try it on") == 18
        assert said.count("cannot be read") == 2


@pytest.mark.parametrize(
    "text", ["", "format = 1", "format = 99", "[[round]]\ndesign = 3", "current = 'x'", "[" * 9000]
)
def test_no_file_breaks_the_first_page(tmp_path: Path, text: str) -> None:
    """Whatever stands in a file, something is told of it."""
    file = tmp_path / "odd.toml"
    file.write_text(text, encoding="utf-8")
    assert opening.told(file)[1]
    assert opening.told(tmp_path)[1]


def test_a_project_without_a_block_still_tells_its_round(tmp_path: Path) -> None:
    """A file that lost its block says in which round it is all the same."""
    project = replace(read_project(example_text("courier")), block=Project().block)
    file = tmp_path / "half.toml"
    file.write_text(write_project(project), encoding="utf-8")
    assert load(file) == project
    assert "round 2 not yet printed" in opening.told(file)[1]
