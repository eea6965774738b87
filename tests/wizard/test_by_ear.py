"""The line prompts as they are heard: how many words, by what name, and what is told when."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from typed_example import TYPED, empty_row, typed
from typist import Sitting, Typist, sit

from legtaper.files.project_file import write_project
from legtaper.files.store import StoreError, load, save_new
from legtaper.model.project import Project
from legtaper_wizard.flow.examples import example_text
from legtaper_wizard.flow.questions import field_at
from legtaper_wizard.flow.steps import STEPS, actions, answer, value
from legtaper_wizard.prompts import run
from legtaper_wizard.prompts.prompt_order import meant, named, prompts_of
from legtaper_wizard.prompts.questions_heard import by_number_or_words

pytestmark = pytest.mark.usefixtures("new_account")

WHOLE = typed()
BEFORE, MOST = 2525, 1250
"""Words to the first file of the record below: before they were halved, and at most now."""


@pytest.fixture
def whole(tmp_path: Path) -> Path:
    """Return the file of the example, with everything answered."""
    path = tmp_path / "trousers.toml"
    save_new(path, write_project(WHOLE))
    return path


def record() -> list[str]:
    """Return the lines of the case whose words are counted.

    The answers of the example, Enter where it has none, and `next` where nothing more is
    answered in a step that still asks three things.
    """
    lines, project, answers = [], Project(), dict(TYPED)
    for step in range(len(STEPS) - 1):
        index = 0
        while index < len(prompts := prompts_of(project, step)):
            keys = [prompt.field.key for prompt in prompts[index:]]
            text = "" if value(project, keys[0]) else answers.get(keys[0], "")
            if len(keys) > 2 and not any(k in answers and not value(project, k) for k in keys):
                lines.append("next")
                break
            lines.append(text)
            if text:
                project = answer(project, keys[0], text)
            index += 0 if text else max(len(empty_row(project, prompts, index)) - 1, 0)
            key = prompts[index].field.key
            index = [p.field.key for p in prompts_of(project, step)].index(key) + 1
    return lines


def test_half_the_words_lead_to_the_first_file(tmp_path: Path) -> None:
    """A whole job as speech would read it, from the name to the first file written."""
    lines = ["yes", *record(), "svg", "", "", "leg"]
    said = sit(tmp_path / "t.toml", *lines)[1]
    assert (tmp_path / "leg.svg").exists()
    words = len(said[: said.index("Wrote ")].split())
    assert words <= MOST < BEFORE / 2
    assert words > MOST / 2  # or the record no longer walks the whole way


NEWCOMER = (
    "Lena||2|171|76||99|57|37,5|41|36|23|33||gray twill|1|||||"  # and no stretch, no shrinkage
    "||35|46|70|75,5|95||10,5 10,5 11,8 11,8|11 11 12,5 12,5|11,4 11,2 13 12,9|15 14,2 17 17,5|"
    "15,6 18 18 23|15,2 17,1|1|||black jeans|1||17 / 18,5|||||35|||||||"
    "|||||||||||||pdf marks||||"
)
"""A body and a block of nobody, in centimeters, and Enter wherever she has no answer."""


def test_a_newcomer_hears_no_more_though_no_question_is_passed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From an empty folder: every question and every list is heard, none passed by `next`."""
    monkeypatch.chdir(tmp_path)
    _, said = sit(None, *NEWCOMER.split("|"))
    project = load(tmp_path / "lena.toml")
    assert project.designs[0].width["hem"].mm == 350
    assert project.liked[0].back_width["hem"].mm == 185
    assert "lena-first-taper-test-marks.txt, the marking table" in said
    assert MOST / 2 < len(said[: said.index("Wrote ")].split()) <= MOST


TEACHER = (
    "Ear trousers||2|168|75.5|94|103.5|61|40|43|36.5|24|35|stretch cotton twill|2|12.5|10.3 cm|"
    "0.8 mm|||jeans block|32|46|72|80|88||11 11 12 12|11.3 11.3 12.2 12.2|11.5 11.5 12.5 12.5|"
    "14 14 16 20|14 16.5 16 23|13.5 15.5|1|2026-03-14||slim chinos||15|17 / 18.5|17.5 / 20|"
    "20.5 / 23|31||36|39|44|||||||||||||||||pdf marks||||"
)
"""Somebody who answers nearly all: every girth, every level, a garment at four, three widths."""
MOST_ANSWERED = 1330
"""Words to the first file where nearly all is answered: 1,488 before what was known was cut."""


def test_one_who_answers_nearly_all_hears_what_is_new(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither sums that the prompt has said, nor what an answer says for the second time."""
    monkeypatch.chdir(tmp_path)
    _, said = sit(None, *TEACHER.split("|"))
    project = load(tmp_path / "ear-trousers.toml")
    assert {level: width.mm for level, width in project.designs[0].width.items()} == {
        "hem": 360, "calf": 390, "knee": 440,
    }  # fmt: skip
    assert len(project.block.reach["back_inseam"]) == 5
    assert "ear-trousers-first-taper-test-marks.txt, the marking table" in said
    assert MOST / 2 < len(said[: said.index("Wrote ")].split()) <= MOST_ANSWERED


# --- choices, names ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "said", "meant"),
    [
        ("length_unit", "centimeters", "cm"),
        ("length_unit", "Inches", "in"),
        ("fabric.kind", "woven with stretch", "stretch-woven"),
        ("fabric.kind", "stretch", "stretch-woven"),
        ("fabric.kind", "3", "knit"),
        ("block_test.verdict", "needs fitting", "needs fitting"),
        ("design.blend.style", "straight", "straight"),
        ("design.hem.style", "a separate facing", "faced"),
    ],
)
def test_a_choice_is_taken_by_its_words(key: str, said: str, meant: str) -> None:
    """Its words as they are read out, the first or some of them, or its number."""
    sitting = Sitting(f"{key} = {said}", "quit", project=WHOLE)
    assert value(sitting.project, key) == meant


def test_words_may_stand_in_place_of_a_length() -> None:
    """A slit takes "no slit" as it takes a height."""
    slit = field_at(WHOLE, "design.slit.height")
    assert [meant(slit, said) for said in ("no slit", "auto", "2 in")] == ["none", "auto", "2 in"]


def test_words_that_fit_two_choices_are_refused() -> None:
    """The choices are named, and nothing is changed."""
    sitting = Sitting("kind of = woven", "kind of fabric = wool", "quit", project=WHOLE)
    assert "Not taken" in sitting.words
    assert value(sitting.project, "fabric.kind") in ("", "woven")


def test_any_question_is_answered_by_its_name_from_anywhere() -> None:
    """`name = value` leaves her where she is; of several questions it says which."""
    sitting = Sitting("hip = 40 in", "hem = 5", "nonsense = 5", "", "quit", project=WHOLE)
    assert value(sitting.project, "wearer.hip") == "40 in"
    assert "Hip 40 in." in sitting.text
    assert '"hem" may be: ' in sitting.words
    assert 'There is no question "nonsense".' in sitting.words
    assert sitting.text.count("Seam allowance [5/8 in]:") == 4
    locked = Sitting("trousers", "", "take off hem = 1", "quit")
    assert "How narrow waits for the block." in locked.words


def test_a_name_may_hold_an_equals_sign() -> None:
    """A text in which no question is named is the answer itself."""
    assert Sitting("2 = 1 pair", "quit").project.name == "2 = 1 pair"


def test_every_question_is_found_by_its_label_or_its_key() -> None:
    """Among all that are asked of the example, each can be named so that it alone is meant."""
    for step in range(len(STEPS)):
        for prompt in prompts_of(WHOLE, step):
            found = named(WHOLE, prompt.field.key, prompt, prompt.at)
            assert [one.field.key for one in found] == [prompt.field.key]
            by_label = named(WHOLE, prompt.field.label, prompt, prompt.at)
            assert prompt.field.key in [one.field.key for one in by_label]


def test_back_takes_a_number_or_a_name() -> None:
    """`back 3` goes three questions back, `back to hip` to that question, on or back."""
    sitting = Sitting("Trial", "cm", "170", "80", "100", "back 3", "", "back to hip", "98", "quit")
    asked = re.findall(r"^(\w[\w ,]*) \[", sitting.text, re.MULTILINE)
    assert asked[:5] == ["Name of the project", "Unit", "Height", "Waist", "High hip"]
    assert asked[5:9] == ["Hip", "Height", "Waist", "Hip"]
    assert value(sitting.project, "wearer.hip") == "98 cm"
    wrong = Sitting("back to nowhere", "back to blend", "quit", project=typed("name"))
    assert 'There is no question "nowhere".' in wrong.words


def test_answers_are_told_with_numbers_to_jump_by() -> None:
    """A number or a label leads to the question, Enter stays."""
    sitting = Sitting("answers", "2", "33", "answers waist", "quit", project=WHOLE)
    assert re.search(r"^ +2: Unit: inches", sitting.text, re.MULTILINE)
    assert "Unit [inches]:" in sitting.text
    assert "Waist [34 in]:" in sitting.text


# --- how much is said --------------------------------------------------------------------------


def test_what_was_heard_is_said_again_only_when_asked_for() -> None:
    """How to measure is said once; `long` says it each time, `short` not at all."""
    how = "Tape level, close but not pulled."
    once = Sitting("steps wearer", *["", "", "", ""], "quit", project=typed("name"))
    assert once.words.count(how) == 1
    every = Sitting("long", "steps wearer", *["", "", "", ""], "quit", project=typed("name"))
    assert every.words.count(how) > 2
    never = Sitting("short", "steps wearer", *["", "", "", ""], "quit", project=typed("name"))
    assert never.words.count(how) == 0


# --- marks, designs, garments ------------------------------------------------------------------


def test_the_marking_table_is_heard_mark_by_mark() -> None:
    """Enter is the next mark, back the one before, a number leads to one, quit leaves."""
    sitting = Sitting("marks", "", "back", "4", "quit", "quit", project=WHOLE)
    numbers = re.findall(r"^(\d+): ", sitting.text, re.MULTILINE)
    assert numbers == ["1", "2", "1", "4"]
    assert "1: Front inseam, hem: 5/8 in inside the old line" in sitting.words
    assert re.search(r"^2: [A-Z](?!ront)", sitting.text, re.MULTILINE)  # the edge is known
    assert re.search(r"^4: Front inseam, ", sitting.text, re.MULTILINE)  # and here it is not
    everything = Sitting("marks", "all", *[""] * 9, "quit", project=WHOLE)
    assert "Back outseam, hem:" in everything.words
    assert "There are no marks yet" in Sitting("marks", "quit").words


def test_designs_are_switched_and_named(tmp_path: Path) -> None:
    """What is answered then is about that design, and so is what is written."""
    path = tmp_path / "two.toml"
    path.write_text(example_text("courier"))
    said = sit(path, "designs", "easy", "write", "svg", "", "", "easy", "designs 2", "quit")[1]
    assert "2: slim taper, worked on now" in said
    assert 'Work goes on with the design "easy taper".' in said
    assert "easy taper" in (tmp_path / "easy.svg").read_text()
    assert 'Work goes on with the design "slim taper".' in said
    assert "no design yet" in Sitting("designs", "quit").words


def test_garments_are_gone_to_by_name() -> None:
    """The one that is named is asked about next."""
    two = answer(WHOLE, "liked.1.garment", "Jeans")
    sitting = Sitting("garments jeans", "Blue jeans", "quit", project=two)
    assert [liked.garment for liked in sitting.project.liked] == ["Gray corduroys", "Blue jeans"]
    assert "Legs you like asks for them" in Sitting("garments", "quit").words


@pytest.mark.parametrize("step", [step.title for step in STEPS])
def test_every_action_of_a_step_is_offered_at_the_prompts(tmp_path: Path, step: str) -> None:
    """`more` lists what the steps say can be done, and takes each by its words."""
    path = tmp_path / "c.toml"
    path.write_text(example_text("courier"))
    project = load(path)
    known = actions(project, next(one.id for one in STEPS if one.title == step))
    said = sit(path, f"steps {step}", "more", "", "quit")[1]
    assert all(f"{number}: {action.label}" in said for number, action in enumerate(known, 1))
    assert ("There is nothing else to do on this step." in said) == (not known)
    for number, action in enumerate(known):
        assert by_number_or_words([one.label for one in known], action.label) == [number]


# --- where she left ----------------------------------------------------------------------------


def test_work_goes_on_at_the_question_where_it_was_left(tmp_path: Path) -> None:
    """Also where the line dropped; what was passed over is told, and how to answer it."""
    path = tmp_path / "t.toml"
    sit(path, "yes", "Trial", "", "66", "", "39", "41", "")
    said = sit(path)[1]
    assert "1 not answered: thigh." in said
    assert "as in thigh = ..." in said
    assert said.index("Knee [skip]:") < said.index("Stopped.")
    assert "Height [" not in said


def test_undo_reaches_back_to_how_the_last_sitting_began(tmp_path: Path) -> None:
    """After reopening, undo asks before it takes back the whole last sitting; redo makes it."""
    path = tmp_path / "t.toml"
    sit(path, "yes", "Trial", "", "66", "quit")
    sit(path, "wearer.waist = 34", "wearer.hip = 41", "quit")
    said = sit(path, "undo", "no", "quit")[1]
    assert "Take back everything of the last one? yes or no [no]:" in said
    assert load(path).wearer.waist is not None
    said = sit(path, "undo", "yes", "quit")[1]
    assert "Undone: everything since the last sitting began. Type redo to have it again." in said
    assert (load(path).wearer.height, load(path).wearer.waist) != (None, None)
    assert load(path).wearer.waist is None
    sit(path, "undo", "yes", "quit")  # and that is undone in the same way
    assert load(path).wearer.waist is not None


# --- by script ---------------------------------------------------------------------------------


def script(path: Path, *lines: str, new: bool = False) -> tuple[int, str]:
    """Pipe lines to the prompts; return the exit status and what was said, as one line."""
    out, stdin = io.StringIO(), io.StringIO("".join(f"{line}\n" for line in lines))
    status = run(path, stdin=stdin, stdout=out, new=new)
    return status, " ".join(out.getvalue().split())


def test_a_script_stops_at_the_first_refusal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit status 2, the line is named, and what stood before it is saved."""
    path = tmp_path / "t.toml"
    status, _ = script(path, "Trial", "cm", "height = 170", "waist = wide", "hip = 100", new=True)
    assert status == 2
    says = capsys.readouterr().err
    assert says.startswith("legtaper: line 4 was not taken: ")
    assert "Not taken" not in says
    assert says.count("\n") == 1
    assert value(load(path), "wearer.height") == "170 cm"
    assert load(path).wearer.hip is None


def test_a_second_run_of_a_script_changes_nothing(tmp_path: Path) -> None:
    """A new file is refused where it is there; answers by name are the same once more."""
    path = tmp_path / "t.toml"
    lines = ("Trial", "centimeters", "height = 170", "waist = 80", "quit")
    assert script(path, *lines, new=True)[0] == 0
    before = path.read_bytes()
    with pytest.raises(StoreError, match="is there already; open it without --new"):
        script(path, *lines, new=True)
    assert path.read_bytes() == before
    assert script(path, "name = Trial", "height = 170", "waist = 80", "quit")[0] == 0
    assert path.read_bytes() == before


def test_a_doubtful_number_does_not_stop_a_script(tmp_path: Path) -> None:
    """What is odd is said; the next line is the next answer, not a yes or no."""
    path = tmp_path / "t.toml"
    status, said = script(path, "Trial", "cm", "170", "34", "100", new=True)
    assert status == 0
    assert "Waist: read as 34 cm, 13 3/8 in." in said
    assert "Keep" not in said
    assert value(load(path), "wearer.high_hip") == "100 cm"


def test_a_number_is_never_broken_over_a_line(tmp_path: Path) -> None:
    """A whole number, its fraction and its unit stay on one line."""
    out = io.StringIO()
    path = tmp_path / "t.toml"
    save_new(path, write_project(WHOLE))
    run(path, stdin=Typist(["notes", "widths", "answers", "", "quit"], out), stdout=out)
    for line in out.getvalue().splitlines():
        assert not re.match(r"\s*(?:\d+/\d+|in|cm|mm)\b", line), line


@pytest.mark.parametrize(
    ("name", "step", "action"),
    [
        ("age, of a child", "Wearer and fabric", "The wearer is a child"),
        ("Leg moved at the hem", "How narrow", "Move the leg, for bow legs or knock knees"),
    ],
)
def test_a_question_that_an_action_begins_is_told_by_its_name(
    tmp_path: Path, name: str, step: str, action: str
) -> None:
    """It is not unknown: the line says what to choose, and where."""
    path = tmp_path / "c.toml"
    path.write_text(example_text("courier"))
    said = sit(path, f"{name} = 8")[1]
    assert f'is asked once you choose "{action}": type steps {step}, then more.' in said
