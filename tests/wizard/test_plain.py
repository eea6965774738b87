from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typed_example import TYPED, empty_row, typed
from typist import Sitting, Typist, sit

from legtaper.files.project_file import write_project
from legtaper.files.store import Store, load, save_new
from legtaper.model.project import Project
from legtaper.outputs.formats import FORMATS
from legtaper_wizard.flow.command_table import COMMANDS, commands_of
from legtaper_wizard.flow.questions import field_at
from legtaper_wizard.flow.steps import STEPS, answer, shows, value
from legtaper_wizard.prompts import run
from legtaper_wizard.prompts.console import WIDTH, Voice
from legtaper_wizard.prompts.output import SPOKEN, say_help
from legtaper_wizard.prompts.prompt_order import prompts_of
from legtaper_wizard.prompts.typed_commands import commands

WHOLE = typed()


@pytest.fixture(autouse=True)
def no_recent_list(tmp_path, monkeypatch):
    """Keep the list of recent projects of this machine out of it."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def lines_of_the_example() -> list[str]:
    """Return what is typed, Enter where the example has no answer, from the first question on."""
    lines, project, answers = [], Project(), dict(TYPED)
    for step in range(len(STEPS)):
        index = 0
        while index < len(prompts := prompts_of(project, step)):
            key = prompts[index].field.key
            text = "" if value(project, key) else answers.get(key, "")
            lines.append(text)
            if text:
                project = answer(project, key, text)
            index += 0 if text else max(len(empty_row(project, prompts, index)) - 1, 0)
            key = prompts[index].field.key
            index = [p.field.key for p in prompts_of(project, step)].index(key) + 1
    return lines


def test_the_whole_example_line_by_line_gives_the_same_project():
    """What is typed at the prompts, in order, is the project that the answers alone make."""
    sitting = Sitting(*lines_of_the_example())
    assert sitting.project == WHOLE
    for number, step in enumerate(STEPS, 1):
        assert re.search(rf"Step {number}(?: of 11)?: {step.title}\n", sitting.text)
    assert "Hem: block 18 in, now 15 1/2 in; 2 1/2 in off" in sitting.words


def test_every_accepted_answer_is_saved():
    """There is one change for each answer, and the file holds everything."""
    sitting = Sitting(*lines_of_the_example())
    assert sitting.changes == len(TYPED)
    assert sitting.saved == WHOLE


def test_lines_are_only_ever_added():
    """No control character moves the cursor or colors a word; no line is too wide."""
    sitting = Sitting(*lines_of_the_example())
    assert all(c == "\n" or c.isprintable() for c in sitting.text)
    assert all(len(line) <= WIDTH for line in sitting.text.splitlines())
    assert sitting.text.isascii()


def test_an_end_of_input_loses_nothing():
    """The input may end at any prompt; what was answered is kept, and the wizard stops."""
    lines = lines_of_the_example()
    for stop in range(0, len(lines), 7):
        sitting = Sitting(*lines[:stop])
        assert sitting.changes == len([line for line in lines[:stop] if line])
        assert sitting.saved == sitting.project


def test_a_refused_answer_is_explained_and_asked_again():
    """The error says what would be right, nothing is saved, and the same question returns."""
    sitting = Sitting("Trousers", "", "66 yards", "66")
    assert 'Not taken: "yards" is not a unit' in sitting.words
    assert sitting.text.count("Height [skip]:") == 2
    assert value(sitting.saved, "wearer.height") == "66 in"
    assert sitting.changes == 2


def test_enter_keeps_and_skips_and_says_what_is_then_unknown():
    """Enter on an answered question keeps it; on an open one it says what is left unknown."""
    sitting = Sitting("steps", "2", *[""] * 6, project=typed("name", "wearer.height"))
    assert sitting.project == typed("name", "wearer.height")
    assert "Height [66 in]:" in sitting.text
    assert "Skipped: ease at the thigh stays unknown." in sitting.words


def test_back_goes_to_the_question_before_across_steps():
    """`back` from the first question of a step leads to the last one of the step before."""
    sitting = Sitting("Trousers", "", "back", "2", "back", "back", "Better name")
    assert sitting.project.length_unit == "cm"
    assert sitting.project.name == "Better name"
    first = Sitting("back")
    assert "This is the first question." in first.text


def test_undo_and_redo_return_to_the_question_they_change():
    """`undo` takes the last answer back and asks it again; `redo` makes it again; both save."""
    sitting = Sitting("Trousers", "", "66", "34", "undo", "35", "undo", "redo", "quit")
    assert sitting.text.count("Waist [skip]:") == 3
    assert sitting.text.count("Waist [35 in]:") == 1
    assert value(sitting.project, "wearer.waist") == "35 in"
    assert "Undone: Waist, 34 in; now empty." in sitting.text
    assert "Undone: Waist, 35 in; now empty." in sitting.text
    assert "Made again: Waist; now 35 in." in sitting.text
    assert value(sitting.saved, "wearer.waist") == "35 in"
    empty = Sitting("undo", "redo")
    assert "There is nothing to undo." in empty.text
    assert "There is nothing to make again." in empty.text


def test_undo_across_steps_goes_back_to_the_step():
    """Undoing an answer of an earlier step shows that step again."""
    sitting = Sitting("Trousers", "2", "undo", "quit")
    assert sitting.project.length_unit == "in"
    assert sitting.text.count("Step 1 of 11") == 2


def test_steps_lists_all_with_their_state_and_jumps_by_number_or_name():
    """`steps` marks each step in words; a locked step says what it waits for."""
    sitting = Sitting("steps", "6", "12", "3", "steps wearer", "steps how narrow", "", "quit")
    assert " 1: Project, open: " in sitting.text
    assert " 6: How narrow waits for the block.\n" in sitting.text
    assert "How narrow waits for the block." in sitting.text
    assert "Type a number from 1 to 11, or a name." in sitting.text
    assert sitting.text.count("Step 3: Block") == 1
    assert sitting.text.count("Step 2: Wearer") == 1


def test_help_is_about_the_question():
    """`?` says how to measure and common slips; of the commands it names the one that tells."""
    sitting = Sitting("steps", "2", *[""] * 6, "?", "quit")
    assert "It is larger than the knee standing." in sitting.text
    assert "Skip what you cannot measure" not in sitting.text
    again = Sitting("back to knee, bent", "?", "?", "quit")
    assert "Skip what you cannot measure" in again.words
    assert "Type commands to hear what else can be typed." in sitting.text
    assert "stop; every answer is saved" not in sitting.text


def test_commands_are_told_when_they_are_asked_for():
    """`commands` names each word that is taken, and how to answer with one of them."""
    sitting = Sitting("commands", "", "", "", "quit")
    assert all(f"{typed.word}" in sitting.words for typed in commands())
    assert "When the answer itself is such a word, as in back, type =back." in sitting.words


@pytest.mark.parametrize("word", [typed.word for typed in commands()])
def test_a_command_is_no_answer(word):
    """Each word does what it says, and none becomes the name of the project."""
    sitting = Sitting(word, "quit")
    assert "Not taken" not in sitting.text
    assert sitting.project.name == ""
    assert not sitting.changes


def test_every_command_is_in_both_faces():
    """What one face can do the other can, but for what the table says is for one alone."""
    assert {typed.id for typed in commands()} == {one.id for one in commands_of("prompts")}
    assert len(commands()) == len(commands_of("prompts"))
    assert all(one.why for one in COMMANDS if one.only)


def test_no_help_names_a_key_of_the_screen():
    """Where the shared texts speak of keys and cells, the prompts name what is typed."""
    for step in range(len(STEPS)):
        for prompt in prompts_of(WHOLE, step):
            sitting = Help(step, prompt.field.key)
            assert not re.search(r"\bF\d|Ctrl|\bcell|\barrow", sitting.words), sitting.words
    fitting = Help(len(STEPS) - 1, "round.printed").words
    assert "Type more: there you can go back to any round." in fitting
    assert "The word clear takes a pinch away." in fitting


class Help:
    """What `?` says at a question."""

    def __init__(self, step: int, key: str):
        out = io.StringIO()
        field = field_at(WHOLE, key)
        for whole in (False, True):
            say_help(Voice(io.StringIO(), out), STEPS[step].id, field, "in", whole=whole)
        self.words = " ".join(out.getvalue().split())


def test_on_entering_a_step_what_fails_comes_first():
    """Fails and warnings are said in full; what is OK is counted, and said on `notes`."""
    sitting = Sitting("steps pattern", "quit", project=WHOLE)
    entered = sitting.text[sitting.text.rindex("Step 10") :]
    well = sum(note.kind == "good" for note in shows(WHOLE, "pattern"))
    assert well > 5
    assert f"{well} checks OK." in entered
    assert SPOKEN["good"] not in entered
    kinds = ["Fails:", "Warning:", "Look:"]
    marks = [line.split()[0] for line in entered.splitlines() if line.startswith(tuple(kinds))]
    assert marks == sorted(marks, key=kinds.index)
    assert "[" not in entered[: entered.index("Seam allowance")]
    told = Sitting("steps pattern", "notes", "quit", project=WHOLE)
    assert told.text[told.text.rindex("Step 10") :].count(SPOKEN["good"]) == well


def test_a_locked_step_is_passed_in_a_line():
    """What it is for is not read out before it can be answered."""
    sitting = Sitting("steps", "3", "next", "quit", project=typed("name"))
    assert "\nStep 4: Test of the block waits for the block.\n" in sitting.text


def test_a_doubtful_number_is_asked_about():
    """Yes keeps it, and the same once more; no asks again; the right number is taken at once."""
    odd = answer(METRIC, "wearer.waist", "34")
    for said, waist in (("34", "34"), ("34 cm", "34"), ("yes", "34"), ("80 cm", "80 cm")):
        sitting = Sitting(*TO_THE_WAIST, "34", said, "quit", project=METRIC)
        assert "Waist: read as 34 cm, 13 3/8 in." in sitting.words
        assert "Keep 34 cm? yes, no, or the right answer:" in sitting.words
        assert value(sitting.project, "wearer.waist").removesuffix(" cm") == waist[:2]
    again = Sitting(*TO_THE_WAIST, "34", "no", "82", "quit", project=METRIC)
    assert value(again.project, "wearer.waist") == "82 cm"
    resumed = Sitting("steps wearer", "quit", project=odd)
    assert "Look: Waist: read as" in resumed.words
    assert "To change it, type back to waist." in resumed.text


METRIC = Project("Trial", "cm")
TO_THE_WAIST = ("back to waist",)


def test_a_blend_that_fails_says_how_it_is_changed():
    """A fail is followed by the way back to the answer; a good answer has no such line."""
    way = ("back to style", "follow")
    failed = Sitting("back to style", "straight", *way, "quit", project=WHOLE)
    assert "Fails: A ruled back outseam would be outside the old seam" in failed.words
    assert failed.text.count("To change it, type back to style.") == 1
    assert failed.project == WHOLE


def test_millimeters_and_the_clock_are_said_when_asked_for():
    """An echo names its question and says no more than was typed; `exact` says the rest."""
    said = Sitting("exact", *TO_THE_WAIST, "82 1/2 cm", "back", "34 in", "exact", project=METRIC)
    assert "Nothing was answered yet in this sitting." in said.text
    assert "Waist 82 1/2 cm." in said.text
    assert "Waist 34 in." in said.text
    assert " mm" not in said.text[: said.text.rindex("Waist 34 in.")]
    assert re.search(r"Waist 34 in = 863\.6 mm\. Saved \d\d:\d\d\.", said.text)


def test_an_unnamed_project_goes_on_where_it_stopped():
    """A name that was never given does not lead back to the first step."""
    unnamed = typed(*[key for key, _ in TYPED if key != "name"])
    assert unnamed.name == ""
    assert "Step 10: Pattern" in Sitting("quit", project=unnamed).text


def test_a_word_that_is_a_command_can_be_an_answer():
    """`=back` answers with the word back."""
    assert Sitting("=back").project.name == "back"


def test_clear_takes_an_answer_away():
    """`clear` empties the question it is typed at and asks it again."""
    sitting = Sitting("steps", "2", "clear", "quit", project=WHOLE)
    assert value(sitting.project, "wearer.height") == ""
    assert "Height: cleared." in sitting.text
    assert "Nothing is answered here." in Sitting("clear").text


def test_skip_leaves_out_the_rest_of_a_part_and_next_the_rest_of_the_step():
    """`skip` goes from the girths to the fabric, `next` on to the block."""
    skipped = Sitting("Trousers", "", "skip", "quit").text
    assert "Height [skip]: \nSkipped: height; waist; 9 more.\nFabric [skip]:" in skipped
    assert "Step 3: Block" in Sitting("Trousers", "", "next", "quit").text


def test_skip_names_what_it_leaves_out():
    """Of a part in which all is answered nothing is; of a row that is empty its level is named."""
    held = Sitting("back to hip", "skip", "skip", "skip", "quit", project=WHOLE).words
    assert "Hip [41 in]: Kept as it is. Fabric [8 oz twill]: Skipped: stretch test; " in held
    rows = ("back to front outseam at the hem", "skip", "4 4 5", "skip", "quit")
    by_row = Sitting(*rows, project=typed("name", "block.height")).words
    assert "Skipped: hem. Calf, front outseam:" in by_row
    assert "Skipped: back inseam. Knee, 4 values" in by_row
    narrowing = ("back to finished width, hem", "skip", "quit")
    leg = Sitting(*narrowing, project=typed("name", "block")).words
    assert leg.endswith("Skipped: hem. Finished width, calf [skip]:")
    seam = Sitting(narrowing[0], "", "skip", "quit", project=typed("name", "block")).words
    assert "Skipped: take off at the hem. Finished width, calf" in seam


def test_a_take_in_is_not_asked_for_where_a_finished_width_was_given():
    """After a width at the hem the next question is about the calf."""
    project = typed("name", "block.")
    sitting = Sitting("steps", "6", "15", "", "quit", project=project)
    assert "Or take off at the hem" not in sitting.text
    assert "Or take off at the calf" in sitting.text


def test_plus_and_minus_move_a_blend():
    """`-2` moves two steps down; at the end of its range it stays and says so."""
    sitting = Sitting("steps", "7", "-2", "+", "+9", "+", "quit", project=WHOLE)
    assert "Outseam blends at 37 1/2 in." in sitting.text
    assert "Outseam blends at 37 3/4 in." in sitting.text
    assert "It is at the end of its range and stays." in sitting.text
    assert "Plus or minus, + or -, moves it by 1/4 in; minus 3, -3, three times." in sitting.words
    assert value(sitting.project, "design.blend.outseam") == "38 in"


def test_enter_takes_the_usual_blend_and_records_it():
    """The blend is the one default that is recorded, because it is the choice of that step."""
    open_blend = typed(*[key for key, _ in TYPED if not key.startswith("design.blend")])
    sitting = Sitting("", "", "quit", project=open_blend)
    assert sitting.project == WHOLE


def test_more_offers_what_else_can_be_done():
    """Actions are chosen by number and asked for what they need."""
    lines = ("steps how narrow", "more", "widths of gray", "more new design", "slim", "quit")
    sitting = Sitting(*lines, project=WHOLE)
    assert "1: Take the widths of Gray corduroys" in sitting.text
    assert [design.name for design in sitting.project.designs] == ["first taper", "slim"]
    assert value(sitting.project, "design.width.hem") == "14 1/4 in"
    lines = ("steps how narrow", "more", "77", "new design", "first taper", "quit")
    odd = Sitting(*lines, project=WHOLE)
    assert "Type a number from 1 to" in odd.text
    assert "Not done: there is a design" in odd.words
    assert odd.project == WHOLE
    assert "There is nothing else to do on this step." in Sitting("more").text


def test_another_liked_garment_is_asked_for_after_the_last():
    """Each garment has its questions; an empty name ends the step."""
    lines = ("steps legs you like", "skip", "skip", "Jeans", "all the way", "quit")
    sitting = Sitting(*lines, project=WHOLE)
    assert [liked.garment for liked in sitting.project.liked] == ["Gray corduroys", "Jeans"]
    assert sitting.project.liked[1].measured == "round"


def test_work_goes_on_where_it_stopped():
    """A half-finished project opens at its first open step."""
    text = Sitting(project=typed("name", "wearer")).text
    assert re.findall(r"Step \d+: ", text) == ["Step 3: "]


def test_a_name_with_accents_is_spelled_plainly_in_ascii():
    """ASCII only leaves no other letter, and the answer itself keeps its letters."""
    sitting = Sitting("Hose für Zoë", "quit", ascii_only=True)
    assert sitting.text.isascii()
    assert sitting.project.name == "Hose für Zoë"


def test_an_output_that_cannot_spell_a_name_does_not_stop_the_wizard(tmp_path):
    """On an ASCII stream the same name is spelled plainly without being asked to."""
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="ascii", write_through=True)
    run(tmp_path / "trousers.toml", stdin=io.StringIO("Zoë 2½\n"), stdout=out)
    assert b"Name of the project: Zoe 2 1/2." in raw.getvalue()


def test_a_hostile_name_from_a_file_is_shown_without_its_control_characters():
    """What a file holds never reaches the terminal as a control sequence."""
    sitting = Sitting("quit", project=Project(name="a\x1b[2Jb\u202ec"))
    assert "\x1b" not in sitting.text
    assert "\u202e" not in sitting.text


LINES = st.one_of(
    st.sampled_from(["", "", "", "back", "next", "skip", "undo", "redo", "steps", "more", "clear"]),
    st.sampled_from(["?", "answers", "1", "2", "7", "-3", "+", "5/8", "17", "30", "hangs clean"]),
    st.text(st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), max_size=8),
)


@settings(max_examples=40)
@given(st.lists(LINES, max_size=40), st.booleans())
def test_no_line_breaks_a_sitting(lines, whole):
    """Whatever is typed, the sitting ends well and the last save holds what is shown."""
    sitting = Sitting(*lines, project=WHOLE if whole else None)
    assert sitting.text
    assert sitting.saved == sitting.project


# --- on disk --------------------------------------------------------------------------------


def test_a_new_project_is_begun_answered_and_picked_up_again(tmp_path):
    """The file holds every answer of the first sitting, and the second goes on from there."""
    path = tmp_path / "trousers.toml"
    lines = ["yes", *lines_of_the_example()]
    status, said = sit(path, *lines[:21])
    assert status == 0
    assert f"Every answer is saved in {path}" in said
    half = load(path)
    assert half.name == "Courier trousers"
    assert "Step 3: Block" in sit(path)[1]
    sit(path, *lines[21:])
    assert load(path) == WHOLE


def test_saying_when_it_was_saved_comes_from_the_finished_write(tmp_path):
    """After "Saved 14:02." the file already holds the answer."""
    path = tmp_path / "trousers.toml"
    said = sit(path, "yes", "Trousers", "exact")[1]
    assert re.search(r"Name of the project: Trousers\. Saved \d\d:\d\d\.", said)
    assert load(path).name == "Trousers"


def test_a_second_opening_is_told_who_has_it_and_may_look(tmp_path):
    """The second session shows answers and findings, says who writes, and changes nothing."""
    path = tmp_path / "trousers.toml"
    sit(path, "yes", "Trousers")
    first = Store.open(path, for_writing=True)
    before = path.read_bytes()
    status, said = sit(path, "Other name")
    first.close()
    assert status == 0
    assert "can only be looked at: open in another session" in said
    assert "Name of the project: Trousers" in said
    assert path.read_bytes() == before


class Meddled(Typist):
    """Somebody at the prompts, while another program writes the file before the first line."""

    file: Path
    done = False

    def readline(self, *args):
        """Return the next line, after the file was changed."""
        if not self.done:
            self.file.write_text(self.file.read_text() + "# by hand\n")
        self.done = True
        return super().readline(*args)


def meddled(path: Path, *lines: str) -> tuple[int, str]:
    """Type lines at the prompts of a file that another program changes meanwhile."""
    out = io.StringIO()
    stdin = Meddled(lines, out)
    stdin.file = path
    status = run(path, stdin=stdin, stdout=out)
    return status, " ".join(out.getvalue().split())


@pytest.mark.parametrize("whose", ["mine", "theirs"])
def test_what_another_program_wrote_is_taken_or_kept_in_a_copy(tmp_path, whose):
    """She is asked which state goes on; the other one stands beside it."""
    path = tmp_path / "trousers.toml"
    sit(path, "yes", "Trousers")
    status, said = meddled(path, "wearer.height = 66", whose, "quit")
    assert status == 0
    assert "Another program changed trousers.toml since you opened it" in said
    (copy,) = tmp_path.glob("trousers (*).toml")
    mine, theirs = (path, copy) if whose == "mine" else (copy, path)
    assert "# by hand" in theirs.read_text()
    assert "# by hand" not in mine.read_text()
    assert (value(load(path), "wearer.height") == "66 in") == (whose == "mine")


def test_answers_that_cannot_be_saved_are_kept_under_another_name(tmp_path):
    """Where she chooses neither state, her answer is in a copy at once, and Enter tries again."""
    path = tmp_path / "trousers.toml"
    sit(path, "yes", "Trousers", "quit")
    status, words = meddled(path, "back to height", "66", "")
    assert status == 2
    assert "NOT SAVED" in words
    assert "# by hand" in path.read_text()
    (aside,) = tmp_path.glob("trousers (not saved).toml")
    assert value(load(aside), "wearer.height") == "66 in"
    assert f"It is kept in {aside}." in words  # at once, not only as the sitting ends
    assert "Height [66, not saved]:" in words
    again = meddled(path, "back to height", "66", "", "", "mine", "quit")
    assert again[0] == 0
    assert value(load(path), "wearer.height") == "66 in"


@pytest.mark.parametrize(
    ("step", "action"), [("legs you like", "add a garment"), ("how narrow", "new design")]
)
@pytest.mark.parametrize("word", ["quit", "back"])
def test_a_command_is_no_name_of_something_new(step, action, word):
    """Asked for a name, quit and back leave; nothing of that name is made."""
    sitting = Sitting(f"steps {step}", f"more {action}", word, project=WHOLE)
    assert sitting.project == WHOLE
    assert "not done" in sitting.words


def test_without_a_file_one_is_chosen_or_begun(tmp_path, monkeypatch):
    """A name begins a project in this folder, and its unit is asked; then it is in the list."""
    monkeypatch.chdir(tmp_path)
    said = sit(None, "nowhere/at-all", "Courier trousers", "", "centimeters", "quit")[1]
    assert "There is no folder nowhere." in said
    assert "New project Courier trousers, in courier-trousers.toml? yes or no [yes]:" in said
    begun = load(tmp_path / "courier-trousers.toml")
    assert (begun.name, begun.length_unit) == ("Courier trousers", "cm")
    listed = sit(None, "7", "courier trousers", "quit")[1]
    assert "step 2: Wearer and fabric" in listed
    assert "There are numbers 1 to 1." in listed
    assert "Opened Courier trousers." in listed
    assert "Step 2: Wearer" in listed
    assert "Opened Courier trousers." in sit(None, "1", "quit")[1]
    assert "Opened Courier trousers." in sit(None, "courier-trousers.toml", "quit")[1]
    assert len(list(tmp_path.glob("*.toml"))) == 1
    assert sit(None)[0] == 0


@pytest.mark.parametrize(
    "lines", [[], [""], ["quit"], ["?", ""], ["help", ""], ["undo", ""], ["steps", ""], ["x", "no"]]
)
def test_nothing_is_begun_without_a_name(tmp_path, monkeypatch, lines):
    """`?` and `help` ask for help, a command's word is no name; Enter and quit end it."""
    monkeypatch.chdir(tmp_path)
    status, said = sit(None, *lines)
    assert status == 0
    assert said.endswith("Nothing was begun, and nothing was changed.")
    assert ("A name begins a project in a new file" in said) == (lines[:1] in (["?"], ["help"]))
    assert not list(tmp_path.glob("*.toml"))


@pytest.fixture
def whole(tmp_path):
    """Return the file of the example."""
    path = tmp_path / "trousers.toml"
    save_new(path, write_project(WHOLE))
    return path


def test_the_pattern_is_written_beside_the_project(whole, tmp_path):
    """At the end svg and dxf are written; what is there already is asked about."""
    end = ["steps pattern", "next", "svg, dxf", "narrowed", "", "leg"]
    status, said = sit(whole, *end)
    assert status == 0
    assert f"Wrote {tmp_path / 'leg.svg'}, the narrowed leg at true size." in said
    assert {file.name for file in tmp_path.glob("leg.*")} == {"leg.svg", "leg.dxf"}
    (tmp_path / "leg.dxf").unlink()
    again = sit(whole, *end, "no")[1]
    assert "Write over it? yes or no [no]:" in again
    assert "left as it was" in again


def test_every_format_can_be_written_from_the_prompts(whole, tmp_path):
    """`all` writes each row of the table of formats, the marking table among them."""
    said = sit(whole, "write", "all", "", "a0", "", "leg")[1]
    assert {file.name for file in tmp_path.glob("leg*")} == {f"leg{f.ending}" for f in ROWS}
    assert "Wrote" in said
    assert "Design: first taper" in (tmp_path / "leg-marks.txt").read_text()
    (tmp_path / "only").mkdir()
    sit(whole, "write", "marks", str(tmp_path / "only"), "table")
    assert [file.name for file in (tmp_path / "only").iterdir()] == ["table-marks.txt"]


ROWS = tuple(FORMATS.values())


@pytest.mark.parametrize(
    ("lines", "problem"),
    [
        (["png", "svg", "", "", "leg"], "png is not one of pdf, svg, dxf"),
        (["svg", "sideways", "NARROWED", "", "leg"], "none of these: narrowed; as the block"),
        (["svg", "", "", "../up", "leg"], "give a name without a folder"),
        (["svg", "", "no/where", "", "leg"], "there is no such folder"),
        (["svg pdf", "", "napkin", "a0", "", "leg"], "or a roll such as roll:91cm"),
    ],
)
def test_a_wrong_answer_about_files_is_asked_again(whole, tmp_path, lines, problem):
    """What would be right is said at once, and the same question comes again."""
    status, said = sit(whole, "steps pattern", "next", *lines, "quit")
    assert status == 0
    assert said.count("Not taken:") == 1
    assert problem in said
    assert f"Wrote {tmp_path / 'leg.svg'}" in said
    assert "Step 11: Muslin" in said


def test_back_leads_through_the_questions_about_files(whole):
    """From step 11 to what to write, from there to the last allowance; inside, one back."""
    write = "What [none]:"
    lines = ("steps muslin", "back", "", "back", "pdf", "", "back", "back", "none")
    said = sit(whole, *lines)[1]
    assert said.count(write) == 3
    assert said.count("Leg [both, for the muslin]:") == 2
    up = sit(whole, "steps muslin", "back", "back", "quit")[1]
    assert up.index(write) < up.index("Allowance at the inseam")


def test_a_paper_that_the_pattern_does_not_fit_is_asked_for_again(whole, tmp_path):
    """What else was said stands."""
    said = sit(whole, "write", "pdf", "", "roll:21 cm", "", "leg", "", "", "a0", "", "", "quit")[1]
    assert "Not written:" in said
    assert "Name [leg]:" in said
    assert (tmp_path / "leg.pdf").exists()


def test_files_can_be_written_from_every_step(whole):
    """`write` asks on the first step too; where there is no pattern it says what is missing."""
    assert "Wrote" in sit(whole, "steps project", "write", "svg", "", "", "leg", "quit")[1]
    early = Sitting("write", "quit").words
    assert "There is no pattern to write yet: it waits for the block." in early


def test_quit_inside_the_questions_about_files_writes_nothing(whole, tmp_path):
    """It leaves them alone, and the step goes on."""
    said = sit(whole, "steps project", "write", "svg", "?", "quit", "answers")[1]
    assert "Nothing was written; quit once more stops." in said
    assert "Name of the project: Courier trousers" in said
    assert not list(tmp_path.glob("*.svg"))


@pytest.mark.parametrize(
    ("reply", "writes"), [("Y", True), ("YES", True), ("n", False), ("", False), ("what", False)]
)
def test_yes_and_no_may_be_short(whole, tmp_path, reply, writes):
    """Yes and no may be a letter, in any case, Enter is no, and anything else is asked again."""
    (tmp_path / "leg.svg").write_text("old")
    said = sit(whole, "write", "svg", "", "", "leg", reply, "No", "quit")[1]
    assert said.count("Write over it? yes or no [no]:") == 1 + (reply == "what")
    assert ((tmp_path / "leg.svg").read_text() != "old") == writes


def test_comparing_needs_a_design():
    """Before there is one, `compare` says so instead of asking."""
    said = Sitting("compare", "quit").text
    assert "Not shown: no design yet; say how much comes off." in said
    assert "Which side by side" not in said


def test_which_hem_widths_work_is_said_line_by_line() -> None:
    """The command widths says a sentence for each width, or that it is too early to know."""
    assert (
        "18 in around, 0 in off each edge: without a slit." in Sitting("widths", project=WHOLE).text
    )
    assert "That is known once the block is there" in Sitting("widths").text


def test_a_command_is_taken_at_a_list_too():
    """Asked for the number of an answer or a step, a command's word does what it says."""
    sitting = Sitting("answers", "steps", "undo", "quit", project=WHOLE)
    assert "There is nothing to undo." in sitting.text
    assert "Type a number" not in sitting.text
