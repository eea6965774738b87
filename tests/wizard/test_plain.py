from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typed_example import TYPED, typed

from legtaper.files.project_file import write_project
from legtaper.files.store import Store, load, save_new
from legtaper.model.project import Project
from legtaper_wizard.flow.steps import STEPS, answer, shows, value
from legtaper_wizard.prompts import run
from legtaper_wizard.prompts.console import WIDTH, Voice
from legtaper_wizard.prompts.loop import PlainWizard
from legtaper_wizard.prompts.output import COMMANDS, say_help
from legtaper_wizard.prompts.prompt_order import prompts_of

WHOLE = typed()


class Drawer:
    """A keeper that remembers what it was given."""

    def __init__(self) -> None:
        self.kept: list[Project] = []

    def save(self, project: Project) -> str:
        """Remember one more project."""
        self.kept.append(project)
        return "Saved 14:02."


class Sitting:
    """One sitting from typed lines to the end of the input."""

    def __init__(self, *lines: str, project: Project | None = None, ascii_only: bool = False):
        out, self.drawer = io.StringIO(), Drawer()
        voice = Voice(io.StringIO("".join(f"{line}\n" for line in lines)), out, ascii_only)
        wizard = PlainWizard(voice, project or Project(), self.drawer, Path("nowhere"))
        wizard.run()
        self.project, self.text = wizard.project, out.getvalue()
        self.words = " ".join(self.text.split())


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
            index = [p.field.key for p in prompts_of(project, step)].index(key) + 1
    return lines


def test_the_whole_example_line_by_line_gives_the_same_project():
    """What is typed at the prompts, in order, is the project that the answers alone make."""
    sitting = Sitting(*lines_of_the_example())
    assert sitting.project == WHOLE
    for number, step in enumerate(STEPS, 1):
        assert f"Step {number} of 11: {step.title}" in sitting.text
    assert "comes to 15 1/2 in round the leg; 2 1/2 in off" in sitting.words


def test_every_accepted_answer_is_saved_before_the_next_question():
    """There is one save for each answer, and the last one holds everything."""
    sitting = Sitting(*lines_of_the_example())
    assert len(sitting.drawer.kept) == len(TYPED)
    assert sitting.drawer.kept[-1] == WHOLE
    assert sitting.text.count("Saved 14:02.") + sitting.text.count("Saved\n14:02.") == len(TYPED)


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
        answered = [line for line in lines[:stop] if line]
        assert len(sitting.drawer.kept) == len(answered)
        assert (sitting.drawer.kept or [Project()])[-1] == sitting.project


def test_a_refused_answer_is_explained_and_asked_again():
    """The error says what would be right, nothing is saved, and the same question returns."""
    sitting = Sitting("Trousers", "", "66 yards", "66")
    assert 'Not taken: "yards" is not a unit' in sitting.words
    assert sitting.text.count("Height [skip]:") == 2
    assert value(sitting.project, "wearer.height") == "66 in"
    assert len(sitting.drawer.kept) == 2


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
    assert value(sitting.project, "wearer.waist") == "35 in"
    assert "Undone: Waist." in sitting.text
    assert "Made again: Waist." in sitting.text
    assert len(sitting.drawer.kept) == 7
    empty = Sitting("undo", "redo")
    assert "There is nothing to undo." in empty.text
    assert "There is nothing to make again." in empty.text


def test_undo_across_steps_goes_back_to_the_step():
    """Undoing an answer of an earlier step shows that step again."""
    sitting = Sitting("Trousers", "2", "undo", "quit")
    assert sitting.project.length_unit == "in"
    assert sitting.text.count("Step 1 of 11") == 2


def test_steps_lists_all_with_their_state_and_jumps_by_number():
    """`steps` marks each step in words; a locked step says what it waits for."""
    sitting = Sitting("steps", "6", "12", "3", "steps", "", "quit")
    assert " 1 [open] Project" in sitting.text
    assert " 6 [locked] How narrow - waits for the block" in sitting.text
    assert "How narrow waits for the block." in sitting.text
    assert "There are steps 1 to 11." in sitting.text
    assert sitting.text.count("Number of the step, or Enter to stay:") == 4
    assert sitting.text.count("Step 3 of 11: Block") == 1


def test_help_is_about_the_question():
    """`?` says how to measure and common slips; of the commands it names the one that tells."""
    sitting = Sitting("steps", "2", *[""] * 6, "?", "quit")
    assert "It is larger than the knee standing." in sitting.text
    assert "Type commands to hear what else can be typed." in sitting.text
    assert "stop; every answer is saved" not in sitting.text


def test_commands_are_told_when_they_are_asked_for():
    """`commands` names each word that is taken, and how to answer with one of them."""
    sitting = Sitting("commands", "quit")
    assert all(f"{name}: {does}" in sitting.words for name, does in COMMANDS)
    assert "When the answer itself is such a word, as in back, type =back." in sitting.words
    for name in ", ".join(name for name, _ in COMMANDS if name != "quit").split(", "):
        assert "Not taken" not in Sitting(name, "quit").text
        assert Sitting(name, "quit").project.name == ""


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
        say_help(Voice(io.StringIO(), out), STEPS[step].id, key)
        self.words = " ".join(out.getvalue().split())


def test_on_entering_a_step_what_wants_care_comes_first():
    """Fails and cares are said in full; what is well is counted, and said on `notes`."""
    sitting = Sitting("steps", "10", "quit", project=WHOLE)
    entered = sitting.text[sitting.text.rindex("Step 10 of 11") :]
    well = sum(note.kind == "good" for note in shows(WHOLE, "pattern"))
    assert well > 5
    assert f"{well} more are well; type notes to hear them." in entered
    assert "[ok]" not in entered
    first = [line for line in entered.splitlines() if line.startswith("[")]
    assert [line.split("]")[0] for line in first] == sorted(line.split("]")[0] for line in first)
    told = Sitting("steps", "10", "notes", "quit", project=WHOLE)
    assert told.text[told.text.rindex("Step 10 of 11") :].count("[ok]") == well


def test_a_locked_step_is_passed_in_a_line():
    """What it is for is not read out before it can be answered."""
    sitting = Sitting("steps", "3", "next", "quit", project=typed("name"))
    entered = sitting.text[sitting.text.index("Step 4 of 11") :]
    assert entered.splitlines()[1] == "Waits for the block."


def test_a_number_that_is_asked_about_can_be_changed():
    """Behind the question stands how; the numbers of a file that is opened are named."""
    sitting = Sitting(*TO_THE_WAIST, "34", "back", "80 cm", "quit", project=METRIC)
    assert "[?] Waist: read as 13 3/8 in, 34 cm." in sitting.words
    assert "To change your answer, type back." in sitting.text
    assert value(sitting.project, "wearer.waist") == "80 cm"
    odd = answer(METRIC, "wearer.waist", "34")
    resumed = Sitting(*TO_THE_WAIST, "quit", project=odd)
    assert "To change it, answer Waist again." in resumed.text


METRIC = Project("Trial", "cm")
TO_THE_WAIST = ("steps", "2", "")


def test_a_blend_that_fails_says_how_it_is_changed():
    """[FAIL] is followed by the way back to the answer; a good answer has no such line."""
    failed = Sitting("steps", "7", "", "", "straight", "back", "follow", "quit", project=WHOLE)
    assert "[FAIL] A ruled back outseam would lie outside the old seam" in failed.words
    assert failed.text.count("To change your answer, type back.") == 1
    assert failed.project == WHOLE


def test_a_metric_length_is_not_said_twice():
    """38 cm is said as it was typed; what is less plain is still said in millimeters."""
    lines = ("84.5", "back", "82 1/2 cm", "back", "34 in")
    said = Sitting(*TO_THE_WAIST, *lines, project=METRIC).text
    assert "84.5 cm. Saved" in said
    assert "845 mm" not in said
    assert "82 1/2 cm = 825 mm" in said
    assert "34 in = 863.6 mm" in said


def test_an_unnamed_project_goes_on_where_it_stopped():
    """A name that was never given does not lead back to the first step."""
    unnamed = typed(*[key for key, _ in TYPED if key != "name"])
    assert unnamed.name == ""
    assert "Step 10 of 11" in Sitting("quit", project=unnamed).text


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
    """`skip` goes from the girths to the cloth, `next` on to the block."""
    assert (
        "Height [skip]: \nA few words, such as 8 oz twill."
        in Sitting("Trousers", "", "skip", "quit").text
    )
    assert "Step 3 of 11" in Sitting("Trousers", "", "next", "quit").text


def test_a_finished_width_is_not_asked_for_where_a_take_in_was_given():
    """After a take-in at the hem the next question is about the calf."""
    project = typed("name", "block.")
    sitting = Sitting("steps", "6", "5/8", "", "quit", project=project)
    assert "Or finished width, hem" not in sitting.text
    assert "Or finished width, calf" in sitting.text


def test_plus_and_minus_move_a_blend():
    """`-2` moves two steps down; at the end of its range it stays and says so."""
    sitting = Sitting("steps", "7", "-2", "+", "+9", "+", "quit", project=WHOLE)
    assert "Outseam blends at 37 1/2 in." in sitting.text
    assert "Outseam blends at 37 3/4 in." in sitting.text
    assert "It is at the end of its range and stays." in sitting.text
    assert "Type + or - to move it by a step of 1/4 in" in sitting.words
    assert value(sitting.project, "design.blend.outseam") == "38 in"


def test_enter_takes_the_usual_blend_and_records_it():
    """The blend is the one default that is recorded, because it is the choice of that step."""
    open_blend = typed(*[key for key, _ in TYPED if not key.startswith("design.blend")])
    sitting = Sitting("", "", "quit", project=open_blend)
    assert sitting.project == WHOLE


def test_more_offers_what_else_can_be_done():
    """Actions are chosen by number and asked for what they need."""
    sitting = Sitting("steps", "6", "more", "1", "more", "2", "slim", "quit", project=WHOLE)
    assert "1: Like Grey corduroys" in sitting.text
    assert [design.name for design in sitting.project.designs] == ["first taper", "slim"]
    assert value(sitting.project, "design.width.hem") == "14 1/4 in"
    odd = Sitting("steps", "6", "more", "77", "2", "first taper", "quit", project=WHOLE)
    assert "There are numbers 1 to" in odd.text
    assert "Not done: there is a design" in odd.words
    assert odd.project == WHOLE
    assert "There is nothing else to do on this step." in Sitting("more").text


def test_another_liked_garment_is_asked_for_after_the_last():
    """Each garment has its questions; an empty name ends the step."""
    sitting = Sitting("steps", "5", "skip", "skip", "skip", "skip", "Jeans", "2", project=WHOLE)
    assert [liked.garment for liked in sitting.project.liked] == ["Grey corduroys", "Jeans"]
    assert sitting.project.liked[1].measured == "round"


def test_work_goes_on_where_it_stopped():
    """A half-finished project opens at its first open step."""
    text = Sitting(project=typed("name", "wearer")).text
    assert re.findall(r"Step \d+ of 11", text) == ["Step 3 of 11"]


def test_a_name_with_accents_is_spelled_plainly_in_ascii():
    """ASCII only leaves no other letter, and the answer itself keeps its letters."""
    sitting = Sitting("Hose für Zoë", "quit", ascii_only=True)
    assert sitting.text.isascii()
    assert sitting.project.name == "Hose für Zoë"


def test_an_output_that_cannot_spell_a_name_does_not_stop_the_wizard():
    """On an ASCII stream the same name is spelled plainly without being asked to."""
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="ascii", write_through=True)
    wizard = PlainWizard(Voice(io.StringIO("Zoë 2½\n"), out), Project(), Drawer(), Path())
    wizard.run()
    assert b"Zoe 2 1/2. Saved" in raw.getvalue()


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


@settings(max_examples=40, deadline=None)
@given(st.lists(LINES, max_size=40), st.booleans())
def test_no_line_breaks_a_sitting(lines, whole):
    """Whatever is typed, the sitting ends well and the last save holds what is shown."""
    sitting = Sitting(*lines, project=WHOLE if whole else None)
    assert sitting.text
    if sitting.drawer.kept:
        assert sitting.drawer.kept[-1] == sitting.project


# --- on disk --------------------------------------------------------------------------------


@pytest.fixture(autouse=True)
def no_recent_list(tmp_path, monkeypatch):
    """Keep the list of recent projects of this machine out of it."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def sit(path: Path | None, *lines: str) -> tuple[int, str]:
    """Run the plain wizard on a file; return the exit status and what it said on one line."""
    out = io.StringIO()
    stdin = io.StringIO("".join(f"{line}\n" for line in lines))
    status = run(path, stdin=stdin, stdout=out)
    return status, " ".join(out.getvalue().split())


def test_a_new_project_is_begun_answered_and_picked_up_again(tmp_path):
    """The file holds every answer of the first sitting, and the second goes on from there."""
    path = tmp_path / "trousers.toml"
    lines = lines_of_the_example()
    status, said = sit(path, *lines[:20])
    assert status == 0
    assert f"Every answer is saved in {path}" in said
    half = load(path)
    assert half.name == "Courier trousers"
    assert "Step 3 of 11" in sit(path)[1]
    sit(path, *lines_after(half, lines))
    assert load(path) == WHOLE


def lines_after(project: Project, lines: list[str]) -> list[str]:
    """Return the lines that answer what the block and the steps behind it still want."""
    questions = sum(len(prompts_of(project, step)) for step in range(2))
    return lines[questions:]


def test_saying_when_it_was_saved_comes_from_the_finished_write(tmp_path):
    """After "Saved 14:02." the file already holds the answer."""
    path = tmp_path / "trousers.toml"
    said = sit(path, "Trousers")[1]
    assert re.search(r"Trousers\. Saved \d\d:\d\d\.", said)
    assert load(path).name == "Trousers"


def test_a_second_opening_is_told_who_has_it_and_may_look(tmp_path):
    """The second session shows answers and findings, says who writes, and changes nothing."""
    path = tmp_path / "trousers.toml"
    sit(path, "Trousers")
    first = Store.open(path, for_writing=True)
    before = path.read_bytes()
    status, said = sit(path, "Other name")
    first.close()
    assert status == 0
    assert "can only be looked at: open in another session" in said
    assert "Name of the project: Trousers" in said
    assert path.read_bytes() == before


def test_answers_that_cannot_be_saved_are_kept_under_another_name(tmp_path):
    """Where another program changed the file meanwhile, nothing of either is lost."""
    path = tmp_path / "trousers.toml"
    sit(path, "Trousers")

    class Meddler(io.StringIO):
        def readline(self, *args):
            path.write_text(path.read_text() + "# by hand\n")
            return super().readline(*args)

    out = io.StringIO()
    status = run(path, stdin=Meddler("66\n"), stdout=out)
    words = " ".join(out.getvalue().split())
    assert status == 2
    assert "NOT SAVED" in words
    assert "# by hand" in path.read_text()
    (aside,) = tmp_path.glob("trousers-*.toml")
    assert value(load(aside), "wearer.height") == "66 in"
    assert f"It is kept in {aside}." in words  # at once, not only as the sitting ends


@pytest.mark.parametrize(("step", "number"), [("5", "1"), ("6", "2")])
@pytest.mark.parametrize("word", ["quit", "back"])
def test_a_command_is_no_name_of_something_new(step, number, word):
    """Asked for a name, quit and back leave; nothing of that name is made."""
    sitting = Sitting("steps", step, "more", number, word, project=WHOLE)
    assert sitting.project == WHOLE
    assert "not done" in sitting.words


def test_without_a_file_one_is_chosen_or_begun(tmp_path, monkeypatch):
    """A name begins a project in this folder; next time it is the first in the list."""
    monkeypatch.chdir(tmp_path)
    said = sit(None, "nowhere/at-all", "courier", "Courier trousers", "quit")[1]
    assert "There is no folder nowhere." in said
    assert load(tmp_path / "courier.toml").name == "Courier trousers"
    listed = sit(None, "7", "1", "quit")[1]
    assert "step 2: Wearer and cloth" in listed
    assert "There are numbers 1 to 1." in listed
    assert "Step 2 of 11" in listed
    assert sit(None)[0] == 0


@pytest.mark.parametrize("lines", [[], [""], ["quit"], ["?", ""]])
def test_nothing_is_begun_without_a_name(tmp_path, monkeypatch, lines):
    """`?` is no name but asks for help; Enter and quit end with a closing word."""
    monkeypatch.chdir(tmp_path)
    status, said = sit(None, *lines)
    assert status == 0
    assert said.endswith("Nothing was begun, and nothing was changed.")
    assert ("A name begins a project in a new file" in said) == ("?" in lines)
    assert not list(tmp_path.glob("*.toml"))


def test_the_name_of_a_new_project_need_not_be_typed_twice(tmp_path, monkeypatch):
    """What was typed for the file stands at the name; Enter keeps it, and the unit is asked."""
    monkeypatch.chdir(tmp_path)
    said = sit(None, "winter trousers", "", "2")[1]
    assert "Name of the project [winter trousers]:" in said
    begun = load(tmp_path / "winter trousers.toml")
    assert (begun.name, begun.length_unit) == ("winter trousers", "cm")


def test_the_pattern_is_written_beside_the_project(tmp_path):
    """At the end svg and dxf are written; what is there already is asked about."""
    path = tmp_path / "trousers.toml"
    save_new(path, write_project(WHOLE))
    end = ["steps", "10", "next", "svg, dxf", "", "leg"]
    status, said = sit(path, *end)
    assert status == 0
    assert f"Wrote {tmp_path / 'leg.svg'}, the narrowed leg at true size." in said
    assert {file.name for file in tmp_path.glob("leg.*")} == {"leg.svg", "leg.dxf"}
    (tmp_path / "leg.dxf").unlink()
    again = sit(path, *end, "no")[1]
    assert "Write over it? yes or no [no]:" in again
    assert "left as it was" in again


@pytest.mark.parametrize(
    ("lines", "problem"),
    [
        (["png", "svg", "", "leg"], "png is not one of pdf, svg, dxf"),
        (["svg", "left", "NARROWED", "leg"], "the leg is one of narrowed, unaltered, both"),
        (["svg", "narrowed", "../up", "leg"], "give a name without a folder"),
        (["svg pdf", "napkin", "a0", "", "leg"], "a roll such as roll:91cm"),
    ],
)
def test_a_wrong_answer_about_files_is_asked_again(tmp_path, lines, problem):
    """What would be right is said at once, and the same question comes again."""
    path = tmp_path / "trousers.toml"
    save_new(path, write_project(WHOLE))
    status, said = sit(path, "steps", "10", "next", *lines, "quit")
    assert status == 0
    assert said.count("Not taken:") == 1
    assert problem in said
    assert f"Wrote {tmp_path / 'leg.svg'}" in said
    assert "Step 11 of 11" in said


def test_back_leads_through_the_questions_about_files(tmp_path):
    """From step 11 to what to write, from there to the last allowance; inside, one back."""
    path = tmp_path / "trousers.toml"
    save_new(path, write_project(WHOLE))
    write = "Write which [none]:"
    said = sit(path, "steps", "11", "back", "", "back", "pdf", "", "back", "back", "none")[1]
    assert said.count(write) == 3
    assert said.count("Paper [letter]:") == 2
    up = sit(path, "steps", "11", "back", "back", "quit")[1]
    assert up.index(write) < up.index("Allowance at the slit")


def test_a_paper_that_the_pattern_does_not_fit_is_asked_for_again(tmp_path):
    """Only the paper; what else was said stands."""
    path = tmp_path / "trousers.toml"
    save_new(path, write_project(WHOLE))
    said = sit(path, "write", "pdf", "roll:21 cm", "", "leg", "a0", "quit")[1]
    assert "Not written:" in said
    assert said.count("Leg [narrowed]:") == 1
    assert (tmp_path / "leg.pdf").exists()


def test_files_can_be_written_from_every_step(tmp_path):
    """`write` asks on the first step too; where there is no pattern it says what is missing."""
    path = tmp_path / "trousers.toml"
    save_new(path, write_project(WHOLE))
    assert "Wrote" in sit(path, "steps", "1", "write", "svg", "", "leg", "quit")[1]
    early = Sitting("write", "quit").words
    assert "There is no pattern to write yet: it waits for the block." in early


def test_quit_inside_the_questions_about_files_writes_nothing(tmp_path):
    """It leaves them alone, and the step goes on."""
    path = tmp_path / "trousers.toml"
    save_new(path, write_project(WHOLE))
    said = sit(path, "steps", "1", "write", "svg", "?", "quit", "answers")[1]
    assert "Nothing was written; quit once more stops." in said
    assert "Name of the project: Courier trousers" in said
    assert not list(tmp_path.glob("*.svg"))


@pytest.mark.parametrize(
    ("reply", "writes"), [("Y", True), ("YES", True), ("n", False), ("", False), ("what", False)]
)
def test_yes_and_no_may_be_short(tmp_path, reply, writes):
    """Yes and no may be a letter, in any case, Enter is no, and anything else is asked again."""
    path = tmp_path / "trousers.toml"
    save_new(path, write_project(WHOLE))
    (tmp_path / "leg.svg").write_text("old")
    said = sit(path, "write", "svg", "", "leg", reply, "No", "quit")[1]
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
        "18 in round, 0 in off each edge: without a slit." in Sitting("widths", project=WHOLE).text
    )
    assert "That is known once the block stands" in Sitting("widths").text
