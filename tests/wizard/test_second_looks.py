"""Answers that look like a slip, and rows that are typed at once."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from app_driver import driving, example, fresh
from click.testing import CliRunner, Result
from typed_example import typed
from typist import Sitting

from legtaper.files.project_file import write_project
from legtaper.model.lengths import parse_length
from legtaper_wizard.cli.main import main
from legtaper_wizard.flow.answers import lengths_in
from legtaper_wizard.flow.drafted_block import Drafting
from legtaper_wizard.flow.steps import (
    STEPS,
    AnswerError,
    actions,
    answer,
    do,
    echo,
    last_answered,
    shows,
    slips,
    step_of,
    value,
)
from legtaper_wizard.prompts import run as run_prompts


def run(*arguments: object) -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(main, [str(one) for one in arguments])


@pytest.mark.parametrize(
    ("key", "text", "asks"),
    [
        ("wearer.foot_entry", "3", "read as 3 in, 7.6 cm"),
        ("wearer.foot_length", "33 cm", "read as 13 in, 33 cm"),
        ("wearer.waist", "175 cm", "read as 68 7/8 in, 175 cm"),
        ("wearer.high_hip", "23 1/2", "The high hip is 23 1/2"),
        ("design.hem.depth", "8", "read as 8 in"),
        ("fabric.thickness", "1 cm", "read as 3/8 in, 1 cm"),
        ("fabric.stretch_percent", "200", "read as 200 percent"),
        ("block_test.date", "2999-01-01", "is still to come"),
        ("round.printed", "2999-01-01", "is still to come"),
        ("block.front.outseam.knee", "9", "further out than the levels beside it"),
        ("block.front.outseam.knee", "38 cm", "Front outseam at the knee: read as 15 in, 38 cm"),
        ("block.front.outseam.knee", "13 1/2", "is a lot for a hip of"),
        ("block.front.inseam.knee", "13 1/2", "is a lot for a hip of"),
        ("block.height.knee", "12", "12 in is unusual; it usually lies from"),
        ("block.height.knee", "24", "24 in is unusual; it usually lies from"),
        ("block.height.hip", "60", "Hip height: 60 in is unusual"),
        ("design.width.hem", "7", "Was it measured flat? Then it is 14 in around."),
        ("design.width.hem", "2", "Less than a leg needs at the hem. Is that what you meant?"),
    ],
)
def test_an_unlikely_answer_is_asked_about_where_it_is_typed(key: str, text: str, asks: str):
    """It is taken, asked about at once, and noted on its step; the usual one is not."""
    assert slips(typed(), key) == ()
    project = answer(typed(), key, text)
    assert any(asks in odd for odd in slips(project, key))
    step = next(one for one in STEPS if key in [field.key for field in one.fields(project)])
    assert any(asks in note.text for note in shows(project, step.id) if note.kind == "question")


@pytest.mark.parametrize("level", ["thigh", "knee"])
def test_a_block_smaller_than_the_body_is_asked_about_on_its_own_step(level: str):
    """Where a row measures it and where the block alone knows; a stretch that serves is counted."""
    asks = f"around, and the wearer's {level} 40 in. Is it measured right?"
    project = answer(typed(), f"wearer.{level}", "40")
    asked = [note for note in shows(project, "block") if asks in note.text]
    assert [note.kind for note in asked] == ["question"]
    if asked[0].key:
        assert any(asks in odd for odd in slips(project, asked[0].key))
    knit = answer(project, "fabric.kind", "knit")
    stretches = answer(knit, "fabric.stretch_percent", "200")
    assert not any(asks in note.text for note in shows(stretches, "block"))


def test_a_changed_block_is_a_warning_on_every_step():
    """One may go on all the same; so its own step says no other word than the checks do."""
    project = answer(typed(), "block_test.verdict", "hangs clean")
    changed = answer(project, "block.back.outseam.hem", "5")
    says = "The block has changed since it was tested; sew and judge it again."
    for step in ("block-test", "pattern"):
        assert [note.kind for note in shows(changed, step) if note.text == says] == ["caution"]


def test_a_width_measured_flat_is_doubled_by_one_action():
    """The offer stands on the page, and goes once it is taken."""
    project = answer(typed(), "design.width.hem", "7")
    double = next(one for one in actions(project, "narrowing") if one.id == "double.hem")
    assert double.at_hand
    doubled = do(project, "double.hem")
    assert value(doubled, "design.width.hem") == "14 in"
    assert "double.hem" not in [one.id for one in actions(doubled, "narrowing")]


def test_a_fraction_finer_than_any_ruler_is_refused_when_typed() -> None:
    """As where a new answer runs into an old one; a file that says so is read all the same."""
    project = typed()
    for text in ("9 3/414", "9 3/414 in", "1/129"):
        with pytest.raises(AnswerError, match="finer than any ruler; write it like 9 3/4"):
            answer(project, "design.width.hem", text)
    assert answer(project, "design.width.hem", "12 3/128")
    assert parse_length("9 3/414", "in").mm == pytest.approx(25.4 * (9 + 3 / 414))


@pytest.mark.parametrize("level", ["hem", "calf", "knee", "thigh"])
def test_a_take_in_that_leaves_no_leg_is_refused_at_every_level(level: str):
    """More than the whole leg cannot come off; where it can be a width, that is said."""
    with pytest.raises(AnswerError, match="for a leg of 10 in around, answer the finished width"):
        answer(typed(), f"design.take_in.{level}", "10")
    with pytest.raises(AnswerError, match="is 136 in around the leg, and the block has"):
        answer(typed(), f"design.take_in.{level}", "34")


def test_a_row_of_the_block_may_be_typed_at_once():
    """The answers go into the cells from the cursor on; too many or a wrong one take none."""
    row = "4 5/8 4 5/8 5 1/8 5 1/8"
    project = answer(typed(), "block.front.outseam.calf", row)
    cells = [f"block.{edge}.calf" for edge in ("front.outseam", "front.inseam", "back.outseam",
                                               "back.inseam")]  # fmt: skip
    assert [value(project, cell) for cell in cells] == ["4 5/8 in"] * 2 + ["5 1/8 in"] * 2
    assert last_answered(typed(), cells[0], row) == cells[3]
    assert echo(typed(), cells[0], row).startswith("Calf: front outseam 4 5/8, front inseam")
    with pytest.raises(AnswerError, match="3 lengths are typed; from here on the row takes 2"):
        answer(typed(), "block.front.outseam.hip", "6 6 7")
    with pytest.raises(AnswerError, match="Back outseam at the calf: "):
        answer(typed(), cells[0], "4 4 0 5")
    no_blank = 'Back outseam at the calf: "51/2" could be 5 1/2 or 25 1/2'
    with pytest.raises(AnswerError, match=no_blank):
        answer(typed(), cells[0], "5 5 51/2 51/2")
    with pytest.raises(AnswerError, match="4 lengths are typed; from here on the row takes 1"):
        answer(typed(), cells[3], "4 3/4 4 3/4 5 1/4 51/4")


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("4 5/8 4 5/8", ["4 5/8", "4 5/8"]),
        ("1/2", ["1/2"]),
        ("2 ft 5 in", ["2 ft 5 in"]),
        ("11.5 cm 12 cm", ["11.5 cm", "12 cm"]),
        ("4½ 5", ["4½", "5"]),
        ("4 5/8 in", ["4 5/8 in"]),
    ],
)
def test_lengths_one_after_the_other_are_told_apart(text: str, parts: list[str]):
    """A fraction or a unit belongs to the number before it."""
    assert lengths_in(text) == parts


def test_an_inseam_is_offered_as_its_outseam_was_given():
    """At hem, calf and knee Enter takes it; above, the two differ and nothing is offered."""
    project = answer(typed("name", "block.height"), "block.front.outseam.knee", "4 3/4")
    project = answer(project, "block.front.outseam.crotch", "5 3/4")
    fields = {field.key: field for field in step_of("block").fields(project)}
    offered = fields["block.front.inseam.knee"]
    assert (offered.placeholder, offered.takes_placeholder) == ("4 3/4 in", True)
    assert fields["block.front.inseam.crotch"].placeholder == ""
    assert not fields["block.back.inseam.knee"].takes_placeholder


def test_a_liked_leg_less_than_a_leg_needs_was_measured_flat():
    """All the way around 9 in at the knee goes around nobody; flat it is a usual leg."""
    project = answer(typed(), "liked.0.measured", "round")
    assert any("18 in around" in odd for odd in slips(answer(project, KNEE, "9"), KNEE))
    assert slips(answer(project, KNEE, "18"), KNEE) == ()


KNEE = "liked.0.width.knee"
SLIPS_OF_A_BODY = {"waist": "175cm", "foot_entry": "3in"}


@pytest.mark.parametrize(("key", "text"), SLIPS_OF_A_BODY.items())
def test_the_draft_asks_about_what_the_wizard_asks_about(key: str, text: str):
    """One rule for both: what is typed for a draft goes to the wearer."""
    drafting = Drafting.of(typed("name"), {"hip": "41in", "height": "66in", key: text})
    assert drafting.doubts()[key] == slips(answer(typed("name"), f"wearer.{key}", text),
                                           f"wearer.{key}")  # fmt: skip
    assert drafting.typed(key, "").doubts(key) == {}


@pytest.mark.parametrize(
    "call",
    [
        ["--from-body", "hip=41in", "height=66in", "waist=175cm"],
        ["wearer.hip=41in", "block.front.outseam.knee=38cm"],
        ["block_test.date=2999-01-01"],
        ["fabric.stretch_percent=200"],
    ],
)
def test_a_new_project_with_a_slip_is_refused_unless_sure(tmp_path: Path, call: list[str]):
    """One line, exit status 2 and no file; with --sure it is written."""
    new = tmp_path / "new.toml"
    refused = run("begin", new, *call)
    assert (refused.exit_code, refused.stderr.count("\n")) == (2, 1)
    assert "If that is right, add --sure." in refused.stderr
    assert not new.exists()
    assert run("begin", new, *call, "--sure").exit_code == 0
    assert new.exists()


@pytest.mark.parametrize("call", [["--pinch", "knee:outseam:3in"], ["--date", "2999-01-01"]])
def test_a_round_with_a_slip_is_refused_unless_sure(mine: Path, call: list[str]):
    """The file stays as it was; with --sure the round is written down."""
    before = mine.read_bytes()
    refused = run("round", mine, *call)
    assert (refused.exit_code, mine.read_bytes()) == (2, before)
    assert "add --sure" in refused.stderr
    assert run("round", mine, *call, "--sure").exit_code == 0
    assert mine.read_bytes() != before


def test_a_row_typed_at_a_prompt_is_not_asked_cell_by_cell() -> None:
    """Its other cells are passed, once: back to one of them asks it."""
    whole = typed("name", "block.height")
    lines = [
        "4 1/4 4 1/4 4 3/4 4 3/4",
        "",
        "4 5/8 4 5/8 5 1/8 5 1/8",
        "",
        "5 5/8 6 3/4 6 1/4 8 1/2",
    ]
    on = Sitting("back to front outseam at the hem", *lines, "5 7/8 6 5/8", "quit", project=whole)
    assert "Hem: front outseam 4 1/4, front inseam 4 1/4, back outseam 4 3/4" in on.words
    assert "Front inseam at the knee" not in on.words
    assert value(on.project, "block.back.outseam.hip") == "6 5/8 in"
    back = ["back to front inseam at the hem", "4", "quit"]
    again = Sitting("back to front outseam at the hem", lines[0], *back, project=whole)
    assert value(again.project, "block.front.inseam.hem") == "4 in"


@pytest.mark.parametrize("way", ["typed", "by name", "from a pipe"])
@pytest.mark.parametrize(
    ("name", "text", "asks"),
    [
        ("waist", "175 cm", "Waist: read as 68 7/8 in, 175 cm. Is that what you meant?"),
        (
            "front inseam at the knee",
            "38 cm",
            "Front inseam at the knee: read as 15 in",
        ),
        ("date of the test", "2999-01-01", "2999-01-01 is still to come."),
        ("finished width, thigh", "13", "Less than a leg needs at the thigh. Was it measured"),
    ],
)
def test_every_way_at_the_prompts_asks(
    tmp_path: Path, way: str, name: str, text: str, asks: str
) -> None:
    """At the question, by its name, and from a pipe, where it is said and kept."""
    one_line = f"{name} = {text}"
    if way == "from a pipe":
        path, out = tmp_path / "whole.toml", io.StringIO()
        path.write_text(write_project(typed()))
        assert run_prompts(path, stdin=io.StringIO(f"{one_line}\nquit\n"), stdout=out) == 0
        assert asks in " ".join(out.getvalue().split())
        return
    lines = [one_line] if way == "by name" else [f"back to {name}", text]
    before = typed()
    on = Sitting(*lines, "", "quit", project=before)
    assert asks in on.words
    assert on.words.count("? yes, no, or the right answer:") == 2
    assert "Type yes to keep it, no to leave all as it was, or what is right." in on.words
    assert on.project == before
    for kept in ("yes", "Y", text, text.replace(" ", "")):
        assert Sitting(*lines, kept, "quit", project=before).project != before


@pytest.mark.usefixtures("new_account")
async def test_the_page_of_a_draft_asks_beside_the_number(tmp_path: Path) -> None:
    """Above the questions and by a sign before the answer, until it is typed again."""
    session = fresh(tmp_path)
    session.answer("wearer.hip", "41")
    session.go("block")
    async with driving(session) as on:
        await on.press("f7", "1", "enter")
        await on.worked()
        await on.answer("66")
        await on.press("up", "up")
        await on.answer("175 cm")
        assert "[?] Waist: read as 68 7/8 in, 175 cm." in on.text
        assert "? Waist" in on.text
        await on.press("up")
        await on.answer("85 cm")
        assert "[?]" not in on.text


@pytest.mark.usefixtures("new_account")
@pytest.mark.parametrize("leaves", ["enter", "down", "tab", "pagedown"])
async def test_on_the_screen_a_doubtful_answer_counts_once_it_was_agreed_to(
    tmp_path: Path, leaves: str
) -> None:
    """Until then nothing follows from it: no check is OK by it, and the file has the old one."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "8")
        await on.type("3")
        await on.settle()
        assert "foot needs 12 5/8 in" in " ".join(on.text.split())
        await on.press(leaves)
        await on.settle()
        said = " ".join(on.text.split())
        assert "! Read as 3 in, 7.6 cm. Is that what you" in said
        assert "[OK] No slit is needed" not in said
        assert on.here == "wearer.foot_entry"
        assert on.on_disk().wearer.foot_entry.text == "12 5/8 in"
        if leaves != "enter":  # Enter alone agrees
            await on.press(leaves)
            assert on.here == "wearer.foot_entry"
            assert "Enter takes it; Esc drops it." in on.text
            assert on.on_disk().wearer.foot_entry.text == "12 5/8 in"
        await on.press("enter")
        assert on.on_disk().wearer.foot_entry.text == "3 in"


@pytest.mark.usefixtures("new_account")
async def test_on_the_screen_a_doubtful_answer_is_put_right_by_typing(tmp_path: Path) -> None:
    """What is typed next replaces it, and a usual one is taken at once; Esc gives it up."""
    async with driving(example(tmp_path)) as on:
        await on.press("f3", "8")
        await on.answer("3", "13")
        assert on.on_disk().wearer.foot_entry.text == "13 in"
        await on.press("up")
        await on.answer("3")
        await on.press("escape")
        await on.answer("3")
        assert on.on_disk().wearer.foot_entry.text == "13 in"


def test_a_doubt_reads_a_length_in_the_unit_of_the_project_first() -> None:
    """The other unit comes behind it, as the slip may be one of units."""
    metric = answer(typed(), "length_unit", "cm")
    assert slips(answer(metric, "wearer.waist", "175"), "wearer.waist") == (
        "Waist: read as 175 cm, 68 7/8 in. Is that what you meant?",
    )
